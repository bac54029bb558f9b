/** Moments of one invented test (participant R-07, a woman of 22 who weighs 61.4 kg), each with everything that came before it. */
import sheetText from '../../../lab-sheets/treadmill-maximal-bruce.yaml?raw';
import { parseClock } from '../../../core/clock-text.ts';
import type { SessionDraft, Slot } from '../../../core/session/events.ts';
import { StationDouble } from './station-double.ts';
import { branched, cycled, cycleRested, CYCLE_START } from './submaximal.ts';

const RECORDER = 'TN';
const REST = 60_000;
const START = REST + 300_000;
const ms = (text: string): number => parseClock(text) ?? 0;

export type SceneName = keyof typeof scenes;

/** Rest begun at 1:00 of the session; prepared, screened and checked before. */
function prepared(way: 'live' | 'rehearsal' = 'live'): StationDouble {
  const station = new StationDouble();
  station.open({ id: 'treadmill-maximal-bruce', version: 1, text: sheetText }, way, RECORDER);
  const detail = (id: string, typed: string, unit?: string): SessionDraft => ({ kind: 'detail-given', data: { detail: id, typed, ...(unit === undefined ? {} : { unit }) } });
  station.at(1_000, RECORDER, detail('participant-code', 'R-07'), detail('sex', 'female'), detail('age', '22', 'a'), detail('height', '168', 'cm'), detail('mass', '61.4', 'kg'));
  station.at(2_000, RECORDER, detail('temperature', '21.5', 'Cel'), detail('pressure', '752', 'mm[Hg]'), detail('humidity', '41', '%'), detail('recorder', RECORDER), detail('tester', 'MO'));
  station.at(3_000, RECORDER, { kind: 'screening-done', data: { outcome: 'go', by: 'JD' } }, { kind: 'consent-noted', data: { given: true } });
  for (const check of ['emergency-plan', 'instructor-present', 'pretest', 'treadmill', 'gas-span', 'cuff']) station.at(4_000, RECORDER, { kind: 'check-done', data: { check, done: true } });
  for (const [check, typed, unit] of [['flow', '3.02', 'L'], ['gas-oxygen', '20.94', '%'], ['gas-carbon-dioxide', '0.04', '%']] as const) station.at(4_000, RECORDER, { kind: 'check-done', data: { check, done: true, typed, unit } });
  station.at(REST, RECORDER, { kind: 'rest-started', data: {} });
  return station;
}

const units: Record<string, string> = { 'heart-rate': '/min', systolic: 'mm[Hg]', diastolic: 'mm[Hg]', rpe: '{score}', vo2: 'L/min', ve: 'L/min', rer: '1' };
function reading(slot: Slot, typed: string, more: { readonly heard?: string } = {}): SessionDraft {
  return { kind: 'reading-taken', data: { slot, typed, unit: units[slot.quantity] ?? '1', ...more } };
}
function pressures(slot: Omit<Slot, 'quantity'>, heard: string): SessionDraft[] {
  const [systolic = '', diastolic = ''] = heard.split('/');
  return [reading({ ...slot, quantity: 'systolic' }, systolic, { heard }), reading({ ...slot, quantity: 'diastolic' }, diastolic, { heard })];
}

function rested(station: StationDouble): StationDouble {
  const slot = { phase: 'rest', mark: 'rest' } as const;
  station.at(REST + 60_000, RECORDER, { kind: 'posture-changed', data: { posture: 'standing' } }, reading({ ...slot, quantity: 'heart-rate' }, '74'));
  station.at(REST + 120_000, RECORDER, ...pressures(slot, '118/76'), reading({ ...slot, quantity: 'rpe' }, '6'));
  station.at(REST + 200_000, RECORDER, reading({ ...slot, quantity: 'vo2' }, '0.27'), reading({ ...slot, quantity: 've' }, '8.9'), reading({ ...slot, quantity: 'rer' }, '0.81'));
  return station;
}

