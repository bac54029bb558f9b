/**
 * The marking engine: recomputes every answer from the record and the sheet, and explains each award in one line.
 * It trusts nothing that a handed-in file says about its own marks. Conventions after published schemes (mark schemes of several examination boards).
 */
import type { Question, RecordItem } from '../sheet/schema.ts';
import { countedAttempts } from './attempts.ts';
import type { MarkingInput } from './expected.ts';
import { markNumber } from './mark-number.ts';
import { partsOf, toHalfMarks, type MarkParts } from './mark-parts.ts';
import { givenAnswer, markChoice, markJudgement, markWritten } from './mark-words.ts';
import type { Marking, QuestionMark, RowMark, Verdict } from './marking-types.ts';
import { questionRows } from './rows.ts';

export type { MarkingInput } from './expected.ts';
export type { GivenAnswer, Marking, QuestionMark, RowMark, Verdict } from './marking-types.ts';

/** Marks a worksheet against a sheet, with the results recomputed from the record. */
export function markWorksheet(given: MarkingInput): Marking {
  const input = countedAttempts(given, markQuestion);
  const { sheet, worksheet, participant } = input;
  const items = sheet['record-marks'] ?? [];
  const questions = [...sheet.questions.map((question, index) => markQuestion(question, index + 1, input)), ...items.map((item, index) => recordMark(item, sheet.questions.length + index + 1))];
  const sum = (of: (mark: QuestionMark) => number): number => Math.round(questions.reduce((total, mark) => total + of(mark), 0) * 100) / 100;
  return {
    sheet: { id: sheet.id, version: sheet.version, title: sheet.title },
    student: worksheet.student,
    session: worksheet.session,
    worksheet: worksheet.id,
    ...(participant === undefined ? {} : { participant }),
    total: sum((mark) => mark.marks),
    outOf: sum((mark) => mark.outOf),
    pending: sum((mark) => mark.pending),
    questions,
  };
}

/** Marks one question. `number` is its place on the sheet, from 1. */
export function markQuestion(question: Question, number: number, input: MarkingInput): QuestionMark {
  const about = { id: question.id, number, title: question.title, kind: question.kind };
  const rows = question.void === undefined ? markRows(question, input) : [takenOut(question, input)];
  const counted = rows.filter((row) => row.verdict !== 'void');
  if (counted.length === 0) {
    const reason = rows[0]?.reason ?? 'Void: no stage was completed, so the table has no rows.';
    return { ...about, verdict: 'void', marks: 0, outOf: 0, pending: 0, reason: rows.length > 1 ? allVoid(rows) : reason, unitMarkLost: 0, rows };
  }
  const outOf = question.marks;
  const waiting = counted.every((row) => row.verdict === 'waiting');
  const earned = counted.reduce((total, row) => total + row.marks, 0);
  const fault = counted.find((row) => row.unitFault !== undefined && row.marks > 0);
  const unitMark = fault === undefined ? 0 : Math.min(partsOf(outOf).unit, earned);
  const marks = toHalfMarks(earned - unitMark, outOf);
  const unitMarkLost = fault === undefined ? 0 : Math.max(0, toHalfMarks(earned, outOf) - marks);
  const verdict = verdictOf(counted);
  const lost = unitMarkLost === 0 ? '' : ` ${inMarks(unitMarkLost)} lost for the unit${counted.length > 1 ? ', once for the question' : ''}.`;
  return {
    ...about,
    verdict,
    marks: waiting ? 0 : marks,
    outOf,
    pending: waiting ? outOf : 0,
    reason: (question.kind === 'judgement' ? judgementReason(rows) : rowsReason(rows)) + lost,
    unitMarkLost,
    rows,
    ...(question.kind === 'written' ? { rubric: question.rubric } : {}),
  };
}

/** The key takes the question out of the total for everyone. */
function takenOut(question: Question, input: MarkingInput): RowMark {
  const answer = givenAnswer(input, question.id, undefined);
  return { verdict: 'void', marks: 0, outOf: 0, reason: `Void: ${(question.void ?? '').replace(/\.$/, '')}.`, ...(answer === undefined ? {} : { answer }) };
}

