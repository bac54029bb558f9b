/**
 * Two straight lines that meet: least squares over the point of the break. The lines meet by construction, so the break found
 * is the crossing of the two lines (Jones RH, Molitoris BA. Anal Biochem 1984;141:287, from memory: a statistical method for
 * determining the breakpoint of two lines).
 *
 * Points are sorted by x once; running sums of deviations from the means then give the fit for any break at once, so that a
 * scan of some hundred breaks over a file of an hour takes a few milliseconds.
 */
import { intervalFactor } from '../statistics/describe.ts';

export interface StickFit {
  /** x of the break. */
  readonly at: number;
  /** y of the break. */
  readonly height: number;
  readonly below: { readonly slope: number; readonly intercept: number };
  readonly above: { readonly slope: number; readonly intercept: number };
  readonly residualSumOfSquares: number;
  /** Of one straight line through all points; of the fixed slope where the lower line has one. */
  readonly oneLine: { readonly slope: number; readonly intercept: number; readonly residualSumOfSquares: number };
  readonly n: number;
  /** Points at or below the break. */
  readonly pointsBelow: number;
  /** True when the best break is the first or last that was allowed: the data ask for one further out. */
  readonly atEdge: boolean;
  /** Every break that was tried, for the interval. */
  readonly scan: readonly { readonly at: number; readonly residualSumOfSquares: number }[];
}

/** Share of the points that has to lie on either side of the break. */
export const EDGE = 0.12;
const GRID = 160;

/**
 * @param x @param y same length, finite. @param edge share of the points kept on either side.
 * @param fixedSlopeBelow keeps the lower line at this slope (the 45° line of the simplified V-slope).
 * @returns undefined with fewer than 8 points or no spread in x.
 */
export function fitBrokenStick(x: ArrayLike<number>, y: ArrayLike<number>, edge = EDGE, fixedSlopeBelow?: number): StickFit | undefined {
  const sums = sumsOf(x, y);
  if (!sums || sums.n < 8) return undefined;
  const low = sums.x[Math.floor(sums.n * edge)] ?? 0;
  const high = sums.x[Math.ceil(sums.n * (1 - edge)) - 1] ?? 0;
  if (!(high > low)) return undefined;
  const residual = (at: number): number => solve(sums, at, fixedSlopeBelow).rss;

  const scan: { at: number; residualSumOfSquares: number }[] = [];
  let best = 0;
  for (let step = 0; step <= GRID; step += 1) {
    const at = low + ((high - low) * step) / GRID;
    scan.push({ at, residualSumOfSquares: residual(at) });
    if ((scan[step]?.residualSumOfSquares ?? Infinity) < (scan[best]?.residualSumOfSquares ?? Infinity)) best = step;
  }
  const at = narrow(residual, scan[Math.max(0, best - 1)]?.at ?? low, scan[Math.min(GRID, best + 1)]?.at ?? high);
  const fit = solve(sums, at, fixedSlopeBelow);
  const { meanX, meanY } = sums;
  const height = fit.level + meanY;
  const trueAt = at + meanX;
  // With a fixed lower slope, that slope alone is what two lines have to beat.
  const slope = fixedSlopeBelow ?? sums.xy / sums.xx;
  const one = { slope, rss: Math.max(0, sums.yy - 2 * slope * sums.xy + slope ** 2 * sums.xx) };
  return {
    at: trueAt,
    height,
    below: { slope: fit.below, intercept: height - fit.below * trueAt },
    above: { slope: fit.above, intercept: height - fit.above * trueAt },
    residualSumOfSquares: fit.rss,
    oneLine: { slope: one.slope, intercept: meanY - one.slope * meanX, residualSumOfSquares: one.rss },
    n: sums.n,
    pointsBelow: firstAbove(sums.x, at),
    atEdge: best === 0 || best === GRID,
    scan: scan.map((tried) => ({ ...tried, at: tried.at + meanX })),
  };
}

