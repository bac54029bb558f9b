/** The readings of a recorded session: where they belong, what amends what, and what is not possible. */
import type { Slot } from '../session/events.ts';
import { judgePressure, judgeReading } from '../session/plausible.ts';
import type { SessionState } from '../session/state.ts';
import { readingQuantities, type ReadingQuantity } from '../vocabulary.ts';
import { placeReadings, type PlacedReading } from './place-readings.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { rank, remark, sentence, type ReplayFact, type Step, type Steps } from './steps.ts';
import { isNotTaken, readNumber } from './values.ts';

/** So long after the stop an Exercise row can still be about the end of Exercise (a gas mean, what the participant says). */
const AFTER_STOP = 2 * 60_000;

/** Rows of one moment, quantity and author. */
interface Group {
  readonly place: PlacedReading;
  readonly rows: SessionRow[];
}

/**
 * Adds all readings.
 * @param steps the facts so far, stages and stop among them.
 * @param at session time of a row.
 */
export function addReadings(steps: Steps, rows: readonly SessionRow[], at: (row: SessionRow) => number, stop: SessionRow): void {
  const byPlace = new Map<string, Group>();
  for (const row of rows) {
    if (row.quantity.kind !== 'reading') continue;
    if (row.phase === 'exercise' && row.time > stop.time + AFTER_STOP) {
      throw new ReplayError(row.line, `this reading of Exercise is at ${row.timeText}, and the test stopped at ${stop.timeText}`, 'give it in recovery, with the time since the stop');
    }
    const author = steps.author(row.by);
    const key = [row.phase, row.time, row.quantity.reading, author].join('|');
    const group = byPlace.get(key) ?? { place: { phase: row.phase as Slot['phase'], quantity: row.quantity.reading, author, taken: at(row) }, rows: [] };
    group.rows.push(row);
    byPlace.set(key, group);
  }
  const groups = [...byPlace.values()];
  const { state, slots } = settle(steps, groups);
  sayWhichRests(steps, groups);
  for (const [index, group] of groups.entries()) {
    const slot = slots[index];
    if (slot) addGroup(steps, state, group, slot);
  }
  checkPressures(groups);
}

/**
 * Places all readings. Where the sheet holds a stage until the heart rate is steady, the readings themselves say how many
 * minutes a stage has: they are placed, the stages looked at, and placed again until no stage is held longer.
 */
function settle(steps: Steps, groups: readonly Group[]): { readonly state: SessionState; readonly slots: readonly Slot[] } {
  const places = groups.map((group) => group.place);
  let state = steps.state();
  let slots = placeReadings(state, places);
  const most = steps.sheet.stages['steady-state']?.['repeats-at-most'] ?? 0;
  for (let round = 0; round < most * state.stages.length; round += 1) {
    const taken = groups.flatMap(({ place: { quantity, author, taken: at }, rows }, index): ReplayFact[] => {
      const [slot, row] = [slots[index], rows.findLast((one) => !isNotTaken(one))];
      return quantity !== 'heart-rate' || !slot || !row ? [] : [{ draft: { kind: 'reading-taken', data: { slot, typed: row.value, unit: readNumber(row, 'heart rate', ['/min'], '/min').unit }, taken: at }, author, line: row.line }];
    });
    const held = steps.state(taken);
    if (held.stages.every((stage, index) => stage.repeats === state.stages[index]?.repeats)) break;
    state = held;
    slots = placeReadings(state, places);
  }
  return { state, slots };
}

/** The readings of one author for one place: the first, and what amends it. */
function addGroup(steps: Steps, state: SessionState, { place: { quantity, taken }, rows }: Group, slot: Slot): void {
  let standing: Step | undefined;
  for (const row of rows) {
    if (isNotTaken(row)) {
      // What was taken back: the earlier value is struck, and both stay visible.
      if (standing) steps.addFor(row, { kind: 'event-struck', data: { target: 0, reason: row.note === '' ? 'taken back' : row.note.slice(0, 200) } }, taken, rank.reading, standing);
      standing = undefined;
      steps.addFor(row, { kind: 'reading-not-taken', data: { slot, reason: row.note === '' ? 'no reason given' : row.note.slice(0, 200) } }, taken);
      continue;
    }
    const { label, accepts, unit: own } = readingQuantities[quantity];
    const number = readNumber(row, label, accepts, own);
    const judged = judgeReading(state, slot, quantity, row.value, number.unit);
    if (judged.level === 'refuse') throw new ReplayError(row.line, sentence(judged.message), 'correct the value or its unit, or write - with the reason in the note');
    if (judged.level === 'ask') steps.warn(remark(judged.message), row);
    const note = row.note === '' ? {} : { note: row.note.slice(0, 2000) };
    standing = steps.addFor(row, { kind: 'reading-taken', data: { slot, typed: row.value, unit: number.unit, source: 'paper', ...note } }, taken);
  }
}

/** Several resting readings: said, because results rest on one of them. */
function sayWhichRests(steps: Steps, groups: readonly Group[]): void {
  const taken = new Map<ReadingQuantity, SessionRow[]>();
  for (const { place, rows } of groups) {
    const last = rows.findLast((row) => !isNotTaken(row));
    if (place.phase === 'rest' && last) taken.set(place.quantity, [...(taken.get(place.quantity) ?? []), last]);
  }
  for (const [quantity, rows] of taken) {
    const last = rows.at(-1);
    if (rows.length > 1 && last) steps.warn(`${rows.length} resting readings of ${readingQuantities[quantity].label.toLowerCase()}: the last, ${last.value} at ${last.timeText}, is the resting value.`, last);
  }
}

/** A pressure is two rows of one moment, and they have to fit. */
function checkPressures(groups: readonly Group[]): void {
  for (const { place, rows } of groups) {
    const row = rows.findLast((one) => !isNotTaken(one));
    if (place.quantity !== 'diastolic' || !row) continue;
    const upper = groups.find((other) => other.place.quantity === 'systolic' && other.place.phase === place.phase && other.place.taken === place.taken && other.place.author === place.author)?.rows.findLast((one) => !isNotTaken(one));
    if (!upper || upper.unit !== row.unit) continue;
    const [systolic, diastolic] = [upper, row].map((one) => readNumber(one, 'pressure', ['mm[Hg]', 'kPa'], 'mm[Hg]').value);
    // 0 is "sounds to zero", which happens in exercise.
    const judged = diastolic === 0 && place.phase !== 'rest' ? undefined : judgePressure(systolic ?? 0, diastolic ?? 0);
    if (judged?.level === 'refuse') throw new ReplayError(row.line, sentence(judged.message), 'correct one of the two');
  }
}
