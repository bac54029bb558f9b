/** How near an answer has to be. As an author writes it: `0.5`, `0.5 mL/kg/min`, `1 %`, `1 % or 0.5`, `rounding`. */
import { convert, dimensionOf, parseQuantity, type UnitCode } from '../units/units.ts';

/** The wider of the parts counts. */
export interface Tolerance {
  /** In the unit of the question. */
  readonly absolute?: number;
  /** A fraction of the right value. */
  readonly relative?: number;
  /** Half of the last decimal that the question asks for, and no more. */
  readonly rounding?: boolean;
}

/**
 * Reads a tolerance.
 * @param unit the question's unit: a bare number is in it, and another unit of its dimension is converted.
 * @returns undefined when the text is not a tolerance; the sheet's loader then refuses it.
 */
export function parseTolerance(text: string | number, unit: UnitCode): Tolerance | undefined {
  if (typeof text === 'number') return Number.isFinite(text) && text >= 0 ? { absolute: text } : undefined;
  const parts = text.split(/\bor\b/).map((part) => part.replace(/^\s*[±]/, '').trim());
  let absolute: number | undefined;
  let relative: number | undefined;
  let rounding = false;
  for (const part of parts) {
    if (/^rounding$/i.test(part)) {
      rounding = true;
      continue;
    }
    const percent = /^([\d.,]+)\s*%$/.exec(part);
    if (percent) {
      const value = Number((percent[1] ?? '').replace(',', '.'));
      if (!Number.isFinite(value)) return undefined;
      relative = Math.max(relative ?? 0, value / 100);
      continue;
    }
    const parsed = parseQuantity(part, { defaultUnit: unit, decimalMark: part.includes(',') ? ',' : '.' });
    if (!parsed.ok || parsed.value < 0) return undefined;
    // A tolerance is a difference: an offset between two scales (°F and °C) does not belong to it.
    const width = dimensionOf(unit) === 'temperature' ? convert(parsed.value, parsed.unit, unit) - convert(0, parsed.unit, unit) : convert(parsed.value, parsed.unit, unit);
    absolute = Math.max(absolute ?? 0, width);
  }
  return { ...(absolute === undefined ? {} : { absolute }), ...(relative === undefined ? {} : { relative }), ...(rounding ? { rounding } : {}) };
}

/**
 * How far from `right` still counts, in the question's unit. Never less than half of the last decimal that was asked for:
 * the right value, rounded as asked, is always right.
 */
export function widthOf(tolerance: Tolerance, right: number, decimals: number): number {
  const half = 0.5 * 10 ** -decimals;
  const widest = Math.max(half, tolerance.absolute ?? 0, (tolerance.relative ?? 0) * Math.abs(right));
  return widest + roundingNoise(right);
}

/** Room for the last binary places, so that 35.65 against 35.6 ± 0.05 is not decided by them. */
export function roundingNoise(value: number): number {
  return 1e-9 * Math.max(1, Math.abs(value));
}

/** The tolerance in words, for the line that explains a mark: "within 0.5", "within 1 %". */
export function toleranceInWords(tolerance: Tolerance, unitLabel: string): string {
  const parts = [
    ...(tolerance.relative === undefined ? [] : [`${plain(tolerance.relative * 100)} %`]),
    ...(tolerance.absolute === undefined ? [] : [unitLabel === '' || unitLabel === '%' ? plain(tolerance.absolute) : `${plain(tolerance.absolute)} ${unitLabel}`]),
  ];
  return parts.length === 0 ? 'as rounded' : `within ${parts.join(' or ')}`;
}

const plain = (value: number): string => String(Number(value.toPrecision(6)));
