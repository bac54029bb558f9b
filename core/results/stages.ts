/** Stage by stage: what was measured beside what the metabolic equations predict for the setting that was really used. */
import { evaluate, type GivenValue } from '../formulas/evaluate.ts';
import { formulaById } from '../formulas/registry.ts';
import { convert } from '../units/units.ts';
import type { BagResult } from './bag.ts';
import { stageLength } from '../session/schedule.ts';
import type { SessionState, Settings, SlotState, StageState } from '../session/state.ts';
import { settingQuantities, type Gait, type ReadingQuantity, type SettingQuantity } from '../vocabulary.ts';

/**
 * Between these speeds (m/min) neither equation is the certain choice: the gait that was seen chooses.
 * Walking 50–100 and running above 134 m/min: ACSM's metabolic equations [P]; choose by gait between, ibid. [P].
 */
export const BETWEEN_WALK_AND_RUN = { from: 100, to: 134 } as const;

export interface PredictedUptake {
  readonly gait?: Gait;
  readonly formula: string;
  /** mL/kg/min. */
  readonly relative: number;
  /** L/min; undefined without a body mass. */
  readonly absolute?: number;
  readonly working: string;
  readonly source: string;
  readonly warnings: readonly string[];
}

export interface StageResult {
  readonly stage: StageState;
  /** Only completed stages are compared. */
  readonly compared: boolean;
  /** Speed in m/min and grade in %, where the ergometer has them; load in W. */
  readonly speed?: number;
  readonly grade?: number;
  readonly load?: number;
  readonly vo2?: number;
  readonly vo2Relative?: number;
  readonly vco2?: number;
  readonly rer?: number;
  readonly ve?: number;
  readonly heartRate?: number;
  /** Mean of the last two minutes, where the sheet asks for a steady heart rate. */
  readonly steadyHeartRate?: number;
  /** The same on other sheets, where the heart rates of the last two minutes are both there. */
  readonly lastTwoMinutes?: number;
  readonly systolic?: number;
  readonly diastolic?: number;
  readonly rpe?: number;
  readonly predicted?: PredictedUptake;
  /** The other gait's value, printed beside where the gait was not recorded between walking and running speeds. */
  readonly other?: PredictedUptake;
  /** Measured minus predicted, L/min and as a percentage of predicted. */
  readonly difference?: number;
  readonly percent?: number;
  /** Why there is no predicted value or no comparison, in words. */
  readonly why?: string;
  readonly warnings: readonly string[];
}

/** Standing value of a stage's reading: the one at its end, else the one at the stop, else its last. */
export function stageReading(state: SessionState, stage: number, quantity: ReadingQuantity): SlotState | undefined {
  const mine = [...state.slots.values()].filter((slot) => slot.slot.phase === 'exercise' && slot.slot.stage === stage && slot.slot.quantity === quantity && slot.current?.value !== undefined);
  return mine.find((slot) => slot.slot.mark === 'end') ?? mine.find((slot) => slot.slot.mark === 'stop') ?? mine.at(-1);
}

/** RER of a stage: as typed, else from VCO2 and VO2 of the same place. Undefined where neither is there. */
export function exchangeRatio(state: SessionState, stage: number): number | undefined {
  const typed = stageReading(state, stage, 'rer')?.current?.value;
  if (typed !== undefined) return typed;
  const vco2 = stageReading(state, stage, 'vco2')?.current?.value;
  const vo2 = stageReading(state, stage, 'vo2')?.current?.value;
  return vco2 !== undefined && vo2 !== undefined && vo2 > 0 ? vco2 / vo2 : undefined;
}

