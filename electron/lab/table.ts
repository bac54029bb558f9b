/** A plain table for the terminal. */

/** Columns as wide as their widest cell; numbers to the right. */
export function table(heading: readonly string[], rows: readonly (readonly string[])[], indent = '  '): string {
  const all = [heading, ...rows];
  const widths = heading.map((_, column) => Math.max(...all.map((row) => width(row[column] ?? ''))));
  const numeric = heading.map((_, column) => rows.some((row) => /\d/.test(row[column] ?? '')) && rows.every((row) => /^[−+\-–\d.,: %/]*$/.test(row[column] ?? '')));
  return all
    .map((row) => `${indent}${widths.map((wide, column) => pad(row[column] ?? '', wide, numeric[column] === true)).join('  ')}`.trimEnd())
    .map((line) => `${line}\n`)
    .join('');
}

/** Combining marks take no room; everything else here is one cell wide. */
const width = (text: string): number => [...text.normalize('NFC')].length;

function pad(text: string, wide: number, right: boolean): string {
  const gap = ' '.repeat(Math.max(0, wide - width(text)));
  return right ? gap + text : text + gap;
}
