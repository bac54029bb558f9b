/** Oxygen uptake after a step in work rate: the fit that a kinetics lab reports. */
import type { Source } from '../formulas/formula.ts';
import { failed, type Outcome } from './describe.ts';
import { fitExponential, type ExponentialFit } from './exponential.ts';

export const onsetKineticsSource: Source = {
  citation: 'Bell C et al. Exp Physiol 2001;86:667',
  provenance: 'P',
  note: 'model and window: the first 20 s (phase I) are left out and 20 s to 3 min are fitted, for moderate work',
};

export interface OnsetPoint {
  /** seconds from the step in work rate; negative before it */
  readonly time: number;
  /** L/min */
  readonly vo2: number;
}

export interface OnsetOptions {
  /** L/min before the step; without it the mean of the points in the last minute before it */
  readonly baseline?: number;
  /** seconds, the first point of the fit */
  readonly from?: number;
  /** seconds, the last point of the fit */
  readonly to?: number;
}

export interface OnsetKinetics {
  readonly fit: ExponentialFit;
  /** L/min */
  readonly baseline: number;
  /** L/min above the baseline */
  readonly amplitude: number;
  /** s */
  readonly tau: number;
  /** s */
  readonly delay: number;
  /** delay + τ, s */
  readonly meanResponseTime: number;
  /** amplitude × mean response time, L */
  readonly oxygenDeficit: number;
  readonly from: number;
  readonly to: number;
  readonly warnings: readonly string[];
}

/**
 * Fits baseline + A·(1 − e^(−(t − TD)/τ)) from 20 s to 3 min after the step, and gives the mean response time TD + τ and the
 * oxygen deficit A·(TD + τ). The baseline has to be known or measured before the step.
 */
export function fitOnset(points: readonly OnsetPoint[], options: OnsetOptions = {}): Outcome<OnsetKinetics> {
  const { from = 20, to = 180 } = options;
  const before = points.filter((point) => point.time >= -60 && point.time < 0);
  if (options.baseline === undefined && before.length === 0) {
    return failed('too-few', 'There is no value before the step; give the baseline.');
  }
  const baseline = options.baseline ?? before.reduce((total, point) => total + point.vo2, 0) / before.length;
  const inside = points.filter((point) => point.time >= from && point.time <= to);
  const fit = fitExponential(
    inside.map((point) => point.time),
    inside.map((point) => point.vo2),
    { offset: baseline },
  );
  if (!fit.ok) return fit;
  const { amplitude, tau, delay } = fit.value;
  const meanResponseTime = delay + tau;
  const warnings: string[] = [];
  if (amplitude <= 0) warnings.push('The uptake falls in this window, so there is no onset to describe.');
  if (tau > to - from) warnings.push('The time constant is longer than the window, so its value is a guess beyond the data.');
  if (delay < 0) warnings.push('The fitted delay is negative; look at the points of the first half minute.');
  return {
    ok: true,
    value: {
      fit: fit.value,
      baseline,
      amplitude,
      tau,
      delay,
      meanResponseTime,
      oxygenDeficit: (amplitude * meanResponseTime) / 60,
      from,
      to,
      warnings,
    },
  };
}
