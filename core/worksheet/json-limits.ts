/** Limits on foreign JSON, checked on its text before anything is built from it. */

/** The largest attachment that is read: 20 MB, counted in bytes of UTF-8. */
export const LARGEST_ATTACHMENT = 20 * 1024 * 1024;
/** The record's own files nest four deep, an event's data a few more; anything near this is not one of ours. */
export const DEEPEST_JSON = 32;

/** Bytes of a text in UTF-8, counted without making a copy. */
export function utf8Length(text: string): number {
  let bytes = 0;
  for (let index = 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    if (code < 0x80) bytes += 1;
    else if (code < 0x800) bytes += 2;
    else if (code >= 0xd800 && code <= 0xdbff && index + 1 < text.length) {
      bytes += 4;
      index += 1;
    } else bytes += 3;
  }
  return bytes;
}

/** True when brackets nest deeper than `limit`, those inside strings left out. */
export function nestsDeeperThan(text: string, limit: number): boolean {
  let depth = 0;
  let inString = false;
  for (let index = 0; index < text.length; index += 1) {
    const code = text.charCodeAt(index);
    if (inString) {
      if (code === 0x5c) index += 1;
      else if (code === 0x22) inString = false;
    } else if (code === 0x22) inString = true;
    else if (code === 0x7b || code === 0x5b) {
      depth += 1;
      if (depth > limit) return true;
    } else if (code === 0x7d || code === 0x5d) depth -= 1;
  }
  return false;
}
