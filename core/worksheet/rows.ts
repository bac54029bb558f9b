/** The rows that a question has on this record: stages of a table, criteria of a judgement. */
import type { Question } from '../sheet/schema.ts';
import type { Book } from './book.ts';

export interface QuestionRow {
  /** As `rowName` writes it: `stage-2`, `rer`, `conclusion`. Undefined for a question without rows. */
  readonly id?: string;
  readonly label?: string;
  /** The stage that `stage.…` means in this row. */
  readonly stage?: number;
}

/** The row of a judgement that holds its conclusion. */
export const CONCLUSION = 'conclusion';

/**
 * The rows of a question. A table over the completed stages has one row for each of them, a judgement one for each criterion
 * and one for the conclusion; other questions have a single row without a name.
 */
export function questionRows(question: Question, book: Book): readonly QuestionRow[] {
  if (question.kind === 'judgement') {
    const rows = [...book].flatMap(([path, entry]): QuestionRow[] => {
      const id = /^effort\.([a-z0-9-]+)$/.exec(path)?.[1];
      return id === undefined || id === CONCLUSION ? [] : [{ id, label: entry.label }];
    });
    return book.has(`effort.${CONCLUSION}`) ? [...rows, { id: CONCLUSION, label: 'Conclusion' }] : rows;
  }
  if (question.kind !== 'table') return [{}];
  if (question.rows !== 'completed-stages') return question.rows.map(({ id, label }) => ({ id, label }));
  return completedStages(book).map((stage) => ({ id: `stage-${stage}`, label: stageLabel(book, stage), stage }));
}

/** Numbers of the stages that were completed, as the results say. */
export function completedStages(book: Book): readonly number[] {
  const stages: number[] = [];
  for (const [path, entry] of book) {
    const stage = /^stage\.(\d+)\.completed$/.exec(path)?.[1];
    if (stage !== undefined && entry.known) stages.push(Number(stage));
  }
  return stages.sort((a, b) => a - b);
}

/** The row that a name stands for: `stage-2` is that stage's. */
export function rowNamed(id: string): QuestionRow {
  const stage = /^stage-(\d{1,2})$/.exec(id)?.[1];
  return { id, ...(stage === undefined ? {} : { stage: Number(stage) }) };
}

/** The setting stands as it was set or planned, in its own unit, so that a table never says another speed than the record. */
function stageLabel(book: Book, stage: number): string {
  const setting = book.get(`stage.${stage}.setting`);
  return `Stage ${stage}${setting?.known ? `, ${setting.value}` : ''}`;
}
