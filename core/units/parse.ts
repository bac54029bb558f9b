import { convert } from './convert.ts';
import { formatNumber } from './format.ts';
import { fail, prepare, readNumber, type ParseError } from './parse-number.ts';
import { labelsInWords, readUnit } from './parse-unit.ts';
import { dimensionOf, unitOf, type Dimension, type UnitCode } from './table.ts';

export type ParsedQuantity =
  | {
      readonly ok: true;
      /** finite; in `unit`, never converted to another unit */
      readonly value: number;
      readonly unit: UnitCode;
      /** the text as entered, outer blanks removed */
      readonly typed: string;
    }
  | { readonly ok: false; readonly error: ParseError };

export type ParsedPressure =
  | {
      readonly ok: true;
      readonly systolic: number;
      readonly diastolic: number;
      readonly unit: UnitCode;
      readonly typed: string;
    }
  | { readonly ok: false; readonly error: ParseError };

export interface ParseOptions {
  /** the unit of a bare number */
  readonly defaultUnit: UnitCode;
  /** the dimensions that are accepted; without it, the dimension of `defaultUnit` */
  readonly dimension?: Dimension | readonly Dimension[];
  /** the only units that are accepted; it stands in place of `dimension` */
  readonly accepts?: readonly UnitCode[];
  /**
   * the decimal mark of the station. Without it both marks are decimal marks, and a lone comma before exactly three figures
   * ("1,234") is refused as ambiguous. With '.' that is a thousands comma. With ',' a lone point before exactly three figures
   * is refused, because many keypads type a point whatever the language.
   */
  readonly decimalMark?: '.' | ',';
}

/**
 * Reads what a person typed: a number, perhaps with a unit. Understands `3,5`, `3.5 mph`, `5.4 km/h`, `6:45`, `12 %`, `72kg`,
 * `5 ft 9 in`, `11 st 4 lb`, `mL·kg⁻¹·min⁻¹`, true minus signs and no-break spaces. A time with colons or with two parts comes
 * back in seconds, a pace with a colon in its own unit. The value keeps the unit that was typed; nothing is converted, except
 * that a compound ("5 ft 9 in") is given in its first unit.
 *
 * Never yields NaN or Infinity. Anything that is not understood, or could be understood in two ways, is refused in words.
 */
export function parseQuantity(text: string, options: ParseOptions): ParsedQuantity {
  const result = readQuantity(text, options);
  if (!result.ok || options.accepts === undefined || options.accepts.includes(result.unit)) return result;
  // A clock time comes back in seconds, whichever unit of time is accepted.
  if (result.unit === 's' && dimensionsOf(options).includes('time')) return result;
  return fail(
    'wrong-dimension',
    `${unitOf(result.unit).label || 'A bare number'} is not used for this value. Use ${labelsInWords(options.accepts)}.`,
  );
}

function readQuantity(text: string, options: ParseOptions): ParsedQuantity {
  const prepared = prepare(text);
  if (typeof prepared !== 'string') return prepared;
  const dimensions = dimensionsOf(options);

  const clock = readClock(prepared, dimensions, options);
  if (clock) return withTyped(clock, text);
  const compound = readCompound(prepared, dimensions, options);
  if (compound) return withTyped(compound, text);

  const split = /^([+-]?[\d.,][\d., ]*(?:e[+-]?\d{1,3}(?![\w]))?)(.*)$/i.exec(prepared);
  if (!split) return fail('not-a-number', `"${prepared}" is not a number. Type for example ${example(options)}.`);
  const number = readNumber((split[1] ?? '').trim(), options.decimalMark);
  if (!number.ok) return number;
  const unitText = (split[2] ?? '').trim();
  if (/^[\d.,:/]/.test(unitText) && !/^\/[a-z]/i.test(unitText)) {
    return fail('not-a-number', `"${prepared}" is not one number. Type for example ${example(options)}.`);
  }
  const unit = unitText === '' ? ({ ok: true, unit: options.defaultUnit } as const) : readUnit(unitText, dimensions);
  if (!unit.ok) return unit;
  return { ok: true, value: number.value, unit: unit.unit, typed: text.trim() };
}

/**
 * Reads a blood pressure: `116/74`, `116 / 74 mmHg`, `116 over 74`, `15.5/9.9 kPa`. The default unit is mmHg.
 * Refuses a diastolic that is not below the systolic, and a single number.
 */
export function parsePressure(
  text: string,
  options: { readonly defaultUnit?: UnitCode; readonly decimalMark?: '.' | ',' } = {},
): ParsedPressure {
  const prepared = prepare(text);
  if (typeof prepared !== 'string') return prepared;
  const match = /^([\d.,]+) ?(?:\/|over|on) ?([\d.,]+) ?(.*)$/i.exec(prepared);
  if (!match) return fail('not-a-number', `"${prepared}" is not a blood pressure. Type it as 116/74.`);
  const systolic = readNumber(match[1] ?? '', options.decimalMark);
  if (!systolic.ok) return systolic;
  const diastolic = readNumber(match[2] ?? '', options.decimalMark);
  if (!diastolic.ok) return diastolic;
  const unitText = (match[3] ?? '').trim();
  const unit = unitText === '' ? ({ ok: true, unit: options.defaultUnit ?? 'mm[Hg]' } as const) : readUnit(unitText, ['pressure']);
  if (!unit.ok) return unit;
  if (diastolic.value >= systolic.value) {
    return fail(
      'out-of-range',
      `The first number is the systolic pressure and must be the higher one; "${prepared}" has ${formatPlain(systolic.value)} over ${formatPlain(diastolic.value)}.`,
    );
  }
  return { ok: true, systolic: systolic.value, diastolic: diastolic.value, unit: unit.unit, typed: text.trim() };
}

