/**
 * From the record to results: the one place where a session is worked out. Screen, page, command line and marking all read this.
 * Every number names its method; what cannot be worked out is there too, with its reason.
 */
import { effortSetById, judgeEffort, type EffortResult, type EffortSet } from '../formulas/effort.ts';
import { formulaById } from '../formulas/registry.ts';
import { postureAt, recoverySeries } from '../recovery/tracker.ts';
import type { SessionState } from '../session/state.ts';
import type { Posture } from '../vocabulary.ts';
import { bookOf } from './book.ts';
import { laterEntries } from './book-later.ts';
import type { Book } from '../worksheet/book.ts';
import { efficienciesOf, type Efficiencies } from './efficiency.ts';
import { equationResult, type EquationResult } from './equations.ts';
import { peakOf, type PeakResult } from './peak.ts';
import { bagResults, type BagResult } from './bag.ts';
import { gasResult, type GasResult, type SeriesText } from './gas.ts';
import { filledFromFile } from './gas-entries.ts';
import { lineOf, type LineResult } from './line.ts';
import { maximalUptakeOf, normsOf, type MaximalUptake, type NormResult } from './maximum.ts';
import { predictionEntries, predictionOf } from './predictions.ts';
import { prescriptionMaximum, prescriptionOf, type Prescription } from './prescription.ts';
import { stageSlopes, type StageSlope } from './slopes.ts';
import { stageResults, type StageResult } from './stages.ts';

export type { NormResult } from './maximum.ts';
export type { Prescription } from './prescription.ts';

export interface HeartRateRecovery {
  readonly minute: 1 | 2;
  /** Beats that the heart rate fell from its peak. Undefined where a reading is missing. */
  readonly value?: number;
  readonly reason?: string;
  readonly posture?: Posture;
  /** The posture was not written down but taken from the sheet's plan. */
  readonly postureAssumed: boolean;
}

export interface Results {
  /** Minutes from the start of exercise to the stop. */
  readonly exerciseMinutes?: number;
  readonly stages: readonly StageResult[];
  readonly peak: PeakResult;
  /** "VO₂max" only where the sheet's effort set was met. */
  readonly peakName: 'VO₂max' | 'VO₂peak';
  readonly hrMax: readonly EquationResult[];
  /** Predicted maximal oxygen uptake: from treadmill time, and from age, sex and size. */
  readonly uptake: readonly EquationResult[];
  readonly effort?: EffortResult;
  readonly recovery: readonly HeartRateRecovery[];
  /** What the sheet takes as the participant's maximal uptake; norms and prescription rest on it. */
  readonly maximal: MaximalUptake;
  readonly norms: readonly NormResult[];
  /** Undefined where the sheet asks for none. */
  readonly prescription?: Prescription;
  /** The line of heart rate on oxygen uptake, where the sheet asks for it. */
  readonly line?: LineResult;
  /** Bag analyses, stage by stage, with every step. */
  readonly bags: readonly BagResult[];
  /** Work against energy, where bags were collected at loads. */
  readonly efficiencies?: Efficiencies;
  /** Lines through the finished stages that have a load. */
  readonly slopes: readonly StageSlope[];
  /** What the sheet works out by formulas of its own choice. */
  readonly predictions: readonly EquationResult[];
  /** The joined gas exchange file: peak by every rule, thresholds, slopes. Undefined where none was joined. */
  readonly gas?: GasResult;
  /** The test was stopped for a symptom: the peak is symptom-limited and no maximum is claimed. */
  readonly symptomLimited: boolean;
  readonly warnings: readonly string[];
  readonly book: Book;
}

/**
 * Works out everything that the lab sheet asks for. Pure; the same record always gives the same results.
 * @param text the rows of the gas exchange file that the session names; without them nothing of the file is worked out, and why is said.
 */
export function resultsOf(recorded: SessionState, text?: SeriesText): Results {
  const gas = gasResult(recorded, text);
  const { state, filled } = filledFromFile(recorded, gas);
  const symptomLimited = state.stop?.symptom === true;
  const stopped = state.stop?.taken;
  const exerciseMinutes = stopped === undefined || state.starts.exercise === undefined ? undefined : (stopped - state.starts.exercise) / 60_000;
  const bags = bagResults(state);
  const stages = stageResults(state, bags);
  const peak = peakOf(state, stages);
  const measured = peak.vo2Relative;
  const hrMax = state.sheet.results['hr-max'].map((id) => equationResult(state, id, peak.heartRate === undefined ? {} : { measured: peak.heartRate.value }));
  const effort = effortOf(state, peak);
  const uptake = uptakeOf(state, { symptomLimited, ...(exerciseMinutes === undefined ? {} : { minutes: exerciseMinutes }), ...(measured === undefined ? {} : { measured }) });
  const maximum = prescriptionMaximum(peak, effort, hrMax[0], symptomLimited);
  const efficiencies = efficienciesOf(stages, bags);
  const worked = {
    ...(exerciseMinutes === undefined ? {} : { exerciseMinutes }),
    stages,
    peak,
    peakName: effort?.conclusion.met && !symptomLimited ? ('VO₂max' as const) : ('VO₂peak' as const),
    hrMax,
    uptake,
    ...(effort === undefined ? {} : { effort }),
    recovery: ([1, 2] as const).map((minute) => recoveryOf(state, peak, minute)),
    ...lineOf(state, stages, hrMax[0]),
    bags,
    ...(efficiencies === undefined ? {} : { efficiencies }),
    slopes: stageSlopes(stages),
    ...(gas === undefined ? {} : { gas }),
    symptomLimited,
    warnings: warningsOf(state, stages, symptomLimited, filled),
  };
  // Predictions may use anything measured; norms and prescription may use a prediction; questions may use all of them.
  const book = bookOf(state, { ...worked, maximum });
  const predictions = state.sheet.results.predictions.map((asked) => predictionOf(asked, book, measured));
  for (const [path, entry] of predictionEntries(predictions)) book.set(path, entry);
  const maximal = maximalUptakeOf(state, book);
  const norms = normsOf(state, maximal);
  const prescription = prescriptionOf(state, { maximum, uptake: maximal, stages, symptomLimited });
  const later = { maximal, norms, ...(prescription === undefined ? {} : { prescription }) };
  laterEntries(state, book, { ...later, symptomLimited });
  return { ...worked, ...later, predictions, book };
}

