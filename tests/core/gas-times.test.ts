/** Times that look like other times: what the values decide, what stays open and is said, and that a person can change it. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyMapping, guessMapping, readGasTable, type TimeForm } from '../../core/gas/gas.ts';
import { timeIn } from '../../core/gas/time-form.ts';
import { uniform } from '../../core/rehearsal/chance.ts';

const two = (value: number): string => String(Math.floor(value)).padStart(2, '0');
/** Moments in hundredths of a second; whole seconds where a form has no more. */
const writes: Readonly<Record<string, (moment: number) => string>> = {
  'm:ss:cc': (moment) => `${two(moment / 6000)}:${two((moment / 100) % 60)}:${two(moment % 100)}`,
  'h:mm:ss': (moment) => `${Math.floor(moment / 360_000)}:${two((moment / 6000) % 60)}:${two((moment / 100) % 60)}`,
  'm.ss': (moment) => `${Math.floor(moment / 6000)}.${two((moment / 100) % 60)}`,
  min: (moment) => (moment / 6000).toFixed(2),
};
const breaths = (seed: number, length: number): number[] => {
  let now = 0;
  return Array.from({ length }, (_, row) => (now += Math.round(200 + 250 * uniform(seed, 'breath', row))));
};
const evenly = (seconds: number, length: number): number[] => Array.from({ length }, (_, row) => (row + 1) * seconds * 100);

function imported(times: readonly string[], heading = 'Time', form?: TimeForm) {
  const table = readGasTable(`${heading};VO2;VCO2;VE\n${times.map((time, row) => `${time};${900 + ((row * 37) % 211)};800;${30 + (row % 9)}`).join('\n')}\n`);
  if (!table.ok) throw new Error(table.error.message);
  const { mapping, guesses } = guessMapping(table.value);
  const series = applyMapping(table.value, { ...mapping, timeForm: form ?? mapping.timeForm });
  if (!series.ok) throw new Error(series.error.message);
  return { form: mapping.timeForm, guess: guesses.find((guess) => guess.about === 'time'), series: series.value };
}

describe('a form of time is told by its values', () => {
  it.each([
    ['breaths in minutes:seconds:hundredths', breaths(1, 60), 'm:ss:cc', 'Time'],
    ['an hour of them, past the hour', breaths(2, 1400), 'm:ss:cc', 'Time'],
    ['and under a heading that says otherwise', breaths(3, 60), 'm:ss:cc', 'Time (hh:mm:ss)'],
    ['means over 10 s, whose hundredths are all 0', evenly(10, 60), 'm:ss:cc', 'Time'],
    ['a row a minute in hours:minutes:seconds', evenly(60, 20), 'h:mm:ss', 'Time'],
    ['a row every three minutes in hours:minutes:seconds', evenly(180, 7), 'h:mm:ss', 'Time'],
    ['four hours by five minutes in hours:minutes:seconds', evenly(300, 48), 'h:mm:ss', 'Time'],
    ['breaths in hours:minutes:seconds', breaths(4, 300), 'h:mm:ss', 'Time'],
    ['breaths in minutes.seconds', breaths(5, 200), 'm.ss', 'Time'],
    ['breaths in minutes.seconds with a pause of five minutes', breaths(7, 200).map((moment, row) => moment + (row < 80 ? 0 : 30_000)), 'm.ss', 'Time'],
    ['means over 10 s in minutes.seconds', evenly(10, 60), 'm.ss', 'Time'],
    ['means over 30 s in minutes.seconds, under minutes', evenly(30, 30), 'm.ss', 'Time (min)'],
    ['means over 30 s in decimal minutes', evenly(30, 30), 'min', 'Time'],
    ['means over 15 s in decimal minutes', evenly(15, 60), 'min', 'Time'],
    ['breaths in decimal minutes', breaths(6, 200), 'min', 'Time'],
    ['stages of three minutes, read alike either way', evenly(180, 7), 'min', 'Time (min)'],
  ] as const)('%s', (_, moments, form, heading) => {
    const { form: guessed, series, guess } = imported(moments.map((moment) => (writes[form] as (moment: number) => string)(moment)), heading);
    expect(guessed).toBe(form);
    expect(guess?.reason.length).toBeGreaterThan(20);
    expect(series.length).toBe(moments.length);
    // Hundredths are written in one form only; decimal minutes have two decimals, 0.6 s; the others whole seconds.
    const rounding = { 'm:ss:cc': 0.01, min: 301, 'm.ss': 1000, 'h:mm:ss': 1000 }[form];
    const shift = series.rows.kind === 'averaged' && series.rows.stamped === 'start' ? series.rows.seconds * 1000 : 0;
    for (const [row, moment] of moments.entries()) expect(Math.abs((series.time[row] ?? NaN) - shift - moment * 10)).toBeLessThan(rounding);
  });

  it('a last nought that was dropped does not matter', () => {
    const times = evenly(10, 60).map((moment) => String(Number((writes['m.ss'] as (moment: number) => string)(moment))));
    expect(imported(times)).toMatchObject({ form: 'm.ss', series: { length: 60 } });
  });

  it('what the values leave open is said, and can be changed', () => {
    const times = ['0.50', '1.20', '1.55', '2.15'];
    const { form, guess } = imported(times, 'Time (min)');
    expect(form).toBe('min');
    expect(guess).toMatchObject({ confidence: 'unsure', reason: expect.stringContaining('minutes.seconds') });
    expect(imported(times, 'Time (min)', 'm.ss').series.time[1]).toBe(80_000);
    const even = imported(evenly(10, 60).map(writes['m:ss:cc'] as (moment: number) => string));
    expect(even.guess).toMatchObject({ confidence: 'unsure', reason: expect.stringContaining('apart') });
  });

  it('a heading that names the form is believed', () => {
    const named = (heading: string, time: string): TimeForm => imported(Array.from({ length: 8 }, (_, row) => `${row + 1}${time}`), heading).form;
    expect(named('Time (mm.ss)', '.00')).toBe('m.ss');
    expect(named('Time (min.sec)', '.30')).toBe('m.ss');
    expect(named('Time (mm:ss:00)', ':05:10')).toBe('m:ss:cc');
  });

  it.each([
    ['01:02:34', 'm:ss:cc', 62_340],
    ['1:02:345', 'm:ss:cc', 62_345],
    ['1:60:00', 'm:ss:cc', undefined],
    ['1:02', 'm:ss:cc', undefined],
    ['3.30', 'm.ss', 210_000],
    ['3,3', 'm.ss', 210_000],
    ['12', 'm.ss', 720_000],
    ['3.60', 'm.ss', undefined],
    ['3.305', 'm.ss', undefined],
    ['', 'm.ss', undefined],
  ] as const)('%s as %s', (cell, form, expected) => {
    expect(timeIn(cell, form, { decimalMark: '.', grouped: false })).toBe(expected);
  });

  it('whatever breaths are written, the form is found or said to be unsure', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 1e6 }), fc.integer({ min: 60, max: 300 }), fc.constantFrom('m:ss:cc', 'h:mm:ss', 'm.ss', 'min'), (seed, length, form) => {
        const { form: guessed, guess } = imported(breaths(seed, length).map((moment) => (writes[form] as (moment: number) => string)(moment)));
        expect(guessed === form || guess?.confidence === 'unsure').toBe(true);
      }),
      { numRuns: 100, seed: 4 },
    );
  });
});
