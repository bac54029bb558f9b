/** CSV after RFC 4180 from rows of values: a heading row, CRLF, texts guarded against being read as formulas. */
import { csvCell, csvLines } from '../worksheet/marks-csv.ts';

export type Value = string | number | boolean | undefined;
export type Row = Readonly<Record<string, Value>>;

/** A text that a spreadsheet might take for a formula gets an apostrophe before it; so does one that would look like such a guard. */
const LOOKS_GUARDED = /^'+[\s\u00a0]*[=+\-@\t\r\n\uff1d\uff0b\uff0d\uff20]/;

/** One cell. Numbers and truth values stand as they are, nothing stands for nothing. */
export function cellOf(value: Value): string {
  if (value === undefined) return '';
  if (typeof value === 'number') return Number.isFinite(value) ? csvCell(String(value), true) : '';
  if (typeof value === 'boolean') return String(value);
  return csvCell(LOOKS_GUARDED.test(value) ? `'${value}` : value);
}

/** What was in a text cell before it was guarded. */
export function textOf(cell: string): string {
  return LOOKS_GUARDED.test(cell) ? cell.slice(1) : cell;
}

/** @param columns their names, in order; values of other names are left out. */
export function csvOf(columns: readonly string[], rows: readonly Row[]): string {
  return csvLines([columns, ...rows.map((row) => columns.map((column) => cellOf(row[column])))]);
}