/** What one equation gives for a setting. Inputs are handed over by the formula's own names. */
export function predictedUptake(state: SessionState, id: string, setting: Settings, gait?: Gait): PredictedUptake | { readonly refused: string } {
  const formula = formulaById(id);
  if (!formula) return { refused: `this program has no formula "${id}"` };
  const from = (name: SettingQuantity): GivenValue | undefined => setting[name] && { value: setting[name].value, unit: settingQuantities[name].unit };
  // A load keeps the unit in which it was set: some equations have constants of their own for each unit.
  const load = setting.load && { value: Number(setting.load.typed.replace(',', '.')), unit: setting.load.unit };
  const known: Readonly<Record<string, GivenValue | undefined>> = {
    speed: from('speed'),
    grade: from('grade') ?? (setting.speed ? { value: 0, unit: '%' } : undefined),
    load,
    cadence: from('cadence'),
    cycles: from('step-rate'),
    height: from('step-height'),
    mass: state.mass === undefined ? undefined : { value: state.mass, unit: 'kg' },
  };
  const given: Record<string, GivenValue> = {};
  for (const [name, spec] of Object.entries(formula.inputs)) {
    const value = known[name];
    if (value) given[name] = value;
    else if (spec.default === undefined) return { refused: name === 'mass' ? 'the body mass is not on the sheet' : `${spec.label.toLowerCase()} is not known for this stage` };
  }
  const done = evaluate(formula, given);
  if (!done.ok) return { refused: done.error.message };
  const relative = done.unit === 'L/min' && state.mass !== undefined ? (done.value * 1000) / state.mass : done.value;
  return {
    ...(gait === undefined ? {} : { gait }),
    formula: formula.id,
    relative,
    ...(state.mass === undefined ? {} : { absolute: (relative * state.mass) / 1000 }),
    working: done.working,
    source: formula.source.citation,
    warnings: done.warnings,
  };
}

/** Which gait's equation a stage takes, and whether that was a choice without a recorded gait. */
export function gaitFor(state: SessionState, stage: StageState, speed: number): { readonly gait: Gait; readonly between: boolean; readonly recorded: boolean } {
  const between = speed >= BETWEEN_WALK_AND_RUN.from && speed <= BETWEEN_WALK_AND_RUN.to;
  if (!between) return { gait: speed < BETWEEN_WALK_AND_RUN.from ? 'walk' : 'run', between, recorded: stage.gait !== undefined };
  const rule = state.sheet['predicted-vo2'];
  const fallback = rule && 'walk' in rule ? rule['between-walk-and-run'] : 'walk';
  return { gait: stage.gait ?? fallback, between, recorded: stage.gait !== undefined };
}

/** All stages that were really set, in order. */
export function stageResults(state: SessionState, bags: readonly BagResult[] = []): readonly StageResult[] {
  return state.stages.map((stage) => stageResult(state, stage, bags.find((bag) => bag.stage === stage.number)));
}

function stageResult(state: SessionState, stage: StageState, bag: BagResult | undefined): StageResult {
  const value = (quantity: ReadingQuantity): number | undefined => stageReading(state, stage.number, quantity)?.current?.value;
  const speed = stage.actual.speed && convert(stage.actual.speed.value, 'km/h', 'm/min');
  const grade = stage.actual.grade?.value ?? (speed === undefined ? undefined : 0);
  const vo2 = value('vo2') ?? bag?.vo2;
  const rer = exchangeRatio(state, stage.number) ?? bag?.rer;
  const warnings: string[] = [];
  if (stage.handrail) warnings.push('A hand was on the rail: the equations over-predict, and the comparison is spoilt.');
  if (stage.assumed) warnings.push('The change of this stage was not recorded; it is taken to be on plan.');
  if (stage.completed && stage.steady !== undefined && stage.steady.state !== 'steady') warnings.push('The heart rate was not steady.');
  if (stage.differsFromPlan) warnings.push('The setting was not the planned one; the comparison uses what was really set.');

  const { predicted, other, why: noEquation, notes } = prediction(state, stage, speed);
  warnings.push(...notes);
  let why = noEquation;
  if (!stage.completed) why = 'the stage was not finished';
  else if (vo2 === undefined && why === undefined) why = 'oxygen uptake was not taken';
  else if (state.mass === undefined && why === undefined) why = 'the body mass is not on the sheet';
  const difference = stage.completed && vo2 !== undefined && predicted?.absolute !== undefined ? vo2 - predicted.absolute : undefined;
  const optional = { speed, grade, load: stage.actual.load?.value, vo2, vo2Relative: vo2 !== undefined && state.mass !== undefined ? (vo2 * 1000) / state.mass : undefined, vco2: value('vco2') ?? bag?.vco2 ?? (vo2 !== undefined && rer !== undefined ? vo2 * rer : undefined), rer, ve: value('ve') ?? bag?.ve, steadyHeartRate: stage.steady?.mean, lastTwoMinutes: stage.steady ? undefined : lastTwoMinutes(state, stage), heartRate: value('heart-rate') ?? lastMinute(state, stage), systolic: value('systolic'), diastolic: value('diastolic'), rpe: value('rpe'), predicted, other, difference, percent: difference === undefined || predicted?.absolute === undefined ? undefined : (100 * difference) / predicted.absolute, why };
  return { stage, compared: difference !== undefined, ...defined(optional), warnings: [...warnings, ...(predicted?.warnings ?? [])] };
}

