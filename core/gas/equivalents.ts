/**
 * Thresholds from the ventilatory equivalents: the first where VE/VO₂ starts to rise while VE/VCO₂ is still flat or falling,
 * the second where VE/VCO₂ starts to rise too.
 *
 * Caiozzo VJ et al. J Appl Physiol 1982;53:1184 (VE/VO₂ was the best of four indices); Reinhard U et al. 1979. They are read by
 * eye. Here the turn is found by least squares: where VE is a straight line on VO₂, VE = s·VO₂ + i, the equivalent is
 * VE/VO₂ = s + i/VO₂, a curve that falls while i is positive and rises while it is negative. Two lines that meet (VE on VO₂)
 * are therefore two curves that meet in the figure of the equivalents, and their meeting is the turn. Two straight lines through the
 * equivalents themselves would place it too early, since the fall before it is bent.
 */
import type { Source } from '../formulas/formula.ts';
import { fitLine } from '../statistics/regression.ts';
import { certaintyOf, fitBrokenStick } from './broken-stick.ts';
import type { GasPoints } from './points.ts';
import { rowAfter, valueAt, type BreathSeries, type GasRows, type Stretch } from './series.ts';
import { beginFinding, extent, pointAtVo2, type Check, type ThresholdFinding } from './threshold-finding.ts';
import {
  cutAtCompensation,
  findCompensation,
  hasEnough,
  linesOf,
  negative,
  pText,
  rampPoints,
  rangeOf,
  residualSd,
  tooFew,
  WIDEST,
  type ThresholdOptions,
} from './v-slope.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;
type WithCompensation = ThresholdOptions & { readonly compensation?: ThresholdFinding };

const CAIOZZO: Source = {
  citation: 'Caiozzo VJ et al. J Appl Physiol 1982;53:1184; Reinhard U et al. 1979',
  provenance: 'P',
  note: 'read by eye there; the search for the turn is this program’s',
};

/** Ratio of two arrays, point by point; 0 where the divisor is 0, which a breath never is. */
const ratio = (above: Float64Array, below: Float64Array): Float64Array =>
  above.map((value, at) => ((below[at] ?? 0) > 0 ? value / (below[at] ?? 1) : 0));

/** The first threshold: VE/VO₂ turns upwards below the respiratory compensation point. */
export function findFirstByEquivalents(series: Rows, ramp: Stretch, options: WithCompensation = {}): ThresholdFinding {
  const all = rampPoints(series, ramp, options);
  const compensation = options.compensation ?? findCompensation(series, ramp, options);
  const { points, says } = cutAtCompensation(all, compensation);
  const { base, cannot } = beginFinding({
    id: 'equivalents-first',
    title: 'First threshold, ventilatory equivalents',
    source: CAIOZZO,
    points: figure(points, 'vo2'),
  });
  if (!points || !all || points.ve.length === 0) return cannot('It needs VO₂, VCO₂ and VE; the file lacks one of them.');
  if (!hasEnough(points)) return cannot(tooFew(points));
  const fit = fitBrokenStick(points.vo2, points.ve);
  if (!fit) return cannot('Oxygen uptake does not rise.');
  const certainty = certaintyOf(fit, points.raw.vo2, points.raw.ve, points.vo2);
  const peak = extent(all.vo2)[1];
  const half = Math.max(fit.at - certainty.low, certainty.high - fit.at);
  const other = slopeOfOther(points, fit.at);
  const checks: Check[] = [
    { says: `two lines fit better than one (p ${pText(certainty.p)})`, met: certainty.p < 0.05 },
    {
      says: `VE/VO₂ ${fit.below.intercept >= 0 ? 'falls or is flat' : 'already rises'} before the turn (falling or flat is wanted)`,
      met: fit.below.intercept >= -1,
    },
    {
      says: `VE/VO₂ ${fit.above.intercept < 0 ? 'rises' : 'does not rise'} after it (rising is wanted)`,
      met: fit.above.intercept < 0 && fit.above.slope > fit.below.slope,
    },
    { says: `VE/VCO₂ changes by ${other.toFixed(1)} from the turn to the end of the range (flat or falling is wanted)`, met: other <= 1.5 },
    { says: 'the turn lies inside the range', met: !fit.atEdge },
    {
      says: `the turn is known to ± ${Math.round((100 * half) / peak)} % of the highest uptake (12 % or less is wanted)`,
      met: half <= WIDEST * peak,
    },
  ];
  const fitted = {
    lines: linesOf(fit, points.vo2, 'ratio'),
    residualSd: residualSd(fit),
    x: { at: fit.at, low: certainty.low, high: certainty.high },
    range: rangeOf(points),
    checks,
  };
  const failed = checks.find((check) => !check.met);
  if (failed) return cannot(`It cannot be told: ${negative(failed, checks)}. ${says}`, fitted);
  return {
    ...base,
    ...fitted,
    outcome: 'found',
    reason: `VE/VO₂ turns upwards at VO₂ ${fit.at.toFixed(2)} L/min while VE/VCO₂ does not; ${points.length} points, ${points.label}. ${says}`,
    at: pointAtVo2(series, all, fit.at),
  };
}

