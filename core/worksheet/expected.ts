/**
 * What the right answer is: recomputed from the record by the sheet's own route. Beside it, the accepted alternatives, and what
 * follows from the student's own earlier answers.
 */
import { evaluate, type GivenValue } from '../formulas/evaluate.ts';
import type { Formula, Values } from '../formulas/formula.ts';
import { formulaById } from '../formulas/registry.ts';
import { BETWEEN_WALK_AND_RUN } from '../results/stages.ts';
import { convert, dimensionOf, isOxygenUptakeUnit, isUnitCode, parseQuantity, unitFromText, units, type UnitCode } from '../units/units.ts';
import type { AnswerRoute, LabSheet, Question } from '../sheet/schema.ts';
import { lineRows, pathOf, readReference, type Reference } from '../sheet/references.ts';
import { inUnit, plainReadings, readAnswer } from './answer.ts';
import { knownNumber, lookUp, massOf, type Book } from './book.ts';
import { standingAnswer, type WorksheetState } from './fold.ts';
import { completedStages, rowNamed, type QuestionRow } from './rows.ts';
import { shifted } from './shift.ts';
import { turned } from './solved-form.ts';
import { parseTolerance, widthOf } from './tolerance.ts';

export type NumericQuestion = Extract<Question, { kind: 'number' | 'table' }>;

export interface MarkingInput {
  readonly sheet: LabSheet;
  /** The results of this record, by path. */
  readonly book: Book;
  readonly worksheet: WorksheetState;
  /** The participant's code, for the marks' heading. */
  readonly participant?: string;
}

/** A value that an answer may have. */
export interface Expected {
  /** In the question's unit. */
  readonly value: number;
  /** The formula used and the values put in; absent where the results hold the value ready-made. */
  readonly form?: Formula;
  readonly used?: Values;
  readonly working?: string;
  readonly source?: string;
  /** Said beside an alternative: "by the running equation". */
  readonly by?: string;
  /** Questions whose own answers were put in: the wrong ones among them, where there are any. */
  readonly from?: readonly string[];
  /** Whether one of those answers was wrong: then this value is carried forward. */
  readonly fromWrong?: boolean;
}

export interface Expectation {
  /** The sheet's own value first, then accepted alternatives. Empty where void. */
  readonly right: readonly Expected[];
  /** What follows from the student's own earlier answers. */
  readonly own: readonly Expected[];
  /** Why the question cannot be answered on this record. */
  readonly void?: string;
}

/** Room for the binary shortfall of unit conversions at the two limits, in m/min. */
const AT_LIMIT = 1e-6;

/** Works out what may be answered to one row of a numeric question. */
export function expect(question: NumericQuestion, row: QuestionRow, input: MarkingInput): Expectation {
  const unit = unitOfQuestion(question);
  const main = route(question.answer, unit, row, input);
  if (typeof main === 'string') return { right: [], own: [], void: main };
  const right = [...main];
  for (const other of question.accept) {
    const accepted = route(other, unit, row, input);
    if (typeof accepted !== 'string') right.push(...accepted.map((value) => ({ ...value, by: value.by ?? value.form?.title ?? 'an accepted alternative' })));
  }
  const own = [question.answer, ...question.accept].flatMap((answer) => carried(answer, unit, row, input));
  return { right, own };
}

/** The unit that a question asks for. The loader has checked it; a sheet that was not loaded falls back to a bare number. */
export function unitOfQuestion(question: NumericQuestion): UnitCode {
  if (isUnitCode(question.unit)) return question.unit;
  return unitFromText(question.unit, [...new Set(units.map((unit) => unit.dimension))]) ?? '1';
}

