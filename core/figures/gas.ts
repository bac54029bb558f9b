/** Figures of a gas exchange file: the threshold plots with their fits, and breath means over time. One configuration for screen and paper. */
import type { AveragedRows } from '../gas/averaging.ts';
import { valueAt } from '../gas/series.ts';
import type { DrawnLine, ThresholdFinding } from '../gas/threshold-finding.ts';
import type { JudgedThreshold } from '../gas/thresholds.ts';
import type { PlacedThreshold } from '../session/series.ts';
import { axisTitle, frame, minutesAxis, tickLook, weightOf, type FigureConfig, type FigureMark, type FigureScale, type FigureSeries, type PlotLook, type Point } from './figure.ts';

export interface ThresholdPlot {
  readonly points: readonly Point[];
  readonly fits: readonly { readonly chosen: boolean; readonly points: readonly Point[] }[];
  /** Where the program puts the threshold, with its 95 % interval; absent where it cannot tell. */
  readonly automatic?: { readonly at: number; readonly low: number; readonly high: number };
  readonly chosen?: { readonly at: number; readonly by: string };
  readonly xTitle: string;
  readonly yTitle: string;
  readonly x: Axis;
  readonly y: Axis;
  readonly words: string;
}

export interface Axis {
  readonly min: number;
  readonly max: number;
  readonly step: number;
}

/** A range whose ends are steps that read easily, with about five of them. */
export function axisOver(low: number, high: number): Axis {
  const span = high > low ? high - low : Math.max(1e-6, Math.abs(high), 1);
  const power = 10 ** Math.floor(Math.log10(span / 5));
  const step = [1, 2, 2.5, 5, 10].map((times) => times * power).find((one) => span / one <= 6) ?? 10 * power;
  return { min: Math.floor(low / step + 1e-9) * step, max: Math.ceil(high / step - 1e-9) * step, step };
}

/** A line as drawn: two points where it is straight, a curve where the figure is a ratio. */
function drawn({ form, slope, intercept, from, to }: DrawnLine): readonly Point[] {
  const y = (x: number): number => (form === 'straight' ? slope * x + intercept : slope + intercept / x);
  const parts = form === 'straight' ? 1 : 24;
  return Array.from({ length: parts + 1 }, (_, at) => from + ((to - from) * at) / parts).map((x) => ({ x, y: y(x) }));
}

/** An hour of breaths would be a blot, and a heavy page; this program's own choice. */
const MOST_DOTS = 900;

/** @param placed what a person placed on this finding, where the person did. */
export function thresholdPlot(judged: JudgedThreshold, placed?: Pick<PlacedThreshold, 'author'>): ThresholdPlot | undefined {
  const { automatic, chosen } = judged;
  const { points } = automatic;
  if (points.x.length === 0) return undefined;
  const every = Math.ceil(points.x.length / MOST_DOTS);
  const list = Array.from(points.x, (x, at) => ({ x, y: points.y[at] ?? 0 })).filter((_, at) => at % every === 0);
  const across = list.map((point) => point.x);
  const up = list.map((point) => point.y);
  const extent = (values: readonly number[]): readonly [number, number] => values.reduce(([low, high], value) => [Math.min(low, value), Math.max(high, value)] as const, [Infinity, -Infinity] as const);
  const [left, right] = extent(across);
  const [bottom, top] = extent(up);
  const at = automatic.outcome === 'found' ? automatic.x : undefined;
  const by = placed?.author ?? chosen?.choice.by ?? '';
  return {
    points: list,
    fits: [
      ...automatic.lines.map((line) => ({ chosen: false, points: drawn(line) })),
      ...(chosen?.lines ?? []).map((line) => ({ chosen: true, points: drawn(line) })),
    ],
    ...(at === undefined ? {} : { automatic: at }),
    ...(chosen?.x === undefined ? {} : { chosen: { at: chosen.x.at, by } }),
    xTitle: points.xLabel,
    yTitle: points.yLabel,
    x: axisOver(left, right),
    y: axisOver(bottom, top),
    words: inWords(automatic, chosen, by),
  };
}

function inWords(automatic: ThresholdFinding, chosen: JudgedThreshold['chosen'], by: string): string {
  const { points } = automatic;
  const found = automatic.outcome === 'found' ? `The program finds it at ${automatic.x?.at.toFixed(2)}, 95 % interval ${automatic.x?.low.toFixed(2)} to ${automatic.x?.high.toFixed(2)}.` : 'The program cannot tell.';
  const placed = chosen?.x === undefined ? '' : ` ${by} placed it at ${chosen.x.at.toFixed(2)}.`;
  return `${automatic.title}: ${points.yLabel} over ${points.xLabel}, ${points.x.length} points, ${points.label}. ${found}${placed}`;
}

const scale = (axis: Axis, title: string, look: PlotLook, position: 'bottom' | 'left'): FigureScale => ({
  type: 'linear',
  position,
  min: axis.min,
  max: axis.max,
  ticks: { stepSize: axis.step, maxRotation: 0, ...tickLook(look), callback: (value) => Number(Number(value).toFixed(3)).toString() },
  grid: position === 'left' ? { color: look.hairline, tickLength: 0, lineWidth: weightOf(look) } : { display: false },
  border: position === 'left' ? { display: false } : { color: look.ink },
  ...axisTitle(title, look),
});

