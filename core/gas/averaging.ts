/**
 * Means over breaths: over fixed times, over a time that rolls along, over a number of breaths. Which one is taken moves the
 * peak, so every result carries its label.
 *
 * A mean is the plain mean of the rows that end within its time, each breath counting once; the RER of a mean is mean VCO₂
 * over mean VO₂, not the mean of the ratios. Missing values are left out of their own quantity only.
 * Survey of 75 laboratories (Robergs RA, Dwyer D, Astorino T. Sports Med 2010;40:95): 30 s 38 %, 60 s 18 %, 20 s 11 %, rolling
 * means of 5 to 11 breaths 10 %, 15 s 8 %, middle five of seven breaths 7 %; its advice of a rolling mean of 15 breaths is
 * from memory.
 */
import { gasQuantities, type GasValue } from './quantities.ts';
import { rowAfter, wholeOf, type BreathSeries, type GasColumn, type GasRows, type Stretch } from './series.ts';

export type Averaging =
  /** Every row as it is. */
  | { readonly kind: 'none' }
  /** Bins of so many seconds, one after the other. */
  | { readonly kind: 'time-bins'; readonly seconds: number }
  /** At every row, the rows of the last so many seconds. */
  | { readonly kind: 'rolling-time'; readonly seconds: number }
  /** At every row, the last so many breaths, 2 to 60. */
  | { readonly kind: 'rolling-breaths'; readonly breaths: number }
  /** At every row, the last seven breaths without the one with the highest and the one with the lowest oxygen uptake. */
  | { readonly kind: 'middle-five-of-seven' };

export function averagingLabel(averaging: Averaging): string {
  switch (averaging.kind) {
    case 'none':
      return 'single rows, not averaged';
    case 'time-bins':
      return `${averaging.seconds}-s means`;
    case 'rolling-time':
      return `rolling ${averaging.seconds}-s means`;
    case 'rolling-breaths':
      return `rolling means of ${averaging.breaths} breaths`;
    case 'middle-five-of-seven':
      return 'middle five of seven breaths, rolling';
  }
}

export interface AveragedRows extends GasRows {
  readonly averaging: Averaging;
  readonly label: string;
  /** Start of each mean's time, milliseconds; `time` is its end. */
  readonly from: Float64Array;
  /** Rows of the file in each mean. */
  readonly rows: Int32Array;
  /** 1 where the rows fill the whole time of the mean; 0 at the edges and over gaps. */
  readonly full: Uint8Array;
}

/** First and one-past-last row of each mean, with the time it stands for. */
interface Window {
  readonly first: number;
  readonly last: number;
  readonly from: number;
  readonly to: number;
}

/**
 * Averages a series.
 * @param stretch only rows that end within it; default all.
 */
export function average(
  series: GasRows & Partial<Pick<BreathSeries, 'rows'>>,
  averaging: Averaging,
  stretch: Stretch = wholeOf(series),
): AveragedRows {
  const windows = windowsOf(series, averaging, stretch);
  const spacing = series.rows?.kind === 'averaged' ? series.rows.seconds * 1000 : 0;
  const begins = Math.max(stretch.from, wholeOf(series).from);
  const columns: Partial<Record<GasValue, GasColumn>> = {};
  const middle = averaging.kind === 'middle-five-of-seven' ? leftOutOf(series, windows) : undefined;
  for (const column of Object.values(series.columns)) columns[column.quantity] = meansOf(column, windows, middle);
  const { vo2, vco2, rer } = columns;
  if (rer && vo2 && vco2 && averaging.kind !== 'none') columns.rer = ratioOf(vco2, vo2, rer);
  return {
    length: windows.length,
    time: Float64Array.from(windows, (window) => window.to),
    from: Float64Array.from(windows, (window) => window.from),
    rows: Int32Array.from(windows, (window) => window.last - window.first),
    full: Uint8Array.from(windows, (window) => (isFull(series.time, window, averaging, spacing, begins) ? 1 : 0)),
    columns,
    averaging,
    label: averagingLabel(averaging),
  };
}

function windowsOf(series: GasRows, averaging: Averaging, stretch: Stretch): Window[] {
  const begin = rowAfter(series, stretch.from);
  const end = rowAfter(series, stretch.to);
  const time = (row: number): number => series.time[row] ?? 0;
  const windows: Window[] = [];
  if (averaging.kind === 'time-bins') {
    const length = averaging.seconds * 1000;
    if (!(length > 0)) return windows;
    let first = begin;
    for (let from = stretch.from; from < stretch.to && first < end; from += length) {
      const to = Math.min(from + length, stretch.to);
      let last = first;
      while (last < end && time(last) <= to) last += 1;
      if (last > first) windows.push({ first, last, from, to });
      first = last;
    }
    return windows;
  }
  if (averaging.kind === 'rolling-time') {
    const length = averaging.seconds * 1000;
    if (!(length > 0)) return windows;
    let first = begin;
    for (let row = begin; row < end; row += 1) {
      const from = time(row) - length;
      while (first < row && time(first) <= from) first += 1;
      // The first rows have less than the whole time behind them; they are not full and say so.
      windows.push({ first, last: row + 1, from, to: time(row) });
    }
    return windows;
  }
  const breaths =
    averaging.kind === 'rolling-breaths' ? Math.max(1, Math.round(averaging.breaths)) : averaging.kind === 'middle-five-of-seven' ? 7 : 1;
  for (let row = begin + breaths - 1; row < end; row += 1) {
    const first = row - breaths + 1;
    windows.push({ first, last: row + 1, from: first > 0 ? time(first - 1) : stretch.from, to: time(row) });
  }
  return windows;
}

