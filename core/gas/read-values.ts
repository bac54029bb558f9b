/** The cells of the columns that are imported, as numbers. */
import { isMissing, numberIn, type NumberStyle } from './cells.ts';
import type { ColumnMapping } from './mapping.ts';
import { gasQuantities, type GasValue } from './quantities.ts';
import type { GasTable } from './read-table.ts';
import type { CellProblem, GasColumn } from './series.ts';

/** What the numbers of a column are multiplied or divided by, to come into the unit in which they are kept. */
export interface Scale {
  readonly by: number;
  readonly divide: boolean;
}

/** Problems that are told one by one; the others are counted; this program's own choice. */
const MOST_PROBLEMS = 200;

export interface ReadValues {
  /** Rows of the table that hold a value, in order. */
  readonly rows: readonly number[];
  readonly empty: readonly number[];
  readonly columns: Readonly<Partial<Record<GasValue, GasColumn>>>;
  readonly problems: readonly CellProblem[];
  readonly problemCount: number;
}

/**
 * Reads the given rows of the given columns. What is no number is missing, and told by line and heading unless it is one of the
 * usual marks of a missing value; a heart rate of 0 is a lost signal.
 * @param scales one for each column.
 */
export function readValues(
  table: GasTable,
  rows: readonly number[],
  wanted: readonly ColumnMapping[],
  scales: readonly Scale[],
): ReadValues {
  const problems: CellProblem[] = [];
  let problemCount = 0;
  const tell = (row: number, column: ColumnMapping, cell: string, says: string): void => {
    problemCount += 1;
    if (problems.length < MOST_PROBLEMS)
      problems.push({ line: table.lines[row] ?? 0, heading: column.heading, text: cell.trim().slice(0, 40), says });
  };
  const values = wanted.map(() => new Float64Array(rows.length));
  const present = wanted.map(() => new Uint8Array(rows.length));
  const counts = wanted.map(() => 0);
  const full: number[] = [];
  const empty: number[] = [];
  // Row by row, as the cells lie in memory.
  for (const row of rows) {
    const cells = table.rows[row] ?? [];
    const at = full.length;
    let any = false;
    for (let index = 0; index < wanted.length; index += 1) {
      const column = wanted[index] as ColumnMapping;
      const cell = cells[column.column];
      if (cell === undefined || cell === '') continue;
      const number = numberIn(cell, table.style);
      if (number === undefined) {
        if (!isMissing(cell)) tell(row, column, cell, notANumber(cell, table.style));
        continue;
      }
      if (number === 0 && column.quantity === 'heart-rate') {
        tell(row, column, cell, 'a heart rate of 0 is a lost signal; taken as missing');
        continue;
      }
      const { by, divide } = scales[index] as Scale;
      (values[index] as Float64Array)[at] = divide ? number / by : number * by;
      (present[index] as Uint8Array)[at] = 1;
      counts[index] = (counts[index] ?? 0) + 1;
      any = true;
    }
    if (any) full.push(row);
    else empty.push(row);
  }
  const columns: Partial<Record<GasValue, GasColumn>> = {};
  for (const [index, column] of wanted.entries()) {
    const quantity = column.quantity as GasValue;
    columns[quantity] = {
      quantity,
      unit: gasQuantities[quantity].unit,
      values: (values[index] as Float64Array).slice(0, full.length),
      present: (present[index] as Uint8Array).slice(0, full.length),
      count: counts[index] ?? 0,
    };
  }
  return { rows: full, empty, columns, problems, problemCount };
}

function notANumber(cell: string, style: NumberStyle): string {
  const other = style.decimalMark === ',' ? '.' : ',';
  return cell.includes(other) && /\d/.test(cell)
    ? `not a number with a decimal ${style.decimalMark === ',' ? 'comma' : 'point'}; taken as missing`
    : 'not a number; taken as missing';
}
