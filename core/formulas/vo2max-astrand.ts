/** Åstrand–Ryhming: one submaximal load on the cycle, closed form of the nomogram, with the age factor. */
import { age, heartRate, otherSex, sex, vo2maxAbsoluteOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Maximal oxygen uptake from submaximal exercise';

/** The nomogram's scale: oxygen uptake in L/min at a load in kg·m/min. Between its marks it is read linearly. */
export const astrandScale: readonly (readonly [load: number, vo2: number])[] = [
  [300, 0.9],
  [450, 1.2],
  [600, 1.5],
  [750, 1.8],
  [900, 2.1],
  [1200, 2.8],
  [1500, 3.5],
];

/** Age factors: 25, 35, 45, 55 and 65 years seen in print, the others from memory; between them linear. */
export const astrandAgeFactors: readonly (readonly [age: number, factor: number])[] = [
  [15, 1.1],
  [25, 1.0],
  [35, 0.87],
  [40, 0.83],
  [45, 0.78],
  [50, 0.75],
  [55, 0.71],
  [60, 0.68],
  [65, 0.65],
];

/** Linear between the points of a table that is sorted by its first column; NaN outside it. */
function between(table: readonly (readonly [number, number])[], x: number): number {
  const high = table.findIndex(([at]) => at >= x);
  const upper = table[high];
  if (!upper) return Number.NaN;
  const lower = table[high - 1];
  if (upper[0] === x) return upper[1];
  if (!lower) return Number.NaN;
  return lower[1] + ((x - lower[0]) / (upper[0] - lower[0])) * (upper[1] - lower[1]);
}

/** Poles and unit heart rates of the two nomogram halves. */
const scales = { male: { pole: 61, unit: 195 }, female: { pole: 72, unit: 198 } } as const;

const load = {
  label: 'Work rate',
  symbol: 'WR',
  unit: 'kgf.m/min',
  alsoUnits: ['W'],
  min: 300,
  max: 1500,
  note: 'The scale runs from 300 to 1500 kg·m/min. Watts are converted with the laboratory’s 6.12.',
} as const satisfies InputSpec;
const steadyHeartRate = {
  ...heartRate,
  label: 'Steady heart rate',
  symbol: 'HR',
  note: 'Mean of minutes 5 and 6; they differ by no more than 5 or 6.',
} as const satisfies InputSpec;

const nomogram = (v: { readonly vo2: number; readonly heartRate: number; readonly sex: 'male' | 'female' }) => {
  const { pole, unit } = scales[v.sex];
  return (v.vo2 * (unit - pole)) / (v.heartRate - pole);
};

const heartRateChecks = (v: { readonly heartRate: number; readonly sex: 'male' | 'female' }) => {
  const { pole } = scales[v.sex];
  if (v.heartRate <= pole + 5) {
    return [{ text: `At ${pole} /min the equation divides by zero; a heart rate this low cannot be used.`, hard: true }];
  }
  const [low, high] = v.sex === 'male' ? [130, 170] : [125, 170];
  return v.heartRate < low || v.heartRate > high
    ? [{ text: `The heart rate should lie from ${low} to ${high} /min; add load if it is below.` }]
    : [];
};

const accuracy: NonNullable<Formula['error']> = {
  kind: 'SEE',
  value: 0.48,
  unit: 'L/min',
  text: 'SEE 0.48 L/min, 18 % (Björkman 2016); about ±10 % trained and ±15 % untrained [from memory of Åstrand]',
};

export const astrandVo2: Formula = defineFormula({
  id: 'astrand-vo2-of-load',
  title: 'Oxygen uptake of a load, scale of the nomogram',
  family: FAMILY,
  inputs: { load },
  output: { ...vo2maxAbsoluteOut, label: 'Oxygen uptake', symbol: 'VO₂', alsoUnits: ['mL/min'] },
  validity: [],
  source: {
    citation: 'scale of the Åstrand–Ryhming nomogram, NSCA’s Guide to Tests and Assessments (2012)',
    provenance: 'P',
    note: 'linear between the marks',
  },
  equation: '300 → 0.9, 450 → 1.2, 600 → 1.5, 750 → 1.8, 900 → 2.1, 1200 → 2.8, 1500 → 3.5',
  compute: (v) => between(astrandScale, v.load),
  substituted: (v) => `scale at ${n(v.load, 0)} kg·m/min`,
});

export const astrandVo2Line: Formula = defineFormula({
  id: 'astrand-vo2-of-watts',
  title: 'Oxygen uptake of a load, straight line per watt',
  family: FAMILY,
  inputs: { load: { label: 'Work rate', symbol: 'W', unit: 'W', min: 25, max: 350 } },
  output: { ...vo2maxAbsoluteOut, label: 'Oxygen uptake', symbol: 'VO₂', alsoUnits: ['mL/min'] },
  validity: [],
  source: { citation: 'Sartor F et al. Sports Med 2013;43:865, supplement S1', provenance: 'P' },
  equation: 'VO₂ = 0.012·W + 0.3',
  compute: (v) => 0.012 * v.load + 0.3,
  substituted: (v) => `0.012 × ${n(v.load, 1)} + 0.3`,
  solve: { load: (v) => (v.output - 0.3) / 0.012 },
});

export const astrandAgeFactor: Formula = defineFormula({
  id: 'astrand-age-factor',
  title: 'Åstrand’s age factor',
  family: FAMILY,
  inputs: { age: { ...age, min: 15, max: 65 } },
  output: { label: 'Age factor', symbol: 'factor', unit: '1', decimals: 3 },
  validity: [{ input: 'age', min: 25, text: 'The factor below 25 years is from memory.' }],
  source: {
    citation: 'Åstrand’s table of age factors',
    provenance: 'P',
    note: '25, 35, 45, 55 and 65 years; 15, 40, 50 and 60 from memory; linear between. The quadratic of some pages is off by 0.04 at 15 years',
  },
  equation: '15 → 1.10, 25 → 1.00, 35 → 0.87, 40 → 0.83, 45 → 0.78, 50 → 0.75, 55 → 0.71, 60 → 0.68, 65 → 0.65',
  compute: (v) => between(astrandAgeFactors, v.age),
  substituted: (v) => `table at ${n(v.age, 1)} years`,
});

type Full = { readonly load: number; readonly heartRate: number; readonly sex: 'male' | 'female'; readonly age: number };
const uncorrected = (v: Omit<Full, 'age'>) => nomogram({ ...v, vo2: between(astrandScale, v.load) });
const full = (v: Full) => uncorrected(v) * between(astrandAgeFactors, v.age);

export const vo2maxAstrand: Formula = defineFormula({
  id: 'vo2max-astrand-ryhming',
  title: 'Single load on the cycle with age factor (Åstrand–Ryhming)',
  family: FAMILY,
  inputs: {
    load,
    heartRate: steadyHeartRate,
    sex,
    age: { ...age, min: 15, max: 65, note: 'The table of age factors runs from 15 to 65 years.' },
  },
  output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
  validity: [{ input: 'age', min: 25, text: 'The age factor below 25 years is from memory.' }],
  check: heartRateChecks,
  error: accuracy,
  population: 'healthy adults, 6 minutes at one load, 50 rpm',
  source: {
    citation: 'Åstrand–Ryhming nomogram in closed form: University of Toronto protocol page; scale: NSCA’s Guide (2012)',
    provenance: 'P',
    note: 'age factors outside 25–65 by tens are from memory',
  },
  equation: 'men VO₂·(195 − 61)/(HR − 61); women VO₂·(198 − 72)/(HR − 72); × age factor',
  compute: full,
  substituted: (v) => {
    const { pole, unit } = scales[v.sex];
    return `${n(between(astrandScale, v.load), 3)} × (${unit} − ${pole}) / (${n(v.heartRate, 1)} − ${pole}) × ${n(between(astrandAgeFactors, v.age), 3)}`;
  },
  slips: [
    otherSex(full),
    { id: 'age-factor-left-out', says: 'the age factor was left out', compute: uncorrected },
    {
      id: 'watts-for-kgm',
      says: 'the number of watts was read on the scale of kg·m/min',
      compute: (v) => full({ ...v, load: v.load / 6.12 }),
    },
  ],
});

export const vo2maxAstrandUncorrected: Formula = defineFormula({
  id: 'vo2max-astrand-ryhming-before-age',
  title: 'Single load on the cycle before the age factor (Åstrand–Ryhming)',
  family: FAMILY,
  inputs: { load, heartRate: steadyHeartRate, sex },
  output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
  validity: [],
  check: heartRateChecks,
  error: accuracy,
  population: 'healthy adults of about 25 years, 6 minutes at one load, 50 rpm',
  source: {
    citation: 'Åstrand–Ryhming nomogram in closed form: University of Toronto protocol page; scale: NSCA’s Guide (2012)',
    provenance: 'P',
  },
  equation: 'men VO₂·(195 − 61)/(HR − 61); women VO₂·(198 − 72)/(HR − 72)',
  compute: uncorrected,
  substituted: (v) => {
    const { pole, unit } = scales[v.sex];
    return `${n(between(astrandScale, v.load), 3)} × (${unit} − ${pole}) / (${n(v.heartRate, 1)} − ${pole})`;
  },
  slips: [otherSex(uncorrected)],
});

const siconolfi = { male: [0.348, 0.035, 3.011], female: [0.302, 0.019, 1.593] } as const;

export const vo2maxSiconolfi1982: Formula = defineFormula({
  id: 'vo2max-siconolfi-1982',
  title: 'Correction of the nomogram for low fitness (Siconolfi 1982)',
  family: FAMILY,
  inputs: { nomogram: { label: 'Nomogram value', symbol: 'N', unit: 'L/min', min: 0.5, max: 8, note: 'Before the age factor.' }, age, sex },
  output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
  validity: [],
  error: { kind: 'SEE', value: 0.36, unit: 'L/min', text: 'SEE 0.36 L/min men (r 0.86), 0.20 women (r 0.97)' },
  population: 'adults of low fitness',
  source: {
    citation: 'Siconolfi SF et al. 1982, in NSCA’s Guide to Tests and Assessments (2012)',
    provenance: 'P',
    note: 'that N is taken before the age factor is common practice',
  },
  equation: 'men 0.348·N − 0.035·age + 3.011; women 0.302·N − 0.019·age + 1.593',
  compute: (v) => siconolfi[v.sex][0] * v.nomogram - siconolfi[v.sex][1] * v.age + siconolfi[v.sex][2],
  substituted: (v) => `${siconolfi[v.sex][0]} × ${n(v.nomogram, 3)} − ${siconolfi[v.sex][1]} × ${n(v.age, 1)} + ${siconolfi[v.sex][2]}`,
});

const regression = { male: [0.00212, 0.299, 48.5], female: [0.00193, 0.326, 56.1] } as const;

export const vo2maxCycleRegression: Formula = defineFormula({
  id: 'vo2max-cycle-single-load-regression',
  title: 'Single load on the cycle, regression of unknown author',
  family: FAMILY,
  inputs: { load: { ...load, min: 150, max: 1800 }, heartRate: steadyHeartRate, sex },
  output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
  validity: [],
  check: (v) =>
    0.769 * v.heartRate - regression[v.sex][2] <= 5
      ? [{ text: 'At this heart rate the equation divides by nearly zero.', hard: true }]
      : [],
  source: {
    citation: 'regression beside the Åstrand–Ryhming test on public pages',
    provenance: 'P',
    note: 'author doubtful; the page prints ×1000, which is ten times too much for mL/min: ×100 gives L/min',
  },
  equation: 'men 100·(0.00212·WR + 0.299)/(0.769·HR − 48.5); women 100·(0.00193·WR + 0.326)/(0.769·HR − 56.1)',
  compute: (v) => (100 * (regression[v.sex][0] * v.load + regression[v.sex][1])) / (0.769 * v.heartRate - regression[v.sex][2]),
  substituted: (v) =>
    `100 × (${regression[v.sex][0]} × ${n(v.load, 1)} + ${regression[v.sex][1]}) / (0.769 × ${n(v.heartRate, 1)} − ${regression[v.sex][2]})`,
});

export const astrandFormulas: readonly Formula[] = [
  vo2maxAstrand,
  vo2maxAstrandUncorrected,
  astrandVo2,
  astrandVo2Line,
  astrandAgeFactor,
  vo2maxSiconolfi1982,
  vo2maxCycleRegression,
];
