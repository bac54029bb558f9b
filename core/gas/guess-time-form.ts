/** Which form of time a column is written in, from its cells and its heading. */
import { isMissing, numberIn, type NumberStyle } from './cells.ts';
import { hundredthsEvidence, minutesAndSecondsEvidence } from './time-evidence.ts';
import { DATE_FIRST, perUnit, timeFormLabels, timeIn, type TimeForm } from './time-form.ts';

const HOUR_MS = 3_600_000;

export interface TimeFormGuess {
  readonly form: TimeForm;
  readonly reason: string;
  readonly confidence: 'sure' | 'likely' | 'unsure';
}

/**
 * The form of a column of times, from how its cells look, what its heading says, and which form makes the file a test of
 * credible length (3 minutes to 3 hours) with a credible step (half a second to two minutes).
 * @param cells of the column, data rows only. @param says heading and unit of the column, as written.
 * @returns undefined when fewer than half of the cells that are not empty can be read in any form.
 */
export function guessTimeForm(cells: readonly string[], says: string, style: NumberStyle): TimeFormGuess | undefined {
  const filled = cells.filter((cell) => cell !== '' && !isMissing(cell));
  if (filled.length === 0) return undefined;
  const colon = filled.filter((cell) => cell.includes(':'));
  return colon.length * 2 >= filled.length ? guessColonForm(colon, says) : guessNumberForm(filled, says, style);
}

const readable = (cells: readonly string[], form: TimeForm, style: NumberStyle): number[] =>
  cells.map((cell) => timeIn(cell, form, style)).filter((time) => time !== undefined);

const NO_STYLE: NumberStyle = { decimalMark: '.', grouped: false };

function guessColonForm(cells: readonly string[], says: string): TimeFormGuess | undefined {
  const first = cells[0] ?? '';
  const words = says.toLowerCase();
  const sayClock = /clock|day|uhr|wall|real|hora\b|heure/.test(words) && !/test|elapsed|exercise/.test(words);
  const sayElapsed = /elapsed|test|exercise|duration|dauer|relative|\bt\b/.test(words);
  if (cells.some((cell) => DATE_FIRST.test(cell.trim()))) {
    return works(cells, 'time-of-day') ? { form: 'time-of-day', reason: 'the times carry a date', confidence: 'sure' } : undefined;
  }
  if (cells.some((cell) => /[ap]\.?m\.?\s*$/i.test(cell))) {
    return works(cells, 'time-of-day') ? { form: 'time-of-day', reason: 'the times carry am or pm', confidence: 'sure' } : undefined;
  }
  const threeParts = cells.filter((cell) => cell.split(':').length === 3).length;
  if (threeParts * 2 > cells.length) {
    const hundredths = hundredthsEvidence(cells, words);
    if (hundredths !== undefined) return hundredths;
    if (!works(cells, 'h:mm:ss')) return undefined;
    const start = timeIn(first, 'h:mm:ss', NO_STYLE) ?? 0;
    if (sayClock && works(cells, 'time-of-day'))
      return { form: 'time-of-day', reason: 'three parts, and the heading speaks of the clock', confidence: 'likely' };
    if (sayElapsed || start < HOUR_MS) {
      const early = start < 600_000;
      return {
        form: 'h:mm:ss',
        reason: early
          ? `three parts, and the first is ${first.trim()}, so they count from the start`
          : 'three parts, counted from the start',
        confidence: early ? 'likely' : 'unsure',
      };
    }
    return {
      form: 'time-of-day',
      reason: `three parts, and the first is ${first.trim()}: later than a test that counts from 0 begins`,
      confidence: 'likely',
    };
  }
  if (!works(cells, 'm:ss')) return undefined;
  if (/h{1,2}:mm(?!:)/.test(words) || (sayClock && !sayElapsed))
    return { form: 'time-of-day', reason: 'two parts, and the heading speaks of hours or the clock', confidence: 'likely' };
  if (/m{1,2}:ss|min:s/.test(words)) return { form: 'm:ss', reason: 'two parts, and the heading says minutes:seconds', confidence: 'sure' };
  const times = readable(cells, 'm:ss', NO_STYLE);
  const steps = times.slice(1).map((time, index) => time - (times[index] ?? 0));
  const byOne = steps.length > 3 && steps.every((step) => step === 1000 || step === 1000 - HOUR_MS);
  if (byOne && times.length < 180) {
    const clock = (times[0] ?? 0) >= 3 * 60_000;
    const form: TimeForm = clock ? 'time-of-day' : 'h:mm';
    const reason = `two parts that go up by one each row: as minutes:seconds the file would last ${times.length} s, so ${timeFormLabels[form]} was taken`;
    return { form, reason, confidence: 'unsure' };
  }
  return { form: 'm:ss', reason: 'two parts, which are minutes and seconds in a test', confidence: 'likely' };
}

