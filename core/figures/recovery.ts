/** Heart rate and systolic pressure in recovery, with their resting values as lines. */
import { formatClock } from '../clock-text.ts';
import { recoverySeries, restingValue } from '../recovery/tracker.ts';
import type { SessionState } from '../session/state.ts';
import { axisTitle, circles, frame, minutesAxis, squares, tickLook, weightOf, type FigureConfig, type FigureMark, type PlotLook, type Point } from './figure.ts';

export interface RecoveryPlot {
  readonly heartRate: readonly Point[];
  readonly systolic: readonly Point[];
  readonly restHeartRate?: number;
  readonly restSystolic?: number;
  readonly until: number;
}

const MINUTE = 60_000;

/** @param now session time; a closed session ends at its closing. */
export function recoveryPlot(state: SessionState, now: number): RecoveryPlot {
  const start = state.starts.recovery ?? now;
  const minutes = (points: readonly { readonly at: number; readonly value: number }[]): Point[] => points.map((point) => ({ x: point.at / MINUTE, y: point.value }));
  const restHeartRate = restingValue(state, 'heart-rate');
  const restSystolic = restingValue(state, 'systolic');
  return {
    heartRate: [...atStop(state), ...minutes(recoverySeries(state, 'heart-rate')).filter((point) => point.x > 0)],
    systolic: minutes(recoverySeries(state, 'systolic')),
    ...(restHeartRate === undefined ? {} : { restHeartRate }),
    ...(restSystolic === undefined ? {} : { restSystolic }),
    until: Math.max(6, Math.ceil(((state.starts.closed ?? now) - start) / MINUTE + 1)),
  };
}

/** The pulse that recovery begins from: the last of exercise, where it was taken within a minute of the stop. */
function atStop(state: SessionState): Point[] {
  const stop = state.stop?.taken;
  const last = [...state.slots.values()].findLast((slot) => slot.slot.phase === 'exercise' && slot.slot.quantity === 'heart-rate' && slot.current?.value !== undefined)?.current;
  const first = recoverySeries(state, 'heart-rate').find((point) => point.at === 0);
  if (first) return [{ x: 0, y: first.value }];
  return stop === undefined || last?.value === undefined || Math.abs(last.taken - stop) > MINUTE ? [] : [{ x: 0, y: last.value }];
}

/** What the figure says to someone who does not see it. */
export function recoveryInWords(plot: RecoveryPlot): string {
  const points = (list: readonly Point[]): string => list.map((point) => `${Math.round(point.y)} at ${formatClock(point.x * MINUTE)}`).join(', ');
  return [
    plot.heartRate.length > 0 ? `Heart rate in recovery: ${points(plot.heartRate)}${plot.restHeartRate === undefined ? '' : `; resting ${Math.round(plot.restHeartRate)}`}.` : 'No heart rate in recovery yet.',
    plot.systolic.length > 0 ? `Systolic pressure: ${points(plot.systolic)}${plot.restSystolic === undefined ? '' : `; resting ${Math.round(plot.restSystolic)}`}.` : 'No pressure in recovery yet.',
  ].join(' ');
}

export function recoveryChart(plot: RecoveryPlot, look: PlotLook): FigureConfig {
  const values = [...plot.heartRate, ...plot.systolic].map((point) => point.y);
  const rests = [plot.restHeartRate, plot.restSystolic].filter((value) => value !== undefined);
  const marks: Record<string, FigureMark> = {};
  const restLine = (value: number | undefined, color: string): FigureMark | undefined =>
    value === undefined ? undefined : { type: 'line', yMin: value, yMax: value, borderColor: color, borderWidth: weightOf(look), borderDash: [4, 3], drawTime: 'beforeDatasetsDraw', ...(look.titles === true ? { label: restLabel(value, look) } : {}) };
  const beat = restLine(plot.restHeartRate, look.call);
  const pressure = restLine(plot.restSystolic, look.accent);
  if (beat) marks['beat'] = beat;
  if (pressure) marks['pressure'] = pressure;
  return {
    type: 'line',
    data: { datasets: [circles('Heart rate', plot.heartRate, look, 'y'), squares('Systolic pressure', plot.systolic, look, 'y', true)] },
    options: frame(look, marks, {
      x: minutesAxis(look, plot.until, plot.until > 12 ? 5 : 1, 'Recovery time, min'),
      y: {
        type: 'linear',
        min: Math.min(40, ...[...values, ...rests].map((value) => Math.floor(value / 40) * 40)),
        max: Math.max(200, ...values.map((value) => Math.ceil(value / 40) * 40)),
        ticks: { stepSize: 40, ...tickLook(look) },
        grid: { color: look.hairline, tickLength: 0, lineWidth: weightOf(look) },
        border: { display: false },
        ...axisTitle('/min, mmHg', look),
      },
    }),
  };
}

function restLabel(value: number, look: PlotLook): Record<string, unknown> {
  return { display: true, content: `rest ${Math.round(value)}`, position: 'end', color: look.soft, backgroundColor: look.paper, font: { family: look.face, size: look.size, weight: 400 }, padding: 1 };
}
