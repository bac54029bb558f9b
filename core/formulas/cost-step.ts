/** Oxygen cost of stepping, and two corrections and alternatives for the treadmill. */
import { VO2_PER_MET } from '../units/units.ts';
import { mass } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Oxygen cost';
const REST = VO2_PER_MET;
const output = { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/kg/min', alsoUnits: ['[MET]'], decimals: 1 } as const;

const cycles = {
  label: 'Step cycles',
  symbol: 'f',
  unit: '/min',
  min: 0,
  max: 60,
  note: 'One cycle is up, up, down, down: four beats of the metronome. 96 beats a minute are 24 cycles.',
} as const satisfies InputSpec;
const height = { label: 'Step height', symbol: 'h', unit: 'm', alsoUnits: ['cm', '[in_i]'], min: 0, max: 0.8 } as const satisfies InputSpec;

const step = (v: { readonly cycles: number; readonly height: number }) => 0.2 * v.cycles + 1.33 * 1.8 * v.height * v.cycles + REST;

export const stepVo2Acsm: Formula = defineFormula({
  id: 'step-vo2-acsm',
  title: 'Stepping, ACSM',
  family: FAMILY,
  inputs: { cycles, height },
  output,
  validity: [
    { input: 'cycles', min: 12, text: 'The stepping equation is published for 12 to 30 cycles a minute; this is slower.' },
    {
      input: 'cycles',
      max: 30,
      text: 'The stepping equation is published for 12 to 30 cycles a minute; this is faster. Were steps counted in place of cycles?',
    },
    { input: 'height', min: 0.04, text: 'The stepping equation is published for heights from 0.04 to 0.40 m; this is lower.' },
    { input: 'height', max: 0.4, text: 'The stepping equation is published for heights from 0.04 to 0.40 m; this is higher.' },
  ],
  error: {
    kind: 'SEE',
    value: 1.7,
    unit: 'mL/kg/min',
    text: 'SEE 1.7, total error 1.9 mL/kg/min, mean error −0.6 (Latin 2001: 55 people, 0.1–0.3 m, 20–25 cycles/min)',
  },
  population: 'adults at steady state',
  source: {
    citation: 'ACSM stepping equation; range as quoted from the ACSM Guidelines, 6th ed. 2000',
    provenance: 'P',
    note: '1.33 is the way up plus a third for the way down; validation Latin RW et al. Med Sci Sports Exerc 2001',
  },
  equation: 'VO₂ = 0.2·f + 1.33·1.8·h·f + 3.5',
  compute: step,
  substituted: (v) => `0.2 × ${n(v.cycles, 2)} + 1.33 × 1.8 × ${n(v.height, 4)} × ${n(v.cycles, 2)} + 3.5`,
  solve: {
    cycles: (v) => (v.output - REST) / (0.2 + 2.394 * v.height),
    height: (v) => (v.output - REST - 0.2 * v.cycles) / (2.394 * v.cycles),
  },
  slips: [
    {
      id: 'steps-for-cycles',
      says: 'the metronome beats were put in, not step cycles (beats ÷ 4)',
      compute: (v) => step({ ...v, cycles: v.cycles * 4 }),
    },
    {
      id: 'height-in-cm',
      says: 'the step height was put in in centimetres, not in metres',
      compute: (v) => step({ ...v, height: v.height * 100 }),
    },
    {
      id: 'height-in-inches',
      says: 'the step height was put in in inches, not in metres',
      compute: (v) => step({ ...v, height: v.height / 0.0254 }),
    },
    { id: 'rest-left-out', says: 'the resting term of 3.5 was left out', compute: (v) => step(v) - REST },
    {
      id: 'way-down-left-out',
      says: 'the factor 1.33 for the way down was left out',
      compute: (v) => 0.2 * v.cycles + 1.8 * v.height * v.cycles + REST,
    },
  ],
});

export const stepCyclesFromMetronome: Formula = defineFormula({
  id: 'step-cycles-from-metronome',
  title: 'Step cycles from the metronome',
  family: FAMILY,
  inputs: { metronome: { label: 'Metronome', symbol: 'beats', unit: '/min', min: 20, max: 240 } },
  output: { label: 'Step cycles', symbol: 'f', unit: '/min', decimals: 1 },
  validity: [],
  source: { citation: 'class handout In-Class Metabolic Calculations', provenance: 'P' },
  equation: 'f = beats/4',
  compute: (v) => v.metronome / 4,
  substituted: (v) => `${n(v.metronome, 1)} / 4`,
  solve: { metronome: (v) => v.output * 4 },
});

export const stepVo2Legacy: Formula = defineFormula({
  id: 'step-vo2-acsm-before-2000',
  title: 'Stepping, superseded ACSM form',
  family: FAMILY,
  inputs: { cycles, height },
  output,
  validity: [],
  check: () => [{ text: 'This form was replaced in 2000; it is here for old problem sets and must not be mixed with the present one.' }],
  source: { citation: 'ACSM Guidelines 1986–1995', provenance: 'M', note: 'no resting term' },
  equation: 'VO₂ = 0.35·f + 2.4·h·f',
  compute: (v) => 0.35 * v.cycles + 2.4 * v.height * v.cycles,
  substituted: (v) => `0.35 × ${n(v.cycles, 2)} + 2.4 × ${n(v.height, 4)} × ${n(v.cycles, 2)}`,
});

const speed = {
  label: 'Speed',
  symbol: 'S',
  unit: 'm/min',
  alsoUnits: ['[mi_i]/h', 'km/h'],
  min: 0,
  max: 500,
} as const satisfies InputSpec;
const grade = { label: 'Grade', symbol: 'G', unit: '1', alsoUnits: ['%'], min: 0, max: 1 } as const satisfies InputSpec;

export const treadmillVo2Friend: Formula = defineFormula({
  id: 'treadmill-vo2-friend-2017',
  title: 'Treadmill at peak, FRIEND (Kokkinos 2017)',
  family: FAMILY,
  inputs: { speed, grade },
  output,
  validity: [],
  error: {
    kind: 'range',
    value: 18.3,
    unit: '%',
    text: 'overall error 5.1 to 18.3 %, against 21.4 to 24.9 % for the ACSM equations in the same people',
  },
  population: '7983 maximal treadmill tests',
  source: { citation: 'Kokkinos P et al. Am J Cardiol 2017;120:688', provenance: 'P', note: 'abstract' },
  equation: 'VO₂ = S·(0.17 + 0.79·G) + 3.5',
  compute: (v) => v.speed * (0.17 + 0.79 * v.grade) + REST,
  substituted: (v) => `${n(v.speed, 1)} × (0.17 + 0.79 × ${n(v.grade)}) + 3.5`,
  solve: {
    speed: (v) => (v.output - REST) / (0.17 + 0.79 * v.grade),
    grade: (v) => ((v.output - REST) / v.speed - 0.17) / 0.79,
  },
});

export const treadmillFoster1996: Formula = defineFormula({
  id: 'vo2max-foster-1996',
  title: 'Maximal uptake from the ACSM cost of the last stage (Foster 1996)',
  family: FAMILY,
  inputs: {
    acsm: { label: 'ACSM cost of the last stage', symbol: 'ACSM', unit: 'mL/kg/min', min: 5, max: 110 },
    handrail: {
      label: 'Handrail',
      symbol: 'handrail',
      unit: '1',
      choices: [
        { value: 'free', label: 'not held' },
        { value: 'held', label: 'held' },
      ],
    },
  },
  output: { ...output, label: 'Predicted maximal oxygen uptake', symbol: 'VO₂max' },
  validity: [],
  error: {
    kind: 'SEE',
    value: 4.8,
    unit: 'mL/kg/min',
    text: 'SEE 4.8 without the rail (30 people, R² 0.955), 4.4 with it (40 people, R² 0.833)',
  },
  source: {
    citation: 'Foster C et al. Med Sci Sports Exerc 1996;28:752',
    provenance: 'P',
    note: 'the steady-state equations over-predict in a graded test to exhaustion',
  },
  equation: 'free 0.869·ACSM − 0.07; with handrail 0.694·ACSM + 3.33',
  compute: (v) => (v.handrail === 'free' ? 0.869 * v.acsm - 0.07 : 0.694 * v.acsm + 3.33),
  substituted: (v) => (v.handrail === 'free' ? `0.869 × ${n(v.acsm, 2)} − 0.07` : `0.694 × ${n(v.acsm, 2)} + 3.33`),
  solve: { acsm: (v) => (v.handrail === 'free' ? (v.output + 0.07) / 0.869 : (v.output - 3.33) / 0.694) },
});

export const rampUnloaded: Formula = defineFormula({
  id: 'ramp-vo2-unloaded',
  title: 'Oxygen uptake of unloaded cycling (Wasserman’s ramp rule)',
  family: 'Ramp design',
  inputs: { mass },
  output: { label: 'Oxygen uptake, unloaded', symbol: 'VO₂ unloaded', unit: 'mL/min', alsoUnits: ['L/min'], decimals: 0 },
  validity: [],
  source: { citation: 'Wasserman’s method, clinical reference page', provenance: 'P' },
  equation: 'VO₂ unloaded = 150 + 6·M',
  compute: (v) => 150 + 6 * v.mass,
  substituted: (v) => `150 + 6 × ${n(v.mass, 2)}`,
  solve: { mass: (v) => (v.output - 150) / 6 },
});

export const rampPeak: Formula = defineFormula({
  id: 'ramp-vo2-peak',
  title: 'Peak oxygen uptake expected (Wasserman’s ramp rule)',
  family: 'Ramp design',
  inputs: {
    height: { label: 'Height', symbol: 'H', unit: 'cm', alsoUnits: ['m', '[in_i]'], min: 100, max: 230 },
    age: { label: 'Age', symbol: 'age', unit: 'a', min: 10, max: 95 },
    sex: {
      label: 'Sex',
      symbol: 'sex',
      unit: '1',
      choices: [
        { value: 'male', label: 'male' },
        { value: 'female', label: 'female' },
      ],
    },
  },
  output: { label: 'Peak oxygen uptake expected', symbol: 'VO₂peak', unit: 'mL/min', alsoUnits: ['L/min'], decimals: 0 },
  validity: [],
  population: 'sedentary people',
  source: { citation: 'Wasserman’s method, clinical reference page', provenance: 'P' },
  equation: 'men (H − age)·20; women (H − age)·14',
  compute: (v) => (v.height - v.age) * (v.sex === 'male' ? 20 : 14),
  substituted: (v) => `(${n(v.height, 1)} − ${n(v.age, 1)}) × ${v.sex === 'male' ? 20 : 14}`,
});

export const rampRate: Formula = defineFormula({
  id: 'ramp-rate',
  title: 'Ramp for a test of the length wanted (Wasserman’s ramp rule)',
  family: 'Ramp design',
  inputs: {
    peak: { label: 'Peak oxygen uptake expected', symbol: 'VO₂peak', unit: 'mL/min', alsoUnits: ['L/min'], min: 300, max: 8000 },
    unloaded: { label: 'Oxygen uptake, unloaded', symbol: 'VO₂ unloaded', unit: 'mL/min', alsoUnits: ['L/min'], min: 150, max: 2000 },
    time: { label: 'Length of the ramp', symbol: 't', unit: 'min', default: 10, min: 4, max: 25 },
  },
  output: { label: 'Ramp', symbol: 'ramp', unit: 'W/min', decimals: 1 },
  validity: [
    { input: 'time', min: 8, text: 'A ramp test of 8 to 12 minutes is wanted; this is shorter.' },
    { input: 'time', max: 12, text: 'A ramp test of 8 to 12 minutes is wanted; this is longer.' },
  ],
  check: (v) => (v.peak <= v.unloaded ? [{ text: 'The peak must be above the unloaded uptake.', hard: true }] : []),
  source: {
    citation: 'Wasserman’s method, clinical reference page; 8–12 min from Buchfuhrer MJ et al. 1983',
    provenance: 'P',
    note: '100 for 10 minutes is 10 mL/min per watt; the 8–12 min are from memory',
  },
  equation: 'ramp = (VO₂peak − VO₂unloaded)/(10·t)',
  compute: (v) => (v.peak - v.unloaded) / (10 * v.time),
  substituted: (v) => `(${n(v.peak, 0)} − ${n(v.unloaded, 0)}) / (10 × ${n(v.time, 1)})`,
  solve: { time: (v) => (v.peak - v.unloaded) / (10 * v.output) },
});

export const steppingAndTreadmillCost: readonly Formula[] = [
  stepVo2Acsm,
  stepCyclesFromMetronome,
  treadmillVo2Friend,
  treadmillFoster1996,
  stepVo2Legacy,
];
export const rampDesign: readonly Formula[] = [rampUnloaded, rampPeak, rampRate];
