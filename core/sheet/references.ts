/**
 * What a question may refer to: values of the record by name. The loader checks a sheet against this list, and the
 * worksheet (core/worksheet) looks the values up by the same names.
 */
import type { Dimension, UnitCode } from '../units/units.ts';

export interface RecordValue {
  readonly label: string;
  /** Undefined for a word (sex, category). */
  readonly unit?: UnitCode;
}

/** Values that stand once in a record, in the units in which they are handed to a formula. */
export const recordValues = {
  'participant.age': { label: 'Age', unit: 'a' },
  'participant.sex': { label: 'Sex used in the equations' },
  'participant.mass': { label: 'Body mass', unit: 'kg' },
  'participant.height': { label: 'Height', unit: 'cm' },
  'rest.heart-rate': { label: 'Resting heart rate', unit: '/min' },
  'rest.systolic': { label: 'Resting systolic pressure', unit: 'mm[Hg]' },
  'rest.diastolic': { label: 'Resting diastolic pressure', unit: 'mm[Hg]' },
  'rest.vo2': { label: 'Resting oxygen uptake', unit: 'L/min' },
  'rest.vo2-rel': { label: 'Resting oxygen uptake per kilogram', unit: 'mL/kg/min' },
  'exercise.time': { label: 'Time from the start of exercise to the stop', unit: 's' },
  'peak.heart-rate': { label: 'Highest heart rate in exercise', unit: '/min' },
  'peak.vo2': { label: 'Highest oxygen uptake', unit: 'L/min' },
  'peak.vo2-rel': { label: 'Highest oxygen uptake per kilogram', unit: 'mL/kg/min' },
  'peak.mets': { label: 'Highest oxygen uptake in METs', unit: '[MET]' },
  'peak.rer': { label: 'Highest respiratory exchange ratio', unit: '1' },
  'peak.rpe': { label: 'Highest RPE', unit: '{score}' },
  'peak.ve': { label: 'Highest ventilation', unit: 'L/min' },
  'peak.systolic': { label: 'Highest systolic pressure in exercise', unit: 'mm[Hg]' },
  'peak.diastolic': { label: 'Diastolic pressure taken with it', unit: 'mm[Hg]' },
  'recovery.heart-rate-1': { label: 'Heart rate 1 minute after the stop', unit: '/min' },
  'recovery.heart-rate-2': { label: 'Heart rate 2 minutes after the stop', unit: '/min' },
  'recovery.systolic-3': { label: 'Systolic pressure 3 minutes after the stop', unit: 'mm[Hg]' },
  'prescription.maximal-heart-rate': { label: 'Measured maximum where the effort criteria were met, else the predicted one', unit: '/min' },
} as const satisfies Readonly<Record<string, RecordValue>>;
export type RecordValueName = keyof typeof recordValues;

/** Values of one stage; they have a meaning only in a table with one row a completed stage. */
export const stageValues = {
  'stage.speed': { label: 'Speed of the stage, as really set', unit: 'm/min' },
  'stage.grade': { label: 'Grade of the stage, as really set', unit: '%' },
  'stage.load': { label: 'Load of the stage, as really set', unit: 'W' },
  'stage.vo2': { label: 'Measured oxygen uptake of the stage', unit: 'L/min' },
  'stage.vo2-rel': { label: 'Measured oxygen uptake of the stage per kilogram', unit: 'mL/kg/min' },
  'stage.heart-rate': { label: 'Heart rate at the end of the stage', unit: '/min' },
} as const satisfies Readonly<Record<string, RecordValue>>;
export type StageValueName = keyof typeof stageValues;

/** What the results hold ready-made beside the values of the record; a question's answer may be one of these instead of a formula. */
export const resultValues = {
  ...recordValues,
  'recovery.hrr-1': { label: 'Heart-rate recovery at 1 minute', unit: '/min' },
  'recovery.hrr-2': { label: 'Heart-rate recovery at 2 minutes', unit: '/min' },
  'prescription.heart-rate': { label: 'Target heart rate of the sheet’s prescription', unit: '/min' },
  category: { label: 'Fitness category by the sheet’s first table of norms' },
} as const satisfies Readonly<Record<string, RecordValue>>;

/** How one entry of `with` reads. */
export type Reference =
  | { readonly kind: 'record'; readonly name: RecordValueName }
  | { readonly kind: 'stage'; readonly name: StageValueName }
  | { readonly kind: 'answer'; readonly question: string }
  | { readonly kind: 'constant'; readonly text: string }
  | { readonly kind: 'unknown'; readonly text: string };

/** Tells a name ("participant.age"), an earlier answer ("answer.hr-max") and a constant ("60 %", 3.5, "male") apart. */
export function readReference(text: string | number): Reference {
  if (typeof text === 'number') return { kind: 'constant', text: String(text) };
  const word = text.trim();
  if (Object.hasOwn(recordValues, word)) return { kind: 'record', name: word as RecordValueName };
  if (Object.hasOwn(stageValues, word)) return { kind: 'stage', name: word as StageValueName };
  const answer = /^answer\.([a-z0-9-]+)$/.exec(word);
  if (answer?.[1] !== undefined) return { kind: 'answer', question: answer[1] };
  return /^[a-z-]+\./.test(word) ? { kind: 'unknown', text: word } : { kind: 'constant', text: word };
}

/** Whether a value of the first dimension can be put where the second is wanted (an uptake per kilogram where a flow is, given the mass). */
export function fits(given: Dimension, wanted: Dimension, massKnown: boolean): boolean {
  if (given === wanted) return true;
  const uptake: readonly Dimension[] = ['flow', 'uptake-per-mass'];
  return massKnown && uptake.includes(given) && uptake.includes(wanted);
}
