/** Heart rate and oxygen uptake over the stages, with the predicted uptake at the end of each. */
import { formatClock } from '../clock-text.ts';
import { restingValue } from '../recovery/tracker.ts';
import { stageResults, type StageResult } from '../results/stages.ts';
import { stageLength } from '../session/schedule.ts';
import type { SessionState } from '../session/state.ts';
import { axisTitle, circles, frame, minutesAxis, squares, tickLook, weightOf, type FigureConfig, type FigureMark, type PlotLook, type Point } from './figure.ts';

export interface ExercisePlot {
  readonly heartRate: readonly Point[];
  readonly uptake: readonly Point[];
  readonly predicted: readonly { readonly from: number; readonly to: number; readonly y: number }[];
  readonly stages: readonly { readonly from: number; readonly to: number }[];
  /** Where the axis ends: the running stage's end and a half stage more; once stopped, a little after the stop. */
  readonly until: number;
  readonly stageMinutes: number;
}

const MINUTE = 60_000;
/** Heart rates are read in steps of 30: five lines from 60 to 210. */
const BEATS_STEP = 30;
/** Oxygen uptake keeps to the lower part of the figure, so that its squares and the pulse's circles do not lie on each other. */
const HEADROOM = 1.7;

export function exercisePlot(state: SessionState, results: readonly StageResult[] = stageResults(state)): ExercisePlot {
  const start = state.starts.exercise ?? 0;
  const stageMinutes = stageLength(state.sheet) / MINUTE;
  const heartRate = [...state.slots.values()]
    .filter((slot) => slot.slot.phase === 'exercise' && slot.slot.quantity === 'heart-rate' && slot.current?.value !== undefined)
    .map((slot) => ({ x: ((slot.scheduled?.due ?? slot.current?.taken ?? start) - start) / MINUTE, y: slot.current?.value ?? 0 }))
    .sort((a, b) => a.x - b.x);
  const rest = restingValue(state, 'heart-rate');
  const restUptake = restingValue(state, 'vo2');
  const uptake = results.flatMap((result) => (result.vo2 === undefined ? [] : [{ x: ((result.stage.ended ?? result.stage.ends) - start) / MINUTE, y: result.vo2 }]));
  const last = state.stages.at(-1);
  const stopped = state.stop === undefined ? undefined : (state.stop.taken - start) / MINUTE;
  return {
    heartRate: rest === undefined ? heartRate : [{ x: 0, y: rest }, ...heartRate],
    uptake: restUptake === undefined ? uptake : [{ x: 0, y: restUptake }, ...uptake],
    predicted: results.flatMap((result) =>
      // Once stopped, the unfinished stage is not compared.
      result.predicted?.absolute === undefined || (stopped !== undefined && !result.stage.completed) ? [] : [{ from: (result.stage.ends - start) / MINUTE - 0.55, to: (result.stage.ends - start) / MINUTE, y: result.predicted.absolute }],
    ),
    stages: state.stages.map((stage) => ({ from: stage.changedAt / MINUTE, to: ((stage.ended ?? stage.ends) - start) / MINUTE })),
    until: Math.max(3 * stageMinutes, stopped === undefined ? (last === undefined ? 0 : (last.ends - start) / MINUTE + stageMinutes / 2) : stopped + 0.5),
    stageMinutes,
  };
}

/** What the figure says to someone who does not see it. */
export function exerciseInWords(plot: ExercisePlot): string {
  const points = (list: readonly Point[], decimals: number): string => list.map((point) => `${point.y.toFixed(decimals)} at ${formatClock(point.x * MINUTE)}`).join(', ');
  const parts = [plot.heartRate.length > 0 ? `Heart rate: ${points(plot.heartRate, 0)} per minute.` : 'No heart rate yet.'];
  if (plot.uptake.length > 0) parts.push(`Oxygen uptake: ${points(plot.uptake, 2)} litres per minute.`);
  if (plot.predicted.length > 0) parts.push(`Predicted oxygen uptake at the ends of the stages: ${plot.predicted.map((one) => `${one.y.toFixed(2)} at ${formatClock(one.to * MINUTE)}`).join(', ')}.`);
  return parts.join(' ');
}

