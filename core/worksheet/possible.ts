/**
 * Which values a person can have at all. A value carried forward that nobody can have earns the method only.
 * Limits: the hard limits of data entry, common practice [C]; per cent of predicted by this program's own choice [O].
 */
import type { Formula } from '../formulas/formula.ts';
import { dimensionOf, formatQuantity, isOxygenUptakeUnit, type UnitCode } from '../units/units.ts';
import { inUnit } from './answer.ts';

interface Limits {
  readonly low: number;
  readonly high: number;
  readonly unit: UnitCode;
}

const uptakeAbsolute: Limits = { low: 0.1, high: 8, unit: 'L/min' };
const uptakeRelative: Limits = { low: 1.5, high: 100, unit: 'mL/kg/min' };
const heartRate: Limits = { low: 25, high: 240, unit: '/min' };
const pressure: Limits = { low: 20, high: 300, unit: 'mm[Hg]' };
const ofPredicted: Limits = { low: 20, high: 250, unit: '%' };

/** @returns why no person has this value, as the end of a sentence ("no person has 1.5 %"); undefined where one can. */
export function impossible(value: number, unit: UnitCode, form: Formula | undefined, decimals: number): string | undefined {
  const limits = limitsFor(unit, form);
  if (limits === undefined) return undefined;
  const inLimits = inUnit(value, unit, limits.unit, undefined);
  if (inLimits === undefined || (inLimits >= limits.low && inLimits <= limits.high)) return undefined;
  return `no person has ${formatQuantity(value, unit, decimals)}`;
}

function limitsFor(unit: UnitCode, form: Formula | undefined): Limits | undefined {
  const label = (form?.output.label ?? '').toLowerCase();
  const dimension = dimensionOf(unit);
  if (isOxygenUptakeUnit(unit) && (form === undefined || /uptake|metabolic|met\b/.test(label))) return dimension === 'flow' ? uptakeAbsolute : uptakeRelative;
  // A recovery or a reserve is a difference of two heart rates, and may be small.
  if (dimension === 'rate' && /heart rate/.test(label) && !/recovery|reserve|difference/.test(label)) return heartRate;
  if (dimension === 'pressure' && !/pulse|rise|fall|difference/.test(label)) return pressure;
  if (unit === '%' && /predicted/.test(label)) return ofPredicted;
  return undefined;
}
