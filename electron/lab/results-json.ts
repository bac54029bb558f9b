/** The results of a replay as data (`stagecall-replay/1`, documented in lab-sheets/README.md). Numbers are not rounded. */
import type { EquationResult } from '../../core/results/equations.ts';
import type { PredictedUptake } from '../../core/results/stages.ts';
import type { Results } from '../../core/results/results.ts';
import { gasJson } from './results-gas.ts';
import { bagJson, efficiencyJson, lineJson } from './results-more-json.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { Marking } from '../../core/worksheet/marking.ts';

export const RESULTS_FORM = 'stagecall-replay/1';

export interface WrittenWorksheet {
  readonly student: string;
  readonly worksheet: string;
  readonly file: string;
}

export interface ReplayReport {
  readonly state: SessionState;
  readonly results: Results;
  /** Questions that cannot be answered on this record, with the reason. */
  readonly voids: readonly VoidQuestion[];
  readonly outOf: number;
  readonly worksheets: readonly WrittenWorksheet[];
  readonly folder: string;
  readonly warnings: readonly { readonly line?: number; readonly text: string }[];
}

export interface VoidQuestion {
  readonly question: string;
  readonly title: string;
  /** Rows of a table or judgement; absent where the whole question is void. */
  readonly row?: string;
  readonly reason: string;
  readonly marks: number;
}

/** What is void in a marking: whole questions with their marks, and single rows of the others. */
export function voidsOf(marking: Marking, marksOf: (question: string) => number): readonly VoidQuestion[] {
  return marking.questions.flatMap((mark): VoidQuestion[] => {
    const plain = (reason: string): string => reason.replace(/^Void: /, '').replace(/\.$/, '');
    if (mark.verdict === 'void') return [{ question: mark.id, title: mark.title, reason: plain(mark.reason), marks: marksOf(mark.id) }];
    return mark.rows.filter((row) => row.verdict === 'void').map((row) => ({ question: mark.id, title: mark.title, ...(row.row === undefined ? {} : { row: row.row }), reason: plain(row.reason), marks: 0 }));
  });
}

const orNull = <Value>(value: Value | undefined): Value | null => value ?? null;

