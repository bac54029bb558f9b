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

/**
 * The two scales of load beside the nomogram. It pairs 50 W with 300 and 100 W with 600 kg·m/min: six to one, not 6.12. So watts
 * are read on their own scale, and nothing is converted.
 */
const loadScales = {
  'kgf.m/min': { perKgm: 1, label: 'kg·m/min' },
  W: { perKgm: 6, label: 'W' },
} as const;
type LoadUnit = keyof typeof loadScales;

const loadIn = (unit: LoadUnit) =>
  ({
    label: 'Work rate',
    symbol: unit === 'W' ? 'W' : 'WR',
    unit,
    alsoUnits: [unit === 'W' ? ('kgf.m/min' as const) : ('W' as const)],
    min: 300 / loadScales[unit].perKgm,
    max: 1500 / loadScales[unit].perKgm,
    note: 'The scale runs from 300 to 1500 kg·m/min, which it pairs with 50 to 250 W.',
  }) satisfies InputSpec;

/** L/min at a load on its own scale. */
const scaleAt = (load: number, unit: LoadUnit) => between(astrandScale, load * loadScales[unit].perKgm);

/** The formula for kg·m/min, with its form for watts beside it. */
const bothScales = (build: (unit: LoadUnit, suffix: string, titleSuffix: string) => Formula): Formula => ({
  ...build('kgf.m/min', '', ''),
  unitForm: { input: 'load', unit: 'W', formula: build('W', '-watts', ', watts') },
});

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

export const astrandVo2: Formula = bothScales((unit, suffix, titleSuffix) =>
  defineFormula({
    id: `astrand-vo2-of-load${suffix}`,
    title: `Oxygen uptake of a load, scale of the nomogram${titleSuffix}`,
    family: FAMILY,
    inputs: { load: loadIn(unit) },
    output: { ...vo2maxAbsoluteOut, label: 'Oxygen uptake', symbol: 'VO₂', alsoUnits: ['mL/min'] },
    validity: [],
    source: {
      citation: 'scale of the Åstrand–Ryhming nomogram, NSCA’s Guide to Tests and Assessments (2012)',
      provenance: 'P',
      note: 'linear between the marks; 50 W stand beside 300 kg·m/min',
    },
    equation:
      unit === 'W'
        ? '50 → 0.9, 75 → 1.2, 100 → 1.5, 125 → 1.8, 150 → 2.1, 200 → 2.8, 250 → 3.5'
        : '300 → 0.9, 450 → 1.2, 600 → 1.5, 750 → 1.8, 900 → 2.1, 1200 → 2.8, 1500 → 3.5',
    compute: (v) => scaleAt(v.load, unit),
    substituted: (v) => `scale at ${n(v.load, 1)} ${loadScales[unit].label}`,
  }),
);

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
type Uncorrected = Omit<Full, 'age'>;
const uncorrected = (v: Uncorrected, unit: LoadUnit) => nomogram({ ...v, vo2: scaleAt(v.load, unit) });
const full = (v: Full, unit: LoadUnit) => uncorrected(v, unit) * between(astrandAgeFactors, v.age);

const nomogramText = (v: Uncorrected, unit: LoadUnit) => {
  const { pole, unit: unitRate } = scales[v.sex];
  return `${n(scaleAt(v.load, unit), 3)} × (${unitRate} − ${pole}) / (${n(v.heartRate, 1)} − ${pole})`;
};

const nomogramCitation = 'Åstrand–Ryhming nomogram in closed form: University of Toronto protocol page; scale: NSCA’s Guide (2012)';

export const vo2maxAstrand: Formula = bothScales((unit, suffix, titleSuffix) =>
  defineFormula({
    id: `vo2max-astrand-ryhming${suffix}`,
    title: `Single load on the cycle with age factor (Åstrand–Ryhming)${titleSuffix}`,
    family: FAMILY,
    inputs: {
      load: loadIn(unit),
      heartRate: steadyHeartRate,
      sex,
      age: { ...age, min: 15, max: 65, note: 'The table of age factors runs from 15 to 65 years.' },
    },
    output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
    validity: [{ input: 'age', min: 25, text: 'The age factor below 25 years is from memory.' }],
    check: heartRateChecks,
    error: accuracy,
    population: 'healthy adults, 6 minutes at one load, 50 rpm, steady heart rate 130 to 170 /min (women 125 to 170)',
    source: { citation: nomogramCitation, provenance: 'P', note: 'age factors outside 25–65 by tens are from memory' },
    equation: 'men VO₂·(195 − 61)/(HR − 61); women VO₂·(198 − 72)/(HR − 72); × age factor',
    compute: (v) => full(v, unit),
    substituted: (v) => `${nomogramText(v, unit)} × ${n(between(astrandAgeFactors, v.age), 3)}`,
    slips: [
      otherSex((v: Full) => full(v, unit)),
      { id: 'age-factor-left-out', says: 'the age factor was left out', compute: (v) => uncorrected(v, unit) },
    ],
  }),
);

export const vo2maxAstrandUncorrected: Formula = bothScales((unit, suffix, titleSuffix) =>
  defineFormula({
    id: `vo2max-astrand-ryhming-before-age${suffix}`,
    title: `Single load on the cycle before the age factor (Åstrand–Ryhming)${titleSuffix}`,
    family: FAMILY,
    inputs: { load: loadIn(unit), heartRate: steadyHeartRate, sex },
    output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
    validity: [],
    check: heartRateChecks,
    error: accuracy,
    population: 'healthy adults of about 25 years, 6 minutes at one load, 50 rpm, steady heart rate 130 to 170 /min (women 125 to 170)',
    source: { citation: nomogramCitation, provenance: 'P' },
    equation: 'men VO₂·(195 − 61)/(HR − 61); women VO₂·(198 − 72)/(HR − 72)',
    compute: (v) => uncorrected(v, unit),
    substituted: (v) => nomogramText(v, unit),
    slips: [otherSex((v: Uncorrected) => uncorrected(v, unit))],
  }),
);

export const vo2maxAgeCorrected: Formula = defineFormula({
  id: 'vo2max-age-corrected',
  title: 'Nomogram value times the age factor (Åstrand)',
  family: FAMILY,
  inputs: {
    nomogram: { label: 'Nomogram value', symbol: 'N', unit: 'L/min', min: 0.5, max: 9, note: 'Before the age factor.' },
    factor: { label: 'Age factor', symbol: 'factor', unit: '1', min: 0.5, max: 1.2 },
  },
  output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
  validity: [],
  error: accuracy,
  source: { citation: 'Åstrand’s table of age factors', provenance: 'P', note: 'the last step of the hand calculation' },
  equation: 'VO₂max = N·factor',
  compute: (v) => v.nomogram * v.factor,
  substituted: (v) => `${n(v.nomogram, 3)} × ${n(v.factor, 3)}`,
  solve: { nomogram: (v) => v.output / v.factor, factor: (v) => v.output / v.nomogram },
  slips: [
    { id: 'age-factor-left-out', says: 'the age factor was left out', compute: (v) => v.nomogram },
    { id: 'divided-by-factor', says: 'the value was divided by the age factor', compute: (v) => v.nomogram / v.factor },
  ],
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
  inputs: {
    load: { ...loadIn('kgf.m/min'), min: 150, max: 1800, note: 'Watts are converted with the laboratory’s 6.12.' },
    heartRate: steadyHeartRate,
    sex,
  },
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
  vo2maxAgeCorrected,
  vo2maxSiconolfi1982,
  vo2maxCycleRegression,
];
