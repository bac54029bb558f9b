/** The lab sheet that a session carries in its first event, parsed once however often the session is folded. */
import { loadSheet } from './load.ts';
import type { LabSheet } from './schema.ts';

const parsed = new Map<string, LabSheet>();
const KEPT = 50;

/**
 * @throws {Error} when the text is not a lab sheet: the station never opens a session on a refused sheet, so a record
 *   with a broken one was altered; readers of foreign files catch this and say so.
 */
export function sheetOfRecord(text: string, hash: string): LabSheet {
  const key = `${hash} ${text.length}`;
  const known = parsed.get(key);
  if (known) return known;
  const loaded = loadSheet(text, 'the lab sheet in the record');
  if (!loaded.ok) throw new Error(`the lab sheet in the record cannot be read: ${loaded.problems[0]?.message ?? 'no reason given'}`);
  if (parsed.size >= KEPT) parsed.clear();
  parsed.set(key, loaded.sheet);
  return loaded.sheet;
}
