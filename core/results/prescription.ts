/** The sheet's exercise prescription: target heart rate, and where the sheet asks for it uptake, load and week, checked against the person's own stages. */
import type { EffortResult } from '../formulas/effort.ts';
import { evaluate } from '../formulas/evaluate.ts';
import type { IntensityClass } from '../formulas/intensity.ts';
import { prescribe, type PrescribedMode, type Prescription as Worked } from '../formulas/prescription.ts';
import { formulaById } from '../formulas/registry.ts';
import { restingValue } from '../recovery/tracker.ts';
import type { SessionState } from '../session/state.ts';
import { readUnit } from '../sheet/check-tools.ts';
import type { LabSheet, Prescribed } from '../sheet/schema.ts';
import { convert, parseQuantity, type UnitCode } from '../units/units.ts';
import type { EquationResult } from './equations.ts';
import type { MaximalUptake } from './maximum.ts';
import type { PeakResult } from './peak.ts';
import type { StageResult } from './stages.ts';

export interface Prescription {
  readonly fraction: number;
  /** Target heart rate by heart-rate reserve, /min. */
  readonly heartRate?: number;
  readonly maximal?: number;
  /** Measured where the effort set was met, otherwise predicted. */
  readonly maximalFrom?: 'measured' | 'predicted';
  readonly resting?: number;
  readonly working?: string;
  readonly source?: string;
  readonly reason?: string;
  /** Uptake, load and week, where the sheet says how the exercise is done. */
  readonly exercise?: PrescribedExercise;
}

export interface PrescribedExercise {
  readonly mode: Prescribed['mode'];
  /** What the uptake was taken of, mL/kg/min. */
  readonly maximalUptake?: number;
  readonly uptakeFrom: MaximalUptake['from'];
  /** mL/kg/min and METs. */
  readonly vo2?: number;
  readonly mets?: number;
  /** The load, speed, grade or step rate that takes that uptake, or why there is none. */
  readonly load?: { readonly what: string; readonly value: number; readonly unit: UnitCode; readonly working: string };
  readonly noLoad?: string;
  readonly kcalPerMinute?: Worked['kcalPerMinute'];
  readonly minutes?: number;
  readonly sessions?: number;
  readonly kcalPerWeek?: Worked['kcalPerWeek'];
  readonly metMinutesPerWeek?: number;
  readonly classes?: { readonly byReserve: IntensityClass; readonly byMets: IntensityClass };
  /** Heart rate at that uptake by the participant's own stages, whose uptake was measured or is the equation's. */
  readonly ownLine?: { readonly heartRate: number; readonly difference: number; readonly uptake: 'measured' | 'by the equation'; readonly stages: number };
  readonly warnings: readonly string[];
  readonly reason?: string;
}

export interface MaximalHeartRate {
  readonly value?: number;
  readonly from?: 'measured' | 'predicted';
  readonly reason?: string;
}

/** The maximum that a prescription rests on: measured where the effort criteria were met, else the sheet's predicted one. */
export function prescriptionMaximum(peak: PeakResult, effort: EffortResult | undefined, predicted: EquationResult | undefined, symptomLimited: boolean): MaximalHeartRate {
  if (effort?.conclusion.met === true && !symptomLimited && peak.heartRate !== undefined) return { value: peak.heartRate.value, from: 'measured' };
  if (predicted?.known) return { value: predicted.value, from: 'predicted' };
  return { reason: predicted?.reason ?? 'no maximal heart rate is known' };
}

export interface ForPrescription {
  readonly maximum: MaximalHeartRate;
  readonly uptake: MaximalUptake;
  readonly stages: readonly StageResult[];
  readonly symptomLimited: boolean;
}

/** Undefined where the sheet asks for none. */
export function prescriptionOf(state: SessionState, known: ForPrescription): Prescription | undefined {
  const asked = state.sheet.results.prescription;
  if (!asked) return undefined;
  const { fraction } = asked;
  const resting = restingValue(state, 'heart-rate');
  const exercise = asked.by === undefined ? {} : { exercise: exerciseOf(state, asked, asked.by, known, resting) };
  if (resting === undefined) return { fraction, reason: 'the resting heart rate was not taken', ...exercise };
  const { value: maximal, from: maximalFrom, reason } = known.maximum;
  if (maximal === undefined || maximalFrom === undefined) return { fraction, resting, reason: reason ?? 'no maximal heart rate is known', ...exercise };
  const formula = formulaById('hr-reserve-target');
  const done = formula && evaluate(formula, { fraction: { value: fraction }, maximalHeartRate: { value: maximal }, restingHeartRate: { value: resting } });
  if (!formula || !done?.ok) return { fraction, resting, maximal, maximalFrom, reason: done?.ok === false ? done.error.message : 'the formula is missing', ...exercise };
  return { fraction, heartRate: done.value, maximal, maximalFrom, resting, working: done.working, source: formula.source.citation, ...exercise };
}

type Asked = NonNullable<LabSheet['results']['prescription']>;

