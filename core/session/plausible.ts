/**
 * Limits of what can be typed for a reading. Outside the soft limits the program asks; outside the hard limits it refuses.
 * Source: data-entry limits of common practice [C], apart from
 * the RPE scale's own 6 to 20 and Tanaka's 208 − 0.7·age (J Am Coll Cardiol 2001;37:153) in the exercise heart-rate limit.
 */
import { readingQuantities, type ReadingQuantity } from '../vocabulary.ts';
import { formatQuantity } from '../units/units.ts';
import type { Slot } from './events.ts';
import type { SessionState } from './state.ts';
import { readingValue } from './values.ts';

interface Limits {
  readonly hard: readonly [number, number];
  /** Usual range at rest and in exercise; recovery is judged as exercise, with no lower bound of its own. */
  readonly rest?: readonly [number, number];
  readonly exercise?: readonly [number, number];
}

/** In the quantities' own units. */
export const readingLimits: Readonly<Record<ReadingQuantity, Limits>> = {
  'heart-rate': { hard: [25, 240], rest: [40, 100] },
  systolic: { hard: [60, 300], rest: [90, 139], exercise: [100, 230] },
  // 0 is "sounds to zero" in exercise (phase IV then noted); otherwise 20 to 150.
  diastolic: { hard: [20, 150], rest: [40, 100], exercise: [40, 100] },
  rpe: { hard: [6, 20] },
  vo2: { hard: [0.1, 8], exercise: [0.1, 5.5] },
  vco2: { hard: [0.08, 9], exercise: [0.08, 6.5] },
  rer: { hard: [0.55, 1.7], rest: [0.7, 1], exercise: [0.7, 1.3] },
  ve: { hard: [3, 280], rest: [3, 20], exercise: [3, 190] },
  // A 10-s to 60-s count; what it means is the sheet's. 4 beats in 10 s and 240 in a minute bound what a pulse can do.
  'pulse-count': { hard: [4, 240] },
  'bag-volume': { hard: [0.5, 300] },
  'bag-time': { hard: [5, 1800] },
  'bag-temperature': { hard: [5, 45] },
  feo2: { hard: [12, 20.95], rest: [14.5, 18.5], exercise: [14.5, 18.5] },
  feco2: { hard: [0.03, 9], rest: [2, 6.5], exercise: [2, 6.5] },
};
/** Per kilogram: the limits of the mL/kg/min row. */
const relativeVo2 = { hard: [1.5, 100], rest: [1.5, 6], exercise: [1.5, 70] } as const;

export type Plausibility =
  | { readonly level: 'usual' }
  | { readonly level: 'ask'; readonly message: string }
  | { readonly level: 'refuse'; readonly message: string };

/**
 * Judges one reading before it is written.
 * @param typed as typed; @param unit UCUM code.
 */
export function judgeReading(state: SessionState, slot: Slot, quantity: ReadingQuantity, typed: string, unit: string): Plausibility {
  const { label, unit: own, decimals } = readingQuantities[quantity];
  const limits = readingLimits[quantity];
  const { value, perKilogram } = readingValue(quantity, typed, unit, state.mass);
  const refuse = (message: string): Plausibility => ({ level: 'refuse', message });
  if (value === undefined) {
    if (perKilogram) return refuse(`${label} per kilogram needs the body mass, which is not on the sheet. Enter the mass first, or the value in L/min.`);
    return refuse(`"${typed}" is not a number for ${label.toLowerCase()}.`);
  }
  const show = (amount: number): string => formatQuantity(amount, own, decimals);
  if (quantity === 'rpe' && !Number.isInteger(value)) return refuse('RPE is a whole number from 6 to 20.');
  if (quantity === 'diastolic' && value === 0 && slot.phase !== 'rest') return { level: 'usual' };
  if (value < limits.hard[0] || value > limits.hard[1]) {
    const trap = quantity === 'vo2' && unit === 'L/min' && value >= 100 && value <= 8000 ? ` Is it ${typed} mL/min?` : '';
    return refuse(`${label} ${show(value)} is not possible here: ${show(limits.hard[0])} to ${show(limits.hard[1])}.${trap}`);
  }
  if (quantity === 'vo2' && state.mass !== undefined) {
    const relative = (value * 1000) / state.mass;
    const [low, high] = relativeVo2.hard;
    if (relative < low || relative > high) return refuse(`${label} ${show(value)} is ${relative.toFixed(1)} mL/kg/min for this participant, which is not possible: ${low} to ${high}.`);
    const usual = slot.phase === 'rest' ? relativeVo2.rest : relativeVo2.exercise;
    if (relative > usual[1]) return { level: 'ask', message: `${show(value)} is ${relative.toFixed(1)} mL/kg/min: unusual. Enter again to keep it.` };
  }
  const usual = slot.phase === 'rest' ? limits.rest : limits.exercise;
  const low = slot.phase === 'recovery' ? limits.hard[0] : (usual?.[0] ?? limits.hard[0]);
  let high = usual?.[1] ?? limits.hard[1];
  if (quantity === 'heart-rate' && slot.phase !== 'rest' && state.age !== undefined) high = 208 - 0.7 * state.age + 15;
  if (value < low || value > high) {
    return { level: 'ask', message: `${label} ${show(value)} is unusual ${slot.phase === 'rest' ? 'at rest' : 'here'} (${show(low)} to ${show(high)}). Enter again to keep it.` };
  }
  return { level: 'usual' };
}

/** Diastolic must be more than 10 mmHg below systolic, unless the sounds went to zero. Common practice [C]. */
export function judgePressure(systolic: number, diastolic: number): Plausibility {
  if (diastolic >= systolic - 10) return { level: 'refuse', message: `${systolic}/${diastolic}: diastolic has to be more than 10 below systolic.` };
  return { level: 'usual' };
}
