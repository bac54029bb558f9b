/** Oxygen uptake and carbon dioxide output from ventilation and expired fractions: the Haldane transformation and its ratios. */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source } from './formula.ts';

const FAMILY = 'Gas exchange';

/** Fractions of inspired dry air. The first set is the one of the textbooks; choosing another moves VO₂ by up to 0.6 %. */
export const inspiredSets = {
  textbook: { fio2: 0.2093, fico2: 0.0003 },
  newer: { fio2: 0.2093, fico2: 0.0004 },
  today: { fio2: 0.2095, fico2: 0.0004 },
} as const;
export type InspiredSet = keyof typeof inspiredSets;

export const inspired = {
  label: 'Inspired air',
  symbol: 'inspired',
  unit: '1',
  choices: [
    { value: 'textbook', label: 'O₂ 0.2093, CO₂ 0.0003 (textbooks)' },
    { value: 'newer', label: 'O₂ 0.2093, CO₂ 0.0004' },
    { value: 'today', label: 'O₂ 0.2095, CO₂ 0.0004 (air today)' },
  ],
  default: 'textbook',
} as const satisfies InputSpec;

const veStpd = { label: 'Ventilation STPD', symbol: 'VE', unit: 'L/min', min: 0, max: 350 } as const satisfies InputSpec;
const feo2 = {
  label: 'Expired O₂',
  symbol: 'FEO₂',
  unit: '1',
  alsoUnits: ['%'],
  min: 0.1,
  max: 0.2095,
  note: 'As a fraction in the equation: 16.86 % is 0.1686.',
} as const satisfies InputSpec;
const feco2 = { label: 'Expired CO₂', symbol: 'FECO₂', unit: '1', alsoUnits: ['%'], min: 0.0003, max: 0.12 } as const satisfies InputSpec;
const vo2 = {
  label: 'Oxygen uptake',
  symbol: 'VO₂',
  unit: 'L/min',
  alsoUnits: ['mL/min'],
  min: 0.01,
  max: 10,
} as const satisfies InputSpec;
const vco2 = {
  label: 'Carbon dioxide output',
  symbol: 'VCO₂',
  unit: 'L/min',
  alsoUnits: ['mL/min'],
  min: 0,
  max: 12,
} as const satisfies InputSpec;
const veBtps = { label: 'Ventilation BTPS', symbol: 'VE', unit: 'L/min', min: 0, max: 400 } as const satisfies InputSpec;

type Air = { readonly feo2: number; readonly feco2: number; readonly inspired: InspiredSet };

const haldaneSource: Source = {
  citation: 'Haldane transformation, as in McArdle, Katch & Katch, Exercise Physiology, 8th ed.',
  provenance: 'P',
  note: 'inspired 0.2093 and 0.0003 are the textbook’s; state the constants on the worksheet',
};

/** VI/VE by the balance of nitrogen. */
export const inspiredPerExpired = (v: Air) => {
  const { fio2, fico2 } = inspiredSets[v.inspired];
  return (1 - v.feo2 - v.feco2) / (1 - fio2 - fico2);
};

export const uptakeOf = (v: Air & { readonly ve: number }) => v.ve * (inspiredPerExpired(v) * inspiredSets[v.inspired].fio2 - v.feo2);
export const outputOf = (v: Air & { readonly ve: number }) => v.ve * (v.feco2 - inspiredPerExpired(v) * inspiredSets[v.inspired].fico2);

const impossibleAir = (v: { readonly feo2: number; readonly feco2: number }) =>
  v.feo2 + v.feco2 > 0.25 ? [{ text: 'O₂ and CO₂ together are more than expired air can hold; check both.', hard: true }] : [];

const noUptake = (uptake: number) =>
  uptake < 0 ? [{ text: 'These fractions give no oxygen uptake; check the two analysers.', hard: true }] : [];

const fen2Text = (v: Air) => `(1 − ${n(v.feo2)} − ${n(v.feco2)})`;

export const viHaldane: Formula = defineFormula({
  id: 'vi-haldane',
  title: 'Inspired ventilation by the balance of nitrogen',
  family: FAMILY,
  inputs: { ve: veStpd, feo2, feco2, inspired },
  output: { label: 'Inspired ventilation STPD', symbol: 'VI', unit: 'L/min', decimals: 2 },
  validity: [],
  check: impossibleAir,
  source: haldaneSource,
  equation: 'VI = VE·(1 − FEO₂ − FECO₂)/FIN₂',
  compute: (v) => v.ve * inspiredPerExpired(v),
  substituted: (v) => `${n(v.ve, 4)} × ${fen2Text(v)} / ${n(1 - inspiredSets[v.inspired].fio2 - inspiredSets[v.inspired].fico2)}`,
  solve: { ve: (v) => v.output / inspiredPerExpired(v) },
});

