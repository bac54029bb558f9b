/** The parts of Chart.js that the live plots need, in a file of its own so that they are fetched when a plot is shown. */
import { Chart, LinearScale, LineController, LineElement, PointElement, type ChartConfiguration } from 'chart.js';
import annotation from 'chartjs-plugin-annotation';

Chart.register(LineController, LineElement, PointElement, LinearScale, annotation);

type Config = ChartConfiguration<'line', { x: number; y: number }[]>;

/** Draws into the canvas; an earlier chart of it is changed, not made anew. */
export function draw(chart: Chart | undefined, canvas: HTMLCanvasElement, config: ChartConfiguration<'line', { readonly x: number; readonly y: number }[]>): Chart {
  const own = config as Config;
  if (!chart) return new Chart(canvas, own) as unknown as Chart;
  chart.data = own.data as Chart['data'];
  chart.options = own.options as Chart['options'];
  chart.update('none');
  return chart;
}
