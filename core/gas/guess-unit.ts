/** The unit of a column: as the file states it, else what the size of its numbers speaks for. */
import { convert, unitOf, type UnitCode } from '../units/units.ts';
import { unitFor, type HeadingParts } from './headings.ts';
import { gasQuantities, type GasValue } from './quantities.ts';
import type { Confidence } from './read-table.ts';

/** Nine tenths of the values lie at or below this. */
function upper(values: readonly number[]): number {
  const sorted = Float64Array.from(values).sort();
  return sorted[Math.min(sorted.length - 1, Math.floor(0.9 * sorted.length))] ?? Number.NaN;
}

/** The unit of a column by its heading or, where none is written, by the size of its values; with the reason and how sure it is. */
export function guessUnit(
  quantity: GasValue,
  part: HeadingParts,
  values: readonly number[],
): { readonly unit: UnitCode; readonly reason: string; readonly confidence: Confidence } {
  const high = upper(values);
  const stated = unitFor(quantity, part.unitText);
  if (stated !== undefined) {
    const odd = values.length > 0 && !credible(quantity, stated, high);
    return {
      unit: stated,
      reason: odd
        ? `the file says ${unitOf(stated).label}, although its values (up to about ${high}) are not of that size`
        : `the file gives the unit ${unitOf(stated).label || '1'}`,
      confidence: odd ? 'unsure' : 'sure',
    };
  }
  const said = part.unitText === '' ? 'no unit is given' : `the unit “${part.unitText}” is not known`;
  const { accepts, unit: own } = gasQuantities[quantity];
  if (accepts.length === 1)
    return { unit: own, reason: `${said}; ${unitOf(own).label || 'a plain number'} is the only one in use`, confidence: 'likely' };
  if (part.perKilogram) return { unit: 'mL/kg/min', reason: `${said}, but the heading says per kilogram`, confidence: 'likely' };
  const bySize = sizeUnit(quantity, high);
  return {
    unit: bySize.unit,
    reason: `${said}; values up to about ${Number.isFinite(high) ? Number(high.toPrecision(3)) : '–'} are ${unitOf(bySize.unit).label || 'a plain ratio'}`,
    confidence: bySize.clear ? 'likely' : 'unsure',
  };
}

/** The unit that the size of the values speaks for. The bounds lie between what the units can give at rest and at maximum. */
function sizeUnit(quantity: GasValue, high: number): { readonly unit: UnitCode; readonly clear: boolean } {
  switch (quantity) {
    case 'vo2':
    case 'vco2':
      // Common practice: between 100 and 8000 it is mL/min; up to 9 it is L/min; between, per kilogram.
      return high >= 100
        ? { unit: 'mL/min', clear: true }
        : high <= 9
          ? { unit: 'L/min', clear: true }
          : { unit: 'mL/kg/min', clear: false };
    case 've':
      return high > 400 ? { unit: 'mL/min', clear: true } : { unit: 'L/min', clear: high >= 8 };
    case 'tidal-volume':
      return high > 20 ? { unit: 'mL', clear: true } : { unit: 'L', clear: true };
    case 'feo2':
    case 'feco2':
      return high <= 1 ? { unit: '1', clear: quantity === 'feo2' || high <= 0.1 } : { unit: '%', clear: true };
    case 'rer':
      return high > 10 ? { unit: '%', clear: true } : { unit: '1', clear: true };
    case 'peto2':
      return high > 30 ? { unit: 'mm[Hg]', clear: true } : { unit: 'kPa', clear: true };
    case 'petco2':
      return high > 12 ? { unit: 'mm[Hg]', clear: true } : { unit: 'kPa', clear: true };
    case 'load':
      return high > 600 ? { unit: 'kgf.m/min', clear: false } : { unit: 'W', clear: true };
    case 'speed':
      return { unit: 'km/h', clear: false };
    case 'breathing-rate':
      return high < 2 ? { unit: '/s', clear: false } : { unit: '/min', clear: true };
    default:
      return { unit: gasQuantities[quantity].unit, clear: true };
  }
}

/** False when values of this size in this unit are beyond what is possible. */
function credible(quantity: GasValue, unit: UnitCode, high: number): boolean {
  if (unit === 'mL/kg/min' || unit === '[MET]') return high <= 100;
  const { unit: own, limits } = gasQuantities[quantity];
  try {
    const value = convert(high, unit, own);
    return value <= limits.hard[1] * 1.5 && value >= limits.hard[0] / 5;
  } catch {
    return true;
  }
}
