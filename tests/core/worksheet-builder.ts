/** Builds worksheet records for tests as a station does, and a session that has been through everything. */
import { chainHash, CHAIN_START } from '../../core/record/chain.ts';
import { bodyOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { decideWorksheet } from '../../core/worksheet/decide.ts';
import { foldWorksheet, type WorksheetState } from '../../core/worksheet/fold.ts';
import { at, SessionBuilder } from './session-builder.ts';

export class WorksheetBuilder {
  readonly events: RecordEvent[] = [];
  readonly stored: StoredEvent[] = [];
  readonly id: string;

  constructor(session: { readonly id: string; readonly stored: readonly StoredEvent[] }, student = 's-2204', id = 'worksheet-under-test', opened = '2026-03-02T10:05:00+00:00') {
    this.id = id;
    this.#add(undefined, 'worksheet-opened', { session: session.id, sessionHead: session.stored.at(-1)?.hash ?? '', student, wall: opened });
  }

  get state(): WorksheetState {
    return foldWorksheet(this.events);
  }

  #add(state: WorksheetState | undefined, kind: string, data: unknown): void {
    const decided = decideWorksheet(state, { kind, data });
    if (!decided.ok) throw new Error(`${kind}: ${decided.error.message}`);
    const seq = this.events.length;
    const event: RecordEvent = { record: this.id, seq, kind, version: 1, taken: seq * 1000, entered: seq * 1000, author: 's-2204', command: `answer-${seq}`, data: decided.value.data };
    const body = bodyOf(event);
    this.stored.push({ body, hash: chainHash(this.stored.at(-1)?.hash ?? CHAIN_START, body) });
    this.events.push(event);
  }

  /** `place` is `question` or `question/row`. */
  answer(place: string, typed: string, unit?: string, working?: string): this {
    const [question = '', row] = place.split('/');
    this.#add(this.state, 'answer-given', { question, typed, ...(row === undefined ? {} : { row }), ...(unit === undefined ? {} : { unit }), ...(working === undefined ? {} : { working }) });
    return this;
  }

  handIn(wall = '2026-03-02T11:20:00+00:00'): this {
    this.#add(this.state, 'worksheet-handed-in', { wall });
    return this;
  }
}

/**
 * Woman, 22 y, 61.4 kg, 168 cm, on the Bruce stages. Stages 1 to 3 finished (gas 0.98, 1.47, 2.10 L/min), stopped at 10:20 in
 * stage 4 at 2.31 L/min, heart rate 188, RER 1.14, RPE 19; 157 and 134 /min at 1 and 2 minutes. Closed by leaving early.
 */