const works = (cells: readonly string[], form: TimeForm): boolean => readable(cells, form, NO_STYLE).length * 2 >= cells.length;

function guessNumberForm(cells: readonly string[], says: string, style: NumberStyle): TimeFormGuess | undefined {
  const values = cells.map((cell) => numberIn(cell, style)).filter((value) => value !== undefined);
  if (values.length * 2 < cells.length) return undefined;
  const stated = statedNumberForm(says);
  const guess = numberForm(values, stated);
  if (stated !== undefined && stated !== 'min') return guess;
  const evidence = minutesAndSecondsEvidence(cells, style);
  if (evidence === 'minutes.seconds')
    return {
      form: 'm.ss',
      reason: `the figures after the mark never go above 59, and rows come evenly as minutes and seconds but not as decimal minutes${stated === undefined ? '' : ', although the heading says minutes'}`,
      confidence: stated === undefined ? 'likely' : 'unsure',
    };
  if (evidence === 'open' && guess.form === 'min')
    return {
      ...guess,
      reason: `${guess.reason}; but the figures after the mark never go above 59, so they could be seconds (${timeFormLabels['m.ss']})`,
      confidence: 'unsure',
    };
  return guess;
}

function numberForm(values: readonly number[], stated: TimeForm | undefined): TimeFormGuess {
  if (stated !== undefined) return { form: stated, reason: `the heading or the unit says ${timeFormLabels[stated]}`, confidence: 'sure' };

  const steps = values
    .slice(1)
    .map((value, index) => value - (values[index] ?? 0))
    .filter((step) => step > 0)
    .sort((a, b) => a - b);
  const step = steps[Math.floor(steps.length / 2)] ?? 0;
  const span = Math.max(...sample(values)) - Math.min(...sample(values));
  const fitting = (shortest: number, longest: number, least: number, most: number) =>
    (['s', 'min', 'ms', 'day'] as const).filter((form) => {
      const milliseconds = perUnit[form] ?? 1;
      const length = span * milliseconds;
      const each = step * milliseconds;
      return length >= shortest && length <= longest && each >= least && each <= most;
    });
  const usual = fitting(180_000, 3 * HOUR_MS, 500, 120_000);
  // a piece of a test, or a row for each stage of several minutes
  const fits = usual.length > 0 ? usual : fitting(30_000, 6 * HOUR_MS, 200, 600_000);
  const [only] = fits;
  if (only !== undefined && fits.length === 1) {
    return {
      form: only,
      reason: `as ${timeFormLabels[only]} the file lasts ${minutes(span * (perUnit[only] ?? 1))}, and no other form gives a credible test`,
      confidence: 'likely',
    };
  }
  if (fits.includes('s')) return { form: 's', reason: 'plain numbers without a unit; seconds are the commonest', confidence: 'unsure' };
  if (only !== undefined)
    return {
      form: only,
      reason: `as ${timeFormLabels[only]} the file lasts ${minutes(span * (perUnit[only] ?? 1))}`,
      confidence: 'unsure',
    };
  return { form: 's', reason: 'plain numbers without a unit, of a length that fits no form; seconds were taken', confidence: 'unsure' };
}

/** At most a few hundred values, ends included, so that Math.max can take them as arguments. */
function sample(values: readonly number[]): number[] {
  const every = Math.max(1, Math.floor(values.length / 400));
  return values.filter((_, index) => index % every === 0 || index === values.length - 1);
}

function minutes(milliseconds: number): string {
  return `${(milliseconds / 60_000).toFixed(1)} min`;
}

function statedNumberForm(says: string): TimeForm | undefined {
  if (/\bm{1,2}[.,]ss\b|\bmin[.,]s(?:ec)?\b/i.test(says)) return 'm.ss';
  const words = says.toLowerCase().split(/[^\p{L}]+/u);
  const has = (...wanted: string[]): boolean => wanted.some((word) => words.includes(word));
  if (has('ms', 'msec', 'milliseconds', 'millisecond')) return 'ms';
  if (has('s', 'sec', 'secs', 'second', 'seconds', 'sek', 'sekunden', 'secondes', 'segundos')) return 's';
  if (has('min', 'mins', 'minute', 'minutes', 'minuten', 'minutos')) return 'min';
  if (has('day', 'days')) return 'day';
  return undefined;
}
