/**
 * One test as the class sees it: small, plain data made from a record, so that thousands cross to a window at once.
 * Blood pressure, screening and symptoms are left out on purpose: they are never shown class-wide, so they are not even here.
 */
import { exercisePlot } from '../figures/exercise.ts';
import { recoveryPlot } from '../figures/recovery.ts';
import type { Point } from '../figures/figure.ts';
import { restingValue } from '../recovery/tracker.ts';
import type { EquationResult } from '../results/equations.ts';
import { resultsOf, type Results } from '../results/results.ts';
import type { SessionState } from '../session/state.ts';
import { convertOxygenUptake, isOxygenUptakeUnit } from '../units/units.ts';
import type { Sex } from '../vocabulary.ts';

/** A predicted maximal oxygen uptake. */
export interface PredictedUptake {
  /** Id of the formula; `line` for the line of heart rate on uptake. */
  readonly method: string;
  readonly title: string;
  /** mL/kg/min. */
  readonly value: number;
}

export interface ClassTest {
  readonly session: string;
  /** The code as typed; empty where none was given. */
  readonly participant: string;
  readonly sheet: { readonly id: string; readonly title: string; readonly mode: string };
  readonly group: string;
  readonly course: string;
  readonly term: string;
  readonly sex?: Sex;
  /** Years. */
  readonly age?: number;
  readonly way: 'live' | 'paper' | 'rehearsal';
  /** Stopped for a symptom: its highest uptake and its time are not maximal ones. */
  readonly symptomLimited: boolean;
  /** The sheet's effort set was met. Absent where the sheet has none. */
  readonly maximal?: boolean;
  /** Highest measured oxygen uptake, mL/kg/min. */
  readonly measured?: number;
  readonly predicted: readonly PredictedUptake[];
  /** Against the sheet's tables of norms, those that gave a category. */
  readonly categories: readonly { readonly table: string; readonly title: string; readonly name: string }[];
  /** Minutes. */
  readonly exerciseMinutes?: number;
  /** /min. */
  readonly peakHeartRate?: number;
  readonly restHeartRate?: number;
  readonly peakRer?: number;
  /** Fall of heart rate from its peak, /min, at 1 and 2 minutes. */
  readonly recovery1?: number;
  readonly recovery2?: number;
  /** Heart rate over minutes of exercise, rest at 0; and over minutes since the stop. */
  readonly exercise: readonly Point[];
  readonly recovery: readonly Point[];
}

/** What the class keeps of a test. Pure; the same record always gives the same. */
export function classTestOf(state: SessionState, results: Results = resultsOf(state)): ClassTest {
  const typed = (detail: 'participant-code' | 'group' | 'course' | 'term'): string => state.details[detail]?.typed.trim() ?? '';
  return {
    session: state.id,
    participant: typed('participant-code'),
    sheet: { id: state.sheet.id, title: state.sheet.title, mode: state.sheet.mode },
    group: typed('group'),
    course: typed('course'),
    term: typed('term'),
    ...known('sex', state.sex),
    ...known('age', state.age),
    way: state.way,
    symptomLimited: results.symptomLimited,
    ...known('maximal', results.effort?.conclusion.met),
    ...known('measured', results.peak.vo2Relative),
    predicted: predictedOf(state, results),
    categories: results.norms.flatMap(({ id, result }) => (result.ok && result.category !== undefined ? [{ table: id, title: result.table.title, name: result.category }] : [])),
    ...known('exerciseMinutes', results.exerciseMinutes),
    ...known('peakHeartRate', results.peak.heartRate?.value),
    ...known('restHeartRate', restingValue(state, 'heart-rate')),
    ...known('peakRer', results.peak.rer?.value),
    ...known('recovery1', results.recovery.find((one) => one.minute === 1)?.value),
    ...known('recovery2', results.recovery.find((one) => one.minute === 2)?.value),
    exercise: state.starts.exercise === undefined ? [] : exercisePlot(state, results.stages).heartRate.map(rounded),
    recovery: state.starts.recovery === undefined ? [] : recoveryPlot(state, state.starts.closed ?? state.starts.recovery).heartRate.map(rounded),
  };
}

function known<Key extends keyof ClassTest>(key: Key, value: ClassTest[Key] | undefined): Partial<Pick<ClassTest, Key>> {
  return value === undefined ? {} : ({ [key]: value } as unknown as Partial<Pick<ClassTest, Key>>);
}

/** A tenth of a second is more than a pulse has; shorter numbers make a class of thousands lighter. */
const rounded = (point: Point): Point => ({ x: Math.round(point.x * 600) / 600, y: point.y });

/** Every prediction of a maximal uptake that the sheet asks for and the record allows, per kilogram. */
function predictedOf(state: SessionState, results: Results): readonly PredictedUptake[] {
  const asked = [...results.uptake, ...results.predictions.filter((one) => one.formula.startsWith('vo2max-'))];
  const found = asked.flatMap((one) => {
    const value = one.known ? perKilogram(one, state.mass) : undefined;
    return value === undefined ? [] : [{ method: one.formula, title: one.title, value }];
  });
  const line = results.line?.vo2max;
  const all = line === undefined ? found : [...found, { method: 'line', title: 'Line of heart rate on oxygen uptake, to the predicted maximum', value: line }];
  return all.filter((one, index) => all.findIndex((other) => other.method === one.method) === index);
}

function perKilogram(one: Extract<EquationResult, { known: true }>, mass: number | undefined): number | undefined {
  if (!isOxygenUptakeUnit(one.unit)) return undefined;
  if (one.unit === 'mL/kg/min') return one.value;
  return mass === undefined ? undefined : convertOxygenUptake(one.value, one.unit, 'mL/kg/min', mass);
}
