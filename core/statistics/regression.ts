/**
 * The straight line through points. Written here rather than taken from simple-statistics, whose line comes without the
 * standard errors, the SEE and the line through the origin that the class charts and the HR–VO₂ line need. The sums are of
 * deviations from the means, which keeps NIST's Norris data to at least nine digits.
 */
import { failed, refuseSamples, studentTwoSidedP, type Outcome } from './describe.ts';

export interface Line {
  readonly n: number;
  readonly slope: number;
  readonly intercept: number;
  /** undefined with as many parameters as points */
  readonly slopeSd: number | undefined;
  readonly interceptSd: number | undefined;
  /** residual standard deviation, the standard error of estimate */
  readonly see: number | undefined;
  readonly residualSumOfSquares: number;
  readonly rSquared: number | undefined;
  readonly degreesOfFreedom: number;
  /** two-sided, for a slope of zero */
  readonly slopeP: number | undefined;
}

const mean = (values: readonly number[]) => sum(values, (v) => v) / values.length;

/** Compensated (Neumaier) sum. */
function sum<T>(values: readonly T[], of: (value: T, index: number) => number): number {
  let total = 0;
  let lost = 0;
  values.forEach((value, index) => {
    const next = of(value, index);
    const sofar = total + next;
    lost += Math.abs(total) >= Math.abs(next) ? total - sofar + next : next - sofar + total;
    total = sofar;
  });
  return total + lost;
}

/** Least squares of y on x: y = intercept + slope·x. Needs two different x. */
export function fitLine(x: readonly number[], y: readonly number[]): Outcome<Line> {
  const error = refuseSamples([x, y], 2);
  if (error) return { ok: false, error };
  const n = x.length;
  const mx = mean(x);
  const my = mean(y);
  const sxx = sum(x, (v) => (v - mx) ** 2);
  if (!(sxx > 0)) return failed('no-spread', 'All x values are the same, so there is no line.');
  const sxy = sum(x, (v, i) => (v - mx) * ((y[i] ?? 0) - my));
  const syy = sum(y, (v) => (v - my) ** 2);
  const slope = sxy / sxx;
  const intercept = my - slope * mx;
  const rss = sum(x, (v, i) => ((y[i] ?? 0) - my - slope * (v - mx)) ** 2);
  const df = n - 2;
  const see = df > 0 ? Math.sqrt(rss / df) : undefined;
  const slopeSd = see === undefined ? undefined : see / Math.sqrt(sxx);
  return {
    ok: true,
    value: {
      n,
      slope,
      intercept,
      slopeSd,
      interceptSd: see === undefined ? undefined : see * Math.sqrt(1 / n + mx ** 2 / sxx),
      see,
      residualSumOfSquares: rss,
      rSquared: syy > 0 ? 1 - rss / syy : undefined,
      degreesOfFreedom: df,
      slopeP: slopeSd === undefined ? undefined : slopeSd === 0 ? 0 : studentTwoSidedP(slope / slopeSd, df),
    },
  };
}

export interface LineThroughOrigin {
  readonly n: number;
  readonly slope: number;
  readonly slopeSd: number | undefined;
  readonly see: number | undefined;
  readonly degreesOfFreedom: number;
}

/** Least squares of y on x without an intercept: y = slope·x. */
export function fitLineThroughOrigin(x: readonly number[], y: readonly number[]): Outcome<LineThroughOrigin> {
  const error = refuseSamples([x, y], 1);
  if (error) return { ok: false, error };
  const sxx = sum(x, (v) => v * v);
  if (!(sxx > 0)) return failed('no-spread', 'All x values are zero, so there is no line.');
  const slope = sum(x, (v, i) => v * (y[i] ?? 0)) / sxx;
  const df = x.length - 1;
  const rss = sum(x, (v, i) => ((y[i] ?? 0) - slope * v) ** 2);
  const see = df > 0 ? Math.sqrt(rss / df) : undefined;
  return {
    ok: true,
    value: { n: x.length, slope, slopeSd: see === undefined ? undefined : see / Math.sqrt(sxx), see, degreesOfFreedom: df },
  };
}

/** Pearson's r, from deviations. */
export function pearson(x: readonly number[], y: readonly number[]): Outcome<number> {
  const error = refuseSamples([x, y], 2);
  if (error) return { ok: false, error };
  const mx = mean(x);
  const my = mean(y);
  const sxx = sum(x, (v) => (v - mx) ** 2);
  const syy = sum(y, (v) => (v - my) ** 2);
  if (!(sxx > 0 && syy > 0)) return failed('no-spread', 'One of the lists has no spread, so there is no correlation.');
  const r = sum(x, (v, i) => (v - mx) * ((y[i] ?? 0) - my)) / Math.sqrt(sxx * syy);
  return { ok: true, value: Math.max(-1, Math.min(1, r)) };
}