/** Values of a route on this record, or why there is none. */
function route(answer: AnswerRoute, unit: UnitCode, row: QuestionRow, input: MarkingInput): readonly Expected[] | string {
  const { book } = input;
  const mass = massOf(book);
  if (answer.result !== undefined) {
    const entry = lookUp(book, inRow(answer.result, row));
    if (!entry.known) return entry.reason;
    if (typeof entry.value !== 'number') return `${entry.label} is not a number`;
    const value = inUnit(entry.value, entry.unit, unit, mass);
    if (value === undefined) return `${entry.label} cannot be given in the unit that is asked for`;
    return [{ value, ...(entry.working === undefined ? {} : { working: entry.working }), ...(entry.source === undefined ? {} : { source: entry.source }) }];
  }
  const chosen = chooseFormulas(answer.formula, row, input);
  if (typeof chosen === 'string') return chosen;
  const solveFor = answer['solve-for'];
  const given: Record<string, GivenValue> = {};
  for (const [name, reference] of Object.entries(answer.with ?? {})) {
    const value = resolve(reference, row, input);
    if (typeof value === 'string') return value;
    given[name] = value.value;
  }
  const values: Expected[] = [];
  let refusal: string | undefined;
  for (const { formula, by } of chosen) {
    for (const form of solveFor === undefined ? bothForms(formula, given) : bothTurned(formula, solveFor, unit, given)) {
      const inputs = onlyInputs(form.formula, fitted(form.formula, form.given, mass));
      const computed = solveFor === undefined ? evaluate(form.formula, inputs) : turned(form.formula, solveFor, inputs);
      if (!computed.ok) {
        refusal ??= computed.error.message;
        continue;
      }
      const value = inUnit(computed.value, computed.unit, unit, mass);
      if (value === undefined) {
        refusal ??= `${computed.form.output.label} cannot be given in the unit that is asked for without the body mass`;
        continue;
      }
      if (values.some((other) => Math.abs(other.value - value) <= 1e-9 * Math.abs(value))) continue;
      values.push({ value, form: computed.form, used: computed.used, working: computed.working, source: formula.source.citation, ...(by === undefined ? {} : { by }) });
    }
  }
  return values.length > 0 ? values : (refusal ?? 'the sheet names no formula for it');
}

/** `stage.speed` is the row's own stage. */
function inRow(path: string, row: QuestionRow): string {
  return row.stage === undefined ? path : path.replace(/^stage\.(?!\d)/, `stage.${row.stage}.`);
}

interface ChosenFormula {
  readonly formula: Formula;
  readonly by?: string;
}

function chooseFormulas(name: AnswerRoute['formula'], row: QuestionRow, input: MarkingInput): readonly ChosenFormula[] | string {
  if (name === undefined) return 'the sheet names no formula for it';
  if (typeof name === 'string') return known([[name]]);
  if ('male' in name) {
    const sex = lookUp(input.book, 'participant.sex');
    if (!sex.known) return sex.reason;
    return known([[sex.value === 'female' ? name.female : name.male]]);
  }
  const speed = row.stage === undefined ? undefined : knownNumber(input.book, `stage.${row.stage}.speed`);
  if (speed === undefined) return 'the speed of the stage is not on the record';
  const metres = convert(speed.value, speed.unit, 'm/min');
  const walk = [name.walk, 'by the walking equation'] as const;
  const run = [name.run, 'by the running equation'] as const;
  if (metres < BETWEEN_WALK_AND_RUN.from - AT_LIMIT) return known([[name.walk]]);
  if (metres > BETWEEN_WALK_AND_RUN.to + AT_LIMIT) return known([[name.run]]);
  const seen = input.book.get(`stage.${row.stage}.gait-recorded`);
  if (seen?.known) return known([[seen.value === 'run' ? name.run : name.walk]]);
  // Nobody wrote the gait down: both equations' values are right, the sheet's own choice first.
  const chosen = input.book.get(`stage.${row.stage}.gait`);
  return known(chosen?.known && chosen.value === 'run' ? [run, walk] : [walk, run]);
}

function known(names: readonly (readonly [id: string, by?: string])[]): readonly ChosenFormula[] | string {
  const chosen: ChosenFormula[] = [];
  for (const [id, by] of names) {
    const formula = formulaById(id);
    if (!formula) return `this program has no formula "${id}"`;
    chosen.push({ formula, ...(by === undefined ? {} : { by }) });
  }
  return chosen;
}

/** Where a formula is published with a constant for each of two units, both forms are right. */
function bothForms(formula: Formula, given: Readonly<Record<string, GivenValue>>): readonly { readonly formula: Formula; readonly given: Readonly<Record<string, GivenValue>> }[] {
  const other = formula.unitForm;
  const entry = other === undefined ? undefined : given[other.input];
  const spec = other === undefined ? undefined : formula.inputs[other.input];
  if (other === undefined || entry === undefined || spec === undefined) return [{ formula, given }];
  const read = typeof entry.value === 'number' ? undefined : parseQuantity(entry.value, { defaultUnit: entry.unit ?? spec.unit, dimension: dimensionOf(spec.unit) });
  const value = typeof entry.value === 'number' ? entry.value : read?.ok === true ? read.value : undefined;
  if (value === undefined) return [{ formula, given }];
  const from = (read?.ok === true ? read.unit : entry.unit) ?? spec.unit;
  const forms = [spec.unit, other.unit].map((unit) => ({ formula, given: { ...given, [other.input]: { value: convert(value, from, unit), unit } } }));
  // The unit in which the record has it comes first.
  return from === other.unit ? forms.toReversed() : forms;
}

