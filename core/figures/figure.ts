/**
 * What a figure is: plain data, and a Chart.js configuration made from it. One configuration serves the window and the printed
 * page; the look comes in as an argument. The types here are the part of Chart.js's that is used, so that core needs no library.
 */

export interface Point {
  /** Minutes. */
  readonly x: number;
  readonly y: number;
}

/** Colours and type. The window reads them from its theme; the page uses `printLook`. */
export interface PlotLook {
  readonly ink: string;
  readonly soft: string;
  readonly hairline: string;
  readonly band: string;
  readonly paper: string;
  /** Heart rate. */
  readonly call: string;
  /** Oxygen uptake, pressure. */
  readonly accent: string;
  readonly face: string;
  /** Pixels of the smallest type. */
  readonly size: number;
  /** Axes carry their titles: on paper nobody can ask. */
  readonly titles?: boolean;
  /** Of lines and marks, against those of a screen. */
  readonly weight?: number;
}

/** Black on white: what is told apart by colour on a screen is told apart by mark, line and grey here. */
export const printLook: PlotLook = {
  ink: '#1b2225',
  soft: '#4a5357',
  hairline: '#d9d5cb',
  band: '#f3f1ea',
  paper: '#ffffff',
  call: '#1b2225',
  accent: '#1b2225',
  face: "'Atkinson Hyperlegible Next', 'DejaVu Sans'",
  size: 8,
  titles: true,
  weight: 0.72,
};

export interface FigureScale {
  type: 'linear';
  position?: 'left' | 'right' | 'bottom';
  min: number;
  max: number;
  ticks: {
    stepSize: number;
    color: string;
    font: { family: string; size: number };
    padding: number;
    maxRotation?: number;
    includeBounds?: boolean;
    callback?: (value: number | string) => string;
  };
  grid: { display?: boolean; color?: string; tickLength?: number; lineWidth?: number };
  border: { display?: boolean; color?: string };
  title?: { display: boolean; text: string; color: string; font: { family: string; size: number }; padding?: number };
}

export interface FigureSeries {
  label: string;
  data: { x: number; y: number }[];
  yAxisID: string;
  showLine: boolean;
  borderColor: string;
  backgroundColor: string;
  borderWidth: number;
  borderDash?: number[];
  pointRadius: number;
  pointStyle: 'circle' | 'rect';
  pointBackgroundColor: string;
  pointBorderColor: string;
  pointBorderWidth: number;
  clip: false;
}

/** Annotations are chartjs-plugin-annotation's, as it documents them. */
export type FigureMark = { type: 'box' | 'line' | 'label' } & Record<string, unknown>;

export interface FigureConfig {
  type: 'line';
  data: { datasets: FigureSeries[] };
  options: {
    responsive: boolean;
    maintainAspectRatio: false;
    animation: false;
    events: [];
    layout: { padding: { top: number; right: number; bottom: number; left: number } };
    color: string;
    font: { family: string; size: number };
    plugins: { legend: { display: false }; tooltip: { enabled: false }; annotation: { annotations: Record<string, FigureMark> } };
    scales: Record<string, FigureScale>;
  };
}

export function weightOf(look: PlotLook): number {
  return look.weight ?? 1;
}

export function tickLook(look: PlotLook): { color: string; font: { family: string; size: number }; padding: number } {
  return { color: look.soft, font: { family: look.face, size: look.size }, padding: 6 };
}

export function axisTitle(text: string, look: PlotLook): Pick<FigureScale, 'title'> {
  return look.titles === true ? { title: { display: true, text, color: look.soft, font: { family: look.face, size: look.size }, padding: 4 } } : {};
}

/** What every figure has in common. Chart.js follows its box in a window; on paper the size is given. */
export function frame(look: PlotLook, annotations: Record<string, FigureMark>, scales: Record<string, FigureScale>): FigureConfig['options'] {
  return {
    responsive: look.titles !== true,
    maintainAspectRatio: false,
    animation: false,
    events: [],
    layout: { padding: { top: look.size, right: 0, bottom: 0, left: 0 } },
    color: look.soft,
    font: { family: look.face, size: look.size },
    plugins: { legend: { display: false }, tooltip: { enabled: false }, annotation: { annotations } },
    scales,
  };
}

export function minutesAxis(look: PlotLook, until: number, step: number, title: string): FigureScale {
  return {
    type: 'linear',
    position: 'bottom',
    min: 0,
    max: until,
    ticks: { stepSize: step, maxRotation: 0, includeBounds: false, ...tickLook(look), callback: (value) => (Math.abs(Number(value) / step - Math.round(Number(value) / step)) < 1e-9 ? String(value) : '') },
    grid: { display: false },
    border: { color: look.ink },
    ...axisTitle(title, look),
  };
}

/** Heart rate: filled circles on a line. */
export function circles(label: string, points: readonly Point[], look: PlotLook, axis: string): FigureSeries {
  return {
    label,
    data: points.map(({ x, y }) => ({ x, y })),
    yAxisID: axis,
    showLine: true,
    borderColor: look.call,
    backgroundColor: look.call,
    borderWidth: 2 * weightOf(look),
    pointRadius: 3.5 * weightOf(look),
    pointStyle: 'circle',
    pointBackgroundColor: look.call,
    pointBorderColor: look.call,
    pointBorderWidth: 0,
    clip: false,
  };
}

/** Oxygen uptake and pressure: open squares, without a line unless one is asked for. */
export function squares(label: string, points: readonly Point[], look: PlotLook, axis: string, line = false): FigureSeries {
  return {
    label,
    data: points.map(({ x, y }) => ({ x, y })),
    yAxisID: axis,
    showLine: line,
    borderColor: look.accent,
    backgroundColor: look.paper,
    borderWidth: 1.5 * weightOf(look),
    ...(line && look.titles === true ? { borderDash: [4, 3] } : {}),
    pointRadius: 4.5 * weightOf(look),
    pointStyle: 'rect',
    pointBackgroundColor: look.paper,
    pointBorderColor: look.accent,
    pointBorderWidth: 2 * weightOf(look),
    clip: false,
  };
}
