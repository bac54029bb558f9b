/** The marks as a table: one row a question, plain CSV after RFC 4180, guarded against being read as formulas. */
import type { Marking } from './marking-types.ts';
import { hundredths } from '../units/format.ts';

export const marksColumns = ['student', 'participant', 'session', 'sheet', 'question', 'marks', 'out_of', 'reason'] as const;
export type MarksRow = Readonly<Record<(typeof marksColumns)[number], string>>;

/** What is known of a file: its marking where it was marked, and what was found about it. */
export interface MarkedFile {
  readonly file: string;
  readonly status: 'marked' | 'refused';
  readonly findings: readonly { readonly code: string; readonly level: 'fact' | 'warning' | 'refusal'; readonly text: string }[];
  readonly marking?: Marking;
  /** Where the record could be read although it was refused. */
  readonly about?: { readonly student?: string; readonly participant?: string; readonly session?: string; readonly sheet?: string };
}

/**
 * Rows of the marks file, in the order of files and questions. A refused file has one row, without a question and without
 * marks. Marks that wait for the marker are blank. Warnings about a file stand before every reason, so that no row of a
 * rehearsal or of an unverified key can be taken for more than it is.
 */
export function marksRows(files: readonly MarkedFile[]): readonly MarksRow[] {
  return files.flatMap((file) => {
    const { marking, about } = file;
    if (file.status === 'refused' || marking === undefined) {
      const reason = file.findings.filter((finding) => finding.level === 'refusal').map((finding) => finding.text);
      const { student = '', participant = '', session = '', sheet = '' } = about ?? {};
      return [{ student, participant, session, sheet, question: '', marks: '', out_of: '', reason: `${file.file}: ${reason.join(' ') || 'not marked.'}` }];
    }
    const warned = file.findings.filter((finding) => finding.level === 'warning').map((finding) => finding.text);
    return marking.questions.map((mark) => ({
      student: marking.student,
      participant: marking.participant ?? '',
      session: marking.session,
      sheet: `${marking.sheet.id} v${marking.sheet.version}`,
      question: mark.id,
      marks: mark.pending > 0 ? '' : hundredths(mark.marks),
      out_of: hundredths(mark.outOf),
      reason: [...warned, mark.reason].join(' ').replaceAll('\u00a0', ' '),
    }));
  });
}

/** CSV with CRLF line ends and a heading row. */
export function marksCsv(rows: readonly MarksRow[]): string {
  return csvLines([marksColumns, ...rows.map((row) => marksColumns.map((column) => csvCell(row[column], column === 'marks' || column === 'out_of')))]);
}

/** Rows of cells that are written already, each row ended by CRLF. */
export function csvLines(rows: readonly (readonly string[])[]): string {
  return rows.map((cells) => `${cells.join(',')}\r\n`).join('');
}

/** How a text begins that a spreadsheet would take for a formula. */
const FORMULA_LIKE = /^[\s\u00a0]*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;

/**
 * One cell. A text that a spreadsheet would take for a formula (it begins with = + - @, a tab or a line end, also after blanks
 * or as a full-width form) gets an apostrophe before it; numbers stand as they are.
 */
export function csvCell(text: string, isNumber = false): string {
  const guarded = !isNumber && FORMULA_LIKE.test(text) ? `'${text}` : text;
  // eslint-disable-next-line no-control-regex -- NUL and its like end a cell early in some readers
  const clean = guarded.replace(/[\u0000-\u0008\u000b\u000c\u000e-\u001f]/g, '');
  return /[",\r\n]/.test(clean) || clean !== clean.trim() ? `"${clean.replaceAll('"', '""')}"` : clean;
}
