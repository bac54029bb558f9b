/** The highest values of exercise, whatever stage they fell in; the unfinished last stage counts here. */
import { defined, type StageResult } from './stages.ts';
import { VO2_PER_MET } from '../units/table.ts';
import type { SessionState, SlotState } from '../session/state.ts';
import { gasQuantities, type ReadingQuantity } from '../vocabulary.ts';

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
  // A gas mean is typed when the stage is over; it belongs to the moment that it was due.
  const moment = gasQuantities.includes(quantity) ? Math.min(best.current.taken, best.scheduled?.due ?? Infinity) : best.current.taken;
  return { slot: best, peak: { value: best.current.value, at: moment - start, ...(best.slot.stage === undefined ? {} : { stage: best.slot.stage }) } };
}

export function peakOf(state: SessionState, stages: readonly StageResult[]): PeakResult {
  const vo2 = highest(state, 'vo2') ?? highestBag(state, stages);
  const relative = vo2 && state.mass !== undefined ? (vo2.peak.value * 1000) / state.mass : undefined;
  const systolic = highest(state, 'systolic');
  const diastolic = systolic && exerciseSlots(state, 'diastolic').find((slot) => slot.slot.stage === systolic.slot.slot.stage && slot.slot.mark === systolic.slot.slot.mark)?.current?.value;
  return defined({
    vo2: vo2?.peak,
    vo2Relative: relative,
    mets: relative === undefined ? undefined : relative / VO2_PER_MET,
    heartRate: highest(state, 'heart-rate')?.peak,
    rer: highestRatio(state, stages),
    rpe: highest(state, 'rpe')?.peak,
    ve: highest(state, 've')?.peak,
    systolic: systolic?.peak,
    diastolic,
    lastRise: lastRise(stages, state.mass),
    averaging: vo2?.slot?.scheduled?.covers,
  }) as PeakResult;
}

/** Where no uptake was typed, the highest that was worked out from a bag. */
function highestBag(state: SessionState, stages: readonly StageResult[]): { readonly peak: PeakValue; readonly slot?: SlotState } | undefined {
  const start = state.starts.exercise ?? 0;
  const best = stages.filter((row) => row.vo2 !== undefined).sort((a, b) => (b.vo2 ?? 0) - (a.vo2 ?? 0))[0];
  return best?.vo2 === undefined ? undefined : { peak: { value: best.vo2, at: (best.stage.ended ?? best.stage.ends) - start, stage: best.stage.number } };
}

/** RER is typed, or follows from VCO2 and VO2 of the same place. */
function highestRatio(state: SessionState, stages: readonly StageResult[]): PeakValue | undefined {
  const start = state.starts.exercise ?? 0;
  let best = highest(state, 'rer')?.peak;
  for (const row of stages) {
    if (row.rer !== undefined && (best === undefined || row.rer > best.value)) best = { value: row.rer, at: (row.stage.ended ?? row.stage.ends) - start, stage: row.stage.number };
  }
  return best;
}

/** An unfinished stage says something about a plateau only when it ran for so long: before, its mean overlaps the one before it. */
const LONG_ENOUGH = 60_000;

/**
 * The rise into the last stage that has an oxygen uptake and ran for a minute or to its end: a plateau is a rise of less than the set's cut
 * although the work was raised. Undefined where two stages that follow each other do not have a value.
 */
function lastRise(stages: readonly StageResult[], mass: number | undefined): PeakResult['lastRise'] {
  const [before, last] = stages.filter((row) => row.vo2 !== undefined && (row.stage.completed || (row.stage.ended ?? row.stage.ends) - row.stage.changed >= LONG_ENOUGH)).slice(-2);
  if (before?.vo2 === undefined || last?.vo2 === undefined || last.stage.number !== before.stage.number + 1) return undefined;
  const value = last.vo2 - before.vo2;
  return { value, ...(mass === undefined ? {} : { relative: (value * 1000) / mass }), fromStage: before.stage.number, toStage: last.stage.number };
}
