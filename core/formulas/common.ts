/** Inputs, outputs and slips that several families share, so that one name means one thing in the whole registry. */
import { KG_PER_POUND } from '../units/units.ts';
import { sexChoices } from './define.ts';
import type { InputSpec } from './formula.ts';

export const age = { label: 'Age', symbol: 'age', unit: 'a', min: 1, max: 110 } as const satisfies InputSpec;
export const sex = {
  label: 'Sex',
  symbol: 'sex',
  unit: '1',
  choices: sexChoices,
  note: 'The sex that the equation was fitted for.',
} as const satisfies InputSpec;
export const mass = { label: 'Body mass', symbol: 'M', unit: 'kg', alsoUnits: ['[lb_av]'], min: 20, max: 300 } as const satisfies InputSpec;
export const heartRate = { label: 'Heart rate', symbol: 'HR', unit: '/min', min: 20, max: 260 } as const satisfies InputSpec;

/** Body mass for the equations that were published in pounds. */
export const massInPounds = { ...mass, unit: '[lb_av]', alsoUnits: ['kg'], min: 44, max: 660, symbol: 'lb' } as const satisfies InputSpec;

export const vo2maxOut = {
  label: 'Predicted maximal oxygen uptake',
  symbol: 'VO₂max',
  unit: 'mL/kg/min',
  alsoUnits: ['[MET]', 'L/min'],
  decimals: 1,
} as const;

export const vo2maxAbsoluteOut = {
  label: 'Predicted maximal oxygen uptake',
  symbol: 'VO₂max',
  unit: 'L/min',
  alsoUnits: ['mL/min', 'mL/kg/min'],
  decimals: 2,
} as const;

/** A time of 9:30 read as 9.30 minutes. Times with no odd seconds give the right answer, and so no slip. */
export const clockReadAsDecimal = <V extends { readonly time: number }>(compute: (v: V) => number) => ({
  id: 'clock-read-as-decimal',
  says: 'minutes and seconds were read as a decimal number (9:30 as 9.30)',
  compute: (v: V) => {
    const whole = Math.floor(v.time);
    return compute({ ...v, time: whole + ((v.time - whole) * 60) / 100 });
  },
});

/** The number of pounds put where kilograms belong. */
export const massPutInPounds = <V extends { readonly mass: number }>(compute: (v: V) => number) => ({
  id: 'mass-in-pounds',
  says: 'the body mass was put in in pounds, not in kilograms',
  compute: (v: V) => compute({ ...v, mass: v.mass / KG_PER_POUND }),
});

/** The number of kilograms put where the equation wants pounds. */
export const massPutInKilograms = <V extends { readonly mass: number }>(compute: (v: V) => number) => ({
  id: 'mass-in-kilograms',
  says: 'the body mass was put in in kilograms; this equation wants pounds',
  compute: (v: V) => compute({ ...v, mass: v.mass * KG_PER_POUND }),
});

/** The other sex's equation. */
export const otherSex = <V extends { readonly sex: 'male' | 'female' }>(compute: (v: V) => number) => ({
  id: 'other-sex',
  says: 'the equation for the other sex was used',
  compute: (v: V) => compute({ ...v, sex: v.sex === 'male' ? 'female' : 'male' }),
});

/** Limits of an age span as two plain warnings. */
export const ageSpan = (min: number, max: number) => [
  { input: 'age', min, text: `The people of this study were ${min} to ${max} years old; this age is below.` },
  { input: 'age', max, text: `The people of this study were ${min} to ${max} years old; this age is above.` },
];