/** The same where the formula is turned round for the input that has the two constants: the unit asked for comes first. */
function bothTurned(formula: Formula, solveFor: string, asked: UnitCode, given: Readonly<Record<string, GivenValue>>): readonly { readonly formula: Formula; readonly given: Readonly<Record<string, GivenValue>> }[] {
  const other = formula.unitForm;
  if (other === undefined || other.input !== solveFor) return [{ formula, given }];
  const forms = [formula, other.formula].map((form) => ({ formula: form, given }));
  return asked === other.unit ? forms.toReversed() : forms;
}

/** Oxygen uptake in the form that an input wants, where the body mass allows it. */
function fitted(formula: Formula, given: Readonly<Record<string, GivenValue>>, mass: number | undefined): Readonly<Record<string, GivenValue>> {
  return Object.fromEntries(
    Object.entries(given).map(([name, entry]) => {
      const wanted = (name === 'output' ? formula.output : formula.inputs[name])?.unit;
      if (wanted === undefined || entry.unit === undefined || typeof entry.value !== 'number') return [name, entry];
      if (dimensionOf(entry.unit) === dimensionOf(wanted) || !isOxygenUptakeUnit(wanted)) return [name, entry];
      const value = inUnit(entry.value, entry.unit, wanted, mass);
      return [name, value === undefined ? entry : { value, unit: wanted }];
    }),
  );
}

/** A pair of formulas may take different inputs; each gets its own. */
function onlyInputs(formula: Formula, given: Readonly<Record<string, GivenValue>>): Readonly<Record<string, GivenValue>> {
  return Object.fromEntries(Object.entries(given).filter(([name]) => name === 'output' || Object.hasOwn(formula.inputs, name)));
}

type AnswerReference = Extract<Reference, { kind: 'answer' }>;

function resolve(reference: string | number, row: QuestionRow, input: MarkingInput): { readonly value: GivenValue } | string {
  const read = readReference(reference);
  if (read.kind === 'constant') return { value: { value: typeof reference === 'number' ? reference : read.text } };
  if (read.kind === 'answer') {
    const found = findQuestion(input.sheet, read.question);
    if (found === undefined) return `the sheet has no question "${read.question}"`;
    const at = rowOf(read, found, row, input);
    if (typeof at === 'string') return at;
    const rights = rightsOf(found, at, input);
    if (typeof rights === 'string') return rights;
    const [first] = rights;
    const unit = unitOfQuestion(found);
    return first === undefined ? 'it has no value on this record' : { value: { value: shifted(first, unit, read.shift), unit } };
  }
  const entry = lookUp(input.book, inRow(pathOf(read), row));
  if (!entry.known) return entry.reason;
  return { value: typeof entry.value === 'number' ? { value: shifted(entry.value, entry.unit, read.shift), unit: entry.unit } : { value: entry.value } };
}

const isLineRow = (row: string): row is keyof typeof lineRows => Object.hasOwn(lineRows, row);

/** The row of the earlier question that is meant: the one that is named, else, in a table, the same as this one. */
function rowOf(reference: AnswerReference, question: NumericQuestion, row: QuestionRow, input: MarkingInput): QuestionRow | string {
  if (question.kind !== 'table') return {};
  if (reference.row === undefined) return row;
  if (isLineRow(reference.row)) {
    const entry = lookUp(input.book, lineRows[reference.row]);
    return entry.known ? rowNamed(`stage-${entry.value}`) : entry.reason;
  }
  const named = rowNamed(reference.row);
  const stage = question.rows === 'completed-stages' ? named.stage : undefined;
  return stage !== undefined && !completedStages(input.book).includes(stage) ? `stage ${stage} was not finished` : named;
}

function findQuestion(sheet: LabSheet, id: string): NumericQuestion | undefined {
  const question = sheet.questions.find((candidate) => candidate.id === id);
  return question?.kind === 'number' || question?.kind === 'table' ? question : undefined;
}

