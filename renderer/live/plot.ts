/**
 * What the two live plots show, as plain data, and the Chart.js configuration that draws it. Pure: the look comes in as an
 * argument, so that the same data can be drawn in either theme.
 */
import type { ChartConfiguration, ChartDataset } from 'chart.js';
import type { AnnotationOptions } from 'chartjs-plugin-annotation';
import { formatClock } from '../../core/clock-text.ts';
import { recoverySeries, restingValue } from '../../core/recovery/tracker.ts';
import { stageResults, type StageResult } from '../../core/results/stages.ts';
import { stageLength } from '../../core/session/schedule.ts';
import type { SessionState } from '../../core/session/state.ts';

export interface Point {
  /** Minutes. */
  readonly x: number;
  readonly y: number;
}
export interface ExercisePlot {
  readonly heartRate: readonly Point[];
  readonly uptake: readonly Point[];
  readonly predicted: readonly { readonly from: number; readonly to: number; readonly y: number }[];
  readonly stages: readonly { readonly from: number; readonly to: number }[];
  /** Where the axis ends: the running stage's end and a half stage more. */
  readonly until: number;
  readonly stageMinutes: number;
}
export interface RecoveryPlot {
  readonly heartRate: readonly Point[];
  readonly systolic: readonly Point[];
  readonly restHeartRate?: number;
  readonly restSystolic?: number;
  readonly until: number;
}
/** Colours and type, read from the theme's tokens. */
export interface PlotLook {
  readonly ink: string;
  readonly soft: string;
  readonly hairline: string;
  readonly band: string;
  readonly paper: string;
  readonly call: string;
  readonly accent: string;
  readonly face: string;
  /** Pixels of the smallest type. */
  readonly size: number;
}

const MINUTE = 60_000;

export function exercisePlot(state: SessionState, results: readonly StageResult[] = stageResults(state)): ExercisePlot {
  const start = state.starts.exercise ?? 0;
  const stageMinutes = stageLength(state.sheet) / MINUTE;
  const slots = [...state.slots.values()];
  const heartRate = slots
    .filter((slot) => slot.slot.phase === 'exercise' && slot.slot.quantity === 'heart-rate' && slot.current?.value !== undefined)
    .map((slot) => ({ x: ((slot.scheduled?.due ?? slot.current?.taken ?? start) - start) / MINUTE, y: slot.current?.value ?? 0 }))
    .sort((a, b) => a.x - b.x);
  const rest = restingValue(state, 'heart-rate');
  const uptake = results.flatMap((result) => (result.vo2 === undefined ? [] : [{ x: ((result.stage.ended ?? result.stage.ends) - start) / MINUTE, y: result.vo2 }]));
  const restUptake = restingValue(state, 'vo2');
  const last = state.stages.at(-1);
  return {
    heartRate: rest === undefined ? heartRate : [{ x: 0, y: rest }, ...heartRate],
    uptake: restUptake === undefined ? uptake : [{ x: 0, y: restUptake }, ...uptake],
    predicted: results.flatMap((result) => (result.predicted?.absolute === undefined ? [] : [{ from: (result.stage.ends - start) / MINUTE - 0.55, to: (result.stage.ends - start) / MINUTE, y: result.predicted.absolute }])),
    stages: state.stages.map((stage) => ({ from: stage.changedAt / MINUTE, to: ((stage.ended ?? stage.ends) - start) / MINUTE })),
    until: Math.max(3 * stageMinutes, last ? (last.ends - start) / MINUTE + stageMinutes / 2 : 0),
    stageMinutes,
  };
}

export function recoveryPlot(state: SessionState, now: number): RecoveryPlot {
  const start = state.starts.recovery ?? now;
  const minutes = (points: readonly { readonly at: number; readonly value: number }[]): Point[] => points.map((point) => ({ x: point.at / MINUTE, y: point.value }));
  const restHeartRate = restingValue(state, 'heart-rate');
  const restSystolic = restingValue(state, 'systolic');
  return {
    heartRate: [...atStop(state), ...minutes(recoverySeries(state, 'heart-rate'))],
    systolic: minutes(recoverySeries(state, 'systolic')),
    ...(restHeartRate === undefined ? {} : { restHeartRate }),
    ...(restSystolic === undefined ? {} : { restSystolic }),
    until: Math.max(6, Math.ceil(((state.starts.closed ?? now) - start) / MINUTE + 1)),
  };
}