/** The second threshold: VE/VCO₂ turns upwards. The same bend as the respiratory compensation point, in the other figure. */
export function findSecondByEquivalents(series: Rows, ramp: Stretch, options: WithCompensation = {}): ThresholdFinding {
  const points = rampPoints(series, ramp, options);
  const compensation = options.compensation ?? findCompensation(series, ramp, options);
  const base = {
    ...compensation,
    id: 'equivalents-second',
    title: 'Second threshold, ventilatory equivalents',
    source: CAIOZZO,
    points: figure(points, 'vco2'),
    lines: compensation.lines.map((line) => ({ ...line, form: 'ratio' as const })),
  };
  const above = compensation.lines[1];
  if (compensation.outcome !== 'found' || !above || !compensation.at) return base;
  const rises: Check = {
    says: `VE/VCO₂ ${above.intercept < 0 ? 'rises' : 'does not rise'} after the turn (rising is wanted)`,
    met: above.intercept < 0,
  };
  const pressure = endTidalAfter(series, compensation.at.time, ramp.to);
  const checks = [...compensation.checks, rises, ...(pressure === undefined ? [] : [pressure])];
  if (!rises.met) {
    const { at: _, ...rest } = base;
    return { ...rest, outcome: 'cannot tell', reason: `It cannot be told: ${negative(rises, checks)}.`, checks };
  }
  return {
    ...base,
    checks,
    reason: `VE/VCO₂ turns upwards at VCO₂ ${compensation.at.vco2?.toFixed(2) ?? '–'} L/min, VO₂ ${compensation.at.vo2.toFixed(2)} L/min${pressure === undefined ? '' : pressure.met ? ', and PETCO₂ falls' : ', although PETCO₂ does not fall'}.`,
  };
}

function figure(points: GasPoints | undefined, by: 'vo2' | 'vco2'): ThresholdFinding['points'] {
  const [xLabel, yLabel] = by === 'vo2' ? ['VO₂ (L/min)', 'VE/VO₂'] : ['VCO₂ (L/min)', 'VE/VCO₂'];
  const x = points?.[by] ?? new Float64Array(0);
  const hasVe = points !== undefined && points.ve.length > 0;
  return {
    x: hasVe ? x : new Float64Array(0),
    y: hasVe ? ratio(points.ve, x) : new Float64Array(0),
    label: points?.label ?? '',
    xLabel,
    yLabel,
  };
}

/** Change of VE/VCO₂ from a VO₂ to the end of the points, by a straight line. */
function slopeOfOther(points: GasPoints, vo2: number): number {
  const x: number[] = [];
  const y: number[] = [];
  const equivalent = ratio(points.ve, points.vco2);
  for (let at = 0; at < points.length; at += 1) {
    if ((points.vo2[at] ?? 0) < vo2) continue;
    x.push(points.vo2[at] ?? 0);
    y.push(equivalent[at] ?? 0);
  }
  const line = fitLine(x, y);
  return line.ok ? line.value.slope * (extent(points.vo2)[1] - vo2) : 0;
}

/** Whether end-tidal carbon dioxide falls from a moment on; undefined where the file has none. It supports, it does not decide. */
function endTidalAfter(series: Rows, from: number, to: number): Check | undefined {
  if (!series.columns.petco2) return undefined;
  const minutes: number[] = [];
  const pressure: number[] = [];
  const end = rowAfter(series, to);
  for (let row = rowAfter(series, from); row < end; row += 1) {
    const value = valueAt(series, 'petco2', row);
    if (value === undefined) continue;
    minutes.push((series.time[row] ?? 0) / 60_000);
    pressure.push(value);
  }
  const line = fitLine(minutes, pressure);
  return line.ok
    ? {
        says: `PETCO₂ changes by ${line.value.slope.toFixed(1)} mmHg a minute after the turn (falling is usual)`,
        met: line.value.slope < 0,
      }
    : undefined;
}
