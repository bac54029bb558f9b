/** Marks one numeric answer: the best award that it can be shown to have earned, with the line that says why. */
import { convert, dimensionOf, formatNumber, formatQuantity, isUnitCode, unitOf, type UnitCode } from '../units/units.ts';
import { plainReadings, readAnswer, type AnswerReading, type ReadAnswer } from './answer.ts';
import { sumsIn, type Sum } from './arithmetic.ts';
import { massOf } from './book.ts';
import { expect, unitOfQuestion, type Expected, type MarkingInput, type NumericQuestion } from './expected.ts';
import { standingAnswer, answerKey } from './fold.ts';
import type { MarkParts } from './mark-parts.ts';
import type { RowMark, Verdict } from './marking-types.ts';
import { impossible } from './possible.ts';
import type { QuestionRow } from './rows.ts';
import { equalsSlip, slipsAround, type SlipValue } from './slips.ts';
import { parseTolerance, toleranceInWords, widthOf, type Tolerance } from './tolerance.ts';

interface Award {
  readonly verdict: Verdict;
  /** Of the row's marks, before the unit mark is taken off. */
  readonly marks: number;
  readonly reason: string;
  readonly unitFault?: 'missing' | 'wrong';
  readonly slip?: { readonly id: string; readonly says: string };
}

interface Task {
  readonly question: NumericQuestion;
  readonly unit: UnitCode;
  readonly read: ReadAnswer;
  readonly right: readonly [Expected, ...Expected[]];
  readonly own: readonly Expected[];
  readonly full: Tolerance;
  readonly part?: Tolerance;
  /** Marks of this answer, and their parts in the same measure. */
  readonly marks: number;
  readonly parts: MarkParts;
  readonly input: MarkingInput;
}

/**
 * Marks one answer of a numeric question.
 * @param marks what this answer is worth (a table's marks are divided over its rows); `parts` in the same measure.
 */
export function markNumber(question: NumericQuestion, row: QuestionRow, input: MarkingInput, marks: number, parts: MarkParts): RowMark {
  const unit = unitOfQuestion(question);
  const expectation = expect(question, row, input);
  const place = { ...(row.id === undefined ? {} : { row: row.id }), ...(row.label === undefined ? {} : { label: row.label }) };
  const attempt = standingAnswer(input.worksheet, question.id, row.id);
  const given = attempt && {
    typed: attempt.typed,
    ...(attempt.unit === undefined ? {} : { unit: attempt.unit }),
    ...(attempt.working === undefined ? {} : { working: attempt.working }),
    attempts: input.worksheet.answers.get(answerKey(question.id, row.id))?.attempts.length ?? 1,
  };
  const [first, ...others] = expectation.right;
  if (expectation.void !== undefined || first === undefined) {
    return { ...place, verdict: 'void', marks: 0, outOf: 0, reason: `Void: ${expectation.void ?? 'it has no value on this record'}.`, ...(given === undefined ? {} : { answer: given }) };
  }
  const right = formatQuantity(first.value, unit, question.decimals);
  if (attempt === undefined) return { ...place, verdict: 'not-answered', marks: 0, outOf: marks, reason: `Not answered. The record gives ${right}.`, right };
  const part = question.tolerance.part === undefined ? undefined : parseTolerance(question.tolerance.part, unit);
  const award = bestAward({
    question,
    unit,
    read: readAnswer(attempt, { unit, mass: massOf(input.book), unitGiven: question.kind === 'table' }),
    right: [first, ...others],
    own: expectation.own,
    full: parseTolerance(question.tolerance.full, unit) ?? {},
    ...(part === undefined ? {} : { part }),
    marks,
    parts,
    input,
  });
  return { ...place, ...award, outOf: marks, right, ...(given === undefined ? {} : { answer: given }) };
}

