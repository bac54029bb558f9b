/** Energy from gas exchange, and what the RQ says about it. */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source, Validity } from './formula.ts';

const FAMILY = 'Energy from gas exchange';
export const vo2 = {
  label: 'Oxygen uptake',
  symbol: 'VO₂',
  unit: 'L/min',
  alsoUnits: ['mL/min', 'L/h'],
  min: 0,
  max: 10,
} as const satisfies InputSpec;
export const vco2 = {
  label: 'Carbon dioxide output',
  symbol: 'VCO₂',
  unit: 'L/min',
  alsoUnits: ['mL/min', 'L/h'],
  min: 0,
  max: 12,
} as const satisfies InputSpec;
export const nitrogen = {
  label: 'Urinary nitrogen',
  symbol: 'N',
  unit: 'g/min',
  default: 0,
  min: 0,
  max: 0.1,
} as const satisfies InputSpec;
const energyOut = {
  label: 'Energy expenditure',
  symbol: 'E',
  unit: 'kcal/min',
  alsoUnits: ['kJ/min', 'kcal/d', 'kcal/h'],
  decimals: 2,
} as const;

export const weir: Formula = defineFormula({
  id: 'weir-1949',
  title: 'Energy expenditure (Weir 1949)',
  family: FAMILY,
  inputs: { vo2, vco2, nitrogen },
  output: energyOut,
  validity: [],
  source: {
    citation: 'Weir JB de V. J Physiol 1949;109:1',
    provenance: 'P',
    note: 'the term of urinary nitrogen (−2.17·N) is left out when it is zero',
  },
  equation: 'E = 3.941·VO₂ + 1.106·VCO₂ − 2.17·N',
  compute: (v) => 3.941 * v.vo2 + 1.106 * v.vco2 - 2.17 * v.nitrogen,
  substituted: (v) => `3.941 × ${n(v.vo2)} + 1.106 × ${n(v.vco2)}${v.nitrogen ? ` − 2.17 × ${n(v.nitrogen)}` : ''}`,
  solve: { vo2: (v) => (v.output - 1.106 * v.vco2 + 2.17 * v.nitrogen) / 3.941 },
});

export const weirShort: Formula = defineFormula({
  id: 'weir-short',
  title: 'Energy expenditure, short Weir form',
  family: FAMILY,
  inputs: { vo2, vco2 },
  output: energyOut,
  validity: [],
  source: { citation: 'Weir JB de V. J Physiol 1949;109:1, rounded as in common use', provenance: 'P' },
  equation: 'E = 3.9·VO₂ + 1.1·VCO₂',
  compute: (v) => 3.9 * v.vo2 + 1.1 * v.vco2,
  substituted: (v) => `3.9 × ${n(v.vo2)} + 1.1 × ${n(v.vco2)}`,
  solve: { vo2: (v) => (v.output - 1.1 * v.vco2) / 3.9, vco2: (v) => (v.output - 3.9 * v.vo2) / 1.1 },
});

export const weirOxygenOnly: Formula = defineFormula({
  id: 'weir-oxygen-only',
  title: 'Energy expenditure from expired oxygen alone (Weir 1949)',
  family: FAMILY,
  inputs: {
    ve: { label: 'Ventilation STPD', symbol: 'VE', unit: 'L/min', min: 0, max: 350 },
    expired: { label: 'Expired O₂', symbol: '%O₂E', unit: '%', alsoUnits: ['1'], min: 10, max: 20.93 },
  },
  output: energyOut,
  validity: [],
  source: {
    citation: 'Weir JB de V. J Physiol 1949;109:1',
    provenance: 'P',
    note: 'printed in McArdle, 8th ed., as VE·(1.044 − 0.0499·%O₂E), 0.4 % less',
  },
  equation: 'E = VE·(20.93 − %O₂E)/20',
  compute: (v) => (v.ve * (20.93 - v.expired)) / 20,
  substituted: (v) => `${n(v.ve, 3)} × (20.93 − ${n(v.expired, 3)}) / 20`,
  solve: { ve: (v) => (20 * v.output) / (20.93 - v.expired) },
});

export const weirOxygenTextbook: Formula = defineFormula({
  id: 'weir-oxygen-only-textbook',
  title: 'Energy expenditure from expired oxygen alone, textbook constants',
  family: FAMILY,
  inputs: {
    ve: { label: 'Ventilation STPD', symbol: 'VE', unit: 'L/min', min: 0, max: 350 },
    expired: { label: 'Expired O₂', symbol: '%O₂E', unit: '%', alsoUnits: ['1'], min: 10, max: 20.9 },
  },
  output: energyOut,
  validity: [],
  source: { citation: 'McArdle, Katch & Katch, Exercise Physiology, 8th ed.', provenance: 'P' },
  equation: 'E = VE·(1.044 − 0.0499·%O₂E)',
  compute: (v) => v.ve * (1.044 - 0.0499 * v.expired),
  substituted: (v) => `${n(v.ve, 3)} × (1.044 − 0.0499 × ${n(v.expired, 3)})`,
});

