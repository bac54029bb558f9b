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

/** The highest values of exercise. */
export function peakLines(results: Results): readonly Line[] {
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
      note: [`${table.edition}, ages ${result.ageBand}`, ...result.warnings, ...table.doubts].join('. '),
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
