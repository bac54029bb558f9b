/** Checks of a sheet's questions: formulas, what they are given, units, tolerances and marks. */
import type { Formula } from '../formulas/formula.ts';
import { dimensionOf, type UnitCode } from '../units/units.ts';
import { parseTolerance } from '../worksheet/tolerance.ts';
import { readUnit, uniqueIds, unitWord, type Report, type Reports } from './check-tools.ts';
import { checkFormula, checkGiven, type Numeric } from './input-checks.ts';
import { oneOf } from './nearest.ts';
import { fits, resultValues, stageValues, type RecordValue } from './references.ts';
import type { AnswerRoute, LabSheet } from './schema.ts';
import { shown } from './shape-problems.ts';
import type { Path } from './yaml-text.ts';

/** What the schema cannot say of questions: ids, routes, units, tolerances and marks. Reports each fault with its place. */
export function checkQuestions(sheet: LabSheet, reports: Reports): void {
  const { problem, warning } = reports;
  uniqueIds(sheet.questions, ['questions'], problem);
  for (const [index, question] of sheet.questions.entries()) {
    const path = ['questions', index];
    if (question.kind === 'number' || question.kind === 'table') checkNumeric(sheet, question, index, reports);
    if (question.kind === 'choice') {
      checkResult(sheet, question.answer.result, [...path, 'answer', 'result'], problem);
      if (question.choices) uniqueIds(question.choices, [...path, 'choices'], problem);
      const isCategory = /^category(\.|$)/.test(question.answer.result);
      if (isCategory && sheet.results.norms.length === 0) problem([...path, 'answer', 'result'], 'a category needs a table of norms', 'name one under results → norms');
      if (!isCategory && !question.choices) problem(path, 'there is nothing to choose from', 'add "choices:"');
    }
    if (question.kind === 'written') {
      const most = Math.max(...question.rubric.map((level) => level.marks));
      if (most !== question.marks) problem([...path, 'rubric'], `the best level gives ${most} and the question ${question.marks} marks`, 'make the two the same');
      if (!question.rubric.some((level) => level.marks === 0)) warning([...path, 'rubric'], 'no level gives 0 marks', 'say what earns nothing');
      if (new Set(question.rubric.map((level) => level.marks)).size !== question.rubric.length) problem([...path, 'rubric'], 'two levels give the same marks', 'give each level its own');
    }
  }
  const items = sheet['record-marks'] ?? [];
  uniqueIds(items, ['record-marks'], problem);
  for (const [index, item] of items.entries()) {
    if (sheet.questions.some((question) => question.id === item.id)) problem(['record-marks', index, 'id'], `a question has the id "${item.id}" too`, 'give each its own id');
    if (item.rubric !== undefined && Math.max(...item.rubric.map((level) => level.marks)) !== item.marks) problem(['record-marks', index, 'rubric'], `the best level does not give the ${item.marks} marks of the item`, 'make the two the same');
  }
  const total = [...sheet.questions, ...items].reduce((sum, { marks }) => sum + marks, 0);
  if (sheet.marks === undefined) warning([], `the sheet does not say its total; the questions add up to ${total} marks`, `add "marks: ${total}" so that a slip in one question is noticed`);
  else if (Math.abs(sheet.marks - total) > 1e-9) problem(['marks'], `the questions add up to ${total} marks, and the sheet says ${sheet.marks}`, 'correct one of them');
}

function checkNumeric(sheet: LabSheet, question: Numeric, index: number, { problem }: Reports): void {
  const path = ['questions', index];
  const unit = readUnit(question.unit);
  if (unit === undefined) problem([...path, 'unit'], `${shown(question.unit)} is not a unit that this program knows`, 'write for example /min, mL/kg/min, L/min, METs, % or mmHg');
  if (question.kind === 'table' && Array.isArray(question.rows)) uniqueIds(question.rows, [...path, 'rows'], problem);
  checkRoute(sheet, question, index, question.answer, [...path, 'answer'], unit, problem);
  for (const [at, other] of question.accept.entries()) checkRoute(sheet, question, index, other, [...path, 'accept', at], unit, problem);

  if (question.kind === 'number') checkSteps(sheet, question, index, problem);
  const asked = unit ?? '1';
  const { full, part } = question.tolerance;
  const [whole, partly] = [parseTolerance(full, asked), part === undefined ? undefined : parseTolerance(part, asked)];
  for (const [name, text, read] of [['full', full, whole], ['part', part, partly]] as const) {
    if (text !== undefined && read === undefined) problem([...path, 'tolerance', name], `${shown(text)} is not a tolerance`, 'write "0.5" (in the unit of the question), "1 %" (of the right value), "1 % or 0.5" (the wider of the two) or "rounding"');
  }
  for (const way of ['absolute', 'relative'] as const) {
    if ((partly?.[way] ?? Infinity) <= (whole?.[way] ?? -Infinity)) problem([...path, 'tolerance', 'part'], 'part marks begin where full marks do', 'make "part" wider than "full", or take it out');
  }
}

