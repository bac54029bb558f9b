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

/** What is read off a collection bag and worked out from it, step by step; each stands once for rest and once a stage. */
const bagValues = {
  volume: { label: 'Bag volume, as measured', unit: 'L' },
  time: { label: 'Collection time', unit: 's' },
  temperature: { label: 'Bag temperature', unit: 'Cel' },
  feo2: { label: 'Oxygen in expired air', unit: '%' },
  feco2: { label: 'Carbon dioxide in expired air', unit: '%' },
  've-atps': { label: 'Ventilation as measured', unit: 'L/min' },
  'vapour-pressure': { label: 'Water-vapour pressure', unit: 'mm[Hg]' },
  factor: { label: 'STPD factor', unit: '1' },
  've-stpd': { label: 'Ventilation STPD', unit: 'L/min' },
  've-btps': { label: 'Ventilation BTPS', unit: 'L/min' },
  vi: { label: 'Inspired ventilation STPD', unit: 'L/min' },
  vo2: { label: 'Oxygen uptake from the bag', unit: 'L/min' },
  vco2: { label: 'Carbon dioxide output from the bag', unit: 'L/min' },
  rer: { label: 'RER from the bag', unit: '1' },
  energy: { label: 'Energy by the caloric equivalent of the RER', unit: 'kcal/min' },
} as const satisfies Readonly<Record<string, RecordValue>>;
type BagValueName = keyof typeof bagValues;
const ofBag = <At extends 'rest' | 'stage'>(at: At, where: string) =>
  Object.fromEntries(Object.entries(bagValues).map(([name, value]) => [`${at}.bag.${name}`, { ...value, label: `${value.label}, ${where}` }])) as unknown as Record<`${At}.bag.${BagValueName}`, RecordValue>;