/** Rows that reach from near the start of the window to near its end, without a hole of more than half of it, all after `begins`. */
function isFull(time: Float64Array, { first, last, from, to }: Window, averaging: Averaging, spacing: number, begins: number): boolean {
  if (averaging.kind !== 'time-bins' && averaging.kind !== 'rolling-time') {
    // A window of breaths is full unless a breath in it is a hole in the file.
    for (let row = first + 1; row < last; row += 1) if ((time[row] ?? 0) - (time[row - 1] ?? 0) > 15_000 && spacing === 0) return false;
    return true;
  }
  const length = averaging.seconds * 1000;
  if (to - from < length * 0.999 || from < begins - 1) return false;
  // Times of averaged rows may be off by rounding; half a step is allowed for that.
  const reach = Math.max(length / 2, 1.5 * spacing);
  let before = from;
  for (let row = first; row < last; row += 1) {
    const here = time[row] ?? 0;
    if (here - before > reach) return false;
    before = here;
  }
  return to - before <= reach;
}

/** Means of one column by running sums; without the two rows of each window that `leftOut` names. */
function meansOf(column: GasColumn, windows: readonly Window[], leftOut: readonly (readonly number[])[] | undefined): GasColumn {
  const { values, present } = column;
  const sums = new Float64Array(values.length + 1);
  const counts = new Int32Array(values.length + 1);
  for (let row = 0; row < values.length; row += 1) {
    sums[row + 1] = (sums[row] ?? 0) + (present[row] === 1 ? (values[row] ?? 0) : 0);
    counts[row + 1] = (counts[row] ?? 0) + (present[row] ?? 0);
  }
  const means = new Float64Array(windows.length);
  const there = new Uint8Array(windows.length);
  let count = 0;
  for (const [index, { first, last }] of windows.entries()) {
    let rows = (counts[last] ?? 0) - (counts[first] ?? 0);
    if (rows === 0) continue;
    let sum: number;
    if (last - first === 1) {
      sum = values[first] ?? 0;
    } else {
      sum = (sums[last] ?? 0) - (sums[first] ?? 0);
      for (const row of leftOut?.[index] ?? []) {
        if (present[row] !== 1 || rows <= 1) continue;
        sum -= values[row] ?? 0;
        rows -= 1;
      }
    }
    means[index] = sum / rows;
    there[index] = 1;
    count += 1;
  }
  return {
    quantity: column.quantity,
    unit: gasQuantities[column.quantity].unit,
    values: means,
    present: there,
    count,
    ...(column.derived === undefined ? {} : { derived: column.derived }),
  };
}

/** In each window of seven, the rows with the highest and the lowest oxygen uptake (of equal ones the first). */
function leftOutOf(series: GasRows, windows: readonly Window[]): readonly (readonly number[])[] {
  const vo2 = series.columns.vo2;
  if (!vo2) return windows.map(() => []);
  return windows.map(({ first, last }) => {
    let highest = first;
    let lowest = first;
    for (let row = first; row < last; row += 1) {
      if ((vo2.values[row] ?? 0) > (vo2.values[highest] ?? 0)) highest = row;
      if ((vo2.values[row] ?? 0) < (vo2.values[lowest] ?? 0)) lowest = row;
    }
    return highest === lowest ? [highest] : [highest, lowest];
  });
}

function ratioOf(vco2: GasColumn, vo2: GasColumn, rer: GasColumn): GasColumn {
  const values = new Float64Array(rer.values);
  const present = new Uint8Array(rer.present);
  let count = 0;
  for (let row = 0; row < values.length; row += 1) {
    if (vco2.present[row] === 1 && vo2.present[row] === 1 && (vo2.values[row] ?? 0) > 0) {
      values[row] = (vco2.values[row] ?? 0) / (vo2.values[row] ?? 1);
      present[row] = 1;
    }
    count += present[row] ?? 0;
  }
  return { ...rer, values, present, count };
}

/** The mean of one stretch of time: each quantity's plain mean, RER as mean VCO₂ over mean VO₂. */
export interface StretchMean {
  readonly from: number;
  readonly to: number;
  /** Rows of the file that end within it. */
  readonly rows: number;
  readonly full: boolean;
  readonly values: Readonly<Partial<Record<GasValue, number>>>;
}

/** @returns undefined when no row ends within the stretch. */
export function meanOver(series: GasRows & Partial<Pick<BreathSeries, 'rows'>>, stretch: Stretch): StretchMean | undefined {
  const averaged = average(series, { kind: 'time-bins', seconds: (stretch.to - stretch.from) / 1000 }, stretch);
  if (averaged.length === 0) return undefined;
  const values: Partial<Record<GasValue, number>> = {};
  for (const column of Object.values(averaged.columns)) if (column.present[0] === 1) values[column.quantity] = column.values[0] ?? 0;
  return { from: stretch.from, to: stretch.to, rows: averaged.rows[0] ?? 0, full: averaged.full[0] === 1, values };
}
