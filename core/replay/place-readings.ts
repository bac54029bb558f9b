/**
 * Finds the places on the sheet that the readings of a recorded session answer. A live reading is placed as it comes
 * (core/session/place.ts); here all of them are known, so each place takes the reading that fits it best, and a reading that
 * no place needs stands beside the schedule. A later row never takes an earlier one's place.
 */
import { formatClock } from '../clock-text.ts';
import type { Slot } from '../session/events.ts';
import type { SessionState, SlotState } from '../session/state.ts';
import type { ReadingQuantity } from '../vocabulary.ts';

/** A reading still further outside a place's window is not taken as its answer; as in core/session/place.ts. */
const REACH = 30_000;
/** In recovery a heart rate further than this from the minute is not that minute's. Choice of this program. */
const NEAR_MINUTE = 20_000;

/** Rows of one moment, quantity and author: the first reading and its amendments. */
export interface PlacedReading {
  readonly phase: Slot['phase'];
  readonly quantity: ReadingQuantity;
  readonly author: string;
  /** Session time. */
  readonly taken: number;
}

/**
 * A slot for each reading, in their order.
 * @param state the session with its stages and its stop, and without readings.
 */
export function placeReadings(state: SessionState, readings: readonly PlacedReading[]): readonly Slot[] {
  const slots = [...state.slots.values()].filter((slot) => slot.scheduled !== undefined);
  const offers = readings.flatMap((reading, index) => slots.flatMap((slot) => offerOf(state, reading, index, slot)));
  offers.sort((a, b) => a.tier - b.tier || a.distance - b.distance || a.index - b.index);
  const placed = new Map<number, Slot>();
  const taken = new Map<string, Set<string>>();
  for (const { index, slot, tier } of offers) {
    const reading = readings[index];
    if (!reading || placed.has(index)) continue;
    const authors = taken.get(slot.key) ?? new Set<string>();
    // Two people's readings both stand where both read in time; a reading that only reaches a place takes an empty one.
    if (authors.has(reading.author) || (tier > 0 && authors.size > 0)) continue;
    placed.set(index, slot.slot);
    taken.set(slot.key, authors.add(reading.author));
  }
  return readings.map((reading, index) => placed.get(index) ?? beside(state, reading));
}

interface Offer {
  readonly index: number;
  readonly slot: SlotState;
  /** 0 in time, 1 late, 2 within reach. */
  readonly tier: 0 | 1 | 2;
  readonly distance: number;
}

function offerOf(state: SessionState, reading: PlacedReading, index: number, slot: SlotState): Offer[] {
  const { scheduled } = slot;
  if (!scheduled || slot.slot.quantity !== reading.quantity) return [];
  if (slot.slot.phase !== reading.phase) {
    // A value of 0:00 in recovery is that of the stop, where Exercise has none.
    const ofTheStop = reading.phase === 'recovery' && slot.slot.phase === 'exercise' && reading.taken === state.starts.recovery && scheduled.due === reading.taken;
    return ofTheStop ? [{ index, slot, tier: 2, distance: 0 }] : [];
  }
  // The last resting reading before the start is the pre-test value, as in a live session, where it amends the ones before it.
  if (reading.phase === 'rest') return [{ index, slot, tier: 0, distance: -reading.taken }];
  // What is written in Exercise after the stop (gas means, what the participant says) describes the moment of the stop.
  const stop = state.starts.recovery;
  const at = reading.phase === 'exercise' && stop !== undefined ? Math.min(reading.taken, stop) : reading.taken;
  const distance = Math.abs(at - scheduled.due);
  // Heart-rate recovery is read off the minute: a pulse of 0:30 is neither that of 0:00 nor that of 1:00.
  if (reading.phase === 'recovery' && reading.quantity === 'heart-rate' && distance > NEAR_MINUTE) return [];
  if (at >= scheduled.opens && at <= scheduled.late) return [{ index, slot, tier: 0, distance }];
  if (at >= scheduled.opens && at <= scheduled.missed) return [{ index, slot, tier: 1, distance }];
  if (at >= scheduled.opens - REACH && at <= scheduled.missed + REACH) return [{ index, slot, tier: 2, distance }];
  return [];
}

/** A place outside the schedule. A reading at the very moment of a change still belongs to the stage that ends. */
function beside(state: SessionState, { phase, quantity, taken }: PlacedReading): Slot {
  const mark = `@${formatClock(Math.max(0, taken - (state.starts[phase] ?? 0)))}`;
  if (phase !== 'exercise') return { phase, mark, quantity };
  const stage = (state.stages.findLast((known) => known.changed < taken) ?? state.stages[0])?.number;
  return { phase, ...(stage === undefined ? {} : { stage }), mark, quantity };
}
