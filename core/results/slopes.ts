/**
 * Straight lines through the finished stages that have a load: ventilation on carbon dioxide output, and oxygen uptake on load.
 * With one mean a stage they lie over the whole of the work, thresholds included, and are said to.
 */
import { fitLine } from '../statistics/regression.ts';
import type { StageResult } from './stages.ts';

export interface StageSlope {
  readonly id: 've-vco2' | 'vo2-load';
  readonly label: string;
  readonly slope: number;
  readonly intercept: number;
  readonly rSquared?: number;
  readonly stages: readonly number[];
  readonly working: string;
}

/** Fewer points do not show a line. Choice of this program. */
export const LEAST_STAGES = 5;

export function stageSlopes(stages: readonly StageResult[]): readonly StageSlope[] {
  const loaded = stages.filter((row) => row.stage.completed && (row.load ?? 0) > 0);
  return [
    ...slope('ve-vco2', 'VE/VCO₂ slope, finished stages with a load', loaded, (row) => row.vco2, (row) => row.ve, 'VE on VCO₂'),
    ...slope('vo2-load', 'Rise of oxygen uptake with the load, finished stages with a load', loaded, (row) => row.load, (row) => row.vo2 && row.vo2 * 1000, 'VO₂ (mL/min) on load (W)'),
  ];
}

function slope(id: StageSlope['id'], label: string, stages: readonly StageResult[], x: (row: StageResult) => number | undefined, y: (row: StageResult) => number | undefined, says: string): StageSlope[] {
  const points = stages.flatMap((row) => {
    const [across, up] = [x(row), y(row)];
    return across === undefined || up === undefined ? [] : [{ stage: row.stage.number, across, up }];
  });
  if (points.length < LEAST_STAGES) return [];
  const fit = fitLine(points.map((point) => point.across), points.map((point) => point.up));
  if (!fit.ok) return [];
  const { slope: rise, intercept, rSquared } = fit.value;
  const numbers = points.map((point) => point.stage);
  return [{ id, label, slope: rise, intercept, ...(rSquared === undefined ? {} : { rSquared }), stages: numbers, working: `least squares, ${says}, ${numbers.length} stages (${numbers[0]} to ${numbers.at(-1)})` }];
}