export const vo2Haldane: Formula = defineFormula({
  id: 'vo2-haldane',
  title: 'Oxygen uptake from expired air',
  family: FAMILY,
  inputs: { ve: veStpd, feo2, feco2, inspired },
  output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 3 },
  validity: [],
  check: (v) => [...impossibleAir(v), ...noUptake(uptakeOf(v))],
  source: haldaneSource,
  equation: 'VO₂ = VI·FIO₂ − VE·FEO₂, VI = VE·(1 − FEO₂ − FECO₂)/FIN₂',
  compute: uptakeOf,
  substituted: (v) => `${n(v.ve * inspiredPerExpired(v), 4)} × ${inspiredSets[v.inspired].fio2} − ${n(v.ve, 4)} × ${n(v.feo2)}`,
  solve: { ve: (v) => v.output / uptakeOf({ ...v, ve: 1 }) },
  slips: [
    {
      id: 'inspired-taken-as-expired',
      says: 'the inspired ventilation was taken as equal to the expired',
      compute: (v) => v.ve * (inspiredSets[v.inspired].fio2 - v.feo2),
    },
    { id: 'fractions-as-per-cent', says: 'the fractions were put in as per cent', compute: (v) => uptakeOf(v) * 100 },
  ],
});

export const vco2Haldane: Formula = defineFormula({
  id: 'vco2-haldane',
  title: 'Carbon dioxide output from expired air',
  family: FAMILY,
  inputs: { ve: veStpd, feo2, feco2, inspired },
  output: { label: 'Carbon dioxide output', symbol: 'VCO₂', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 3 },
  validity: [],
  check: impossibleAir,
  source: haldaneSource,
  equation: 'VCO₂ = VE·FECO₂ − VI·FICO₂',
  compute: outputOf,
  substituted: (v) => `${n(v.ve, 4)} × ${n(v.feco2)} − ${n(v.ve * inspiredPerExpired(v), 4)} × ${inspiredSets[v.inspired].fico2}`,
  slips: [
    {
      id: 'inspired-co2-ten-times',
      says: 'the inspired CO₂ was taken as 0.003 in place of 0.0003',
      compute: (v) => v.ve * (v.feco2 - inspiredPerExpired(v) * 0.003),
    },
  ],
});

export const vo2OneLine: Formula = defineFormula({
  id: 'vo2-one-line',
  title: 'Oxygen uptake, one-line form with 0.265',
  family: FAMILY,
  inputs: { ve: veStpd, feo2, feco2 },
  output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 3 },
  validity: [],
  check: (v) => [...impossibleAir(v), ...noUptake(v.ve * ((1 - v.feo2 - v.feco2) * 0.265 - v.feo2))],
  source: {
    citation: 'McArdle, Katch & Katch, Exercise Physiology, 8th ed.',
    provenance: 'P',
    note: '0.265 rounds 0.2093/0.7904 = 0.2648 and adds about 0.4 %',
  },
  equation: 'VO₂ = VE·[(1 − FEO₂ − FECO₂)·0.265 − FEO₂]',
  compute: (v) => v.ve * ((1 - v.feo2 - v.feco2) * 0.265 - v.feo2),
  substituted: (v) => `${n(v.ve, 4)} × [(1 − ${n(v.feo2)} − ${n(v.feco2)}) × 0.265 − ${n(v.feo2)}]`,
});