/** The right values of an earlier question, the sheet's own first. It sees earlier questions only, so that no chain can go round in a circle. */
function rightsOf(question: NumericQuestion, row: QuestionRow, input: MarkingInput): readonly number[] | string {
  const at = input.sheet.questions.indexOf(question);
  const earlierOnly: MarkingInput = { ...input, sheet: { ...input.sheet, questions: input.sheet.questions.slice(0, at) } };
  const [own, ...accepted] = [question.answer, ...question.accept].map((answer) => route(answer, unitOfQuestion(question), question.kind === 'table' ? row : {}, earlierOnly));
  if (own === undefined || typeof own === 'string') return own ?? 'it has no value on this record';
  return [...own, ...accepted.flatMap((values) => (typeof values === 'string' ? [] : values))].map(({ value }) => value);
}

/**
 * What follows from the student's own earlier answers, where this route builds on some and they were given. The formula is
 * computed as it stands, without its limits: a wrong answer may well lie beyond them, and its consequence is still consistent.
 */
function carried(answer: AnswerRoute, unit: UnitCode, row: QuestionRow, input: MarkingInput): readonly Expected[] {
  const inputs = Object.entries(answer.with ?? {}).flatMap(([name, entry]) => {
    const reference = readReference(entry);
    return reference.kind === 'answer' ? [{ name, reference, key: `${reference.question}/${reference.row ?? ''}` }] : [];
  });
  if (inputs.length === 0) return [];
  const base = route(answer, unit, row, input);
  if (typeof base === 'string') return [];
  const mass = massOf(input.book);
  const own = new Map(inputs.map(({ key, reference }) => [key, ownAnswers(reference, row, input)] as const).filter(([, values]) => values.length > 0));
  if (own.size === 0) return [];
  let mixes: readonly ReadonlyMap<string, OwnAnswer>[] = [new Map()];
  // A number is rarely read in more than one way; where many are, the last of them do not multiply any further.
  for (const [key, values] of own) mixes = mixes.flatMap((mix) => (mixes.length > 32 ? values.slice(0, 1) : values).map((value) => new Map([...mix, [key, value]])));
  return mixes.flatMap((mix) =>
    base.flatMap((right): Expected[] => {
      const { form, used } = right;
      if (form === undefined || used === undefined) return [];
      const values: Record<string, number | string> = { ...used };
      for (const { name, key, reference } of inputs) {
        const replaced = mix.get(key);
        const spec = form.inputs[name];
        if (replaced === undefined || spec === undefined) continue;
        const value = inUnit(shifted(replaced.value, replaced.unit, reference.shift), replaced.unit, spec.unit, mass);
        if (value === undefined) return [];
        values[name] = value;
      }
      const value = inUnit(form.compute(values), form.output.unit, unit, mass);
      if (value === undefined) return [];
      const questions = (of: (answered: OwnAnswer) => boolean): readonly string[] => [...new Set([...mix].filter(([, answered]) => of(answered)).map(([key]) => key.split('/')[0] ?? ''))];
      const wrong = questions((answered) => answered.wrong);
      return [{ ...right, value, used: values, working: form.working(values), from: wrong.length > 0 ? wrong : questions(() => true), fromWrong: wrong.length > 0 }];
    }),
  );
}

interface OwnAnswer {
  readonly value: number;
  readonly unit: UnitCode;
  readonly wrong: boolean;
}

/** The student's answer to an earlier question: as written; without a unit that fits, the bare number in the unit asked for, which is what was worked on with. */
function ownAnswers(reference: AnswerReference, row: QuestionRow, input: MarkingInput): readonly OwnAnswer[] {
  const question = findQuestion(input.sheet, reference.question);
  const at = question && rowOf(reference, question, row, input);
  if (question === undefined || at === undefined || typeof at === 'string') return [];
  const attempt = standingAnswer(input.worksheet, reference.question, question.kind === 'table' ? at.id : undefined);
  if (attempt === undefined) return [];
  const unit = unitOfQuestion(question);
  const read = readAnswer(attempt, { unit, mass: massOf(input.book), unitGiven: question.kind === 'table' });
  const full = parseTolerance(question.tolerance.full, unit) ?? {};
  const rights = rightsOf(question, at, input);
  return plainReadings(read).map((value) => ({
    value,
    unit,
    wrong: typeof rights === 'string' || rights.every((right) => Math.abs(value - right) > widthOf(full, right, question.decimals)),
  }));
}