type Written = readonly [at: string, ...drafts: SessionDraft[]];
const beat = (stage: number, minute: number, typed: string): SessionDraft => reading({ phase: 'exercise', stage, mark: `m${minute}`, quantity: 'heart-rate' }, typed);
const effort = (stage: number, typed: string): SessionDraft => reading({ phase: 'exercise', stage, mark: 'end', quantity: 'rpe' }, typed);
const gas = (stage: number, vo2: string, ve: string, rer: string): SessionDraft[] => [['vo2', vo2], ['ve', ve], ['rer', rer]].map(([quantity = '', typed = '']) => reading({ phase: 'exercise', stage, mark: 'end', quantity }, typed));
const cuff = (stage: number, heard: string): SessionDraft[] => pressures({ phase: 'exercise', stage, mark: 'end' }, heard);
const change = (stage: number): SessionDraft => ({ kind: 'stage-changed', data: { stage } });

/** What the pair wrote during exercise, by exercise time. */
const written: readonly Written[] = [
  ['1:01', beat(1, 1, '98')], ['2:00', beat(1, 2, '104')], ['2:31', ...cuff(1, '132/76')], ['2:42', effort(1, '9')], ['3:00', beat(1, 3, '109')], ['3:02', change(2)], ['3:30', ...gas(1, '0.98', '24.1', '0.83')],
  ['4:02', beat(2, 1, '121')], ['4:59', beat(2, 2, '172')], ['5:20', beat(2, 2, '127')],
  ['5:44', effort(2, '12')], ['5:58', { kind: 'reading-not-taken', data: { slot: { phase: 'exercise', stage: 2, mark: 'end', quantity: 'systolic' }, reason: 'cuff slipped' } }, { kind: 'reading-not-taken', data: { slot: { phase: 'exercise', stage: 2, mark: 'end', quantity: 'diastolic' }, reason: 'cuff slipped' } }],
  ['6:00', beat(2, 3, '131')], ['6:01', change(3)], ['6:20', { kind: 'handrail-held', data: { held: true } }], ['6:32', ...gas(2, '1.47', '37.6', '0.89')], ['6:40', { kind: 'handrail-held', data: { held: false } }],
  ['7:19', beat(3, 1, '148')], ['7:59', beat(3, 2, '156')],
  ['8:24', ...cuff(3, '152/74')], ['8:41', effort(3, '15')], ['9:00', beat(3, 3, '164')], ['9:01', change(4)], ['9:20', { kind: 'gait-seen', data: { gait: 'run' } }], ['9:31', ...gas(3, '2.05', '58.3', '0.99')],
  ['10:00', beat(4, 1, '176')], ['10:15', { kind: 'note-added', data: { text: 'says "nearly done"' } }],
];

function exercised(until: string, station = rested(prepared())): StationDouble {
  station.at(START, RECORDER, { kind: 'exercise-started', data: {} });
  for (const [at, ...drafts] of written) if (ms(at) <= ms(until)) station.at(START + ms(at), RECORDER, ...drafts);
  return station;
}
const STOP = START + ms('10:24');
const recoveryBeat = (minute: number, typed: string): SessionDraft => reading({ phase: 'recovery', mark: `m${minute}`, quantity: 'heart-rate' }, typed);
function stopped(): StationDouble {
  const station = exercised('10:23');
  station.at(STOP, RECORDER, { kind: 'test-stopped', data: {} });
  return station;
}
function recovering(until: string, symptom = false): StationDouble {
  const station = stopped();
  const stop = { phase: 'exercise', stage: 4, mark: 'stop' } as const;
  const steps: readonly Written[] = [
    ['0:06', reading({ ...stop, quantity: 'heart-rate' }, '181')], ['0:10', reading({ ...stop, quantity: 'rpe' }, '18')],
    ['0:20', { kind: 'stop-reason-given', data: symptom ? { reason: 'Dizzy, confused or unsteady', symptom } : { reason: 'Volitional exhaustion', symptom } }],
    ...(symptom ? ([['0:24', { kind: 'symptom-noted', data: { text: 'light-headed' } }], ['0:40', { kind: 'posture-changed', data: { posture: 'lying, legs raised' } }]] as const) : ([['0:24', { kind: 'posture-changed', data: { posture: 'walking' } }]] as const)),
    ['0:35', reading({ ...stop, quantity: 'vo2' }, '2.51'), reading({ ...stop, quantity: 've' }, '81.4'), reading({ ...stop, quantity: 'rer' }, '1.14')],
    ['0:50', ...pressures({ phase: 'recovery', mark: 'm0' }, '168/70')],
    ['1:01', recoveryBeat(1, '152')], ['2:00', recoveryBeat(2, '134')], ['2:10', ...pressures({ phase: 'recovery', mark: 'm2' }, '150/72')], ['3:02', recoveryBeat(3, '121')], ...(symptom ? [] : ([['3:05', { kind: 'posture-changed', data: { posture: 'sitting' } }]] as const)),
    ['4:01', recoveryBeat(4, '112')], ['4:15', ...pressures({ phase: 'recovery', mark: 'm4' }, '136/74')], ['5:00', recoveryBeat(5, '107')], ['5:10', { kind: 'criterion-seen', data: { criterion: 'no-symptoms', met: true } }, { kind: 'criterion-seen', data: { criterion: 'gait', met: true } }],
    ['6:00', recoveryBeat(6, '102')], ['6:12', ...pressures({ phase: 'recovery', mark: 'm6' }, '126/76')],
  ];
  for (const [at, ...drafts] of steps) if (ms(at) <= ms(until)) station.at(STOP + ms(at), RECORDER, ...drafts);
  return station;
}

