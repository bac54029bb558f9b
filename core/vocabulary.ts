/**
 * The words of the record: every quantity that can be entered, by its id.
 * The ids are the ones that a recorded session file uses and that the guide in `lab-sheets/` documents.
 * LOINC codes only where one was verified (HL7 FHIR vital signs, public LOINC pages); the rest use this program's own ids.
 */
import type { UnitCode } from './units/units.ts';

export interface Quantity {
  readonly id: string;
  /** As a person calls it in the lab. */
  readonly label: string;
  /** For a narrow column head. */
  readonly short: string;
  readonly unit: UnitCode;
  /** Units that are accepted when typed. */
  readonly accepts: readonly UnitCode[];
  /** Decimals shown. */
  readonly decimals: number;
  readonly loinc?: string;
}

const define = <Id extends string>(list: readonly (Quantity & { readonly id: Id })[]): Readonly<Record<Id, Quantity>> =>
  Object.fromEntries(list.map((item) => [item.id, item])) as unknown as Record<Id, Quantity>;

/** What is measured on the participant during the session. */
export const readingQuantities = define([
  { id: 'heart-rate', label: 'Heart rate', short: 'HR', unit: '/min', accepts: ['/min'], decimals: 0, loinc: '8867-4' },
  { id: 'systolic', label: 'Systolic pressure', short: 'SBP', unit: 'mm[Hg]', accepts: ['mm[Hg]', 'kPa'], decimals: 0, loinc: '8480-6' },
  { id: 'diastolic', label: 'Diastolic pressure', short: 'DBP', unit: 'mm[Hg]', accepts: ['mm[Hg]', 'kPa'], decimals: 0, loinc: '8462-4' },
  { id: 'rpe', label: 'RPE', short: 'RPE', unit: '{score}', accepts: ['{score}'], decimals: 0 },
  { id: 'vo2', label: 'Oxygen uptake', short: 'VO₂', unit: 'L/min', accepts: ['L/min', 'mL/min', 'mL/kg/min'], decimals: 2, loinc: '60842-2' },
  { id: 'vco2', label: 'Carbon dioxide output', short: 'VCO₂', unit: 'L/min', accepts: ['L/min', 'mL/min'], decimals: 2 },
  { id: 'rer', label: 'Respiratory exchange ratio', short: 'RER', unit: '1', accepts: ['1'], decimals: 2 },
  { id: 've', label: 'Ventilation', short: 'VE', unit: 'L/min', accepts: ['L/min', 'mL/min'], decimals: 1 },
  { id: 'pulse-count', label: 'Pulse count', short: 'Count', unit: '1', accepts: ['1'], decimals: 0 },
  { id: 'bag-volume', label: 'Bag volume, as measured', short: 'Bag', unit: 'L', accepts: ['L', 'mL'], decimals: 1 },
  { id: 'bag-time', label: 'Collection time', short: 'Bag time', unit: 's', accepts: ['s', 'min'], decimals: 0 },
  { id: 'bag-temperature', label: 'Bag temperature', short: 'Bag °C', unit: 'Cel', accepts: ['Cel', '[degF]'], decimals: 1 },
  { id: 'feo2', label: 'Oxygen in expired air', short: 'FEO₂', unit: '%', accepts: ['%'], decimals: 2 },
  { id: 'feco2', label: 'Carbon dioxide in expired air', short: 'FECO₂', unit: '%', accepts: ['%'], decimals: 2 },
]);
export type ReadingQuantity = keyof typeof readingQuantities;

/** Whether the text is the id of a quantity that is read in a session. */
export function isReadingQuantity(id: string): id is ReadingQuantity {
  return Object.hasOwn(readingQuantities, id);
}

/** Gas values exist only as a mean over a time; they are called after that time is over. */
export const gasQuantities: readonly ReadingQuantity[] = ['vo2', 'vco2', 'rer', 've'];
/** What is read off a collection bag; oxygen uptake is worked out from it. */
export const bagQuantities: readonly ReadingQuantity[] = ['bag-volume', 'bag-time', 'bag-temperature', 'feo2', 'feco2'];