function checkSteps(sheet: LabSheet, question: Extract<Numeric, { kind: 'number' }>, index: number, problem: Report): void {
  const given = question.steps ?? [];
  for (const [at, step] of given.entries()) {
    const path = ['questions', index, 'steps', at];
    const unit = readUnit(step.unit);
    if (unit === undefined) problem([...path, 'unit'], `${shown(step.unit)} is not a unit that this program knows`, 'write for example /min, mL/kg/min, L/min, METs, % or mmHg');
    if (parseTolerance(step.tolerance, unit ?? '1') === undefined) problem([...path, 'tolerance'], `${shown(step.tolerance)} is not a tolerance`, 'write "0.5" (in the unit of the step) or "1 %"');
    checkRoute(sheet, question, index, step.answer, [...path, 'answer'], unit, problem);
  }
  if (given.reduce((sum, step) => sum + step.marks, 0) >= question.marks) problem(['questions', index, 'steps'], 'the steps give as many marks as the question', 'leave at least half a mark for the answer itself');
}

function checkRoute(sheet: LabSheet, question: Numeric, index: number, route: AnswerRoute, path: Path, unit: UnitCode | undefined, problem: Report): void {
  if ((route.formula === undefined) === (route.result === undefined)) {
    problem(path, route.formula === undefined ? 'the answer says neither "formula" nor "result"' : 'the answer says both "formula" and "result"', 'give one of the two');
    return;
  }
  if (route.result !== undefined) {
    const value = checkResult(sheet, route.result, [...path, 'result'], problem, question);
    if (value && value.unit === undefined) problem([...path, 'result'], `"${route.result}" is a word, not a number`, 'ask for it in a question of kind "choice"');
    if (value?.unit !== undefined && unit !== undefined && !fits(dimensionOf(value.unit), dimensionOf(unit), true)) problem([...path, 'result'], `"${route.result}" is in ${unitWord(value.unit)}, and the question in ${unitWord(unit)}`, 'make the two agree');
    for (const key of ['with', 'solve-for'] as const) if (route[key] !== undefined) problem([...path, key], `"${key}" belongs to a formula`, 'take it out');
    return;
  }
  const solveFor = route['solve-for'];
  const ids = typeof route.formula === 'string' ? [['formula', route.formula] as const] : Object.entries(route.formula ?? {}).map(([name, id]) => [name, id] as const);
  if (typeof route.formula === 'object' && 'walk' in route.formula && !(question.kind === 'table' && question.rows === 'completed-stages')) {
    problem([...path, 'formula'], 'a formula for each gait has a meaning only in a table over the completed stages', 'name one formula');
  }
  const chosen = ids.flatMap(([name, id]) => {
    const formula = checkFormula(id, typeof route.formula === 'string' ? [...path, 'formula'] : [...path, 'formula', name], problem, solveFor === undefined ? unit : undefined);
    return formula && (solveFor === undefined || canSolve(formula, solveFor, unit, path, problem)) ? [formula] : [];
  });
  if (chosen.length > 0) checkGiven({ sheet, question: { index, of: question }, problem }, chosen, route.with, path, solveFor);
}

/** Whether the formula can be turned round for that input, and gives it in the question's unit. */
function canSolve(formula: Formula, solveFor: string, unit: UnitCode | undefined, path: Path, problem: Report): boolean {
  const spec = formula.inputs[solveFor];
  if (!spec || !formula.solve?.[solveFor]) {
    problem([...path, 'solve-for'], `"${formula.id}" cannot be solved for ${shown(solveFor)}`, oneOf(solveFor, Object.keys(formula.solve ?? {})));
    return false;
  }
  if (unit !== undefined && dimensionOf(spec.unit) !== dimensionOf(unit)) problem([...path, 'solve-for'], `${spec.label.toLowerCase()} is in ${unitWord(spec.unit)}, and the question in ${unitWord(unit)}`, 'make the two agree');
  return true;
}

/** A value that the results hold: one of the list (in a table over the stages, of the row's stage too), or the category or percentile by one of the sheet's tables of norms. */
function checkResult(sheet: LabSheet, name: string, path: Path, problem: Report, question?: Numeric): RecordValue | undefined {
  if (question?.kind === 'table' && question.rows === 'completed-stages' && Object.hasOwn(stageValues, name)) return (stageValues as Readonly<Record<string, RecordValue>>)[name];
  if (Object.hasOwn(resultValues, name)) return (resultValues as Readonly<Record<string, RecordValue>>)[name];
  const normed = sheet.results.norms.flatMap((id) => [`category.${id}`, `percentile.${id}`]);
  if (normed.includes(name)) return name.startsWith('category.') ? { label: 'Category' } : { label: 'Percentile', unit: '%' };
  problem(path, `the results hold no ${shown(name)}`, oneOf(name, [...Object.keys(resultValues), ...normed]));
  return undefined;
}
