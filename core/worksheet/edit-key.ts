/** Small changes to an answer key, made in its text: comments and order of everything else stay as the instructor wrote them. */
import { Document, parseDocument } from 'yaml';
import { failure, success, type Result } from '../result.ts';
import { KEY_FORM } from './answer-key.ts';

export interface KeyChange {
  readonly question: string;
  /** "0.5" in the question's unit, or "2 %". `part` is left out where only full marks are given. */
  readonly tolerance?: { readonly full: string; readonly part?: string };
  /** Why the question leaves the total for everyone; an empty text takes it back. */
  readonly void?: string;
}

/**
 * @param text the answer key; without one a new key for the lab sheet is begun.
 * @param sheet id of the lab sheet.
 */
export function changedKey(text: string | undefined, sheet: string, change: KeyChange): Result<string> {
  const document = text === undefined || text.trim() === '' ? new Document({ schema: KEY_FORM, sheet }) : parseDocument(text);
  const [fault] = document.errors;
  if (fault) return failure('bad-key', `The answer key cannot be read: ${fault.message.split('\n')[0] ?? ''} Nothing was changed.`);
  const at = ['questions', change.question];
  if (change.tolerance) {
    const { full, part } = change.tolerance;
    document.setIn([...at, 'tolerance'], document.createNode({ full: amount(full), ...(part === undefined || part.trim() === '' ? {} : { part: amount(part) }) }, { flow: true }));
  }
  if (change.void !== undefined) {
    if (change.void.trim() === '') document.deleteIn([...at, 'void']);
    else document.setIn([...at, 'void'], change.void.trim());
  }
  return success(document.toString({ lineWidth: 0 }));
}

/** A bare number stays a number in the file; "2 %" stays a text. */
function amount(typed: string): number | string {
  const text = typed.trim().replace(',', '.');
  return /^\d+(\.\d+)?$/.test(text) ? Number(text) : text;
}