export function wholeSession(options: { readonly way?: 'live' | 'paper' | 'rehearsal'; readonly details?: Record<string, string>; readonly text?: string } = {}): SessionBuilder {
  const start = at('20:00');
  const session = new SessionBuilder(options.way, ...(options.text === undefined ? [] : [options.text])).exercising(start, options.details);
  const stages: readonly { readonly hr: readonly [string, string, string]; readonly bp: readonly [string, string]; readonly rpe: string; readonly vo2: string; readonly rer: string; readonly ve: string }[] = [
    { hr: ['98', '104', '109'], bp: ['132', '76'], rpe: '9', vo2: '0.98', rer: '0.83', ve: '24.1' },
    { hr: ['121', '127', '131'], bp: ['146', '74'], rpe: '12', vo2: '1.47', rer: '0.89', ve: '37.6' },
    { hr: ['148', '156', '168'], bp: ['168', '72'], rpe: '15', vo2: '2.10', rer: '1.01', ve: '61.0' },
  ];
  for (const [index, stage] of stages.entries()) {
    const begin = start + index * at('3:00');
    session.reading('heart-rate', stage.hr[0], begin + at('1:00')).reading('heart-rate', stage.hr[1], begin + at('2:00'));
    session.reading('systolic', stage.bp[0], begin + at('2:30')).reading('diastolic', stage.bp[1], begin + at('2:30')).reading('rpe', stage.rpe, begin + at('2:40'));
    session.reading('heart-rate', stage.hr[2], begin + at('3:00'));
    session.clock(begin + at('3:01')).add('stage-changed', { stage: index + 2 });
    session.reading('vo2', stage.vo2, begin + at('3:20')).reading('rer', stage.rer, begin + at('3:25')).reading('ve', stage.ve, begin + at('3:30'));
  }
  session.reading('heart-rate', '181', start + at('10:00'));
  const stop = start + at('10:20');
  session.clock(stop).add('test-stopped', {}).add('stop-reason-given', { reason: 'Volitional exhaustion', symptom: false });
  session.reading('heart-rate', '188', stop + 2000).reading('rpe', '19', stop + 3000).reading('vo2', '2.31', stop + 20_000).reading('rer', '1.14', stop + 22_000).reading('ve', '84.2', stop + 24_000);
  session.reading('heart-rate', '157', stop + 60_000);
  session.clock(stop + at('1:30')).add('posture-changed', { posture: 'sitting' });
  session.reading('heart-rate', '134', stop + 120_000).reading('systolic', '150', stop + 130_000).reading('diastolic', '74', stop + 130_000).reading('heart-rate', '121', stop + 180_000);
  for (const criterion of session.state.sheet.recovery.criteria) if (criterion.kind === 'seen') session.add('criterion-seen', { criterion: criterion.id, met: true });
  session.clock(stop + at('6:00')).add('session-closed', { outcome: 'left', early: { initials: 'KL', reason: 'Lecture; walked steadily, felt well' } });
  return session;
}

/**
 * The right answers for `wholeSession`, worked by hand from the published equations (26.8 m/min per mph):
 * HRmax 208 − 0.7 × 22 = 192.6; stages 0.1·S + 1.8·S·G + 3.5 = 16.3, 24.7, 35.6; 2310 / 61.4 = 37.6;
 * Pollock 4.38 × 10.333 − 3.90 = 41.4; 37.6 / 41.4 = 91.0 %; 188 − 157 = 31; 0.6 × (188 − 74) + 74 = 142.
 */
export const rightAnswers: readonly (readonly [place: string, typed: string, unit?: string, working?: string])[] = [
  ['hr-max', '193', '/min', '208 − 0.7 × 22 = 192.6'],
  ['stage-vo2/stage-1', '16.3', 'mL/kg/min', '0.1 × 45.6 + 1.8 × 45.6 × 0.10 + 3.5'],
  ['stage-vo2/stage-2', '24.7', 'mL/kg/min', '0.1 × 67.0 + 1.8 × 67.0 × 0.12 + 3.5'],
  ['stage-vo2/stage-3', '35.6', 'mL/kg/min', '0.1 × 91.1 + 1.8 × 91.1 × 0.14 + 3.5'],
  ['vo2-peak', '37.6', 'mL/kg/min', '2310 / 61.4'],
  ['vo2-time', '41.4', 'mL/kg/min', '4.38 × 10.333 − 3.90'],
  ['percent-of-predicted', '91.0', '%', '100 × 37.6 / 41.4'],
  ['effort/plateau', 'not met'],
  ['effort/rer', 'met'],
  ['effort/heart-rate', 'met'],
  ['effort/rpe', 'met'],
  ['effort/conclusion', 'max'],
  ['hr-recovery', '31', '/min', '188 − 157'],
  ['category', 'Fair'],
  ['target-heart-rate', '142', '/min', '0.6 × (188 − 74) + 74 = 142.4'],
];

/** A worksheet with every right answer, some of them replaced or (with undefined) left out. */
export function answered(session: SessionBuilder, replaced: Readonly<Record<string, readonly [typed: string, unit?: string, working?: string] | undefined>> = {}, student = 's-2204'): WorksheetBuilder {
  const sheet = new WorksheetBuilder(session, student);
  for (const [place, typed, unit, working] of rightAnswers) {
    if (Object.hasOwn(replaced, place)) {
      const other = replaced[place];
      if (other !== undefined) sheet.answer(place, ...other);
    } else sheet.answer(place, typed, unit, working);
  }
  return sheet;
}
