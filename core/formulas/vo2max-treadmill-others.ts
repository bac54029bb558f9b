/** Maximal oxygen uptake from the time on the Balke and Naughton protocols and on a ramp, and the age norm beside them. */
import { age, ageSpan, clockReadAsDecimal, sex, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula } from './formula.ts';
import { FAMILY, line, see, time } from './treadmill-time-line.ts';

export const vo2maxBalkePollock1976 = line({
  id: 'vo2max-balke-pollock-1976-men',
  title: 'Balke at 3.3 mph, men (Pollock 1976)',
  slope: 1.444,
  intercept: 14.99,
  error: see(2.5, 'SEE 2.5 mL/kg/min [from memory], r 0.92'),
  population: 'men 35 to 55 years, mean 39.4 ± 5.9',
  source: {
    citation: 'Pollock ML et al. 1976, in Myers J et al. Chest 1992;101:236S',
    provenance: 'P',
    note: 'printed there as 1.44·T + 14.99. It belongs to the Balke protocol: pages that give it for the Åstrand treadmill test are wrong',
  },
});

export const vo2maxBalkePollock1982 = line({
  id: 'vo2max-balke-pollock-1982-women',
  title: 'Balke at 3.0 mph, women (Pollock 1982)',
  slope: 1.38,
  intercept: 5.22,
  error: see(2.2, 'SEE 2.2 mL/kg/min, r 0.94'),
  population: '49 women, 20 to 42 years',
  source: {
    citation: 'Pollock ML et al. Am Heart J 1982;103:363',
    provenance: 'P',
    note: 'constant printed as 5.2 in NSCA’s Guide; also 0.023·seconds + 5.2',
  },
});

export const vo2maxBalkeFroelicher1974 = line({
  id: 'vo2max-balke-froelicher-1974-men',
  title: 'Balke, men (Froelicher & Lancaster 1974)',
  slope: 1.51,
  intercept: 11.12,
  error: see(4.26, 'SEE 4.26 mL/kg/min, r 0.72'),
  population: 'men; the number of people is doubtful',
  source: { citation: 'Froelicher VF, Lancaster MC. Am Heart J 1974;87:445', provenance: 'M' },
});

export const vo2maxNaughtonFoster1983 = line({
  id: 'vo2max-naughton-foster-1983-cardiac-men',
  title: 'Naughton, men with heart disease (Foster 1983)',
  slope: 1.61,
  intercept: 3.6,
  error: see(2.6, 'SEE 2.60 mL/kg/min, r 0.97 [both from memory]'),
  population: '188 men with heart disease',
  source: { citation: 'Foster C et al. 1983', provenance: 'P2' },
});

const martin = (v: { readonly time: number; readonly age: number }) => 17.66 + 0.985 * v.time - 0.169 * v.age;

export const vo2maxNaughtonMartin: Formula = defineFormula({
  id: 'vo2max-naughton-martin-cad-men',
  title: 'Abbreviated Naughton, men with coronary disease (Martin)',
  family: FAMILY,
  inputs: { time, age },
  output: vo2maxOut,
  validity: [],
  error: see(3.2, 'SEE 3.2 mL/kg/min, r 0.93'),
  population: '50 men with coronary artery disease, continuous 2-minute stages',
  source: { citation: 'Martin et al., modified Naughton protocol (abstract)', provenance: 'P' },
  equation: 'VO₂max = 17.66 + 0.985·T − 0.169·age',
  compute: martin,
  substituted: (v) => `17.66 + 0.985 × ${n(v.time, 3)} − 0.169 × ${n(v.age, 1)}`,
  solve: { time: (v) => (v.output - 17.66 + 0.169 * v.age) / 0.985 },
  slips: [clockReadAsDecimal(martin)],
});