interface Prediction {
  readonly predicted?: PredictedUptake;
  readonly other?: PredictedUptake;
  readonly why?: string;
  readonly notes: readonly string[];
}

function prediction(state: SessionState, stage: StageState, speed: number | undefined): Prediction {
  const rule = state.sheet['predicted-vo2'];
  const work = (id: string, gait?: Gait): { readonly found?: PredictedUptake; readonly why?: string } => {
    const done = predictedUptake(state, id, stage.actual, gait);
    return 'refused' in done ? { why: done.refused } : { found: done };
  };
  if (!rule) return { why: 'the lab sheet names no equation for this ergometer', notes: [] };
  if (!('walk' in rule)) {
    const { found, why } = work(rule.formula);
    return { ...(found === undefined ? {} : { predicted: found }), ...(why === undefined ? {} : { why }), notes: [] };
  }
  if (speed === undefined) return { why: 'no speed was set', notes: [] };
  const chosen = gaitFor(state, stage, speed);
  const { found, why } = work(rule[chosen.gait], chosen.gait);
  const name = chosen.gait === 'walk' ? 'walking' : 'running';
  const notes: string[] = [];
  let other: PredictedUptake | undefined;
  if (chosen.between && !chosen.recorded) {
    const gait = chosen.gait === 'walk' ? 'run' : 'walk';
    other = work(rule[gait], gait).found;
    notes.push(`Gait was not recorded between walking and running speeds; the lab sheet takes the ${name} equation, and the other value stands beside it.`);
  } else if (!chosen.between && chosen.recorded && stage.gait !== chosen.gait) {
    notes.push(`Gait was recorded as ${stage.gait}; at this speed the ${name} equation is the published choice.`);
  }
  return { ...(found === undefined ? {} : { predicted: found }), ...(other === undefined ? {} : { other }), ...(why === undefined ? {} : { why }), notes };
}

/** Mean of the heart rates of a finished stage's last two minutes. */
function lastTwoMinutes(state: SessionState, stage: StageState): number | undefined {
  const last = Math.round(stageLength(state.sheet) / 60_000);
  const [first, second] = [last - 1, last].map((minute) => state.slots.get(`exercise/s${stage.number}/m${minute}/heart-rate`)?.current?.value);
  return first === undefined || second === undefined ? undefined : (first + second) / 2;
}

/** Heart rate is read each minute: the stage's own is its last. */
function lastMinute(state: SessionState, stage: StageState): number | undefined {
  return [...state.slots.values()].filter((slot) => slot.slot.phase === 'exercise' && slot.slot.stage === stage.number && slot.slot.quantity === 'heart-rate' && slot.current?.value !== undefined).at(-1)?.current?.value;
}

type Defined<T> = { [Key in keyof T]?: Exclude<T[Key], undefined> };
/** Leaves out what is undefined, so that plain data stays plain. */
export function defined<T extends object>(values: T): Defined<T> {
  return Object.fromEntries(Object.entries(values).filter(([, value]) => value !== undefined)) as Defined<T>;
}
