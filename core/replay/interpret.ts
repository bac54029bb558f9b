/**
 * From the rows of a recorded session to the facts of a record, in their order, as the station takes them.
 *
 * Session time of a replay: Prepare begins at 0, Rest at 10:00 (later where Prepare took longer), Exercise one minute after
 * the last row of Rest, recovery at the stop.
 */
import type { RecordEvent } from '../record/event.ts';
import { recoveryAt } from '../recovery/tracker.ts';
import { sessionVersions, type SessionDraft, type Slot } from '../session/events.ts';
import { SessionFold } from '../session/fold.ts';
import { holdsOf } from '../session/holds.ts';
import { judgePressure, judgeReading } from '../session/plausible.ts';
import { readDetail } from '../session/plausible-details.ts';
import type { SessionState } from '../session/state.ts';
import { oneOf } from '../sheet/nearest.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { sha256Hex } from '../record/chain.ts';
import { unitOf } from '../units/units.ts';
import { detailQuantities, numericDetails, readingQuantities, type ReadingQuantity } from '../vocabulary.ts';
import { placeReadings, type PlacedReading } from './place-readings.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { coolDownNote, settingSteps } from './settings.ts';
import { stopReason } from './stop-reason.ts';
import { hasNoUnit, isNotTaken, readGait, readNumber, readPosture, readYesNo } from './values.ts';

const MINUTE = 60_000;
const REST_BEGINS = 10 * MINUTE;
/** So long after the stop an Exercise row can still be about the end of Exercise (a gas mean, what the participant says). */
const AFTER_STOP = 2 * MINUTE;
/** Ranks of facts at one moment: those of recovery stand after the stop, the closing after all. */
const IN_RECOVERY = 10;
const CLOSING = 20;

export interface ReplayWarning {
  readonly line?: number;
  readonly text: string;
}

/** A fact, who states it and which row it comes from. */
export interface ReplayFact {
  readonly draft: SessionDraft & { readonly taken: number };
  readonly author: string;
  readonly line: number;
}

export interface SessionPlan {
  readonly facts: readonly ReplayFact[];
  readonly warnings: readonly ReplayWarning[];
}

interface Step {
  readonly draft: SessionDraft;
  readonly taken: number;
  readonly author: string;
  readonly line: number;
  /** What comes first at one moment: a start, then readings, then changes, then the stop. */
  readonly rank: number;
  /** For a strike: the step that is taken back. Its place in the record is known when all are in order. */
  readonly strikes?: Step;
}

/**
 * @param sheetText the lab sheet's own text, which the record will carry.
 * @throws {ReplayError} for the first row that cannot be understood.
 */
export function interpretSession(sheet: LabSheet, sheetText: string, rows: readonly SessionRow[]): SessionPlan {
  return new Interpretation(sheet, sheetText, rows).plan();
}

class Interpretation {
  readonly #sheet: LabSheet;
  readonly #sheetText: string;
  readonly #rows: Readonly<Record<SessionRow['phase'], readonly SessionRow[]>>;
  readonly #warnings: ReplayWarning[] = [];
  readonly #steps: Step[] = [];
  readonly #authors = new Map<string, string>();
  #fallback = 'paper';

  constructor(sheet: LabSheet, sheetText: string, rows: readonly SessionRow[]) {
    this.#sheet = sheet;
    this.#sheetText = sheetText;
    const byTime = rows.toSorted((a, b) => a.time - b.time || a.line - b.line);
    const of = (phase: SessionRow['phase']): SessionRow[] => byTime.filter((row) => row.phase === phase);
    this.#rows = { prepare: of('prepare'), rest: of('rest'), exercise: of('exercise'), recovery: of('recovery'), worksheet: of('worksheet') };
  }

