/** All threshold methods on one test, side by side, and the student's own choice beside what was found automatically. */
import { fitWithBreakAt } from './broken-stick.ts';
import { findLowestEquivalent, findOues, findVentilatorySlope, type LowestEquivalent, type SlopeFinding } from './efficiency.ts';
import { findFirstByEquivalents, findSecondByEquivalents } from './equivalents.ts';
import { guessTestStretch, passes } from './points.ts';
import type { BreathSeries, GasRows, Stretch } from './series.ts';
import { findSimplifiedVSlope } from './simplified-v-slope.ts';
import { pointAtVco2, pointAtVo2, type ThresholdFinding } from './threshold-finding.ts';
import { findCompensation, findVSlope, linesOf, rampPoints, residualSd, type ThresholdOptions } from './v-slope.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

export interface ThresholdAnalysis {
  /** The incremental part that was used, and where it came from. */
  readonly ramp: Stretch;
  readonly rampBecause: string;
  readonly first: {
    readonly vSlope: ThresholdFinding;
    readonly simplified: ThresholdFinding;
    readonly equivalents: ThresholdFinding;
  };
  readonly second: {
    readonly compensation: ThresholdFinding;
    readonly equivalents: ThresholdFinding;
  };
  readonly slopes: {
    readonly ventilation: SlopeFinding;
    readonly ventilationWhole: SlopeFinding;
    readonly oues: SlopeFinding;
    readonly lowestEquivalent: LowestEquivalent;
  };
}

/**
 * Every method on one test.
 * @param ramp from where the work began to rise to the end of the test, on the file's clock; found from the load or the uptake,
 *   and said so, where it is not given.
 * @returns undefined when no incremental part is given or found.
 */
export function analyseThresholds(series: Rows, ramp?: Stretch, options: ThresholdOptions = {}): ThresholdAnalysis | undefined {
  const guessed = ramp === undefined ? guessTestStretch(series) : undefined;
  const used = ramp ?? guessed?.stretch;
  if (!used) return undefined;
  const compensation = findCompensation(series, used, options);
  const withCompensation = { ...options, compensation };
  return {
    ramp: used,
    rampBecause: guessed?.because ?? 'as given by the session',
    first: {
      vSlope: findVSlope(series, used, withCompensation),
      simplified: findSimplifiedVSlope(series, used, withCompensation),
      equivalents: findFirstByEquivalents(series, used, withCompensation),
    },
    second: { compensation, equivalents: findSecondByEquivalents(series, used, withCompensation) },
    slopes: {
      ventilation: findVentilatorySlope(series, used, compensation),
      ventilationWhole: findVentilatorySlope(series, used, compensation, 'end'),
      oues: findOues(series, used),
      lowestEquivalent: findLowestEquivalent(series, used),
    },
  };
}

/** What a person set by hand: kept as data, beside the automatic finding and never instead of it. */
export interface ThresholdChoice {
  /** Id of the finding that it stands beside. */
  readonly finding: string;
  /** The x of that finding's figure: VO₂ or VCO₂ in L/min. */
  readonly x: number;
  readonly by: string;
  /** Why, in the person's words. */
  readonly reason?: string;
}

export interface JudgedThreshold {
  readonly automatic: ThresholdFinding;
  readonly chosen?: ThresholdFinding & { readonly choice: ThresholdChoice };
}

/**
 * Puts a person's choice beside the automatic finding: the same points, with the two lines that meet at the chosen place.
 * @param ramp as for the automatic finding.
 */
export function withChoice(
  series: Rows,
  ramp: Stretch,
  automatic: ThresholdFinding,
  choice: ThresholdChoice | undefined,
  options: ThresholdOptions = {},
): JudgedThreshold {
  if (!choice || choice.finding !== automatic.id) return { automatic };
  const { points } = automatic;
  const all = rampPoints(series, ramp, options);
  const ratio = automatic.id.startsWith('equivalents');
  // The figure of the equivalents is the line of ventilation divided by x.
  const y = ratio ? points.y.map((value, at) => value * (points.x[at] ?? 0)) : points.y;
  const fit = fitWithBreakAt(points.x, y, choice.x);
  const { at: _, x: __, residualSd: ___, ...rest } = automatic;
  if (!fit || !all) {
    return {
      automatic,
      chosen: {
        ...rest,
        choice,
        outcome: 'cannot tell',
        reason: `${choice.x.toFixed(2)} L/min lies outside the points of the figure, so no lines can be drawn.`,
        lines: [],
        checks: [],
      },
    };
  }
  return {
    automatic,
    chosen: {
      ...rest,
      choice,
      outcome: 'found',
      reason: `Set by ${choice.by} at ${choice.x.toFixed(2)} L/min; slopes ${fit.below.slope.toFixed(2)} below and ${fit.above.slope.toFixed(2)} above${choice.reason === undefined ? '' : `. “${choice.reason}”`}`,
      lines: linesOf(fit, points.x, ratio ? 'ratio' : 'straight'),
      residualSd: residualSd(fit),
      x: { at: choice.x, low: choice.x, high: choice.x },
      checks: [],
      at: byOutput(automatic.id) ? pointAtVco2(series, all, choice.x) : pointAtVo2(series, all, choice.x),
    },
  };
}

/**
 * A choice that was written down as an oxygen uptake, put on the figure of a finding: the figures of the second threshold have
 * carbon dioxide output across.
 */
export function withPlaced(
  series: Rows,
  ramp: Stretch,
  automatic: ThresholdFinding,
  placed: { readonly vo2: number; readonly by: string; readonly reason?: string } | undefined,
  options: ThresholdOptions = {},
): JudgedThreshold {
  const points = placed === undefined ? undefined : rampPoints(series, ramp, options);
  if (!placed || !points) return { automatic };
  const x = byOutput(automatic.id) ? (points.vco2[Math.min(points.length - 1, passes(points.vo2, placed.vo2))] ?? 0) : placed.vo2;
  const judged = withChoice(
    series,
    ramp,
    automatic,
    { finding: automatic.id, x, by: placed.by, ...(placed.reason === undefined ? {} : { reason: placed.reason }) },
    options,
  );
  if (judged.chosen?.at === undefined) return judged;
  // What was written down stands, not what comes back from the other axis.
  return { automatic, chosen: { ...judged.chosen, at: { ...judged.chosen.at, vo2: placed.vo2 } } };
}

/** The oxygen uptake at a place on a finding's figure: what is written down of a choice. */
export function uptakeAt(
  series: Rows,
  ramp: Stretch,
  finding: ThresholdFinding,
  x: number,
  options: ThresholdOptions = {},
): number | undefined {
  if (!byOutput(finding.id)) return x;
  const points = rampPoints(series, ramp, options);
  return points?.vo2[Math.min(points.length - 1, passes(points.vco2, x))];
}

/** The figures of the second threshold stand over carbon dioxide output. */
const byOutput = (finding: string): boolean => finding === 've-vco2-break' || finding === 'equivalents-second';

/** The chosen threshold where there is one, else the automatic one; undefined where neither was found. */
export function standing(judged: JudgedThreshold): ThresholdFinding | undefined {
  const finding = judged.chosen ?? judged.automatic;
  return finding.outcome === 'found' ? finding : undefined;
}

/** A threshold's uptake as a share of the peak, per cent. Usual 45 to 65 % untrained and 65 to 85 % endurance-trained [M]. */
export function percentOfPeak(finding: ThresholdFinding, peakVo2: number): number | undefined {
  return finding.at === undefined || !(peakVo2 > 0) ? undefined : (100 * finding.at.vo2) / peakVo2;
}
