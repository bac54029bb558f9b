/** Checks of a sheet's questions: formulas, what they are given, units, tolerances and marks. */
import { formulaById, formulas } from '../formulas/registry.ts';
import type { Formula, InputSpec } from '../formulas/formula.ts';
import { dimensionOf, isOxygenUptakeUnit, parseQuantity, type Dimension, type UnitCode } from '../units/units.ts';
import { parseTolerance } from '../worksheet/tolerance.ts';
import { readUnit, uniqueIds, unitWord, type Report, type Reports } from './check-tools.ts';
import { listed, nearest, oneOf } from './nearest.ts';
import { fits, readReference, recordValues, resultValues, stageValues, type RecordValue } from './references.ts';
import type { AnswerRoute, LabSheet, Question } from './schema.ts';
import { shown } from './shape-problems.ts';
import type { Path } from './yaml-text.ts';

/** The formula with this id, or a problem at `path` with the id that was most likely meant. */
export function checkFormula(id: string, path: Path, problem: Report, output?: UnitCode): Formula | undefined {
  const formula = formulaById(id);
  if (!formula) {
    const near = nearest(id, formulas.map((known) => known.id));
    problem(path, `there is no formula ${shown(id)}`, near === undefined ? 'see "npm run -s lab -- formula --list" for all ids' : `did you mean "${near}"?`);
    return undefined;
  }
  if (output !== undefined && !fits(dimensionOf(formula.output.unit), dimensionOf(output), true)) {
    problem(path, `"${id}" gives ${formula.output.label.toLowerCase()} in ${unitWord(formula.output.unit)}`, `a formula for ${unitWord(output)} belongs here`);
  }
  return formula;
}

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
  const total = sheet.questions.reduce((sum, question) => sum + question.marks, 0);
  if (sheet.marks === undefined) warning([], `the sheet does not say its total; the questions add up to ${total} marks`, `add "marks: ${total}" so that a slip in one question is noticed`);
  else if (Math.abs(sheet.marks - total) > 1e-9) problem(['marks'], `the questions add up to ${total} marks, and the sheet says ${sheet.marks}`, 'correct one of them');
}

type Numeric = Extract<Question, { kind: 'number' | 'table' }>;

