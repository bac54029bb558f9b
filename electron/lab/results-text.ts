/** The results of a replay as a person reads them at the terminal. */
import { formatClock } from '../../core/clock-text.ts';
import type { EquationResult } from '../../core/results/equations.ts';
import type { StageResult } from '../../core/results/stages.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { formatNumber, formatQuantity, unitOf } from '../../core/units/units.ts';
import type { ReplayReport } from './results-json.ts';
import { gasText } from './results-gas.ts';
import { bagText, exerciseText, lineText, slopesText } from './results-more-text.ts';
import { table } from './table.ts';

const number = (value: number | undefined, decimals: number): string => (value === undefined ? '–' : formatNumber(value, decimals));
const signed = (value: number | undefined, decimals: number): string => {
  const text = number(value, decimals);
  return value !== undefined && value > 0 && /[1-9]/.test(text) ? `+${text}` : text;
};

/** A replay’s results as text for the terminal. */
export function resultsText(report: ReplayReport): string {
  const { state, results } = report;
  const parts = [head(report), '\nStage by stage\n', stageTable(results.stages, state.mass, state.starts.exercise ?? 0, state.sheet.mode), stageNotes(results.stages)];
  parts.push(`\nPeak\n${peakLines(report)}`);
  parts.push(lineText(report), bagText(report), slopesText(report), gasText(report));
  parts.push('\nPredicted maximal oxygen uptake, mL/kg/min (measured as per cent of it)\n', equations(results.uptake, 1));
  if (results.predictions.length > 0) parts.push('\nBy the lab sheet’s own formulas\n', ownFormulas(results.predictions));
  parts.push('\nPredicted maximal heart rate, /min (measured as per cent of it)\n', equations(results.hrMax, 0));
  parts.push(effortText(report), recoveryText(report), categoryText(report), prescriptionText(report), voidText(report), warningText(report));
  parts.push('\nThis program teaches and records. It does not diagnose, and it clears nobody to exercise; local policy and licensed practice come first.\n');
  for (const { student, file } of report.worksheets) parts.push(`\nWorksheet of ${student}: ${file}`);
  parts.push('\n');
  return parts.join('');
}

function head({ state, results }: ReplayReport): string {
  const person = [state.details['participant-code']?.typed ?? 'participant without a code', state.sex, state.age === undefined ? undefined : `${number(state.age, 0)} y`, state.height === undefined ? undefined : `${number(state.height, 0)} cm`, state.mass === undefined ? undefined : `${number(state.mass, 1)} kg`].filter((part) => part !== undefined);
  const stop = state.stop ? `, stopped: ${state.stop.reason ?? 'no reason given'}${state.stop.symptom ? ' (a symptom)' : ''}` : '';
  return `${state.sheet.title}\n${person.join(', ')}; session ${state.id}, keyed in from a recorded file\nTime in exercise ${results.exerciseMinutes === undefined ? '–' : formatClock(results.exerciseMinutes * 60_000)}${stop}\n`;
}

function stageTable(stages: readonly StageResult[], mass: number | undefined, start: number, mode: LabSheet['mode']): string {
  const relative = (absolute: number | undefined): number | undefined => (absolute === undefined || mass === undefined ? undefined : (absolute * 1000) / mass);
  const rows = stages.map((row) => [
    `${row.stage.number}${row.stage.completed ? '' : '*'}`,
    `${formatClock(row.stage.changed - start)}${row.stage.assumed ? '?' : ''}`,
    ...setColumns(row, mode),
    row.steadyHeartRate === undefined ? number(row.heartRate, 0) : `${number(row.steadyHeartRate, 1)}${row.stage.steady?.state === 'steady' ? '' : '!'}`,
    row.systolic === undefined ? '–' : `${number(row.systolic, 0)}/${number(row.diastolic, 0)}`,
    number(row.rpe, 0),
    number(row.rer, 2),
    number(row.vo2, 2),
    number(row.vo2Relative, 1),
    number(row.predicted?.absolute, 2),
    number(row.predicted?.relative, 1),
    row.compared ? signed(relative(row.difference), 1) : '–',
    row.compared ? signed(row.difference, 2) : '–',
    row.compared ? signed(row.percent, 1) : '–',
  ]);
  return table(['Stage', 'Set at', ...setHeads(mode), 'HR', 'BP', 'RPE', 'RER', 'VO₂ L/min', 'mL/kg/min', 'pred. L/min', 'pred. mL/kg/min', 'diff. mL/kg/min', 'diff. L/min', 'diff. %'], rows);
}