/** Every award that the answer can be shown to earn is looked at; the highest counts, and of equals the earlier. */
function bestAward(asked: Task): Award {
  const repeated = asked.read.readings.filter((reading) => restatesInput(asked.right[0], reading, asked));
  const task = withoutFarUnits({ ...asked, read: { ...asked.read, readings: asked.read.readings.filter((reading) => !repeated.includes(reading)) } });
  const awards = [...rightAwards(task), ...carriedAwards(task), ...nearAwards(task), ...workingAwards(task), ...slipAwards(task), ...stepAwards(task)];
  const worth = (award: Award): number => award.marks - (award.unitFault === undefined ? 0 : task.parts.unit);
  let best: Award | undefined;
  for (const award of awards) if (best === undefined || worth(award) > worth(best) + 1e-9) best = award;
  return best !== undefined && worth(best) > 0 ? best : repeated[0] === undefined ? (best ?? wrong(task)) : restated(asked, repeated[0]);
}

/**
 * Where the unit as written fits and the number in it equals a named slip, the number is not also taken to be in some other unit:
 * not where the working shows the slip, and not where the slip is by far the closer match. 2308 mL/kg/min with the grade as a
 * whole number is that, even where 2308 mL/min of this body mass would be near the right value.
 */
function withoutFarUnits(task: Task): Task {
  const { read, right, own, unit, input, question } = task;
  if (!read.readings.some((reading) => reading.unit === 'right') || read.readings.every((reading) => reading.unit === 'right')) return task;
  const mass = massOf(input.book);
  const numbers = plainReadings(read);
  const away = (value: number, from: number): number => Math.abs(value - from) / Math.max(Math.abs(from), 1e-9);
  const slips = [...right, ...own]
    .flatMap((expected) => slipsAround(expected, unit, mass))
    .flatMap((slip) => numbers.filter((number) => equalsSlip(number, decimalsOf(read, number), slip.value)).map((number) => ({ slip, away: away(number, slip.value) })));
  if (slips.length === 0) return task;
  const sums = sumsIn(read.attempt.working ?? '');
  const shown = slips.some(({ slip }) => sumFor(sums, slip.value, question.decimals) !== undefined);
  const nearest = Math.min(...slips.map((one) => one.away));
  const kept = read.readings.filter((reading) => {
    if (reading.unit === 'right' || reading.readAs === unit) return true;
    return !shown && Math.min(...[...right, ...own].map((expected) => away(reading.value, expected.value))) <= 3 * nearest + 1e-6;
  });
  return { ...task, read: { ...read, readings: kept } };
}

function restated({ read, unit, right, question }: Task, reading: AnswerReading): Award {
  const typed = `${formatNumber(read.number ?? reading.value, read.decimals)} ${unitOf(reading.readAs).label}`;
  return { verdict: 'wrong', marks: 0, reason: `${typed} is what the record holds; the question asks for what follows from it: ${formatQuantity(right[0].value, unit, question.decimals)}.` };
}

/** The unit as written fits the question, and this reading sets it aside for another. */
const setsUnitAside = ({ read }: Task, reading: AnswerReading): boolean => reading.unit === 'wrong' && read.readings.some((other) => other.unit === 'right');

/**
 * Whether a reading is as good as the value. One that sets a fitting unit aside has to be the very number, to a hundredth or the
 * rounding of its last figure: with the tolerance of the question around it, chance would let in what nobody meant.
 */
function equals(task: Task, reading: AnswerReading, value: number): boolean {
  const { read, full, question } = task;
  const off = Math.abs(reading.value - value);
  if (off > widthOf(full, value, question.decimals)) return false;
  if (!setsUnitAside(task, reading)) return true;
  const figure = read.number === undefined || read.number === 0 ? 0 : (0.5 * 10 ** -read.decimals) / Math.abs(read.number);
  return off <= Math.abs(value) * Math.max(0.01, Math.min(0.05, figure));
}

function rightAwards(task: Task): readonly Award[] {
  const { question, unit, read, right, marks } = task;
  return right.flatMap((expected) =>
    read.readings.flatMap((reading): Award[] => {
      if (!equals(task, reading, expected.value)) return [];
      const value = formatQuantity(expected.value, unit, question.decimals);
      const by = expected.by === undefined ? '' : ` ${expected.by}`;
      if (reading.unit !== 'right') return [{ verdict: 'right', marks, unitFault: reading.unit, reason: unitFaultLine(task, reading, value) }];
      const converted = reading.readAs === unit ? '' : ` (${formatNumber(read.number ?? reading.value, read.decimals)} ${unitOf(reading.readAs).label})`;
      return [{ verdict: 'right', marks, reason: `Right${by}: ${value}${converted}.` }];
    }),
  );
}

