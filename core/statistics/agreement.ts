/** Do two methods agree? Bland and Altman's limits, concordance, error of prediction, paired difference. */
import { describe, failed, intervalFactor, refuseSamples, studentTwoSidedP, type Interval, type Outcome } from './describe.ts';
import { fitLine, pearson, type Line } from './regression.ts';

const LEVEL = 0.95;

export interface BlandAltman {
  readonly n: number;
  /** mean of first − second */
  readonly bias: number;
  /** SD of the differences, n − 1 */
  readonly sd: number;
  readonly biasStandardError: number;
  readonly biasInterval: Interval;
  readonly lower: number;
  readonly upper: number;
  /** √(3·s²/n), as in the 1986 paper */
  readonly limitStandardError: number;
  readonly lowerInterval: Interval;
  readonly upperInterval: Interval;
  /** difference on mean: a slope away from zero says that the difference depends on the size */
  readonly differenceOnMean: Line | undefined;
  /** the multiple of the SD that was used, 1.96 unless asked otherwise */
  readonly multiple: number;
}

/**
 * Bland and Altman 1986 (Lancet i:307): bias and 95 % limits of agreement of paired values, with their confidence intervals by
 * Student's t on n − 1 degrees of freedom. The paper's own figures use 2 SD; 1.96 is the default here.
 */
export function blandAltman(first: readonly number[], second: readonly number[], multiple = 1.96): Outcome<BlandAltman> {
  const error = refuseSamples([first, second], 3);
  if (error) return { ok: false, error };
  const differences = first.map((value, i) => value - (second[i] ?? 0));
  const means = first.map((value, i) => (value + (second[i] ?? 0)) / 2);
  const described = describe(differences);
  if (!described.ok) return described;
  const { n, mean: bias, sd = 0 } = described.value;
  const factor = intervalFactor(LEVEL, n - 1);
  const biasStandardError = sd / Math.sqrt(n);
  const limitStandardError = Math.sqrt((3 * sd ** 2) / n);
  const around = (centre: number, error_: number): Interval => ({ low: centre - factor * error_, high: centre + factor * error_ });
  const lower = bias - multiple * sd;
  const upper = bias + multiple * sd;
  const trend = fitLine(means, differences);
  return {
    ok: true,
    value: {
      n,
      bias,
      sd,
      biasStandardError,
      biasInterval: around(bias, biasStandardError),
      lower,
      upper,
      limitStandardError,
      lowerInterval: around(lower, limitStandardError),
      upperInterval: around(upper, limitStandardError),
      differenceOnMean: trend.ok ? trend.value : undefined,
      multiple,
    },
  };
}

export interface PairedDifference {
  readonly n: number;
  readonly meanDifference: number;
  readonly sd: number;
  readonly standardError: number;
  readonly interval: Interval;
  /** undefined when the differences have no spread */
  readonly t: number | undefined;
  readonly p: number | undefined;
}

/** Paired t: mean of first − second with its 95 % interval. */
export function pairedDifference(first: readonly number[], second: readonly number[]): Outcome<PairedDifference> {
  const error = refuseSamples([first, second], 2);
  if (error) return { ok: false, error };
  const described = describe(first.map((value, i) => value - (second[i] ?? 0)));
  if (!described.ok) return described;
  const { n, mean, sd = 0 } = described.value;
  const standardError = sd / Math.sqrt(n);
  const half = intervalFactor(LEVEL, n - 1) * standardError;
  const t = standardError > 0 ? mean / standardError : undefined;
  return {
    ok: true,
    value: {
      n,
      meanDifference: mean,
      sd,
      standardError,
      interval: { low: mean - half, high: mean + half },
      t,
      p: t === undefined ? undefined : studentTwoSidedP(t, n - 1),
    },
  };
}

/**
 * Lin's concordance correlation coefficient. Lin 1989 divides the variances by n; many programs by n − 1, which changes it by
 * little: both can be asked for.
 */
export function concordance(x: readonly number[], y: readonly number[], denominator: 'n' | 'n-1' = 'n'): Outcome<number> {
  const error = refuseSamples([x, y], 2);
  if (error) return { ok: false, error };
  const r = pearson(x, y);
  const dx = describe(x);
  const dy = describe(y);
  if (!r.ok) return r;
  if (!dx.ok) return dx;
  if (!dy.ok) return dy;
  const n = x.length;
  const share = denominator === 'n' ? (n - 1) / n : 1;
  const sx = (dx.value.sd ?? 0) ** 2 * share;
  const sy = (dy.value.sd ?? 0) ** 2 * share;
  const covariance = r.value * Math.sqrt(sx * sy);
  const total = sx + sy + (dx.value.mean - dy.value.mean) ** 2;
  if (!(total > 0)) return failed('no-spread', 'The values have no spread, so there is no concordance.');
  return { ok: true, value: (2 * covariance) / total };
}

export interface PredictionError {
  readonly n: number;
  /** residual SD of the regression of measured on predicted */
  readonly see: number | undefined;
  /** √(Σ(measured − predicted)²/n): the error about the line of identity */
  readonly totalError: number;
  readonly r: number | undefined;
  /** regression of measured on predicted */
  readonly line: Line | undefined;
}

/** How well a prediction did: SEE about its own line and total error about the line of identity. */
export function predictionError(measured: readonly number[], predicted: readonly number[]): Outcome<PredictionError> {
  const error = refuseSamples([measured, predicted], 2);
  if (error) return { ok: false, error };
  const line = fitLine(predicted, measured);
  const r = pearson(measured, predicted);
  const squares = measured.reduce((total, value, i) => total + (value - (predicted[i] ?? 0)) ** 2, 0);
  return {
    ok: true,
    value: {
      n: measured.length,
      see: line.ok ? line.value.see : undefined,
      totalError: Math.sqrt(squares / measured.length),
      r: r.ok ? r.value : undefined,
      line: line.ok ? line.value : undefined,
    },
  };
}

/** Coefficient of repeatability of the 1986 paper: 2·√(mean square of the differences of replicates). */
export function repeatability(first: readonly number[], second: readonly number[]): Outcome<number> {
  const error = refuseSamples([first, second], 1);
  if (error) return { ok: false, error };
  const squares = first.reduce((total, value, i) => total + (value - (second[i] ?? 0)) ** 2, 0);
  return { ok: true, value: 2 * Math.sqrt(squares / first.length) };
}
