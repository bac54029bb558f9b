/** Checks of what a sheet has worked out: formulas, tables of norms, criteria, the line, predictions, prescription, bags and counts. */
import { effortSetById, effortSets } from '../formulas/effort.ts';
import { normTableById, normTables } from '../norms/norms.ts';
import { dimensionOf, parseQuantity, type Dimension } from '../units/units.ts';
import { bagQuantities, detailQuantities, type DetailId, type ReadingQuantity } from '../vocabulary.ts';
import { readUnit, type Report, type Reports } from './check-tools.ts';
import { checkFormula, checkGiven } from './input-checks.ts';
import { listed, oneOf } from './nearest.ts';
import type { LabSheet } from './schema.ts';
import { shown } from './shape-problems.ts';

export function checkResults(sheet: LabSheet, { problem, warning }: Reports): void {
  const { results } = sheet;
  for (const [index, id] of results['hr-max'].entries()) checkFormula(id, ['results', 'hr-max', index], problem, '/min');
  for (const sex of ['male', 'female'] as const) {
    for (const [index, id] of (results['treadmill-time']?.[sex] ?? []).entries()) checkFormula(id, ['results', 'treadmill-time', sex, index], problem, 'mL/kg/min');
  }
  for (const [index, id] of results.reference.entries()) checkFormula(id, ['results', 'reference', index], problem);
  for (const [index, id] of results.norms.entries()) {
    const table = normTableById(id);
    const path = ['results', 'norms', index];
    if (!table) problem(path, `there is no table of norms ${shown(id)}`, oneOf(id, normTables.map((known) => known.id)));
    else if ((sheet.mode === 'treadmill' || sheet.mode === 'cycle') && table.mode !== sheet.mode) warning(path, `this table was made on the ${table.mode}, and the test is on the ${sheet.mode}`, 'the results will say so plainly');
  }
  const { effort } = results;
  if (effort === undefined) {
    if (sheet.kind === 'maximal') problem(['results'], 'a maximal test names no effort criteria', `add "effort:" with one of ${listed(effortSets.map((set) => set.id))}`);
  } else if (!effortSetById(effort)) problem(['results', 'effort'], `there is no set of effort criteria ${shown(effort)}`, oneOf(effort, effortSets.map((set) => set.id)));
  const cap = sheet['heart-rate-cap'];
  if (cap) checkFormula(cap.formula, ['heart-rate-cap', 'formula'], problem, '/min');
  checkPredictions(sheet, problem);
  checkPrescription(sheet, problem);
  checkReadingsFor(sheet, problem);
  const given = new Set<string>([...sheet.details.required, ...sheet.details.asked]);
  const wanted: readonly DetailId[] = ['age', 'sex', 'mass', ...(sheet.bag ? (['pressure'] as const) : [])];
  for (const detail of wanted) {
    if (!given.has(detail)) problem(['details', 'required'], `the results need the ${detailQuantities[detail].label.toLowerCase()}, which the sheet does not ask for`, `add "${detail}" to the list`);
  }
}

function checkPredictions(sheet: LabSheet, problem: Report): void {
  const { predictions, line, maximum } = sheet.results;
  for (const [index, asked] of predictions.entries()) {
    const path = ['results', 'predictions', index];
    const formula = checkFormula(asked.formula, [...path, 'formula'], problem);
    if (formula) checkGiven({ sheet, problem }, [formula], asked.with, path);
    if (predictions.findIndex((other) => other.formula === asked.formula) !== index) problem([...path, 'formula'], `"${asked.formula}" is worked out twice`, 'keep one of the two');
  }
  if (line && !sheet['predicted-vo2']) problem(['results', 'line'], 'the line needs the oxygen uptake of every stage', 'name its equation under "predicted-vo2"');
  const allowed = ['peak.vo2-rel', ...(line ? ['line.vo2max'] : []), ...predictions.map((asked) => `predicted.${asked.formula}`)];
  if (!allowed.includes(maximum)) problem(['results', 'maximum'], `${shown(maximum)} is nothing that this sheet works out`, oneOf(maximum, allowed));
}

/** What of a treadmill prescription is given, and what it takes to work it out. */
function checkPrescription(sheet: LabSheet, problem: Report): void {
  const { prescription } = sheet.results;
  if (!prescription) return;
  const { by, minutes, sessions } = prescription;
  const path = ['results', 'prescription'];
  if ((minutes === undefined) !== (sessions === undefined)) problem(path, `a week needs both minutes and sessions, and there are only ${minutes === undefined ? 'sessions' : 'minutes'}`, `add "${minutes === undefined ? 'minutes' : 'sessions'}:"`);
  if (by === undefined) {
    if (minutes !== undefined) problem(path, 'minutes and sessions belong to an exercise', 'say under "by" how it is done');
    return;
  }
  const amount = (value: string | number, dimension: Dimension, name: string, example: string): void => {
    const text = String(value);
    const parsed = parseQuantity(text, { defaultUnit: dimension === 'speed' ? 'm/min' : dimension === 'length' ? 'm' : '%', dimension, decimalMark: text.includes(',') ? ',' : '.' });
    if (!parsed.ok || (/^[\s\d.,]+$/.test(text) && parsed.value !== 0)) problem([...path, 'by', name], `${shown(text)} is not a ${name.replace('-', ' ')} with its unit`, `write for example ${example}`);
  };
  if (by.mode === 'walk' || by.mode === 'run') {
    if ((by.speed === undefined) === (by.grade === undefined)) problem([...path, 'by'], 'give either the speed or the grade; the other is worked out', by.speed === undefined ? 'add for example grade: 0 %' : 'take one of the two out');
    if (by.speed !== undefined) amount(by.speed, 'speed', 'speed', "'90 m/min'");
    if (by.grade !== undefined) amount(by.grade, 'fraction', 'grade', "'0 %'");
  } else if (by.mode === 'step') amount(by['step-height'], 'length', 'step-height', "'30 cm'");
  else {
    const unit = readUnit(by.unit);
    if (unit === undefined || dimensionOf(unit) !== 'power') problem([...path, 'by', 'unit'], `${shown(by.unit)} is not a unit of work rate`, 'write W or kg·m/min');
  }
}

/** Bags and counts: a key for what is read, and a reading for every key. */
function checkReadingsFor(sheet: LabSheet, problem: Report): void {
  const taken = new Set<ReadingQuantity>([...sheet.rest.readings, ...sheet.exercise.readings, ...sheet.recovery.readings].flatMap((rule) => rule.take));
  if (bagQuantities.some((quantity) => taken.has(quantity)) && !sheet.bag) problem(['bag'], 'a bag is collected, and the sheet does not say which air was breathed in', 'add "bag:" with "inspired: textbook" and a source');
  if (sheet.bag && !bagQuantities.every((quantity) => quantity === 'bag-temperature' || taken.has(quantity))) problem(['bag'], 'bag analysis needs the volume, the time and both gases', `add ${listed(bagQuantities.filter((quantity) => !taken.has(quantity)), 'and')} to a reading`);
  if (taken.has('pulse-count') && !sheet['pulse-count']) problem(['pulse-count'], 'a pulse is counted, and the sheet does not say for how long', 'add "pulse-count:" with "seconds:" and a source');
  if (sheet['pulse-count'] && !sheet.recovery.readings.some((rule) => rule.take.includes('pulse-count'))) problem(['pulse-count'], 'nobody counts the pulse in recovery', 'add "pulse-count" to a reading of recovery');
}
