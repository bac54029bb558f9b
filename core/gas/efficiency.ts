/** Slopes of ventilation: VE on VCO₂ below the respiratory compensation point and over the whole test, its lowest value, and OUES. */
import type { Source } from '../formulas/formula.ts';
import { fitLine } from '../statistics/regression.ts';
import { average, averagingLabel, type Averaging } from './averaging.ts';
import { rowAfter, valueAt, type BreathSeries, type GasRows, type Stretch } from './series.ts';
import type { DrawnLine, ThresholdFinding } from './threshold-finding.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

export interface SlopeFinding {
  readonly id: string;
  readonly title: string;
  readonly outcome: 'found' | 'cannot tell';
  readonly reason: string;
  readonly slope?: number;
  readonly intercept?: number;
  /** Standard error of the slope, SEE (in the unit of y) and r². */
  readonly slopeSd?: number;
  readonly residualSd?: number;
  readonly rSquared?: number;
  readonly rows: number;
  readonly range: Stretch;
  readonly points: { readonly x: Float64Array; readonly y: Float64Array; readonly xLabel: string; readonly yLabel: string };
  readonly line?: DrawnLine;
  readonly unit: string;
  readonly source: Source;
}

/** Rows that a slope needs. */
const LEAST = 10;

function slopeThrough(
  series: Rows,
  stretch: Stretch,
  what: Pick<SlopeFinding, 'id' | 'title' | 'unit' | 'source'> & {
    readonly xLabel: string;
    readonly yLabel: string;
    readonly says: string;
  },
  point: (row: number) => readonly [number, number] | undefined,
): SlopeFinding {
  const { xLabel, yLabel, says, ...head } = what;
  const x: number[] = [];
  const y: number[] = [];
  const end = rowAfter(series, stretch.to);
  for (let row = rowAfter(series, stretch.from); row < end; row += 1) {
    const pair = point(row);
    if (!pair) continue;
    x.push(pair[0]);
    y.push(pair[1]);
  }
  const base = { ...head, rows: x.length, range: stretch, points: { x: Float64Array.from(x), y: Float64Array.from(y), xLabel, yLabel } };
  if (x.length < LEAST)
    return {
      ...base,
      outcome: 'cannot tell',
      reason: `Only ${x.length} rows of the range have the values that it needs; ${LEAST} are needed.`,
    };
  const fit = fitLine(x, y);
  if (!fit.ok) return { ...base, outcome: 'cannot tell', reason: fit.error.message };
  const { slope, intercept, slopeSd, see, rSquared } = fit.value;
  return {
    ...base,
    outcome: 'found',
    reason: `${says}; ${x.length} rows.`,
    slope,
    intercept,
    ...(slopeSd === undefined ? {} : { slopeSd }),
    ...(see === undefined ? {} : { residualSd: see }),
    ...(rSquared === undefined ? {} : { rSquared }),
    line: { form: 'straight', slope, intercept, from: x.reduce((a, b) => Math.min(a, b)), to: x.reduce((a, b) => Math.max(a, b)) },
  };
}

const VE_VCO2: Source = {
  citation: 'normal below 30 (AHA/EACPR statement 2012), above 34 abnormal (Cleveland Clinic Journal of Medicine, table)',
  provenance: 'M',
  note: '34 was seen in print; 30 is from memory. State the range: over the whole test the slope is higher',
};

/**
 * VE on VCO₂ by a straight line.
 * @param exercise from the start of the work; @param until `compensation`: up to the compensation point where one was found
 *   (the usual form); `end`: the whole test, which gives a higher slope.
 */
export function findVentilatorySlope(
  series: Rows,
  exercise: Stretch,
  compensation: ThresholdFinding,
  until: 'compensation' | 'end' = 'compensation',
): SlopeFinding {
  const at = compensation.outcome === 'found' ? compensation.at?.time : undefined;
  // The moment is that of the first point above, which does not belong below.
  const to = until === 'compensation' && at !== undefined ? at - 1 : exercise.to;
  const says =
    until === 'end'
      ? 'Over the whole test'
      : at === undefined
        ? 'No compensation point was seen, so up to the end of the test'
        : `Up to the respiratory compensation point (VCO₂ ${compensation.at?.vco2?.toFixed(2) ?? '–'} L/min)`;
  return slopeThrough(
    series,
    { from: exercise.from, to },
    {
      id: until === 'end' ? 've-vco2-slope-whole' : 've-vco2-slope',
      title: until === 'end' ? 'VE/VCO₂ slope, whole test' : 'VE/VCO₂ slope',
      unit: '1',
      source: VE_VCO2,
      xLabel: 'VCO₂ (L/min)',
      yLabel: 'VE (L/min)',
      says,
    },
    (row) => {
      const x = valueAt(series, 'vco2', row);
      const y = valueAt(series, 've', row);
      return x === undefined || y === undefined ? undefined : [x, y];
    },
  );
}

/** OUES: VO₂ (mL/min) on the logarithm to base 10 of VE (L/min, BTPS), over all of exercise. */
export function findOues(series: Rows, exercise: Stretch): SlopeFinding {
  return slopeThrough(
    series,
    exercise,
    {
      id: 'oues',
      title: 'Oxygen uptake efficiency slope',
      unit: 'mL/min for each tenfold VE',
      source: {
        citation: 'Baba R et al. J Am Coll Cardiol 1996;28:1567',
        provenance: 'P',
        note: 'VO₂ = a·log₁₀ VE + b; retest coefficient of repeatability 740 mL/min, 20 % (Baba 1999)',
      },
      xLabel: 'log₁₀ VE (L/min)',
      yLabel: 'VO₂ (mL/min)',
      says: 'Over all of exercise',
    },
    (row) => {
      const ve = valueAt(series, 've', row);
      const vo2 = valueAt(series, 'vo2', row);
      return ve === undefined || vo2 === undefined || ve <= 0 ? undefined : [Math.log10(ve), 1000 * vo2];
    },
  );
}

export interface LowestEquivalent {
  readonly outcome: 'found' | 'cannot tell';
  readonly value?: number;
  readonly from?: number;
  readonly to?: number;
  readonly rule: string;
  readonly source: Source;
}

/** The lowest VE/VCO₂: the ratio of the means of VE and VCO₂, lowest of all full means. */
export function findLowestEquivalent(
  series: Rows,
  exercise: Stretch,
  averaging: Averaging = { kind: 'rolling-time', seconds: 30 },
): LowestEquivalent {
  const source: Source = {
    citation: 'Sun XG et al. Am J Respir Crit Care Med 2002;166:1443',
    provenance: 'P',
    note: 'the reference equation was seen; how the lowest value is averaged is this program’s choice',
  };
  const rule = `the lowest of mean VE over mean VCO₂, ${averagingLabel(averaging)}`;
  const means = average(series, averaging, exercise, ['ve', 'vco2']);
  let best = -1;
  let value = Infinity;
  for (let row = 0; row < means.length; row += 1) {
    const ve = valueAt(means, 've', row);
    const vco2 = valueAt(means, 'vco2', row);
    if (means.full[row] !== 1 || ve === undefined || vco2 === undefined || vco2 <= 0 || ve / vco2 >= value) continue;
    value = ve / vco2;
    best = row;
  }
  if (best < 0) return { outcome: 'cannot tell', rule: `${rule}: no mean is filled by rows with VE and VCO₂`, source };
  return { outcome: 'found', value, from: means.from[best] ?? 0, to: means.time[best] ?? 0, rule, source };
}