/** What is written at the head of the sheet about the participant, the room and the pair. */
export const detailQuantities = define([
  { id: 'participant-code', label: 'Participant code', short: 'Participant', unit: '1', accepts: [], decimals: 0 },
  { id: 'sex', label: 'Sex used in the equations', short: 'Sex', unit: '1', accepts: [], decimals: 0 },
  { id: 'age', label: 'Age', short: 'Age', unit: 'a', accepts: ['a'], decimals: 0 },
  { id: 'height', label: 'Height', short: 'Height', unit: 'cm', accepts: ['cm', 'm', '[in_i]', '[ft_i]'], decimals: 0, loinc: '8302-2' },
  { id: 'mass', label: 'Body mass', short: 'Mass', unit: 'kg', accepts: ['kg', '[lb_av]'], decimals: 1, loinc: '29463-7' },
  { id: 'temperature', label: 'Room temperature', short: 'Temperature', unit: 'Cel', accepts: ['Cel', '[degF]'], decimals: 1 },
  { id: 'pressure', label: 'Barometric pressure', short: 'Pressure', unit: 'mm[Hg]', accepts: ['mm[Hg]', 'hPa', 'kPa', "[in_i'Hg]"], decimals: 0 },
  { id: 'humidity', label: 'Relative humidity', short: 'Humidity', unit: '%', accepts: ['%'], decimals: 0 },
  { id: 'course', label: 'Course', short: 'Course', unit: '1', accepts: [], decimals: 0 },
  { id: 'group', label: 'Group', short: 'Group', unit: '1', accepts: [], decimals: 0 },
  { id: 'term', label: 'Term', short: 'Term', unit: '1', accepts: [], decimals: 0 },
  { id: 'recorder', label: 'Recorder', short: 'Recorder', unit: '1', accepts: [], decimals: 0 },
  { id: 'tester', label: 'Tester', short: 'Tester', unit: '1', accepts: [], decimals: 0 },
  { id: 'ergometer', label: 'Ergometer', short: 'Ergometer', unit: '1', accepts: [], decimals: 0 },
]);
export type DetailId = keyof typeof detailQuantities;

/** Whether the text is the id of a detail at the head of the sheet. */
export function isDetailId(id: string): id is DetailId {
  return Object.hasOwn(detailQuantities, id);
}

/** Details that are a number with a unit; the others are words or codes. */
export const numericDetails: readonly DetailId[] = ['age', 'height', 'mass', 'temperature', 'pressure', 'humidity'];

/** What is set on the ergometer. */
export const settingQuantities = define([
  { id: 'speed', label: 'Speed', short: 'Speed', unit: 'km/h', accepts: ['km/h', '[mi_i]/h', 'm/min', 'm/s'], decimals: 1 },
  { id: 'grade', label: 'Grade', short: 'Grade', unit: '%', accepts: ['%'], decimals: 1 },
  { id: 'load', label: 'Load', short: 'Load', unit: 'W', accepts: ['W', 'kgf.m/min'], decimals: 0 },
  { id: 'cadence', label: 'Cadence', short: 'Cadence', unit: '/min', accepts: ['/min'], decimals: 0 },
  { id: 'step-rate', label: 'Step rate, whole cycles', short: 'Steps', unit: '/min', accepts: ['/min'], decimals: 0 },
  { id: 'step-height', label: 'Step height', short: 'Height', unit: 'cm', accepts: ['cm', 'm', '[in_i]'], decimals: 1 },
]);
export type SettingQuantity = keyof typeof settingQuantities;

/** Whether the text is the id of something set on the ergometer. */
export function isSettingQuantity(id: string): id is SettingQuantity {
  return Object.hasOwn(settingQuantities, id);
}

export const sexes = ['female', 'male'] as const;
export type Sex = (typeof sexes)[number];
export const gaits = ['walk', 'run'] as const;
export type Gait = (typeof gaits)[number];
export const postures = ['standing', 'walking', 'cycling', 'sitting', 'lying', 'lying, legs raised'] as const;
export type Posture = (typeof postures)[number];
