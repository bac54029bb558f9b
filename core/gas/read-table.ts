/**
 * First step of an import: a delimited text file, from any analyser, as a table of cells. The layout is found from the text
 * itself: which sign parts the columns, which mark is the decimal mark, where the headings and the row of units stand, what
 * is preamble. Nothing is found silently: each finding is a guess with its reason, and can be overruled by `options`.
 */
import Papa from 'papaparse';
import { failure, success, type Result } from '../result.ts';
import { beginsAsNumber, cellKind, decimalMarkOf, numberIn, type NumberStyle } from './cells.ts';
import { chooseDelimiter, delimiterName, splitAtBlanks, type Delimiter } from './delimiter.ts';
import { findHeadings } from './find-headings.ts';
import { looksLikeUnit } from './headings.ts';
import { refuseOther } from './not-a-table.ts';

export type Confidence = 'sure' | 'likely' | 'unsure';

/** Something that was not written in the file but understood from it. */
export interface Guess {
  readonly about: 'encoding' | 'delimiter' | 'decimal mark' | 'headings' | 'units row' | 'column' | 'time' | 'rows';
  /** Column index, for guesses about one column. */
  readonly column?: number;
  readonly understood: string;
  readonly reason: string;
  readonly confidence: Confidence;
}

/** A row of the file that holds no data, and why it was left out. */
export interface LeftOut {
  /** Line of the file, from 1. */
  readonly line: number;
  readonly why: 'repeated headings' | 'text' | 'after a second table';
  readonly text: string;
}

export interface GasTable {
  /** Lines before the headings, as written. */
  readonly preamble: readonly (readonly string[])[];
  readonly headings: readonly string[];
  /** What stands below the headings as units, where the file has such a row. */
  readonly unitRow?: readonly string[];
  /** Data rows as text; a row may be shorter than the headings. */
  readonly rows: readonly (readonly string[])[];
  /** Line of the file of each data row, from 1. */
  readonly lines: readonly number[];
  readonly delimiter: Delimiter;
  readonly style: NumberStyle;
  readonly leftOut: readonly LeftOut[];
  readonly blankLines: number;
  readonly warnings: readonly string[];
  readonly guesses: readonly Guess[];
}

export interface ReadOptions {
  readonly delimiter?: Delimiter;
  readonly decimalMark?: '.' | ',';
  /** Line of the file, from 1, on which the headings stand. */
  readonly headingLine?: number;
}

const MOST_COLUMNS = 1000;

/**
 * Reads a text as a table of gas exchange.
 *
 * Refused, with the reason in words: an empty file; one over 50 MB; a PDF, workbook, web page, JSON or binary file; a text
 * without rows of numbers; a table whose rows hold more cells than there are headings (decimal commas between commas) or with more than 1,000 columns; a
 * table without any column that could be a time.
 */