/** The pulse that recovery begins from: the last of exercise, where it was taken within a minute of the stop. */
function atStop(state: SessionState): Point[] {
  const stop = state.stop?.taken;
  const last = [...state.slots.values()].filter((slot) => slot.slot.phase === 'exercise' && slot.slot.quantity === 'heart-rate' && slot.current?.value !== undefined).at(-1)?.current;
  return stop === undefined || last?.value === undefined || Math.abs(last.taken - stop) > MINUTE ? [] : [{ x: 0, y: last.value }];
}

/** What a plot says to someone who does not see it. */
export function exerciseInWords(plot: ExercisePlot): string {
  const points = (list: readonly Point[], decimals: number): string => list.map((point) => `${point.y.toFixed(decimals)} at ${formatClock(point.x * MINUTE)}`).join(', ');
  const parts = [plot.heartRate.length > 0 ? `Heart rate: ${points(plot.heartRate, 0)} per minute.` : 'No heart rate yet.'];
  if (plot.uptake.length > 0) parts.push(`Oxygen uptake: ${points(plot.uptake, 2)} litres per minute.`);
  if (plot.predicted.length > 0) parts.push(`Predicted oxygen uptake at the ends of the stages: ${plot.predicted.map((one) => `${one.y.toFixed(2)} at ${formatClock(one.to * MINUTE)}`).join(', ')}.`);
  return parts.join(' ');
}
export function recoveryInWords(plot: RecoveryPlot): string {
  const points = (list: readonly Point[]): string => list.map((point) => `${Math.round(point.y)} at ${formatClock(point.x * MINUTE)}`).join(', ');
  return [
    plot.heartRate.length > 0 ? `Heart rate in recovery: ${points(plot.heartRate)}${plot.restHeartRate === undefined ? '' : `; resting ${Math.round(plot.restHeartRate)}`}.` : 'No heart rate in recovery yet.',
    plot.systolic.length > 0 ? `Systolic pressure: ${points(plot.systolic)}${plot.restSystolic === undefined ? '' : `; resting ${Math.round(plot.restSystolic)}`}.` : 'No pressure in recovery yet.',
  ].join(' ');
}

type LineConfiguration = ChartConfiguration<'line', Point[]>;
const BEATS_STEP = 30;

/** @param now minutes of exercise; a line marks it. Undefined once exercise is over. */
export function exerciseChart(plot: ExercisePlot, look: PlotLook, now: number | undefined): LineConfiguration {
  const beats = plot.heartRate.map((point) => point.y);
  const low = Math.min(60, ...beats.map((beat) => Math.floor(beat / BEATS_STEP) * BEATS_STEP));
  const high = Math.max(210, ...beats.map((beat) => Math.ceil(beat / BEATS_STEP) * BEATS_STEP));
  const steps = (high - low) / BEATS_STEP;
  const litres = niceStep(Math.max(1, ...plot.uptake.map((point) => point.y), ...plot.predicted.map((one) => one.y)) * 1.3, steps);
  const annotations: Record<string, AnnotationOptions> = {};
  for (const [index, stage] of plot.stages.entries()) {
    if (index % 2 === 0) annotations[`stage${index}`] = { type: 'box', xMin: stage.from, xMax: stage.to, backgroundColor: look.band, borderWidth: 0, drawTime: 'beforeDatasetsDraw' };
  }
  for (const [index, one] of plot.predicted.entries()) {
    annotations[`predicted${index}`] = { type: 'line', yScaleID: 'litres', xMin: one.from, xMax: one.to, yMin: one.y, yMax: one.y, borderColor: look.soft, borderWidth: 3, drawTime: 'beforeDatasetsDraw' };
  }
  if (now !== undefined) annotations['now'] = { type: 'line', xMin: now, xMax: now, borderColor: look.call, borderWidth: 1.5, drawTime: 'beforeDatasetsDraw' };
  const label = (point: Point | undefined, text: string, color: string, scale: string, above: boolean): AnnotationOptions | undefined =>
    point && { type: 'label', xValue: point.x, yValue: point.y, yScaleID: scale, content: text, color, font: { family: look.face, size: look.size, weight: 600 }, padding: 0, xAdjust: above ? -look.size : look.size * 0.9, yAdjust: above ? -look.size : look.size * 1.25 };
  const beat = label(plot.heartRate.at(-1), String(plot.heartRate.at(-1)?.y.toFixed(0)), look.call, 'beats', true);
  const uptake = label(plot.uptake.at(-1), String(plot.uptake.at(-1)?.y.toFixed(2)), look.accent, 'litres', false);
  if (beat) annotations['beat'] = beat;
  if (uptake) annotations['uptake'] = uptake;

  return {
    type: 'line',
    data: { datasets: [beatsOf(plot.heartRate, look, 'beats'), squaresOf(plot.uptake, look, 'litres')] },
    options: {
      ...shared(look),
      plugins: { legend: { display: false }, tooltip: { enabled: false }, annotation: { annotations } },
      scales: {
        x: { ...minutesAxis(look, plot.until, plot.stageMinutes) },
        beats: { type: 'linear', position: 'left', min: low, max: high, ticks: { stepSize: BEATS_STEP, ...tickLook(look) }, grid: { color: look.hairline, tickLength: 0 }, border: { display: false } },
        litres: { type: 'linear', position: 'right', min: 0, max: litres * steps, ticks: { stepSize: litres, ...tickLook(look), callback: (value) => (Number(value) === 0 ? '0' : Number(value).toFixed(1)) }, grid: { display: false }, border: { display: false } },
      },
    },
  };
}

