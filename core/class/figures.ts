/** The class's figures: one Chart.js configuration each, for the window, for a copied image and for a student's feedback page. */
import { axisTitle, frame, tickLook, weightOf, type FigureConfig, type FigureMark, type FigureScale, type FigureSeries, type PlotLook, type Point } from '../figures/figure.ts';
import type { Sex } from '../vocabulary.ts';
import type { Agreement, Pair } from './agreement.ts';
import type { Curves } from './groups.ts';
import { FEWEST_SHOWN } from './groups.ts';

export interface AgreementLook {
  /** Sex by session, where circles and squares shall tell them apart. */
  readonly sexOf?: (session: string) => Sex | undefined;
  /** A student's own test, set apart from the others. */
  readonly own?: string | undefined;
}

/** Measured (up) against predicted (across), with the line of identity and the regression line. */
export function identityChart(agreement: Agreement, look: PlotLook, options: AgreementLook = {}): FigureConfig {
  const values = agreement.pairs.flatMap((pair) => [pair.measured, pair.predicted]);
  const scale = niceScale(values, 5);
  const marks: Record<string, FigureMark> = {
    identity: { type: 'line', xMin: scale.min, xMax: scale.max, yMin: scale.min, yMax: scale.max, borderColor: look.ink, borderWidth: weightOf(look), drawTime: 'beforeDatasetsDraw' },
  };
  const { statistics } = agreement;
  if (statistics?.slope && statistics.intercept && agreement.pairs.length > 2) {
    const across = agreement.pairs.map((pair) => pair.predicted);
    const [from, to] = [lowest(across), highest(across)];
    const at = (x: number): number => (statistics.intercept?.value ?? 0) + (statistics.slope?.value ?? 0) * x;
    marks['line'] = { type: 'line', xMin: from, xMax: to, yMin: at(from), yMax: at(to), borderColor: look.call, borderWidth: 2 * weightOf(look), borderDash: [6, 4], drawTime: 'afterDatasetsDraw' };
  }
  return {
    type: 'line',
    data: { datasets: pointSeries(agreement.pairs, (pair) => ({ x: pair.predicted, y: pair.measured }), look, options) },
    options: frame(look, marks, {
      x: { ...linear(scale, look, 'Predicted, mL/kg/min', 0), position: 'bottom', grid: { display: false }, border: { color: look.ink } },
      y: linear(scale, look, 'Measured, mL/kg/min', 0),
    }),
  };
}

/** Difference (predicted − measured, up) on mean, with bias, limits of agreement, their intervals as bands, and the trend. */
export function blandAltmanChart(agreement: Agreement, look: PlotLook, options: AgreementLook = {}): FigureConfig {
  const place = (pair: Pair): Point => ({ x: (pair.measured + pair.predicted) / 2, y: pair.predicted - pair.measured });
  const points = agreement.pairs.map(place);
  const { statistics } = agreement;
  const across = niceScale(points.map((point) => point.x), 5);
  const edges = statistics ? [statistics.lower.interval?.low ?? statistics.lower.value, statistics.upper.interval?.high ?? statistics.upper.value] : [];
  const up = niceScale([...points.map((point) => point.y), ...edges, 0], 5);
  const marks: Record<string, FigureMark> = {
    zero: { type: 'line', yMin: 0, yMax: 0, borderColor: look.hairline, borderWidth: 2 * weightOf(look), drawTime: 'beforeDatasetsDraw' },
  };
  if (statistics) {
    for (const [name, statistic, words] of [
      ['upper', statistics.upper, 'upper limit'],
      ['bias', statistics.bias, 'bias'],
      ['lower', statistics.lower, 'lower limit'],
    ] as const) {
      if (statistic.interval) marks[`${name}Band`] = { type: 'box', yMin: statistic.interval.low, yMax: statistic.interval.high, backgroundColor: look.band, borderWidth: 0, drawTime: 'beforeDraw' };
      marks[name] = { type: 'line', yMin: statistic.value, yMax: statistic.value, borderColor: look.ink, borderWidth: (name === 'bias' ? 1.75 : 1.25) * weightOf(look), ...(name === 'bias' ? {} : { borderDash: [6, 4] }), drawTime: 'beforeDatasetsDraw' };
      marks[`${name}Label`] = {
        type: 'label', xValue: across.max, yValue: statistic.value, content: `${words} ${signed(statistic.value, 1)}`, position: { x: 'end', y: 'end' }, color: look.ink, backgroundColor: 'transparent',
        font: { family: look.face, size: look.size, weight: 600 }, padding: 3, drawTime: 'afterDatasetsDraw',
      };
    }
    const { trend } = statistics;
    if (trend && points.length > 2) {
      const [from, to] = [lowest(points.map((point) => point.x)), highest(points.map((point) => point.x))];
      marks['trend'] = { type: 'line', xMin: from, xMax: to, yMin: trend.intercept + trend.value * from, yMax: trend.intercept + trend.value * to, borderColor: look.call, borderWidth: 2 * weightOf(look), borderDash: [2, 3], drawTime: 'afterDatasetsDraw' };
    }
  }
  return {
    type: 'line',
    data: { datasets: pointSeries(agreement.pairs, place, look, options) },
    options: frame(look, marks, {
      x: { ...linear(across, look, 'Mean of the two, mL/kg/min', 0), position: 'bottom', grid: { display: false }, border: { color: look.ink } },
      y: linear(up, look, 'Predicted − measured, mL/kg/min', 0),
    }),
  };
}

