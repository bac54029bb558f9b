/**
 * Two ways of writing times that look like commoner ones: `12:34:56` as minutes, seconds and hundredths, and `12.34` as minutes
 * and seconds. The values themselves tell: parts that are counts of 60 never go above 59, and rows come evenly in one reading only.
 */
import { timeFormLabels, timeIn, type TimeForm } from './time-form.ts';
import type { NumberStyle } from './cells.ts';

export interface Evidence {
  readonly form: TimeForm;
  readonly reason: string;
  readonly confidence: 'sure' | 'likely' | 'unsure';
}

const NO_STYLE: NumberStyle = { decimalMark: '.', grouped: false };
const MINUTE_MS = 60_000;

/** No file of one test: longer than six hours, with rows more than two minutes apart. */
const tooLong = (times: readonly number[]): boolean => spanOf(times) > 360 * MINUTE_MS && median(stepsOf(times)) > 2 * MINUTE_MS;

/**
 * Evidence that three parts are minutes, seconds and hundredths: last parts above 59, which are no seconds; or, where those are
 * all even (as in means over 10 s), a file that would otherwise last a day.
 * @param words heading and unit, in small letters.
 */
export function hundredthsEvidence(cells: readonly string[], words: string): Evidence | undefined {
  const form: TimeForm = 'm:ss:cc';
  const times = read(cells, form);
  const steps = stepsOf(times);
  if (times.length < 0.9 * cells.length || steps.filter((step) => step >= 0).length < 0.95 * steps.length) return undefined;
  if (/m{1,2}:ss:(?!ss)\w/.test(words)) return { form, reason: 'the heading says minutes:seconds and a third part', confidence: 'sure' };
  const above = cells.filter((cell) => Number(/:(\d+)\s*$/.exec(cell)?.[1] ?? 0) > 59).length;
  if (above >= Math.max(2, 0.1 * cells.length))
    return {
      form,
      reason: `the last of the three parts is above 59 in ${above} of ${cells.length} cells, which seconds never are, and the one before it never is`,
      confidence: 'likely',
    };
  const hours = read(cells, 'h:mm:ss');
  if (!tooLong(hours) || spanOf(times) < 3 * MINUTE_MS) return undefined;
  return {
    form,
    reason: `as ${timeFormLabels['h:mm:ss']} the rows would stand ${inMinutes(median(stepsOf(hours)))} apart and last ${inMinutes(spanOf(hours))}`,
    confidence: 'unsure',
  };
}

/**
 * What the values say of numbers that can be read as minutes and seconds (3.30 is 3 min 30 s) as well as decimal minutes (3.5):
 * whether rows come more evenly in the first reading (`minutes.seconds`), in the second (`decimal`), or in neither (`open`).
 * @returns undefined where figures after the mark go above 59 or there are none, so that the question does not arise.
 */
export function minutesAndSecondsEvidence(cells: readonly string[], style: NumberStyle): 'minutes.seconds' | 'decimal' | 'open' | undefined {
  const decimal = read(cells, 'min', style);
  const split = read(cells, 'm.ss', style);
  if (split.length < decimal.length || split.filter((time) => time % MINUTE_MS !== 0).length < 0.2 * split.length) return undefined;
  const turns = Math.floor(spanOf(split) / MINUTE_MS);
  if (turns < 2 || split.length < 5) return 'open';
  const splitSteps = stepsOf(split);
  const decimalSteps = stepsOf(decimal);
  // Where nothing was recorded, both readings have a gap that says nothing.
  const [splitGap, decimalGap] = [splitSteps, decimalSteps].map((steps) => Math.max(15_000, 6 * median(steps))) as [number, number];
  const regular = splitSteps.map((step, at) => step <= splitGap || (decimalSteps[at] ?? 0) <= decimalGap);
  const unevenSplit = unevenness(splitSteps.filter((_, at) => regular[at]));
  const unevenDecimal = unevenness(decimalSteps.filter((_, at) => regular[at]));
  // Half as uneven as the other is no chance once the minute has turned twice.
  return unevenSplit < 0.5 * unevenDecimal ? 'minutes.seconds' : unevenDecimal < 0.5 * unevenSplit ? 'decimal' : 'open';
}

/** Standard deviation of steps over their mean; falls make a reading as uneven as can be. */
function unevenness(steps: readonly number[]): number {
  const mean = steps.reduce((sum, step) => sum + step, 0) / steps.length;
  if (!(mean > 0) || steps.filter((step) => step < 0).length > 0.05 * steps.length) return Infinity;
  return Math.sqrt(steps.reduce((sum, step) => sum + (step - mean) ** 2, 0) / steps.length) / mean;
}

const read = (cells: readonly string[], form: TimeForm, style = NO_STYLE): number[] =>
  cells.map((cell) => timeIn(cell, form, style)).filter((time) => time !== undefined);
const stepsOf = (times: readonly number[]): number[] => times.slice(1).map((time, index) => time - (times[index] ?? 0));
const spanOf = (times: readonly number[]): number => (times.at(-1) ?? 0) - (times[0] ?? 0);
const median = (values: readonly number[]): number => Float64Array.from(values).sort()[Math.floor(values.length / 2)] ?? 0;
const inMinutes = (milliseconds: number): string => `${(milliseconds / MINUTE_MS).toFixed(1)} min`;
