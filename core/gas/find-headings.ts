/** Where the headings, the row of units and the data stand in a file, whatever is written above them. */
import { cellKind } from './cells.ts';
import { looksLikeUnit } from './headings.ts';
import type { FileRow, Guess } from './read-table.ts';

export interface FoundHeadings {
  /** Index of the heading row among all rows; undefined where there is none. */
  readonly headingAt?: number;
  readonly headings: readonly string[];
  /** The heading row as it stands in the file. */
  readonly headingCells: readonly string[];
  readonly unitRow?: readonly string[];
  /** Index of the first row that can be data. */
  readonly dataFrom: number;
  readonly guesses: readonly Guess[];
  readonly warnings: readonly string[];
}

const STATE_WORDS = /^(?:stpd|btps|atps|atpd)?$/i;

/**
 * The columns of numbers tell where the headings are: the row of text nearest above the data that names most of those
 * columns. A row of units may stand between, and so may blank lines.
 * @param headingLine the line of the file, where a person said which it is.
 * @returns undefined when the text holds no rows of numbers.
 */
export function findHeadings(all: readonly FileRow[], headingLine?: number): FoundHeadings | undefined {
  const numbersIn = (row: FileRow): number =>
    row.cells.filter((cell) => {
      const kind = cellKind(cell);
      return kind === 'number' || kind === 'time';
    }).length;
  const filledIn = (row: FileRow): number => row.cells.filter((cell) => cell.trim() !== '').length;

  // A spread of rows is enough to know how wide the data are.
  const every = Math.max(1, Math.floor(all.length / 80));
  const counts: number[] = [];
  for (let at = 0; at < all.length; at += every) {
    const row = all[at] as FileRow;
    const numbers = numbersIn(row);
    if (numbers >= 2 && numbers > 0.4 * filledIn(row)) counts.push(numbers);
  }
  if (counts.length === 0) return undefined;
  counts.sort((a, b) => a - b);
  const usual = counts[Math.floor(counts.length / 2)] ?? 2;
  const isData = (row: FileRow): boolean => {
    const numbers = numbersIn(row);
    return numbers >= Math.max(2, 0.5 * usual) && numbers > 0.4 * filledIn(row);
  };

  const dataColumns = columnsOf(all, every, isData);
  if (dataColumns.length < 2) return undefined;
  const named = (row: FileRow): number =>
    dataColumns.filter((column) => cellKind(row.cells[column] ?? '') === 'text').length / dataColumns.length;

  const given = headingLine === undefined ? undefined : all.findIndex((row) => row.line === headingLine);
  const headingAt = given === undefined || given < 0 ? headingRow(all, isData, named) : given;
  if (headingAt === undefined) return withoutHeadings(all, isData, dataColumns);

  let at = headingAt;
  let cells = (all[at] as FileRow).cells;
  const guesses: Guess[] = [];
  let unitRow: readonly string[] | undefined;
  // Below the headings: units, and perhaps the states of the gas.
  let next = at + 1;
  for (let seen = 0; seen < 4 && next < all.length; seen += 1, next += 1) {
    const row = all[next] as FileRow;
    const filled = row.cells.filter((cell) => cell.trim() !== '');
    if (filled.length === 0) continue;
    if (isData(row) || filled.some((cell) => cellKind(cell) === 'number' || cellKind(cell) === 'time')) break;
    if (filled.every((cell) => STATE_WORDS.test(cell.trim()))) {
      cells = cells.map((cell, column) => `${cell} ${row.cells[column]?.trim() ?? ''}`.trim());
      at = next;
    } else if (unitRow === undefined && filled.filter(looksLikeUnit).length >= 0.6 * filled.length) {
      unitRow = row.cells.map((cell) => cell.trim());
      at = next;
    } else {
      break;
    }
  }

  const width = usedWidth(all, at, cells);
  const headings = Array.from({ length: width }, (_, column) => (cells[column] ?? '').slice(0, 200).replace(/\s+/g, ' ').trim());
  const line = (all[headingAt] as FileRow).line;
  guesses.push({
    about: 'headings',
    understood: `headings on line ${line}`,
    reason:
      given === undefined
        ? `it names ${Math.round(100 * named(all[headingAt] as FileRow))} % of the columns of numbers and stands above them`
        : 'chosen by hand',
    confidence: given === undefined ? 'likely' : 'sure',
  });
  if (unitRow)
    guesses.push({
      about: 'units row',
      understood: `units on line ${(all[at] as FileRow).line}`,
      reason: 'most of its cells are units',
      confidence: 'likely',
    });
  return {
    headingAt,
    headings,
    headingCells: (all[headingAt] as FileRow).cells,
    ...(unitRow === undefined ? {} : { unitRow: Array.from({ length: width }, (_, column) => (unitRow[column] ?? '').slice(0, 60)) }),
    dataFrom: at + 1,
    guesses,
    warnings: [],
  };
}