function fallen(times: 1 | 2): StationDouble {
  const station = exercised('10:15');
  station.at(START + ms('11:00'), RECORDER, beat(4, 2, '181'));
  station.at(START + ms('11:14'), RECORDER, ...pressures({ phase: 'exercise', stage: 4, mark: 'end' }, '140/74'));
  if (times === 2) station.at(START + ms('11:40'), RECORDER, ...pressures({ phase: 'exercise', stage: 4, mark: '@11:40' }, '138/72'));
  return station;
}

interface Scene {
  readonly station: StationDouble;
  readonly now: number;
}
const scene = (station: StationDouble, now: number): Scene => ({ station, now });

export const scenes = {
  'rest-begun': () => scene(prepared(), REST + 24_000),
  'rest-ready': () => scene(rested(prepared()), REST + 240_000),
  'first-seconds': () => scene(exercised('0:05'), START + ms('0:05')),
  'mid': () => scene(exercised('8:22'), START + ms('8:22')),
  'set-soon': () => scene(exercised('8:45'), START + ms('8:48')),
  'set-due': () => scene(exercised('9:00'), START + ms('9:09')),
  'call-late': () => scene(exercised('9:35'), START + ms('10:13')),
  'stopped': () => scene(stopped(), STOP + 3_000),
  'reason-wanted': () => {
    const station = stopped();
    return scene(station, STOP + 31_000);
  },
  'recovery': () => scene(recovering('2:20'), STOP + ms('2:41')),
  'recovery-late': () => scene(recovering('6:12'), STOP + ms('6:20')),
  'symptom': () => scene(recovering('2:20', true), STOP + ms('2:33')),
  'closed': () => {
    const station = recovering('6:12');
    station.at(STOP + ms('7:00'), RECORDER, { kind: 'criterion-seen', data: { criterion: 'fluids', met: true } }, { kind: 'criterion-seen', data: { criterion: 'instructions', met: true } });
    station.at(STOP + ms('8:00'), RECORDER, { kind: 'session-closed', data: { outcome: 'left' } });
    return scene(station, STOP + ms('8:00'));
  },
  'rehearsal': () => scene(exercised('4:30', rested(prepared('rehearsal'))), START + ms('4:40')),
  /** Systolic 152 in stage 3, then 140 in stage 4: taken again at once, then the instructor. */
  'pressure-fell': () => scene(fallen(1), START + ms('11:20')),
  'pressure-fell-again': () => scene(fallen(2), START + ms('11:42')),
  /** The same while the next target is due. */
  'pressure-fell-and-set': () => scene(fallen(2), START + ms('11:50')),
  'cycle-plan': () => scene(cycleRested(), 4 * 60_000),
  'cycle-held': () => scene(cycled([104, 117, 125]), CYCLE_START + ms('3:04')),
  'cycle-branched': () => scene(branched(), CYCLE_START + ms('3:20')),
  'cycle-set': () => scene(branched(), CYCLE_START + ms('5:50')),
  'cycle-cap': () => scene(cycled([140, 151, 164]), CYCLE_START + ms('3:50')),
  'two-authors': () => {
    const station = exercised('8:22');
    station.at(START + ms('8:22'), 'MO', beat(3, 2, '151'));
    return scene(station, START + ms('8:22'));
  },
} as const;
