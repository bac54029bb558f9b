/**
 * Measured against predicted maximal oxygen uptake, by one method: every statistic with its n and its 95 % interval.
 * Differences are predicted − measured, so that a positive bias is a prediction that is too high (common practice).
 */
import { blandAltman, concordance, predictionError, type BlandAltman } from '../statistics/agreement.ts';
import { chiSquaredQuantile } from '../statistics/chi-squared.ts';
import { describe, intervalFactor, type Interval } from '../statistics/describe.ts';
import { pearson, type Line } from '../statistics/regression.ts';
import { personOf, type ClassEntry } from './gather.ts';

/** A value never travels without the number of tests behind it. */
export interface Statistic {
  readonly n: number;
  readonly value: number;
  /** 95 %; absent where the values do not allow one. */
  readonly interval?: Interval;
  /** How the interval was made. */
  readonly by?: string;
}

export interface Pair {
  readonly session: string;
  readonly measured: number;
  readonly predicted: number;
}

export interface PairStatistics {
  readonly n: number;
  /** Mean of predicted − measured. */
  readonly bias: Statistic;
  readonly sd: Statistic;
  readonly lower: Statistic;
  readonly upper: Statistic;
  /** Slope of difference on mean, with the two-sided p for a slope of zero. */
  readonly trend?: Statistic & { readonly intercept: number; readonly p: number | undefined };
  readonly correlation?: Statistic;
  readonly concordance?: Statistic;
  /** Regression of measured on predicted. */
  readonly slope?: Statistic;
  readonly intercept?: Statistic;
  readonly see?: Statistic;
  readonly totalError: Statistic;
  readonly blandAltman: BlandAltman;
}

export interface Agreement {
  readonly method: string;
  readonly title: string;
  readonly pairs: readonly Pair[];
  /** Undefined under three pairs. */
  readonly statistics?: PairStatistics;
  /** Why there are none. */
  readonly reason?: string;
  /** Tests that were looked at and do not enter, by reason. */
  readonly leftOut: readonly { readonly reason: string; readonly n: number }[];
  /** Some people are here with more than one test, so that the intervals are too narrow. */
  readonly repeated: boolean;
}

/** Level of every interval of the class: common practice. */
const LEVEL = 0.95;
/** 97.5th percentile of the normal distribution: a mathematical constant. */
const NORMAL = 1.959963984540054;

/** Pairs of one method and their statistics. A test that was stopped for a symptom has no maximum to compare. */
export function agreementOf(tests: readonly ClassEntry[], method: string, options: { readonly multiple?: number } = {}): Agreement {
  const pairs: (Pair & { readonly person: string })[] = [];
  const out = new Map<string, number>();
  let title = method;
  for (const test of tests) {
    const predicted = test.predicted.find((one) => one.method === method);
    if (predicted) title = predicted.title;
    const why = test.symptomLimited ? 'stopped for a symptom' : test.measured === undefined ? 'no measured uptake' : predicted === undefined ? 'no prediction by this method' : undefined;
    if (why !== undefined) out.set(why, (out.get(why) ?? 0) + 1);
    else if (test.measured !== undefined && predicted) pairs.push({ session: test.session, measured: test.measured, predicted: predicted.value, person: personOf(test) });
  }
  const people = pairs.map((pair) => pair.person).filter((person) => person !== '');
  const worked = pairStatistics(pairs, options.multiple);
  return {
    method,
    title,
    pairs: pairs.map(({ session, measured, predicted }) => ({ session, measured, predicted })),
    ...(worked.ok ? { statistics: worked.value } : { reason: worked.reason }),
    leftOut: [...out].map(([reason, n]) => ({ reason, n })),
    repeated: new Set(people).size < people.length,
  };
}

/** @param multiple of the SD for the limits: 1.96, or the 2 of the 1986 paper (Bland & Altman, Lancet i:307). */
export function pairStatistics(pairs: readonly Pick<Pair, 'measured' | 'predicted'>[], multiple = 1.96): { readonly ok: true; readonly value: PairStatistics } | { readonly ok: false; readonly reason: string } {
  const measured = pairs.map((pair) => pair.measured);
  const predicted = pairs.map((pair) => pair.predicted);
  const limits = blandAltman(predicted, measured, multiple);
  if (!limits.ok) return { ok: false, reason: limits.error.code === 'too-few' ? `Three tests with both values are needed; there ${pairs.length === 1 ? 'is one' : `are ${pairs.length}`}.` : limits.error.message };
  const error = predictionError(measured, predicted);
  if (!error.ok) return { ok: false, reason: error.error.message };
  const { n, bias, sd, biasInterval, lower, upper, lowerInterval, upperInterval, differenceOnMean } = limits.value;
  const r = pearson(measured, predicted);
  const lin = concordance(predicted, measured);
  const line = error.value.line;
  const byT = 'Student’s t';
  const of = (value: number, interval: Interval | undefined, by: string): Statistic => ({ n, value, ...(interval === undefined ? {} : { interval, by }) });
  return {
    ok: true,
    value: {
      n,
      bias: of(bias, biasInterval, byT),
      sd: of(sd, sdInterval(sd, n - 1), 'χ²'),
      lower: of(lower, lowerInterval, `${byT} with √(3·s²/n)`),
      upper: of(upper, upperInterval, `${byT} with √(3·s²/n)`),
      ...(differenceOnMean === undefined ? {} : { trend: { ...of(differenceOnMean.slope, slopeInterval(differenceOnMean), byT), intercept: differenceOnMean.intercept, p: differenceOnMean.slopeP } }),
      ...(r.ok ? { correlation: of(r.value, fisherInterval(r.value, n), 'Fisher’s z') } : {}),
      ...(lin.ok ? { concordance: of(lin.value, r.ok ? linInterval(lin.value, r.value, measured, predicted) : undefined, 'Lin’s z') } : {}),
      ...(line === undefined ? {} : { slope: of(line.slope, slopeInterval(line), byT), intercept: of(line.intercept, around(line.intercept, line.interceptSd, line.degreesOfFreedom), byT) }),
      ...(line?.see === undefined ? {} : { see: of(line.see, sdInterval(line.see, line.degreesOfFreedom), 'χ²') }),
      totalError: of(error.value.totalError, rootMeanSquareInterval(measured.map((value, index) => value - (predicted[index] ?? 0))), 't of the squared differences'),
      blandAltman: limits.value,
    },
  };
}

