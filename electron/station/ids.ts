/** Names for records, and moments in the form that the record keeps. */
import { randomBytes } from 'node:crypto';

/** Letters and digits that are not taken for one another when read aloud or copied by hand. */
const LETTERS = 'abcdefghjkmnpqrstuvwxyz23456789';

/** `s-` or `w-` and twelve letters: 59 bits of chance, so that two stations never name two records alike. */
export function newRecordId(kind: 'session' | 'worksheet'): string {
  let id = kind === 'session' ? 's-' : 'w-';
  for (const byte of randomBytes(12)) id += LETTERS[byte % LETTERS.length];
  return id;
}

/** The same for a marking set. */
export function newSetId(): string {
  return newRecordId('session').replace(/^s-/, 'set-');
}

/** ISO 8601 with the machine's own offset: `2026-03-02T14:05:09+01:00`. */
export function isoWithOffset(wallMs: number): string {
  const offset = -new Date(wallMs).getTimezoneOffset();
  const sign = offset < 0 ? '-' : '+';
  const two = (number: number): string => String(Math.floor(Math.abs(number))).padStart(2, '0');
  return `${new Date(wallMs + offset * 60_000).toISOString().slice(0, 19)}${sign}${two(offset / 60)}:${two(offset % 60)}`;
}
