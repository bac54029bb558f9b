/** Words of the desk that lists and questions share. */
export { hundredths as number } from '../../core/units/format.ts';
import type { RowMark } from '../../core/worksheet/marking-types.ts';

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
export const short: Readonly<Record<string, string>> = {
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

/** The reason line, with its first sentence set apart as the look has it. */
export function reasonParts(reason: string): { readonly lead: string; readonly rest: string } {
  // An initial ("Myers J.") ends no sentence.
  const match = /^(.+?(?<!\b[A-Z])[.:])\s+(.+)$/s.exec(reason);
  return match?.[1] !== undefined && match[2] !== undefined && match[1].length < 110 ? { lead: match[1], rest: match[2] } : { lead: reason, rest: '' };
}

/** What the student gave, as one would read it: "2308 mL/kg/min". */
export function answerText(row: RowMark): string {
  const { answer } = row;
  if (!answer || answer.typed.trim() === '') return '';
  return answer.unit === undefined || answer.typed.includes(answer.unit) ? answer.typed : `${answer.typed} ${answer.unit}`;
}