/** The sheet's effort set, with the sheet's own formula for predicted maximal heart rate put in where the set only says "age-predicted". */
export function effortSetOf(state: SessionState): EffortSet | undefined {
  const set = effortSetById(state.sheet.results.effort);
  const formula = formulaById(state.sheet.results['hr-max'][0] ?? '');
  if (!set || !formula) return set;
  const own = (criteria: EffortSet['supporting']): EffortSet['supporting'] => criteria.map((criterion) => (criterion.kind === 'heart-rate-within' ? { ...criterion, formula } : criterion));
  return { ...set, sufficient: own(set.sufficient), supporting: own(set.supporting) };
}

function effortOf(state: SessionState, peak: PeakResult): EffortResult | undefined {
  const set = effortSetOf(state);
  if (!set || state.sheet.kind !== 'maximal' || state.starts.exercise === undefined) return undefined;
  return judgeEffort(set, {
    peakRer: peak.rer?.value,
    peakHeartRate: peak.heartRate?.value,
    ageYears: state.age,
    peakRpe: peak.rpe?.value,
    lastRiseMlPerMin: peak.lastRise && peak.lastRise.value * 1000,
    massKg: state.mass,
  });
}

function uptakeOf(state: SessionState, options: { readonly minutes?: number; readonly measured?: number; readonly symptomLimited: boolean }): readonly EquationResult[] {
  const { 'treadmill-time': byTime, reference } = state.sheet.results;
  const set = options.measured === undefined ? {} : { measured: options.measured };
  const timed: EquationResult[] = [];
  if (byTime) {
    const refuse = options.symptomLimited
      ? 'the test was stopped for a symptom: the time is not a maximal one'
      : options.minutes === undefined
        ? 'the test has not been stopped'
        : state.sex === undefined
          ? 'the sex used in the equations was not given'
          : undefined;
    const ids = state.sex === undefined ? [...new Set([...byTime.male, ...byTime.female])] : byTime[state.sex];
    timed.push(...ids.map((id) => equationResult(state, id, { ...set, ...(options.minutes === undefined ? {} : { minutes: options.minutes }), ...(refuse === undefined ? {} : { refuse }) })));
  }
  return [...timed, ...reference.map((id) => equationResult(state, id, set))];
}

function recoveryOf(state: SessionState, peak: PeakResult, minute: 1 | 2): HeartRateRecovery {
  const posture = postureAt(state, minute * 60_000);
  const shared = { minute, ...(posture === undefined ? {} : { posture: posture.posture }), postureAssumed: posture !== undefined && !posture.recorded };
  const reading = recoverySeries(state, 'heart-rate').find((point) => point.at === minute * 60_000);
  if (peak.heartRate === undefined) return { ...shared, reason: 'no heart rate was taken in exercise' };
  if (reading === undefined) return { ...shared, reason: `heart rate at ${minute} min of recovery was not taken` };
  return { ...shared, value: peak.heartRate.value - reading.value };
}

function warningsOf(state: SessionState, stages: readonly StageResult[], symptomLimited: boolean, filled: number): readonly string[] {
  const warnings: string[] = [];
  if (state.way === 'rehearsal') warnings.push('This is a rehearsal with a simulated participant, not a test.');
  if (symptomLimited) warnings.push('The test was stopped for a symptom: the peak is symptom-limited, and nothing that needs a maximum is worked out.');
  for (const result of stages) for (const warning of result.warnings) warnings.push(`Stage ${result.stage.number}: ${warning}`);
  const differing = [...state.slots.values()].filter((slot) => slot.differ);
  if (filled > 0) warnings.push(`${filled} value${filled === 1 ? '' : 's'} that nobody wrote on the sheet ${filled === 1 ? 'is a mean' : 'are means'} of the joined gas exchange file.`);
  if (differing.length > 0) warnings.push(`${differing.length} reading${differing.length === 1 ? '' : 's'} differ between two authors; the recorder's is used.`);
  return warnings;
}