function around(centre: number, error: number | undefined, degreesOfFreedom: number): Interval | undefined {
  if (error === undefined || degreesOfFreedom < 1) return undefined;
  const half = intervalFactor(LEVEL, degreesOfFreedom) * error;
  return { low: centre - half, high: centre + half };
}

const slopeInterval = (line: Line): Interval | undefined => around(line.slope, line.slopeSd, line.degreesOfFreedom);

/** Exact for normal residuals: df·s²/χ². Used for an SD and for the standard error of estimate. */
function sdInterval(sd: number, degreesOfFreedom: number): Interval | undefined {
  if (degreesOfFreedom < 1) return undefined;
  const edge = (probability: number): number => sd * Math.sqrt(degreesOfFreedom / chiSquaredQuantile(probability, degreesOfFreedom));
  return { low: edge(1 - (1 - LEVEL) / 2), high: edge((1 - LEVEL) / 2) };
}

/** Fisher 1921: atanh r is nearly normal with variance 1/(n − 3). */
export function fisherInterval(r: number, n: number): Interval | undefined {
  if (n < 4 || Math.abs(r) >= 1) return undefined;
  const half = NORMAL / Math.sqrt(n - 3);
  return { low: Math.tanh(Math.atanh(r) - half), high: Math.tanh(Math.atanh(r) + half) };
}

/** Lin 1989 (Biometrics 45:255), with the correction of 2000 (Biometrics 56:324): the asymptotic variance of atanh ρc. [M] */
function linInterval(c: number, r: number, x: readonly number[], y: readonly number[]): Interval | undefined {
  const n = x.length;
  const dx = describe(x);
  const dy = describe(y);
  if (!dx.ok || !dy.ok || n < 4 || Math.abs(r) >= 1 || r === 0 || Math.abs(c) >= 1) return undefined;
  const share = (n - 1) / n;
  const u2 = (dx.value.mean - dy.value.mean) ** 2 / ((dx.value.sd ?? 0) * (dy.value.sd ?? 0) * share);
  const variance = (((1 - r ** 2) * c ** 2) / ((1 - c ** 2) * r ** 2) + (2 * c ** 3 * (1 - c) * u2) / (r * (1 - c ** 2) ** 2) - (c ** 4 * u2 ** 2) / (2 * r ** 2 * (1 - c ** 2) ** 2)) / (n - 2);
  if (!(variance >= 0)) return undefined;
  const half = NORMAL * Math.sqrt(variance);
  return { low: Math.tanh(Math.atanh(c) - half), high: Math.tanh(Math.atanh(c) + half) };
}

/** The mean of the squared differences has an interval by t; its root is the total error's. The lower end cannot be under 0. */
function rootMeanSquareInterval(differences: readonly number[]): Interval | undefined {
  const squares = describe(differences.map((difference) => difference ** 2));
  if (!squares.ok || squares.value.standardError === undefined) return undefined;
  const interval = around(squares.value.mean, squares.value.standardError, squares.value.n - 1);
  return interval && { low: Math.sqrt(Math.max(0, interval.low)), high: Math.sqrt(interval.high) };
}

/** The interval of a proportion after Wilson 1927 (J Am Stat Assoc 22:209): keeps to 0 to 1 and holds for few. */
export function wilsonInterval(count: number, n: number): Interval | undefined {
  if (n < 1) return undefined;
  const p = count / n;
  const z2 = NORMAL ** 2;
  const centre = (p + z2 / (2 * n)) / (1 + z2 / n);
  const half = (NORMAL / (1 + z2 / n)) * Math.sqrt((p * (1 - p)) / n + z2 / (4 * n ** 2));
  return { low: Math.max(0, centre - half), high: Math.min(1, centre + half) };
}

/** The mean with its interval by t. */
export function meanOf(values: readonly number[]): (Statistic & { readonly sd?: number }) | undefined {
  const described = describe(values);
  if (!described.ok) return undefined;
  const { n, mean, sd, standardError } = described.value;
  const interval = around(mean, standardError, n - 1);
  return { n, value: mean, ...(sd === undefined ? {} : { sd }), ...(interval === undefined ? {} : { interval, by: 'Student’s t' }) };
}
