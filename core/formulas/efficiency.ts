/** Efficiency and economy of exercise. */
import { KJ_PER_KCAL } from '../units/units.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Efficiency';
const power = {
  label: 'Work rate',
  symbol: 'W',
  unit: 'W',
  min: 1,
  max: 1000,
  note: 'External work in watts; kg·m/min are converted with the laboratory’s 6.12.',
} as const satisfies InputSpec;
const energy = {
  label: 'Energy expenditure',
  symbol: 'E',
  unit: 'kcal/min',
  alsoUnits: ['kJ/min'],
  min: 0.1,
  max: 50,
} as const satisfies InputSpec;
const out = (label: string, symbol: string) => ({ label, symbol, unit: '%', decimals: 1 }) as const;

/** kcal/min of external work at W watts: 60 s × W / 4184 J. */
export const workKcalPerMin = (watts: number) => (watts * 60) / (KJ_PER_KCAL * 1000);

const possible = (value: number) =>
  value > 35 ? [{ text: 'Efficiency above 35 % is not seen in people; check energy and work rate.' }] : [];

export const grossEfficiency: Formula = defineFormula({
  id: 'efficiency-gross',
  title: 'Gross efficiency',
  family: FAMILY,
  inputs: { load: power, energy },
  output: out('Gross efficiency', 'GE'),
  validity: [],
  check: (v) => possible((100 * workKcalPerMin(v.load)) / v.energy),
  population: 'trained cyclists 19.8 ± 0.6 % (Moseley & Jeukendrup 2001)',
  source: { citation: 'definition; Moseley L, Jeukendrup AE. Med Sci Sports Exerc 2001', provenance: 'P' },
  equation: 'GE = 100·work/energy, work(kcal/min) = W·60/4184',
  compute: (v) => (100 * workKcalPerMin(v.load)) / v.energy,
  substituted: (v) => `100 × (${n(v.load, 1)} × 60 / 4184) / ${n(v.energy, 3)}`,
  solve: { energy: (v) => (100 * workKcalPerMin(v.load)) / v.output, load: (v) => (v.output * v.energy * 4184) / 6000 },
  slips: [
    { id: 'watts-as-energy', says: 'watts were divided by kcal/min without a conversion', compute: (v) => (100 * v.load) / v.energy },
    {
      id: 'joules-as-calories',
      says: 'kilojoules and kilocalories were mixed (4.184)',
      compute: (v) => (100 * v.load * 60) / 1000 / v.energy,
    },
  ],
});

export const netEfficiency: Formula = defineFormula({
  id: 'efficiency-net',
  title: 'Net efficiency',
  family: FAMILY,
  inputs: { load: power, energy, resting: { ...energy, label: 'Energy expenditure at rest', symbol: 'E rest', max: 5 } },
  output: out('Net efficiency', 'NE'),
  validity: [],
  check: (v) =>
    v.energy <= v.resting
      ? [{ text: 'The energy in exercise must be above the energy at rest.', hard: true }]
      : possible((100 * workKcalPerMin(v.load)) / (v.energy - v.resting)),
  source: { citation: 'definition', provenance: 'C' },
  equation: 'NE = 100·work/(energy − rest)',
  compute: (v) => (100 * workKcalPerMin(v.load)) / (v.energy - v.resting),
  substituted: (v) => `100 × (${n(v.load, 1)} × 60 / 4184) / (${n(v.energy, 3)} − ${n(v.resting, 3)})`,
  solve: { energy: (v) => (100 * workKcalPerMin(v.load)) / v.output + v.resting },
});

