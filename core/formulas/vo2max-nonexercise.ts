/** Maximal oxygen uptake predicted without exercise, from questions and body measures. */
import { age, ageSpan, heartRate, mass, massPutInPounds, sex, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Maximal oxygen uptake without exercise';
const peterman = 'coefficients as in Peterman JE et al. J Am Heart Assoc 2020;9:e015117, Table 1';

const bmi = { label: 'Body mass index', symbol: 'BMI', unit: 'kg/m2', min: 10, max: 70 } as const satisfies InputSpec;
const activity07 = {
  label: 'Physical activity rating, 0 to 7',
  symbol: 'PA',
  unit: '{score}',
  min: 0,
  max: 7,
  note: '0 avoids exertion; 4 runs less than 1 mile or 30 min a week; 5: 1 to 5 miles or 30 to 60 min; 6: 5 to 10 miles or 1 to 3 h; 7: more.',
} as const satisfies InputSpec;
const see = (value: number, text = `SEE ${value} mL/kg/min`): NonNullable<Formula['error']> => ({
  kind: 'SEE',
  value,
  unit: 'mL/kg/min',
  text,
});

export const vo2maxJacksonBmi1990: Formula = defineFormula({
  id: 'vo2max-jackson-1990-bmi',
  title: 'Non-exercise, BMI form (Jackson 1990)',
  family: FAMILY,
  inputs: { activity: activity07, age, bmi, sex },
  output: vo2maxOut,
  validity: [],
  error: see(5.7, 'SEE 5.6 (abstract) or 5.70 mL/kg/min (Peterman); R 0.78'),
  population: '2009 adults of NASA/JSC, 9.7 % women',
  source: { citation: 'Jackson AS et al. Med Sci Sports Exerc 1990', provenance: 'P', note: peterman },
  equation: 'VO₂max = 56.363 + 1.921·PA − 0.381·age − 0.754·BMI + 10.987 (men)',
  compute: (v) => 56.363 + 1.921 * v.activity - 0.381 * v.age - 0.754 * v.bmi + (v.sex === 'male' ? 10.987 : 0),
  substituted: (v) =>
    `56.363 + 1.921 × ${n(v.activity)} − 0.381 × ${n(v.age, 1)} − 0.754 × ${n(v.bmi, 2)}${v.sex === 'male' ? ' + 10.987' : ''}`,
});

export const vo2maxJacksonFat1990: Formula = defineFormula({
  id: 'vo2max-jackson-1990-fat',
  title: 'Non-exercise, per cent fat form (Jackson 1990)',
  family: FAMILY,
  inputs: { activity: activity07, age, fat: { label: 'Body fat', symbol: '%fat', unit: '%', min: 2, max: 70 }, sex },
  output: vo2maxOut,
  validity: [],
  error: see(5.35, 'SEE 5.3 (abstract) or 5.35 mL/kg/min (Peterman); R 0.81'),
  population: '2009 adults of NASA/JSC, 9.7 % women',
  source: { citation: 'Jackson AS et al. Med Sci Sports Exerc 1990', provenance: 'P', note: peterman },
  equation: 'VO₂max = 50.513 + 1.589·PA − 0.289·age − 0.552·%fat + 5.863 (men)',
  compute: (v) => 50.513 + 1.589 * v.activity - 0.289 * v.age - 0.552 * v.fat + (v.sex === 'male' ? 5.863 : 0),
  substituted: (v) =>
    `50.513 + 1.589 × ${n(v.activity)} − 0.289 × ${n(v.age, 1)} − 0.552 × ${n(v.fat, 1)}${v.sex === 'male' ? ' + 5.863' : ''}`,
});

const jurcaScores = [0, 0.32, 1.06, 1.76, 3.03] as const;

export const vo2maxJurca2005: Formula = defineFormula({
  id: 'mets-jurca-2005',
  title: 'Non-exercise, METs (Jurca 2005)',
  family: FAMILY,
  inputs: {
    age,
    bmi,
    restingHeartRate: { ...heartRate, label: 'Resting heart rate', symbol: 'RHR' },
    level: {
      label: 'Physical activity level, 1 to 5',
      symbol: 'level',
      unit: '{score}',
      choices: [1, 2, 3, 4, 5].map((level) => ({ value: level, label: String(level) })),
    },
    sex,
  },
  output: { label: 'Predicted maximal METs', symbol: 'METs max', unit: '[MET]', alsoUnits: ['mL/kg/min'], decimals: 1 },
  validity: [],
  error: { kind: 'SEE', value: 1.45, unit: '[MET]', text: 'SEE 1.45 METs, R 0.81' },
  population: 'NASA sample, 1863 adults',
  source: {
    citation: 'Jurca R et al. Am J Prev Med 2005;29:185',
    provenance: 'P2',
    note: 'coefficients and scores agree in three transcriptions',
  },
  equation: 'METs = 18.07 + 2.77 (men) − 0.10·age − 0.17·BMI − 0.03·RHR + score (0, 0.32, 1.06, 1.76, 3.03)',
  compute: (v) =>
    18.07 +
    (v.sex === 'male' ? 2.77 : 0) -
    0.1 * v.age -
    0.17 * v.bmi -
    0.03 * v.restingHeartRate +
    (jurcaScores[v.level - 1] ?? Number.NaN),
  substituted: (v) =>
    `18.07${v.sex === 'male' ? ' + 2.77' : ''} − 0.10 × ${n(v.age, 1)} − 0.17 × ${n(v.bmi, 2)} − 0.03 × ${n(v.restingHeartRate, 1)} + ${jurcaScores[v.level - 1]}`,
});

export const vo2maxBradshaw2005: Formula = defineFormula({
  id: 'vo2max-bradshaw-2005',
  title: 'Non-exercise with perceived ability (Bradshaw 2005)',
  family: FAMILY,
  inputs: {
    age,
    bmi,
    ability: { label: 'Perceived functional ability, sum of two items', symbol: 'PFA', unit: '{score}', min: 2, max: 26 },
    activity: { label: 'Physical activity rating, 0 to 10', symbol: 'PA-R', unit: '{score}', min: 0, max: 10 },
    sex,
  },
  output: vo2maxOut,
  validity: ageSpan(18, 65),
  error: see(3.45, 'SEE 3.45 mL/kg/min, R 0.93'),
  population: '100 people, 18 to 65 years',
  source: {
    citation: 'Bradshaw DI et al. Res Q Exerc Sport 2005;76:426',
    provenance: 'P',
    note: 'abstract; the spans of the two ratings are from memory',
  },
  equation: 'VO₂max = 48.0730 + 6.1779 (men) − 0.2463·age − 0.6186·BMI + 0.7115·PFA + 0.6709·PA-R',
  compute: (v) => 48.073 + (v.sex === 'male' ? 6.1779 : 0) - 0.2463 * v.age - 0.6186 * v.bmi + 0.7115 * v.ability + 0.6709 * v.activity,
  substituted: (v) =>
    `48.073${v.sex === 'male' ? ' + 6.1779' : ''} − 0.2463 × ${n(v.age, 1)} − 0.6186 × ${n(v.bmi, 2)} + 0.7115 × ${n(v.ability)} + 0.6709 × ${n(v.activity)}`,
});

const nes = {
  male: { constant: 100.27, age: 0.296, waist: 0.369, heart: 0.155, activity: 0.226 },
  female: { constant: 74.74, age: 0.247, waist: 0.259, heart: 0.114, activity: 0.198 },
} as const;

export const vo2maxNes2011: Formula = defineFormula({
  id: 'vo2max-nes-2011',
  title: 'Non-exercise, HUNT (Nes 2011)',
  family: FAMILY,
  inputs: {
    age,
    waist: { label: 'Waist', symbol: 'waist', unit: 'cm', alsoUnits: ['[in_i]'], min: 40, max: 200 },
    restingHeartRate: { ...heartRate, label: 'Resting heart rate', symbol: 'RHR' },
    activity: { label: 'Physical activity index', symbol: 'PAI', unit: '{score}', min: 0, max: 45 },
    sex,
  },
  output: vo2maxOut,
  validity: [],
  population: '2067 men and 2193 women, Norway',
  source: {
    citation: 'Nes BM et al. 2011 (HUNT), as in Nevill 2017',
    provenance: 'P',
    note: 'the span of the activity index is from memory',
  },
  equation: 'men 100.27 − 0.296·age − 0.369·waist − 0.155·RHR + 0.226·PAI; women 74.74 − 0.247·age − 0.259·waist − 0.114·RHR + 0.198·PAI',
  compute: (v) => {
    const c = nes[v.sex];
    return c.constant - c.age * v.age - c.waist * v.waist - c.heart * v.restingHeartRate + c.activity * v.activity;
  },
  substituted: (v) => {
    const c = nes[v.sex];
    return `${c.constant} − ${c.age} × ${n(v.age, 1)} − ${c.waist} × ${n(v.waist, 1)} − ${c.heart} × ${n(v.restingHeartRate, 1)} + ${c.activity} × ${n(v.activity)}`;
  },
});

export const vo2maxBaynard2016: Formula = defineFormula({
  id: 'vo2max-baynard-2016',
  title: 'Non-exercise, BMI form (Baynard 2016)',
  family: FAMILY,
  inputs: { age, bmi, sex },
  output: vo2maxOut,
  validity: [],
  error: see(6.89, 'SEE 6.89 mL/kg/min, R² 0.57'),
  source: { citation: 'Baynard T et al. 2016', provenance: 'P', note: peterman },
  equation: 'VO₂max = 77.96 − 10.35 (women) − 0.92·BMI − 0.32·age',
  compute: (v) => 77.96 - (v.sex === 'female' ? 10.35 : 0) - 0.92 * v.bmi - 0.32 * v.age,
  substituted: (v) => `77.96${v.sex === 'female' ? ' − 10.35' : ''} − 0.92 × ${n(v.bmi, 2)} − 0.32 × ${n(v.age, 1)}`,
});

export const bodyMassIndex: Formula = defineFormula({
  id: 'body-mass-index',
  title: 'Body mass index',
  family: FAMILY,
  inputs: { mass, height: { label: 'Height', symbol: 'H', unit: 'm', alsoUnits: ['cm', '[in_i]', '[ft_i]'], min: 1, max: 2.3 } },
  output: { label: 'Body mass index', symbol: 'BMI', unit: 'kg/m2', decimals: 1 },
  validity: [],
  source: { citation: 'definition', provenance: 'C' },
  equation: 'BMI = M/H²',
  compute: (v) => v.mass / v.height ** 2,
  substituted: (v) => `${n(v.mass, 2)} / ${n(v.height, 3)}²`,
  solve: { mass: (v) => v.output * v.height ** 2 },
  slips: [
    massPutInPounds((v: { mass: number; height: number }) => v.mass / v.height ** 2),
    { id: 'not-squared', says: 'the height was not squared', compute: (v) => v.mass / v.height },
  ],
});

export const nonExerciseFormulas: readonly Formula[] = [
  vo2maxJacksonBmi1990,
  vo2maxJacksonFat1990,
  vo2maxJurca2005,
  vo2maxBradshaw2005,
  vo2maxNes2011,
  vo2maxBaynard2016,
  bodyMassIndex,
];