/** What was set, as one reads it on that ergometer. */
const setHeads = (mode: LabSheet['mode']): readonly string[] => (mode === 'cycle' || mode === 'arm-crank' ? ['load', 'turns/min'] : mode === 'step' ? ['cycles/min', 'height'] : ['km/h', '%', 'gait']);

function setColumns(row: StageResult, mode: LabSheet['mode']): readonly string[] {
  const { load, cadence, 'step-rate': rate, 'step-height': height } = row.stage.actual;
  if (mode === 'cycle' || mode === 'arm-crank') return [load === undefined ? '–' : `${load.typed} ${unitOf(load.unit).label}`, number(cadence?.value, 0)];
  if (mode === 'step') return [number(rate?.value, 0), height === undefined ? '–' : `${height.typed} ${unitOf(height.unit).label}`];
  return [row.speed === undefined ? '–' : number((row.speed * 60) / 1000, 2), number(row.grade, 1), row.predicted?.gait ?? '–'];
}

function stageNotes(stages: readonly StageResult[]): string {
  const lines: string[] = [];
  if (stages.some((row) => !row.stage.completed)) lines.push('* not finished: counts for the peak and the time, and is not compared');
  if (stages.some((row) => row.steadyHeartRate !== undefined)) lines.push('HR: mean of the last two minutes; ! not steady');
  const measured = stages.some((row) => row.vo2 !== undefined);
  for (const row of stages) {
    if (row.stage.repeats > 0) lines.push(`Stage ${row.stage.number}: held ${row.stage.repeats} more minute${row.stage.repeats === 1 ? '' : 's'}`);
    if (row.other) lines.push(`Stage ${row.stage.number}: gait not recorded; by the ${row.other.gait === 'walk' ? 'walking' : 'running'} equation it would be ${number(row.other.relative, 1)} mL/kg/min (${number(row.other.absolute, 2)} L/min)`);
    if (measured && row.why !== undefined && row.stage.completed) lines.push(`Stage ${row.stage.number}: not compared, ${row.why}`);
    if (row.stage.lateBy > 0) lines.push(`Stage ${row.stage.number}: set ${formatClock(row.stage.lateBy)} late`);
  }
  return lines.map((line) => `  ${line}\n`).join('');
}

function peakLines({ results }: ReplayReport): string {
  const { peak, peakName } = results;
  const lines = [
    peak.vo2 === undefined ? `${peakName}: oxygen uptake was not taken` : `${peakName} ${number(peak.vo2.value, 2)} L/min, ${number(peak.vo2Relative, 1)} mL/kg/min, ${number(peak.mets, 1)} METs, at ${formatClock(peak.vo2.at)}${peak.averaging === undefined ? '' : ` (${peak.averaging})`}`,
    `Heart rate ${number(peak.heartRate?.value, 0)} /min, RER ${number(peak.rer?.value, 2)}, RPE ${number(peak.rpe?.value, 0)}, ventilation ${number(peak.ve?.value, 1)} L/min, pressure ${number(peak.systolic?.value, 0)}/${number(peak.diastolic, 0)} mmHg`,
  ];
  return lines.map((line) => `  ${line}\n`).join('');
}

function equations(list: readonly EquationResult[], decimals: number): string {
  const rows = list.map((one) => (one.known ? [one.title, number(one.value, decimals), one.percent === undefined ? '–' : `${number(one.percent, 1)} %`, one.error ?? ''] : [one.title, '–', '–', one.reason]));
  return rows.length === 0 ? '  none named by the lab sheet\n' : table(['', 'value', 'measured', 'published error'], rows);
}