/** So many single curves are drawn; the mean is of all. More would be one grey surface, and slow; this program's own choice. */
export const MOST_CURVES = 250;

/** Heart rates are read in steps of 20. */
const BEATS = 20;

/** Every test's heart rate as a thin line, and the mean at whole minutes with its interval. */
export function curvesChart(curves: Curves, look: PlotLook, options: { readonly which: 'exercise' | 'recovery'; readonly presentation?: boolean; readonly own?: string | undefined }): FigureConfig {
  const drawn = drawnCurves(curves, options.own);
  const means = curves.means.filter((point) => point.n >= (options.presentation === true ? FEWEST_SHOWN : 2));
  const all = drawn.flatMap((curve) => curve.points);
  const beats = { min: Math.floor(lowest([...all.map((point) => point.y), 60]) / BEATS) * BEATS, max: Math.ceil(highest([...all.map((point) => point.y), 200]) / BEATS) * BEATS, step: BEATS };
  const until = Math.max(options.which === 'exercise' ? 6 : 5, Math.ceil(highest([...all.map((point) => point.x), 0])));
  const marks: Record<string, FigureMark> = {};
  for (const { x, interval } of means) {
    if (interval) marks[`ci${x}`] = { type: 'line', xMin: x, xMax: x, yMin: Math.max(beats.min, interval.low), yMax: Math.min(beats.max, interval.high), borderColor: look.call, borderWidth: 2 * weightOf(look), drawTime: 'afterDatasetsDraw' };
  }
  // One series for all of them, with gaps between: a series for each would cost a class of thousands its quickness.
  const thin: { x: number; y: number }[] = drawn.filter((curve) => curve.session !== options.own).flatMap((curve) => [...curve.points.map(({ x, y }) => ({ x, y })), { x: Number.NaN, y: Number.NaN }]);
  const own = curves.curves.find((curve) => curve.session === options.own);
  const step = until > 16 ? 5 : until > 8 ? 2 : 1;
  return {
    type: 'line',
    data: {
      datasets: [
        series('Mean', means.map(({ x, value }) => ({ x, y: value })), look, { line: look.call, width: 3, radius: 4, fill: look.call }),
        ...(own ? [series('This test', own.points, look, { line: look.ink, width: 2.5, radius: 3, fill: look.paper })] : []),
        series('Tests', thin, look, { line: faded(look.accent, 0.45), width: 1, radius: 0, fill: look.accent }),
      ],
    },
    options: frame(look, marks, {
      x: { ...linear({ min: 0, max: until, step }, look, options.which === 'exercise' ? 'Exercise time, min' : 'Time since the stop, min', 0), position: 'bottom', grid: { display: false }, border: { color: look.ink } },
      y: linear(beats, look, 'Heart rate, /min', 0),
    }),
  };
}

/** Evenly chosen where there are too many; a student's own is always among them. */
export function drawnCurves(curves: Curves, own?: string): Curves['curves'] {
  const every = Math.ceil(curves.curves.length / MOST_CURVES);
  return every <= 1 ? curves.curves : curves.curves.filter((curve, index) => index % every === 0 || curve.session === own);
}

interface Scale {
  readonly min: number;
  readonly max: number;
  readonly step: number;
}