/**
 * The answer only repeats a value that was to be worked on: 2.31 L/min where the uptake per kilogram is asked for. By the body
 * mass it would convert into the right answer, but that conversion is the question.
 */
function restatesInput({ form, used }: Expected, reading: AnswerReading, { unit, read }: Task): boolean {
  if (form === undefined || used === undefined || read.number === undefined || dimensionOf(reading.readAs) === dimensionOf(unit)) return false;
  const typed = { number: read.number, decimals: read.decimals };
  return Object.entries(form.inputs).some(([name, spec]) => {
    const value = used[name];
    if (typeof value !== 'number' || dimensionOf(spec.unit) !== dimensionOf(reading.readAs)) return false;
    return equalsSlip(typed.number, typed.decimals, convert(value, spec.unit, reading.readAs));
  });
}

function unitFaultLine({ read, unit }: Task, reading: AnswerReading, value: string): string {
  const wanted = unitOf(unit).label || 'no unit';
  const meant = unitOf(reading.readAs).label || 'a bare number';
  if (reading.unit === 'missing') {
    return reading.readAs === unit ? `Right number, but its unit is missing: ${wanted}.` : `Right as ${meant} (${value}), but its unit is missing.`;
  }
  if (reading.readAs === unit) return `Right number, but in ${wanted}, not ${read.unitText.slice(0, 40)}.`;
  return `Right number, but it is in ${meant}, not ${read.unitText.slice(0, 40) || wanted}: ${value}.`;
}

function carriedAwards(task: Task): readonly Award[] {
  const { question, unit, read, right, own, marks, parts, input } = task;
  const record = formatQuantity(right[0].value, unit, question.decimals);
  return own.flatMap((expected) =>
    read.readings.flatMap((reading): Award[] => {
      if (!equals(task, reading, expected.value)) return [];
      const from = fromQuestions(expected.from ?? [], input);
      const fault = reading.unit === 'right' ? {} : { unitFault: reading.unit };
      const unitSays = reading.unit === 'right' ? '' : reading.unit === 'missing' ? ' Its unit is missing.' : ` Its unit is not ${read.unitText.slice(0, 40)}.`;
      if (expected.fromWrong !== true) {
        return [{ verdict: 'right', marks, ...fault, reason: `Right for the answer given to ${from}; the record gives ${record}.${unitSays}` }];
      }
      const no = impossible(expected.value, unit, expected.form, question.decimals);
      if (no !== undefined) {
        return [{ verdict: 'method-only', marks: parts.method, reason: `Carried forward, method only: right for the answer given to ${from}, but ${no}. The record gives ${record}.` }];
      }
      const rule = question.carried ?? 'full';
      if (rule === 'method') return [{ verdict: 'method-only', marks: parts.method, reason: `Carried forward, method only as the sheet says: right for the answer given to ${from}; the record gives ${record}.` }];
      if (rule === 'part') return [{ verdict: 'carried-forward', marks: marks / 2, ...fault, reason: `Carried forward, half of the marks as the sheet says: right for the answer given to ${from}; the record gives ${record}.${unitSays}` }];
      return [{ verdict: 'carried-forward', marks, ...fault, reason: `Carried forward: right for the answer given to ${from}; the record gives ${record}.${unitSays}` }];
    }),
  );
}

function fromQuestions(ids: readonly string[], input: MarkingInput): string {
  const numbers = ids.map((id) => input.sheet.questions.findIndex((question) => question.id === id) + 1).sort((a, b) => a - b);
  return numbers.length === 1 ? `question ${numbers[0]}` : `questions ${numbers.slice(0, -1).join(', ')} and ${numbers.at(-1)}`;
}

