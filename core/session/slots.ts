/** Second half of the fold: every reading in its place on the sheet. */
import type { LabSheet } from '../sheet/schema.ts';
import { isReadingQuantity, type ReadingQuantity } from '../vocabulary.ts';
import type { Facts } from './facts.ts';
import { slotKey, type SessionEvent } from './events.ts';
import { recoverySlots, restSlots, stageSlots, type ScheduledSlot } from './schedule.ts';
import type { Reading, SlotState, StageState } from './state.ts';
import { readingValue } from './values.ts';

/** Every place that the sheet asks for, given the stages that really ran. */
export function scheduleOf(sheet: LabSheet, facts: Pick<Facts, 'starts' | 'stop'>, stages: readonly StageState[]): ScheduledSlot[] {
  const slots: ScheduledSlot[] = [];
  if (facts.starts.rest !== undefined) slots.push(...restSlots(sheet, facts.starts.rest));
  for (const [index, stage] of stages.entries()) {
    const last = index === stages.length - 1;
    slots.push(...stageSlots(sheet, stage, last ? facts.stop?.taken : undefined));
  }
  if (facts.starts.recovery !== undefined) slots.push(...recoverySlots(sheet, facts.starts.recovery, facts.stop?.symptom ?? false));
  return slots;
}

/** What was written for one place, before it is known whether the schedule asks for it. */
export interface Written {
  readonly slot: SlotState['slot'];
  readonly readings: readonly Reading[];
  readonly notTaken?: SlotState['notTaken'];
}

/**
 * Sorts readings by the place that they answer. One author's later reading for a slot amends the earlier; two authors'
 * readings both stand.
 */
export function collectReadings(facts: Facts, events: readonly SessionEvent[]): ReadonlyMap<string, Written> {
  const written = new Map<string, { slot: SlotState['slot']; readings: Reading[]; notTaken?: SlotState['notTaken'] }>();
  for (const event of events) {
    if (event.kind !== 'reading-taken' && event.kind !== 'reading-not-taken') continue;
    const { slot } = event.data;
    if (!isReadingQuantity(slot.quantity)) continue;
    if (slot.phase === 'exercise' && facts.voidedExercise.some((range) => event.seq >= range.from && event.seq < range.to)) continue;
    const key = slotKey(slot);
    let place = written.get(key);
    if (!place) {
      place = { slot: { ...slot, quantity: slot.quantity as ReadingQuantity }, readings: [] };
      written.set(key, place);
    }
    const struck = facts.struckSeqs.get(event.seq);
    if (event.kind === 'reading-not-taken') {
      if (!struck) place.notTaken = { reason: event.data.reason, author: event.author, seq: event.seq };
      continue;
    }
    if (!struck) {
      delete place.notTaken;
      const before = place.readings.findLast((reading) => reading.author === event.author && !reading.struck && reading.amendedBy === undefined);
      if (before) place.readings[place.readings.indexOf(before)] = { ...before, amendedBy: event.seq };
    }
    const { value, perKilogram } = readingValue(place.slot.quantity, event.data.typed, event.data.unit, facts.mass);
    place.readings.push({
      typed: event.data.typed,
      unit: event.data.unit,
      ...(value === undefined ? {} : { value }),
      author: event.author,
      taken: event.taken,
      entered: event.entered,
      seq: event.seq,
      ...(event.data.heard === undefined ? {} : { heard: event.data.heard }),
      source: event.data.source ?? 'heard',
      ...(event.data.note === undefined ? {} : { note: event.data.note }),
      confirmed: event.data.confirmed === true,
      ...(struck === undefined ? {} : { struck }),
      ...(perKilogram ? { perKilogram } : {}),
    });
  }
  return written;
}

/** The reading that counts for a place: the recorder's, else the first author's; and whether authors differ. */
export function standingReading(written: Pick<Written, 'readings'>, recorder: string | undefined): { readonly current?: Reading; readonly differ: boolean } {
  const standing = written.readings.filter((reading) => !reading.struck && reading.amendedBy === undefined);
  const current = standing.find((reading) => reading.author === recorder) ?? standing[0];
  return { ...(current === undefined ? {} : { current }), differ: standing.length > 1 && standing.some((reading) => reading.value !== standing[0]?.value) };
}

/** Every place on the sheet with what was written for it; readings that the sheet did not ask for among them. */
export function fillSlots(sheet: LabSheet, facts: Facts, stages: readonly StageState[], written: ReadonlyMap<string, Written>): ReadonlyMap<string, SlotState> {
  const schedule = new Map(scheduleOf(sheet, facts, stages).map((scheduled) => [scheduled.key, scheduled]));
  const keys = new Set([...schedule.keys(), ...written.keys()]);
  const finished = [...keys].map((key): SlotState => {
    const scheduled = schedule.get(key);
    const place = written.get(key);
    const readings = place?.readings ?? [];
    const { current, differ } = standingReading({ readings }, facts.people.recorder);
    return {
      key,
      slot: (scheduled?.slot ?? place?.slot) as SlotState['slot'],
      ...(scheduled === undefined ? {} : { scheduled }),
      readings,
      ...(current === undefined ? {} : { current }),
      differ,
      ...(place?.notTaken === undefined || current !== undefined ? {} : { notTaken: place.notTaken }),
    };
  });
  const order = { rest: 0, exercise: 1, recovery: 2 };
  const moment = (slot: SlotState): number => slot.scheduled?.due ?? slot.readings[0]?.taken ?? 0;
  finished.sort((a, b) => order[a.slot.phase] - order[b.slot.phase] || moment(a) - moment(b));
  return new Map(finished.map((slot) => [slot.key, slot]));
}
