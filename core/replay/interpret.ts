/**
 * From the rows of a recorded session to the facts of a record, in their order, as the station takes them.
 *
 * Session time of a replay: Prepare begins at 0, Rest at 10:00 (later where Prepare took longer), Exercise one minute after
 * the last row of Rest, recovery at the stop.
 */
import { recoveryAt } from '../recovery/tracker.ts';
import type { SessionDraft } from '../session/events.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { addHead } from './head.ts';
import { addObservation } from './observations.ts';
import { addReadings } from './readings.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { settingSteps } from './settings.ts';
import { rank, Steps, type ReplayFact, type ReplayWarning } from './steps.ts';
import { stopReason } from './stop-reason.ts';
import { isNotTaken } from './values.ts';

export type { ReplayFact, ReplayWarning } from './steps.ts';

const MINUTE = 60_000;
const REST_BEGINS = 10 * MINUTE;

export interface SessionPlan {
  readonly facts: readonly ReplayFact[];
  readonly warnings: readonly ReplayWarning[];
}

/**
 * @param sheetText the lab sheet's own text, which the record will carry.
 * @throws {ReplayError} for the first row that cannot be understood.
 */
export function interpretSession(sheet: LabSheet, sheetText: string, rows: readonly SessionRow[]): SessionPlan {
  const byTime = rows.toSorted((a, b) => a.time - b.time || a.line - b.line);
  const of = (phase: SessionRow['phase']): readonly SessionRow[] => byTime.filter((row) => row.phase === phase);
  const [prepare, rest, exercise, recovery] = [of('prepare'), of('rest'), of('exercise'), of('recovery')];
  const stop = stopRow(exercise, recovery);
  const recorder = [...prepare, ...rest].findLast((row) => row.quantity.kind === 'detail' && row.quantity.detail === 'recorder' && !isNotTaken(row));
  const steps = new Steps(sheet, sheetText, recorder?.value.slice(0, 40) ?? 'paper');

  const lastOf = (list: readonly SessionRow[]): number => list.at(-1)?.time ?? 0;
  const prepared = lastOf(prepare);
  const restBegins = prepared < REST_BEGINS ? REST_BEGINS : Math.floor(prepared / MINUTE + 1) * MINUTE;
  const exerciseBegins = restBegins + lastOf(rest) + MINUTE;
  const begins = { prepare: 0, rest: restBegins, exercise: exerciseBegins, recovery: exerciseBegins + stop.time, worksheet: 0 };
  const at = (row: SessionRow): number => begins[row.phase] + row.time;

  for (const row of [...prepare, ...rest]) addHead(steps, row, at(row));
  steps.add({ kind: 'rest-started', data: {} }, restBegins, '', rest[0]?.line ?? 1, rank.start);
  addErgometer(steps, exercise, exerciseBegins, stop.time);
  addStop(steps, stop, begins.recovery, exercise);
  for (const row of [...exercise, ...recovery]) addObservation(steps, row, at(row));
  addReadings(steps, [...rest, ...exercise, ...recovery], at, stop);
  addClosing(steps, recovery, begins.recovery + lastOf(recovery), recovery.at(-1)?.line ?? stop.line);
  return { facts: steps.ordered(), warnings: steps.warnings };
}

function stopRow(exercise: readonly SessionRow[], recovery: readonly SessionRow[]): SessionRow {
  if (exercise.length === 0 && recovery.length === 0) throw new ReplayError(1, 'the file has no rows of Exercise', 'a recorded session has at least a start and a stop of Exercise');
  const stops = exercise.filter((row) => row.quantity.kind === 'stop');
  const [first] = stops;
  if (!first) {
    const last = exercise.at(-1);
    const line = recovery[0]?.line ?? last?.line ?? 1;
    throw new ReplayError(line, recovery.length > 0 ? 'there are rows of recovery, and no row says when Exercise stopped' : 'no row says when Exercise stopped', `add a row like "${last?.timeText ?? '8:30'},exercise,stop,volitional exhaustion"`);
  }
  const other = stops.find((row) => row.time !== first.time);
  if (other) throw new ReplayError(other.line, `Exercise stops twice, at ${first.timeText} and at ${other.timeText}`, 'keep the row of the real stop');
  if (first.time <= 0) throw new ReplayError(first.line, 'Exercise stops at the moment it begins', 'write the time since the start of Exercise');
  return stops.at(-1) ?? first;
}

function addErgometer(steps: Steps, exercise: readonly SessionRow[], begins: number, stopped: number): void {
  const rows = exercise.filter((row) => row.quantity.kind === 'stage' || row.quantity.kind === 'setting');
  const found = settingSteps(steps.sheet, rows, stopped, steps.state().sex);
  steps.warnings.push(...found.warnings);
  const order = { 'exercise-started': rank.start, 'stage-changed': rank.change, 'setting-recorded': rank.setting };
  for (const { draft, time, line, by } of found.steps) steps.add(draft as SessionDraft, begins + time, by, line, order[draft.kind]);
}

function addStop(steps: Steps, row: SessionRow, stopped: number, exercise: readonly SessionRow[]): void {
  steps.addFor(row, { kind: 'test-stopped', data: {} }, stopped, rank.stop);
  const bare = isNotTaken(row) || /^(?:|yes|y|x|1|stop|stopped)$/i.test(row.value);
  const text = bare ? row.note : row.value;
  const give = (reason: string, symptom: boolean): void => void steps.addFor(row, { kind: 'stop-reason-given', data: { reason: reason.slice(0, 200), symptom } }, stopped, rank.reason);
  if (text === '') {
    // A symptom noted just before the stop, and no reason: the careful reading is that it was the reason.
    const noted = exercise.findLast((other) => other.quantity.kind === 'symptom' && other.time <= row.time && row.time - other.time <= MINUTE && !isNotTaken(other));
    if (noted === undefined) return;
    const symptom = noted.value === '' ? noted.note : noted.value;
    steps.warn(`No reason for the stop is given; the symptom noted just before it ("${symptom}") is taken as the reason.`, row);
    give(symptom, true);
    return;
  }
  const { reason, symptom, judged } = stopReason(steps.sheet, text);
  if (judged && symptom) steps.warn(`"${reason}" is taken as a stop for a symptom: the peak is symptom-limited.`, row);
  give(!bare && row.note !== '' ? `${reason} (${row.note})` : reason, symptom);
}

/** Closes the record, and says in it what the file does not show. */
function addClosing(steps: Steps, recovery: readonly SessionRow[], taken: number, line: number): void {
  const override = recovery.findLast((row) => row.quantity.kind === 'override' && !isNotTaken(row));
  const unmet = recoveryAt(steps.state(), taken).criteria.filter((criterion) => criterion.state !== 'met');
  if (unmet.length > 0 && !override) {
    steps.warn(`The file does not show that these criteria for leaving were met: ${unmet.map((criterion) => criterion.text).join('; ')}.`);
    const short = `Closed from a recorded file. Not shown in it: ${unmet.map((criterion) => criterion.id).join(', ')}.`;
    steps.add({ kind: 'note-added', data: { text: short.slice(0, 200) } }, taken, 'replay', line, rank.closing);
  }
  const early = override ? { early: { initials: steps.author(override.by), reason: override.note.slice(0, 200) } } : {};
  steps.add({ kind: 'session-closed', data: { outcome: 'left', ...early } }, taken, '', line, rank.closing + 1);
}
