/** What every threshold method answers: what was found or why it cannot tell, the fit to draw, and the checks one by one. */
import type { Source } from '../formulas/formula.ts';
import { passes, type GasPoints } from './points.ts';
import { rowFrom, type GasColumn, type GasRows, type Stretch } from './series.ts';

export interface DrawnLine {
  /** `straight`: y = slope·x + intercept. `ratio`: y = slope + intercept/x, which is the same line after division by x. */
  readonly form: 'straight' | 'ratio';
  readonly slope: number;
  readonly intercept: number;
  /** x between which the line was fitted. */
  readonly from: number;
  readonly to: number;
}

export interface Check {
  readonly says: string;
  readonly met: boolean;
}

/** A moment of the test at a threshold: smoothed values there. */
export interface ThresholdPoint {
  /** L/min. */
  readonly vo2: number;
  readonly vco2?: number;
  /** L/min, BTPS. */
  readonly ve?: number;
  /** Milliseconds on the file's clock. */
  readonly time: number;
  /** /min. */
  readonly heartRate?: number;
  /** W. */
  readonly load?: number;
}

export interface ThresholdFinding {
  readonly id: string;
  readonly title: string;
  readonly outcome: 'found' | 'cannot tell';
  /** One or two sentences: what was found and from what, or why it cannot be told. */
  readonly reason: string;
  /** The points of the figure, in the order of time. */
  readonly points: {
    readonly x: Float64Array;
    readonly y: Float64Array;
    readonly label: string;
    readonly xLabel: string;
    readonly yLabel: string;
  };
  /** Time of the first and last point used. */
  readonly range?: Stretch;
  /** One or two lines. */
  readonly lines: readonly DrawnLine[];
  /** √(RSS/(n − parameters)), in the unit of y. */
  readonly residualSd?: number;
  /** x of the threshold, its 95 % interval by the fit; present also when the checks refuse it, for the figure. */
  readonly x?: { readonly at: number; readonly low: number; readonly high: number };
  readonly checks: readonly Check[];
  /** Only when found. */
  readonly at?: ThresholdPoint;
  readonly source: Source;
}

/** What a method is, and the points that it looks at, before anything is found. */
export interface FindingHead {
  readonly id: string;
  readonly title: string;
  readonly source: Source;
  readonly points: ThresholdFinding['points'];
}

/** The points of a figure; empty arrays where the file lacks what it needs. */
export function figurePoints(
  points: GasPoints | undefined,
  x: Float64Array | undefined,
  y: Float64Array | undefined,
  xLabel: string,
  yLabel: string,
): ThresholdFinding['points'] {
  return { x: x ?? new Float64Array(0), y: y ?? new Float64Array(0), label: points?.label ?? '', xLabel, yLabel };
}

/** A method's beginning, and its answer that it cannot tell. */
export function beginFinding(head: FindingHead): {
  readonly base: FindingHead;
  readonly cannot: (reason: string, more?: Partial<ThresholdFinding>) => ThresholdFinding;
} {
  return { base: head, cannot: (reason, more = {}) => ({ ...head, outcome: 'cannot tell', reason, lines: [], checks: [], ...more }) };
}

/** The smoothed values of a test where VO₂ passes a level. */
export function pointAtVo2(series: GasRows, points: GasPoints, vo2: number): ThresholdPoint {
  return momentOf(series, points, passes(points.vo2, vo2), { vo2 });
}

/** The smoothed values where VCO₂ passes a level. */
export function pointAtVco2(series: GasRows, points: GasPoints, vco2: number): ThresholdPoint {
  return momentOf(series, points, passes(points.vco2, vco2), { vco2 });
}

function momentOf(
  series: GasRows,
  points: GasPoints,
  index: number,
  known: { readonly vo2?: number; readonly vco2?: number },
): ThresholdPoint {
  const at = Math.max(0, Math.min(points.length - 1, index));
  const time = points.time[at] ?? 0;
  const row = rowFrom(series, time);
  const { 'heart-rate': heart, load } = series.columns;
  const heartRate = around(heart, row, 7);
  const watts = around(load, row, 0);
  const ve = points.ve[at];
  return {
    vo2: known.vo2 ?? points.vo2[at] ?? 0,
    vco2: known.vco2 ?? points.vco2[at] ?? 0,
    ...(ve === undefined ? {} : { ve }),
    time,
    ...(heartRate === undefined ? {} : { heartRate }),
    ...(watts === undefined ? {} : { load: watts }),
  };
}

/** Mean of a column over so many rows on either side; undefined where all are missing. */
function around(column: GasColumn | undefined, row: number, reach: number): number | undefined {
  if (!column) return undefined;
  let sum = 0;
  let count = 0;
  for (let at = Math.max(0, row - reach); at <= Math.min(column.values.length - 1, row + reach); at += 1) {
    if (column.present[at] !== 1) continue;
    sum += column.values[at] ?? 0;
    count += 1;
  }
  return count === 0 ? undefined : sum / count;
}

/** Smallest and largest of an array that may be long. */
export function extent(values: Float64Array): readonly [number, number] {
  let low = Infinity;
  let high = -Infinity;
  for (const value of values) {
    if (value < low) low = value;
    if (value > high) high = value;
  }
  return [low, high];
}