function checkNumeric(sheet: LabSheet, question: Numeric, index: number, { problem }: Reports): void {
  const path = ['questions', index];
  const unit = readUnit(question.unit);
  if (unit === undefined) problem([...path, 'unit'], `${shown(question.unit)} is not a unit that this program knows`, 'write for example /min, mL/kg/min, L/min, METs, % or mmHg');
  if (question.kind === 'table' && Array.isArray(question.rows)) uniqueIds(question.rows, [...path, 'rows'], problem);
  checkRoute(sheet, question, index, question.answer, [...path, 'answer'], unit, problem);
  for (const [at, other] of question.accept.entries()) checkRoute(sheet, question, index, other, [...path, 'accept', at], unit, problem);

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

function checkRoute(sheet: LabSheet, question: Numeric, index: number, route: AnswerRoute, path: Path, unit: UnitCode | undefined, problem: Report): void {
  if ((route.formula === undefined) === (route.result === undefined)) {
    problem(path, route.formula === undefined ? 'the answer says neither "formula" nor "result"' : 'the answer says both "formula" and "result"', 'give one of the two');
    return;
  }
  if (route.result !== undefined) {
    const value = checkResult(sheet, route.result, [...path, 'result'], problem);
    if (value && value.unit === undefined) problem([...path, 'result'], `"${route.result}" is a word, not a number`, 'ask for it in a question of kind "choice"');
    if (value?.unit !== undefined && unit !== undefined && !fits(dimensionOf(value.unit), dimensionOf(unit), true)) problem([...path, 'result'], `"${route.result}" is in ${unitWord(value.unit)}, and the question in ${unitWord(unit)}`, 'make the two agree');
    if (route.with !== undefined) problem([...path, 'with'], '"with" belongs to a formula', 'take it out');
    return;
  }
  const given = route.with ?? {};
  const ids = typeof route.formula === 'string' ? [['formula', route.formula] as const] : Object.entries(route.formula ?? {}).map(([name, id]) => [name, id] as const);
  if (typeof route.formula === 'object' && 'walk' in route.formula && !(question.kind === 'table' && question.rows === 'completed-stages')) {
    problem([...path, 'formula'], 'a formula for each gait has a meaning only in a table over the completed stages', 'name one formula');
  }
  const chosen = ids.flatMap(([name, id]) => {
    const formula = checkFormula(id, typeof route.formula === 'string' ? [...path, 'formula'] : [...path, 'formula', name], problem, unit);
    return formula ? [formula] : [];
  });
  if (chosen.length === 0) return;
  for (const name of Object.keys(given)) {
    if (!chosen.some((formula) => Object.hasOwn(formula.inputs, name))) {
      const known = [...new Set(chosen.flatMap((formula) => Object.keys(formula.inputs)))];
      problem([...path, 'with', name], `"${name}" is not an input of "${chosen[0]?.id}"`, oneOf(name, known));
    }
  }
  for (const formula of chosen) {
    for (const [name, spec] of Object.entries(formula.inputs)) {
      const entry = given[name];
      if (entry === undefined) {
        if (spec.default === undefined) problem(route.with === undefined ? path : [...path, 'with'], `"${formula.id}" needs ${name} (${spec.label.toLowerCase()})`, `add it under "with", for example ${name}: ${suggestion(spec)}`);
        continue;
      }
      checkInput(sheet, question, index, entry, spec, [...path, 'with', name], problem);
    }
  }
}

function checkInput(sheet: LabSheet, question: Numeric, index: number, entry: string | number, spec: InputSpec, path: Path, problem: Report): void {
  const reference = readReference(entry);
  const wanted = dimensionOf(spec.unit);
  const compare = (given: UnitCode | undefined): void => {
    if (spec.choices) {
      if (given !== undefined) problem(path, `${shown(entry)} is a number, and ${spec.label.toLowerCase()} is a choice`, `use ${listed(spec.choices.map((choice) => String(choice.value)))}`);
      return;
    }
    if (given === undefined) problem(path, `${shown(entry)} is a word, and ${spec.label.toLowerCase()} is a number`, `use ${suggestion(spec)}`);
    else if (!fits(dimensionOf(given), wanted, sheet.details.required.includes('mass'))) problem(path, `${shown(entry)} is in ${unitWord(given)}, and ${spec.label.toLowerCase()} is wanted in ${unitWord(spec.unit)}`, `use ${suggestion(spec)}`);
  };
  switch (reference.kind) {
    case 'record':
      compare((recordValues[reference.name] as RecordValue).unit);
      return;
    case 'stage':
      if (question.kind !== 'table' || question.rows !== 'completed-stages') problem(path, `${shown(entry)} has a meaning only in a table over the completed stages`, 'use a value of the whole record');
      else compare(stageValues[reference.name].unit);
      return;
    case 'answer': {
      const at = sheet.questions.findIndex((other) => other.id === reference.question);
      const target = sheet.questions[at];
      if (!target) {
        problem(path, `there is no question "${reference.question}"`, oneOf(reference.question, sheet.questions.slice(0, index).map((other) => other.id)));
      } else if (at >= index) {
        problem(path, `"${reference.question}" ${at === index ? 'is this question itself' : 'comes later'}`, 'an answer can build on earlier ones only; change the order of the questions');
      } else if (target.kind !== 'number') {
        problem(path, `"${reference.question}" has no single number as its answer`, 'refer to a question of kind "number"');
      } else compare(readUnit(target.unit));
      return;
    }
    case 'constant': {
      if (spec.choices) {
        if (!spec.choices.some((choice) => String(choice.value) === reference.text)) problem(path, `${shown(entry)} is not a choice for ${spec.label.toLowerCase()}`, `use ${listed(spec.choices.map((choice) => String(choice.value)))}`);
        return;
      }
      const parsed = parseQuantity(reference.text, { defaultUnit: spec.unit, dimension: wantedDimensions(spec), decimalMark: reference.text.includes(',') ? ',' : '.' });
      if (!parsed.ok) problem(path, `${shown(entry)} is neither a value of the record, an earlier answer nor a number with its unit`, `use ${suggestion(spec)}`);
      else if (parsed.unit === '1' && spec.alsoUnits?.includes('%') && parsed.value > 1) problem(path, `${shown(entry)} has no unit, and as a fraction it is more than 1`, `write "${parsed.value} %"`);
      return;
    }
    case 'unknown':
      problem(path, `${shown(entry)} is not a value of the record`, oneOf(reference.text, [...Object.keys(recordValues), ...(question.kind === 'table' ? Object.keys(stageValues) : []), ...sheet.questions.slice(0, index).map((other) => `answer.${other.id}`)]));
  }
}

const wantedDimensions = (spec: InputSpec): readonly Dimension[] => (isOxygenUptakeUnit(spec.unit) ? ['flow', 'uptake-per-mass'] : [dimensionOf(spec.unit)]);

/** Something that could stand there. */
function suggestion(spec: InputSpec): string {
  if (spec.choices) return spec.choices.some((choice) => choice.value === 'female') ? 'participant.sex' : listed(spec.choices.map((choice) => String(choice.value)));
  const named = Object.entries(recordValues as Readonly<Record<string, RecordValue>>).find(([, value]) => value.unit !== undefined && dimensionOf(value.unit) === dimensionOf(spec.unit));
  return named ? `${named[0]}, an earlier answer or a number with its unit` : 'a number with its unit';
}

/** A value that the results hold: one of the list, or the category or percentile by one of the sheet's tables of norms. */
function checkResult(sheet: LabSheet, name: string, path: Path, problem: Report): RecordValue | undefined {
  if (Object.hasOwn(resultValues, name)) return (resultValues as Readonly<Record<string, RecordValue>>)[name];
  const normed = sheet.results.norms.flatMap((id) => [`category.${id}`, `percentile.${id}`]);
  if (normed.includes(name)) return name.startsWith('category.') ? { label: 'Category' } : { label: 'Percentile', unit: '%' };
  problem(path, `the results hold no ${shown(name)}`, oneOf(name, [...Object.keys(resultValues), ...normed]));
  return undefined;
}
