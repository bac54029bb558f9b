/**
 * The first threshold from carbon dioxide output on oxygen uptake (V-slope), and the respiratory compensation point from
 * ventilation on carbon dioxide output.
 *
 * Beaver WL, Wasserman K, Whipp BJ. J Appl Physiol 1986;60:2020: two straight lines through VCO₂ (y) on VO₂ (x); they cross
 * at the threshold, VO₂ = (i₂ − i₁)/(s₁ − s₂). The formula was seen; from memory are the details: begin after about the first minute of the
 * ramp, stop at the respiratory compensation point, want a change of slope of at least 0.1 with the lower slope near or below
 * 1 and the upper above 1, and take a rise of at least 15 % in the slope of ventilation for compensation.
 * Ours are the least-squares search for lines that meet (`broken-stick.ts`), the smoothing (`points.ts`), and the checks that
 * make the method say that it cannot tell.
 */
import type { Source } from '../formulas/formula.ts';
import { certaintyOf, fitBrokenStick, type StickFit } from './broken-stick.ts';
import { gasPoints, passes, slicePoints, type GasPoints } from './points.ts';
import type { BreathSeries, GasRows, Stretch } from './series.ts';
import {
  beginFinding,
  extent,
  figurePoints,
  pointAtVco2,
  pointAtVo2,
  type Check,
  type DrawnLine,
  type ThresholdFinding,
} from './threshold-finding.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

export interface ThresholdOptions {
  /** Milliseconds left out at the start of the ramp; default 60 000. */
  readonly leaveOut?: number;
  /** Rows in each centred mean; default 15 breaths. */
  readonly smoothing?: number;
}

const BEAVER: Source = {
  citation: 'Beaver WL, Wasserman K, Whipp BJ. J Appl Physiol 1986;60:2020',
  provenance: 'M',
  note: 'crossing of the two lines as published; the conditions on the slopes and the range are from memory',
};

/** Least change of slope, and how steep the lower line may be: "near or below 1" is read as up to 1.10 [C]. */
const LEAST_CHANGE = 0.1;
const STEEPEST_BELOW = 1.1;
/** Rise of the slope of ventilation that counts as compensation. */
const COMPENSATION_RISE = 1.15;
/** Points that a fit needs: ten breaths a line are too few to see a bend through the noise of breathing [C]. */
const LEAST_BREATHS = 40;
const LEAST_MEANS = 10;
/** Widest 95 % interval that is still an answer, as a share of the highest uptake on either side [C]. */
export const WIDEST = 0.12;

/** Points after the first minute, the whole ramp smoothed first so that the cut leaves no edge. */
export function rampPoints(series: Rows, ramp: Stretch, options: ThresholdOptions = {}): GasPoints | undefined {
  const points = gasPoints(series, ramp, options.smoothing);
  if (!points) return undefined;
  const begins = ramp.from + (options.leaveOut ?? 60_000);
  let from = 0;
  while (from < points.length && (points.time[from] ?? 0) <= begins) from += 1;
  // What comes after the highest uptake is not part of the ramp.
  let top = from;
  for (let at = from; at < points.length; at += 1) if ((points.vo2[at] ?? 0) > (points.vo2[top] ?? 0)) top = at;
  return slicePoints(points, from, top + 1);
}

export const hasEnough = (points: GasPoints): boolean => points.length >= (points.smoothedOver > 1 ? LEAST_BREATHS : LEAST_MEANS);

/** The respiratory compensation point: where ventilation turns steeper on carbon dioxide output. */
export function findCompensation(series: Rows, ramp: Stretch, options: ThresholdOptions = {}): ThresholdFinding {
  const points = rampPoints(series, ramp, options);
  const { base, cannot } = beginFinding({
    id: 've-vco2-break',
    title: 'Respiratory compensation point, VE on VCO₂',
    source: BEAVER,
    points: figurePoints(points, points?.vco2, points?.ve, 'VCO₂ (L/min)', 'VE (L/min)'),
  });
  if (!points || points.ve.length === 0) return cannot('It needs VO₂, VCO₂ and VE; the file lacks one of them.');
  if (!hasEnough(points)) return cannot(tooFew(points));
  const fit = fitBrokenStick(points.vco2, points.ve);
  if (!fit) return cannot('Carbon dioxide output does not rise.');
  const certainty = certaintyOf(fit, points.raw.vco2, points.raw.ve, points.vco2);
  const rise = fit.above.slope / fit.below.slope;
  const checks: Check[] = [
    { says: `two lines fit better than one (p ${pText(certainty.p)})`, met: certainty.p < 0.05 },
    {
      says: `ventilation turns steeper by ${Math.round(100 * (rise - 1))} % (15 % or more is wanted)`,
      met: fit.below.slope > 0 && rise >= COMPENSATION_RISE,
    },
    { says: 'the bend lies inside the range', met: !fit.atEdge },
  ];
  const fitted = {
    lines: linesOf(fit, points.vco2),
    residualSd: residualSd(fit),
    x: { at: fit.at, low: certainty.low, high: certainty.high },
    range: rangeOf(points),
    checks,
  };
  const failed = checks.find((check) => !check.met);
  if (failed) return cannot(`No compensation point is seen: ${negative(failed, checks)}.`, fitted);
  return {
    ...base,
    ...fitted,
    outcome: 'found',
    reason: `VE turns from ${fit.below.slope.toFixed(1)} to ${fit.above.slope.toFixed(1)} L for each L of VCO₂ at VCO₂ ${fit.at.toFixed(2)} L/min; ${points.length} points, ${points.label}.`,
    at: pointAtVco2(series, points, fit.at),
  };
}