/** Times and paces: `6:45`, `1:02:03`, `12:30.5`, `6 min 45 s`, `6'45"`. */
function readClock(text: string, dimensions: readonly Dimension[], options: ParseOptions): ParsedQuantity | undefined {
  const colon = /^([+-]?)(\d{1,4}):(\d{1,2}(?:[.,]\d{1,3})?)(?::(\d{1,2}(?:[.,]\d{1,3})?))?(?: ?([^\d].*))?$/.exec(text);
  const words =
    dimensions.includes('time') &&
    /^(?:(\d{1,4}) ?(?:h|hr|hrs|hours?) ?)?(?:(\d{1,4}) ?(?:min|mins|minutes?|m|') ?)?(?:(\d{1,2}(?:[.,]\d{1,3})?) ?(?:s|sec|secs|seconds?|"|''))?$/i.exec(
      text,
    );
  if (words && [words[1], words[2], words[3]].filter((part) => part !== undefined).length > 1) {
    const [h, m, s] = [words[1], words[2], words[3]].map((part) => Number((part ?? '0').replace(',', '.')));
    if ((s ?? 0) >= 60 || (words[1] !== undefined && (m ?? 0) >= 60)) return badClock(text);
    return { ok: true, value: (h ?? 0) * 3600 + (m ?? 0) * 60 + (s ?? 0), unit: 's', typed: text };
  }
  if (!colon) return undefined;
  const pace = dimensions.includes('pace');
  if (!dimensions.includes('time') && !pace) {
    return fail('wrong-dimension', `"${text}" looks like a time. Type a number, for example ${example(options)}.`);
  }
  const first = Number(colon[2]);
  const second = Number((colon[3] ?? '').replace(',', '.'));
  const third = colon[4] === undefined ? undefined : Number(colon[4].replace(',', '.'));
  const tail = (colon[5] ?? '').trim();
  const sign = colon[1] === '-' ? -1 : 1;
  const hasHours = third !== undefined || /^(h|hr|hrs|hours?|h:mm)$/i.test(tail);
  if (second >= 60 || (third !== undefined && (third >= 60 || !Number.isInteger(second)))) return badClock(text);
  if (/^\d$/.test(colon[3] ?? '')) {
    return fail('ambiguous', `"${text}" can be read in two ways. Type ${first}:0${second} or ${first}:${second}0.`);
  }
  const seconds = hasHours ? first * 3600 + second * 60 + (third ?? 0) : first * 60 + second;
  if (pace && !dimensions.includes('time')) {
    const unit = tail === '' ? ({ ok: true, unit: options.defaultUnit } as const) : readUnit(tail, ['pace']);
    if (!unit.ok) return unit;
    return { ok: true, value: (sign * seconds) / 60, unit: unit.unit, typed: text };
  }
  if (tail !== '' && !hasHours && !/^(min|mins|minutes?|m:ss|mm:ss|s|sec)$/i.test(tail)) {
    return fail('unknown-unit', `"${tail}" is not known after a time. Type it as 6:45.`);
  }
  return { ok: true, value: sign * seconds, unit: 's', typed: text };
}

const badClock = (text: string) =>
  fail('not-a-number', `"${text}" is not a time: minutes and seconds after a colon go to 59. Type it as 6:45.`);

/** Compounds of a large and a small unit: feet and inches, stone and pounds. */
function readCompound(text: string, dimensions: readonly Dimension[], options: ParseOptions): ParsedQuantity | undefined {
  const match = /^(\d{1,3}) ?(ft|foot|feet|'|st|stone|lbs?) ?(\d{1,2}(?:[.,]\d{1,2})?) ?([a-z"']*)$/i.exec(text);
  if (!match) return undefined;
  const large = readUnit(match[2] ?? '', dimensions);
  if (!large.ok) return large;
  const small: UnitCode | undefined = large.unit === '[ft_i]' ? '[in_i]' : large.unit === '[stone_av]' ? '[lb_av]' : undefined;
  if (small === undefined) return undefined;
  if ((match[4] ?? '') !== '') {
    const named = readUnit(match[4] ?? '', dimensions);
    if (!named.ok || named.unit !== small) {
      return fail('unknown-unit', `"${text}": after ${unitOf(large.unit).label} comes ${unitOf(small).label}.`);
    }
  }
  const part = readNumber(match[3] ?? '', options.decimalMark);
  if (!part.ok) return part;
  const limit = Math.round(convert(1, large.unit, small));
  if (part.value >= limit) return fail('out-of-range', `"${text}": the ${unitOf(small).label} part must be below ${limit}.`);
  return { ok: true, value: Number(match[1]) + convert(part.value, small, large.unit), unit: large.unit, typed: text };
}

function dimensionsOf(options: ParseOptions): readonly Dimension[] {
  if (options.accepts && options.accepts.length > 0) return [...new Set(options.accepts.map(dimensionOf))];
  if (options.dimension === undefined) return [dimensionOf(options.defaultUnit)];
  return typeof options.dimension === 'string' ? [options.dimension] : options.dimension;
}

function withTyped(result: ParsedQuantity, text: string): ParsedQuantity {
  return result.ok ? { ...result, typed: text.trim() } : result;
}

const formatPlain = (value: number): string => formatNumber(value, Number.isInteger(value) ? 0 : 1);

/** What a right entry looks like, for the message. */
function example(options: ParseOptions): string {
  const unit = unitOf(options.defaultUnit);
  if (unit.dimension === 'time') return '6:45';
  if (unit.dimension === 'pace') return '7:42';
  if (unit.label === '') return '12';
  return `3.5 ${unit.label}`;
}
