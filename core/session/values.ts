/** Turns what was typed into a value in the quantity's own unit. Only the fold does this; the record keeps what was typed. */
import { convert, convertOxygenUptake, dimensionOf, isUnitCode, parseQuantity, UnitError, type UnitCode } from '../units/units.ts';
import {
  detailQuantities,
  isDetailId,
  numericDetails,
  readingQuantities,
  settingQuantities,
  type DetailId,
  type ReadingQuantity,
  type SettingQuantity,
  type Sex,
} from '../vocabulary.ts';

/** The number in a typed text whose unit is stored beside it. Undefined when it is not one number. */
function numberOf(typed: string, unit: UnitCode): { readonly value: number; readonly unit: UnitCode } | undefined {
  const parsed = parseQuantity(typed, { defaultUnit: unit, dimension: dimensionOf(unit), decimalMark: typed.includes(',') ? ',' : '.' });
  return parsed.ok ? { value: parsed.value, unit: parsed.unit } : undefined;
}

/**
 * A reading in its quantity's own unit (heart rate /min, pressure mmHg, VO2 and VCO2 and VE L/min, RER and RPE as they are).
 * Oxygen uptake may be typed per kilogram; it then needs the body mass in kg.
 * @returns undefined when the text is not a number of that kind, or the mass that it needs is not known.
 */
export function readingValue(quantity: ReadingQuantity, typed: string, unit: string, massKg: number | undefined): { readonly value?: number; readonly perKilogram: boolean } {
  const own = readingQuantities[quantity].unit;
  const given: UnitCode = isUnitCode(unit) ? unit : own;
  const number = numberOf(typed, given);
  if (!number) return { perKilogram: false };
  if (quantity === 'vo2' && (number.unit === 'mL/kg/min' || number.unit === '[MET]')) {
    if (massKg === undefined || massKg <= 0) return { perKilogram: true };
    return { value: convertOxygenUptake(number.value, number.unit, 'L/min', massKg), perKilogram: true };
  }
  try {
    return { value: convert(number.value, number.unit, own), perKilogram: false };
  } catch (cause) {
    if (cause instanceof UnitError) return { perKilogram: false };
    throw cause;
  }
}

/** A numeric detail (age a, height cm, mass kg, temperature Cel, pressure mmHg, humidity %) in its own unit. */
export function detailValue(detail: string, typed: string, unit: string | undefined): number | undefined {
  if (!isDetailId(detail) || !numericDetails.includes(detail)) return undefined;
  return inUnit(typed, unit, detailQuantities[detail as DetailId].unit);
}

/** A setting in its own unit: speed km/h, grade %, load W, cadence /min. */
export function settingValue(quantity: SettingQuantity, typed: string, unit: string | undefined): number | undefined {
  return inUnit(typed, unit, settingQuantities[quantity].unit);
}

function inUnit(typed: string, unit: string | undefined, own: UnitCode): number | undefined {
  const number = numberOf(typed, unit !== undefined && isUnitCode(unit) ? unit : own);
  if (!number) return undefined;
  try {
    return convert(number.value, number.unit, own);
  } catch (cause) {
    if (cause instanceof UnitError) return undefined;
    throw cause;
  }
}

/** The sex used in the equations, as people write it; undefined where it was not given. */
export function sexOf(typed: string | undefined): Sex | undefined {
  const word = typed?.trim().toLowerCase();
  if (word === 'f' || word === 'female' || word === 'w' || word === 'woman') return 'female';
  if (word === 'm' || word === 'male' || word === 'man') return 'male';
  return undefined;
}
