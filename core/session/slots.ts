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

interface Draft {
  key: string;
  slot: SlotState['slot'];
  scheduled?: ScheduledSlot;
  readings: Reading[];
  notTaken?: SlotState['notTaken'];
}

/**
 * Sorts readings into their slots. One author's later reading for a slot amends the earlier; two authors' readings both
 * stand, and where they are not the same the sheet says that they differ.
 */
export function fillSlots(sheet: LabSheet, facts: Facts, stages: readonly StageState[], events: readonly SessionEvent[]): ReadonlyMap<string, SlotState> {
  const drafts = new Map<string, Draft>();
  for (const scheduled of scheduleOf(sheet, facts, stages)) drafts.set(scheduled.key, { key: scheduled.key, slot: scheduled.slot, scheduled, readings: [] });

  for (const event of events) {
    if (event.kind !== 'reading-taken' && event.kind !== 'reading-not-taken') continue;
    const { slot } = event.data;
    if (!isReadingQuantity(slot.quantity)) continue;
    if (slot.phase === 'exercise' && facts.voidedExercise.some((range) => event.seq >= range.from && event.seq < range.to)) continue;
    const key = slotKey(slot);
    let draft = drafts.get(key);
    if (!draft) {
      draft = { key, slot: { ...slot, quantity: slot.quantity as ReadingQuantity }, readings: [] };
      drafts.set(key, draft);
    }
    const struck = facts.struckSeqs.get(event.seq);
    if (event.kind === 'reading-not-taken') {
      if (!struck) draft.notTaken = { reason: event.data.reason, author: event.author, seq: event.seq };
      continue;
    }
    if (!struck) {
      delete draft.notTaken;
      const before = draft.readings.findLast((reading) => reading.author === event.author && !reading.struck && reading.amendedBy === undefined);
      if (before) draft.readings[draft.readings.indexOf(before)] = { ...before, amendedBy: event.seq };
    }
    const { value, perKilogram } = readingValue(draft.slot.quantity, event.data.typed, event.data.unit, facts.mass);
    draft.readings.push({
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

  const finished = [...drafts.values()].map((draft): SlotState => {
    const { readings } = draft;
    const standing = readings.filter((reading) => !reading.struck && reading.amendedBy === undefined);
    const current = standing.find((reading) => reading.author === facts.people.recorder) ?? standing[0];
    const differ = standing.length > 1 && standing.some((reading) => reading.value !== standing[0]?.value);
    return {
      key: draft.key,
      slot: draft.slot,
      ...(draft.scheduled === undefined ? {} : { scheduled: draft.scheduled }),
      readings,
      ...(current === undefined ? {} : { current }),
      differ,
      ...(draft.notTaken === undefined || current !== undefined ? {} : { notTaken: draft.notTaken }),
    };
  });
  const order = { rest: 0, exercise: 1, recovery: 2 };
  const moment = (slot: SlotState): number => slot.scheduled?.due ?? slot.readings[0]?.taken ?? 0;
  finished.sort((a, b) => order[a.slot.phase] - order[b.slot.phase] || moment(a) - moment(b));
  return new Map(finished.map((slot) => [slot.key, slot]));
}