/** Marks for the shared record wait for the marker: no engine sees how a sheet was kept. */
function recordMark(item: RecordItem, number: number): QuestionMark {
  const reason = `Waits for the marker: ${inMarks(item.marks)} for the shared record, given once for everyone who hands it in.${item.says === undefined ? '' : ` ${item.says}`}`;
  const rubric = item.rubric === undefined ? {} : { rubric: item.rubric };
  return { id: item.id, number, title: item.title, kind: 'record', verdict: 'waiting', marks: 0, outOf: item.marks, pending: item.marks, reason, unitMarkLost: 0, rows: [{ verdict: 'waiting', marks: 0, outOf: item.marks, reason }], ...rubric };
}

/** The marks are divided over the rows that can be answered on this record. */
function markRows(question: Question, input: MarkingInput): readonly RowMark[] {
  if (question.kind === 'written') return [markWritten(question, input, question.marks)];
  if (question.kind === 'choice') return [markChoice(question, input, question.marks)];
  const places = questionRows(question, input.book);
  const mark = (row: (typeof places)[number], share: number): RowMark =>
    question.kind === 'judgement' ? markJudgement(question, row, input, question.marks * share) : markNumber(question, row, input, question.marks * share, scaled(partsOf(question.marks), share));
  if (places.length <= 1) return places.map((row) => mark(row, 1));
  const first = places.map((row) => mark(row, 1 / places.length));
  const open = first.filter((row) => row.verdict !== 'void').length;
  return open === 0 || open === places.length ? first : places.map((row) => mark(row, 1 / open));
}

function scaled(parts: MarkParts, share: number): MarkParts {
  return { unit: parts.unit * share, method: parts.method * share, arithmetic: parts.arithmetic * share, near: parts.near * share };
}

/** The verdict of a question from its rows: theirs where they agree, else the one that a marker should look at first. */
function verdictOf(rows: readonly RowMark[]): Verdict {
  const order: readonly Verdict[] = ['slip', 'arithmetic-slip', 'method-only', 'carried-forward', 'near', 'wrong', 'not-answered'];
  const verdicts = new Set(rows.map((row) => row.verdict));
  if (verdicts.size === 1) return rows[0]?.verdict ?? 'wrong';
  return order.find((verdict) => verdicts.has(verdict)) ?? 'right';
}

function rowsReason(rows: readonly RowMark[]): string {
  const [only] = rows;
  if (rows.length === 1 && only !== undefined) return only.reason;
  const counted = rows.filter((row) => row.verdict !== 'void');
  const right = counted.filter((row) => row.verdict === 'right').length;
  const notes = [...new Map(rows.filter((row) => row.verdict !== 'right').map((row) => [noteOf(row), row])).entries()];
  if (notes.length === 0) {
    const unit = counted.find((row) => row.unitFault !== undefined);
    return unit === undefined ? `All ${right} rows right.` : `All ${right} rows right in number. ${unit.label ?? unit.row}: ${unit.reason}`;
  }
  const shown = notes.slice(0, 2).map(([note, row]) => `${row.label ?? row.row}: ${note}`);
  const more = notes.length > 2 ? ` ${notes.length - 2} more with notes of their own.` : '';
  return `${right} of ${counted.length} rows right. ${shown.join(' ')}${more}`;
}

const noteOf = (row: RowMark): string => row.reason;

function judgementReason(rows: readonly RowMark[]): string {
  return `${rows.map((row) => (row.verdict === 'right' ? `${row.label}: ${row.right}` : row.reason.replace(/\.$/, ''))).join('; ')}.`;
}

function allVoid(rows: readonly RowMark[]): string {
  const reasons = [...new Set(rows.map((row) => row.reason))];
  return reasons.length === 1 ? (reasons[0] ?? 'Void.') : `Void in every row: ${reasons.map((reason) => reason.replace(/^Void: /, '').replace(/\.$/, '')).join('; ')}.`;
}

function inMarks(marks: number): string {
  return marks === 1 ? '1 mark' : `${marks} marks`;
}
