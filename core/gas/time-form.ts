/** How a file writes its times, and what a cell of that form is in milliseconds. */
import { isMissing, numberIn, type NumberStyle } from './cells.ts';

/**
 * `m:ss` minutes and seconds (hours in front where a file runs over one); `h:mm:ss` hours, minutes, seconds gone by;
 * `h:mm` hours and minutes; `m:ss:cc` minutes, seconds, hundredths; `s`, `min`, `ms` plain numbers; `m.ss` a number whose
 * figures after the mark are seconds; `day` parts of a day, as spreadsheets store times; `time-of-day` the clock on the wall,
 * with or without a date.
 */
export const timeForms = ['m:ss', 'h:mm:ss', 'h:mm', 'm:ss:cc', 's', 'min', 'm.ss', 'ms', 'day', 'time-of-day'] as const;
export type TimeForm = (typeof timeForms)[number];

export const timeFormLabels: Readonly<Record<TimeForm, string>> = {
  'm:ss': 'minutes:seconds',
  'h:mm:ss': 'hours:minutes:seconds',
  'h:mm': 'hours:minutes',
  'm:ss:cc': 'minutes:seconds:hundredths',
  s: 'seconds',
  min: 'decimal minutes',
  'm.ss': 'minutes.seconds',
  ms: 'milliseconds',
  day: 'parts of a day',
  'time-of-day': 'clock time of day',
};

export const DAY_MS = 86_400_000;
const HOUR_MS = 3_600_000;
export const perUnit: Readonly<Partial<Record<TimeForm, number>>> = { s: 1000, min: 60_000, ms: 1, day: DAY_MS };

const COLONS = /^([-+\u2212]?)(\d{1,4}):(\d{2})(?::(\d{2}))?(?:[.,](\d{1,6}))?\s*(?:([ap])\.?m\.?)?$/i;
/** `12:34:56` and `12:34:567` (the last part as decimals of a second); `3.30` and, where a last nought was dropped, `3.3`. */
const HUNDREDTHS = /^(\d{1,4}):(\d{2}):(\d{2,3})$/;
const MINUTES_AND_SECONDS = /^(\d{1,4})(?:[.,](\d{1,2}))?$/;
export const DATE_FIRST = /^\d{1,4}[-./]\d{1,2}[-./]\d{1,4}[T\s]+/;

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
  if (form === 'm:ss:cc') return minutesSecondsRest(HUNDREDTHS.exec(cell.trim()));
  if (form === 'm.ss') return minutesSecondsRest(MINUTES_AND_SECONDS.exec(cell.trim()));
  return usualColonTime(cell, form) ?? colonTime(cell, form);
}

function minutesSecondsRest(match: RegExpExecArray | null): number | undefined {
  if (match === null) return undefined;
  const [, minutes, seconds = '', rest = ''] = match;
  const second = Number(seconds.padEnd(2, '0'));
  return second > 59 ? undefined : Number(minutes) * 60_000 + second * 1000 + Number(rest.padEnd(3, '0'));
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