function nearAwards(task: Task): readonly Award[] {
  const { question, unit, read, right, own, part, parts, input } = task;
  if (part === undefined) return [];
  const words = toleranceInWords(part, unitOf(unit).label);
  const carriesNear = (expected: Expected): boolean => expected.fromWrong !== true || question.carried !== 'method';
  const candidates = [...right, ...own.filter((expected) => carriesNear(expected) && impossible(expected.value, unit, expected.form, question.decimals) === undefined)];
  return candidates.flatMap((expected) =>
    read.readings.flatMap((reading): Award[] => {
      // In another unit than the one that was written, and then only near: that is no evidence of either.
      if (setsUnitAside(task, reading) || Math.abs(reading.value - expected.value) > widthOf(part, expected.value, question.decimals)) return [];
      const value = formatQuantity(expected.value, unit, question.decimals);
      const where = expected.fromWrong === true ? `Carried forward and near: from the answer given to ${fromQuestions(expected.from ?? [], input)} follows ${value}` : `Near: the record gives ${value}`;
      const fault = reading.unit === 'right' ? {} : { unitFault: reading.unit };
      const unitSays = reading.unit === 'right' ? '' : reading.unit === 'missing' ? ' Its unit is missing.' : ' Its unit is wrong.';
      const half = expected.fromWrong === true && question.carried === 'part';
      return [{ verdict: 'near', marks: half ? parts.near / 2 : parts.near, ...fault, reason: `${where}; ${words} earns half of the marks${half ? ', and carried forward half of that' : ''}.${unitSays}` }];
    }),
  );
}

/** The sums in the working that lead to a value. A sum that only states its own result shows no method. */
function sumFor(sums: readonly Sum[], value: number, unitDecimals: number): Sum | undefined {
  // Half a per cent for steps rounded to three figures on the way; half of the last asked decimal for small values.
  const room = Math.max(0.005 * Math.abs(value), Math.min(0.5 * 10 ** -unitDecimals, Math.abs(value) / 20)) + 1e-9;
  return sums.find((sum) => Math.abs(sum.value - value) <= room && sum.numbers.every((number) => Math.abs(number - sum.value) > 1e-9 * Math.abs(sum.value)));
}

/** The working is right and the number stated beside it is not. */
function workingAwards(task: Task): readonly Award[] {
  const { question, unit, read, right, own, marks, parts, input } = task;
  const sums = sumsIn(read.attempt.working ?? '');
  if (sums.length === 0) return [];
  const possible = own.filter((expected) => impossible(expected.value, unit, expected.form, question.decimals) === undefined);
  return [...right, ...possible].flatMap((expected): Award[] => {
    const sum = sumFor(sums, expected.value, question.decimals);
    if (sum === undefined) return [];
    const value = formatQuantity(expected.value, unit, question.decimals);
    const from = expected.fromWrong === true ? ` (carried forward from ${fromQuestions(expected.from ?? [], input)})` : '';
    if (read.readings.length === 0) {
      return [{ verdict: 'method-only', marks: parts.method, reason: `The working leads to ${value}${from}, but ${read.trouble ?? 'no answer was given'}: method mark only.` }];
    }
    const most = expected.fromWrong !== true || (question.carried ?? 'full') === 'full' ? marks - parts.arithmetic : question.carried === 'part' ? Math.max(parts.method, marks / 2 - parts.arithmetic) : parts.method;
    return [{ verdict: 'arithmetic-slip', marks: most, reason: `The working leads to ${value}${from}, and the answer says something else: marks for the slip alone are lost.` }];
  });
}

/** Values on the way that the working shows, each with marks of its own. The unit mark of the whole answer is never among them. */
function stepAwards({ question, read, right, marks, parts, input, unit }: Task): readonly Award[] {
  if (question.kind !== 'number' || question.steps === undefined) return [];
  const shown = shownNumbers(read.attempt.working ?? '');
  const earned = question.steps.flatMap((step) => {
    const stepUnit = isUnitCode(step.unit) ? step.unit : '1';
    const { right: values, own } = expect({ ...question, unit: stepUnit, answer: step.answer, accept: [] }, {}, input);
    const tolerance = parseTolerance(step.tolerance, stepUnit) ?? {};
    // As many decimals as the number was written with, and no coarser than the tolerance allows.
    const found = [...values, ...own].find((value) => shown.some(({ number }) => Math.abs(number - value.value) <= widthOf(tolerance, value.value, 6)));
    return found === undefined ? [] : [{ step, value: formatQuantity(found.value, stepUnit, decimalsFor(found.value)) }];
  });
  if (earned.length === 0) return [];
  const sum = Math.min(earned.reduce((total, { step }) => total + step.marks, 0), Math.max(0, marks - parts.unit));
  const list = earned.map(({ step, value }) => `${step.says} (${value}), ${step.marks === 1 ? '1 mark' : `${step.marks} marks`}`).join('; ');
  return [{ verdict: 'method-only', marks: sum, reason: `Steps shown in the working: ${list}. The record gives ${formatQuantity(right[0].value, unit, question.decimals)}.` }];
}

