/**
 * Simplified V-slope: the last point up to which carbon dioxide output rises no faster than oxygen uptake, that is, where the
 * points leave the 45° line upwards. Sue DY, Wasserman K, Moricca RB, Casaburi R. Chest 1988;94:931, from memory; done there
 * with a set square. Here the set square is the least-squares line of slope 1 that a steeper line meets. Where the lower
 * points really run a little below 45°, this lies a little later than the two free lines do.
 */
import type { Source } from '../formulas/formula.ts';
import { fitLine } from '../statistics/regression.ts';
import { certaintyOf, fitBrokenStick, EDGE } from './broken-stick.ts';
import type { BreathSeries, GasRows, Stretch } from './series.ts';
import { beginFinding, extent, figurePoints, pointAtVo2, type Check, type ThresholdFinding } from './threshold-finding.ts';
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

const SUE: Source = {
  citation: 'Sue DY, Wasserman K, Moricca RB, Casaburi R. Chest 1988;94:931',
  provenance: 'M',
  note: 'the 45° line from memory; that it is placed by least squares is this program’s way',
};

/** How far the points below may run from 45° for the line to mean anything [C]. */
const LOWER: readonly [number, number] = [0.75, 1.1];

export function findSimplifiedVSlope(
  series: Rows,
  ramp: Stretch,
  options: ThresholdOptions & { readonly compensation?: ThresholdFinding } = {},
): ThresholdFinding {
  const all = rampPoints(series, ramp, options);
  const { points, says } = cutAtCompensation(all, options.compensation ?? findCompensation(series, ramp, options));
  const { base, cannot } = beginFinding({
    id: 'v-slope-simplified',
    title: 'First threshold, simplified V-slope (45° line)',
    source: SUE,
    points: figurePoints(points, points?.vo2, points?.vco2, 'VO₂ (L/min)', 'VCO₂ (L/min)'),
  });
  if (!points || !all) return cannot('It needs VO₂ and VCO₂; the file lacks one of them.');
  if (!hasEnough(points)) return cannot(tooFew(points));
  const [low, high] = extent(points.vo2);
  const fit = high < 1.5 * low ? undefined : fitBrokenStick(points.vo2, points.vco2, EDGE, 1);
  if (!fit)
    return cannot(`Oxygen uptake only goes from ${low.toFixed(2)} to ${high.toFixed(2)} L/min in the range: the work hardly rises.`);
  const certainty = certaintyOf(fit, points.raw.vo2, points.raw.vco2, points.vo2);
  const half = Math.max(fit.at - certainty.low, certainty.high - fit.at);
  const peak = extent(all.vo2)[1];
  const lower = slopeBelow(points.vo2, points.vco2, fit.at);
  const checks: Check[] = [
    { says: `two lines fit better than one (p ${pText(certainty.p)})`, met: certainty.p < 0.05 },
    {
      says: `the points below run at a slope of ${lower.toFixed(2)} (0.75 to 1.10 is near enough to 45°)`,
      met: lower >= LOWER[0] && lower <= LOWER[1],
    },
    { says: `above it they rise at ${fit.above.slope.toFixed(2)} (1.10 or more is wanted)`, met: fit.above.slope >= 1.1 },
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
  if (failed) return cannot(`It cannot be told: ${negative(failed, checks)}. ${says}`, fitted);
  return {
    ...base,
    ...fitted,
    outcome: 'found',
    reason: `The points leave the 45° line at VO₂ ${fit.at.toFixed(2)} L/min; ${points.length} points, ${points.label}. ${says}`,
    at: pointAtVo2(series, all, fit.at),
  };
}

function slopeBelow(x: Float64Array, y: Float64Array, at: number): number {
  const below = Array.from(x.keys()).filter((index) => (x[index] ?? 0) <= at);
  const line = fitLine(
    below.map((index) => x[index] ?? 0),
    below.map((index) => y[index] ?? 0),
  );
  return line.ok ? line.value.slope : 0;
}
