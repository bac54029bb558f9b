/** The worksheet rows of a recorded session: whose answer is which. */
import { effortSetById } from '../formulas/effort.ts';
import { effortRowId } from '../results/book.ts';
import { listed, oneOf } from '../sheet/nearest.ts';
import type { LabSheet, Question } from '../sheet/schema.ts';
import { mostStages } from '../sheet/stage-plan.ts';
import type { WorksheetDraft } from '../worksheet/events.ts';
import { rowName } from '../worksheet/fold.ts';
import { CONCLUSION } from '../worksheet/rows.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { isNotTaken } from './values.ts';

export interface ReplayWorksheet {
  readonly student: string;
  /** False for the one worksheet of a file that names no student. */
  readonly named: boolean;
  readonly answers: readonly { readonly line: number; readonly draft: Extract<WorksheetDraft, { kind: 'answer-given' }> }[];
}

/** The student of a file that names none. */
export const UNNAMED = 'unnamed';

interface Key {
  readonly student: string;
  readonly by: string;
  readonly line: number;
}

/**
 * One worksheet a student, in the order in which they are named.
 * An answer belongs to the student whose key row has the same `by`, or whose key is its `by`; else to the student named last
 * above it in the file.
 * @throws {ReplayError} for an answer that nobody owns, or to a question that the sheet does not have.
 */
export function worksheetsOf(sheet: LabSheet, rows: readonly SessionRow[], warn: (warning: { line?: number; text: string }) => void): readonly ReplayWorksheet[] {
  const inFile = rows.toSorted((a, b) => a.line - b.line);
  const keys: Key[] = [];
  for (const row of inFile) {
    if (row.quantity.kind !== 'student-key' || isNotTaken(row)) continue;
    if (row.value.length > 60) throw new ReplayError(row.line, 'this student key is too long', 'at most 60 characters');
    if (!keys.some((key) => same(key.student, row.value) && same(key.by, row.by))) keys.push({ student: keys.find((key) => same(key.student, row.value))?.student ?? row.value, by: row.by, line: row.line });
  }
  const students = new Map<string, ReplayWorksheet['answers'][number][]>();
  for (const key of keys) if (!students.has(key.student)) students.set(key.student, []);

  // Answers stand in the order of their times; whose they are is told by where they stand in the file.
  const answers = inFile.filter((row) => row.quantity.kind === 'answer' && !isNotTaken(row));
  const owners = new Map(answers.map((row) => [row, keys.length === 0 ? (row.by === '' ? UNNAMED : row.by) : ownerOf(row, keys)]));
  for (const row of answers.toSorted((a, b) => a.time - b.time || a.line - b.line)) {
    if (row.quantity.kind !== 'answer') continue;
    const owner = owners.get(row) ?? UNNAMED;
    const list = students.get(owner) ?? [];
    students.set(owner, list);
    list.push({ line: row.line, draft: answerOf(sheet, row, row.quantity.question, row.quantity.row) });
  }
  if (keys.length === 0 && answers.length > 0) warn({ text: `No student-key row: the answers go to ${listed([...students.keys()].map((name) => (name === UNNAMED ? 'an unnamed student' : `"${name}" (by)`)), 'and')}.` });
  if (students.size === 0) students.set(UNNAMED, []);
  return [...students].map(([student, list]) => ({ student, named: student !== UNNAMED || keys.length > 0, answers: list }));
}

const same = (a: string, b: string): boolean => a.trim().toLowerCase() === b.trim().toLowerCase();

function ownerOf(row: SessionRow, keys: readonly Key[]): string {
  if (row.by !== '') {
    const mine = keys.filter((key) => same(key.by, row.by));
    const nearest = mine.findLast((key) => key.line < row.line) ?? mine[0];
    if (nearest) return nearest.student;
    const named = keys.find((key) => same(key.student, row.by));
    if (named) return named.student;
  }
  const above = keys.findLast((key) => key.line < row.line);
  if (above) return above.student;
  const [only, ...others] = new Set(keys.map((key) => key.student));
  if (only !== undefined && others.length === 0) return only;
  throw new ReplayError(row.line, 'nobody can tell whose answer this is', 'write the student’s initials or key in the column "by", or put a student-key row above it');
}

function answerOf(sheet: LabSheet, row: SessionRow, questionId: string, rowText: string | undefined): Extract<WorksheetDraft, { kind: 'answer-given' }> {
  const question = sheet.questions.find((known) => known.id === questionId);
  if (!question) throw new ReplayError(row.line, `the lab sheet has no question "${questionId}"`, oneOf(questionId, sheet.questions.map((known) => known.id)));
  const place = rowOf(sheet, question, row, rowText);
  if (row.unit.length > 40) throw new ReplayError(row.line, 'this unit is too long', 'at most 40 characters');
  return {
    kind: 'answer-given',
    data: {
      question: question.id,
      ...(place === undefined ? {} : { row: place }),
      typed: row.value,
      ...(row.unit === '' ? {} : { unit: row.unit }),
      ...(row.note === '' ? {} : { working: row.note }),
    },
    taken: row.time,
  };
}

/** The row of a table or of a judgement, in its one form. */
function rowOf(sheet: LabSheet, question: Question, row: SessionRow, text: string | undefined): string | undefined {
  const allowed = rowsOf(sheet, question);
  if (allowed === undefined) {
    if (text === undefined) return undefined;
    throw new ReplayError(row.line, `the question "${question.id}" has no rows`, `write answer:${question.id}`);
  }
  if (text === undefined) throw new ReplayError(row.line, `the question "${question.id}" is answered row by row`, `write for example answer:${question.id}/${allowed[0] ?? 'ROW'}`);
  const name = rowName(text);
  if (allowed.includes(name)) return name;
  throw new ReplayError(row.line, `the question "${question.id}" has no row "${text}"`, oneOf(text, allowed));
}

/** The names of a question's rows by its lab sheet; undefined for a question without rows. */
export function rowsOf(sheet: LabSheet, question: Question): readonly string[] | undefined {
  if (question.kind === 'judgement') {
    const set = effortSetById(sheet.results.effort);
    const criteria = [...(set?.sufficient ?? []), ...(set?.supporting ?? [])].map((criterion) => effortRowId[criterion.kind]);
    return [...new Set<string>(criteria), CONCLUSION];
  }
  if (question.kind !== 'table') return undefined;
  return question.rows === 'completed-stages' ? Array.from({ length: mostStages(sheet) }, (_, index) => `stage-${index + 1}`) : question.rows.map((known) => known.id);
}
