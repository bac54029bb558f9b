/** Checks of what a formula on a lab sheet is given: every input there, known names, fitting units. For questions and for results. */
import { formulaById, formulas } from '../formulas/registry.ts';
import type { Formula, InputSpec } from '../formulas/formula.ts';
import { dimensionOf, isOxygenUptakeUnit, parseQuantity, type Dimension, type UnitCode } from '../units/units.ts';
import { readUnit, unitWord, type Report } from './check-tools.ts';
import { listed, nearest, oneOf } from './nearest.ts';
import { fits, lineRows, readReference, recordValues, stageValues, type RecordValue, type Reference } from './references.ts';
import type { LabSheet, Question } from './schema.ts';
import { shown } from './shape-problems.ts';
import type { Path } from './yaml-text.ts';

export type Numeric = Extract<Question, { kind: 'number' | 'table' }>;

/** Where a formula stands: in a question, which may build on earlier ones, or among the results. */
export interface Place {
  readonly sheet: LabSheet;
  readonly question?: { readonly index: number; readonly of: Numeric };
  readonly problem: Report;
}

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

/** What a formula takes; turned round, its result in place of the input that is asked for. */
export function inputsOf(formula: Formula, solveFor: string | undefined): Readonly<Record<string, InputSpec>> {
  if (solveFor === undefined) return formula.inputs;
  const { [solveFor]: _, ...others } = formula.inputs;
  const { label, symbol, unit } = formula.output;
  return { ...others, output: { label, symbol, unit } };
}

/** @param path of the route; its values stand under "with". */
export function checkGiven(place: Place, chosen: readonly Formula[], given: Readonly<Record<string, string | number>> | undefined, path: Path, solveFor?: string): void {
  const { problem } = place;
  const values = given ?? {};
  for (const name of Object.keys(values)) {
    const known = [...new Set(chosen.flatMap((formula) => Object.keys(inputsOf(formula, solveFor))))];
    if (!known.includes(name)) problem([...path, 'with', name], `"${name}" is not an input of "${chosen[0]?.id}"`, oneOf(name, known));
  }
  for (const formula of chosen) {
    for (const [name, spec] of Object.entries(inputsOf(formula, solveFor))) {
      const entry = values[name];
      if (entry === undefined) {
        if (spec.default === undefined) problem(given === undefined ? path : [...path, 'with'], `"${formula.id}" needs ${name} (${spec.label.toLowerCase()})`, `add it under "with", for example ${name}: ${suggestion(spec)}`);
        continue;
      }
      checkInput(place, entry, spec, [...path, 'with', name]);
    }
  }
}

function checkInput(place: Place, entry: string | number, spec: InputSpec, path: Path): void {
  const { sheet, problem } = place;
  const reference = readReference(entry);
  const wanted = dimensionOf(spec.unit);
  const compare = (given: UnitCode | undefined): void => {
    if (reference.shift !== undefined) checkShift(reference.shift.text, given, path, problem);
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
      if (reference.number === undefined && !isOverStages(place.question?.of)) problem(path, `${shown(entry)} has a meaning only in a table over the completed stages`, `name the stage, for example ${reference.name.replace('stage.', 'stage.2.')}`);
      else compare((stageValues[reference.name] as RecordValue).unit);
      return;
    case 'answer':
      compare(checkAnswer(place, reference, path));
      return;
    case 'constant':
      checkConstant(reference.text, entry, spec, path, problem);
      return;
    case 'unknown':
      problem(path, `${shown(entry)} is not a value of the record`, oneOf(reference.text, [...Object.keys(recordValues), ...(isOverStages(place.question?.of) ? Object.keys(stageValues) : []), ...sheet.questions.slice(0, place.question?.index ?? 0).map((other) => `answer.${other.id}`)]));
  }
}

const isOverStages = (question: Question | undefined): boolean => question?.kind === 'table' && question.rows === 'completed-stages';