/** The two lines with the break held at `at`: what a student's own choice gives. */
export function fitWithBreakAt(x: ArrayLike<number>, y: ArrayLike<number>, at: number): Omit<StickFit, 'scan' | 'atEdge'> | undefined {
  const sums = sumsOf(x, y);
  if (!sums) return undefined;
  const centred = at - sums.meanX;
  const below = firstAbove(sums.x, centred);
  // A line needs two points on its side.
  if (below < 2 || sums.n - below < 2) return undefined;
  const fit = solve(sums, centred, undefined);
  const height = fit.level + sums.meanY;
  const slope = sums.xy / sums.xx;
  return {
    at,
    height,
    below: { slope: fit.below, intercept: height - fit.below * at },
    above: { slope: fit.above, intercept: height - fit.above * at },
    residualSumOfSquares: fit.rss,
    oneLine: { slope, intercept: sums.meanY - slope * sums.meanX, residualSumOfSquares: Math.max(0, sums.yy - sums.xy ** 2 / sums.xx) },
    n: sums.n,
    pointsBelow: below,
  };
}

/** How sure it is that two lines are better than one, and between which breaks the truth probably lies. */
export interface StickCertainty {
  /** F of two further parameters. */
  readonly f: number;
  /** P of F with 2 and n − 4 degrees of freedom: (1 + 2F/d)^(−d/2), exact for 2 in the numerator. */
  readonly p: number;
  /** Breaks that a test at the 5 % level does not refuse (profile of the residual sum of squares). */
  readonly low: number;
  readonly high: number;
}

/**
 * Judges a fit by the noise of the unsmoothed points.
 *
 * Smoothing leaves the bend where it is and takes the noise out of the residuals, so these are no measure of it. The noise is
 * taken from the single rows, about the fitted lines, and raised where neighbouring rows err together: variance times
 * 1 + 2·Σ w·r over three lags with falling weights (Newey WK, West KD. Econometrica 1987;55:703), never lowered.
 * @param x @param y the rows before smoothing, in the order of time, in step with the points that were fitted as `smoothX`.
 */
export function certaintyOf(fit: StickFit, x: ArrayLike<number>, y: ArrayLike<number>, smoothX: ArrayLike<number>): StickCertainty {
  const freedom = Math.max(1, fit.n - 4);
  const variance = Math.max(noiseVariance(fit, x, y, smoothX, freedom), fit.residualSumOfSquares / freedom, 1e-300);
  const f = (fit.oneLine.residualSumOfSquares - fit.residualSumOfSquares) / 2 / variance;
  // F with 1 and d degrees of freedom is the square of Student's t.
  const limit = fit.residualSumOfSquares + variance * intervalFactor(0.95, freedom) ** 2;
  let low = fit.at;
  let high = fit.at;
  for (const { at, residualSumOfSquares } of fit.scan) {
    if (residualSumOfSquares > limit) continue;
    low = Math.min(low, at);
    high = Math.max(high, at);
  }
  return { f, p: (1 + (2 * Math.max(0, f)) / freedom) ** (-freedom / 2), low, high };
}

function noiseVariance(fit: StickFit, x: ArrayLike<number>, y: ArrayLike<number>, smoothX: ArrayLike<number>, freedom: number): number {
  const n = x.length;
  const residual = new Float64Array(n);
  for (let at = 0; at < n; at += 1) {
    // The side of the bend by the smoothed value: a single breath may stray over it.
    const line = (smoothX[at] ?? 0) <= fit.at ? fit.below : fit.above;
    residual[at] = (y[at] ?? 0) - line.intercept - line.slope * (x[at] ?? 0);
  }
  const covariance = (lag: number): number => {
    let sum = 0;
    for (let at = lag; at < n; at += 1) sum += (residual[at] ?? 0) * (residual[at - lag] ?? 0);
    return sum / freedom;
  };
  const variance = covariance(0);
  const together = [1, 2, 3].reduce((sum, lag) => sum + 2 * (1 - lag / 4) * covariance(lag), 0);
  return Math.max(variance, variance + together);
}

interface Sums {
  readonly n: number;
  readonly meanX: number;
  readonly meanY: number;
  /** Sorted, less the mean. */
  readonly x: Float64Array;
  /** Sums over the points from an index to the end: of x, y, x², xy, each less the means. */
  readonly tailX: Float64Array;
  readonly tailY: Float64Array;
  readonly tailXX: Float64Array;
  readonly tailXY: Float64Array;
  readonly xx: number;
  readonly xy: number;
  readonly yy: number;
}

