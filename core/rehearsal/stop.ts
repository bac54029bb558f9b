/** When and why a simulated test ends if nobody ends it sooner. */
import type { SessionState } from '../session/state.ts';
import { alertsOf, type Alert } from '../session/alerts.ts';
import { distanceOf } from '../sheet/stage-plan.ts';
import type { Cast } from './pair.ts';
import type { Body } from './physiology.ts';

export type StopWhy = 'fatigue' | 'asked' | 'faint' | 'end' | 'covered' | 'cap' | 'pressure-fell' | 'pressure-high';

/** Calls of the instructor at which the simulated instructor ends the test; a heart rate that does not rise is only looked at. */
const ENDS: Partial<Record<Alert['id'], StopWhy>> = { 'heart-rate-cap': 'cap', 'pressure-falling': 'pressure-fell', 'pressure-high': 'pressure-high' };

function calledOff(state: SessionState): { readonly at: number; readonly why: StopWhy }[] {
  return alertsOf(state).flatMap(({ id, ask, at }) => {
    const why = ask === 'instructor' ? ENDS[id] : undefined;
    return why === undefined ? [] : [{ at: at + 6_000, why }];
  });
}

/** How long after a stop was taken back the simulated participant goes on at least. */
const AFTER_TAKEN_BACK = 45_000;

/** When and why the test ends if nobody ends it sooner. */
export function stopPlan(state: SessionState, cast: Cast, body: Body): { readonly at: number; readonly why: StopWhy } {
  const { behaviour } = cast.participant;
  const present = state.stages.at(-1);
  const end = present && state.next === undefined ? Math.max(present.ends + 2_000, decidedAt(state, present.ends)) : Infinity;
  const candidates = [
    { at: body.exhausted, why: 'fatigue' as const },
    { at: end, why: 'end' as const },
    { at: coveredAt(state, cast), why: 'covered' as const },
    ...calledOff(state),
    ...(behaviour === 'early' ? [{ at: body.turns + 3_000, why: 'asked' as const }] : []),
    ...(behaviour === 'faint' && cast.participant.faints === 'exercise' ? [{ at: body.turns + 4_000, why: 'faint' as const }] : []),
  ];
  const first = candidates.reduce((a, b) => (b.at < a.at ? b : a));
  const back = state.stopsTakenBack.at(-1)?.taken;
  return { why: first.why, at: Math.round(back === undefined ? first.at : Math.max(first.at, back + AFTER_TAKEN_BACK)) };
}

/** A brisk walk on a track lies a little below the speed at which the person would run. Made for this program. */
const BRISK = 0.97;

/** When the distance of a field test is covered; Infinity where the sheet has none. */
function coveredAt(state: SessionState, { participant }: Cast): number {
  const metres = distanceOf(state.sheet);
  return metres === undefined || state.starts.exercise === undefined ? Infinity : state.starts.exercise + (metres / (BRISK * participant.runsFrom)) * 60_000;
}

/** After this the pair goes on without the heart rate that should have decided. */
const WAITS_FOR_HEART_RATE = 50_000;

/**
 * Where the sheet holds a stage until the heart rate is steady, or branches on it, the last heart rate of the stage decides, and
 * the pair waits for it: a second after it was taken; no wait on other sheets.
 * @param due when the stage ends.
 */
export function decidedAt(state: SessionState, due: number): number {
  const { 'steady-state': steady, branch } = state.sheet.stages;
  const present = state.stages.at(-1);
  if (!present || (!steady && branch?.after !== present.number)) return due;
  let last = -Infinity;
  for (const { slot, current } of state.slots.values()) if (slot.phase === 'exercise' && slot.stage === present.number && slot.quantity === 'heart-rate' && current) last = Math.max(last, current.taken);
  const pending = present.steady?.state === 'pending' || (branch?.after === present.number && state.next?.settings === undefined);
  return pending ? due + WAITS_FOR_HEART_RATE : Math.max(due, last + 1_000);
}
