/** How a file writes its times, and what a cell of that form is in milliseconds. */
import { isMissing, numberIn, type NumberStyle } from './cells.ts';

/**
 * `m:ss` minutes and seconds (hours in front where a file runs over one); `h:mm:ss` hours, minutes, seconds gone by;
 * `h:mm` hours and minutes; `s`, `min`, `ms` plain numbers; `day` parts of a day, as spreadsheets store times;
 * `time-of-day` the clock on the wall, with or without a date.
 */
export const timeForms = ['m:ss', 'h:mm:ss', 'h:mm', 's', 'min', 'ms', 'day', 'time-of-day'] as const;
export type TimeForm = (typeof timeForms)[number];

export const timeFormLabels: Readonly<Record<TimeForm, string>> = {
  'm:ss': 'minutes:seconds',
  'h:mm:ss': 'hours:minutes:seconds',
  'h:mm': 'hours:minutes',
  s: 'seconds',
  min: 'decimal minutes',
  ms: 'milliseconds',
  day: 'parts of a day',
  'time-of-day': 'clock time of day',
};

export const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
const perUnit: Readonly<Partial<Record<TimeForm, number>>> = { s: 1000, min: 60_000, ms: 1, day: DAY_MS };

const COLONS = /^([-+\u2212]?)(\d{1,4}):(\d{2})(?::(\d{2}))?(?:[.,](\d{1,6}))?\s*(?:([ap])\.?m\.?)?$/i;
const DATE_FIRST = /^\d{1,4}[-./]\d{1,2}[-./]\d{1,4}[T\s]+/;

/**
 * A cell of the time column in milliseconds: since the file's own zero, or since midnight for `time-of-day`.
 * @returns undefined for a cell that is missing or not of the form. Never NaN.
 */
export function timeIn(cell: string, form: TimeForm, style: NumberStyle): number | undefined {
  const factor = perUnit[form];
  if (factor !== undefined) {
    const value = numberIn(cell, style);
    return value === undefined ? undefined : value * factor;
  }
  return usualColonTime(cell, form) ?? colonTime(cell, form);
}

/** `12:34`, `12:34.5` as minutes and seconds, `1:02:03` in any form, figures only: what nearly every cell of a file is. */
function usualColonTime(cell: string, form: TimeForm): number | undefined {
  let whole = 0;
  let part = 0;
  let digits = 0;
  let colons = 0;
  let fraction = 0;
  for (let at = 0; at < cell.length; at += 1) {
    const code = cell.charCodeAt(at);
    if (code >= 48 && code <= 57) {
      part = part * 10 + (code - 48);
      digits += 1;
    } else if (code === 58 && digits > 0 && digits <= 3 && colons < 2) {
      if (colons > 0 && (digits !== 2 || part > 59)) return undefined;
      whole = (whole + part) * 60;
      part = 0;
      digits = 0;
      colons += 1;
    } else if ((code === 46 || code === 44) && colons > 0) {
      const figures = cell.length - at - 1;
      let tail = 0;
      for (let next = at + 1; next < cell.length; next += 1) {
        const figure = cell.charCodeAt(next) - 48;
        if (!(figure >= 0 && figure <= 9)) return undefined;
        tail = tail * 10 + figure;
      }
      if (figures < 1 || figures > 6) return undefined;
      fraction = tail / 10 ** figures;
      break;
    } else {
      return undefined;
    }
  }
  if (digits !== 2 || part > 59 || (form === 'time-of-day' && whole >= 24 * 3600)) return undefined;
  return colons === 2 || (colons === 1 && form === 'm:ss') ? (whole + part + fraction) * 1000 : undefined;
}

function colonTime(cell: string, form: TimeForm): number | undefined {
  let text = cell.trim();
  if (isMissing(text)) return undefined;
  if (form === 'time-of-day') text = text.replace(DATE_FIRST, '').replace(/(?:z|[+-]\d{2}:?\d{2})$/i, '');
  const match = COLONS.exec(text);
  if (!match) return undefined;
  const [, sign, first = '', second = '', third, fraction = '', half] = match;
  const a = Number(first);
  const b = Number(second);
  if (b > 59 || (third !== undefined && Number(third) > 59)) return undefined;
  const part = fraction === '' ? 0 : Number(`0.${fraction}`);
  const hoursFirst = third !== undefined || form === 'h:mm' || form === 'time-of-day';
  // Without a third part a fraction belongs to the second one: minutes in h:mm, seconds in m:ss.
  const milliseconds =
    third !== undefined
      ? a * HOUR_MS + b * 60_000 + (Number(third) + part) * 1000
      : hoursFirst
        ? a * HOUR_MS + (b + part) * 60_000
        : a * 60_000 + (b + part) * 1000;
  if (form === 'time-of-day') {
    if (half !== undefined) {
      if (a < 1 || a > 12) return undefined;
      return milliseconds - (a === 12 ? 12 * HOUR_MS : 0) + (half.toLowerCase() === 'p' ? 12 * HOUR_MS : 0);
    }
    return a > 23 ? undefined : milliseconds;
  }
  if (half !== undefined) return undefined;
  return sign === '-' || sign === '\u2212' ? -milliseconds : milliseconds;
}

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
  const words = says.toLowerCase().split(/[^\p{L}]+/u);
  const has = (...wanted: string[]): boolean => wanted.some((word) => words.includes(word));
  if (has('ms', 'msec', 'milliseconds', 'millisecond')) return 'ms';
  if (has('s', 'sec', 'secs', 'second', 'seconds', 'sek', 'sekunden', 'secondes', 'segundos')) return 's';
  if (has('min', 'mins', 'minute', 'minutes', 'minuten', 'minutos')) return 'min';
  if (has('day', 'days')) return 'day';
  return undefined;
}
