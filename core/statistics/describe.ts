/**
 * Means, spreads and the Student t that the class comparison stands on. simple-statistics sums with compensation and takes the
 * deviations from the mean (two passes); the t distribution is stdlib's.
 */
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';
import { mean as simpleMean, sampleStandardDeviation } from 'simple-statistics';

export interface Interval {
  readonly low: number;
  readonly high: number;
}

export type StatisticsError = {
  readonly code: 'too-few' | 'not-finite' | 'unequal-lengths' | 'no-spread';
  readonly message: string;
};

export type Outcome<T> = { readonly ok: true; readonly value: T } | { readonly ok: false; readonly error: StatisticsError };

export const failed = (code: StatisticsError['code'], message: string): { readonly ok: false; readonly error: StatisticsError } => ({
  ok: false,
  error: { code, message },
});

/** Undefined when the samples are usable together; otherwise what is wrong. */
export function refuseSamples(samples: readonly (readonly number[])[], least: number): StatisticsError | undefined {
  const [first] = samples;
  if (!first || samples.some((sample) => sample.length !== first.length)) {
    return { code: 'unequal-lengths', message: 'Each value needs its partner: the lists have different lengths.' };
  }
  if (first.length < least) {
    return {
      code: 'too-few',
      message: `At least ${least} ${least === 1 ? 'value is' : 'values are'} needed; there ${first.length === 1 ? 'is' : 'are'} ${first.length}.`,
    };
  }
  if (samples.some((sample) => sample.some((value) => !Number.isFinite(value)))) {
    return { code: 'not-finite', message: 'A value is missing or not a number.' };
  }
  return undefined;
}

/**
 * Quantile of Student's t.
 * @param probability between 0 and 1, both excluded
 * @param degreesOfFreedom above 0
 */
export function studentQuantile(probability: number, degreesOfFreedom: number): number {
  return tQuantile(probability, degreesOfFreedom);
}

/** Two-sided p of a t statistic. */
export function studentTwoSidedP(t: number, degreesOfFreedom: number): number {
  return 2 * tCdf(-Math.abs(t), degreesOfFreedom);
}

/** Half-width factor of a two-sided interval: t(1 − (1 − level)/2). */
export function intervalFactor(level: number, degreesOfFreedom: number): number {
  return studentQuantile(1 - (1 - level) / 2, degreesOfFreedom);
}

export interface Description {
  readonly n: number;
  readonly mean: number;
  /** n − 1 in the denominator; undefined for a single value */
  readonly sd: number | undefined;
  readonly standardError: number | undefined;
  readonly min: number;
  readonly max: number;
}

/** Mean, SD (n − 1), standard error, range. */
export function describe(values: readonly number[]): Outcome<Description> {
  const error = refuseSamples([values], 1);
  if (error) return { ok: false, error };
  const sd = values.length > 1 ? sampleStandardDeviation([...values]) : undefined;
  return {
    ok: true,
    value: {
      n: values.length,
      mean: simpleMean([...values]),
      sd,
      standardError: sd === undefined ? undefined : sd / Math.sqrt(values.length),
      min: Math.min(...values),
      max: Math.max(...values),
    },
  };
}
