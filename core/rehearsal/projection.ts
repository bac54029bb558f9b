/**
 * A session's state, continued. A fast rehearsal has to catch up with several things in one go, and each depends on the ones
 * before; so the state's facts are laid out as events again and folded with the new ones by the session's own fold. That way
 * there is one reading of the record, not two.
 */
import type { SessionDraft, SessionEvent, SessionKind, SessionData } from '../session/events.ts';
import { SessionFold } from '../session/fold.ts';
import type { SessionState, Settings } from '../session/state.ts';
import { REHEARSAL_AUTHOR } from './pair.ts';
import { isDetailId, type SettingQuantity } from '../vocabulary.ts';

export class Projection {
  readonly #fold: SessionFold;
  readonly #record: string;
  #seq: number;

  constructor(state: SessionState) {
    this.#record = state.id;
    this.#fold = new SessionFold(state.sheet);
    this.#seq = state.length;
    for (const event of eventsOf(state)) this.#fold.add(event);
  }

  push(draft: SessionDraft & { readonly taken: number }): this {
    this.#fold.add(eventFor(this.#record, this.#seq, draft.kind, draft.data, draft.taken, REHEARSAL_AUTHOR));
    this.#seq += 1;
    return this;
  }

  state(): SessionState {
    return this.#fold.state();
  }
}

function eventFor(record: string, seq: number, kind: SessionKind, data: unknown, taken: number, author: string): SessionEvent {
  return { record, seq, kind, version: 1, taken, entered: taken, author, command: `projected-${seq}`, data } as SessionEvent;
}

/** The facts that stand in a state, as events that fold to the same state as far as a rehearsal looks at it. */
function eventsOf(state: SessionState): SessionEvent[] {
  const { starts } = state;
  const events: SessionEvent[] = [];
  // Places before the record's own, so that readings keep theirs and a strike finds its target.
  let before = -10_000;
  const add = <Kind extends SessionKind>(kind: Kind, data: SessionData<Kind>, taken = 0, author = 'record', seq = (before += 1)): void => {
    events.push(eventFor(state.id, seq, kind, data, taken, author));
  };
  add('session-opened', {
    way: state.way,
    sheet: { id: state.sheet.id, version: state.sheet.version, hash: state.sheetHash, text: '' },
    wall: state.openedWall,
    ...(state.rehearsal ? { rehearsal: { ...state.rehearsal } } : {}),
  });
  for (const [detail, given] of Object.entries(state.details)) {
    if (isDetailId(detail) && given) add('detail-given', { detail, typed: given.typed, ...(given.unit === '' ? {} : { unit: given.unit }) }, given.taken, given.author);
  }
  if (state.screening) add('screening-done', { outcome: state.screening.outcome, by: state.screening.by }, state.screening.taken);
  if (state.consent) add('consent-noted', { given: true });
  for (const [check, { done, author, typed, unit }] of Object.entries(state.checks)) {
    add('check-done', { check, done, ...(typed === undefined ? {} : { typed }), ...(unit === undefined ? {} : { unit }) }, 0, author);
  }
  for (const { hold, initials, reason, taken } of state.overrides) add('hold-overridden', { hold, initials, reason }, taken);
  if (starts.rest !== undefined) add('rest-started', {}, starts.rest);
  for (const stage of state.stages) {
    const settings = written(stage.actual);
    if (stage.number === 1) add('exercise-started', { settings }, stage.changed);
    else add('stage-changed', { stage: stage.number, settings, ...(stage.assumed ? { assumed: true } : {}) }, stage.changed);
  }
  for (const { gait, taken } of state.gaits) add('gait-seen', { gait }, taken);
  for (const { held, taken } of state.handrail) add('handrail-held', { held }, taken);
  for (const { posture, taken } of state.postures) add('posture-changed', { posture }, taken);
  for (const { text, taken, author, struck } of state.symptoms) if (!struck) add('symptom-noted', { text }, taken, author);
  for (const { text, taken, author, struck } of state.notes) if (!struck) add('note-added', { text }, taken, author);
  for (const { taken } of state.stopsTakenBack) {
    add('test-stopped', {}, taken);
    add('stop-taken-back', {}, taken);
  }
  if (state.stop) {
    add('test-stopped', {}, state.stop.taken, state.stop.author);
    if (state.stop.reason !== undefined) add('stop-reason-given', { reason: state.stop.reason, symptom: state.stop.symptom }, state.stop.taken);
  }
  for (const [criterion, { met, author, taken }] of Object.entries(state.criteriaSeen)) add('criterion-seen', { criterion, met }, taken, author);

  const readings: SessionEvent[] = [];
  for (const { slot, readings: given, notTaken } of state.slots.values()) {
    for (const reading of given) {
      const data: SessionData<'reading-taken'> = { slot, typed: reading.typed, unit: reading.unit };
      readings.push(eventFor(state.id, reading.seq, 'reading-taken', data, reading.taken, reading.author));
      if (reading.struck) add('event-struck', { target: reading.seq, reason: reading.struck.reason });
    }
    if (notTaken) readings.push(eventFor(state.id, notTaken.seq, 'reading-not-taken', { slot, reason: notTaken.reason }, 0, notTaken.author));
  }
  return [...events, ...readings.sort((a, b) => a.seq - b.seq)];
}

function written(settings: Settings): SessionData<'stage-changed'>['settings'] {
  const entries = Object.entries(settings) as [SettingQuantity, NonNullable<Settings[SettingQuantity]>][];
  return Object.fromEntries(entries.map(([name, { typed, unit }]) => [name, { typed, unit }]));
}
