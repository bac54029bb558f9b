/**
 * Gas exchange over time, as every analysis wants it: one array a quantity, in one fixed unit.
 *
 * Missing values: a row has a value of a quantity where `present` is 1. Where it is 0, `values` holds 0 and means nothing.
 * There is never a NaN or an infinite number in any array.
 */
import type { UnitCode } from '../units/units.ts';
import { gasQuantities, type GasValue } from './quantities.ts';
import type { RowsKind } from './rows-kind.ts';

export interface GasColumn {
  readonly quantity: GasValue;
  /** The unit of `gasQuantities`: L/min, /min, L, %, mmHg, W, km/h, or 1. */
  readonly unit: UnitCode;
  readonly values: Float64Array;
  /** 1 where the row has a value, else 0. */
  readonly present: Uint8Array;
  /** How many rows have a value. */
  readonly count: number;
  /** How the column was worked out, where it was not in the file. */
  readonly derived?: string;
}

/** Rows in the order of time. Both a file's own rows and means over them have this shape. */
export interface GasRows {
  readonly length: number;
  /** Milliseconds on the file's own clock, at the end of the breath or of the averaged time; never falls. */
  readonly time: Float64Array;
  readonly columns: Readonly<Partial<Record<GasValue, GasColumn>>>;
}

export interface Marker {
  readonly row: number;
  /** Milliseconds, as `time`. */
  readonly time: number;
  readonly text: string;
}

/** Rows that were not kept, by reason. */
export interface Dropped {
  readonly reason: 'time not readable' | 'time goes back' | 'the time starts again' | 'the same row twice' | 'no values';
  readonly count: number;
  /** Lines of the file, the first 50. */
  readonly lines: readonly number[];
}

export interface CellProblem {
  readonly line: number;
  readonly heading: string;
  readonly text: string;
  readonly says: string;
}

/** Values outside the limits of plausibility. They are kept. */
export interface Unusual {
  readonly quantity: GasValue;
  readonly level: 'unusual' | 'not possible';
  readonly count: number;
  /** Rows of the series, the first 50. */
  readonly rows: readonly number[];
  readonly says: string;
}

export interface BreathSeries extends GasRows {
  readonly rows: RowsKind;
  /** Line of the file of each row. */
  readonly lines: Int32Array;
  /** Clock times only: milliseconds from midnight to time 0 of the series. */
  readonly startsAt?: number;
  readonly markers: readonly Marker[];
  readonly dropped: readonly Dropped[];
  /** Cells that are neither a number nor empty, the first 200; `problemCount` has all. */
  readonly problems: readonly CellProblem[];
  readonly problemCount: number;
  readonly unusual: readonly Unusual[];
  /** Gaps, midnight, repeated times, disagreement between columns: what a person should know before using the file. */
  readonly notes: readonly string[];
}

/** The value of a quantity in a row, or undefined where it is missing. */
export function valueAt(rows: GasRows, quantity: GasValue, row: number): number | undefined {
  const column = rows.columns[quantity];
  return column?.present[row] === 1 ? column.values[row] : undefined;
}

/** A column from values of which some are missing (undefined). */
export function columnOf(quantity: GasValue, values: readonly (number | undefined)[], derived?: string): GasColumn {
  const numbers = new Float64Array(values.length);
  const present = new Uint8Array(values.length);
  let count = 0;
  for (const [row, value] of values.entries()) {
    if (value === undefined || !Number.isFinite(value)) continue;
    numbers[row] = value;
    present[row] = 1;
    count += 1;
  }
  return { quantity, unit: gasQuantities[quantity].unit, values: numbers, present, count, ...(derived === undefined ? {} : { derived }) };
}

/** The first row at or after a time; `length` when there is none. */
export function rowFrom(rows: GasRows, time: number): number {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rows.time[middle] ?? 0) < time) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** The first row after a time; `length` when there is none. */
export function rowAfter(rows: GasRows, time: number): number {
  let low = 0;
  let high = rows.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((rows.time[middle] ?? 0) <= time) low = middle + 1;
    else high = middle;
  }
  return low;
}

/**
 * A stretch of time, milliseconds on the file's own clock. Rows at `from` are outside, rows at `to` inside: a row stands for
 * the time that ends with it.
 */
export interface Stretch {
  readonly from: number;
  readonly to: number;
}

/** From just before the first row to the last. */
export function wholeOf(rows: GasRows): Stretch {
  const first = rows.time[0] ?? 0;
  const second = rows.time[1] ?? first;
  return { from: first - Math.max(1, second - first), to: rows.time[rows.length - 1] ?? 0 };
}