export const vo2maxRampMyers1992: Formula = defineFormula({
  id: 'vo2max-ramp-myers-1992',
  title: 'Individual treadmill ramp (Myers 1992)',
  family: FAMILY,
  inputs: { predicted: { label: 'Oxygen uptake predicted at the end', symbol: 'x', unit: 'mL/kg/min', min: 5, max: 100 } },
  output: vo2maxOut,
  validity: [],
  error: see(4.35, 'SEE 4.35 mL/kg/min, r 0.87'),
  population: 'mean 33.1 ± 10.7 mL/kg/min',
  source: {
    citation: 'Myers J et al. Chest 1992;101:236S',
    provenance: 'P',
    note: 'that x is the uptake predicted from the work rate is inferred',
  },
  equation: 'VO₂max = 0.72·x + 3.67',
  compute: (v) => 0.72 * v.predicted + 3.67,
  substituted: (v) => `0.72 × ${n(v.predicted, 2)} + 3.67`,
  solve: { predicted: (v) => (v.output - 3.67) / 0.72 },
});

const faiAges = {
  'male sedentary': [57.8, 0.445],
  'male active': [69.7, 0.612],
  'female sedentary': [42.3, 0.356],
  'female active': [42.9, 0.312],
} as const;

export const vo2maxAgeNormBruce1973: Formula = defineFormula({
  id: 'vo2max-age-norm-bruce-1973',
  title: 'Age norm for functional aerobic impairment (Bruce 1973)',
  family: FAMILY,
  inputs: {
    age,
    sex,
    activity: {
      label: 'Activity',
      symbol: 'activity',
      unit: '1',
      choices: [
        { value: 'sedentary', label: 'sedentary' },
        { value: 'active', label: 'active' },
      ],
    },
  },
  output: vo2maxOut,
  validity: ageSpan(29, 73),
  population: 'healthy men and women, 29 to 73 years',
  source: {
    citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546',
    provenance: 'P2',
    note: 'one copy gives all women as 41.2 − 0.343·age',
  },
  equation: 'men 57.8 − 0.445·age (active 69.7 − 0.612·age); women 42.3 − 0.356·age (active 42.9 − 0.312·age)',
  compute: (v) => faiAges[`${v.sex} ${v.activity}`][0] - faiAges[`${v.sex} ${v.activity}`][1] * v.age,
  substituted: (v) => `${faiAges[`${v.sex} ${v.activity}`][0]} − ${faiAges[`${v.sex} ${v.activity}`][1]} × ${n(v.age, 1)}`,
});

export const functionalAerobicImpairment: Formula = defineFormula({
  id: 'functional-aerobic-impairment',
  title: 'Functional aerobic impairment',
  family: FAMILY,
  inputs: {
    predicted: { label: 'Predicted oxygen uptake', symbol: 'predicted', unit: 'mL/kg/min', min: 1, max: 100 },
    observed: { label: 'Observed oxygen uptake', symbol: 'observed', unit: 'mL/kg/min', min: 0, max: 100 },
  },
  output: { label: 'Functional aerobic impairment', symbol: 'FAI', unit: '%', decimals: 1 },
  validity: [],
  source: { citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546 (definition in the abstract)', provenance: 'P' },
  equation: 'FAI = 100·(predicted − observed)/predicted',
  compute: (v) => (100 * (v.predicted - v.observed)) / v.predicted,
  substituted: (v) => `100 × (${n(v.predicted, 3)} − ${n(v.observed, 3)}) / ${n(v.predicted, 3)}`,
  solve: { observed: (v) => v.predicted * (1 - v.output / 100) },
});

export const otherTreadmillTimeFormulas: readonly Formula[] = [
  vo2maxBalkePollock1976,
  vo2maxBalkePollock1982,
  vo2maxBalkeFroelicher1974,
  vo2maxNaughtonFoster1983,
  vo2maxNaughtonMartin,
  vo2maxRampMyers1992,
  vo2maxAgeNormBruce1973,
  functionalAerobicImpairment,
];
