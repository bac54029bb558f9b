/** First half of the fold: everything but the readings. */
import { isDetailId, type DetailId } from '../vocabulary.ts';
import type { SessionEvent } from './events.ts';
import { gatherSeries } from './series.ts';
import type { Entered, Phase, SessionState } from './state.ts';
import { detailValue, sexOf } from './values.ts';

type Shared = Omit<SessionState, 'sheet' | 'stages' | 'next' | 'slots' | 'length' | 'readOnly'>;
export interface Facts extends Shared {
  /** Stage changes and settings that stand, in order. */
  readonly settingEvents: readonly Extract<SessionEvent, { kind: 'exercise-started' | 'stage-changed' | 'setting-recorded' }>[];
  readonly struckSeqs: ReadonlyMap<number, { readonly seq: number; readonly reason: string }>;
  /** Events of exercises that were struck as false starts: from seq (inclusive) to seq (exclusive). */
  readonly voidedExercise: readonly { readonly from: number; readonly to: number }[];
}

type Loose<T> = { -readonly [Key in keyof T]: T[Key] };

/** @param events all events of the session but its readings, in order. */
export function gatherFacts(events: readonly SessionEvent[]): Facts {
  const struckSeqs = new Map<number, { seq: number; reason: string }>();
  const voidedExercise: { from: number; to: number }[] = [];
  let lastStart: number | undefined;
  for (const event of events) {
    if (event.kind === 'event-struck') struckSeqs.set(event.data.target, { seq: event.seq, reason: event.data.reason });
    if (event.kind === 'exercise-started') lastStart = event.seq;
    if (event.kind === 'exercise-struck' && lastStart !== undefined) {
      voidedExercise.push({ from: lastStart, to: event.seq });
      lastStart = undefined;
    }
  }
  const voided = (seq: number): boolean => voidedExercise.some((range) => seq >= range.from && seq < range.to);

  const details: Partial<Record<DetailId, Entered>> = {};
  const facts = {
    id: '', way: 'live' as Shared['way'], sheetHash: '', openedWall: '', phase: 'prepare' as Phase,
    starts: {} as Loose<Shared['starts']>, details, detailHistory: [] as Loose<Shared['detailHistory'][number]>[],
    consent: false, checks: {} as Record<string, Shared['checks'][string]>,
    overrides: [] as Shared['overrides'][number][], symptoms: [] as Shared['symptoms'][number][], notes: [] as Shared['notes'][number][],
    gaits: [] as Shared['gaits'][number][], handrail: [] as Shared['handrail'][number][], postures: [] as Shared['postures'][number][],
    stopsTakenBack: [] as { taken: number }[], falseStarts: [] as Shared['falseStarts'][number][],
    criteriaSeen: {} as Record<string, Shared['criteriaSeen'][string]>, carried: [] as Shared['carried'][number][],
    settingEvents: [] as Facts['settingEvents'][number][], struckSeqs, voidedExercise,
  };
  const optional: { rehearsal?: Shared['rehearsal']; screening?: Shared['screening']; stop?: Shared['stop']; closing?: Shared['closing'] } = {};

  for (const event of events) {
    const struck = struckSeqs.has(event.seq);
    const { taken, author, seq } = event;
    const text = (said: string) => ({ text: said, taken, author, seq, ...(struck ? { struck: true } : {}) });
    if (event.kind === 'symptom-noted') facts.symptoms.push(text(event.data.text));
    else if (event.kind === 'note-added') facts.notes.push({ ...text(event.data.text), ...(event.data.answers === undefined ? {} : { answers: event.data.answers }) });
    if (struck || (voided(seq) && event.kind !== 'exercise-started')) continue;
    switch (event.kind) {
      case 'session-opened':
        facts.id = event.record;
        facts.way = event.data.way;
        facts.sheetHash = event.data.sheet.hash;
        facts.openedWall = event.data.wall;
        if (event.data.rehearsal) optional.rehearsal = event.data.rehearsal;
        break;
      case 'detail-given': {
        const { detail, typed, unit } = event.data;
        if (!isDetailId(detail)) break;
        const before = details[detail];
        if (before) facts.detailHistory.push({ ...before, detail });
        const value = detailValue(detail, typed, unit);
        if (typed.trim() === '') delete details[detail];
        else details[detail] = { typed, unit: unit ?? '', author, taken, seq, ...(value === undefined ? {} : { value }) };
        break;
      }
      case 'screening-done':
        optional.screening = { outcome: event.data.outcome, by: event.data.by, taken };
        break;
      case 'consent-noted':
        facts.consent = event.data.given;
        break;
      case 'check-done': {
        const { check, done, typed, unit } = event.data;
        const value = typed === undefined ? undefined : Number(typed.replace(',', '.'));
        facts.checks[check] = { done, author, ...(typed === undefined ? {} : { typed }), ...(unit === undefined ? {} : { unit }), ...(value !== undefined && Number.isFinite(value) ? { value } : {}) };
        break;
      }
      case 'hold-overridden':
        facts.overrides.push({ ...event.data, taken });
        break;
      case 'rest-started':
        facts.starts.rest ??= taken;
        facts.phase = 'rest';
        break;
      case 'exercise-started':
        if (voided(seq)) break;
        facts.starts.exercise = taken;
        facts.phase = 'exercise';
        facts.settingEvents.push(event);
        break;
      case 'exercise-struck': {
        const started = facts.starts.exercise ?? events.find((other) => voided(other.seq) && other.kind === 'exercise-started')?.taken ?? taken;
        facts.falseStarts.push({ started, reason: event.data.reason });
        delete facts.starts.exercise;
        facts.phase = 'rest';
        break;
      }
      case 'stage-changed':
      case 'setting-recorded':
        facts.settingEvents.push(event);
        break;
      case 'gait-seen':
        facts.gaits.push({ gait: event.data.gait, taken, seq });
        break;
      case 'handrail-held':
        facts.handrail.push({ held: event.data.held, taken, seq });
        break;
      case 'posture-changed':
        facts.postures.push({ posture: event.data.posture, taken, seq });
        break;
      case 'test-stopped':
        optional.stop = { taken, seq, author, symptom: false };
        facts.starts.recovery = taken;
        facts.phase = 'recovery';
        break;
      case 'stop-taken-back':
        if (optional.stop) facts.stopsTakenBack.push({ taken: optional.stop.taken });
        delete optional.stop;
        delete facts.starts.recovery;
        facts.phase = 'exercise';
        break;
      case 'stop-reason-given':
        if (optional.stop) optional.stop = { ...optional.stop, reason: event.data.reason, symptom: event.data.symptom };
        break;
      case 'criterion-seen':
        facts.criteriaSeen[event.data.criterion] = { met: event.data.met, author, taken };
        break;
      case 'session-closed':
        facts.starts.closed = taken;
        facts.phase = 'worksheet';
        optional.closing = { outcome: event.data.outcome, ...(event.data.to === undefined ? {} : { to: event.data.to }), ...(event.data.early === undefined ? {} : { early: event.data.early }) };
        break;
      case 'clock-carried':
        facts.carried.push({ ...event.data, taken });
        break;
      default:
        break;
    }
  }
  // Paper: rows may be keyed in any order; what is read by time is put in the order of time.
  const byTime = (a: { taken: number; seq: number }, b: { taken: number; seq: number }): number => a.taken - b.taken || a.seq - b.seq;
  for (const list of [facts.gaits, facts.handrail, facts.postures, facts.settingEvents]) list.sort(byTime);

  const sex = sexOf(details.sex?.typed);
  const { mass, age, height } = { mass: details.mass?.value, age: details.age?.value, height: details.height?.value };
  return {
    ...facts,
    ...optional,
    ...gatherSeries(events, (seq) => struckSeqs.has(seq)),
    ...(sex === undefined ? {} : { sex }),
    ...(mass === undefined ? {} : { mass }),
    ...(age === undefined ? {} : { age }),
    ...(height === undefined ? {} : { height }),
    people: {
      ...(details.recorder ? { recorder: details.recorder.typed } : {}),
      ...(details.tester ? { tester: details.tester.typed } : {}),
    },
  };
}
