/** The parts of Chart.js that the figures need, in a file of its own so that they are fetched when a figure is shown. */
import { Chart, LinearScale, LineController, LineElement, PointElement, type ChartConfiguration } from 'chart.js';
import annotation from 'chartjs-plugin-annotation';
import type { FigureConfig } from '../../core/figures/figure.ts';

Chart.register(LineController, LineElement, PointElement, LinearScale, annotation);

/** Draws into the canvas; an earlier chart of it is changed, not made anew. */
export function draw(chart: Chart | undefined, canvas: HTMLCanvasElement, config: FigureConfig): Chart {
  // Core's type is the part of Chart.js's that figures use.
  const own = config as unknown as ChartConfiguration;
  if (!chart) return new Chart(canvas, own);
  chart.data = own.data;
  if (own.options) chart.options = own.options;
  chart.update('none');
  return chart;
}
