/** METs, absolute and relative oxygen uptake, energy from oxygen, pace: the everyday conversions of the worksheet. */
import { KG_PER_POUND, VO2_PER_MET } from '../units/units.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'METs and energy';

const mass = { label: 'Body mass', symbol: 'M', unit: 'kg', alsoUnits: ['[lb_av]'], min: 20, max: 300 } as const satisfies InputSpec;
const relative = { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/kg/min', min: 0, max: 120 } as const satisfies InputSpec;
const absolute = {
  label: 'Oxygen uptake',
  symbol: 'VO₂',
  unit: 'L/min',
  alsoUnits: ['mL/min'],
  min: 0,
  max: 10,
} as const satisfies InputSpec;
const mets = { label: 'METs', symbol: 'METs', unit: '[MET]', min: 0, max: 35 } as const satisfies InputSpec;
const minutes = { label: 'Time', symbol: 't', unit: 'min', min: 0, max: 1440 } as const satisfies InputSpec;

const poundSlip = <V extends { mass: number }>(compute: (v: V) => number) => ({
  id: 'mass-in-pounds',
  says: 'the body mass was put in in pounds, not in kilograms',
  compute: (v: V) => compute({ ...v, mass: v.mass / KG_PER_POUND }),
});

export const metFromVo2: Formula = defineFormula({
  id: 'met-from-vo2',
  title: 'METs from oxygen uptake',
  family: FAMILY,
  inputs: { vo2: relative },
  output: { label: 'METs', symbol: 'METs', unit: '[MET]', decimals: 1 },
  validity: [],
  source: {
    citation: 'Compendium of Physical Activities unit page; Bushman B. ACSM’s Health & Fitness Journal 2020;24(3–4)',
    provenance: 'P',
  },
  equation: 'METs = VO₂/3.5',
  compute: (v) => v.vo2 / VO2_PER_MET,
  substituted: (v) => `${n(v.vo2, 2)} / 3.5`,
  solve: { vo2: (v) => v.output * VO2_PER_MET },
  slips: [{ id: 'multiplied', says: 'the value was multiplied by 3.5, not divided', compute: (v) => v.vo2 * VO2_PER_MET }],
});

export const vo2Relative: Formula = defineFormula({
  id: 'vo2-relative',
  title: 'Oxygen uptake per kilogram',
  family: FAMILY,
  inputs: { vo2: absolute, mass },
  output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/kg/min', decimals: 1 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'VO₂ = 1000·VO₂(L/min)/M',
  compute: (v) => (1000 * v.vo2) / v.mass,
  substituted: (v) => `1000 × ${n(v.vo2, 3)} / ${n(v.mass, 2)}`,
  solve: { vo2: (v) => (v.output * v.mass) / 1000, mass: (v) => (1000 * v.vo2) / v.output },
  slips: [poundSlip((v: { vo2: number; mass: number }) => (1000 * v.vo2) / v.mass)],
});

export const vo2Absolute: Formula = defineFormula({
  id: 'vo2-absolute',
  title: 'Oxygen uptake in L/min',
  family: FAMILY,
  inputs: { vo2: relative, mass },
  output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 2 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'VO₂(L/min) = VO₂·M/1000',
  compute: (v) => (v.vo2 * v.mass) / 1000,
  substituted: (v) => `${n(v.vo2, 2)} × ${n(v.mass, 2)} / 1000`,
  solve: { vo2: (v) => (v.output * 1000) / v.mass, mass: (v) => (v.output * 1000) / v.vo2 },
  slips: [poundSlip((v: { vo2: number; mass: number }) => (v.vo2 * v.mass) / 1000)],
});

export const energyFromVo2: Formula = defineFormula({
  id: 'energy-rate-from-vo2',
  title: 'Energy from oxygen uptake, 5 kcal per litre',
  family: FAMILY,
  inputs: { vo2: absolute },
  output: { label: 'Energy expenditure', symbol: 'E', unit: 'kcal/min', alsoUnits: ['kJ/min', 'kcal/h'], decimals: 1 },
  validity: [],
  error: { kind: 'range', value: 6, unit: '%', text: 'the equivalent runs from 4.69 to 5.05 kcal/L with the RQ' },
  source: { citation: 'Bushman B. ACSM’s Health & Fitness Journal 2020;24(3–4)', provenance: 'P' },
  equation: 'E = 5·VO₂',
  compute: (v) => 5 * v.vo2,
  substituted: (v) => `5 × ${n(v.vo2, 3)}`,
  solve: { vo2: (v) => v.output / 5 },
});

export const energyFromMets: Formula = defineFormula({
  id: 'energy-rate-from-mets',
  title: 'Energy from METs',
  family: FAMILY,
  inputs: { mets, mass },
  output: { label: 'Energy expenditure', symbol: 'E', unit: 'kcal/min', alsoUnits: ['kJ/min', 'kcal/h'], decimals: 1 },
  validity: [],
  source: {
    citation: 'Bushman B. ACSM’s Health & Fitness Journal 2020;24(3–4)',
    provenance: 'P',
    note: '3.5 mL/kg/min per MET and 5 kcal per litre',
  },
  equation: 'E = METs·3.5·M/200',
  compute: (v) => (v.mets * VO2_PER_MET * v.mass) / 200,
  substituted: (v) => `${n(v.mets, 2)} × 3.5 × ${n(v.mass, 2)} / 200`,
  solve: { mets: (v) => (v.output * 200) / (VO2_PER_MET * v.mass), mass: (v) => (v.output * 200) / (VO2_PER_MET * v.mets) },
  slips: [poundSlip((v: { mets: number; mass: number }) => (v.mets * VO2_PER_MET * v.mass) / 200)],
});

export const energyFromMetsRule: Formula = defineFormula({
  id: 'energy-rate-from-mets-rule',
  title: 'Energy from METs, 1 kcal/kg/h per MET',
  family: FAMILY,
  inputs: { mets, mass },
  output: { label: 'Energy expenditure', symbol: 'E', unit: 'kcal/min', alsoUnits: ['kJ/min', 'kcal/h'], decimals: 1 },
  validity: [],
  source: {
    citation: 'Compendium of Physical Activities unit page',
    provenance: 'P',
    note: 'the rule gives 4.8 % less than 3.5·M/200 (1 against 1.05 kcal/kg/h)',
  },
  equation: 'E = METs·M/60',
  compute: (v) => (v.mets * v.mass) / 60,
  substituted: (v) => `${n(v.mets, 2)} × ${n(v.mass, 2)} / 60`,
  solve: { mets: (v) => (v.output * 60) / v.mass, mass: (v) => (v.output * 60) / v.mets },
});

export const energyOfSession: Formula = defineFormula({
  id: 'energy-of-session',
  title: 'Energy of a bout',
  family: FAMILY,
  inputs: {
    vo2: relative,
    mass,
    time: minutes,
    basis: {
      label: 'Gross or net',
      symbol: 'basis',
      unit: '1',
      choices: [
        { value: 'gross', label: 'gross' },
        { value: 'net', label: 'net (resting 3.5 mL/kg/min taken off)' },
      ],
      default: 'gross',
    },
  },
  output: { label: 'Energy', symbol: 'E', unit: 'kcal', alsoUnits: ['kJ'], decimals: 0 },
  validity: [],
  source: { citation: 'Bushman B. ACSM’s Health & Fitness Journal 2020;24(3–4)', provenance: 'P', note: '5 kcal per litre of oxygen' },
  equation: 'E = 5·VO₂·M/1000·t (net: VO₂ − 3.5)',
  compute: (v) => (5 * (v.basis === 'net' ? v.vo2 - VO2_PER_MET : v.vo2) * v.mass * v.time) / 1000,
  substituted: (v) => `5 × ${v.basis === 'net' ? `(${n(v.vo2, 2)} − 3.5)` : n(v.vo2, 2)} × ${n(v.mass, 2)} / 1000 × ${n(v.time, 1)}`,
  solve: { time: (v) => (v.output * 1000) / (5 * (v.basis === 'net' ? v.vo2 - VO2_PER_MET : v.vo2) * v.mass) },
  slips: [
    poundSlip(
      (v: { vo2: number; mass: number; time: number; basis: 'gross' | 'net' }) =>
        (5 * (v.basis === 'net' ? v.vo2 - VO2_PER_MET : v.vo2) * v.mass * v.time) / 1000,
    ),
  ],
});

export const weeklyEnergy: Formula = defineFormula({
  id: 'weekly-energy',
  title: 'Energy per week',
  family: FAMILY,
  inputs: {
    energy: { label: 'Energy expenditure', symbol: 'E', unit: 'kcal/min', min: 0, max: 40 },
    time: { ...minutes, label: 'Time per session' },
    sessions: { label: 'Sessions per week', symbol: 'n', unit: '1', min: 0, max: 28 },
  },
  output: { label: 'Energy per week', symbol: 'E week', unit: 'kcal/wk', decimals: 0 },
  validity: [],
  source: { citation: 'definition; state gross or net', provenance: 'C' },
  equation: 'E week = E·t·n',
  compute: (v) => v.energy * v.time * v.sessions,
  substituted: (v) => `${n(v.energy, 3)} × ${n(v.time, 1)} × ${n(v.sessions, 1)}`,
  solve: {
    time: (v) => v.output / (v.energy * v.sessions),
    sessions: (v) => v.output / (v.energy * v.time),
    energy: (v) => v.output / (v.time * v.sessions),
  },
});

export const metMinutesPerWeek: Formula = defineFormula({
  id: 'met-minutes-per-week',
  title: 'MET-minutes per week',
  family: FAMILY,
  inputs: {
    mets,
    time: { ...minutes, label: 'Time per session' },
    sessions: { label: 'Sessions per week', symbol: 'n', unit: '1', min: 0, max: 28 },
  },
  output: { label: 'MET-minutes per week', symbol: 'MET·min', unit: '[MET].min/wk', decimals: 0 },
  validity: [],
  population: 'recommended volume at least 500 to 1000 MET·min per week',
  source: {
    citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334',
    provenance: 'P',
    note: 'the upper figure of 1000 is from memory',
  },
  equation: 'MET·min/week = METs·t·n',
  compute: (v) => v.mets * v.time * v.sessions,
  substituted: (v) => `${n(v.mets, 2)} × ${n(v.time, 1)} × ${n(v.sessions, 1)}`,
  solve: { time: (v) => v.output / (v.mets * v.sessions), sessions: (v) => v.output / (v.mets * v.time) },
});

export const weeksToLose: Formula = defineFormula({
  id: 'weeks-to-lose-fat',
  title: 'Weeks to lose body fat, 3500 kcal per pound',
  family: FAMILY,
  inputs: {
    loss: { label: 'Fat to lose', symbol: 'loss', unit: '[lb_av]', alsoUnits: ['kg'], min: 0, max: 300 },
    weekly: { label: 'Energy per week', symbol: 'E week', unit: 'kcal/wk', min: 1, max: 30000 },
  },
  output: { label: 'Time', symbol: 't', unit: 'wk', decimals: 1 },
  validity: [],
  source: {
    citation: 'Western Washington University problem set; In-class handout',
    provenance: 'P',
    note: 'a sum for the classroom: real weight change is smaller',
  },
  equation: 't = 3500·loss/E week',
  compute: (v) => (3500 * v.loss) / v.weekly,
  substituted: (v) => `3500 × ${n(v.loss, 2)} / ${n(v.weekly, 1)}`,
  solve: { weekly: (v) => (3500 * v.loss) / v.output },
});

export const paceFromSpeed: Formula = defineFormula({
  id: 'pace-from-speed',
  title: 'Pace from speed',
  family: FAMILY,
  inputs: { speed: { label: 'Speed', symbol: 'S', unit: '[mi_i]/h', alsoUnits: ['km/h', 'm/min'], min: 0.1, max: 30 } },
  output: { label: 'Pace', symbol: 'pace', unit: 'min/[mi_i]', alsoUnits: ['min/km'], decimals: 2 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'pace = 60/S',
  compute: (v) => 60 / v.speed,
  substituted: (v) => `60 / ${n(v.speed, 2)}`,
  solve: { speed: (v) => 60 / v.output },
});

export const metAndEnergyFormulas: readonly Formula[] = [
  metFromVo2,
  vo2Relative,
  vo2Absolute,
  energyFromVo2,
  energyFromMets,
  energyFromMetsRule,
  energyOfSession,
  weeklyEnergy,
  metMinutesPerWeek,
  weeksToLose,
  paceFromSpeed,
];