export function readGasTable(text: string, options: ReadOptions = {}): Result<GasTable> {
  const other = refuseOther(text);
  if (other) return other;
  const guesses: Guess[] = [];
  const warnings: string[] = [];
  // One kind of line end, since a file can hold several where two programs wrote it.
  const body = (text.startsWith('\ufeff') ? text.slice(1) : text).replaceAll('\r\n', '\n').replaceAll('\r', '\n');

  const chosen =
    options.delimiter === undefined ? chooseDelimiter(body) : { delimiter: options.delimiter, reason: 'chosen by hand', sure: true };
  if (!chosen)
    return failure(
      'no-numbers',
      'No rows of numbers were found in this text. Nothing was kept. Choose the file that the analyser exported.',
    );
  const { delimiter } = chosen;
  guesses.push({
    about: 'delimiter',
    understood: `columns parted by ${delimiterName(delimiter)}`,
    reason: chosen.reason,
    confidence: chosen.sure ? 'sure' : 'unsure',
  });

  const all = parse(body, delimiter, warnings);
  const found = findHeadings(all, options.headingLine);
  if (!found)
    return failure(
      'no-numbers',
      'No rows of numbers were found in this text. Nothing was kept. Choose the file that the analyser exported.',
    );
  guesses.push(...found.guesses);
  warnings.push(...found.warnings);
  const { headings, unitRow, dataFrom } = found;

  if (headings.length > MOST_COLUMNS) {
    return failure(
      'too-many-columns',
      `The table has ${headings.length} columns; a file of gas exchange has some dozens, and up to ${MOST_COLUMNS} are read. Nothing was kept.`,
    );
  }

  const sorted = sortRows(all, dataFrom, found);
  warnings.push(...sorted.warnings);
  if (sorted.rows.length < 3) {
    return failure('no-numbers', `Only ${sorted.rows.length} rows of numbers were found; a test has more. Nothing was kept.`);
  }
  const wide = sorted.rows.filter((row) => row.length > headings.length && filledLength(row) > headings.length).length;
  if (wide * 2 > sorted.rows.length) {
    return failure(
      'too-many-cells',
      `Most rows have more cells than there are headings (${headings.length}). This happens when decimal commas stand in a file whose columns are parted by commas too. Nothing was kept; export it again with semicolons or tabs.`,
    );
  }
  if (wide > 0) warnings.push(`${wide} rows have more cells than there are headings; what is beyond the last heading is not read.`);

  const mark = decimalMarkOf(numberCells(sorted.rows), delimiter);
  const style: NumberStyle =
    options.decimalMark === undefined || options.decimalMark === mark.style.decimalMark
      ? mark.style
      : { decimalMark: options.decimalMark, grouped: mark.style.grouped || !mark.sure };
  guesses.push({
    about: 'decimal mark',
    understood: `${style.decimalMark === ',' ? 'decimal comma' : 'decimal point'}${style.grouped ? ', thousands parted by the other mark' : ''}`,
    reason: options.decimalMark === undefined ? mark.reason : 'chosen by hand',
    confidence: mark.sure || options.decimalMark !== undefined ? 'sure' : 'unsure',
  });

  const table: GasTable = {
    preamble: all
      .slice(0, found.headingAt ?? dataFrom)
      .map((row) => row.cells)
      .filter((cells) => cells.some((cell) => cell.trim() !== '')),
    headings,
    ...(unitRow === undefined ? {} : { unitRow }),
    rows: sorted.rows,
    lines: sorted.lines,
    delimiter,
    style,
    leftOut: sorted.leftOut,
    blankLines: sorted.blank,
    warnings,
    guesses,
  };
  if (!headings.some((_, column) => isTimeLike(table, column))) {
    return failure(
      'no-time',
      'The table has no column that could be a time: none goes up steadily from row to row, as seconds, minutes, minutes:seconds or clock times do. Nothing was kept. A file of gas exchange needs the time of each row.',
    );
  }
  return success(table);
}

/** A line of the file. */
export interface FileRow {
  readonly cells: readonly string[];
  readonly line: number;
}

function parse(text: string, delimiter: Delimiter, warnings: string[]): FileRow[] {
  if (delimiter === ' ') return splitAtBlanks(text).map((cells, index) => ({ cells, line: index + 1 }));
  let result = Papa.parse<string[]>(text, { delimiter, newline: '\n' });
  if (result.errors.some((error) => error.type === 'Quotes')) {
    // An inch mark or a lone quote: read again with quotes as ordinary signs.
    result = Papa.parse<string[]>(text, { delimiter, newline: '\n', quoteChar: '\u0000' });
    warnings.push('A quotation mark was opened and never closed; quotation marks are read as ordinary signs.');
  }
  const quoted = text.includes('"');
  let line = 1;
  return result.data.map((cells) => {
    const row = { cells, line };
    line += 1;
    // A quoted cell may run over several lines of the file.
    if (quoted) for (const cell of cells) if (cell.includes('\n')) line += cell.split('\n').length - 1;
    return row;
  });
}

interface SortedRows {
  readonly rows: (readonly string[])[];
  readonly lines: number[];
  readonly leftOut: LeftOut[];
  readonly blank: number;
  readonly warnings: string[];
}

/** Data rows from everything below the headings; blank lines are counted, repeated headings and lines of text set aside. */
function sortRows(
  all: readonly FileRow[],
  from: number,
  found: { readonly headingCells: readonly string[]; readonly unitRow?: readonly string[] | undefined },
): SortedRows {
  const sorted: SortedRows = { rows: [], lines: [], leftOut: [], blank: 0, warnings: [] };
  let blank = 0;
  const key = (cells: readonly string[]): string =>
    cells
      .slice(0, filledLength(cells))
      .map((cell) => cell.trim().toLowerCase())
      .join('\u0001');
  const repeated = new Set([key(found.headingCells), ...(found.unitRow === undefined ? [] : [key(found.unitRow)])]);
  const firsts = new Set([found.headingCells[0], found.unitRow?.[0]].map((cell) => cell?.trim()));
  const named = found.headingCells.filter((cell) => cell.trim() !== '').length;
  for (let at = from; at < all.length; at += 1) {
    const { cells, line } = all[at] as FileRow;
    let numbers = false;
    for (const cell of cells) {
      if (cell !== '' && beginsAsNumber(cell)) {
        numbers = true;
        break;
      }
    }
    // A unit such as 1/min begins with a figure too; rows that begin like the headings or the units are compared whole.
    if (numbers && !(firsts.has(cells[0]?.trim()) && repeated.has(key(cells)))) {
      sorted.rows.push(cells);
      sorted.lines.push(line);
    } else if (cells.every((cell) => cell.trim() === '')) {
      blank += 1;
    } else if (repeated.has(key(cells)) || unitsAfterRepeat(cells, line, sorted.leftOut.at(-1))) {
      sorted.leftOut.push({ line, why: 'repeated headings', text: shorten(cells) });
    } else if (
      named >= 3 &&
      cells.filter((cell) => cellKind(cell) === 'text').length >= 0.7 * named &&
      at + 1 < all.length &&
      sorted.rows.length >= 3 &&
      secondTable(all, at)
    ) {
      sorted.leftOut.push({ line, why: 'after a second table', text: shorten(cells) });
      sorted.warnings.push(`On line ${line} a second table with other headings begins. Only the first one was read.`);
      break;
    } else {
      sorted.leftOut.push({ line, why: 'text', text: shorten(cells) });
    }
  }
  // The last line end of a file is not a blank line.
  if (blank > 0 && all.at(-1)?.cells.every((cell) => cell === '')) blank -= 1;
  return { ...sorted, blank };
}