function sumsOf(x: ArrayLike<number>, y: ArrayLike<number>): Sums | undefined {
  const n = x.length;
  if (n < 4 || y.length !== n) return undefined;
  const order = Array.from({ length: n }, (_, index) => index).sort((a, b) => (x[a] ?? 0) - (x[b] ?? 0));
  let meanX = 0;
  let meanY = 0;
  for (let index = 0; index < n; index += 1) {
    meanX += (x[index] ?? 0) / n;
    meanY += (y[index] ?? 0) / n;
  }
  const sorted = new Float64Array(n);
  const tail = (): Float64Array => new Float64Array(n + 1);
  const tailX = tail();
  const tailY = tail();
  const tailXX = tail();
  const tailXY = tail();
  let yy = 0;
  for (let index = n - 1; index >= 0; index -= 1) {
    const u = (x[order[index] ?? 0] ?? 0) - meanX;
    const v = (y[order[index] ?? 0] ?? 0) - meanY;
    sorted[index] = u;
    tailX[index] = (tailX[index + 1] ?? 0) + u;
    tailY[index] = (tailY[index + 1] ?? 0) + v;
    tailXX[index] = (tailXX[index + 1] ?? 0) + u * u;
    tailXY[index] = (tailXY[index + 1] ?? 0) + u * v;
    yy += v * v;
  }
  const xx = tailXX[0] ?? 0;
  if (!(xx > 0)) return undefined;
  return { n, meanX, meanY, x: sorted, tailX, tailY, tailXX, tailXY, xx, xy: tailXY[0] ?? 0, yy };
}

/** Index of the first point above a value. */
function firstAbove(sorted: Float64Array, value: number): number {
  let low = 0;
  let high = sorted.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if ((sorted[middle] ?? 0) <= value) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** Least squares of y on 1, x − c and (x − c)₊, in deviations; `level` is the height at the break, less the mean of y. */
function solve(
  s: Sums,
  c: number,
  fixedSlope: number | undefined,
): { readonly level: number; readonly below: number; readonly above: number; readonly rss: number } {
  const k = firstAbove(s.x, c);
  const m = s.n - k;
  const hingeSum = (s.tailX[k] ?? 0) - m * c;
  const hingeSquares = (s.tailXX[k] ?? 0) - 2 * c * (s.tailX[k] ?? 0) + m * c * c;
  const hingeY = (s.tailXY[k] ?? 0) - c * (s.tailY[k] ?? 0);
  // Σ(x)(x − c)₊, since the deviations of x sum to nothing.
  const hingeX = (s.tailXX[k] ?? 0) - c * (s.tailX[k] ?? 0);
  // Everything as deviations from the mean, which takes the constant out.
  const hh = hingeSquares - hingeSum ** 2 / s.n;
  let below: number;
  let change: number;
  let rss: number;
  if (fixedSlope === undefined) {
    const determinant = s.xx * hh - hingeX ** 2;
    if (!(determinant > 1e-12 * s.xx * Math.max(hh, 1e-300))) {
      below = s.xy / s.xx;
      change = 0;
    } else {
      below = (s.xy * hh - hingeY * hingeX) / determinant;
      change = (hingeY * s.xx - s.xy * hingeX) / determinant;
    }
    rss = s.yy - below * s.xy - change * hingeY;
  } else {
    below = fixedSlope;
    const restY = hingeY - fixedSlope * hingeX;
    change = hh > 0 ? restY / hh : 0;
    rss = s.yy - 2 * fixedSlope * s.xy + fixedSlope ** 2 * s.xx - change * restY;
  }
  // The mean of the fitted values is the mean of y: level + below·mean(x − c) + change·mean((x − c)₊) = 0.
  const level = below * c - (change * hingeSum) / s.n;
  return { level, below, above: below + change, rss: Math.max(0, rss) };
}

/** The least value of a function between two points, by golden section. */
function narrow(of: (at: number) => number, from: number, to: number): number {
  const share = (Math.sqrt(5) - 1) / 2;
  let a = from;
  let b = to;
  let left = b - share * (b - a);
  let right = a + share * (b - a);
  let leftValue = of(left);
  let rightValue = of(right);
  for (let step = 0; step < 60 && b - a > 1e-12 * Math.max(1, Math.abs(a)); step += 1) {
    if (leftValue <= rightValue) {
      b = right;
      right = left;
      rightValue = leftValue;
      left = b - share * (b - a);
      leftValue = of(left);
    } else {
      a = left;
      left = right;
      leftValue = rightValue;
      right = a + share * (b - a);
      rightValue = of(right);
    }
  }
  return (a + b) / 2;
}