  plan(): SessionPlan {
    const { prepare, rest, exercise, recovery } = this.#rows;
    const stop = this.#stopRow(exercise, recovery);
    const recorder = [...prepare, ...rest].findLast((row) => row.quantity.kind === 'detail' && row.quantity.detail === 'recorder' && !isNotTaken(row));
    if (recorder) this.#fallback = recorder.value.slice(0, 40);

    const lastOf = (list: readonly SessionRow[]): number => list.at(-1)?.time ?? 0;
    const prepared = lastOf(prepare);
    const restBegins = prepared < REST_BEGINS ? REST_BEGINS : Math.floor(prepared / MINUTE + 1) * MINUTE;
    const exerciseBegins = restBegins + lastOf(rest) + MINUTE;
    const stopped = exerciseBegins + stop.time;
    const begins = { prepare: 0, rest: restBegins, exercise: exerciseBegins, recovery: stopped, worksheet: 0 };
    const at = (row: SessionRow): number => begins[row.phase] + row.time;

    for (const row of [...prepare, ...rest]) this.#head(row, at(row));
    this.#add({ kind: 'rest-started', data: {} }, restBegins, this.#fallback, rest[0]?.line ?? 1, -1);
    this.#ergometer(exercise, exerciseBegins, stop.time);
    this.#stop(stop, stopped, exercise);
    for (const row of exercise) this.#observation(row, at(row));
    for (const row of recovery) this.#observation(row, at(row));
    this.#readings([...rest, ...exercise, ...recovery], at, stop);
    this.#close(recovery, stopped + lastOf(recovery), recovery.at(-1)?.line ?? stop.line);
    return { facts: this.#ordered(), warnings: this.#warnings };
  }

  /** One author's name in one form, however the capitals are written. */
  #author(row: SessionRow): string {
    const name = row.by === '' ? this.#fallback : row.by;
    const known = this.#authors.get(name.toLowerCase());
    if (known === undefined) this.#authors.set(name.toLowerCase(), name);
    return known ?? name;
  }

