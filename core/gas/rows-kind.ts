/** Whether the rows of a file are breaths, or means over a fixed time. */
import { timeIn, type TimeForm } from './time-form.ts';
import type { GasTable, Guess } from './read-table.ts';

export type RowsKind =
  | { readonly kind: 'per-breath' }
  | {
      readonly kind: 'averaged';
      /** Time covered by each row, in seconds. */
      readonly seconds: number;
      /** Which end of its time a row's time stands for. */
      readonly stamped: 'start' | 'middle' | 'end';
    };

/**
 * Breaths come unevenly, means evenly: where at least four fifths of the steps between rows, and of the spans of ten rows, are the same, the rows are means
 * over that step. A first row at time 0 can only be stamped with the start of its time.
 */
export function guessRows(table: GasTable, column: number | undefined, form: TimeForm): { readonly rows: RowsKind; readonly guess: Guess } {
  const answer = (
    rows: RowsKind,
    understood: string,
    reason: string,
    confidence: Guess['confidence'],
  ): { rows: RowsKind; guess: Guess } => ({ rows, guess: { about: 'rows', understood, reason, confidence } });
  const times =
    column === undefined
      ? []
      : table.rows
          .slice(0, 1000)
          .map((row) => timeIn(row[column] ?? '', form, table.style))
          .filter((time) => time !== undefined);
  const steps = times
    .slice(1)
    .map((time, index) => time - (times[index] ?? 0))
    .filter((step) => step > 0);
  if (steps.length < 2) return answer({ kind: 'per-breath' }, 'one row per breath', 'there are too few times to tell', 'unsure');
  const sorted = Float64Array.from(steps).sort();
  // Times are rounded to their last figure, so even steps differ by up to that much.
  const tolerance = Math.max(60, lastFigure(table, column ?? 0, form));
  const stretch = Math.min(10, times.length - 1);
  const spans = times.slice(stretch).map((time, index) => time - (times[index] ?? 0));
  const middleSpan = median(spans);
  const middle = middleSpan / stretch;
  const same = Math.min(shareWithin(steps, middle, tolerance), shareWithin(spans, middleSpan, tolerance));
  if (same < 0.8) {
    const seconds = (share: number): string => ((sorted[Math.floor(share * sorted.length)] ?? 0) / 1000).toFixed(1);
    return answer(
      { kind: 'per-breath' },
      'one row per breath',
      `the steps between rows differ (${seconds(0.1)} to ${seconds(0.9)} s)`,
      'likely',
    );
  }
  const half = Math.round(middle / 500) * 500;
  const seconds = half > 0 && Math.abs(half - middle) <= 5 + tolerance / stretch ? half / 1000 : Number((middle / 1000).toPrecision(3));
  const fromZero = form !== 'time-of-day' && Math.abs(times[0] ?? 1) < 1;
  const stamped = fromZero ? 'start' : 'end';
  return answer(
    { kind: 'averaged', seconds, stamped },
    `means over ${seconds} s, each with the time at which it ${stamped === 'end' ? 'ends' : 'begins'}`,
    `${Math.round(100 * same)} % of the steps between rows are ${seconds} s${fromZero ? ', and the first row is at 0' : '; that a time stands for the end is the common way'}`,
    seconds >= 5 ? 'likely' : 'unsure',
  );
}

function median(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.floor(sorted.length / 2)] ?? 0;
}

function shareWithin(values: readonly number[], centre: number, tolerance: number): number {
  return values.filter((value) => Math.abs(value - centre) <= tolerance * 1.001).length / values.length;
}

/** Milliseconds that one step of the last written figure is worth. */
function lastFigure(table: GasTable, column: number, form: TimeForm): number {
  let decimals = 0;
  for (const row of table.rows.slice(0, 200)) {
    const match = /[.,](\d+)\s*(?:[ap]\.?m\.?)?$/i.exec((row[column] ?? '').trim());
    decimals = Math.max(decimals, match?.[1]?.length ?? 0);
  }
  const whole: Readonly<Record<TimeForm, number>> = {
    'm:ss': 1000,
    'h:mm:ss': 1000,
    'time-of-day': 1000,
    'h:mm': 60_000,
    'm:ss:cc': 10,
    // The figures after the mark are whole seconds.
    'm.ss': 1000 * 10 ** decimals,
    s: 1000,
    min: 60_000,
    ms: 1,
    day: 86_400_000,
  };
  return whole[form] / 10 ** decimals;
}
