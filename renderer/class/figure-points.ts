/** The points of a figure as a person reaches them. */
import type { Chart } from 'chart.js';
import type { Agreement, Pair } from '../../core/class/agreement.ts';
import { signed } from '../../core/class/figures.ts';
import type { ClassEntry } from '../../core/class/gather.ts';

export interface FigurePoint {
  readonly session: string;
  readonly x: number;
  readonly y: number;
  /** "R-07, measured 37.6, predicted 41.4, difference +3.8 mL/kg/min". */
  readonly says: string;
}

/** A click belongs to a point that is no further than this, in pixels. */
const REACH = 14;

export function nearestPoint(points: readonly FigurePoint[], chart: Chart, x: number, y: number): FigurePoint | undefined {
  const { x: across, y: up } = chart.scales;
  if (!across || !up) return undefined;
  let best: FigurePoint | undefined;
  let least = REACH ** 2;
  for (const point of points) {
    const far = (across.getPixelForValue(point.x) - x) ** 2 + (up.getPixelForValue(point.y) - y) ** 2;
    if (far < least) [best, least] = [point, far];
  }
  return best;
}

export function codeOf(test: ClassEntry | undefined): string {
  return test === undefined || test.participant === '' ? 'without a code' : test.participant;
}

/** The pairs as points, from left to right. */
export function pairPoints(agreement: Agreement, tests: ReadonlyMap<string, ClassEntry>, place: (pair: Pair) => { readonly x: number; readonly y: number }): readonly FigurePoint[] {
  return agreement.pairs
    .map((pair) => ({ session: pair.session, ...place(pair), says: `${codeOf(tests.get(pair.session))}, measured ${pair.measured.toFixed(1)}, predicted ${pair.predicted.toFixed(1)}, difference ${signed(pair.predicted - pair.measured, 1)} mL/kg/min` }))
    .toSorted((a, b) => a.x - b.x || a.y - b.y);
}