/**
 * V-slope by two lines.
 * @param ramp the incremental part on the file's clock: from where the work began to rise to its end.
 * @param compensation as found by `findCompensation`; points above it are left out.
 */
export function findVSlope(
  series: Rows,
  ramp: Stretch,
  options: ThresholdOptions & { readonly compensation?: ThresholdFinding } = {},
): ThresholdFinding {
  const all = rampPoints(series, ramp, options);
  const cut = cutAtCompensation(all, options.compensation ?? findCompensation(series, ramp, options));
  const { points, says: cutSays } = cut;
  const { base, cannot } = beginFinding({
    id: 'v-slope',
    title: 'First threshold, V-slope with two lines',
    source: BEAVER,
    points: figurePoints(points, points?.vo2, points?.vco2, 'VO₂ (L/min)', 'VCO₂ (L/min)'),
  });
  if (!points || !all) return cannot('It needs VO₂ and VCO₂; the file lacks one of them.');
  if (!hasEnough(points)) return cannot(tooFew(points));
  const [low, high] = extent(points.vo2);
  if (high < 1.5 * low)
    return cannot(
      `Oxygen uptake only goes from ${low.toFixed(2)} to ${high.toFixed(2)} L/min in the range: the work hardly rises, so there is no bend to find.`,
    );
  const fit = fitBrokenStick(points.vo2, points.vco2);
  if (!fit) return cannot('Oxygen uptake does not rise.');
  const certainty = certaintyOf(fit, points.raw.vo2, points.raw.vco2, points.vo2);
  const peak = extent(all.vo2)[1];
  const half = Math.max(fit.at - certainty.low, certainty.high - fit.at);
  const change = fit.above.slope - fit.below.slope;
  const checks: Check[] = [
    { says: `two lines fit better than one (p ${pText(certainty.p)})`, met: certainty.p < 0.05 },
    { says: `the slope changes by ${change.toFixed(2)} (0.10 or more is wanted)`, met: change >= LEAST_CHANGE },
    {
      says: `the lower slope is ${fit.below.slope.toFixed(2)} (near or below 1, up to 1.10)`,
      met: fit.below.slope <= STEEPEST_BELOW && fit.below.slope > 0,
    },
    { says: `the upper slope is ${fit.above.slope.toFixed(2)} (above 1 is wanted)`, met: fit.above.slope > 1 },
    { says: 'the bend lies inside the range', met: !fit.atEdge },
    {
      says: `the bend is known to ± ${Math.round((100 * half) / peak)} % of the highest uptake (12 % or less is wanted)`,
      met: half <= WIDEST * peak,
    },
  ];
  const fitted = {
    lines: linesOf(fit, points.vo2),
    residualSd: residualSd(fit),
    x: { at: fit.at, low: certainty.low, high: certainty.high },
    range: rangeOf(points),
    checks,
  };
  const failed = checks.find((check) => !check.met);
  if (failed) return cannot(`It cannot be told: ${negative(failed, checks)}. ${cutSays}`, fitted);
  return {
    ...base,
    ...fitted,
    outcome: 'found',
    reason: `The lines cross at VO₂ ${fit.at.toFixed(2)} L/min, slopes ${fit.below.slope.toFixed(2)} and ${fit.above.slope.toFixed(2)}; ${points.length} points, ${points.label}. ${cutSays}`,
    at: pointAtVo2(series, all, fit.at),
  };
}

/** The points up to the compensation point where one was found, and in words what was left out. */
export function cutAtCompensation(
  all: GasPoints | undefined,
  compensation: ThresholdFinding,
): { readonly points: GasPoints | undefined; readonly says: string } {
  if (!all) return { points: undefined, says: '' };
  const level = compensation.outcome === 'found' ? compensation.at?.vco2 : undefined;
  if (level === undefined) return { points: all, says: 'No compensation point was seen, so all points to the highest uptake were used.' };
  return {
    points: slicePoints(all, 0, Math.max(1, passes(all.vco2, level))),
    says: `Points above the respiratory compensation point (VCO₂ ${level.toFixed(2)} L/min) were left out.`,
  };
}

type Lines = Pick<StickFit, 'at' | 'below' | 'above' | 'residualSumOfSquares' | 'n'>;

/** The two lines of a fit, each drawn over its own part of `x`. */
export function linesOf(fit: Lines, x: Float64Array, form: DrawnLine['form'] = 'straight'): DrawnLine[] {
  const [low, high] = extent(x);
  return [
    { form, ...fit.below, from: low, to: fit.at },
    { form, ...fit.above, from: fit.at, to: high },
  ];
}

/** Four parameters: two slopes, one height, the break. */
export const residualSd = (fit: Lines): number => Math.sqrt(fit.residualSumOfSquares / Math.max(1, fit.n - 4));
export const rangeOf = (points: GasPoints): Stretch => ({ from: points.time[0] ?? 0, to: points.time[points.length - 1] ?? 0 });
export const pText = (p: number): string => (p < 0.001 ? 'below 0.001' : p.toFixed(3));
export const tooFew = (points: GasPoints): string =>
  `Only ${points.length} ${points.smoothedOver > 1 ? 'breaths' : 'rows'} lie between the first minute and the upper end of the range; ${points.smoothedOver > 1 ? LEAST_BREATHS : LEAST_MEANS} are needed.`;

/** Every check that failed, as it says itself. */
export function negative(first: Check, checks: readonly Check[]): string {
  const failed = checks.filter((check) => !check.met);
  return (failed.length === 0 ? [first] : failed)
    .map((check) =>
      check.says
        .replace(/^two lines fit better/, 'two lines do not fit clearly better')
        .replace(/^the bend lies inside/, 'the best bend does not lie inside'),
    )
    .join('; ');
}
