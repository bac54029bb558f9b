/**
 * Recovery: heart-rate recovery by posture, the return towards rest, and the sheet's leaving criteria.
 * A criterion that is met says what was measured; it clears nobody. The people in the room decide.
 */
import { formatClock, parseClock } from '../clock-text.ts';
import type { LabSheet } from '../sheet/schema.ts';
import type { Posture, ReadingQuantity } from '../vocabulary.ts';
import type { SessionState } from '../session/state.ts';

export interface CriterionState {
  readonly id: string;
  readonly text: string;
  readonly state: 'met' | 'not-yet' | 'unknown';
  /** What it rests on: "104 at 6:00, resting 74". */
  readonly because: string;
  /** A person ticks it; the program cannot measure it. */
  readonly seen: boolean;
}

export interface RecoveryPoint {
  /** Milliseconds from the stop. */
  readonly at: number;
  readonly value: number;
}

export interface RecoveryState {
  /** Milliseconds since the stop. */
  readonly elapsed: number;
  readonly heartRate: readonly RecoveryPoint[];
  readonly systolic: readonly RecoveryPoint[];
  readonly criteria: readonly CriterionState[];
  readonly mayLeave: boolean;
  readonly posture?: Posture;
  /** What the sheet's plan says to do now, and next; a symptom stop has no active cool-down. */
  readonly plan: { readonly text: string; readonly posture: Posture; readonly until: number } | undefined;
}

/** Standing readings of one quantity in recovery, by time. */
export function recoverySeries(state: SessionState, quantity: ReadingQuantity): readonly RecoveryPoint[] {
  const start = state.starts.recovery;
  if (start === undefined) return [];
  return [...state.slots.values()]
    .filter((slot) => slot.slot.phase === 'recovery' && slot.slot.quantity === quantity && slot.current?.value !== undefined)
    .map((slot) => ({ at: minuteMark(slot.slot.mark) ?? (slot.current?.taken ?? start) - start, value: slot.current?.value ?? 0 }))
    .sort((a, b) => a.at - b.at);
}

/** `m2` stands for two minutes after the stop, whenever within its window the pulse was counted. */
function minuteMark(mark: string): number | undefined {
  const match = /^m(\d+)$/.exec(mark);
  return match ? Number(match[1]) * 60_000 : undefined;
}

/** The resting value of a quantity: the Rest phase's standing reading. */
export function restingValue(state: SessionState, quantity: ReadingQuantity): number | undefined {
  return [...state.slots.values()].find((slot) => slot.slot.phase === 'rest' && slot.slot.quantity === quantity && slot.current?.value !== undefined)?.current?.value;
}

/** Posture (with activity) at a moment of recovery: what was recorded, else what the sheet's plan says. */
export function postureAt(state: SessionState, at: number): { readonly posture: Posture; readonly recorded: boolean } | undefined {
  const start = state.starts.recovery;
  if (start === undefined) return undefined;
  const recorded = state.postures.findLast((seen) => seen.taken >= start && seen.taken <= start + at);
  if (recorded) return { posture: recorded.posture, recorded: true };
  const planned = planAt(state.sheet, at);
  return planned && !state.stop?.symptom ? { posture: planned.posture, recorded: false } : undefined;
}

function planAt(sheet: LabSheet, at: number): RecoveryState['plan'] {
  const step = sheet.recovery.plan.find((part) => at < (parseClock(part.until) ?? 0)) ?? sheet.recovery.plan.at(-1);
  return step && { text: step.text, posture: step.posture, until: parseClock(step.until) ?? 0 };
}

/** After a stop for a symptom: no cool-down is called, lying with legs raised is offered first. Practice of this program, issue and design §2. */
const SYMPTOM_PLAN = { text: 'Lie down, legs raised. Readings every minute. The instructor stays.', posture: 'lying, legs raised' as const, until: Infinity };

/** Recovery as it stands at session time `now`. */
export function recoveryAt(state: SessionState, now: number): RecoveryState {
  const start = state.starts.recovery ?? now;
  const elapsed = Math.max(0, (state.starts.closed ?? now) - start);
  const heartRate = recoverySeries(state, 'heart-rate');
  const systolic = recoverySeries(state, 'systolic');
  const criteria = state.sheet.recovery.criteria.map((criterion) => judge(state, criterion, { elapsed, heartRate, systolic }));
  const posture = postureAt(state, elapsed)?.posture;
  return {
    elapsed,
    heartRate,
    systolic,
    criteria,
    // After a stop for a symptom leaving is the instructor's, whatever the numbers say.
    mayLeave: state.starts.recovery !== undefined && state.stop?.symptom !== true && criteria.every((criterion) => criterion.state === 'met'),
    ...(posture === undefined ? {} : { posture }),
    plan: state.stop?.symptom ? SYMPTOM_PLAN : planAt(state.sheet, elapsed),
  };
}

type Criterion = LabSheet['recovery']['criteria'][number];
interface Measured {
  readonly elapsed: number;
  readonly heartRate: readonly RecoveryPoint[];
  readonly systolic: readonly RecoveryPoint[];
}

function judge(state: SessionState, criterion: Criterion, measured: Measured): CriterionState {
  const { id, text } = criterion;
  const answer = (known: boolean, met: boolean, because: string, seen = false): CriterionState => ({ id, text, state: !known ? 'unknown' : met ? 'met' : 'not-yet', because, seen });
  switch (criterion.kind) {
    case 'heart-rate': {
      const last = measured.heartRate.at(-1);
      const before = measured.heartRate.at(-2);
      const rest = restingValue(state, 'heart-rate');
      if (!last) return answer(false, false, 'no reading yet');
      const falling = before === undefined || last.value <= before.value;
      const near = rest !== undefined && last.value <= rest + criterion['or-within-of-rest'];
      const met = falling && (last.value <= criterion['at-most'] || near);
      return answer(true, met, `${Math.round(last.value)} at ${formatClock(last.at)}${falling ? '' : ', rising'}${rest === undefined ? '' : `, resting ${Math.round(rest)}`}`);
    }
    case 'systolic': {
      const last = measured.systolic.at(-1);
      const rest = restingValue(state, 'systolic');
      if (!last) return answer(false, false, 'no reading yet');
      if (rest === undefined) return answer(false, false, `${Math.round(last.value)} at ${formatClock(last.at)}, no resting reading`);
      return answer(true, last.value <= rest + criterion['within-of-rest'], `${Math.round(last.value)} at ${formatClock(last.at)}, resting ${Math.round(rest)}`);
    }
    case 'no-symptoms': {
      // A symptom of the test itself counts until someone has seen it gone.
      const since = state.criteriaSeen[id];
      const symptom = state.symptoms.findLast((noted) => !noted.struck && noted.taken >= (state.starts.exercise ?? 0));
      if (since && (!symptom || since.taken >= symptom.taken)) return answer(true, since.met, since.met ? `asked by ${since.author}` : `not free of symptoms, ${since.author}`, true);
      return answer(false, false, symptom ? `${symptom.text}, noted at ${formatClock(symptom.taken - (state.starts.recovery ?? 0))}` : 'not asked yet', true);
    }
    case 'shortest': {
      const shortest = parseClock(criterion.time) ?? 0;
      return answer(true, measured.elapsed >= shortest, `${formatClock(measured.elapsed)} of ${criterion.time}`);
    }
    case 'seen': {
      const seen = state.criteriaSeen[id];
      return seen ? answer(true, seen.met, seen.met ? `seen by ${seen.author}` : `not yet, ${seen.author}`, true) : answer(false, false, 'not looked at yet', true);
    }
  }
}
