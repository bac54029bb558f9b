/** Results in words and figures, ready to be shown: what was measured, what is predicted, and by whose equation. */
import { formatClock } from '../../core/clock-text.ts';
import { formulaById } from '../../core/formulas/registry.ts';
import type { EquationResult } from '../../core/results/equations.ts';
import type { Results } from '../../core/results/results.ts';
import type { StageResult } from '../../core/results/stages.ts';
import { settingsText } from '../../core/session/rows.ts';
import { formatNumber, formatQuantity } from '../../core/units/units.ts';

export interface StageLine {
  readonly number: number;
  readonly setting: string;
  readonly measured: string;
  readonly predicted: string;
  readonly percent: string;
  /** The other gait's value, where that was a choice. */
  readonly other?: string;
  readonly why?: string;
  readonly warnings: readonly string[];
  readonly working?: string;
}

const dash = '–';
const signed = (value: number, decimals: number): string => `${value > 0 ? '+' : ''}${formatNumber(value, decimals)}`;

/** Stage by stage, mL/kg/min. */
export function stageLines(results: Results): readonly StageLine[] {
  return results.stages.map((row: StageResult): StageLine => ({
    number: row.stage.number,
    setting: settingsText(row.stage.actual),
    measured: row.vo2Relative === undefined ? dash : formatNumber(row.vo2Relative, 1),
    predicted: row.predicted === undefined ? dash : formatNumber(row.predicted.relative, 1),
    percent: row.percent === undefined ? '' : `${signed(row.percent, 1)} %`,
    ...(row.other === undefined ? {} : { other: `${formatNumber(row.other.relative, 1)} by the ${row.other.gait === 'walk' ? 'walking' : 'running'} equation` }),
    ...(row.compared || row.why === undefined ? {} : { why: row.why }),
    warnings: row.warnings,
    ...(row.predicted === undefined ? {} : { working: row.predicted.working }),
  }));
}

export interface Line {
  readonly label: string;
  readonly value: string;
  readonly note?: string;
}

/** The highest values of exercise; what this test did not take is left out. */
export function peakLines(results: Results): readonly Line[] {
  return allPeakLines(results).filter((line) => line.value !== dash);
}

function allPeakLines(results: Results): readonly Line[] {
  const { peak } = results;
  const at = (found: { readonly at: number } | undefined): { note?: string } => (found === undefined ? {} : { note: `at ${formatClock(found.at)}` });
  return [
    { label: 'Exercise time', value: results.exerciseMinutes === undefined ? dash : formatClock(results.exerciseMinutes * 60_000) },
    {
      label: results.peakName,
      value: peak.vo2 === undefined ? dash : [formatQuantity(peak.vo2.value, 'L/min', 2), ...(peak.vo2Relative === undefined ? [] : [formatQuantity(peak.vo2Relative, 'mL/kg/min', 1)]), ...(peak.mets === undefined ? [] : [formatQuantity(peak.mets, '[MET]', 1)])].join(' · '),
      ...(peak.averaging === undefined ? at(peak.vo2) : { note: peak.averaging }),
    },
    { label: 'Heart rate', value: peak.heartRate === undefined ? dash : formatQuantity(peak.heartRate.value, '/min', 0), ...at(peak.heartRate) },
    { label: 'RER', value: peak.rer === undefined ? dash : formatNumber(peak.rer.value, 2), ...at(peak.rer) },
    { label: 'RPE', value: peak.rpe === undefined ? dash : formatNumber(peak.rpe.value, 0), ...at(peak.rpe) },
    { label: 'Ventilation', value: peak.ve === undefined ? dash : formatQuantity(peak.ve.value, 'L/min', 1), ...at(peak.ve) },
    { label: 'Systolic pressure', value: peak.systolic === undefined ? dash : `${formatQuantity(peak.systolic.value, 'mm[Hg]', 0)}${peak.diastolic === undefined ? '' : `, diastolic ${formatNumber(peak.diastolic, 0)}`}`, ...at(peak.systolic) },
  ];
}

export interface EquationLine {
  readonly id: string;
  readonly title: string;
  readonly value: string;
  readonly percent: string;
  readonly error: string;
  readonly source: string;
  readonly reason?: string;
  readonly warnings: readonly string[];
}

/** Several equations side by side, each with its published error. */
export function equationLines(equations: readonly EquationResult[]): readonly EquationLine[] {
  return equations.map((one): EquationLine => {
    if (!one.known) return { id: one.formula, title: one.title, value: dash, percent: '', error: '', source: formulaById(one.formula)?.source.citation ?? '', reason: one.reason, warnings: [] };
    return {
      id: one.formula,
      title: one.title,
      value: formatQuantity(one.value, one.unit, formulaById(one.formula)?.output.decimals ?? 1),
      percent: one.percent === undefined ? '' : `${formatNumber(one.percent, 1)} %`,
      error: one.error ?? '',
      source: one.source,
      warnings: one.warnings,
    };
  });
}

