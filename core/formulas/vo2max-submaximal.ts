/** Maximal oxygen uptake from submaximal exercise: two-stage extrapolation, single stages, and peak-load regressions. */
import { age, heartRate, mass, massPutInPounds, otherSex, sex, vo2maxAbsoluteOut, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Maximal oxygen uptake from submaximal exercise';
const see = (value: number, text = `SEE ${value} mL/kg/min`): NonNullable<Formula['error']> => ({
  kind: 'SEE',
  value,
  unit: 'mL/kg/min',
  text,
});

const maximalHeartRate = {
  ...heartRate,
  label: 'Maximal heart rate',
  symbol: 'HRmax',
  note: 'Predicted from age, usually. An error of 10 /min moves the answer by 10 times the slope.',
} as const satisfies InputSpec;
const stageVo2 = (label: string, symbol: string) =>
  ({ label, symbol, unit: 'mL/kg/min', alsoUnits: ['[MET]'], min: 3, max: 100 }) as const satisfies InputSpec;

type TwoStages = {
  readonly vo2First: number;
  readonly heartRateFirst: number;
  readonly vo2Second: number;
  readonly heartRateSecond: number;
  readonly maximalHeartRate: number;
};
const extrapolate = (v: TwoStages) => {
  const slope = (v.vo2Second - v.vo2First) / (v.heartRateSecond - v.heartRateFirst);
  return v.vo2Second + slope * (v.maximalHeartRate - v.heartRateSecond);
};

export const vo2maxMultistage: Formula = defineFormula({
  id: 'vo2max-multistage',
  title: 'Two stages extended to the maximal heart rate (YMCA and others)',
  family: FAMILY,
  inputs: {
    vo2First: stageVo2('Oxygen uptake, first stage', 'SM₁'),
    heartRateFirst: { ...heartRate, label: 'Heart rate, first stage', symbol: 'HR₁' },
    vo2Second: stageVo2('Oxygen uptake, second stage', 'SM₂'),
    heartRateSecond: { ...heartRate, label: 'Heart rate, second stage', symbol: 'HR₂' },
    maximalHeartRate,
  },
  output: { ...vo2maxOut, alsoUnits: ['[MET]'] },
  validity: [
    {
      input: 'heartRateFirst',
      min: 110,
      text: 'Below 110 /min the heart rate depends on more than the work; the first stage should be above.',
    },
  ],
  check: (v) => {
    if (v.heartRateSecond <= v.heartRateFirst || v.vo2Second <= v.vo2First) {
      return [{ text: 'The second stage must be harder than the first: more oxygen uptake and a higher heart rate.', hard: true }];
    }
    if (v.heartRateSecond > 0.85 * v.maximalHeartRate) {
      return [{ text: 'The second stage is above 85 % of the maximal heart rate, beyond the rule of the submaximal test.' }];
    }
    return [];
  },
  error: { kind: 'range', value: 15, unit: '%', text: 'about 10 to 15 % [from memory]' },
  population: 'adults; steady-state heart rates from 110 /min to 85 % of the maximum',
  source: {
    citation: 'NHANES Cardiovascular Fitness Procedures Manual (CDC), Appendix G; CSEP insert after Golding 1989',
    provenance: 'P',
    note: 'the graph route and the slope route give the same number',
  },
  equation: 'b = (SM₂ − SM₁)/(HR₂ − HR₁); VO₂max = SM₂ + b·(HRmax − HR₂)',
  compute: extrapolate,
  substituted: (v) =>
    `${n(v.vo2Second, 3)} + (${n(v.vo2Second, 3)} − ${n(v.vo2First, 3)}) / (${n(v.heartRateSecond, 1)} − ${n(v.heartRateFirst, 1)}) × (${n(v.maximalHeartRate, 1)} − ${n(v.heartRateSecond, 1)})`,
  solve: {
    maximalHeartRate: (v) =>
      v.heartRateSecond + ((v.output - v.vo2Second) * (v.heartRateSecond - v.heartRateFirst)) / (v.vo2Second - v.vo2First),
  },
});

type SwainValues = {
  readonly load: number;
  readonly heartRate: number;
  readonly restingHeartRate: number;
  readonly maximalHeartRate: number;
  readonly mass: number;
};
const swainShare = (v: SwainValues) => (v.heartRate - v.restingHeartRate) / (v.maximalHeartRate - v.restingHeartRate);
const swain = (v: SwainValues) => ((v.load / swainShare(v)) * 10.8) / v.mass + 7;

export const vo2maxSwain2004: Formula = defineFormula({
  id: 'vo2max-swain-2004',
  title: 'Cycle, load extended by per cent of heart-rate reserve (Swain 2004)',
  family: FAMILY,
  inputs: {
    load: { label: 'Work rate of the last stage', symbol: 'W', unit: 'W', min: 10, max: 600 },
    heartRate: { ...heartRate, label: 'Heart rate of the last stage', symbol: 'HR' },
    restingHeartRate: { ...heartRate, label: 'Resting heart rate', symbol: 'HRrest' },
    maximalHeartRate,
    mass,
  },
  output: vo2maxOut,
  validity: [],
  check: (v) => {
    const share = swainShare(v);
    if (!(v.maximalHeartRate > v.restingHeartRate) || share <= 0) {
      return [{ text: 'The heart rates must rise from rest over the stage to the maximum.', hard: true }];
    }
    return share < 0.65 || share > 0.75 ? [{ text: 'The last stage should lie at 65 to 75 % of the heart-rate reserve.' }] : [];
  },
  error: see(4, 'SEE 4.0 mL/kg/min, r 0.89'),
  population: '50 adults, last 6-minute stage at 65 to 75 % of heart-rate reserve',
  source: {
    citation: 'Swain DP et al. Med Sci Sports Exerc 2004;36:1421',
    provenance: 'P',
    note: 'the maximal load goes into the ACSM leg equation per watt',
  },
  equation: 'load max = W/((HR − HRrest)/(HRmax − HRrest)); VO₂max = 10.8·load max/M + 7',
  compute: swain,
  substituted: (v) =>
    `10.8 × (${n(v.load, 1)} / ((${n(v.heartRate, 1)} − ${n(v.restingHeartRate, 1)}) / (${n(v.maximalHeartRate, 1)} − ${n(v.restingHeartRate, 1)}))) / ${n(v.mass, 2)} + 7`,
});

type EbbelingValues = { readonly speed: number; readonly heartRate: number; readonly age: number; readonly sex: 'male' | 'female' };
const ebbeling = (v: EbbelingValues) =>
  15.1 + 21.8 * v.speed - 0.327 * v.heartRate - 0.263 * v.speed * v.age + 0.00504 * v.heartRate * v.age + (v.sex === 'male' ? 5.98 : 0);

export const vo2maxEbbeling1991: Formula = defineFormula({
  id: 'vo2max-ebbeling-1991',
  title: 'Single-stage treadmill walk (Ebbeling 1991)',
  family: FAMILY,
  inputs: {
    speed: { label: 'Speed', symbol: 'S', unit: '[mi_i]/h', alsoUnits: ['km/h', 'm/min'], min: 1, max: 8, note: 'In mph in the equation.' },
    heartRate: { ...heartRate, note: 'In the last 15 s of 4 minutes at 5 % grade.' },
    age,
    sex,
  },
  output: vo2maxOut,
  validity: [
    { input: 'speed', min: 2, text: 'The walk is at 2.0 to 4.5 mph; this is slower.' },
    { input: 'speed', max: 4.5, text: 'The walk is at 2.0 to 4.5 mph; this is faster.' },
    { input: 'age', min: 20, text: 'The people of this study were 20 to 59 years old; this age is below.' },
    { input: 'age', max: 59, text: 'The people of this study were 20 to 59 years old; this age is above.' },
  ],
  error: see(4.85, 'SEE 4.85 mL/kg/min, R² 0.86'),
  population: '67 men and 72 women, 20 to 59 years; 4 min level at 50 to 70 % of HRmax, then 4 min at 5 %',
  source: { citation: 'Ebbeling CB et al. Med Sci Sports Exerc 1991;23:966', provenance: 'P' },
  equation: 'VO₂max = 15.1 + 21.8·mph − 0.327·HR − 0.263·mph·age + 0.00504·HR·age + 5.98 (men)',
  compute: ebbeling,
  substituted: (v) =>
    `15.1 + 21.8 × ${n(v.speed, 2)} − 0.327 × ${n(v.heartRate, 1)} − 0.263 × ${n(v.speed, 2)} × ${n(v.age, 1)} + 0.00504 × ${n(v.heartRate, 1)} × ${n(v.age, 1)}${v.sex === 'male' ? ' + 5.98' : ''}`,
  slips: [
    otherSex(ebbeling),
    {
      id: 'speed-in-km-h',
      says: 'the speed was put in in km/h; this equation wants mph',
      compute: (v) => ebbeling({ ...v, speed: v.speed * 1.609344 }),
    },
  ],
});

type George2000 = {
  readonly age: number;
  readonly mass: number;
  readonly load: number;
  readonly heartRate: number;
  readonly sex: 'male' | 'female';
};
const george2000 = (v: George2000) =>
  85.447 + (v.sex === 'male' ? 9.104 : 0) - 0.2676 * v.age - 0.415 * v.mass + 0.1317 * v.load - 0.1615 * v.heartRate;

export const vo2maxGeorge2000: Formula = defineFormula({
  id: 'vo2max-george-2000-cycle',
  title: 'Single-stage cycle (George 2000)',
  family: FAMILY,
  inputs: { load: { label: 'Work rate', symbol: 'W', unit: 'W', min: 10, max: 500 }, heartRate, age, mass, sex },
  output: vo2maxOut,
  validity: [
    { input: 'age', min: 18, text: 'The people of this study were 18 to 39 years old; this age is below.' },
    { input: 'age', max: 39, text: 'The people of this study were 18 to 39 years old; this age is above.' },
  ],
  error: see(3.12, 'SEE 3.12 mL/kg/min, r 0.88'),
  population: 'adults of 18 to 39 years',
  source: { citation: 'George JD et al. 2000 (cycle test)', provenance: 'P' },
  equation: 'VO₂max = 85.447 + 9.104 (men) − 0.2676·age − 0.4150·M + 0.1317·W − 0.1615·HR',
  compute: george2000,
  substituted: (v) =>
    `85.447${v.sex === 'male' ? ' + 9.104' : ''} − 0.2676 × ${n(v.age, 1)} − 0.415 × ${n(v.mass, 2)} + 0.1317 × ${n(v.load, 1)} − 0.1615 × ${n(v.heartRate, 1)}`,
  slips: [massPutInPounds(george2000), otherSex(george2000)],
});

type Storer = { readonly load: number; readonly mass: number; readonly age: number; readonly sex: 'male' | 'female' };
const storer = (v: Storer) =>
  v.sex === 'male' ? 10.51 * v.load + 6.35 * v.mass - 10.49 * v.age + 519.3 : 9.39 * v.load + 7.7 * v.mass - 5.88 * v.age + 136.7;

export const vo2maxStorer1990: Formula = defineFormula({
  id: 'vo2max-storer-1990',
  title: 'Peak load of a 15 W/min cycle test (Storer 1990)',
  family: FAMILY,
  inputs: { load: { label: 'Peak work rate', symbol: 'W', unit: 'W', min: 20, max: 600 }, mass, age, sex },
  output: { ...vo2maxAbsoluteOut, unit: 'mL/min', alsoUnits: ['L/min', 'mL/kg/min'], decimals: 0 },
  validity: [
    { input: 'age', min: 20, text: 'The people of this study were 20 to 70 years old; this age is below.' },
    { input: 'age', max: 70, text: 'The people of this study were 20 to 70 years old; this age is above.' },
  ],
  error: { kind: 'SEE', value: 212, unit: 'mL/min', text: 'SEE 212 mL/min men (R 0.939), 147 mL/min women (R 0.932)' },
  population: '115 men and 116 women, sedentary, 20 to 70 years; 15 W/min after 4 min unloaded at 60 rpm',
  source: {
    citation: 'Storer TW, Davis JA, Caiozzo VJ. Med Sci Sports Exerc 1990;22:704',
    provenance: 'P',
    note: 'a handbook’s 1.47 L for the women’s SEE is a misprint of 147 mL',
  },
  equation: 'men 10.51·W + 6.35·M − 10.49·age + 519.3; women 9.39·W + 7.7·M − 5.88·age + 136.7',
  compute: storer,
  substituted: (v) =>
    v.sex === 'male'
      ? `10.51 × ${n(v.load, 1)} + 6.35 × ${n(v.mass, 2)} − 10.49 × ${n(v.age, 1)} + 519.3`
      : `9.39 × ${n(v.load, 1)} + 7.7 × ${n(v.mass, 2)} − 5.88 × ${n(v.age, 1)} + 136.7`,
  slips: [otherSex(storer), massPutInPounds(storer)],
});

export const metsHeartRateIndex: Formula = defineFormula({
  id: 'mets-heart-rate-index-2016',
  title: 'METs from the heart-rate index (Wicks & Oldridge 2016)',
  family: FAMILY,
  inputs: {
    heartRate: { ...heartRate, label: 'Heart rate in exercise', symbol: 'HR' },
    restingHeartRate: { ...heartRate, label: 'Resting heart rate', symbol: 'HRrest' },
  },
  output: { label: 'METs', symbol: 'METs', unit: '[MET]', alsoUnits: ['mL/kg/min'], decimals: 1 },
  validity: [],
  check: (v) =>
    v.heartRate < v.restingHeartRate ? [{ text: 'The heart rate in exercise must not be below the resting one.', hard: true }] : [],
  population: '40 studies',
  source: { citation: 'Wicks JR, Oldridge NB. PLoS One 2016;11:e0166608', provenance: 'P' },
  equation: 'METs = 6·(HR/HRrest) − 5',
  compute: (v) => 6 * (v.heartRate / v.restingHeartRate) - 5,
  substituted: (v) => `6 × (${n(v.heartRate, 1)} / ${n(v.restingHeartRate, 1)}) − 5`,
  solve: { heartRate: (v) => ((v.output + 5) / 6) * v.restingHeartRate, restingHeartRate: (v) => (6 * v.heartRate) / (v.output + 5) },
});

export const submaximalFormulas: readonly Formula[] = [
  vo2maxMultistage,
  vo2maxSwain2004,
  vo2maxEbbeling1991,
  vo2maxGeorge2000,
  vo2maxStorer1990,
  metsHeartRateIndex,
];
