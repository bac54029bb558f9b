/** The points that thresholds are looked for in: the incremental part of a test, breaths smoothed. */
import { rowAfter, valueAt, type BreathSeries, type GasRows, type Stretch } from './series.ts';
import type { GasValue } from './quantities.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

/** Points in the order of time; all arrays have the same length and no gaps. */
export interface GasPoints {
  readonly length: number;
  /** Milliseconds on the file's clock. */
  readonly time: Float64Array;
  /** L/min; `ve` is empty when the file has no ventilation. */
  readonly vo2: Float64Array;
  readonly vco2: Float64Array;
  readonly ve: Float64Array;
  /** The same before smoothing, for the size of the noise. */
  readonly raw: { readonly vo2: Float64Array; readonly vco2: Float64Array; readonly ve: Float64Array };
  /** Rows that each point is a mean of; 1 for rows as they are. */
  readonly smoothedOver: number;
  /** "15-breath rolling means", "30-s rows as they are". */
  readonly label: string;
}

/** A rolling mean of 15 breaths is what Robergs RA et al. Sports Med 2010;40:95 advise (the advice from memory). */
export const SMOOTHING_BREATHS = 15;
/** Rows of a file of means are smoothed to this time, where they are shorter. */
const SMOOTHING_SECONDS = 30;

/**
 * @param stretch the incremental part; @param smoothing rows in each centred mean, odd; default 15 breaths, or as many rows
 *   of a file of means as make 30 s (none where a row is 15 s or longer).
 * @returns undefined when the file has no VO₂ or no VCO₂.
 */
export function gasPoints(series: Rows, stretch: Stretch, smoothing?: number): GasPoints | undefined {
  if (!series.columns.vo2 || !series.columns.vco2) return undefined;
  const withVe = series.columns.ve !== undefined;
  const rows: number[] = [];
  const end = rowAfter(series, stretch.to);
  for (let row = rowAfter(series, stretch.from); row < end; row += 1) {
    if (
      valueAt(series, 'vo2', row) === undefined ||
      valueAt(series, 'vco2', row) === undefined ||
      (withVe && valueAt(series, 've', row) === undefined)
    )
      continue;
    rows.push(row);
  }
  const over = smoothing ?? usualSmoothing(series);
  const column = (quantity: GasValue): Float64Array => Float64Array.from(rows, (row) => series.columns[quantity]?.values[row] ?? 0);
  const averaged = series.rows?.kind === 'averaged' ? series.rows.seconds : undefined;
  const raw = { vo2: column('vo2'), vco2: column('vco2'), ve: withVe ? column('ve') : new Float64Array(0) };
  return {
    length: rows.length,
    time: Float64Array.from(rows, (row) => series.time[row] ?? 0),
    vo2: smooth(raw.vo2, over),
    vco2: smooth(raw.vco2, over),
    ve: smooth(raw.ve, over),
    raw,
    smoothedOver: over,
    label:
      over === 1
        ? averaged === undefined
          ? 'single breaths'
          : `${averaged}-s rows as they are`
        : averaged === undefined
          ? `${over}-breath rolling means`
          : `rolling means of ${over} rows of ${averaged} s`,
  };
}

function usualSmoothing(series: Rows): number {
  if (series.rows?.kind !== 'averaged') return SMOOTHING_BREATHS;
  const rows = Math.round(SMOOTHING_SECONDS / series.rows.seconds);
  return rows <= 2 ? 1 : rows % 2 === 1 ? rows : rows + 1;
}

/** Centred means; near the ends over fewer points, evenly on both sides, so that the ends are not pulled inwards. */
export function smooth(values: Float64Array, over: number): Float64Array {
  const half = Math.floor(over / 2);
  if (half < 1) return values;
  const sums = new Float64Array(values.length + 1);
  for (let at = 0; at < values.length; at += 1) sums[at + 1] = (sums[at] ?? 0) + (values[at] ?? 0);
  return values.map((_, at) => {
    const reach = Math.min(half, at, values.length - 1 - at);
    return ((sums[at + reach + 1] ?? 0) - (sums[at - reach] ?? 0)) / (2 * reach + 1);
  });
}