export const brockway: Formula = defineFormula({
  id: 'brockway-1987',
  title: 'Energy expenditure (Brockway 1987)',
  family: FAMILY,
  inputs: { vo2, vco2, nitrogen },
  output: { ...energyOut, unit: 'kJ/min', alsoUnits: ['kcal/min'] },
  validity: [],
  source: { citation: 'Brockway JM 1987', provenance: 'M' },
  equation: 'E(kJ/min) = 16.58·VO₂ + 4.51·VCO₂ − 5.90·N',
  compute: (v) => 16.58 * v.vo2 + 4.51 * v.vco2 - 5.9 * v.nitrogen,
  substituted: (v) => `16.58 × ${n(v.vo2)} + 4.51 × ${n(v.vco2)}${v.nitrogen ? ` − 5.9 × ${n(v.nitrogen)}` : ''}`,
});

export const peronnetPower: Formula = defineFormula({
  id: 'metabolic-power-peronnet-1991',
  title: 'Metabolic power (Péronnet & Massicotte 1991)',
  family: FAMILY,
  inputs: { vo2, vco2 },
  output: { label: 'Metabolic power', symbol: 'P', unit: 'W', decimals: 0 },
  validity: [],
  source: {
    citation: 'Péronnet F, Massicotte D. Can J Sport Sci 1991;16:23',
    provenance: 'M',
    note: 'the equation is in mL/s; ten published forms differ by up to 5.2 % (Kipp 2018)',
  },
  equation: 'P = 16.89·VO₂(mL/s) + 4.84·VCO₂(mL/s)',
  compute: (v) => (16.89 * v.vo2 * 1000 + 4.84 * v.vco2 * 1000) / 60,
  substituted: (v) => `16.89 × ${n((v.vo2 * 1000) / 60, 2)} + 4.84 × ${n((v.vco2 * 1000) / 60, 2)}`,
});

export const rq = {
  label: 'Non-protein RQ',
  symbol: 'RQ',
  unit: '1',
  min: 0.3,
  max: 2,
  note: 'From 0.707 (fat alone) to 1.00 (carbohydrate alone).',
} as const satisfies InputSpec;
/** Beyond the table the RQ says nothing about fuels, and is refused with the reason. */
export const rqRange: readonly Validity[] = [
  {
    input: 'rq',
    min: 0.7,
    hard: true,
    text: 'Below 0.70 the RQ stands for no mixture of fuels: no fuel has a lower one. Check the gas analysis.',
  },
  {
    input: 'rq',
    max: 1,
    hard: true,
    text: 'Above 1.00 the RER holds CO₂ from buffering and stands for no mixture of fuels. At hard work 1.00 is the usual reading, and say so.',
  },
];
/** RQ of fat alone. */
// oxlint-disable-next-line approx-constant -- a measured ratio that only looks like √½
export const RQ_OF_FAT = 0.707;
export const clampRq = (value: number) => Math.min(1, Math.max(RQ_OF_FAT, value));
const share = (value: number) => (clampRq(value) - RQ_OF_FAT) / 0.293;
/** kcal per litre of oxygen at a non-protein RQ; 0.70 is read as 0.707, as the table prints it. */
export const equivalentOf = (value: number) => 4.686 + 0.361 * share(value);
/** per cent of energy from carbohydrate */
export const carbohydratePercentOf = (value: number) => (100 * share(value) * 5.047) / equivalentOf(value);

export const luskSource: Source = {
  citation: 'Zuntz–Schumburg, Lusk 1924; table as in McArdle, Katch & Katch, Exercise Physiology, 8th ed., Table 8.1',
  provenance: 'P',
  note: 'the closed form reproduces the printed table to its last digit (that printing’s 4.750 at 0.76 is a misprint of 4.751)',
};

export const caloricEquivalent: Formula = defineFormula({
  id: 'caloric-equivalent',
  title: 'Energy per litre of oxygen at a non-protein RQ',
  family: FAMILY,
  inputs: { rq },
  output: { label: 'Energy per litre of oxygen', symbol: 'kcal/L', unit: 'kcal/L', alsoUnits: ['kJ/L'], decimals: 3 },
  validity: rqRange,
  source: luskSource,
  equation: 'kcal/L = 4.686 + 0.361·(RQ − 0.707)/0.293',
  compute: (v) => equivalentOf(v.rq),
  substituted: (v) => `4.686 + 0.361 × (${n(clampRq(v.rq), 3)} − 0.707) / 0.293`,
});

export const carbohydrateShare: Formula = defineFormula({
  id: 'carbohydrate-share',
  title: 'Share of energy from carbohydrate',
  family: FAMILY,
  inputs: { rq },
  output: { label: 'Energy from carbohydrate', symbol: '% CHO', unit: '%', decimals: 1 },
  validity: rqRange,
  source: luskSource,
  equation: '% CHO = 100·((RQ − 0.707)/0.293)·5.047/(kcal/L)',
  compute: (v) => carbohydratePercentOf(v.rq),
  substituted: (v) => `100 × ((${n(clampRq(v.rq), 3)} − 0.707) / 0.293) × 5.047 / ${n(equivalentOf(v.rq), 3)}`,
});

