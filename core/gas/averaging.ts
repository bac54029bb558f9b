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
interface Windows {
  readonly first: Int32Array;
  readonly last: Int32Array;
  readonly from: Float64Array;
  readonly to: Float64Array;
}

/**
 * Averages a series.
 * @param stretch only rows that end within it; default all. @param quantities only these columns; default all.
 */
export function average(
  series: GasRows & Partial<Pick<BreathSeries, 'rows'>>,
  averaging: Averaging,
  stretch: Stretch = wholeOf(series),
  quantities?: readonly GasValue[],
): AveragedRows {
  const windows = windowsOf(series, averaging, stretch);
  const columns: Partial<Record<GasValue, GasColumn>> = {};
  const middle = averaging.kind === 'middle-five-of-seven' ? leftOutOf(series, windows) : undefined;
  for (const column of Object.values(series.columns)) {
    if (!quantities || quantities.includes(column.quantity)) columns[column.quantity] = meansOf(column, windows, middle);
  }
  const { vo2, vco2, rer } = columns;
  if (rer && vo2 && vco2 && averaging.kind !== 'none') columns.rer = ratioOf(vco2, vo2, rer);
  return {
    length: windows.first.length,
    time: windows.to,
    from: windows.from,
    rows: windows.last.map((last, index) => last - (windows.first[index] ?? 0)),
    full: fullOf(series, windows, averaging, stretch),
    columns,
    averaging,
    label: averagingLabel(averaging),
  };
}

function windowsOf(series: GasRows, averaging: Averaging, stretch: Stretch): Windows {
  const begin = rowAfter(series, stretch.from);
  const end = rowAfter(series, stretch.to);
  const { time } = series;
  const at = (row: number): number => time[row] ?? 0;
  if (averaging.kind === 'time-bins') return binsOf(at, begin, end, averaging.seconds * 1000, stretch);
  if (averaging.kind === 'rolling-time') {
    const length = averaging.seconds * 1000;
    const count = length > 0 ? end - begin : 0;
    const windows = emptyWindows(count);
    let first = begin;
    for (let index = 0; index < count; index += 1) {
      const row = begin + index;
      const from = at(row) - length;
      while (first < row && at(first) <= from) first += 1;
      // The first rows have less than the whole time behind them; they are not full and say so.
      set(windows, index, first, row + 1, from, at(row));
    }
    return windows;
  }
  const breaths =
    averaging.kind === 'rolling-breaths' ? Math.max(1, Math.round(averaging.breaths)) : averaging.kind === 'middle-five-of-seven' ? 7 : 1;
  const windows = emptyWindows(Math.max(0, end - begin - breaths + 1));
  for (let index = 0; index < windows.first.length; index += 1) {
    const first = begin + index;
    set(windows, index, first, first + breaths, first > 0 ? at(first - 1) : stretch.from, at(first + breaths - 1));
  }
  return windows;
}

function emptyWindows(count: number): Windows {
  return { first: new Int32Array(count), last: new Int32Array(count), from: new Float64Array(count), to: new Float64Array(count) };
}

function set(windows: Windows, index: number, first: number, last: number, from: number, to: number): void {
  windows.first[index] = first;
  windows.last[index] = last;
  windows.from[index] = from;
  windows.to[index] = to;
}

/** Bins that hold at least one row; the last one ends with the stretch, whole or not. */
function binsOf(at: (row: number) => number, begin: number, end: number, length: number, stretch: Stretch): Windows {
  const list: { first: number; last: number; from: number; to: number }[] = [];
  if (!(length > 0)) return emptyWindows(0);
  let first = begin;
  for (let number = 0; first < end; number += 1) {
    const from = stretch.from + number * length;
    const to = Math.min(from + length, stretch.to);
    let last = first;
    while (last < end && at(last) <= to) last += 1;
    if (last > first) list.push({ first, last, from, to });
    if (to >= stretch.to) break;
    first = last;
  }
  const windows = emptyWindows(list.length);
  for (const [index, bin] of list.entries()) set(windows, index, bin.first, bin.last, bin.from, bin.to);
  return windows;
}

/**
 * Where rows fill their window: they reach from near its start to near its end, all after the start of the stretch and of the
 * file, without a hole of more than half of the window (15 s in a window of breaths).
 */
function fullOf(
  series: GasRows & Partial<Pick<BreathSeries, 'rows'>>,
  windows: Windows,
  averaging: Averaging,
  stretch: Stretch,
): Uint8Array {
  const spacing = series.rows?.kind === 'averaged' ? series.rows.seconds * 1000 : 0;
  const begins = Math.max(stretch.from, wholeOf(series).from) - 1;
  const timed = averaging.kind === 'time-bins' || averaging.kind === 'rolling-time';
  const length = timed ? averaging.seconds * 1000 : 0;
  // Times of averaged rows may be off by rounding; half a step is allowed for that.
  const reach = timed ? Math.max(length / 2, 1.5 * spacing) : Math.max(15_000, 1.5 * spacing);
  // For each row, the last row up to it that comes after a hole.
  const hole = new Int32Array(series.length).fill(-1);
  for (let row = 1; row < series.length; row += 1) {
    hole[row] = (series.time[row] ?? 0) - (series.time[row - 1] ?? 0) > reach ? row : (hole[row - 1] ?? -1);
  }
  return Uint8Array.from(windows.first, (first, index) => {
    const last = (windows.last[index] ?? 0) - 1;
    if ((hole[last] ?? -1) > first) return 0;
    if (!timed) return 1;
    const from = windows.from[index] ?? 0;
    const to = windows.to[index] ?? 0;
    const whole = to - from >= length * 0.999 && from >= begins;
    return whole && (series.time[first] ?? 0) - from <= reach && to - (series.time[last] ?? 0) <= reach ? 1 : 0;
  });
}

/** Means of one column by running sums; without the two rows of each window that `leftOut` names. */
function meansOf(column: GasColumn, windows: Windows, leftOut: readonly (readonly number[])[] | undefined): GasColumn {
  const { values, present } = column;
  const sums = new Float64Array(values.length + 1);
  const counts = new Int32Array(values.length + 1);
  for (let row = 0; row < values.length; row += 1) {
    sums[row + 1] = (sums[row] ?? 0) + (present[row] === 1 ? (values[row] ?? 0) : 0);
    counts[row + 1] = (counts[row] ?? 0) + (present[row] ?? 0);
  }
  const length = windows.first.length;
  const means = new Float64Array(length);
  const there = new Uint8Array(length);
  let count = 0;
  for (let index = 0; index < length; index += 1) {
    const first = windows.first[index] ?? 0;
    const last = windows.last[index] ?? 0;
    let rows = (counts[last] ?? 0) - (counts[first] ?? 0);
    if (rows === 0) continue;
    // A single row as it is, without the rounding of the running sums.
    let sum = last - first === 1 ? (values[first] ?? 0) : (sums[last] ?? 0) - (sums[first] ?? 0);
    for (const row of leftOut?.[index] ?? []) {
      if (present[row] !== 1 || rows <= 1) continue;
      sum -= values[row] ?? 0;
      rows -= 1;
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
function leftOutOf(series: GasRows, windows: Windows): readonly (readonly number[])[] {
  const vo2 = series.columns.vo2;
  return Array.from(windows.first, (first, index) => {
    if (!vo2) return [];
    let highest = first;
    let lowest = first;
    for (let row = first; row < (windows.last[index] ?? 0); row += 1) {
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