function dots(label: string, points: readonly Point[], look: PlotLook, options: { readonly axis?: string; readonly color?: string; readonly style?: 'circle' | 'rect'; readonly radius?: number; readonly line?: boolean } = {}): FigureSeries {
  const { axis = 'y', color = look.soft, style = 'circle', radius = 1.6, line = false } = options;
  return {
    label, data: points.map(({ x, y }) => ({ x, y })), yAxisID: axis, showLine: line, borderColor: color, backgroundColor: color, borderWidth: 1.3 * weightOf(look),
    pointRadius: radius * weightOf(look), pointStyle: style, pointBackgroundColor: color, pointBorderColor: color, pointBorderWidth: 0, clip: false,
  };
}

function fitLine(points: readonly Point[], isChosen: boolean, look: PlotLook): FigureSeries {
  return { ...dots(isChosen ? 'placed' : 'found', points, look, { color: isChosen ? look.call : look.accent, line: true, radius: 0 }), borderWidth: 1.6 * weightOf(look), ...(isChosen ? { borderDash: [5, 4] } : {}) };
}

/** An upright line with a word at its head, on the side that is away from the other line, so that two that are near both read. */
function upright(x: number, text: string, color: string, look: PlotLook, options: { readonly dashed: boolean; readonly side: -1 | 0 | 1 }): FigureMark {
  const { dashed, side } = options;
  return {
    type: 'line', xMin: x, xMax: x, borderColor: color, borderWidth: 1.5 * weightOf(look), drawTime: 'afterDatasetsDraw', ...(dashed ? { borderDash: [5, 4] } : {}),
    label: { display: true, content: text, position: 'end', backgroundColor: look.paper, color, font: { family: look.face, size: look.size, weight: 600 }, padding: 2, xAdjust: side * look.size * (0.3 * text.length + 0.6) },
  };
}

/** @param name of the threshold: VT1 or VT2. */
export function thresholdChart(plot: ThresholdPlot, look: PlotLook, name: string): FigureConfig {
  const marks: Record<string, FigureMark> = {};
  const { automatic, chosen } = plot;
  // A figure over carbon dioxide output says so: the threshold itself is an oxygen uptake.
  const over = plot.xTitle.startsWith('VCO₂') ? 'at VCO₂ ' : '';
  if (automatic) {
    marks['interval'] = { type: 'box', xMin: Math.max(plot.x.min, automatic.low), xMax: Math.min(plot.x.max, automatic.high), backgroundColor: look.band, borderWidth: 0, drawTime: 'beforeDraw' };
    marks['found'] = upright(automatic.at, `${name} ${over}${automatic.at.toFixed(2)}`, look.accent, look, { dashed: false, side: chosen === undefined ? 0 : chosen.at >= automatic.at ? -1 : 1 });
  }
  if (chosen) marks['chosen'] = upright(chosen.at, `${chosen.by} ${over}${chosen.at.toFixed(2)}`, look.call, look, { dashed: true, side: automatic === undefined ? 0 : chosen.at >= automatic.at ? 1 : -1 });
  return {
    type: 'line',
    data: { datasets: [...plot.fits.map((fit) => fitLine(fit.points, fit.chosen, look)), dots('points', plot.points, look)] },
    options: frame(look, marks, { x: scale(plot.x, plot.xTitle, look, 'bottom'), y: scale(plot.y, plot.yTitle, look, 'left') }),
  };
}

export interface UptakePlot {
  readonly vo2: readonly Point[];
  readonly vco2: readonly Point[];
  readonly until: number;
  readonly peak?: { readonly from: number; readonly to: number; readonly value: number };
  readonly y: Axis;
  readonly words: string;
}

/** Means of both gases over the minutes of exercise. @param zero start of exercise on the file's clock, ms. */
export function uptakePlot(rows: AveragedRows, zero: number, end: number, peak?: UptakePlot['peak']): UptakePlot {
  const points = (quantity: 'vo2' | 'vco2'): Point[] =>
    // Means that their rows do not fill, at the edges and over gaps, are left out: they count for no peak either.
    Array.from(rows.time, (time, row) => ({ x: (time - zero) / 60_000, y: rows.full[row] === 1 ? valueAt(rows, quantity, row) : undefined })).filter((point): point is Point => point.y !== undefined && point.x >= 0);
  const vo2 = points('vo2');
  const vco2 = points('vco2');
  const top = [...vo2, ...vco2].reduce((most, point) => Math.max(most, point.y), 0.5);
  return {
    vo2, vco2, until: Math.max(1, (end - zero) / 60_000), y: axisOver(0, top), ...(peak === undefined ? {} : { peak }),
    words: `Oxygen uptake and carbon dioxide output, ${rows.label}, ${vo2.length} points.${peak === undefined ? '' : ` Highest uptake ${peak.value.toFixed(2)} L/min.`}`,
  };
}

/** Oxygen uptake and carbon dioxide output, L/min, over minutes of exercise, the peak’s window shaded. */
export function uptakeChart(plot: UptakePlot, look: PlotLook): FigureConfig {
  const marks: Record<string, FigureMark> = plot.peak === undefined ? {} : { peak: { type: 'box', xMin: plot.peak.from, xMax: plot.peak.to, backgroundColor: look.band, borderWidth: 0, drawTime: 'beforeDraw' } };
  // A few means are to be seen as well as many breaths.
  const size = plot.vo2.length < 100 ? 1.7 : 1;
  const step = [1, 2, 5, 10, 20].find((one) => plot.until / one <= 12) ?? 30;
  return {
    type: 'line',
    data: { datasets: [dots('VO₂', plot.vo2, look, { color: look.accent, style: 'rect', radius: 2 * size }), dots('VCO₂', plot.vco2, look, { color: look.soft, radius: 1.8 * size })] },
    options: frame(look, marks, { x: minutesAxis(look, plot.until, step, 'Exercise time, min'), y: scale(plot.y, 'L/min', look, 'left') }),
  };
}