export interface NormLine {
  readonly id: string;
  readonly title: string;
  readonly percentile: string;
  readonly category: string;
  readonly note: string;
}

export function normLines(results: Results): readonly NormLine[] {
  return results.norms.map(({ id, result }): NormLine => {
    if (!result.ok) return { id, title: id, percentile: dash, category: '', note: result.error.message };
    const { percentile, table } = result;
    return {
      id,
      title: table.title,
      percentile: typeof percentile === 'number' ? `P${formatNumber(percentile, 0)}` : percentile,
      category: result.category ?? 'not told apart there',
      note: sentences([`${table.edition}, ages ${result.ageBand}`, ...result.warnings, ...table.doubts]),
    };
  });
}

export function recoveryLines(results: Results): readonly Line[] {
  return results.recovery.map((one) => ({
    label: `Heart-rate recovery at ${one.minute} min`,
    value: one.value === undefined ? dash : formatQuantity(one.value, '/min', 0),
    note: one.value === undefined ? (one.reason ?? '') : `${one.posture ?? 'posture not known'}${one.postureAssumed ? ', by the sheet’s plan' : ''}`,
  }));
}

function sentences(texts: readonly string[]): string {
  return texts.map((text) => `${text.replace(/[.\s]+$/, '')}.`).join(' ');
}

/** Rows that have anything in them: a test without gas has no comparison. */
export function hasComparison(results: Results): boolean {
  return results.stages.some((row) => row.vo2 !== undefined || row.predicted !== undefined);
}

/** The line of heart rate on oxygen uptake, the lines through the loads, and the efficiencies, where the sheet asks for them. */
export function furtherLines(results: Results): readonly Line[] {
  const { line, slopes, efficiencies } = results;
  return [
    ...(line === undefined
      ? []
      : [
          {
            label: 'By the heart-rate line',
            value: line.vo2max === undefined ? dash : formatQuantity(line.vo2max, 'mL/kg/min', 1),
            note: line.reason ?? sentences([line.working ?? '', ...(line.perTenBeats === undefined ? [] : [`10 /min more or less in the maximal heart rate move it by ${formatNumber(line.perTenBeats, 1)}`]), line.source].filter((text) => text !== '')),
          },
        ]),
    ...slopes.map((slope) => ({ label: slope.label, value: formatNumber(slope.slope, 2), note: `${slope.working}${slope.rSquared === undefined ? '' : `; r² ${formatNumber(slope.rSquared, 3)}`}` })),
    ...(efficiencies?.loads ?? []).flatMap((load) => [
      {
        label: `Efficiency at ${formatQuantity(load.load, 'W', 0)}`,
        value: [...(load.gross === undefined ? [] : [`gross ${formatNumber(load.gross, 1)} %`]), ...(load.net === undefined ? [] : [`net ${formatNumber(load.net, 1)} %`])].join(', ') || dash,
        note: [...load.working, ...load.warnings, ...(load.why === undefined ? [] : [load.why])].join('; '),
      },
    ]),
    ...(efficiencies?.delta === undefined ? [] : [{ label: 'Delta efficiency', value: `${formatNumber(efficiencies.delta.value, 1)} %`, note: efficiencies.delta.working }]),
  ];
}

/** The rest of a prescription: uptake, load and week. */
export function exerciseLines(results: Results): readonly Line[] {
  const exercise = results.prescription?.exercise;
  if (exercise === undefined) return [];
  if (exercise.reason !== undefined) return [{ label: 'Uptake and load', value: dash, note: exercise.reason }];
  return [
    ...(exercise.vo2 === undefined ? [] : [{ label: 'Oxygen uptake', value: `${formatQuantity(exercise.vo2, 'mL/kg/min', 1)}${exercise.mets === undefined ? '' : `, ${formatQuantity(exercise.mets, '[MET]', 1)}`}`, note: `of the ${exercise.uptakeFrom} maximum` }]),
    ...(exercise.load === undefined ? (exercise.noLoad === undefined ? [] : [{ label: 'Load', value: dash, note: exercise.noLoad }]) : [{ label: capital(exercise.load.what), value: formatQuantity(exercise.load.value, exercise.load.unit, 1), note: exercise.load.working }]),
    ...(exercise.minutes === undefined || exercise.sessions === undefined ? [] : [{ label: 'In a week', value: `${exercise.sessions} times ${exercise.minutes} min`, ...(exercise.metMinutesPerWeek === undefined ? {} : { note: `${formatNumber(exercise.metMinutesPerWeek, 0)} MET·min` }) }]),
    ...(exercise.classes === undefined ? [] : [{ label: 'Intensity', value: `${exercise.classes.byReserve} by reserve, ${exercise.classes.byMets} by METs` }]),
  ];
}

const capital = (text: string): string => text.charAt(0).toUpperCase() + text.slice(1);
