/** The worked solution of a question with this record's own numbers, by the formula's own worked form. */
import type { Question } from '../sheet/schema.ts';
import { formatQuantity } from '../units/units.ts';
import { lookUp } from './book.ts';
import { expect, unitOfQuestion, type Expected, type MarkingInput } from './expected.ts';
import { questionRows } from './rows.ts';

export interface WorkedLine {
  readonly row?: string;
  readonly label?: string;
  /** As printed: "VO₂ = 0.1·S + 1.8·S·G + 3.5". */
  readonly equation?: string;
  /** With numbers put in: "0.1 × 91.1 + 1.8 × 91.1 × 0.14 + 3.5 = 35.6 mL/kg/min". */
  readonly working?: string;
  readonly answer: string;
  readonly source?: string;
  /** Said beside an accepted alternative. */
  readonly by?: string;
}

export interface WorkedSolution {
  readonly question: string;
  readonly lines: readonly WorkedLine[];
  /** Why there is no solution on this record. */
  readonly void?: string;
}

/** Every right value of a question with how it comes about. A written question has none: its rubric speaks. */
export function workedSolution(question: Question, input: MarkingInput): WorkedSolution {
  const rows = questionRows(question, input.book);
  if (question.kind === 'written') return { question: question.id, lines: [] };
  if (question.kind === 'number' || question.kind === 'table') {
    const expectations = rows.map((row) => ({ row, expectation: expect(question, row, input) }));
    const reason = expectations.length === 0 ? 'no stage was completed' : expectations.find(({ expectation }) => expectation.void !== undefined)?.expectation.void;
    const lines = expectations.flatMap(({ row, expectation }) =>
      expectation.right.map((expected) => ({
        ...(row.id === undefined ? {} : { row: row.id }),
        ...(row.label === undefined ? {} : { label: row.label }),
        ...lineOf(expected),
        answer: formatQuantity(expected.value, unitOfQuestion(question), question.decimals),
      })),
    );
    return { question: question.id, lines, ...(lines.length > 0 || reason === undefined ? {} : { void: reason }) };
  }
  const paths = question.kind === 'choice' ? [{ path: question.answer.result, label: undefined }] : rows.map((row) => ({ path: `effort.${row.id ?? ''}`, label: row.label }));
  const lines = paths.flatMap(({ path, label }): WorkedLine[] => {
    const entry = lookUp(input.book, path);
    if (!entry.known) return question.kind === 'judgement' ? [{ label: label ?? entry.label, answer: 'cannot be judged', working: entry.reason }] : [];
    return [
      {
        ...(label === undefined ? {} : { label }),
        answer: String(entry.value),
        ...(entry.working === undefined ? {} : { working: entry.working }),
        ...(entry.source === undefined ? {} : { source: entry.source }),
      },
    ];
  });
  return { question: question.id, lines, ...(lines.length > 0 ? {} : { void: 'the results hold no value for it' }) };
}

function lineOf(expected: Expected): Omit<WorkedLine, 'answer'> {
  return {
    ...(expected.form === undefined ? {} : { equation: expected.form.equation }),
    ...(expected.working === undefined ? {} : { working: expected.working }),
    ...(expected.source === undefined ? {} : { source: expected.source }),
    ...(expected.by === undefined ? {} : { by: expected.by }),
  };
}