/** Each in its own unit: some give L/min, some mL/kg/min. */
function ownFormulas(list: readonly EquationResult[]): string {
  const rows = list.map((one) => (one.known ? [one.title, formatQuantity(one.value, one.unit, one.unit === 'L/min' ? 2 : one.unit === 'mL/min' ? 0 : 1), one.percent === undefined ? '–' : `${number(one.percent, 1)} %`, one.error ?? '', one.working] : [one.title, '–', '–', one.reason, '']));
  return table(['', 'value', 'measured', 'published error', ''], rows);
}

function effortText({ results }: ReplayReport): string {
  if (!results.effort) return '';
  const rows = results.effort.criteria.map(({ label, cut, value, outcome, reason }) => [label, cut, value ?? '–', outcome, reason ?? '']);
  return `\nEffort criteria (${results.effort.set.title})\n${table(['', 'asked', 'found', '', ''], rows)}  ${results.effort.conclusion.sentence}\n`;
}

function recoveryText({ results }: ReplayReport): string {
  const lines = results.recovery.map(({ minute, value, reason, posture, postureAssumed }) => `  at ${minute} min: ${value === undefined ? `– (${reason})` : `${number(value, 0)} /min`}${posture === undefined ? '' : `, ${posture}${postureAssumed ? ' by the plan' : ''}`}\n`);
  return `\nHeart-rate recovery\n${lines.join('')}`;
}

function categoryText({ results }: ReplayReport): string {
  const { maximal } = results;
  const of = maximal.from === 'predicted' && maximal.value !== undefined ? ` (of the predicted ${number(maximal.value, 1)} mL/kg/min)` : '';
  const lines = results.norms.map(({ id, result }) => (result.ok ? `  ${result.category ?? 'no category'}, percentile ${typeof result.percentile === 'number' ? number(result.percentile, 0) : result.percentile} (${result.table.title}, ${result.ageBand} years)\n${result.warnings.map((warning) => `    ${warning}\n`).join('')}` : `  ${id}: ${result.error.message}\n`));
  return lines.length === 0 ? '' : `\nCategory${of}\n${lines.join('')}`;
}

function prescriptionText({ results, state }: ReplayReport): string {
  const { prescription } = results;
  const asked = state.sheet.results.prescription;
  if (!prescription || !asked) return '';
  const what = `${number(prescription.fraction * 100, 0)} % of heart-rate reserve`;
  const line = prescription.heartRate === undefined ? `${what}: – (${prescription.reason})` : `${what}: ${number(prescription.heartRate, 0)} /min (resting ${number(prescription.resting, 0)}, maximal ${number(prescription.maximal, 0)}, ${prescription.maximalFrom})`;
  return `\nPrescription (${asked.text})\n  ${line}\n${exerciseText(prescription.exercise)}`;
}

function voidText({ voids, outOf, state }: ReplayReport): string {
  if (voids.length === 0) return '';
  const lines = voids.map(({ title, row, reason, marks }) => `  ${title}${row === undefined ? '' : `, ${row}`}: ${reason}${marks > 0 ? ` (${marks} marks leave the total)` : ''}\n`);
  const total = state.sheet.questions.reduce((sum, question) => sum + question.marks, 0);
  return `\nVoid questions${outOf < total ? ` (the worksheet is out of ${outOf}, not ${total})` : ''}\n${lines.join('')}`;
}

function warningText({ warnings, results, state }: ReplayReport): string {
  const lines = [
    ...warnings.map(({ line, text }) => (line === undefined ? text : `line ${line}: ${text}`)),
    ...state.overrides.map(({ hold, initials, reason }) => `Set aside by ${initials}: ${hold} (${reason})`),
    ...results.warnings,
  ];
  return lines.length === 0 ? '' : `\nTo know\n${lines.map((line) => `  ${line}\n`).join('')}`;
}