/** Columns that hold numbers or times in at least a third of the data rows. */
function columnsOf(all: readonly FileRow[], every: number, isData: (row: FileRow) => boolean): number[] {
  const counts: number[] = [];
  let rows = 0;
  for (let at = 0; at < all.length; at += every) {
    const row = all[at] as FileRow;
    if (!isData(row)) continue;
    rows += 1;
    for (const [column, cell] of row.cells.entries()) {
      const kind = cellKind(cell);
      if (kind === 'number' || kind === 'time') counts[column] = (counts[column] ?? 0) + 1;
    }
  }
  return counts.flatMap((count, column) => ((count ?? 0) >= rows / 3 ? [column] : []));
}

/** So many rows of data under a row of headings are the data of a test; fewer may be a small table of results above them; this program's own choice. */
const PLENTY = 12;

/**
 * The row of text that names the columns, nearest above its data. Where a small table with headings of its own stands above the
 * data, the headings with the most rows below them are taken.
 */
function headingRow(all: readonly FileRow[], isData: (row: FileRow) => boolean, named: (row: FileRow) => number): number | undefined {
  const isHeading = (at: number, above: number | undefined): boolean =>
    named(all[at] as FileRow) >= 0.5 && !mostlyUnits(all[at] as FileRow, above === undefined ? undefined : all[above]);
  const text = (at: number): string => (all[at] as FileRow).cells.join('\u0001');
  const last = Math.min(all.length, 5000);
  let best: { readonly at: number; readonly rows: number } | undefined;
  let candidate: number | undefined;
  for (let at = 0; at < last; at += 1) {
    if (isHeading(at, candidate)) candidate = at;
    if (candidate === undefined || at === candidate || at - candidate > 6 || !isData(all[at] as FileRow)) continue;
    // Headings with data below: how many rows until other headings come?
    let rows = 0;
    let next = at;
    for (; next < last && rows < PLENTY; next += 1) {
      if (isData(all[next] as FileRow)) rows += 1;
      else if (isHeading(next, candidate) && text(next) !== text(candidate)) break;
    }
    if (rows >= PLENTY) return candidate;
    if (best === undefined || rows > best.rows) best = { at: candidate, rows };
    candidate = undefined;
    at = next - 1;
  }
  return best?.at;
}

/** A row of units is not a row of headings, if a row that names columns stands right above it. */
function mostlyUnits(row: FileRow, above: FileRow | undefined): boolean {
  if (above === undefined) return false;
  const filled = row.cells.filter((cell) => cell.trim() !== '');
  const share = filled.filter((cell) => looksLikeUnit(cell) || STATE_WORDS.test(cell.trim())).length / Math.max(1, filled.length);
  return share >= 0.6 && row.line - above.line <= 3;
}

function withoutHeadings(
  all: readonly FileRow[],
  isData: (row: FileRow) => boolean,
  dataColumns: readonly number[],
): FoundHeadings | undefined {
  const first = all.findIndex(isData);
  if (first < 0) return undefined;
  const width = Math.max(...dataColumns) + 1;
  return {
    headings: Array.from({ length: width }, (_, column) => `Column ${column + 1}`),
    headingCells: [],
    dataFrom: first,
    guesses: [
      { about: 'headings', understood: 'no headings', reason: 'no row of text names the columns of numbers', confidence: 'unsure' },
    ],
    warnings: ['The file has no headings; say what each column is.'],
  };
}

/** Columns up to the last one that has a heading or, in the first rows of data, a value. */
function usedWidth(all: readonly FileRow[], at: number, headings: readonly string[]): number {
  let width = 0;
  for (const [column, cell] of headings.entries()) if (cell.trim() !== '') width = column + 1;
  // A last column without a heading counts only when no heading is missing its column: rows may end in a delimiter.
  for (const row of all.slice(at + 1, at + 40)) {
    for (let column = row.cells.length - 1; column >= width; column -= 1) {
      if ((row.cells[column] ?? '').trim() !== '' && headings[column] !== undefined) width = column + 1;
    }
  }
  return width;
}