/** True for a row of units right below headings that were repeated, on a page of a printout. */
function unitsAfterRepeat(cells: readonly string[], line: number, before: LeftOut | undefined): boolean {
  if (before?.why !== 'repeated headings' || before.line !== line - 1) return false;
  const filled = cells.filter((cell) => cell.trim() !== '');
  return filled.filter(looksLikeUnit).length >= 0.6 * filled.length;
}

/** True when rows of numbers follow on the next lines. */
function secondTable(all: readonly FileRow[], at: number): boolean {
  const next = all.slice(at + 1, at + 5).filter((row) => row.cells.some((cell) => cell.trim() !== ''));
  return next.filter((row) => row.cells.filter((cell) => cellKind(cell) === 'number').length >= 2).length >= 2;
}

const shorten = (cells: readonly string[]): string =>
  cells
    .map((cell) => cell.trim())
    .filter((cell) => cell !== '')
    .join(' ')
    .slice(0, 120);

function filledLength(row: readonly string[]): number {
  let length = row.length;
  while (length > 0 && (row[length - 1] ?? '').trim() === '') length -= 1;
  return length;
}

/** Number cells of some 120 rows spread over the file: enough to tell the mark, few enough to be quick. */
function* numberCells(rows: readonly (readonly string[])[]): Generator<string> {
  const every = Math.max(1, Math.floor(rows.length / 120));
  for (let at = 0; at < rows.length; at += every) {
    for (const cell of rows[at] ?? []) if (cellKind(cell) === 'number') yield cell.trim();
  }
}

/**
 * True when a column could be a time: most cells read as times with colons, or its numbers go up (or stay) in nearly every
 * row and are not just 1, 2, 3.
 */
export function isTimeLike(table: Pick<GasTable, 'rows' | 'style' | 'headings' | 'unitRow'>, column: number): boolean {
  return timeLikeness(table, column) !== undefined;
}

/** How a column behaves as a time; undefined when it cannot be one. */
export function timeLikeness(
  table: Pick<GasTable, 'rows' | 'style' | 'headings' | 'unitRow'>,
  column: number,
): 'colons' | 'rising' | 'counting' | undefined {
  const every = Math.max(1, Math.floor(table.rows.length / 150));
  const cells: string[] = [];
  for (let at = 0; at < table.rows.length; at += every) cells.push(table.rows[at]?.[column] ?? '');
  const filled = cells.map((cell) => cell.trim()).filter((cell) => cell !== '');
  if (filled.length < 3 || filled.length < 0.5 * cells.length) return undefined;
  const kinds = filled.map(cellKind);
  if (kinds.filter((kind) => kind === 'time').length >= 0.5 * filled.length) return 'colons';
  if (kinds.filter((kind) => kind === 'number').length < 0.8 * filled.length) return undefined;
  const values = filled.map((cell) => numberIn(cell, table.style)).filter((value) => value !== undefined);
  let up = 0;
  let even = 0;
  for (let at = 1; at < values.length; at += 1) {
    const step = (values[at] ?? 0) - (values[at - 1] ?? 0);
    if (step > 0) up += 1;
    if (step === 0) even += 1;
  }
  const steps = values.length - 1;
  if (up + even < 0.95 * steps || up < 0.5 * steps) return undefined;
  const says = `${table.headings[column] ?? ''} ${table.unitRow?.[column] ?? ''}`;
  const whole = values.every((value, index) => index === 0 || value - (values[index - 1] ?? 0) === every);
  if (whole && !/time|zeit|temps|tiempo|tempo|\bt\b|\bmin|\bsec|\bs\b/i.test(says)) return undefined;
  return whole ? 'counting' : 'rising';
}