  /** @param rank see `Step`; facts of recovery stand after the stop, also where both are at one moment. */
  #add(draft: SessionDraft, taken: number, author: string, line: number, rank: number, strikes?: Step): Step {
    const step = { draft, taken, author, line, rank, ...(strikes ? { strikes } : {}) };
    this.#steps.push(step);
    return step;
  }

  #warn(row: SessionRow | undefined, text: string): void {
    this.#warnings.push(row ? { line: row.line, text } : { text });
  }

  #stopRow(exercise: readonly SessionRow[], recovery: readonly SessionRow[]): SessionRow {
    const stops = exercise.filter((row) => row.quantity.kind === 'stop');
    const [first] = stops;
    const stray = exercise[0] ?? recovery[0];
    if (!stray) throw new ReplayError(1, 'the file has no rows of Exercise', 'a recorded session has at least a start and a stop of Exercise');
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

  /** Prepare and Rest: the head of the sheet. Readings are placed later. */
  #head(row: SessionRow, taken: number): void {
    const { quantity } = row;
    const author = this.#author(row);
    switch (quantity.kind) {
      case 'detail':
        this.#detail(row, quantity.detail, taken, author);
        return;
      case 'screening': {
        const outcome = ({ go: 'go', yes: 'go', 'another test': 'another-test', 'another-test': 'another-test', 'no test today': 'no-test-today', 'no-test-today': 'no-test-today', no: 'no-test-today' } as const)[row.value.toLowerCase()];
        if (outcome === undefined) throw new ReplayError(row.line, `"${row.value}" is not an outcome of screening`, 'write go, another-test or no-test-today');
        this.#add({ kind: 'screening-done', data: { outcome, by: author } }, taken, author, row.line, 0);
        return;
      }
      case 'consent':
        this.#add({ kind: 'consent-noted', data: { given: readYesNo(row) } }, taken, author, row.line, 0);
        return;
      case 'check':
        this.#check(row, quantity.check, taken, author);
        return;
      default:
        this.#observation(row, taken);
    }
  }

  #detail(row: SessionRow, detail: keyof typeof detailQuantities, taken: number, author: string): void {
    const { label, accepts, unit: own } = detailQuantities[detail];
    if (isNotTaken(row)) {
      if (row.note !== '') this.#add({ kind: 'note-added', data: { text: `${label} not given: ${row.note}`.slice(0, 200) } }, taken, author, row.line, 0);
      return;
    }
    const numeric = numericDetails.includes(detail);
    if (row.value.length > 200) throw new ReplayError(row.line, `${label.toLowerCase()} is too long`, 'at most 200 characters');
    const number = numeric ? readNumber(row, label, accepts, own) : undefined;
    const read = readDetail(detail, number && row.unit !== '' && hasNoUnit({ ...row, unit: '' }) ? `${row.value} ${unitOf(number.unit).label}` : row.value);
    if (!read.ok) throw new ReplayError(row.line, sentence(read.message), detail === 'sex' ? 'write female or male, or - where it was not given' : 'correct the value or its unit');
    if (read.judged.level === 'ask') this.#warn(row, read.judged.message.replace(/ Enter again to keep it\.$/, ''));
    this.#add({ kind: 'detail-given', data: { detail, typed: row.value, ...(number ? { unit: number.unit } : {}) } }, taken, author, row.line, 0);
  }

  #check(row: SessionRow, id: string, taken: number, author: string): void {
    const check = this.#sheet.checks.find((known) => known.id === id);
    if (!check) throw new ReplayError(row.line, `the lab sheet has no check "${id}"`, oneOf(id, this.#sheet.checks.map((known) => known.id)));
    if (isNotTaken(row)) {
      this.#add({ kind: 'check-done', data: { check: id, done: false } }, taken, author, row.line, 0);
    } else if (check.value === undefined) {
      this.#add({ kind: 'check-done', data: { check: id, done: row.value === '' || readYesNo(row) } }, taken, author, row.line, 0);
    } else {
      const unit = check.value.unit as (typeof detailQuantities)['mass']['unit'];
      const number = readNumber(row, check.text, [unit], unit);
      this.#add({ kind: 'check-done', data: { check: id, done: true, typed: row.value, unit: number.unit } }, taken, author, row.line, 0);
    }
  }

  #ergometer(exercise: readonly SessionRow[], begins: number, stopped: number): void {
    const rows = exercise.filter((row) => row.quantity.kind === 'stage' || row.quantity.kind === 'setting');
    const { steps, warnings } = settingSteps(this.#sheet, rows, stopped);
    this.#warnings.push(...warnings);
    for (const { draft, time, line, by } of steps) {
      const author = this.#author({ by } as SessionRow);
      this.#add(draft as SessionDraft, begins + time, author, line, draft.kind === 'exercise-started' ? -1 : draft.kind === 'stage-changed' ? 1 : 2);
    }
  }

  #stop(row: SessionRow, stopped: number, exercise: readonly SessionRow[]): void {
    const author = this.#author(row);
    this.#add({ kind: 'test-stopped', data: {} }, stopped, author, row.line, 4);
    const bare = isNotTaken(row) || /^(?:|yes|y|x|1|stop|stopped)$/i.test(row.value);
    let reason = bare ? row.note : row.value;
    let symptom: boolean | undefined;
    if (reason === '') {
      const noted = exercise.findLast((other) => other.quantity.kind === 'symptom' && other.time <= row.time && row.time - other.time <= MINUTE && !isNotTaken(other));
      if (noted === undefined) return;
      reason = noted.value === '' ? noted.note : noted.value;
      symptom = true;
      this.#warn(row, `No reason for the stop is given; the symptom noted just before it ("${reason}") is taken as the reason.`);
    }
    const read = stopReason(this.#sheet, reason);
    const isSymptom = symptom ?? (read.symptom || (read.judged && !bare && row.note !== '' && /^symptoms?$/i.test(reason)));
    if (read.judged && read.symptom && symptom === undefined) this.#warn(row, `"${reason}" is taken as a stop for a symptom: the peak is symptom-limited.`);
    const said = !bare && row.note !== '' ? `${read.reason} (${row.note})` : read.reason;
    this.#add({ kind: 'stop-reason-given', data: { reason: said.slice(0, 200), symptom: isSymptom } }, stopped, author, row.line, 5);
  }

  /** Everything but readings, details and settings. */
  #observation(row: SessionRow, taken: number): void {
    const { quantity } = row;
    const author = this.#author(row);
    const after = row.phase === 'recovery' ? IN_RECOVERY : 0;
    const note = (text: string): void => {
      if (text !== '') this.#add({ kind: 'note-added', data: { text: text.slice(0, 200) } }, taken, author, row.line, after + 3);
    };
    if (isNotTaken(row)) {
      if (quantity.kind !== 'reading' && row.note !== '') note(`${quantity.id}: ${row.note}`);
      return;
    }
    switch (quantity.kind) {
      case 'reading':
      case 'stop':
      case 'student-key':
        return;
      case 'stage':
        note(row.note);
        return;
      case 'setting':
        if (row.phase === 'recovery') note(coolDownNote(row));
        note(row.note);
        return;
      case 'gait':
        if (row.phase === 'recovery') note(`Cool-down: ${readGait(row)}`);
        else this.#add({ kind: 'gait-seen', data: { gait: readGait(row) } }, taken, author, row.line, 3);
        note(row.note);
        return;
      case 'handrail':
        this.#add({ kind: 'handrail-held', data: { held: readYesNo(row, 'yes or no, held or free') } }, taken, author, row.line, after + 3);
        note(row.note);
        return;
      case 'posture':
        this.#add({ kind: 'posture-changed', data: { posture: readPosture(row) } }, taken, author, row.line, after);
        note(row.note);
        return;
      case 'symptom': {
        const text = [row.value, row.note].filter((part) => part !== '').join(': ');
        if (text === '') throw new ReplayError(row.line, 'the symptom is not named', 'write it in value or note');
        if (/^(?:no|none|nil|no symptoms?|without)$/i.test(row.value)) this.#free(row, taken, author);
        else this.#add({ kind: 'symptom-noted', data: { text: text.slice(0, 200) } }, taken, author, row.line, after + 3);
        return;
      }
      case 'note': {
        const text = [row.value, row.note].filter((part) => part !== '').join(': ');
        if (text === '') throw new ReplayError(row.line, 'the note is empty', 'write it in value or note');
        note(text);
        return;
      }
      case 'override':
        this.#override(row, taken, author);
        return;
      case 'criterion': {
        const criterion = this.#sheet.recovery.criteria.find((known) => known.id === quantity.criterion);
        const seen = this.#sheet.recovery.criteria.filter((known) => known.kind === 'seen' || known.kind === 'no-symptoms').map((known) => known.id);
        if (!criterion) throw new ReplayError(row.line, `the lab sheet has no criterion "${quantity.criterion}"`, oneOf(quantity.criterion, seen));
        if (!seen.includes(criterion.id)) throw new ReplayError(row.line, `the criterion "${criterion.id}" is worked out from readings`, 'take the row out');
        this.#add({ kind: 'criterion-seen', data: { criterion: criterion.id, met: row.value === '' || readYesNo(row) } }, taken, author, row.line, after + 4);
        note(row.note);
        return;
      }
      default:
        throw new ReplayError(row.line, `"${quantity.id}" does not belong to the phase "${row.phase}"`, `give it in ${quantity.phases.join(' or ')}`);
    }
  }

  /** "No symptoms" answers the sheet's criterion in recovery, and is a note elsewhere. */
  #free(row: SessionRow, taken: number, author: string): void {
    const criterion = this.#sheet.recovery.criteria.find((known) => known.kind === 'no-symptoms');
    if (row.phase === 'recovery' && criterion) this.#add({ kind: 'criterion-seen', data: { criterion: criterion.id, met: true } }, taken, author, row.line, IN_RECOVERY + 4);
    else this.#add({ kind: 'note-added', data: { text: 'No symptoms' } }, taken, author, row.line, 3);
  }

  #override(row: SessionRow, taken: number, author: string): void {
    if (row.by === '') throw new ReplayError(row.line, 'nobody answers for this override', 'write the instructor’s initials in the column "by"');
    if (row.note === '') throw new ReplayError(row.line, 'this override has no reason', 'write it in the column "note"');
    const flat = (text: string): string => text.toLowerCase().replace(/[^a-z0-9]+/g, ' ').trim();
    const hold = holdsOf(this.#stateOf([])).find((known) => known.id === row.value.toLowerCase() || flat(known.text) === flat(row.value) || flat(known.id.replace(/^(?:detail|check)-/, '')) === flat(row.value));
    this.#add({ kind: 'hold-overridden', data: { hold: (hold?.id ?? row.value).slice(0, 200), initials: author, reason: row.note.slice(0, 200) } }, taken, author, row.line, (row.phase === 'recovery' ? IN_RECOVERY : 0) + 3);
  }

  #readings(rows: readonly SessionRow[], at: (row: SessionRow) => number, stop: SessionRow): void {
    const groups = new Map<string, { place: PlacedReading; rows: SessionRow[] }>();
    for (const row of rows) {
      if (row.quantity.kind !== 'reading') continue;
      if (row.phase === 'exercise' && row.time > stop.time + AFTER_STOP) {
        throw new ReplayError(row.line, `this reading of Exercise is at ${row.timeText}, and the test stopped at ${stop.timeText}`, 'give it in recovery, with the time since the stop');
      }
      const author = this.#author(row);
      const key = [row.phase, row.time, row.quantity.reading, author].join('|');
      const group = groups.get(key) ?? { place: { phase: row.phase as Slot['phase'], quantity: row.quantity.reading, author, taken: at(row) }, rows: [] };
      group.rows.push(row);
      groups.set(key, group);
    }
    const state = this.#stateOf(this.#steps);
    const all = [...groups.values()];
    const slots = placeReadings(state, all.map((group) => group.place));
    this.#resting(all);
    for (const [index, group] of all.entries()) {
      const slot = slots[index];
      if (slot) this.#group(state, group.place, slot, group.rows);
    }
    this.#pressures(all);
  }

  /** The readings of one author for one place: the first, and what amends it. */
  #group(state: SessionState, { quantity, taken, author }: PlacedReading, slot: Slot, rows: readonly SessionRow[]): void {
    let standing: Step | undefined;
    const rank = slot.phase === 'recovery' ? IN_RECOVERY : 0;
    for (const row of rows) {
      if (isNotTaken(row)) {
        // What was taken back: the earlier value is struck, and both stay visible.
        if (standing) this.#add({ kind: 'event-struck', data: { target: 0, reason: row.note === '' ? 'taken back' : row.note.slice(0, 200) } }, taken, author, row.line, rank, standing);
        standing = undefined;
        this.#add({ kind: 'reading-not-taken', data: { slot, reason: row.note === '' ? 'no reason given' : row.note.slice(0, 200) } }, taken, author, row.line, rank);
        continue;
      }
      const { label, accepts, unit: own } = readingQuantities[quantity];
      const number = readNumber(row, label, accepts, own);
      const judged = judgeReading(state, slot, quantity, row.value, number.unit);
      if (judged.level === 'refuse') throw new ReplayError(row.line, sentence(judged.message), 'correct the value or its unit, or write - with the reason in the note');
      if (judged.level === 'ask') this.#warn(row, judged.message.replace(/ Enter again to keep it\.$/, ''));
      const note = row.note === '' ? {} : { note: row.note.slice(0, 2000) };
      standing = this.#add({ kind: 'reading-taken', data: { slot, typed: row.value, unit: number.unit, source: 'paper', ...note } }, taken, author, row.line, rank);
    }
  }

  /** Several resting readings: said, because results rest on one of them. */
  #resting(groups: readonly { readonly place: PlacedReading; readonly rows: readonly SessionRow[] }[]): void {
    const counts = new Map<ReadingQuantity, SessionRow[]>();
    for (const { place, rows } of groups) {
      const last = rows.findLast((row) => !isNotTaken(row));
      if (place.phase === 'rest' && last) counts.set(place.quantity, [...(counts.get(place.quantity) ?? []), last]);
    }
    for (const [quantity, rows] of counts) {
      const last = rows.at(-1);
      if (rows.length > 1 && last) this.#warn(last, `${rows.length} resting readings of ${readingQuantities[quantity].label.toLowerCase()}: the last, ${last.value} at ${last.timeText}, is the resting value.`);
    }
  }

  /** A pressure is two rows of one moment, and they have to fit. */
  #pressures(groups: readonly { readonly place: PlacedReading; readonly rows: readonly SessionRow[] }[]): void {
    for (const { place, rows } of groups) {
      const row = rows.findLast((one) => !isNotTaken(one));
      if (place.quantity !== 'diastolic' || !row) continue;
      const upper = groups.find((other) => other.place.quantity === 'systolic' && other.place.phase === place.phase && other.place.taken === place.taken && other.place.author === place.author)?.rows.findLast((one) => !isNotTaken(one));
      if (!upper || upper.unit !== row.unit) continue;
      const [systolic, diastolic] = [upper, row].map((one) => readNumber(one, 'pressure', ['mm[Hg]', 'kPa'], 'mm[Hg]').value);
      const judged = diastolic === 0 && place.phase !== 'rest' ? undefined : judgePressure(systolic ?? 0, diastolic ?? 0);
      if (judged?.level === 'refuse') throw new ReplayError(row.line, sentence(judged.message), 'correct one of the two');
    }
  }

  #close(recovery: readonly SessionRow[], taken: number, line: number): void {
    const override = recovery.findLast((row) => row.quantity.kind === 'override' && !isNotTaken(row));
    const state = this.#stateOf(this.#ordered().map(({ draft, author, line: at }) => ({ draft, taken: draft.taken, author, line: at, rank: 0 })), true);
    const unmet = recoveryAt(state, taken).criteria.filter((criterion) => criterion.state !== 'met');
    if (unmet.length > 0 && !override) {
      this.#warn(undefined, `The file does not show that these criteria for leaving were met: ${unmet.map((criterion) => criterion.text).join('; ')}.`);
      const short = `Closed from a recorded file. Not shown in it: ${unmet.map((criterion) => criterion.id).join(', ')}.`;
      this.#add({ kind: 'note-added', data: { text: short.slice(0, 200) } }, taken, 'replay', line, CLOSING);
    }
    const early = override ? { early: { initials: this.#author(override), reason: override.note.slice(0, 200) } } : {};
    this.#add({ kind: 'session-closed', data: { outcome: 'left', ...early } }, taken, this.#fallback, line, CLOSING + 1);
  }

  #ordered(): readonly ReplayFact[] {
    const order = this.#steps.map((step, index) => ({ step, index })).toSorted((a, b) => a.step.taken - b.step.taken || a.step.rank - b.step.rank || a.index - b.index);
    // The station writes session-opened at place 0; the facts follow.
    const place = new Map(order.map(({ step }, index) => [step, index + 1]));
    return order.map(({ step }) => {
      const { draft, taken, author, line, strikes } = step;
      const settled = strikes && draft.kind === 'event-struck' ? { ...draft, data: { ...draft.data, target: place.get(strikes) ?? 0 } } : draft;
      return { draft: { ...settled, taken } as ReplayFact['draft'], author, line };
    });
  }

  /** The session as it stands after some of the facts. */
  #stateOf(steps: readonly Step[], ordered = false): SessionState {
    const fold = new SessionFold();
    const { id, version } = this.#sheet;
    const event = (kind: SessionDraft['kind'], data: unknown, taken: number, author: string, seq: number): RecordEvent => ({ record: 'replay', seq, kind, version: sessionVersions[kind], taken, entered: taken, author, command: 'replay', data });
    fold.add(event('session-opened', { way: 'paper', sheet: { id, version, hash: sha256Hex(this.#sheetText), text: this.#sheetText }, wall: '1970-01-01T00:00:00+00:00' }, 0, 'replay', 0));
    const sorted = ordered ? steps : steps.toSorted((a, b) => a.taken - b.taken || a.rank - b.rank);
    for (const [index, { draft, taken, author }] of sorted.entries()) fold.add(event(draft.kind, draft.data, taken, author, index + 1));
    return fold.state();
  }
}

/** A message of the rules, as the first half of a problem line. */
function sentence(message: string): string {
  return message.replace(/\.$/, '');
}