/** A replay’s results in the form `stagecall-replay/1`; a value that could not be worked out is null. */
export function resultsJson(report: ReplayReport): unknown {
  const { state, results } = report;
  const start = state.starts.exercise ?? 0;
  const mass = state.mass;
  const uptake = (absolute: number | undefined, relative: number | undefined): object => ({ litresPerMinute: orNull(absolute), mlPerKgPerMinute: orNull(relative) });
  const predicted = (value: PredictedUptake | undefined): object | null => (value === undefined ? null : { formula: value.formula, gait: orNull(value.gait), ...uptake(value.absolute, value.relative), working: value.working, source: value.source });
  const { peak } = results;
  const at = (moment: { readonly value: number; readonly at: number; readonly stage?: number } | undefined): object | null => (moment === undefined ? null : { value: moment.value, atSeconds: moment.at / 1000, stage: orNull(moment.stage) });
  return {
    format: RESULTS_FORM,
    session: { id: state.id, way: state.way, sheet: { id: state.sheet.id, version: state.sheet.version, title: state.sheet.title } },
    participant: { code: orNull(state.details['participant-code']?.typed), sex: orNull(state.sex), ageYears: orNull(state.age), heightCm: orNull(state.height), massKg: orNull(mass) },
    exercise: {
      minutes: orNull(results.exerciseMinutes),
      stop: state.stop ? { reason: orNull(state.stop.reason), symptom: state.stop.symptom } : null,
    },
    stages: results.stages.map((row) => ({
      stage: row.stage.number,
      completed: row.stage.completed,
      compared: row.compared,
      setAtSeconds: (row.stage.changed - start) / 1000,
      lateSeconds: row.stage.lateBy / 1000,
      assumed: row.stage.assumed,
      differsFromPlan: row.stage.differsFromPlan,
      speedMetresPerMinute: orNull(row.speed),
      gradePercent: orNull(row.grade),
      loadWatts: orNull(row.load),
      gaitRecorded: orNull(row.stage.gait),
      handrail: row.stage.handrail,
      cadence: orNull(row.stage.actual.cadence?.value),
      stepCycles: orNull(row.stage.actual['step-rate']?.value),
      stepHeightCm: orNull(row.stage.actual['step-height']?.value),
      heartRate: orNull(row.heartRate),
      meanOfLastTwoMinutes: orNull(row.steadyHeartRate ?? row.lastTwoMinutes),
      steady: row.stage.steady ? { state: row.stage.steady.state, says: row.stage.steady.says, repeatedMinutes: row.stage.repeats } : null,
      systolic: orNull(row.systolic),
      diastolic: orNull(row.diastolic),
      rpe: orNull(row.rpe),
      rer: orNull(row.rer),
      carbonDioxide: orNull(row.vco2),
      ventilation: orNull(row.ve),
      measured: row.vo2 === undefined ? null : uptake(row.vo2, row.vo2Relative),
      predicted: predicted(row.predicted),
      otherGait: predicted(row.other),
      difference: row.difference === undefined ? null : { ...uptake(row.difference, mass === undefined ? undefined : (row.difference * 1000) / mass), percentOfPredicted: orNull(row.percent) },
      notCompared: orNull(row.why),
      warnings: row.warnings,
    })),
    peak: {
      name: results.peakName,
      vo2: peak.vo2 === undefined ? null : { ...uptake(peak.vo2.value, peak.vo2Relative), mets: orNull(peak.mets), atSeconds: peak.vo2.at / 1000, stage: orNull(peak.vo2.stage), averaging: orNull(peak.averaging) },
      heartRate: at(peak.heartRate),
      rer: at(peak.rer),
      rpe: at(peak.rpe),
      ventilation: at(peak.ve),
      systolic: at(peak.systolic),
      diastolic: orNull(peak.diastolic),
    },
    predicted: { maximalHeartRate: results.hrMax.map(equation), maximalOxygenUptake: results.uptake.map(equation), byTheSheet: results.predictions.map(equation) },
    effort: results.effort
      ? {
          set: results.effort.set.id,
          rule: results.effort.set.rule,
          criteria: results.effort.criteria.map(({ label, role, cut, value, outcome, reason }) => ({ criterion: label, role, cut, value: orNull(value), outcome, reason: orNull(reason) })),
          met: results.effort.conclusion.met,
          open: results.effort.conclusion.open,
          conclusion: results.effort.conclusion.sentence,
          source: results.effort.set.source.citation,
        }
      : null,
    recovery: results.recovery.map(({ minute, value, reason, posture, postureAssumed }) => ({ minute, heartRateRecovery: orNull(value), reason: orNull(reason), posture: orNull(posture), postureAssumed })),
    maximal: { from: results.maximal.from, label: results.maximal.label, mlPerKgPerMinute: orNull(results.maximal.value), reason: orNull(results.maximal.reason) },
    line: results.line ? lineJson(results.line) : null,
    bags: results.bags.map((bag) => bagJson(bag, state.sheet.bag?.inspired)),
    efficiency: results.efficiencies ? efficiencyJson(results.efficiencies) : null,
    slopes: results.slopes.map(({ id, label, slope, intercept, rSquared, stages, working }) => ({ id, label, slope, intercept, rSquared: orNull(rSquared), overStages: stages, working })),
    gas: results.gas ? gasJson(results.gas) : null,
    norms: results.norms.map(({ id, result }) => (result.ok ? { table: id, title: result.table.title, percentile: result.percentile, category: orNull(result.category), ages: result.ageBand, warnings: result.warnings, source: result.source.citation } : { table: id, void: result.error.message })),
    prescription: orNull(results.prescription),
    symptomLimited: results.symptomLimited,
    voids: report.voids,
    warnings: [...report.warnings.map(({ line, text }) => (line === undefined ? text : `line ${line}: ${text}`)), ...results.warnings],
    overrides: state.overrides.map(({ hold, initials, reason }) => ({ hold, initials, reason })),
    worksheets: report.worksheets,
  };
}

function equation(one: EquationResult): object {
  if (!one.known) return { formula: one.formula, title: one.title, void: one.reason };
  return { formula: one.formula, title: one.title, value: one.value, unit: one.unit, measuredAsPercent: orNull(one.percent), difference: orNull(one.difference), publishedError: orNull(one.error), working: one.working, warnings: one.warnings, source: one.source };
}