export const trueOxygen: Formula = defineFormula({
  id: 'true-oxygen',
  title: 'True oxygen',
  family: FAMILY,
  inputs: { vo2, ve: { ...veStpd, min: 0.5 } },
  output: { label: 'True oxygen', symbol: 'true O₂', unit: '%', decimals: 3 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'true O₂ = 100·VO₂/VE STPD',
  compute: (v) => (100 * v.vo2) / v.ve,
  substituted: (v) => `100 × ${n(v.vo2, 4)} / ${n(v.ve, 4)}`,
  solve: { vo2: (v) => (v.output * v.ve) / 100 },
});

export const respiratoryExchangeRatio: Formula = defineFormula({
  id: 'rer',
  title: 'Respiratory exchange ratio',
  family: FAMILY,
  inputs: { vco2, vo2 },
  output: { label: 'Respiratory exchange ratio', symbol: 'RER', unit: '1', decimals: 2 },
  validity: [
    { input: 'output', min: 0.55, text: 'An RER below 0.55 points to a wrong reading.' },
    { input: 'output', max: 1.7, text: 'An RER above 1.70 points to a wrong reading.' },
  ],
  source: { citation: 'definition; limits of a plausible reading are common practice', provenance: 'C' },
  equation: 'RER = VCO₂/VO₂',
  compute: (v) => v.vco2 / v.vo2,
  substituted: (v) => `${n(v.vco2, 4)} / ${n(v.vo2, 4)}`,
  solve: { vco2: (v) => v.output * v.vo2, vo2: (v) => v.vco2 / v.output },
  slips: [{ id: 'upside-down', says: 'VO₂ was divided by VCO₂', compute: (v) => v.vo2 / v.vco2 }],
});

const equivalentNote = 'ventilation at BTPS, gas volume at STPD';

export const ventilatoryEquivalentO2: Formula = defineFormula({
  id: 've-vo2',
  title: 'Ventilatory equivalent for oxygen',
  family: FAMILY,
  inputs: { ve: veBtps, vo2 },
  output: { label: 'Ventilatory equivalent for O₂', symbol: 'VE/VO₂', unit: '1', decimals: 1 },
  validity: [],
  source: { citation: 'definition', provenance: 'C', note: equivalentNote },
  equation: 'VE(BTPS)/VO₂(STPD)',
  compute: (v) => v.ve / v.vo2,
  substituted: (v) => `${n(v.ve, 3)} / ${n(v.vo2, 4)}`,
  solve: { ve: (v) => v.output * v.vo2, vo2: (v) => v.ve / v.output },
});

export const ventilatoryEquivalentCO2: Formula = defineFormula({
  id: 've-vco2',
  title: 'Ventilatory equivalent for carbon dioxide',
  family: FAMILY,
  inputs: { ve: veBtps, vco2: { ...vco2, min: 0.01 } },
  output: { label: 'Ventilatory equivalent for CO₂', symbol: 'VE/VCO₂', unit: '1', decimals: 1 },
  validity: [],
  source: { citation: 'definition', provenance: 'C', note: equivalentNote },
  equation: 'VE(BTPS)/VCO₂(STPD)',
  compute: (v) => v.ve / v.vco2,
  substituted: (v) => `${n(v.ve, 3)} / ${n(v.vco2, 4)}`,
  solve: { ve: (v) => v.output * v.vco2, vco2: (v) => v.ve / v.output },
});

export const oxygenPulse: Formula = defineFormula({
  id: 'oxygen-pulse',
  title: 'Oxygen pulse',
  family: FAMILY,
  inputs: { vo2, heartRate: { label: 'Heart rate', symbol: 'HR', unit: '/min', min: 20, max: 260 } },
  output: { label: 'Oxygen pulse', symbol: 'O₂ pulse', unit: 'mL/{beat}', decimals: 1 },
  validity: [],
  population: 'HUNT 20–29 years: 22.3 ± 3.6 men, 14.7 ± 2.7 women at peak (Loe 2013)',
  source: { citation: 'definition; Loe H et al. PLoS One 2013', provenance: 'P' },
  equation: 'O₂ pulse = 1000·VO₂/HR',
  compute: (v) => (1000 * v.vo2) / v.heartRate,
  substituted: (v) => `1000 × ${n(v.vo2, 3)} / ${n(v.heartRate, 1)}`,
  solve: { vo2: (v) => (v.output * v.heartRate) / 1000, heartRate: (v) => (1000 * v.vo2) / v.output },
});

export const tidalVolume: Formula = defineFormula({
  id: 'tidal-volume',
  title: 'Tidal volume',
  family: FAMILY,
  inputs: { ve: veBtps, breathingRate: { label: 'Breathing rate', symbol: 'RR', unit: '/min', min: 2, max: 120 } },
  output: { label: 'Tidal volume', symbol: 'VT', unit: 'L', alsoUnits: ['mL'], decimals: 2 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'VT = VE/RR',
  compute: (v) => v.ve / v.breathingRate,
  substituted: (v) => `${n(v.ve, 2)} / ${n(v.breathingRate, 1)}`,
  solve: { ve: (v) => v.output * v.breathingRate, breathingRate: (v) => v.ve / v.output },
});

export const gasExchangeFormulas: readonly Formula[] = [
  viHaldane,
  vo2Haldane,
  vco2Haldane,
  vo2OneLine,
  respiratoryExchangeRatio,
  ventilatoryEquivalentO2,
  ventilatoryEquivalentCO2,
  oxygenPulse,
  trueOxygen,
  tidalVolume,
];