/** Points from one index up to another, smoothing kept. */
export function slicePoints(points: GasPoints, from: number, to: number): GasPoints {
  const length = Math.max(0, to - from);
  return {
    ...points,
    length,
    time: points.time.subarray(from, to),
    vo2: points.vo2.subarray(from, to),
    vco2: points.vco2.subarray(from, to),
    ve: points.ve.subarray(from, to),
    raw: { vo2: points.raw.vo2.subarray(from, to), vco2: points.raw.vco2.subarray(from, to), ve: points.raw.ve.subarray(from, to) },
  };
}

/**
 * The index at which a value that rises with time passes a level: half-way between the first point at or above it and the last
 * one below it. 0 or the length where it lies outside.
 */
export function passes(values: Float64Array, level: number): number {
  let first = values.length;
  let last = -1;
  for (let at = 0; at < values.length; at += 1) {
    if ((values[at] ?? 0) >= level) {
      if (first === values.length) first = at;
    } else {
      last = at;
    }
  }
  return Math.round((first + last + 1) / 2);
}

export interface TestStretch {
  readonly stretch: Stretch;
  readonly because: string;
  readonly confidence: 'likely' | 'unsure';
}

/**
 * The incremental part of a test, where the session does not say: from the first rise of the load to its highest value; without
 * a load, from the last moment at which the smoothed uptake was within a tenth of its range above the lowest, to its highest.
 * @returns undefined when there is no VO₂ or it hardly changes.
 */
export function guessTestStretch(series: Rows): TestStretch | undefined {
  const byLoad = stretchByLoad(series);
  if (byLoad) return byLoad;
  const points = gasPoints(series, { from: -Infinity, to: Infinity });
  if (!points || points.length < 10) return undefined;
  let top = 0;
  let low = Infinity;
  for (let at = 0; at < points.length; at += 1) if ((points.vo2[at] ?? 0) > (points.vo2[top] ?? 0)) top = at;
  for (let at = 0; at <= top; at += 1) low = Math.min(low, points.vo2[at] ?? 0);
  const high = points.vo2[top] ?? 0;
  if (!(high > 1.3 * low)) return undefined;
  let start = 0;
  for (let at = 0; at < top; at += 1) if ((points.vo2[at] ?? 0) <= low + 0.1 * (high - low)) start = at;
  return {
    stretch: { from: points.time[start] ?? 0, to: points.time[top] ?? 0 },
    because: 'from where oxygen uptake begins to rise to where it is highest, since the file has no load',
    confidence: 'unsure',
  };
}

function stretchByLoad(series: Rows): TestStretch | undefined {
  const load = series.columns.load;
  if (!load) return undefined;
  let top = -1;
  let least = Infinity;
  for (let row = 0; row < series.length; row += 1) {
    if (load.present[row] !== 1) continue;
    least = Math.min(least, load.values[row] ?? 0);
    if (top < 0 || (load.values[row] ?? 0) >= (load.values[top] ?? 0)) top = row;
  }
  const highest = load.values[top] ?? 0;
  if (top < 0 || !(highest > least + 20)) return undefined;
  // Back from the top while the load does not rise: where it last stood on its first step before rising for good.
  let from = top;
  let lowestSeen = highest;
  for (let row = top; row >= 0; row -= 1) {
    if (load.present[row] !== 1) continue;
    const value = load.values[row] ?? 0;
    if (value > lowestSeen + 5) break;
    if (value < lowestSeen - 1e-9) {
      lowestSeen = value;
      from = row;
    }
  }
  return {
    stretch: { from: series.time[from] ?? 0, to: series.time[top] ?? 0 },
    because: `from the first rise of the load above ${Math.round(lowestSeen)} W to the end of ${Math.round(highest)} W`,
    confidence: 'likely',
  };
}