function exerciseOf(state: SessionState, asked: Asked, by: Prescribed, { maximum, uptake, stages, symptomLimited }: ForPrescription, resting: number | undefined): PrescribedExercise {
  const shared = { mode: by.mode, uptakeFrom: uptake.from, ...(uptake.value === undefined ? {} : { maximalUptake: uptake.value }), warnings: [] as readonly string[] };
  const none = (reason: string): PrescribedExercise => ({ ...shared, reason });
  if (symptomLimited) return none('the test was stopped for a symptom');
  if (uptake.value === undefined) return none(uptake.reason ?? 'maximal oxygen uptake is not known');
  if (state.mass === undefined) return none('the body mass was not given');
  if (resting === undefined) return none('the resting heart rate was not taken');
  if (maximum.value === undefined) return none(maximum.reason ?? 'no maximal heart rate is known');
  const own = ownStages(stages);
  const done = prescribe({
    fraction: asked.fraction,
    vo2max: uptake.value,
    maximalHeartRate: maximum.value,
    restingHeartRate: resting,
    massKg: state.mass,
    ...(state.age === undefined ? {} : { ageYears: state.age }),
    exercise: modeOf(by),
    minutesPerSession: asked.minutes ?? 0,
    sessionsPerWeek: asked.sessions ?? 0,
    ...(own === undefined ? {} : { ownStages: own.stages }),
  });
  if (!done.ok) return none(done.error.message);
  const { value } = done;
  const week = asked.minutes === undefined || asked.sessions === undefined ? {} : { minutes: asked.minutes, sessions: asked.sessions, kcalPerWeek: value.kcalPerWeek, metMinutesPerWeek: value.metMinutesPerWeek };
  return {
    ...shared,
    vo2: value.targetVo2,
    mets: value.targetMets,
    ...(value.load.ok ? { load: { what: whatOf(by), ...asRead(value.load.value, value.load.unit), working: value.load.working } } : { noLoad: value.load.error.message }),
    kcalPerMinute: value.kcalPerMinute,
    ...week,
    classes: value.classes,
    ...(value.ownLine === undefined || own === undefined ? {} : { ownLine: { ...value.ownLine, uptake: own.uptake, stages: own.stages.length } }),
    warnings: [...new Set([...value.warnings, ...(uptake.from === 'predicted' ? ['It rests on a predicted maximum, with the error of that prediction.'] : [])])],
  };
}

/** The finished stages' own pairs of uptake and heart rate: measured uptake where three or more stages have it, else the equation's. */
function ownStages(stages: readonly StageResult[]): { readonly stages: readonly { readonly vo2: number; readonly heartRate: number }[]; readonly uptake: 'measured' | 'by the equation' } | undefined {
  const pairs = (vo2Of: (row: StageResult) => number | undefined) =>
    stages.flatMap((row) => {
      const [vo2, heartRate] = [vo2Of(row), row.steadyHeartRate ?? row.heartRate];
      return row.stage.completed && vo2 !== undefined && heartRate !== undefined ? [{ vo2, heartRate }] : [];
    });
  const measured = pairs((row) => row.vo2Relative);
  if (measured.length >= 3) return { stages: measured, uptake: 'measured' };
  const predicted = pairs((row) => row.predicted?.relative);
  return predicted.length >= 3 ? { stages: predicted, uptake: 'by the equation' } : undefined;
}

/** The loader has checked the amounts. */
function modeOf(by: Prescribed): PrescribedMode {
  const amount = (text: string | number, own: UnitCode): number => {
    const parsed = parseQuantity(String(text), { defaultUnit: own, decimalMark: String(text).includes(',') ? ',' : '.' });
    return parsed.ok ? convert(parsed.value, parsed.unit, own) : Number.NaN;
  };
  switch (by.mode) {
    case 'walk':
    case 'run':
      return by.speed === undefined ? { mode: by.mode, solveFor: 'speed', grade: amount(by.grade ?? 0, '1') } : { mode: by.mode, solveFor: 'grade', speed: amount(by.speed, 'm/min') };
    case 'leg-cycle':
    case 'arm-crank':
      return { mode: by.mode, solveFor: 'load', unit: readUnit(by.unit) === 'kgf.m/min' ? 'kgf.m/min' : 'W' };
    case 'step':
      return { mode: 'step', solveFor: 'cycles', height: amount(by['step-height'], 'm') };
  }
}

/** A grade is read in per cent. */
const asRead = (value: number, unit: UnitCode): { readonly value: number; readonly unit: UnitCode } => (unit === '1' ? { value: 100 * value, unit: '%' } : { value, unit });

/** What the load is, with what it is done at: "grade at 90 m/min". */
function whatOf(by: Prescribed): string {
  switch (by.mode) {
    case 'walk':
    case 'run':
      return by.speed === undefined ? `speed of ${by.mode === 'walk' ? 'walking' : 'running'} at ${by.grade ?? '0 %'}` : `grade for ${by.mode === 'walk' ? 'walking' : 'running'} at ${by.speed}`;
    case 'leg-cycle':
      return 'load on the cycle';
    case 'arm-crank':
      return 'load on the arm crank';
    case 'step':
      return `step cycles on ${by['step-height']}`;
  }
}