const decimalsFor = (value: number): number => (Math.abs(value) >= 100 ? 0 : Math.abs(value) >= 10 ? 1 : Math.abs(value) >= 1 ? 2 : 3);

/** Numbers that stand in the working, and what its sums come to. */
function shownNumbers(working: string): readonly { readonly number: number }[] {
  const stated = [...working.slice(0, 4000).matchAll(/\d+(?:[.,]\d+)?/g)].map(([text]) => ({ number: Number(text.replace(',', '.')) }));
  return [...stated, ...sumsIn(working).map(({ value }) => ({ number: value }))];
}

function slipAwards(task: Task): readonly Award[] {
  const { question, unit, read, right, own, parts, input } = task;
  const mass = massOf(input.book);
  const slips = [...right, ...own].flatMap((expected) => slipsAround(expected, unit, mass));
  const numbers = plainReadings(read);
  const matching = slips.filter((slip) => numbers.some((number) => equalsSlip(number, decimalsOf(read, number), slip.value)));
  const record = formatQuantity(right[0].value, unit, question.decimals);
  const sums = sumsIn(read.attempt.working ?? '');
  const [first] = matching;
  if (first !== undefined) {
    const different = matching.filter((slip, at) => matching.findIndex((other) => other.id === slip.id) === at);
    const says = different.slice(0, 2).map((slip) => slip.says + onOwn(slip, input));
    const line = `Equals the answer when ${says.join(', or when ')}. Right value ${record}`;
    const shown = different.find((slip) => slip.method && sumFor(sums, slip.value, question.decimals) !== undefined);
    const named = different.length === 1 ? { slip: { id: first.id, says: first.says } } : {};
    if (shown !== undefined && parts.method > 0) return [{ verdict: 'slip', marks: parts.method, ...named, reason: `${line}; method mark kept.` }];
    return [{ verdict: 'slip', marks: 0, ...named, reason: `${line}; ${whyNoMethod(task, sums, first)}.` }];
  }
  // The number matches nothing, but the working shows a known slip.
  const inWorking = slips.find((slip) => sumFor(sums, slip.value, question.decimals) !== undefined);
  if (inWorking === undefined) return [];
  const line = `In the working ${inWorking.says}${onOwn(inWorking, input)}. Right value ${record}`;
  const kept = inWorking.method && parts.method > 0;
  return [{ verdict: 'slip', marks: kept ? parts.method : 0, slip: { id: inWorking.id, says: inWorking.says }, reason: `${line}; ${kept ? 'method mark kept' : 'no method mark'}.` }];
}

const onOwn = (slip: SlipValue, input: MarkingInput): string => (slip.from === undefined ? '' : ` (on the answer given to ${fromQuestions(slip.from, input)})`);

/** Typed decimals belong to the typed number; a converted one has none of its own to be judged by. */
function decimalsOf(read: ReadAnswer, number: number): number {
  return number === read.number ? read.decimals : 4;
}

function whyNoMethod({ read, parts }: Task, sums: readonly Sum[], slip: SlipValue): string {
  if (parts.method === 0) return 'no marks';
  if (!slip.method) return 'another method than the one asked for, so no method mark';
  if ((read.attempt.working ?? '').trim() === '') return 'no working is shown, so no method mark';
  return sums.length === 0 ? 'the working holds no sum that could be read; a marker can give the method mark' : 'the working does not lead there; a marker can give the method mark';
}

function wrong({ question, unit, read, right }: Task): Award {
  const record = formatQuantity(right[0].value, unit, question.decimals);
  if (read.readings.length === 0) return { verdict: 'wrong', marks: 0, reason: `Not marked as a number: ${read.trouble ?? 'it could not be read'}. The record gives ${record}.` };
  const working = (read.attempt.working ?? '').trim() === '' ? 'No working is shown.' : 'The working does not lead there either; a marker can give the method mark.';
  return { verdict: 'wrong', marks: 0, reason: `The record gives ${record}. ${question.working ? working : ''}`.trim() };
}