/** Values that stand once in a record, in the units in which they are handed to a formula. */
export const recordValues = {
  'participant.age': { label: 'Age', unit: 'a' },
  'participant.sex': { label: 'Sex used in the equations' },
  'participant.mass': { label: 'Body mass', unit: 'kg' },
  'participant.height': { label: 'Height', unit: 'cm' },
  'room.temperature': { label: 'Room temperature', unit: 'Cel' },
  'room.pressure': { label: 'Barometric pressure', unit: 'mm[Hg]' },
  'room.humidity': { label: 'Relative humidity', unit: '%' },
  'rest.heart-rate': { label: 'Resting heart rate', unit: '/min' },
  'rest.systolic': { label: 'Resting systolic pressure', unit: 'mm[Hg]' },
  'rest.diastolic': { label: 'Resting diastolic pressure', unit: 'mm[Hg]' },
  'rest.vo2': { label: 'Resting oxygen uptake', unit: 'L/min' },
  'rest.vo2-rel': { label: 'Resting oxygen uptake per kilogram', unit: 'mL/kg/min' },
  ...ofBag('rest', 'at rest'),
  'exercise.time': { label: 'Time from the start of exercise to the stop', unit: 's' },
  'exercise.distance': { label: 'Distance of the field test', unit: 'm' },
  'exercise.speed': { label: 'Mean speed over the distance', unit: 'm/min' },
  'stop.heart-rate': { label: 'Heart rate at the stop', unit: '/min' },
  'peak.heart-rate': { label: 'Highest heart rate in exercise', unit: '/min' },
  'peak.vo2': { label: 'Highest oxygen uptake', unit: 'L/min' },
  'peak.vo2-rel': { label: 'Highest oxygen uptake per kilogram', unit: 'mL/kg/min' },
  'peak.mets': { label: 'Highest oxygen uptake in METs', unit: '[MET]' },
  'peak.rer': { label: 'Highest respiratory exchange ratio', unit: '1' },
  'peak.rpe': { label: 'Highest RPE', unit: '{score}' },
  'peak.ve': { label: 'Highest ventilation', unit: 'L/min' },
  'peak.systolic': { label: 'Highest systolic pressure in exercise', unit: 'mm[Hg]' },
  'peak.diastolic': { label: 'Diastolic pressure taken with it', unit: 'mm[Hg]' },
  'last.load': { label: 'Load of the last finished stage', unit: 'W' },
  'last.step-rate': { label: 'Step cycles of the last finished stage', unit: '/min' },
  'last.step-height': { label: 'Step height of the last finished stage', unit: 'cm' },
  'last.heart-rate': { label: 'Heart rate of the last finished stage; where the sheet asks for a steady one, the mean of its last two minutes', unit: '/min' },
  'last.vo2': { label: 'Measured oxygen uptake of the last finished stage', unit: 'L/min' },
  'last.predicted-vo2-rel': { label: 'Predicted oxygen uptake of the last finished stage', unit: 'mL/kg/min' },
  'recovery.heart-rate-1': { label: 'Heart rate 1 minute after the stop', unit: '/min' },
  'recovery.heart-rate-2': { label: 'Heart rate 2 minutes after the stop', unit: '/min' },
  'recovery.systolic-3': { label: 'Systolic pressure 3 minutes after the stop', unit: 'mm[Hg]' },
  'recovery.pulse-count': { label: 'Pulse count after the stop', unit: '1' },
  'recovery.count-time': { label: 'For how long the pulse was counted', unit: 's' },
  'recovery.counted-heart-rate': { label: 'Heart rate from that count', unit: '/min' },
  'line.first-heart-rate': { label: 'Heart rate, first stage of the line', unit: '/min' },
  'line.first-vo2': { label: 'Oxygen uptake by the equation, first stage of the line', unit: 'mL/kg/min' },
  'line.first-load': { label: 'Load, first stage of the line', unit: 'W' },
  'line.second-heart-rate': { label: 'Heart rate, second stage of the line', unit: '/min' },
  'line.second-vo2': { label: 'Oxygen uptake by the equation, second stage of the line', unit: 'mL/kg/min' },
  'line.second-load': { label: 'Load, second stage of the line', unit: 'W' },
  'line.first-stage': { label: 'Which stage is the first of the line', unit: '1' },
  'line.second-stage': { label: 'Which stage is the second of the line', unit: '1' },
  'line.vo2max': { label: 'Oxygen uptake where the line reaches the predicted maximal heart rate', unit: 'mL/kg/min' },
  'threshold.vt1': { label: 'Oxygen uptake at the first ventilatory threshold', unit: 'L/min' },
  'threshold.vt2': { label: 'Oxygen uptake at the second ventilatory threshold', unit: 'L/min' },
  'threshold.vt1-heart-rate': { label: 'Heart rate at the first ventilatory threshold', unit: '/min' },
  'threshold.vt2-heart-rate': { label: 'Heart rate at the second ventilatory threshold', unit: '/min' },
  'threshold.vt1-load': { label: 'Load at the first ventilatory threshold, where the breath file has a load', unit: 'W' },
  'threshold.vt2-load': { label: 'Load at the second ventilatory threshold, where the breath file has a load', unit: 'W' },
  'threshold.vt1-placed': { label: 'Oxygen uptake at the first ventilatory threshold as a person placed it', unit: 'L/min' },
  'threshold.vt2-placed': { label: 'Oxygen uptake at the second ventilatory threshold as a person placed it', unit: 'L/min' },
  'gas.peak-vo2': { label: 'Highest oxygen uptake of the breath file, 30-s means', unit: 'L/min' },
  'gas.peak-spread': { label: 'How far the choice of averaging moves that peak', unit: 'L/min' },
  'gas.ve-vco2-slope': { label: 'VE/VCO₂ slope of the breath file, up to the respiratory compensation point', unit: '1' },
  'gas.oues': { label: 'Oxygen uptake efficiency slope of the breath file', unit: 'mL/min' },
  'gas.lowest-ve-vco2': { label: 'Lowest VE/VCO₂ of the breath file', unit: '1' },
  'slope.ve-vco2': { label: 'Slope of ventilation on carbon dioxide output, finished stages with a load', unit: '1' },
  'slope.vo2-load': { label: 'Slope of oxygen uptake on load, finished stages with a load', unit: 'mL/min/W' },
  'prescription.maximal-heart-rate': { label: 'Measured maximum where the effort criteria were met, else the predicted one', unit: '/min' },
  'norm.median': { label: 'Median of the sheet’s first table of norms for age and sex', unit: 'mL/kg/min' },
} as const satisfies Readonly<Record<string, RecordValue>>;
export type RecordValueName = keyof typeof recordValues;

/** Values of one stage; they have a meaning only in a table with one row a completed stage. */
export const stageValues = {
  'stage.speed': { label: 'Speed of the stage, as really set', unit: 'm/min' },
  'stage.grade': { label: 'Grade of the stage, as really set', unit: '%' },
  'stage.load': { label: 'Load of the stage, as really set', unit: 'W' },
  'stage.cadence': { label: 'Cadence of the stage, as really set', unit: '/min' },
  'stage.step-rate': { label: 'Step cycles of the stage, as really set', unit: '/min' },
  'stage.step-height': { label: 'Step height of the stage, as really set', unit: 'cm' },
  'stage.vo2': { label: 'Measured oxygen uptake of the stage', unit: 'L/min' },
  'stage.vo2-rel': { label: 'Measured oxygen uptake of the stage per kilogram', unit: 'mL/kg/min' },
  'stage.vco2': { label: 'Measured carbon dioxide output of the stage', unit: 'L/min' },
  'stage.ve': { label: 'Ventilation of the stage', unit: 'L/min' },
  'stage.rer': { label: 'RER of the stage', unit: '1' },
  'stage.predicted-vo2-rel': { label: 'Oxygen uptake of the stage by the sheet’s equation', unit: 'mL/kg/min' },
  'stage.heart-rate': { label: 'Heart rate at the end of the stage', unit: '/min' },
  'stage.steady-heart-rate': { label: 'Mean heart rate of the last two minutes of the stage', unit: '/min' },
  ...ofBag('stage', 'of the stage'),
} as const satisfies Readonly<Record<string, RecordValue>>;
export type StageValueName = keyof typeof stageValues;

