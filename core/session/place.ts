/** Finds the place on the sheet that a reading answers, when all that is known is what it is and when it was taken. */
import { formatClock } from '../clock-text.ts';
import type { ReadingQuantity } from '../vocabulary.ts';
import { repeatPending } from './alerts.ts';
import type { Slot } from './events.ts';
import type { SessionState, SlotState } from './state.ts';

/**
 * How far outside a slot's window a reading may lie and still be taken as its answer: a little before it opens (a pulse at
 * 0:30 is not the one of 1:00), more after it was given up. Common practice of this program [C].
 */
const EARLY_REACH = 10_000;
const LATE_REACH = 30_000;

/**
 * The slot that a reading of `quantity`, taken at session time `taken`, answers: the nearest in time whose window
 * (from opening to giving up) holds it or lies within 30 s of it; the earliest still empty where several do.
 *
 * @param mayAmend whether a slot that is already filled may be answered again (live entry shows that it amends); a
 *   sheet keyed in afterwards passes false, because a later row is another reading, not a correction.
 * @returns a place outside the schedule (`@m:ss`) where none fits, so that nothing heard is ever refused for its time.
 */
export function resolveSlot(state: SessionState, quantity: ReadingQuantity, taken: number, mayAmend = true): Slot {
  const phase = phaseAt(state, taken);
  // A pressure that was asked for again stands beside the first one; it does not amend it.
  if (mayAmend && phase === 'exercise' && (quantity === 'systolic' || quantity === 'diastolic') && repeatPending(state)) return offSchedule(state, quantity, taken, phase);
  let best: { slot: SlotState; distance: number } | undefined;
  for (const slot of state.slots.values()) {
    const scheduled = slot.scheduled;
    if (!scheduled || slot.slot.quantity !== quantity) continue;
    if (slot.slot.phase !== phase && !reachesInto(slot, phase, taken)) continue;
    const filled = slot.current !== undefined;
    if (filled && !mayAmend) continue;
    const distance = taken < scheduled.opens ? scheduled.opens - taken : taken > scheduled.missed ? taken - scheduled.missed : 0;
    if (distance > (taken < scheduled.opens ? EARLY_REACH : LATE_REACH)) continue;
    if (!best || better({ slot, distance }, best, taken)) best = { slot, distance };
  }
  if (best) return best.slot.slot;
  return offSchedule(state, quantity, taken, phase);
}

type Candidate = { readonly slot: SlotState; readonly distance: number };

function better(a: Candidate, b: Candidate, taken: number): boolean {
  if (a.distance !== b.distance) return a.distance < b.distance;
  const [aFilled, bFilled] = [a.slot.current !== undefined, b.slot.current !== undefined];
  if (aFilled !== bFilled) return !aFilled;
  const [aDue, bDue] = [a.slot.scheduled?.due ?? 0, b.slot.scheduled?.due ?? 0];
  if (aFilled) return Math.abs(aDue - taken) < Math.abs(bDue - taken);
  return aDue < bDue;
}

/** A stage's last readings may still be written when recovery has begun (gas means exist only after the stage). */
function reachesInto(slot: SlotState, phase: Slot['phase'], taken: number): boolean {
  return phase === 'recovery' && slot.slot.phase === 'exercise' && taken <= (slot.scheduled?.missed ?? 0) && (slot.slot.mark === 'stop' || slot.slot.mark === 'end');
}

/** Which phase a moment falls in. */
export function phaseAt(state: SessionState, taken: number): Slot['phase'] {
  if (state.starts.recovery !== undefined && taken >= state.starts.recovery) return 'recovery';
  if (state.starts.exercise !== undefined && taken >= state.starts.exercise) return 'exercise';
  return 'rest';
}

/** A place for a reading that the sheet did not ask for. */
export function offSchedule(state: SessionState, quantity: ReadingQuantity, taken: number, phase: Slot['phase'] = phaseAt(state, taken)): Slot {
  const start = state.starts[phase] ?? 0;
  const stage = phase === 'exercise' ? state.stages.findLast((known) => known.changed <= taken)?.number : undefined;
  return { phase, ...(stage === undefined ? {} : { stage }), mark: `@${formatClock(Math.max(0, taken - start))}`, quantity };
}
