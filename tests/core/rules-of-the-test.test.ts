/** Steady state, repeats, cap, branching, and the calls that pressure and heart rate make. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { alertsOf, repeatPending, standingAlerts } from '../../core/session/alerts.ts';
import { callsAt } from '../../core/session/calls.ts';
import { bandWords, chooseNext, holdStage } from '../../core/session/steady.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { loaded } from './lab-sheets.ts';
import { at, bruceText, SessionBuilder } from './session-builder.ts';

const rule = { within: 5, 'repeats-at-most': 2, source: 'CSEP insert of Golding 1989' };
const minutes = (values: Record<number, number>) => (minute: number) => values[minute];

describe('steady state: the last two minutes differ by 5 or less (CSEP insert of Golding 1989)', () => {
  it('117 then 125: not steady, hold one more minute', () => {
    const held = holdStage(rule, 3, minutes({ 2: 117, 3: 125 }), undefined);
    expect(held).toMatchObject({ repeats: 1, steady: { state: 'pending' } });
    expect(held.steady.says).toBe('117 then 125: not steady, hold one more minute');
  });
  it('a difference of exactly 5 is steady, 6 is not', () => {
    expect(holdStage(rule, 3, minutes({ 2: 120, 3: 125 }), undefined).steady.state).toBe('steady');
    expect(holdStage(rule, 3, minutes({ 2: 120, 3: 126 }), undefined).repeats).toBe(1);
  });
  it('compares the repeated minute with the one before it', () => {
    expect(holdStage(rule, 3, minutes({ 2: 110, 3: 120, 4: 123 }), undefined)).toMatchObject({ repeats: 1, steady: { state: 'steady', pair: [120, 123], mean: 121.5 } });
  });
  it('gives up after two more minutes', () => {
    expect(holdStage(rule, 3, minutes({ 2: 110, 3: 120, 4: 130, 5: 140 }), undefined)).toMatchObject({ repeats: 2, steady: { state: 'not-steady' } });
  });
  it('the cap always wins', () => {
    expect(holdStage(rule, 3, minutes({ 2: 150, 3: 168 }), 165)).toMatchObject({ repeats: 0, steady: { state: 'not-steady' } });
  });
});

describe('branching: bands of the first stage’s heart rate (YMCA table, CSEP insert of Golding 1989)', () => {
  const sheet = {
    stages: {
      list: [{ load: '150 kg·m/min' }],
      branch: {
        after: 1,
        source: 'CSEP insert of Golding 1989',
        bands: [
          { from: 0, below: 80, then: [{ load: '750 kg·m/min' }, { load: '900 kg·m/min' }] },
          { from: 80, below: 90, then: [{ load: '600 kg·m/min' }] },
          { from: 90, below: 101, then: [{ load: '450 kg·m/min' }] },
          { from: 101, then: [{ load: '300 kg·m/min' }] },
        ],
      },
    },
  } as unknown as LabSheet;
  const next = (first: number, second: number) => chooseNext(sheet, 1, [first, second])?.settings?.load;
  it.each([
    [78, 80, '750 kg·m/min'], // mean 79
    [79, 80, '600 kg·m/min'], // mean 79.5, rounded 80
    [89, 89, '600 kg·m/min'],
    [89, 90, '450 kg·m/min'], // mean 89.5, rounded 90
    [100, 100, '450 kg·m/min'],
    [100, 101, '300 kg·m/min'], // mean 100.5, rounded 101
  ])('%i and %i choose %s', (first, second, load) => expect(next(first, second)).toBe(load));
  it('says what is missing', () => expect(chooseNext(sheet, 1, undefined)?.says).toContain('heart rates'));
  it('goes on in the chosen branch, and ends with it', () => {
    expect(chooseNext(sheet, 2, [78, 79])?.settings?.load).toBe('900 kg·m/min');
    expect(chooseNext(sheet, 3, [78, 79])).toBeUndefined();
  });
});

describe('branching by sex: the window of the nomogram is 130 to 170 /min for men and 125 to 170 for women (NSCA’s Guide 2012)', () => {
  const { sheet } = loaded('cycle-single-load-age-factor');
  const ways = (heartRate: number, sex?: 'male' | 'female') => chooseNext(sheet, 1, [heartRate, heartRate], sex);
  it.each([
    [124, 'male', true],
    [127, 'male', true],
    [130, 'male', false],
    [124, 'female', true],
    [125, 'female', false],
    [127, 'female', false],
  ] as const)('%i /min, %s: more load %s', (heartRate, sex, more) => expect(ways(heartRate, sex)?.settings !== undefined).toBe(more));
  it('says the edge that counted, names both where the sex is not known, and then chooses nothing', () => {
    expect(ways(120, 'female')?.says).toContain('below 125');
    expect(ways(120)?.settings).toBeUndefined();
    expect(ways(120)?.says).toContain('sex used in the equations');
    const edges = { male: 130, female: 125 };
    expect(bandWords({ from: 0, below: edges })).toBe('below 130 (women below 125)');
    expect(bandWords({ from: edges })).toBe('130 or more (women 125 or more)');
  });
});

describe('a held stage moves what follows', () => {
  const held = bruceText.replace('timing: on-plan', 'timing: from-change').replace(/(\n {2}source: "Bruce et al)/, '\n  steady-state: { within: 5, repeats-at-most: 2, source: CSEP insert }$1');
  const start = at('20:00');
  it('calls one more minute, and the change a minute later', () => {
    const session = new SessionBuilder('live', held).exercising(start);
    session.reading('heart-rate', '107', start + at('2:00')).reading('heart-rate', '118', start + at('3:00'));
    expect(session.state.stages[0]).toMatchObject({ repeats: 1, ends: start + at('4:00'), steady: { state: 'pending' } });
    expect(callsAt(session.state, start + at('3:40')).map((call) => (call.kind === 'set' ? ['set', call.due - start] : [call.label, call.due - start]))).toContainEqual(['Heart rate', at('4:00')]);
    expect(session.state.slots.has('exercise/s1/m4/heart-rate')).toBe(true);
    session.reading('heart-rate', '121', start + at('4:00'));
    expect(session.state.stages[0]).toMatchObject({ repeats: 1, steady: { state: 'steady', mean: 119.5 } });
  });
});

describe('calls to people', () => {
  const start = at('20:00');
  const running = (): SessionBuilder => new SessionBuilder().exercising(start);
  const stage = (session: SessionBuilder, number: number) => session.clock(start + (number - 1) * at('3:00')).add('stage-changed', { stage: number });

  it('a systolic fall of 10 asks for a repeat first, and calls the instructor only when it is confirmed', () => {
    const session = running().reading('systolic', '150', start + at('2:30'));
    stage(session, 2).reading('systolic', '140', start + at('5:30'));
    expect(alertsOf(session.state)).toMatchObject([{ id: 'pressure-falling', ask: 'repeat' }]);
    expect(repeatPending(session.state)).toBe(true);
    session.reading('systolic', '139', start + at('5:50'));
    expect(alertsOf(session.state).map((alert) => alert.ask)).toEqual(['repeat', 'instructor']);
    expect(session.state.slots.get('exercise/s2/end/systolic')?.current?.value).toBe(140);
  });
  it('a repeat that is back settles it', () => {
    const session = running().reading('systolic', '150', start + at('2:30'));
    stage(session, 2).reading('systolic', '140', start + at('5:30')).reading('systolic', '156', start + at('5:50'));
    expect(alertsOf(session.state)).toEqual([]);
  });
  it('below the resting value is called by itself, unloaded pedalling included (ACSM’s Guidelines, from memory)', () => {
    const ramp = readFileSync(new URL('../../lab-sheets/cycle-ramp-maximal.yaml', import.meta.url), 'utf8');
    const session = new SessionBuilder('live', ramp).exercising(start);
    expect(session.state.stages[0]?.actual.load?.value).toBe(0);
    const slot = { phase: 'exercise' as const, stage: 1, mark: '@0:50', quantity: 'systolic' };
    session.reading('systolic', '117', start + at('0:50'), { slot }); // 118 at rest
    expect(alertsOf(session.state)).toMatchObject([{ id: 'pressure-falling', ask: 'repeat', text: 'Systolic 117 below the resting 118: take it again now.' }]);
  });
  it('a fall of 9 is nothing', () => {
    const session = running().reading('systolic', '150', start + at('2:30'));
    stage(session, 2).reading('systolic', '141', start + at('5:30'));
    expect(alertsOf(session.state)).toEqual([]);
  });
  it('above 250 systolic or 115 diastolic calls the instructor, at the limit it does not', () => {
    const session = running().reading('systolic', '250', start + at('2:30')).reading('diastolic', '115', start + at('2:30'));
    expect(alertsOf(session.state)).toEqual([]);
    stage(session, 2).reading('systolic', '252', start + at('5:30')).reading('diastolic', '116', start + at('5:30'));
    expect(alertsOf(session.state).map((alert) => alert.id)).toEqual(['pressure-high', 'pressure-high']);
  });
  it('heart rate not rising over a stage calls the instructor, but not above 95 % of the predicted maximum', () => {
    const session = running().reading('heart-rate', '140', start + at('3:00'));
    stage(session, 2).reading('heart-rate', '139', start + at('6:00'));
    expect(alertsOf(session.state)).toMatchObject([{ id: 'heart-rate-not-rising' }]);
    // 22 years: 208 − 0.7 × 22 = 192.6, of which 95 % is 183.
    const high = running().reading('heart-rate', '185', start + at('3:00'));
    stage(high, 2).reading('heart-rate', '184', start + at('6:00'));
    expect(alertsOf(high.state)).toEqual([]);
  });
  it('at exactly 95 % of the predicted maximum it is still called, above it no more', () => {
    // 40 years: 208 − 0.7 × 40 = 180, of which 95 % is 171.
    const session = (second: string) => {
      const made = new SessionBuilder('live').exercising(start, { age: '40' }).reading('heart-rate', '172', start + at('3:00'));
      return stage(made, 2).reading('heart-rate', second, start + at('6:00'));
    };
    expect(alertsOf(session('171').state)).toHaveLength(1);
    expect(alertsOf(session('172').state)).toEqual([]);
  });
  it('a lower pressure at the same work is no fall with rising work; against the stage before it is', () => {
    const session = running().reading('systolic', '150', start + at('2:30'));
    session.reading('systolic', '138', start + at('2:55'), { slot: { phase: 'exercise', stage: 1, mark: '@2:55', quantity: 'systolic' } });
    expect(alertsOf(session.state)).toEqual([]);
    stage(session, 2).reading('systolic', '140', start + at('5:30'));
    expect(alertsOf(session.state)).toMatchObject([{ ask: 'repeat', text: 'Systolic 140 after 150 as work rises: take it again now.' }]);
  });
  it('an instructor who was told answers a call; a struck note does not, and a new reading calls anew', () => {
    const session = running().reading('systolic', '252', start + at('2:30'));
    const [first] = standingAlerts(session.state);
    session.add('note-added', { text: 'instructor told', answers: first?.seq ?? -1 });
    expect(standingAlerts(session.state)).toEqual([]);
    expect(alertsOf(session.state)).toHaveLength(1);
    session.add('event-struck', { target: session.events.length - 1, reason: 'was not there' });
    expect(standingAlerts(session.state)).toHaveLength(1);
    session.add('note-added', { text: 'instructor told', answers: first?.seq ?? -1 });
    stage(session, 2).reading('systolic', '254', start + at('5:30'));
    expect(standingAlerts(session.state).map((alert) => alert.text)).toEqual(['Systolic 254, above 250: call the instructor.']);
  });
  it('of a fall only the latest word stands: the repeat once, then the instructor', () => {
    const session = running().reading('systolic', '150', start + at('2:30'));
    stage(session, 2).reading('systolic', '140', start + at('5:30'));
    expect(standingAlerts(session.state).map((alert) => alert.ask)).toEqual(['repeat']);
    session.reading('systolic', '139', start + at('5:50'));
    expect(standingAlerts(session.state).map((alert) => alert.ask)).toEqual(['instructor']);
  });
  it('a laboratory’s own limits take the place of the published ones, and are named', () => {
    const session = running().reading('systolic', '232', start + at('2:30')).reading('diastolic', '116', start + at('2:30')).reading('heart-rate', '176', start + at('3:00'));
    expect(alertsOf(session.state, { systolic: 230, diastolic: 120, 'heart-rate': 175 }).map((alert) => alert.text)).toEqual([
      "Systolic 232, above this laboratory's 230: call the instructor.",
      "Heart rate 176 has reached this laboratory's limit of 175: call the instructor.",
    ]);
    expect(alertsOf(session.state).map((alert) => alert.text)).toEqual(['Diastolic 116, above 115: call the instructor.']);
  });
  it('heart rates of short stages are compared over two minutes at least: this program’s own rule', () => {
    const ramp = readFileSync(new URL('../../lab-sheets/cycle-ramp-maximal.yaml', import.meta.url), 'utf8');
    const pulses = (values: readonly number[]) => {
      const session = new SessionBuilder('live', ramp).exercising(start);
      for (const [index, value] of values.entries()) {
        if (index > 0) session.clock(start + index * 60_000).add('stage-changed', { stage: index + 1 });
        session.reading('heart-rate', String(value), start + (index + 1) * 60_000 - 2_000);
      }
      return alertsOf(session.state).map((alert) => alert.id);
    };
    // Four minutes without a load, then 20 W a minute: minute 7 is held against minute 5.
    expect(pulses([80, 82, 83, 84, 96, 95, 97])).toEqual([]);
    expect(pulses([80, 82, 83, 84, 96, 99, 96])).toEqual(['heart-rate-not-rising']);
    // Falling while pedalling unloaded: no work rose.
    expect(pulses([92, 88, 85, 84])).toEqual([]);
  });
});
