/** Marks answers that are a choice: effort criteria, a category, a conclusion. Written answers wait for the marker. */
import { effortSetById } from '../formulas/effort.ts';
import { effortRowId } from '../results/book.ts';
import type { Question } from '../sheet/schema.ts';
import { lookUp } from './book.ts';
import type { MarkingInput } from './expected.ts';
import { answerKey, standingAnswer } from './fold.ts';
import type { GivenAnswer, RowMark } from './marking-types.ts';
import { CONCLUSION, type QuestionRow } from './rows.ts';

/** What a criterion can be, and how people write it. */
const judgements: Readonly<Record<string, readonly string[]>> = {
  met: ['met', 'yes', 'y', 'reached', 'fulfilled', 'true'],
  'not-met': ['not-met', 'not met', 'no', 'n', 'unmet', 'not reached', 'not fulfilled', 'false'],
  'cannot-be-judged': ['cannot-be-judged', 'cannot be judged', "can't be judged", 'cannot judge', 'not judged', 'no data', 'not measured', 'n/a', 'na', 'unknown'],
};
const conclusions: Readonly<Record<string, readonly string[]>> = {
  max: ['max', 'maximal', 'maximum', 'vo2max', 'vo2 max', 'was maximal', 'a maximal effort'],
  peak: ['peak', 'vo2peak', 'vo2 peak', 'not maximal', 'not max', 'submaximal', 'not a maximal effort'],
};
const words: Readonly<Record<string, string>> = { met: 'met', 'not-met': 'not met', 'cannot-be-judged': 'cannot be judged', max: 'maximal (VO₂max)', peak: 'not shown to be maximal (VO₂peak)' };

/** A word in one form: small letters, plain figures and hyphens, single blanks. */
function plain(text: string): string {
  return text.normalize('NFKC').toLowerCase().replace(/[\u2010-\u2015_]/g, '-').replace(/\s+/g, ' ').replace(/[.\s]+$/, '').trim();
}

function canonical(text: string, table: Readonly<Record<string, readonly string[]>>): string | undefined {
  const word = plain(text);
  return Object.entries(table).find(([id, spellings]) => id === word || spellings.includes(word))?.[0];
}

export function givenAnswer(input: MarkingInput, question: string, row: string | undefined): GivenAnswer | undefined {
  const attempt = standingAnswer(input.worksheet, question, row);
  return (
    attempt && {
      typed: attempt.typed,
      ...(attempt.unit === undefined ? {} : { unit: attempt.unit }),
      ...(attempt.working === undefined ? {} : { working: attempt.working }),
      attempts: input.worksheet.answers.get(answerKey(question, row))?.attempts.length ?? 1,
    }
  );
}

/** One criterion, or the conclusion, of a judgement. */
export function markJudgement(question: Extract<Question, { kind: 'judgement' }>, row: QuestionRow, input: MarkingInput, marks: number): RowMark {
  const table = row.id === CONCLUSION ? conclusions : judgements;
  const entry = lookUp(input.book, `effort.${row.id ?? ''}`);
  // A criterion whose reading was not taken has a right answer of its own: it cannot be judged.
  const rightId = entry.known ? canonical(String(entry.value), table) : row.id === CONCLUSION ? undefined : 'cannot-be-judged';
  const place = { ...(row.id === undefined ? {} : { row: row.id }), label: row.label ?? entry.label };
  const answer = givenAnswer(input, question.id, row.id);
  if (rightId === undefined) {
    return { ...place, verdict: 'void', marks: 0, outOf: 0, reason: `Void: ${entry.known ? 'the results cannot say' : entry.reason}.`, ...(answer === undefined ? {} : { answer }) };
  }
  const right = words[rightId] ?? rightId;
  const why = entry.known ? (entry.working === undefined ? '' : ` (${entry.working})`) : ` (${entry.reason})`;
  if (answer === undefined || answer.typed.trim() === '') {
    return { ...place, verdict: 'not-answered', marks: 0, outOf: marks, right, reason: `${place.label} not addressed; ${right}${why}.`, ...(answer === undefined ? {} : { answer }) };
  }
  const said = canonical(answer.typed, table);
  if (said === rightId) return { ...place, verdict: 'right', marks, outOf: marks, right, answer, reason: `${place.label}: ${right}${why}.` };
  if (row.id === CONCLUSION && said !== undefined && said === ownConclusion(question.id, input)) {
    return { ...place, verdict: 'carried-forward', marks, outOf: marks, right, answer, reason: `${place.label}: ${right}${why}; ${words[said]} follows from the criteria as answered, carried forward.` };
  }
  const heard = said === undefined ? `"${answer.typed.trim().slice(0, 40)}" is no choice here` : `the answer was: ${words[said]}`;
  return { ...place, verdict: 'wrong', marks: 0, outOf: marks, right, answer, reason: `${place.label}: ${right}${why}; ${heard}.` };
}

