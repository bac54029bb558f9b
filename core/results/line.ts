/**
 * Submaximal tests: the line of oxygen uptake on heart rate, extended to the predicted maximal heart rate.
 * Method: NHANES Cardiovascular Fitness Procedures Manual, Appendix G, and the CSEP insert after Golding 1989 [P]: two consecutive
 * steady stages between 110 /min and 85 % of the predicted maximum; the two-stage slope and the graph give the same number.
 */
import { evaluate } from '../formulas/evaluate.ts';
import { formulaById } from '../formulas/registry.ts';
import type { SessionState } from '../session/state.ts';
import type { EquationResult } from './equations.ts';
import type { StageResult } from './stages.ts';

export interface LinePoint {
  readonly stage: number;
  readonly heartRate: number;
  /** mL/kg/min, by the sheet's equation for the real load. */
  readonly uptake: number;
  /** Whether it lies in the sheet's range and was steady; `why` says why not. */
  readonly enters: boolean;
  readonly why?: string;
}

export interface LineResult {
  readonly points: readonly LinePoint[];
  readonly first?: LinePoint;
  readonly second?: LinePoint;
  readonly slope?: number;
  readonly intercept?: number;
  readonly maximalHeartRate?: number;
  readonly vo2max?: number;
  /** How far `vo2max` moves when the maximal heart rate is 10 /min off, as it easily is: ten times the slope, mL/kg/min. */
  readonly perTenBeats?: number;
  readonly working?: string;
  readonly reason?: string;
  readonly source: string;
}

/** The sheet's line, or nothing where the sheet asks for none. The last two consecutive stages that enter make it. */
export function lineOf(state: SessionState, stages: readonly StageResult[], hrMax: EquationResult | undefined): { readonly line?: LineResult } {
  const rule = state.sheet.results.line;
  if (!rule) return {};
  const maximum = hrMax?.known ? hrMax.value : undefined;
  const highest = maximum === undefined ? Infinity : rule['up-to-fraction'] * maximum;
  const points = stages.flatMap((row): LinePoint[] => {
    const heartRate = row.steadyHeartRate ?? row.heartRate;
    const uptake = row.predicted?.relative;
    if (heartRate === undefined || uptake === undefined) return [];
    const why = !row.stage.completed
      ? 'the stage was not finished'
      : row.stage.steady && row.stage.steady.state !== 'steady'
        ? 'the heart rate was not steady'
        : heartRate < rule.from
          ? `below ${rule.from} /min`
          : heartRate > highest
            ? `above ${Math.round(rule['up-to-fraction'] * 100)} % of the predicted maximum`
            : undefined;
    return [{ stage: row.stage.number, heartRate, uptake, enters: why === undefined, ...(why === undefined ? {} : { why }) }];
  });
  const pair = points.flatMap((point, index) => {
    const before = points[index - 1];
    return before?.enters && point.enters && point.stage === before.stage + 1 ? [[before, point] as const] : [];
  }).at(-1);
  const shared = { points, source: rule.source, ...(maximum === undefined ? {} : { maximalHeartRate: maximum }) };
  if (!pair) return { line: { ...shared, reason: 'fewer than two consecutive steady stages lie in the range of the line' } };
  const [first, second] = pair;
  const slope = (second.uptake - first.uptake) / (second.heartRate - first.heartRate);
  const drawn = { ...shared, first, second, slope, intercept: first.uptake - slope * first.heartRate, perTenBeats: 10 * slope };
  if (maximum === undefined) return { line: { ...drawn, reason: hrMax?.known === false ? hrMax.reason : 'no maximal heart rate is predicted' } };
  const formula = formulaById('vo2max-multistage');
  const done = formula && evaluate(formula, { vo2First: { value: first.uptake }, heartRateFirst: { value: first.heartRate }, vo2Second: { value: second.uptake }, heartRateSecond: { value: second.heartRate }, maximalHeartRate: { value: maximum } });
  if (!done?.ok) return { line: { ...drawn, reason: done?.ok === false ? done.error.message : 'the formula is missing' } };
  return { line: { ...drawn, vo2max: done.value, working: done.working } };
}