/** A scale of round numbers that holds all values with a little room, in about `parts` steps. */
export function niceScale(values: readonly number[], parts: number): Scale {
  if (values.length === 0) return { min: 0, max: 60, step: 10 };
  const [low, high] = [lowest(values), highest(values)];
  const span = Math.max(high - low, Math.abs(high) * 0.01, 1e-6);
  const rough = span / parts;
  const magnitude = 10 ** Math.floor(Math.log10(rough));
  const step = [1, 2, 5, 10].map((factor) => factor * magnitude).find((candidate) => candidate >= rough) ?? 10 * magnitude;
  const room = span * 0.03;
  return { min: Math.floor((low - room) / step) * step, max: Math.ceil((high + room) / step) * step, step };
}

// Spreading thousands of values over a call's arguments is slow, and fails for very many.
const lowest = (values: readonly number[]): number => values.reduce((least, value) => Math.min(least, value), Infinity);
const highest = (values: readonly number[]): number => values.reduce((most, value) => Math.max(most, value), -Infinity);

function linear(scale: Scale, look: PlotLook, title: string, decimals: number): FigureScale {
  const places = scale.step >= 1 ? decimals : Math.ceil(-Math.log10(scale.step));
  return {
    type: 'linear',
    min: scale.min,
    max: scale.max,
    ticks: { stepSize: scale.step, ...tickLook(look), maxRotation: 0, callback: (value) => Number(value).toFixed(places).replace('-', '−') },
    grid: { color: look.hairline, tickLength: 0, lineWidth: weightOf(look) },
    border: { display: false },
    ...axisTitle(title, { ...look, titles: true }),
  };
}

/** Women as circles, men as squares, unknown as small circles; a student's own as one large filled mark over the rest. */
function pointSeries(pairs: readonly Pair[], place: (pair: Pair) => Point, look: PlotLook, { sexOf, own }: AgreementLook): FigureSeries[] {
  const others = pairs.filter((pair) => pair.session !== own);
  const mine = pairs.filter((pair) => pair.session === own);
  const of = (wanted: (sex: Sex | undefined) => boolean): readonly Point[] => others.filter((pair) => wanted(sexOf?.(pair.session))).map(place);
  const shape = (label: string, points: readonly Point[], pointStyle: 'circle' | 'rect'): FigureSeries => {
    const small = pairs.length > 500;
    return {
      ...series(label, points, look, { line: look.accent, width: 0, radius: (small ? 2.5 : 4) * weightOf(look), fill: faded(look.accent, small ? 0.25 : 0.4) }),
      showLine: false,
      pointStyle,
      pointBorderColor: look.accent,
      pointBorderWidth: (small ? 0.75 : 1.25) * weightOf(look),
    };
  };
  return [
    ...(mine.length > 0 ? [{ ...series('This test', mine.map(place), look, { line: look.call, width: 0, radius: 6.5 * weightOf(look), fill: look.call }), showLine: false, pointBorderColor: look.ink, pointBorderWidth: 1.5 * weightOf(look) }] : []),
    shape(sexOf ? 'Female' : 'Tests', of((sex) => sex !== 'male'), 'circle'),
    ...(sexOf ? [shape('Male', of((sex) => sex === 'male'), 'rect')] : []),
  ];
}

function series(label: string, points: readonly Point[], look: PlotLook, how: { readonly line: string; readonly width: number; readonly radius: number; readonly fill: string }): FigureSeries {
  return {
    label,
    data: points.map(({ x, y }) => ({ x, y })),
    yAxisID: 'y',
    showLine: true,
    borderColor: how.line,
    backgroundColor: how.fill,
    borderWidth: how.width * weightOf(look),
    pointRadius: how.radius,
    pointStyle: 'circle',
    pointBackgroundColor: how.fill,
    pointBorderColor: how.line,
    pointBorderWidth: 0,
    clip: false,
  };
}

/** A colour of the theme (`#rrggbb`) let through. */
function faded(colour: string, share: number): string {
  return /^#[0-9a-f]{6}$/i.test(colour) ? `${colour}${Math.round(share * 255).toString(16).padStart(2, '0')}` : colour;
}

/** A difference with its sign: "+1.2", "−0.3"; what rounds to nothing has none. */
export function signed(value: number, decimals: number): string {
  const text = Math.abs(value).toFixed(decimals);
  return Number(text) === 0 ? text : `${value < 0 ? '−' : '+'}${text}`;
}
