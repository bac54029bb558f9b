/**
 * Marks out of a set: by student key, long (one line a question) and wide (one line a student), or what has changed since the
 * last time. Nothing of the record is in them: no reading, no participant, no reason that quotes one.
 * Plain CSV after RFC 4180; blank means "no mark yet", never nothing; guarded against being read as formulas.
 */
import { csvCell, csvLines } from '../worksheet/marks-csv.ts';
import { setFormats } from './formats.ts';
import type { SetView } from './view-types.ts';
import { hundredths } from '../units/format.ts';

export interface MarkOut {
  readonly id: string;
  /** Absent while it waits for a marker. */
  readonly marks?: number;
  readonly outOf: number;
  readonly verdict: string;
  readonly marker: string;
  readonly key: string;
  /** What the marker wrote with it. */
  readonly comment?: string;
}
export interface StudentMarks {
  readonly student: string;
  readonly group?: string;
  readonly state: string;
  /** As it came. */
  readonly file?: string;
  readonly handedIn?: string;
  readonly lateDays?: number;
  readonly earned?: number;
  /** After the rule for late work; absent while marks wait. */
  readonly total?: number;
  readonly outOf?: number;
  readonly pending?: number;
  readonly questions: readonly MarkOut[];
}
export interface SetMarksOut {
  readonly format: typeof setFormats.marks;
  readonly set: string;
  readonly title: string;
  readonly term: string;
  readonly sheet: string;
  readonly key?: string;
  readonly students: readonly StudentMarks[];
}

/** @param comment what a marker wrote to a mark of a file, where somebody did. */
export function marksOut(view: SetView, comment: (file: string, question: string) => string | undefined = () => undefined): SetMarksOut {
  const files = new Map(view.files.map((row) => [row.file, row] as const));
  const students = view.students.map((student): StudentMarks => {
    const row = student.file === undefined ? undefined : files.get(student.file);
    const base = { student: student.student, ...(student.group === undefined ? {} : { group: student.group }), state: student.state };
    if (row?.cells === undefined) return { ...base, questions: [] };
    const pending = row.pending ?? 0;
    return {
      ...base,
      file: row.folder === '' ? row.name : `${row.folder}/${row.name}`,
      ...(row.handedInWall === undefined ? {} : { handedIn: row.handedInWall }),
      ...(row.lateDays === undefined ? {} : { lateDays: row.lateDays }),
      ...(row.earned === undefined ? {} : { earned: row.earned }),
      ...(row.total === undefined || pending > 0 ? {} : { total: row.total }),
      ...(row.outOf === undefined ? {} : { outOf: row.outOf }),
      pending,
      questions: row.cells.map((cell): MarkOut => {
        const said = comment(row.file, cell.id);
        return { id: cell.id, ...(cell.pending > 0 ? {} : { marks: cell.marks }), outOf: cell.outOf, verdict: cell.verdict, marker: cell.marker, key: cell.key, ...(said === undefined ? {} : { comment: said }) };
      }),
    };
  });
  return { format: setFormats.marks, set: view.id, title: view.title, term: view.term, sheet: `${view.sheet.id} v${view.sheet.version}`, ...(view.key === undefined ? {} : { key: view.key.name }), students };
}

/** What differs from the marks that were written out before; a student is left out where nothing does. */
export function changedSince(now: SetMarksOut, before: SetMarksOut | undefined): SetMarksOut {
  if (before === undefined) return now;
  const earlier = new Map(before.students.map((student) => [student.student, student] as const));
  const students = now.students.flatMap((student): StudentMarks[] => {
    const old = earlier.get(student.student);
    if (old === undefined) return student.questions.length === 0 ? [] : [student];
    const questions = student.questions.filter((question) => {
      const then = old.questions.find(({ id }) => id === question.id);
      return then === undefined || then.marks !== question.marks || then.outOf !== question.outOf || then.comment !== question.comment;
    });
    return questions.length === 0 && old.total === student.total && old.outOf === student.outOf && old.state === student.state ? [] : [{ ...student, questions }];
  });
  return { ...now, students };
}

export const longColumns = ['student', 'group', 'sheet', 'question', 'marks', 'out_of', 'verdict', 'marker', 'key', 'late_days', 'comment'] as const;

/** One line a question. A student without a counting hand-in has none. */
export function longCsv(marks: SetMarksOut): string {
  const lines = marks.students.flatMap((student) =>
    student.questions.map((question) => [text(student.student), text(student.group), text(marks.sheet), text(question.id), number(question.marks), number(question.outOf), text(question.verdict), text(question.marker), text(question.key), number(student.lateDays ?? 0), text(question.comment)]),
  );
  return csvLines([longColumns.map((name) => text(name)), ...lines]);
}

/**
 * One line a student. With `changed`, only those lines; every question stands in its column all the same, so that a gradebook
 * takes the file as it is.
 */
export function wideCsv(marks: SetMarksOut, changed: SetMarksOut = marks): string {
  const ids = [...new Set(marks.students.flatMap(({ questions }) => questions.map(({ id }) => id)))];
  const only = new Set(changed.students.map(({ student }) => student));
  const lines = marks.students
    .filter(({ student }) => only.has(student))
    .map((student) => [
      text(student.student),
      text(student.group),
      ...ids.map((id) => number(student.questions.find((question) => question.id === id)?.marks)),
      number(student.earned),
      number(student.lateDays),
      number(student.total),
      number(student.outOf),
      number(student.pending),
      text(student.state),
      text(student.file),
    ]);
  return csvLines([['student', 'group', ...ids, 'earned', 'late_days', 'total', 'out_of', 'waiting', 'state', 'file'].map((name) => text(name)), ...lines]);
}

const text = (value: string | undefined): string => csvCell((value ?? '').replaceAll('\u00a0', ' '));
const number = (value: number | undefined): string => (value === undefined ? '' : csvCell(hundredths(value), true));
