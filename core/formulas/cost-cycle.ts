/**
 * Oxygen cost of leg cycling and arm cranking (ACSM). The equations are published with separate constants per watt (10.8 and 18,
 * from 6.0 kg·m/min per watt) and per kg·m/min (1.8 and 3). The unit entered chooses the form: converting at 6.12 and then using
 * the other constant would differ by 2 %.
 */
import { KG_PER_POUND, VO2_PER_MET } from '../units/units.ts';
import { mass } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source, Validity } from './formula.ts';

const FAMILY = 'Oxygen cost';
const REST = VO2_PER_MET;

const output = { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/kg/min', alsoUnits: ['[MET]', 'L/min'], decimals: 1 } as const;
const watts = { label: 'Work rate', symbol: 'W', unit: 'W', alsoUnits: ['kgf.m/min'], min: 0, max: 800 } as const satisfies InputSpec;
const kgm = { label: 'Work rate', symbol: 'WR', unit: 'kgf.m/min', alsoUnits: ['W'], min: 0, max: 4900 } as const satisfies InputSpec;

interface Ergometer {
  readonly id: string;
  readonly title: string;
  /** mL per kg·m of work; per watt it is six times that, as published */
  readonly perKgm: number;
  readonly perWatt: number;
  /** mL/kg/min beside the work: rest, and for the legs unloaded movement */
  readonly constant: number;
  readonly constantText: string;
  readonly rangeKgm: readonly [number, number];
  readonly rangeWatts: readonly [number, number];
  readonly wrongConstants: readonly { readonly id: string; readonly says: string; readonly value: number }[];
  readonly source: Source;
}

function form(e: Ergometer, unit: 'W' | 'kgf.m/min'): Formula {
  const isWatts = unit === 'W';
  const factor = isWatts ? e.perWatt : e.perKgm;
  const [low, high] = isWatts ? e.rangeWatts : e.rangeKgm;
  const label = isWatts ? 'W' : 'kg·m/min';
  const compute = (v: { readonly load: number; readonly mass: number }) => (factor * v.load) / v.mass + e.constant;
  const range: readonly Validity[] = [
    { input: 'load', min: low, text: `The equation is published for ${low} to ${high} ${label}; this is less.` },
    { input: 'load', max: high, text: `The equation is published for ${low} to ${high} ${label}; this is more.` },
  ];
  return defineFormula({
    id: isWatts ? e.id : `${e.id}-kgm`,
    title: isWatts ? e.title : `${e.title}, kg·m/min`,
    family: FAMILY,
    inputs: { load: isWatts ? watts : kgm, mass },
    output,
    validity: range,
    error: {
      kind: 'range',
      value: 7,
      unit: '%',
      text: 'between people the error may reach about 7 % [from memory of the ACSM Guidelines, 8th–10th ed.]',
    },
    population: 'adults at steady state',
    source: e.source,
    equation: isWatts ? `VO₂ = ${factor}·W/M + ${e.constantText}` : `VO₂ = ${factor}·WR/M + ${e.constantText}`,
    compute,
    substituted: (v) => `${factor} × ${n(v.load, 1)} / ${n(v.mass, 2)} + ${e.constantText}`,
    solve: {
      load: (v) => ((v.output - e.constant) * v.mass) / factor,
      mass: (v) => (factor * v.load) / (v.output - e.constant),
    },
    slips: [
      {
        id: 'other-unit-of-work',
        says: isWatts ? 'the constant for kg·m/min was used with watts' : 'the constant for watts was used with kg·m/min',
        compute: (v) => ((isWatts ? e.perKgm : e.perWatt) * v.load) / v.mass + e.constant,
      },
      {
        id: 'mass-in-pounds',
        says: 'the body mass was put in in pounds, not in kilograms',
        compute: (v) => compute({ ...v, mass: v.mass / KG_PER_POUND }),
      },
      ...e.wrongConstants.map((wrong) => ({
        id: wrong.id,
        says: wrong.says,
        compute: (v: { readonly load: number; readonly mass: number }) => (factor * v.load) / v.mass + wrong.value,
      })),
    ],
  });
}

function bothForms(e: Ergometer): Formula {
  return { ...form(e, 'W'), unitForm: { input: 'load', unit: 'kgf.m/min', formula: form(e, 'kgf.m/min') } };
}

export const legVo2Acsm = bothForms({
  id: 'leg-vo2-acsm',
  title: 'Leg cycling, ACSM',
  perKgm: 1.8,
  perWatt: 10.8,
  constant: 7,
  constantText: '7',
  rangeKgm: [300, 1200],
  rangeWatts: [50, 200],
  wrongConstants: [
    { id: 'one-constant-left-out', says: 'only one of the two terms of 3.5 (rest and unloaded cycling) was added', value: 3.5 },
    { id: 'constants-left-out', says: 'the terms for rest and unloaded cycling (3.5 + 3.5) were left out', value: 0 },
  ],
  source: {
    citation: 'Bushman B. Metabolic Calculations in Action, parts 1–2. ACSM’s Health & Fitness Journal 2020;24(3–4)',
    provenance: 'P',
    note: '7 is rest 3.5 and unloaded cycling 3.5; 10.8 per watt comes from 6.0 kg·m/min per watt',
  },
});

export const armVo2Acsm = bothForms({
  id: 'arm-vo2-acsm',
  title: 'Arm cranking, ACSM',
  perKgm: 3,
  perWatt: 18,
  constant: 3.5,
  constantText: '3.5',
  rangeKgm: [150, 750],
  rangeWatts: [25, 125],
  wrongConstants: [
    { id: 'leg-constant', says: 'the leg-cycling constant of 7 was used', value: 7 },
    { id: 'rest-left-out', says: 'the resting term of 3.5 was left out', value: 0 },
  ],
  source: {
    citation: 'ACSM arm equation, as on public algorithm pages and a course equation sheet',
    provenance: 'P',
    note: 'the form per watt (18) is from memory of the ACSM Guidelines; no unloaded term. No printed worked answer was found',
  },
});

export const legVo2Friend = defineFormula({
  id: 'leg-vo2-friend-2018',
  title: 'Leg cycling at peak, FRIEND (Kokkinos 2018)',
  family: FAMILY,
  inputs: { load: { ...watts, alsoUnits: ['kgf.m/min'] }, mass },
  output,
  validity: [],
  error: { kind: 'range', value: 0.5, unit: '%', text: 'mean bias 0.5 %, against 15.5 % for the ACSM equation in the same people' },
  population: '5100 maximal cycle tests',
  source: {
    citation: 'Kokkinos P et al. Eur J Prev Cardiol 2018;25:1077',
    provenance: 'P',
    note: 'abstract; the equation is published with 6.12 kg·m/min per watt',
  },
  equation: 'VO₂ = 1.74·(6.12·W/M) + 3.5',
  compute: (v) => (1.74 * 6.12 * v.load) / v.mass + REST,
  substituted: (v) => `1.74 × (6.12 × ${n(v.load, 1)} / ${n(v.mass, 2)}) + 3.5`,
  solve: { load: (v) => ((v.output - REST) * v.mass) / (1.74 * 6.12) },
});

export const legVo2Legacy = defineFormula({
  id: 'leg-vo2-acsm-before-2000',
  title: 'Leg cycling, superseded ACSM form',
  family: FAMILY,
  inputs: { load: kgm, mass },
  output: { ...output, unit: 'mL/min', alsoUnits: ['L/min', 'mL/kg/min'], decimals: 0 },
  validity: [],
  check: () => [{ text: 'This form was replaced in 2000; it is here for old problem sets and must not be mixed with the present one.' }],
  source: { citation: 'ACSM Guidelines 1986–1995', provenance: 'M' },
  equation: 'VO₂(mL/min) = 2.0·WR + 3.5·M',
  compute: (v) => 2 * v.load + REST * v.mass,
  substituted: (v) => `2 × ${n(v.load, 1)} + 3.5 × ${n(v.mass, 2)}`,
  solve: { load: (v) => (v.output - REST * v.mass) / 2 },
});

const cadence = { label: 'Cadence', symbol: 'rpm', unit: '/min', min: 0, max: 200 } as const satisfies InputSpec;
const force = { label: 'Brake load', symbol: 'kp', unit: 'kgf', min: 0, max: 20 } as const satisfies InputSpec;

const flywheel = (id: string, title: string, perTurn: number, provenance: Source): Formula =>
  defineFormula({
    id,
    title,
    family: FAMILY,
    inputs: {
      force,
      cadence,
      perTurn: { label: 'Flywheel distance per turn', symbol: 'D', unit: 'm/{rev}', default: perTurn, min: 0.5, max: 12 },
    },
    output: { label: 'Work rate', symbol: 'WR', unit: 'kgf.m/min', alsoUnits: ['W'], decimals: 0 },
    validity: [],
    source: provenance,
    equation: 'WR = kp·D·rpm',
    compute: (v) => v.force * v.perTurn * v.cadence,
    substituted: (v) => `${n(v.force, 2)} × ${n(v.perTurn, 2)} × ${n(v.cadence, 1)}`,
    solve: { force: (v) => v.output / (v.perTurn * v.cadence), cadence: (v) => v.output / (v.force * v.perTurn) },
  });

export const legFlywheel = flywheel('work-rate-leg-flywheel', 'Work rate from brake load, leg cycle', 6, {
  citation: 'class handout In-Class Metabolic Calculations',
  provenance: 'P',
  note: '6 m of flywheel per pedal turn on the common leg ergometer',
});

export const armFlywheel = flywheel('work-rate-arm-flywheel', 'Work rate from brake load, arm crank', 2.4, {
  citation: 'ACSM course material',
  provenance: 'P',
  note: '2.4 m per crank turn is common; enter the machine’s own where it differs',
});

export const cyclingCost: readonly Formula[] = [legVo2Acsm, armVo2Acsm, legVo2Friend, legFlywheel, armFlywheel, legVo2Legacy];