/** What the results hold ready-made beside the values of the record; a question's answer may be one of these instead of a formula. */
export const resultValues = {
  ...recordValues,
  'recovery.hrr-1': { label: 'Heart-rate recovery at 1 minute', unit: '/min' },
  'recovery.hrr-2': { label: 'Heart-rate recovery at 2 minutes', unit: '/min' },
  'prescription.heart-rate': { label: 'Target heart rate of the sheet’s prescription', unit: '/min' },
  'prescription.vo2': { label: 'Target oxygen uptake of the sheet’s prescription', unit: 'mL/kg/min' },
  'prescription.load': { label: 'Load that takes that uptake', unit: 'W' },
  'prescription.energy-week': { label: 'Energy of the prescription in a week, gross', unit: 'kcal/wk' },
  'prescription.met-minutes': { label: 'MET-minutes of the prescription in a week', unit: '[MET].min/wk' },
  'prescription.own-heart-rate': { label: 'Heart rate at the target uptake by the participant’s own line', unit: '/min' },
  'line.stages': { label: 'The two stages that make the line' },
  category: { label: 'Fitness category by the sheet’s first table of norms' },
} as const satisfies Readonly<Record<string, RecordValue>>;

/** An amount that is added to a named value, or taken off: "answer.hr-max + 10 /min". */
export interface Shift {
  readonly sign: 1 | -1;
  readonly text: string;
}

/** Rows of a table over the stages that are named by what they are: the two stages of the sheet's line. */
export const lineRows = { 'line-first': 'line.first-stage', 'line-second': 'line.second-stage' } as const;

/** How one entry of `with` reads. */
export type Reference = { readonly shift?: Shift } & (
  | { readonly kind: 'record'; readonly name: RecordValueName }
  /** `number` names one stage of the record ("stage.3.load"); without it the row's own is meant. */
  | { readonly kind: 'stage'; readonly name: StageValueName; readonly number?: number }
  /** `row` names one row of a table; without it a table's own row is meant. */
  | { readonly kind: 'answer'; readonly question: string; readonly row?: string }
  | { readonly kind: 'constant'; readonly text: string }
  | { readonly kind: 'unknown'; readonly text: string }
);

/** Tells a name ("participant.age"), an earlier answer ("answer.hr-max") and a constant ("60 %", 3.5, "male") apart. */
export function readReference(text: string | number): Reference {
  if (typeof text === 'number') return { kind: 'constant', text: String(text) };
  const word = text.trim();
  const shifted = /^([a-z][a-z-]*\.\S+)\s+([+\u2212\u2013-])\s*(\d.*)$/.exec(word);
  if (shifted?.[1] !== undefined) return { ...readReference(shifted[1]), shift: { sign: shifted[2] === '+' ? 1 : -1, text: shifted[3] ?? '' } };
  if (Object.hasOwn(recordValues, word)) return { kind: 'record', name: word as RecordValueName };
  if (Object.hasOwn(stageValues, word)) return { kind: 'stage', name: word as StageValueName };
  const one = /^stage\.(\d{1,2})\.(\S+)$/.exec(word);
  if (one && Object.hasOwn(stageValues, `stage.${one[2]}`)) return { kind: 'stage', name: `stage.${one[2]}` as StageValueName, number: Number(one[1]) };
  const answer = /^answer\.([a-z0-9-]+)(?:\/([a-z0-9-]+))?$/.exec(word);
  if (answer?.[1] !== undefined) return { kind: 'answer', question: answer[1], ...(answer[2] === undefined ? {} : { row: answer[2] }) };
  return /^[a-z-]+\./.test(word) ? { kind: 'unknown', text: word } : { kind: 'constant', text: word };
}

/** Where the book holds what a name means; `stage.load` without a number is still to be put into a row. */
export function pathOf(reference: Exclude<Reference, { kind: 'answer' | 'constant' }>): string {
  if (reference.kind === 'unknown') return reference.text;
  return reference.kind === 'stage' && reference.number !== undefined ? reference.name.replace('stage.', `stage.${reference.number}.`) : reference.name;
}

/** Whether a value of the first dimension can be put where the second is wanted (an uptake per kilogram where a flow is, given the mass). */
export function fits(given: Dimension, wanted: Dimension, massKnown: boolean): boolean {
  if (given === wanted) return true;
  const uptake: readonly Dimension[] = ['flow', 'uptake-per-mass'];
  return massKnown && uptake.includes(given) && uptake.includes(wanted);
}