export function recoveryChart(plot: RecoveryPlot, look: PlotLook): LineConfiguration {
  const values = [...plot.heartRate, ...plot.systolic].map((point) => point.y);
  const rests = [plot.restHeartRate, plot.restSystolic].filter((value) => value !== undefined);
  const annotations: Record<string, AnnotationOptions> = {};
  const restLine = (value: number | undefined, color: string): AnnotationOptions | undefined => (value === undefined ? undefined : { type: 'line', yMin: value, yMax: value, borderColor: color, borderWidth: 1, borderDash: [4, 3], drawTime: 'beforeDatasetsDraw' });
  const [beat, pressure] = [restLine(plot.restHeartRate, look.call), restLine(plot.restSystolic, look.accent)];
  if (beat) annotations['beat'] = beat;
  if (pressure) annotations['pressure'] = pressure;
  return {
    type: 'line',
    data: { datasets: [beatsOf(plot.heartRate, look, 'y'), { ...squaresOf(plot.systolic, look, 'y'), showLine: true, borderWidth: 1.5 }] },
    options: {
      ...shared(look),
      plugins: { legend: { display: false }, tooltip: { enabled: false }, annotation: { annotations } },
      scales: {
        x: minutesAxis(look, plot.until, plot.until > 12 ? 5 : 1),
        y: { type: 'linear', min: Math.min(60, ...[...values, ...rests].map((value) => Math.floor(value / 20) * 20)), max: Math.max(180, ...values.map((value) => Math.ceil(value / 20) * 20)), ticks: { stepSize: 40, ...tickLook(look) }, grid: { color: look.hairline, tickLength: 0 }, border: { display: false } },
      },
    },
  };
}

function beatsOf(points: readonly Point[], look: PlotLook, axis: string): ChartDataset<'line', Point[]> {
  return { data: [...points], yAxisID: axis, borderColor: look.call, backgroundColor: look.call, borderWidth: 2, pointRadius: 3.5, pointStyle: 'circle', clip: false };
}
function squaresOf(points: readonly Point[], look: PlotLook, axis: string): ChartDataset<'line', Point[]> {
  return { data: [...points], yAxisID: axis, showLine: false, borderColor: look.accent, backgroundColor: look.paper, pointBackgroundColor: look.paper, pointBorderColor: look.accent, pointBorderWidth: 2, pointRadius: 4.5, pointStyle: 'rect', clip: false };
}

function shared(look: PlotLook): NonNullable<LineConfiguration['options']> {
  return { responsive: true, maintainAspectRatio: false, animation: false, events: [], layout: { padding: { top: 6, right: 0, bottom: 0, left: 0 } }, color: look.soft, font: { family: look.face, size: look.size } };
}

function tickLook(look: PlotLook): { color: string; font: { family: string; size: number }; padding: number } {
  return { color: look.soft, font: { family: look.face, size: look.size }, padding: 6 };
}

function minutesAxis(look: PlotLook, until: number, step: number): NonNullable<NonNullable<LineConfiguration['options']>['scales']>['x'] & object {
  return { type: 'linear', min: 0, max: until, ticks: { stepSize: step, maxRotation: 0, includeBounds: false, ...tickLook(look), callback: (value: number | string) => (Number(value) % step === 0 ? `${value}` : '') }, grid: { display: false }, border: { color: look.ink } };
}

/** A step of the litres axis so that `steps` of them hold `top`, read easily and lie on the lines of the beats axis. */
function niceStep(top: number, steps: number): number {
  return [0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.2, 1.5, 2].find((step) => step * steps >= top) ?? Math.ceil(top / steps);
}
