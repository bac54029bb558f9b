/** Oxygen cost of walking and running: the ACSM metabolic equations, gross and at steady state. */
import { HANDBOOK_FACTORS, VO2_PER_MET } from '../units/units.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Oxygen cost';
const REST = VO2_PER_MET;

const speed = {
  label: 'Speed',
  symbol: 'S',
  unit: 'm/min',
  alsoUnits: ['[mi_i]/h', 'km/h', 'm/s'],
  min: 0,
  max: 500,
} as const satisfies InputSpec;

const grade = {
  label: 'Grade',
  symbol: 'G',
  unit: '1',
  alsoUnits: ['%'],
  min: 0,
  max: 1,
  note: 'As a fraction in the equation: 14 % is 0.14. The equations hold for level and uphill work.',
} as const satisfies InputSpec;

const output = {
  label: 'Oxygen uptake',
  symbol: 'VO₂',
  unit: 'mL/kg/min',
  alsoUnits: ['[MET]', 'L/min'],
  decimals: 1,
} as const;

/** Slips that markers meet in both equations; `horizontal` and `vertical` are the equation's own constants. */
const slips = (horizontal: number, vertical: number, other: { says: string; horizontal: number; vertical: number }) => [
  {
    id: 'grade-as-whole-number',
    says: 'the grade was put in as a whole number of per cent, not as a fraction',
    compute: (v: { speed: number; grade: number }) => horizontal * v.speed + vertical * v.speed * v.grade * 100 + REST,
  },
  {
    id: 'speed-in-mph',
    says: 'the speed was put in in mph, not in m/min',
    compute: (v: { speed: number; grade: number }) => {
      const mph = v.speed / HANDBOOK_FACTORS.metresPerMinutePerMph;
      return horizontal * mph + vertical * mph * v.grade + REST;
    },
  },
  {
    id: 'speed-in-km-h',
    says: 'the speed was put in in km/h, not in m/min',
    compute: (v: { speed: number; grade: number }) => {
      const kmh = (v.speed * 60) / 1000;
      return horizontal * kmh + vertical * kmh * v.grade + REST;
    },
  },
  {
    id: 'rest-left-out',
    says: 'the resting term of 3.5 was left out',
    compute: (v: { speed: number; grade: number }) => horizontal * v.speed + vertical * v.speed * v.grade,
  },
  {
    id: 'other-gait',
    says: other.says,
    compute: (v: { speed: number; grade: number }) => other.horizontal * v.speed + other.vertical * v.speed * v.grade + REST,
  },
];

const bushman = 'Bushman B. Metabolic Calculations in Action, parts 1–2. ACSM’s Health & Fitness Journal 2020;24(3–4)';

export const walkVo2Acsm: Formula = defineFormula({
  id: 'walk-vo2-acsm',
  title: 'Walking, ACSM',
  family: FAMILY,
  inputs: { speed, grade },
  output,
  validity: [
    { input: 'speed', min: 50, text: 'The walking equation is published for 50 to 100 m/min (1.9 to 3.7 mph); this is slower.' },
    {
      input: 'speed',
      max: 100,
      text: 'The walking equation is published for 50 to 100 m/min (1.9 to 3.7 mph); above that use it only for a true walk.',
    },
  ],
  error: {
    kind: 'range',
    value: 7,
    unit: '%',
    text: 'between people the error may reach about 7 % [from memory of the ACSM Guidelines, 8th–10th ed.]',
  },
  population: 'adults at steady state; a graded test to exhaustion is over-predicted',
  source: { citation: bushman, provenance: 'P', note: 'range from public lecture slides on the ACSM formulas' },
  equation: 'VO₂ = 0.1·S + 1.8·S·G + 3.5',
  compute: (v) => 0.1 * v.speed + 1.8 * v.speed * v.grade + REST,
  substituted: (v) => `0.1 × ${n(v.speed, 1)} + 1.8 × ${n(v.speed, 1)} × ${n(v.grade)} + 3.5`,
  solve: {
    speed: (v) => (v.output - REST) / (0.1 + 1.8 * v.grade),
    grade: (v) => (v.output - REST - 0.1 * v.speed) / (1.8 * v.speed),
  },
  slips: slips(0.1, 1.8, { says: 'the running equation was used for a walk', horizontal: 0.2, vertical: 0.9 }),
});

export const runVo2Acsm: Formula = defineFormula({
  id: 'run-vo2-acsm',
  title: 'Running, ACSM',
  family: FAMILY,
  inputs: { speed, grade },
  output,
  validity: [
    {
      input: 'speed',
      min: 134,
      text: 'The running equation is published for more than 134 m/min (5 mph); below that, from 80 m/min, use it only for a true run.',
    },
  ],
  error: {
    kind: 'range',
    value: 7,
    unit: '%',
    text: 'between people the error may reach about 7 % [from memory of the ACSM Guidelines, 8th–10th ed.]',
  },
  population: 'adults at steady state; a graded test to exhaustion is over-predicted',
  source: { citation: bushman, provenance: 'P', note: 'range from public lecture slides and algorithm pages citing ACSM' },
  equation: 'VO₂ = 0.2·S + 0.9·S·G + 3.5',
  compute: (v) => 0.2 * v.speed + 0.9 * v.speed * v.grade + REST,
  substituted: (v) => `0.2 × ${n(v.speed, 1)} + 0.9 × ${n(v.speed, 1)} × ${n(v.grade)} + 3.5`,
  solve: {
    speed: (v) => (v.output - REST) / (0.2 + 0.9 * v.grade),
    grade: (v) => (v.output - REST - 0.2 * v.speed) / (0.9 * v.speed),
  },
  slips: slips(0.2, 0.9, { says: 'the walking equation was used for a run', horizontal: 0.1, vertical: 1.8 }),
});

export const walkingAndRunning: readonly Formula[] = [walkVo2Acsm, runVo2Acsm];
