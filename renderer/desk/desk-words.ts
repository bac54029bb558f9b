/** A handed-in file in the words of the desk's list: who, how many marks, and what to look at first. */
import type { DeskFile } from '../../core/contract/contract.ts';
import type { Marking, QuestionMark, RowMark } from '../../core/worksheet/marking-types.ts';

export interface DeskLine {
  readonly file: string;
  readonly student: string;
  readonly participant: string;
  readonly marking?: Marking;
  readonly findings: DeskFile['findings'];
  /** "36", or a dash where none were given. */
  readonly marks: string;
  readonly outOf: string;
  readonly bar?: MarksBar;
  readonly look?: Look;
}

/** Parts of the marks bar in per cent of the total. */
export interface MarksBar {
  readonly earned: number;
  readonly carried: number;
  readonly waiting: number;
}

export interface Look {
  readonly text: string;
  readonly urgent: boolean;
}

/** What a finding is called in a list; the detail has its whole sentence. */
const short: Readonly<Record<string, string>> = {
  altered: 'record altered after export',
  'not-this-session': 'worksheet of another session',
  'malformed-event': 'record damaged',
  'unknown-kind': 'from a newer program',
  rehearsal: 'a rehearsal, not a test',
  'session-not-closed': 'session not closed',
  'not-handed-in': 'not handed in',
  'unverified-key': 'unverified key',
  'wrong-sheet': 'another lab sheet',
  'signature-bad': 'signature does not fit',
  'bad-key': 'answer key cannot be read',
  'cannot-be-worked-out': 'record not understood',
  stripped: 'record stripped from the PDF',
  damaged: 'file damaged',
  empty: 'file empty',
  password: 'locked with a password',
  zip: 'a packed folder',
  'not-text': 'file damaged',
  'not-json': 'file damaged',
  'not-a-worksheet': 'not a worksheet',
  'newer-form': 'from a newer program',
  'too-large': 'too large to open',
};

export function lineOf(file: string, result: DeskFile): DeskLine {
  const marking = result.status === 'marked' ? (result.marking as Marking | undefined) : undefined;
  const look = lookOf(result, marking);
  // Where the record could be read although it was refused, the desk says whose it is.
  const { about } = result as { readonly about?: { readonly student?: string; readonly participant?: string } };
  return {
    file,
    student: marking?.student ?? about?.student ?? file,
    participant: marking?.participant ?? about?.participant ?? '–',
    ...(marking === undefined ? {} : { marking, bar: barOf(marking) }),
    findings: result.findings,
    marks: marking === undefined ? '–' : number(marking.total),
    outOf: marking === undefined ? '' : number(marking.outOf),
    ...(look === undefined ? {} : { look }),
  };
}

/** Marks without needless decimals: 36, 43.5. */
export function number(marks: number): string {
  return String(Math.round(marks * 100) / 100);
}

function barOf(marking: Marking): MarksBar {
  const carried = marking.questions.reduce((sum, question) => sum + question.rows.reduce((rows, row) => rows + (row.verdict === 'carried-forward' ? row.marks : 0), 0), 0);
  const share = (marks: number): number => (marking.outOf > 0 ? (100 * marks) / marking.outOf : 0);
  return { earned: share(Math.max(0, marking.total - carried)), carried: share(Math.min(carried, marking.total)), waiting: share(marking.pending) };
}

/** The one thing to look at first: a refusal, a warning, a named slip; then what waits, was carried forward or lost its unit. */
function lookOf(result: DeskFile, marking: Marking | undefined): Look | undefined {
  const refusal = result.findings.find((finding) => finding.level === 'refusal');
  if (refusal || marking === undefined) return { text: short[refusal?.code ?? ''] ?? 'not marked', urgent: true };
  const warning = result.findings.find((finding) => finding.level === 'warning' && finding.code !== 'unverified-key');
  if (warning) return { text: short[warning.code] ?? warning.text, urgent: true };
  const slip = marking.questions.flatMap((question) => question.rows.flatMap((row) => (row.slip ? [{ question, slip: row.slip }] : [])))[0];
  if (slip) return { text: `${slip.slip.says}, ${slip.question.number}`, urgent: true };
  const numbers = (wanted: (question: QuestionMark, rows: readonly RowMark[]) => boolean): string => marking.questions.filter((question) => wanted(question, question.rows)).map((question) => question.number).join(', ');
  const waiting = numbers((question) => question.pending > 0);
  const carried = numbers((_, rows) => rows.some((row) => row.verdict === 'carried-forward'));
  const units = numbers((question) => question.unitMarkLost > 0);
  const empty = numbers((question) => question.verdict === 'not-answered');
  const parts = [
    ...(result.findings.some((finding) => finding.code === 'unverified-key') ? ['unverified key'] : []),
    ...(waiting === '' ? [] : [`written answer ${waiting}`]),
    ...(carried === '' ? [] : [`carried forward in ${carried}`]),
    ...(units === '' ? [] : [`unit lost in ${units}`]),
    ...(empty === '' ? [] : [`empty ${empty}`]),
  ];
  return parts.length === 0 ? undefined : { text: parts.join('; '), urgent: false };
}

/** The reason line, with its first sentence set apart as the look has it. */
export function reasonParts(reason: string): { readonly lead: string; readonly rest: string } {
  const match = /^(.+?[.:])\s+(.+)$/s.exec(reason);
  return match?.[1] !== undefined && match[2] !== undefined && match[1].length < 110 ? { lead: match[1], rest: match[2] } : { lead: reason, rest: '' };
}

/** What the student gave, as one would read it: "2308 mL/kg/min". */
export function answerText(row: RowMark): string {
  const { answer } = row;
  if (!answer || answer.typed.trim() === '') return '';
  return answer.unit === undefined || answer.typed.includes(answer.unit) ? answer.typed : `${answer.typed} ${answer.unit}`;
}