/** @param now minutes of exercise; a line marks it. Undefined once exercise is over. */
export function exerciseChart(plot: ExercisePlot, look: PlotLook, now: number | undefined): FigureConfig {
  const beats = plot.heartRate.map((point) => point.y);
  const low = Math.min(60, ...beats.map((beat) => Math.floor(beat / BEATS_STEP) * BEATS_STEP));
  const high = Math.max(210, ...beats.map((beat) => Math.ceil(beat / BEATS_STEP) * BEATS_STEP));
  const steps = (high - low) / BEATS_STEP;
  const litres = niceStep(Math.max(1, ...plot.uptake.map((point) => point.y), ...plot.predicted.map((one) => one.y)) * HEADROOM, steps);
  const marks: Record<string, FigureMark> = {};
  for (const [index, stage] of plot.stages.entries()) {
    if (index % 2 === 0) marks[`stage${index}`] = { type: 'box', xMin: stage.from, xMax: stage.to, backgroundColor: look.band, borderWidth: 0, drawTime: 'beforeDraw' };
  }
  for (const [index, one] of plot.predicted.entries()) {
    marks[`predicted${index}`] = { type: 'line', yScaleID: 'litres', xMin: one.from, xMax: one.to, yMin: one.y, yMax: one.y, borderColor: look.soft, borderWidth: 3 * weightOf(look), drawTime: 'beforeDatasetsDraw' };
  }
  if (now !== undefined) marks['now'] = { type: 'line', xMin: now, xMax: now, borderColor: look.call, borderWidth: 1.5, drawTime: 'beforeDatasetsDraw' };
  const label = (point: Point | undefined, decimals: number, color: string, scale: string, above: boolean): FigureMark | undefined =>
    point && {
      type: 'label',
      xValue: point.x,
      yValue: point.y,
      yScaleID: scale,
      content: point.y.toFixed(decimals),
      color,
      font: { family: look.face, size: look.size, weight: 600 },
      padding: 0,
      xAdjust: above ? -look.size : look.size,
      yAdjust: above ? -look.size : look.size * 1.25,
    };
  const beat = label(plot.heartRate.at(-1), 0, look.call, 'beats', true);
  const uptake = label(plot.uptake.at(-1), 2, look.accent, 'litres', false);
  if (beat) marks['beat'] = beat;
  if (uptake) marks['uptake'] = uptake;
  return {
    type: 'line',
    data: { datasets: [circles('Heart rate', plot.heartRate, look, 'beats'), squares('Oxygen uptake', plot.uptake, look, 'litres')] },
    options: frame(look, marks, {
      x: minutesAxis(look, plot.until, plot.stageMinutes, 'Exercise time, min'),
      beats: { type: 'linear', position: 'left', min: low, max: high, ticks: { stepSize: BEATS_STEP, ...tickLook(look) }, grid: { color: look.hairline, tickLength: 0, lineWidth: weightOf(look) }, border: { display: false }, ...axisTitle('Heart rate, /min', look) },
      litres: {
        type: 'linear',
        position: 'right',
        min: 0,
        max: litres * steps,
        ticks: { stepSize: litres, ...tickLook(look), callback: (value) => (Number(value) === 0 ? '0' : Number(value).toFixed(1)) },
        grid: { display: false },
        border: { display: false },
        ...axisTitle('VO₂, L/min', look),
      },
    }),
  };
}

/** A step of the litres axis so that `steps` of them hold `top`, read easily and lie on the lines of the beats axis. */
function niceStep(top: number, steps: number): number {
  return [0.2, 0.3, 0.4, 0.5, 0.6, 0.8, 1, 1.2, 1.5, 2].find((step) => step * steps >= top) ?? Math.ceil(top / steps);
}
