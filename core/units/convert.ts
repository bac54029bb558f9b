import { dimensionOf, unitOf, VO2_PER_MET, type UnitCode } from './table.ts';

/** Thrown by `convert` for a request that only a bug can make: two dimensions, or a value that is not a finite number. */
export class UnitError extends Error {
  readonly code: 'dimension-mismatch' | 'not-finite' | 'mass-needed';
  constructor(code: 'dimension-mismatch' | 'not-finite' | 'mass-needed', message: string) {
    super(message);
    this.name = 'UnitError';
    this.code = code;
  }
}

/**
 * The same quantity in another unit of the same dimension, by exact factors (one mile per hour is 26.8224 m/min, one pound is
 * 0.45359237 kg). Watts and kg·m/min are the exception: the laboratory's 6.12 joins them, as the table says; formulas that
 * publish separate constants for the two units never convert between them.
 *
 * @throws UnitError when the dimensions differ or the value is not finite.
 */
export function convert(value: number, from: UnitCode, to: UnitCode): number {
  if (!Number.isFinite(value)) {
    throw new UnitError('not-finite', `Cannot convert ${value}: a finite number is needed.`);
  }
  if (from === to) return value;
  const source = unitOf(from);
  const target = unitOf(to);
  if (source.dimension !== target.dimension) {
    throw new UnitError(
      'dimension-mismatch',
      `Cannot convert ${source.name} to ${target.name}: one is a ${source.dimension}, the other a ${target.dimension}.`,
    );
  }
  const base = value * source.factor + (source.offset ?? 0);
  return (base - (target.offset ?? 0)) / target.factor;
}

/** Units in which an oxygen uptake can be stated: a plain flow, per kilogram of body mass, or in METs. */
export type OxygenUptakeUnit = 'L/min' | 'mL/min' | 'mL/kg/min' | '[MET]';

/** True for the four units of oxygen uptake. */
export function isOxygenUptakeUnit(unit: UnitCode): unit is OxygenUptakeUnit {
  return unit === 'L/min' || unit === 'mL/min' || unit === 'mL/kg/min' || unit === '[MET]';
}

/**
 * Oxygen uptake between its absolute form (L/min, mL/min), its relative form (mL/kg/min) and METs (3.5 mL/kg/min).
 * The body mass is in kilograms and is used only when the absolute and the relative form meet.
 *
 * @throws UnitError when the mass is needed and is not a positive finite number, or the value is not finite.
 */
export function convertOxygenUptake(value: number, from: OxygenUptakeUnit, to: OxygenUptakeUnit, massKg?: number): number {
  if (dimensionOf(from) === dimensionOf(to)) return convert(value, from, to);
  if (massKg === undefined || !Number.isFinite(massKg) || massKg <= 0) {
    throw new UnitError('mass-needed', `A body mass is needed to turn ${unitOf(from).label} into ${unitOf(to).label}.`);
  }
  if (dimensionOf(from) === 'flow') {
    const perKg = convert(value, from, 'mL/min') / massKg;
    return to === '[MET]' ? perKg / VO2_PER_MET : perKg;
  }
  const perKg = from === '[MET]' ? value * VO2_PER_MET : value;
  if (!Number.isFinite(perKg)) throw new UnitError('not-finite', `Cannot convert ${value}: a finite number is needed.`);
  return convert(perKg * massKg, 'mL/min', to);
}