export const fatShare: Formula = defineFormula({
  id: 'fat-share',
  title: 'Share of energy from fat',
  family: FAMILY,
  inputs: { rq },
  output: { label: 'Energy from fat', symbol: '% fat', unit: '%', decimals: 1 },
  validity: rqRange,
  source: luskSource,
  equation: '% fat = 100 − % CHO',
  compute: (v) => 100 - carbohydratePercentOf(v.rq),
  substituted: (v) => `100 − ${n(carbohydratePercentOf(v.rq), 2)}`,
});

export const energyByRq: Formula = defineFormula({
  id: 'energy-rate-by-rq',
  title: 'Energy expenditure by the caloric equivalent of the RQ',
  family: FAMILY,
  inputs: { vo2, rq: { ...rq, label: 'RQ', note: 'An RER above 1 at hard work is no RQ; 1.00 is then the usual reading.' } },
  output: { ...energyOut, alsoUnits: ['kJ/min', 'kcal/h', 'kcal/d'] },
  validity: rqRange,
  source: luskSource,
  equation: 'E = VO₂·(4.686 + 0.361·(RQ − 0.707)/0.293)',
  compute: (v) => v.vo2 * equivalentOf(v.rq),
  substituted: (v) => `${n(v.vo2)} × ${n(equivalentOf(v.rq), 3)}`,
  solve: { vo2: (v) => v.output / equivalentOf(v.rq) },
});

export const nonProteinRq: Formula = defineFormula({
  id: 'non-protein-rq',
  title: 'Non-protein RQ from urinary nitrogen',
  family: FAMILY,
  inputs: {
    vo2: { label: 'Oxygen used', symbol: 'VO₂', unit: 'L', min: 0.1, max: 2000 },
    vco2: { label: 'Carbon dioxide given off', symbol: 'VCO₂', unit: 'L', min: 0.1, max: 2000 },
    nitrogen: { label: 'Urinary nitrogen in the same time', symbol: 'N', unit: 'g', alsoUnits: ['kg'], min: 0, max: 40 },
  },
  output: { label: 'Non-protein RQ', symbol: 'npRQ', unit: '1', decimals: 2 },
  validity: [],
  check: (v) =>
    v.vo2 - 6 * v.nitrogen <= 0 || v.vco2 - 4.8 * v.nitrogen <= 0
      ? [{ text: 'So much nitrogen would need more oxygen than was used.', hard: true }]
      : [],
  source: {
    citation: 'McArdle, Katch & Katch, Exercise Physiology, 8th ed.',
    provenance: 'P',
    note: '4.8 L CO₂ and 6.0 L O₂ per gram of nitrogen',
  },
  equation: 'npRQ = (VCO₂ − 4.8·N)/(VO₂ − 6.0·N)',
  compute: (v) => (v.vco2 - 4.8 * v.nitrogen) / (v.vo2 - 6 * v.nitrogen),
  substituted: (v) => `(${n(v.vco2, 3)} − 4.8 × ${n(v.nitrogen)}) / (${n(v.vo2, 3)} − 6 × ${n(v.nitrogen)})`,
});

const jw: Source = { citation: 'Jeukendrup AE, Wallis GA. Int J Sports Med 2005;26:S28', provenance: 'P2' };

const jwEnergy = { low: [0.575, 4.435], moderate: [0.55, 4.471] } as const;

export const energyJeukendrupWallis: Formula = defineFormula({
  id: 'energy-rate-jeukendrup-wallis',
  title: 'Energy expenditure (Jeukendrup & Wallis 2005)',
  family: FAMILY,
  inputs: {
    vo2,
    vco2,
    intensity: {
      label: 'Intensity',
      symbol: 'intensity',
      unit: '1',
      choices: [
        { value: 'low', label: '40–50 % of VO₂max' },
        { value: 'moderate', label: '50–75 % of VO₂max' },
      ],
    },
  },
  output: energyOut,
  validity: [],
  source: { ...jw, provenance: 'M' },
  equation: 'low 0.575·VCO₂ + 4.435·VO₂; moderate 0.550·VCO₂ + 4.471·VO₂',
  compute: (v) => jwEnergy[v.intensity][0] * v.vco2 + jwEnergy[v.intensity][1] * v.vo2,
  substituted: (v) => `${jwEnergy[v.intensity][0]} × ${n(v.vco2)} + ${jwEnergy[v.intensity][1]} × ${n(v.vo2)}`,
});

export const energyFormulas: readonly Formula[] = [
  weir,
  weirShort,
  weirOxygenOnly,
  weirOxygenTextbook,
  brockway,
  peronnetPower,
  energyJeukendrupWallis,
  caloricEquivalent,
  energyByRq,
  carbohydrateShare,
  fatShare,
  nonProteinRq,
];