export const deltaEfficiency: Formula = defineFormula({
  id: 'efficiency-delta',
  title: 'Delta efficiency between two loads',
  family: FAMILY,
  inputs: {
    loadFirst: { ...power, label: 'Lower work rate', symbol: 'W₁', min: 0 },
    energyFirst: { ...energy, label: 'Energy expenditure, lower', symbol: 'E₁' },
    loadSecond: { ...power, label: 'Higher work rate', symbol: 'W₂' },
    energySecond: { ...energy, label: 'Energy expenditure, higher', symbol: 'E₂' },
  },
  output: out('Delta efficiency', 'DE'),
  validity: [],
  check: (v) =>
    v.loadSecond <= v.loadFirst || v.energySecond <= v.energyFirst
      ? [{ text: 'The second load must cost more than the first.', hard: true }]
      : [],
  population: 'trained cyclists 25.8 ± 1.5 % (Moseley & Jeukendrup 2001)',
  source: { citation: 'definition; Moseley L, Jeukendrup AE. Med Sci Sports Exerc 2001', provenance: 'P' },
  equation: 'DE = 100·Δwork/Δenergy',
  compute: (v) => (100 * workKcalPerMin(v.loadSecond - v.loadFirst)) / (v.energySecond - v.energyFirst),
  substituted: (v) =>
    `100 × ((${n(v.loadSecond, 1)} − ${n(v.loadFirst, 1)}) × 60 / 4184) / (${n(v.energySecond, 3)} − ${n(v.energyFirst, 3)})`,
});

export const runningEconomy: Formula = defineFormula({
  id: 'running-economy',
  title: 'Oxygen cost per kilometre',
  family: FAMILY,
  inputs: {
    vo2: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/kg/min', min: 3, max: 100 },
    speed: { label: 'Speed', symbol: 'S', unit: 'm/min', alsoUnits: ['km/h', '[mi_i]/h'], min: 10, max: 500 },
  },
  output: { label: 'Oxygen cost per kilometre', symbol: 'cost', unit: 'mL/kg/km', decimals: 0 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'cost = 1000·VO₂/S',
  compute: (v) => (1000 * v.vo2) / v.speed,
  substituted: (v) => `1000 × ${n(v.vo2, 2)} / ${n(v.speed, 1)}`,
  solve: { vo2: (v) => (v.output * v.speed) / 1000 },
});

export const oxygenGain: Formula = defineFormula({
  id: 'oxygen-gain',
  title: 'Rise of oxygen uptake per watt',
  family: FAMILY,
  inputs: {
    vo2First: { label: 'Oxygen uptake, lower load', symbol: 'VO₂₁', unit: 'mL/min', alsoUnits: ['L/min'], min: 50, max: 9000 },
    loadFirst: { ...power, label: 'Lower work rate', symbol: 'W₁', min: 0 },
    vo2Second: { label: 'Oxygen uptake, higher load', symbol: 'VO₂₂', unit: 'mL/min', alsoUnits: ['L/min'], min: 50, max: 9000 },
    loadSecond: { ...power, label: 'Higher work rate', symbol: 'W₂' },
  },
  output: { label: 'Rise of oxygen uptake per watt', symbol: 'ΔVO₂/ΔW', unit: 'mL/min/W', decimals: 1 },
  validity: [
    { input: 'output', min: 9, text: 'The cycle slope is usually 9 to 11 mL/min per watt; this is lower.' },
    { input: 'output', max: 11, text: 'The cycle slope is usually 9 to 11 mL/min per watt; this is higher.' },
  ],
  check: (v) => (v.loadSecond <= v.loadFirst ? [{ text: 'The second load must be above the first.', hard: true }] : []),
  source: { citation: 'common practice', provenance: 'C', note: 'typical values from memory' },
  equation: 'ΔVO₂/ΔW',
  compute: (v) => (v.vo2Second - v.vo2First) / (v.loadSecond - v.loadFirst),
  substituted: (v) => `(${n(v.vo2Second, 0)} − ${n(v.vo2First, 0)}) / (${n(v.loadSecond, 1)} − ${n(v.loadFirst, 1)})`,
});

export const efficiencyFormulas: readonly Formula[] = [grossEfficiency, netEfficiency, deltaEfficiency, runningEconomy, oxygenGain];
