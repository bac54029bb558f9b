/** How many tests fall into each category of a table of norms, with the interval of each share. */
import { axisTitle, frame, tickLook, weightOf, type FigureConfig, type FigureMark, type PlotLook } from '../figures/figure.ts';
import type { CategoryBar } from './groups.ts';

/** The bars are boxes on a plain scale, so that the same parts of Chart.js draw them in the window and on paper. */
export function categoriesChart(bars: readonly CategoryBar[], n: number, look: PlotLook): FigureConfig {
  const tallest = Math.max(4, ...bars.map((bar) => (bar.share.interval === undefined ? bar.count : bar.share.interval.high * n)));
  const step = [1, 2, 5, 10, 20, 50, 100, 200, 500, 1000].find((one) => tallest / one <= 6) ?? 2000;
  const marks: Record<string, FigureMark> = {};
  for (const [index, bar] of bars.entries()) {
    const x = index + 1;
    marks[`bar${index}`] = { type: 'box', xMin: x - 0.32, xMax: x + 0.32, yMin: 0, yMax: bar.count, backgroundColor: look.accent, borderWidth: 0, drawTime: 'beforeDatasetsDraw' };
    if (bar.share.interval && bar.count > 0) marks[`ci${index}`] = { type: 'line', xMin: x, xMax: x, yMin: bar.share.interval.low * n, yMax: bar.share.interval.high * n, borderColor: look.call, borderWidth: 3 * weightOf(look), drawTime: 'afterDatasetsDraw' };
    marks[`label${index}`] = { type: 'label', xValue: x + 0.34, yValue: bar.count, content: String(bar.count), position: { x: 'start', y: 'end' }, color: look.ink, font: { family: look.face, size: look.size * 1.25, weight: 700 }, padding: 2 };
  }
  return {
    type: 'line',
    data: { datasets: [] },
    options: frame(look, marks, {
      x: {
        type: 'linear',
        position: 'bottom',
        min: 0.4,
        max: bars.length + 0.6,
        ticks: { stepSize: 1, includeBounds: false, ...tickLook(look), color: look.ink, maxRotation: 0, callback: (value) => bars[Number(value) - 1]?.name ?? '' },
        grid: { display: false },
        border: { color: look.ink },
      },
      y: {
        type: 'linear',
        position: 'left',
        min: 0,
        max: Math.ceil(tallest / step) * step,
        ticks: { stepSize: step, ...tickLook(look) },
        grid: { color: look.hairline, tickLength: 0, lineWidth: weightOf(look) },
        border: { display: false },
        ...axisTitle('Tests', { ...look, titles: true }),
      },
    }),
  };
}
