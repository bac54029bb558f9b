/**
 * What a station profile may say: one file that an instructor copies between machines. The published JSON Schema
 * (`lab-sheets/station-profile.schema.json`) is made from this file; `lab-sheets/station-profile.md` is its guide.
 */
import { z } from 'zod';

/** The form that this program reads. */
export const PROFILE_FORM = 'stagecall-station-profile/1';
/** Longest profile that the contract lets through, in UTF-16 units. */
export const LONGEST_PROFILE = 60_000;

const words = z.string().min(1).max(300);
const number = z.number();

/** What a machine can be set to: from, to and the step between; or a list where its steps are not even. */
const even = z.strictObject({
  unit: z.string().min(1).max(20).describe('The unit that the machine shows, like "mph", "km/h", "%", "W"'),
  step: number.positive().describe('The smallest step that the machine takes'),
  from: number.min(0).describe('The lowest setting'),
  to: number.positive().describe('The highest setting'),
});
const uneven = z.strictObject({
  unit: z.string().min(1).max(20).describe('The unit that the machine shows, like "mph", "km/h", "%", "W"'),
  values: z.array(number.min(0)).min(1).max(200).describe('All settings that the machine has'),
});
export const machineSteps = z.union([even, uneven]);
export type MachineSteps = z.infer<typeof machineSteps>;

const machine = z.strictObject({
  name: words.describe('As the pair writes it in the line "Ergometer", like "Treadmill 2"'),
  mode: z.enum(['treadmill', 'cycle', 'arm-crank', 'step']),
  speed: machineSteps.optional(),
  grade: machineSteps.optional(),
  load: machineSteps.optional(),
  'step-height': machineSteps.optional(),
});
export type Machine = z.infer<typeof machine>;

const course = z.strictObject({
  name: words,
  groups: z.array(words).max(60).default([]),
  term: words.optional(),
});

/** Two to eighty characters for each number of the scale that the lab is licensed to show words for. */
const scale = z.strictObject({
  licence: words.describe('By which right the lab shows this wording: the licence, its holder and number'),
  words: z.record(z.string().regex(/^(6|7|8|9|1\d|20)$/, 'a number of the scale, "6" to "20", in quotes'), z.string().min(1).max(80)).describe('The wording beside each number, like "6": "…"'),
});

export const profileSchema = z.strictObject({
  schema: z.literal(PROFILE_FORM),
  station: words.optional().describe('What this station is called, like "Lab 2, bench 4"'),
  units: z
    .strictObject({
      speed: z.enum(['km/h', 'mph']),
      mass: z.enum(['kg', 'lb']),
      height: z.enum(['cm', 'in']),
      load: z.enum(['W', 'kg·m/min']),
      'oxygen-uptake': z.enum(['L/min', 'mL/kg/min']),
      'decimal-mark': z.enum(['point', 'comma']),
    })
    .partial()
    .default({}),
  machines: z.array(machine).max(60).default([]),
  /** The lab's own limits take the place of the published ones: local policy goes first. */
  limits: z
    .strictObject({
      systolic: number.int().min(160).max(280).optional().describe('Above this systolic pressure during exercise, mmHg, the instructor is called'),
      diastolic: number.int().min(90).max(140).optional().describe('Above this diastolic pressure during exercise, mmHg, the instructor is called'),
      'heart-rate': number.int().min(100).max(230).optional().describe('From this heart rate on, /min, the instructor is called; the lower of this and the cap of the lab sheet is used'),
      source: words.describe('The policy that sets them, like "Department safety rules 2026, section 4"'),
    })
    .optional(),
  emergency: z.string().min(1).max(1500).optional().describe('Shown with F1 in every phase: whom to call, where the defibrillator is, the address for an ambulance'),
  scales: z.strictObject({ rpe: scale }).partial().default({}),
  courses: z.array(course).max(60).default([]),
});
export type StationProfile = z.infer<typeof profileSchema>;
