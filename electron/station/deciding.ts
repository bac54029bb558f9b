/** What is stated of a record, put before core's rules: which facts come of it, or why none. Nothing is written here. */
import type { RecordEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { decideSession } from '../../core/session/decide.ts';
import { isSessionKind, sessionVersions } from '../../core/session/events.ts';
import { decideWorksheet } from '../../core/worksheet/decide.ts';
import type { NewFact, Store } from '../store/store.ts';
import { ergometerOf } from './ergometer.ts';
import { isoWithOffset } from './ids.ts';
import type { ProfileFile } from './profile.ts';
import type { OpenRecord, Records } from './records.ts';
import { mayAttach } from './series.ts';

export interface Draft {
  readonly kind: string;
  readonly data?: unknown;
  readonly taken?: number | undefined;
}

/** What a decision needs of the station. */
export interface DecidingStation {
  readonly store: Store;
  readonly records: Records;
  readonly profile: ProfileFile;
  /** Sessions that are not closed. */
  readonly openSessions: ReadonlySet<string>;
  wallMs(): number;
  /** Undefined where the record cannot be read. */
  phase(session: string): string | undefined;
}

/**
 * Puts each draft before core's rules, in turn, each after the ones before it have been taken in.
 * Readings cost nothing of the record's length here.
 */
export function decide(
  station: DecidingStation,
  record: OpenRecord,
  at: { command: string; author: string; entered: number; now: number },
  drafts: readonly Draft[],
): Result<NewFact[]> {
  const facts: NewFact[] = [];
  for (const [index, draft] of drafts.entries()) {
    const decided =
      record.kind === 'session'
        ? decideForSession(station, record, at, draft)
        : decideWorksheet(record.worksheetState(), { kind: draft.kind, data: stamped(station, draft) }, questions(station, record));
    if (!decided.ok) {
      if (index > 0) station.records.forget(record.id);
      return decided;
    }
    const { kind, data, taken } = decided.value;
    const fact: NewFact = {
      kind,
      version: isSessionKind(kind) ? sessionVersions[kind] : 1,
      data,
      ...(taken === undefined ? {} : { taken }),
    };
    facts.push(fact);
    if (index < drafts.length - 1) record.add(provisional(record, at, fact));
  }
  return success(facts);
}

/** The time of handing in is the station's, whatever the window's clock says. */
function stamped(station: DecidingStation, { kind, data }: Draft): unknown {
  return kind === 'worksheet-handed-in' ? { ...(data as object), wall: isoWithOffset(station.wallMs()) } : data;
}

function decideForSession(station: DecidingStation, record: OpenRecord, at: { author: string; now: number }, draft: Draft): ReturnType<typeof decideSession> {
  const state = record.sessionState();
  const other = draft.kind === 'exercise-started' || draft.kind === 'stop-taken-back' ? otherInExercise(station, record) : undefined;
  // Core asks this where exercise starts; a stop that is taken back starts it again.
  if (draft.kind === 'stop-taken-back' && other !== undefined)
    return failure('ergometer-busy', `The stop stands: ${other} is in Exercise on this ergometer by now. Recovery goes on.`);
  const { kind, data, taken } = draft;
  const kept = kind === 'series-attached' ? mayAttach(station.store, state, data) : success(undefined);
  if (!kept.ok) return kept;
  return decideSession(
    state,
    { kind, data, ...(taken === undefined ? {} : { taken }) },
    { now: at.now, author: at.author, ...(other === undefined ? {} : { otherInExercise: other }) },
  );
}

/** The questions of the lab sheet that a worksheet belongs to; undefined where the session cannot be read. */
function questions(station: DecidingStation, worksheet: OpenRecord): readonly string[] | undefined {
  const session = station.records.get(worksheet.session ?? '');
  return session.ok && session.value.damaged === undefined ? session.value.sessionState().sheet.questions.map(({ id }) => id) : undefined;
}

/** Who else is in Exercise on the same ergometer. Rehearsals and paper sheets use none. */
function otherInExercise(station: DecidingStation, record: OpenRecord): string | undefined {
  const own = record.sessionState();
  const profile = station.profile.read();
  const ergometer = (state: typeof own): string | undefined => ergometerOf(state, profile.ok ? profile.value.profile : undefined);
  if (own.way !== 'live' || ergometer(own) === undefined) return undefined;
  for (const id of station.openSessions) {
    if (id === record.id || station.phase(id) !== 'exercise') continue;
    const other = station.records.get(id);
    if (!other.ok) continue;
    const state = other.value.sessionState();
    if (state.way === 'live' && ergometer(state) === ergometer(own)) return state.details['participant-code']?.typed ?? id;
  }
  return undefined;
}

/** What stands in for the event until the store has written it. */
function provisional(record: OpenRecord, at: { command: string; author: string; entered: number }, fact: NewFact): RecordEvent {
  const { kind, version, data, taken } = fact;
  return {
    record: record.id,
    seq: record.length,
    kind,
    version,
    taken: taken ?? at.entered,
    entered: at.entered,
    author: at.author,
    command: at.command,
    data,
  };
}
