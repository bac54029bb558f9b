/** The results of submaximal, bag and ramp sheets, and the whole prescription, as a person reads them at the terminal. */
import { inspiredSets } from '../../core/formulas/gas-exchange.ts';
import { bagDecimals } from '../../core/results/bag.ts';
import type { PrescribedExercise } from '../../core/results/prescription.ts';
import { formatNumber, formatQuantity, unitOf } from '../../core/units/units.ts';
import type { ReplayReport } from './results-json.ts';
import { table } from './table.ts';

const number = (value: number | undefined, decimals: number): string => (value === undefined ? '–' : formatNumber(value, decimals));

/** The line of heart rate on uptake: which stages entered, and where it ends. */
export function lineText({ results }: ReplayReport): string {
  const { line } = results;
  if (!line) return '';
  const rows = line.points.map((point) => [String(point.stage), number(point.heartRate, 1), number(point.uptake, 1), point.enters ? 'enters' : `does not enter: ${point.why ?? ''}`]);
  const end =
    line.vo2max === undefined
      ? `  no end of the line: ${line.reason ?? 'not known'}\n`
      : `  stages ${line.first?.stage} and ${line.second?.stage}, extended to ${number(line.maximalHeartRate, 0)} /min: ${number(line.vo2max, 1)} mL/kg/min; 10 /min more or less in that maximum move it by ${number(line.perTenBeats, 1)}\n  ${line.working ?? ''}\n`;
  return `\nLine of oxygen uptake on heart rate\n${table(['Stage', 'HR', 'mL/kg/min', ''], rows)}${end}`;
}

/** Every bag with its steps, and the constants that were used. */
export function bagText({ results, state }: ReplayReport): string {
  const { bag: rule } = state.sheet;
  if (!rule || results.bags.length === 0) return '';
  const { fio2, fico2 } = inspiredSets[rule.inspired];
  const parts = [`\nBags (inspired oxygen ${fio2}, carbon dioxide ${fico2}, nitrogen ${number(1 - fio2 - fico2, 4)})\n`];
  for (const bag of results.bags) {
    const read = bag.inputs.map(([name, value, unit]) => `${name} ${value === undefined ? '–' : `${Number(value.toFixed(2))} ${unitOf(unit).label}`.trim()}`).join(', ');
    parts.push(`${bag.stage === undefined ? 'At rest' : `Stage ${bag.stage}`}: ${read}\n`);
    if (bag.steps.length > 0) parts.push(table(['step', 'value', 'working'], bag.steps.map((step) => [step.label, formatQuantity(step.value, step.unit, bagDecimals[step.id]), step.working])));
    if (bag.reason !== undefined) parts.push(`  not worked out: ${bag.reason}\n`);
    for (const warning of bag.warnings) parts.push(`  ${warning}\n`);
  }
  return parts.join('') + efficiencyText(results.efficiencies);
}

function efficiencyText(efficiency: ReplayReport['results']['efficiencies']): string {
  if (!efficiency) return '';
  const rows = efficiency.loads.map((one) => [String(one.stage), number(one.load, 0), number(one.energy, 2), number(one.gross, 1), number(one.net, 1), [one.why, ...one.warnings].filter((part) => part !== undefined).join('; ')]);
  const delta = efficiency.delta ? `  delta efficiency, stages ${efficiency.delta.from} to ${efficiency.delta.to}: ${number(efficiency.delta.value, 1)} %\n` : '';
  return `\nEfficiency (at rest ${number(efficiency.resting, 2)} kcal/min)\n${table(['Stage', 'W', 'kcal/min', 'gross %', 'net %', ''], rows)}${delta}`;
}

export function slopesText({ results }: ReplayReport): string {
  if (results.slopes.length === 0) return '';
  const lines = results.slopes.map((one) => `  ${one.label}: ${number(one.slope, 2)}${one.id === 'vo2-load' ? ' mL/min/W' : ''} (${one.working}; r² ${number(one.rSquared, 3)})\n`);
  return `\nLines through the stages\n${lines.join('')}`;
}

/** Uptake, load and week of the prescription, where the sheet asks for them. */
export function exerciseText(exercise: PrescribedExercise | undefined): string {
  if (!exercise) return '';
  if (exercise.reason !== undefined || exercise.vo2 === undefined) return `  uptake and load: – (${exercise.reason ?? 'not known'})\n`;
  const lines = [
    `oxygen uptake ${number(exercise.vo2, 1)} mL/kg/min, ${number(exercise.mets, 1)} METs, of ${number(exercise.maximalUptake, 1)} (${exercise.uptakeFrom}); ${exercise.classes?.byReserve} by reserve, ${exercise.classes?.byMets} by METs`,
    exercise.load === undefined ? `load: – (${exercise.noLoad ?? 'not known'})` : `${exercise.load.what}: ${formatQuantity(exercise.load.value, exercise.load.unit, exercise.load.unit === 'W' || exercise.load.unit === 'kgf.m/min' ? 0 : 1)} (${exercise.load.working})`,
    `energy ${number(exercise.kcalPerMinute?.gross, 1)} kcal/min gross, ${number(exercise.kcalPerMinute?.net, 1)} net`,
    ...(exercise.kcalPerWeek === undefined ? [] : [`${exercise.sessions} × ${exercise.minutes} min a week: ${number(exercise.kcalPerWeek.gross, 0)} kcal gross, ${number(exercise.kcalPerWeek.net, 0)} net; ${number(exercise.metMinutesPerWeek, 0)} MET·min`]),
    ...(exercise.ownLine === undefined ? [] : [`by the own ${exercise.ownLine.stages} stages (uptake ${exercise.ownLine.uptake}) the heart rate at that uptake is ${number(exercise.ownLine.heartRate, 0)} /min`]),
    ...exercise.warnings,
  ];
  return lines.map((line) => `  ${line}\n`).join('');
}