/** What the sheet's effort set makes of the student's own criteria; undefined where they do not settle it. */
function ownConclusion(question: string, input: MarkingInput): string | undefined {
  const set = effortSetById(input.sheet.results.effort);
  if (set === undefined) return undefined;
  const said = (kind: keyof typeof effortRowId): string | undefined => {
    const attempt = standingAnswer(input.worksheet, question, effortRowId[kind]);
    return attempt === undefined ? undefined : canonical(attempt.typed, judgements);
  };
  if ([...set.sufficient, ...set.supporting].some((criterion) => said(criterion.kind) === undefined)) return undefined;
  const met = set.sufficient.some((criterion) => said(criterion.kind) === 'met') || (set.needed > 0 && set.supporting.filter((criterion) => said(criterion.kind) === 'met').length >= set.needed);
  return met ? 'max' : 'peak';
}

/** A choice between words: the value that the results hold names the right one. */
export function markChoice(question: Extract<Question, { kind: 'choice' }>, input: MarkingInput, marks: number): RowMark {
  const entry = categoryOf(question.answer.result, input);
  const answer = givenAnswer(input, question.id, undefined);
  if (!entry.known) return { verdict: 'void', marks: 0, outOf: 0, reason: `Void: ${entry.reason}.`, ...(answer === undefined ? {} : { answer }) };
  const value = String(entry.value);
  const label = question.choices?.find((choice) => sameWord(choice.id, value) || sameWord(choice.label, value))?.label ?? readable(value);
  const source = entry.source === undefined ? '' : ` (${entry.source})`;
  if (answer === undefined || answer.typed.trim() === '') {
    return { verdict: 'not-answered', marks: 0, outOf: marks, right: label, reason: `Not answered. The record gives ${label}${source}.`, ...(answer === undefined ? {} : { answer }) };
  }
  const said = question.choices?.find((choice) => sameWord(choice.id, answer.typed) || sameWord(choice.label, answer.typed));
  // Where the table leaves two categories open ("Good or Excellent"), either is right.
  const accepted = [value, label, ...value.replaceAll('-', ' ').split(/ or /)];
  const isRight = accepted.some((word) => sameWord(word, answer.typed) || (said !== undefined && (sameWord(word, said.id) || sameWord(word, said.label))));
  return isRight
    ? { verdict: 'right', marks, outOf: marks, right: label, answer, reason: `Right: ${label}${source}.` }
    : { verdict: 'wrong', marks: 0, outOf: marks, right: label, answer, reason: `The record gives ${label}${source}, not ${(said?.label ?? answer.typed.trim()).slice(0, 60)}.` };
}

/** `category` alone means the sheet's first table of norms. */
function categoryOf(path: string, input: MarkingInput): ReturnType<typeof lookUp> {
  const first = input.sheet.results.norms[0];
  return path === 'category' && !input.book.has(path) && first !== undefined ? lookUp(input.book, `category.${first}`) : lookUp(input.book, path);
}

/** An id as people read it: `very-poor` is "Very poor". */
function readable(id: string): string {
  const text = id.replaceAll('-', ' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}

const sameWord = (a: string, b: string): boolean => plain(a).replaceAll('-', ' ') === plain(b).replaceAll('-', ' ');

/** A written answer waits for the marker, with its rubric shown. */
export function markWritten(question: Extract<Question, { kind: 'written' }>, input: MarkingInput, marks: number): RowMark {
  const answer = givenAnswer(input, question.id, undefined);
  if (answer === undefined) return { verdict: 'not-answered', marks: 0, outOf: marks, reason: 'Not answered.' };
  return { verdict: 'waiting', marks: 0, outOf: marks, answer, reason: `Waits for the marker: ${marks} marks by the rubric.` };
}