/** The unit of an earlier answer; undefined, with a problem, where there is none to build on. */
function checkAnswer({ sheet, question, problem }: Place, reference: Extract<Reference, { kind: 'answer' }>, path: Path): UnitCode | undefined {
  const name = `answer.${reference.question}`;
  if (question === undefined) {
    problem(path, `${shown(name)} is an answer, and the results do not hang on answers`, 'use a value of the record');
    return undefined;
  }
  const at = sheet.questions.findIndex((other) => other.id === reference.question);
  const target = sheet.questions[at];
  if (!target) problem(path, `there is no question "${reference.question}"`, oneOf(reference.question, sheet.questions.slice(0, question.index).map((other) => other.id)));
  else if (at >= question.index) problem(path, `"${reference.question}" ${at === question.index ? 'is this question itself' : 'comes later'}`, 'an answer can build on earlier ones only; change the order of the questions');
  else if (target.kind === 'number') {
    if (reference.row !== undefined) problem(path, `"${reference.question}" has no rows`, `write ${name}`);
    return readUnit(target.unit);
  } else if (target.kind === 'table') {
    if (reference.row !== undefined) {
      const known = target.rows === 'completed-stages' ? /^stage-\d{1,2}$/.test(reference.row) || (sheet.results.line !== undefined && Object.hasOwn(lineRows, reference.row)) : target.rows.some((row) => row.id === reference.row);
      if (!known) problem(path, `"${reference.question}" has no row "${reference.row}"`, target.rows === 'completed-stages' ? `write for example ${name}/stage-2` : oneOf(reference.row, target.rows.map((row) => row.id)));
    } else if (question.of.kind !== 'table' || JSON.stringify(question.of.rows) !== JSON.stringify(target.rows)) {
      problem(path, `"${reference.question}" has several rows`, `name one, for example ${name}/${target.rows === 'completed-stages' ? 'stage-2' : (target.rows[0]?.id ?? 'ROW')}`);
    }
    return readUnit(target.unit);
  } else problem(path, `"${reference.question}" has no number as its answer`, 'refer to a question of kind "number" or "table"');
  return undefined;
}

/** An amount that is added or taken off: in the value's own dimension. */
function checkShift(text: string, unit: UnitCode | undefined, path: Path, problem: Report): void {
  if (unit === undefined) return;
  const parsed = parseQuantity(text, { defaultUnit: unit, dimension: dimensionOf(unit), decimalMark: text.includes(',') ? ',' : '.' });
  if (!parsed.ok) problem(path, `${shown(text)} cannot be added to a value in ${unitWord(unit)}`, `write it in ${unitWord(unit)}`);
}

function checkConstant(text: string, entry: string | number, spec: InputSpec, path: Path, problem: Report): void {
  if (spec.choices) {
    if (!spec.choices.some((choice) => String(choice.value) === text)) problem(path, `${shown(entry)} is not a choice for ${spec.label.toLowerCase()}`, `use ${listed(spec.choices.map((choice) => String(choice.value)))}`);
    return;
  }
  const dimension: readonly Dimension[] = isOxygenUptakeUnit(spec.unit) ? ['flow', 'uptake-per-mass'] : [dimensionOf(spec.unit)];
  const parsed = parseQuantity(text, { defaultUnit: spec.unit, dimension, decimalMark: text.includes(',') ? ',' : '.' });
  if (!parsed.ok) problem(path, `${shown(entry)} is neither a value of the record, an earlier answer nor a number with its unit`, `use ${suggestion(spec)}`);
  else if (parsed.unit === '1' && spec.alsoUnits?.includes('%') && parsed.value > 1) problem(path, `${shown(entry)} has no unit, and as a fraction it is more than 1`, `write "${parsed.value} %"`);
}

/** Something that could stand there. */
function suggestion(spec: InputSpec): string {
  if (spec.choices) return spec.choices.some((choice) => choice.value === 'female') ? 'participant.sex' : listed(spec.choices.map((choice) => String(choice.value)));
  const named = Object.entries(recordValues as Readonly<Record<string, RecordValue>>).find(([, value]) => value.unit !== undefined && dimensionOf(value.unit) === dimensionOf(spec.unit));
  return named ? `${named[0]}, an earlier answer or a number with its unit` : 'a number with its unit';
}
