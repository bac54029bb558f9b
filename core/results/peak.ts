/** The highest values of exercise, whatever stage they fell in; the unfinished last stage counts here. */
import { defined, exchangeRatio } from './stages.ts';
import { VO2_PER_MET } from '../units/table.ts';
import type { SessionState, SlotState } from '../session/state.ts';
import type { ReadingQuantity } from '../vocabulary.ts';

export interface PeakValue {
  readonly value: number;
  /** Milliseconds from the start of exercise. */
  readonly at: number;
  readonly stage?: number;
}

export interface PeakResult {
  /** L/min: the highest mean that was entered; the averaging is the one that the sheet asks for. */
  readonly vo2?: PeakValue;
  /** mL/kg/min and METs of the same. */
  readonly vo2Relative?: number;
  readonly mets?: number;
  readonly heartRate?: PeakValue;
  readonly rer?: PeakValue;
  readonly rpe?: PeakValue;
  readonly ve?: PeakValue;
  readonly systolic?: PeakValue;
  /** Taken together with the highest systolic. */
  readonly diastolic?: number;
  /** Rise of oxygen uptake from the last finished stage to the next one's value, L/min, for the plateau criterion. */
  readonly lastRise?: { readonly value: number; readonly relative?: number; readonly fromStage: number; readonly toStage: number };
  /** What the highest oxygen uptake is called: a maximum only where the sheet's effort set was met. */
  readonly averaging?: string;
}

function exerciseSlots(state: SessionState, quantity: ReadingQuantity): readonly SlotState[] {
  return [...state.slots.values()].filter((slot) => slot.slot.phase === 'exercise' && slot.slot.quantity === quantity && slot.current?.value !== undefined);
}

function highest(state: SessionState, quantity: ReadingQuantity): { readonly peak: PeakValue; readonly slot: SlotState } | undefined {
  let best: SlotState | undefined;
  for (const slot of exerciseSlots(state, quantity)) if (best === undefined || (slot.current?.value ?? 0) > (best.current?.value ?? 0)) best = slot;
  if (!best?.current || best.current.value === undefined) return undefined;
  const start = state.starts.exercise ?? 0;
  return { slot: best, peak: { value: best.current.value, at: best.current.taken - start, ...(best.slot.stage === undefined ? {} : { stage: best.slot.stage }) } };
}

export function peakOf(state: SessionState): PeakResult {
  const vo2 = highest(state, 'vo2');
  const relative = vo2 && state.mass !== undefined ? (vo2.peak.value * 1000) / state.mass : undefined;
  const systolic = highest(state, 'systolic');
  const diastolic = systolic && exerciseSlots(state, 'diastolic').find((slot) => slot.slot.stage === systolic.slot.slot.stage && slot.slot.mark === systolic.slot.slot.mark)?.current?.value;
  return defined({
    vo2: vo2?.peak,
    vo2Relative: relative,
    mets: relative === undefined ? undefined : relative / VO2_PER_MET,
    heartRate: highest(state, 'heart-rate')?.peak,
    rer: highestRatio(state),
    rpe: highest(state, 'rpe')?.peak,
    ve: highest(state, 've')?.peak,
    systolic: systolic?.peak,
    diastolic,
    lastRise: lastRise(state),
    averaging: vo2?.slot.scheduled?.covers,
  }) as PeakResult;
}

/** RER is typed, or follows from VCO2 and VO2 of the same place. */
function highestRatio(state: SessionState): PeakValue | undefined {
  const typed = highest(state, 'rer')?.peak;
  const start = state.starts.exercise ?? 0;
  let best = typed;
  for (const stage of state.stages) {
    const ratio = exchangeRatio(state, stage.number);
    if (ratio !== undefined && (best === undefined || ratio > best.value)) best = { value: ratio, at: (stage.ended ?? stage.ends) - start, stage: stage.number };
  }
  return best;
}

/**
 * The rise into the last stage that has an oxygen uptake, finished or not: a plateau is a rise of less than the set's cut
 * although the work was raised. Undefined where fewer than two stages have a value.
 */
function lastRise(state: SessionState): PeakResult['lastRise'] {
  const withUptake = state.stages.flatMap((stage) => {
    const values = exerciseSlots(state, 'vo2').filter((slot) => slot.slot.stage === stage.number);
    const value = (values.find((slot) => slot.slot.mark === 'end') ?? values.find((slot) => slot.slot.mark === 'stop') ?? values.at(-1))?.current?.value;
    return value === undefined ? [] : [{ stage: stage.number, value }];
  });
  const [before, last] = withUptake.slice(-2);
  if (!before || !last || last.stage !== before.stage + 1) return undefined;
  const value = last.value - before.value;
  return { value, ...(state.mass === undefined ? {} : { relative: (value * 1000) / state.mass }), fromStage: before.stage, toStage: last.stage };
}
