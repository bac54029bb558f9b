/** Maximal oxygen uptake from field and step tests. */
import {
  age,
  clockReadAsDecimal,
  heartRate,
  mass,
  massInPounds,
  massPutInKilograms,
  massPutInPounds,
  otherSex,
  sex,
  vo2maxAbsoluteOut,
  vo2maxOut,
} from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Maximal oxygen uptake from field and step tests';
const see = (value: number, text = `SEE ${value} mL/kg/min`): NonNullable<Formula['error']> => ({
  kind: 'SEE',
  value,
  unit: 'mL/kg/min',
  text,
});
const time = (label: string, min: number, max: number) =>
  ({ label, symbol: 'T', unit: 'min', alsoUnits: ['s'], min, max }) as const satisfies InputSpec;
const endHeartRate = {
  ...heartRate,
  label: 'Heart rate at the end',
  symbol: 'HR',
  note: 'In beats per minute: a count of 10 s is multiplied by 6.',
} as const satisfies InputSpec;

type Sex = 'male' | 'female';
type Walk = { readonly mass: number; readonly age: number; readonly sex: Sex; readonly time: number; readonly heartRate: number };
const tenSecondCount = <V extends { readonly heartRate: number }>(compute: (v: V) => number) => ({
  id: 'heart-rate-as-10-s-count',
  says: 'the count of 10 s was put in, not beats per minute',
  compute: (v: V) => compute({ ...v, heartRate: v.heartRate / 6 }),
});

const kline = (v: Walk) =>
  132.853 - 0.0769 * v.mass - 0.3877 * v.age + (v.sex === 'male' ? 6.315 : 0) - 3.2649 * v.time - 0.1565 * v.heartRate;
const klineAges = [
  {
    input: 'age',
    min: 30,
    text: 'The people of this study were 30 to 69 years old; fit students of 18 to 29 are under-predicted (50.1 against 53.3 measured).',
  },
  { input: 'age', max: 69, text: 'The people of this study were 30 to 69 years old; this age is above.' },
];

export const vo2maxKline1987: Formula = defineFormula({
  id: 'vo2max-kline-1987-mile-walk',
  title: 'One-mile walk (Kline 1987)',
  family: FAMILY,
  inputs: { mass: massInPounds, age, sex, time: time('Time for one mile', 7, 30), heartRate: endHeartRate },
  output: { ...vo2maxOut, alsoUnits: ['[MET]'] },
  validity: klineAges,
  error: see(5, 'SEE 5.0 mL/kg/min, r 0.88 (another textbook prints 4.4 and 0.92)'),
  population: '165 men and 178 women, 30 to 69 years',
  source: {
    citation: 'Kline GM et al. Med Sci Sports Exerc 1987;19:253',
    provenance: 'P',
    note: 'the mass term is 0.0769 per pound; one handbook pairs the per-kilogram 0.1692 with pounds',
  },
  equation: 'VO₂max = 132.853 − 0.0769·lb − 0.3877·age + 6.315 (men) − 3.2649·T − 0.1565·HR',
  compute: kline,
  substituted: (v) =>
    `132.853 − 0.0769 × ${n(v.mass, 1)} − 0.3877 × ${n(v.age, 1)}${v.sex === 'male' ? ' + 6.315' : ''} − 3.2649 × ${n(v.time, 3)} − 0.1565 × ${n(v.heartRate, 1)}`,
  solve: {
    time: (v) => (132.853 - 0.0769 * v.mass - 0.3877 * v.age + (v.sex === 'male' ? 6.315 : 0) - 0.1565 * v.heartRate - v.output) / 3.2649,
  },
  slips: [massPutInKilograms(kline), otherSex(kline), tenSecondCount(kline), clockReadAsDecimal(kline)],
});

const klineAbsolute = (v: Walk) =>
  6.9652 + 0.0091 * v.mass - 0.0257 * v.age + (v.sex === 'male' ? 0.5955 : 0) - 0.224 * v.time - 0.0115 * v.heartRate;

export const vo2maxKline1987Absolute: Formula = defineFormula({
  id: 'vo2max-kline-1987-mile-walk-absolute',
  title: 'One-mile walk, in L/min (Kline 1987)',
  family: FAMILY,
  inputs: { mass: massInPounds, age, sex, time: time('Time for one mile', 7, 30), heartRate: endHeartRate },
  output: vo2maxAbsoluteOut,
  validity: klineAges,
  error: { kind: 'SEE', value: 0.325, unit: 'L/min', text: 'SEE 0.325 L/min, r 0.93; 0.355 in cross-validation' },
  population: '165 men and 178 women, 30 to 69 years',
  source: { citation: 'Kline GM et al. Med Sci Sports Exerc 1987;19:253', provenance: 'P' },
  equation: 'VO₂max(L/min) = 6.9652 + 0.0091·lb − 0.0257·age + 0.5955 (men) − 0.2240·T − 0.0115·HR',
  compute: klineAbsolute,
  substituted: (v) =>
    `6.9652 + 0.0091 × ${n(v.mass, 1)} − 0.0257 × ${n(v.age, 1)}${v.sex === 'male' ? ' + 0.5955' : ''} − 0.224 × ${n(v.time, 3)} − 0.0115 × ${n(v.heartRate, 1)}`,
  slips: [massPutInKilograms(klineAbsolute), otherSex(klineAbsolute), tenSecondCount(klineAbsolute), clockReadAsDecimal(klineAbsolute)],
});

type CollegeWalk = Omit<Walk, 'age'>;
const dolgener = (v: CollegeWalk) => 88.768 + (v.sex === 'male' ? 8.892 : 0) - 0.0957 * v.mass - 1.4537 * v.time - 0.1194 * v.heartRate;

export const vo2maxDolgener1994: Formula = defineFormula({
  id: 'vo2max-dolgener-1994-mile-walk',
  title: 'One-mile walk for students (Dolgener 1994)',
  family: FAMILY,
  inputs: { mass: massInPounds, sex, time: time('Time for one mile', 7, 30), heartRate: endHeartRate },
  output: { ...vo2maxOut, alsoUnits: ['[MET]'] },
  validity: [],
  error: see(3.93, 'SEE 3.93 mL/kg/min, r 0.85 (Greenhalgh 2001)'),
  population: 'college students, 18 to 29 years',
  source: {
    citation: 'Dolgener FA et al. Res Q Exerc Sport 1994;65:152',
    provenance: 'P',
    note: '0.0957 per pound is 0.2109 per kilogram; a handbook’s SEE of 7.93 is implausible',
  },
  equation: 'VO₂max = 88.768 + 8.892 (men) − 0.0957·lb − 1.4537·T − 0.1194·HR',
  compute: dolgener,
  substituted: (v) =>
    `88.768${v.sex === 'male' ? ' + 8.892' : ''} − 0.0957 × ${n(v.mass, 1)} − 1.4537 × ${n(v.time, 3)} − 0.1194 × ${n(v.heartRate, 1)}`,
  slips: [
    massPutInKilograms(dolgener),
    otherSex(dolgener),
    tenSecondCount(dolgener),
    clockReadAsDecimal(dolgener),
    {
      id: 'per-kilogram-term-with-pounds',
      says: 'the per-kilogram term 0.2109 was used with pounds',
      compute: (v) => dolgener(v) + (0.0957 - 0.2109) * v.mass,
    },
  ],
});

const georgeJog = (v: CollegeWalk) => 100.5 + (v.sex === 'male' ? 8.344 : 0) - 0.1636 * v.mass - 1.438 * v.time - 0.1928 * v.heartRate;

export const vo2maxGeorge1993Jog: Formula = defineFormula({
  id: 'vo2max-george-1993-mile-jog',
  title: 'One-mile jog (George 1993)',
  family: FAMILY,
  inputs: { mass, sex, time: time('Time for one mile', 5, 20), heartRate: endHeartRate },
  output: vo2maxOut,
  validity: [{ input: 'heartRate', max: 180, text: 'The jog is submaximal: the heart rate at the end should not be above 180.' }],
  check: (v) =>
    v.time < (v.sex === 'male' ? 8 : 9)
      ? [{ text: `The jog is submaximal: not faster than ${v.sex === 'male' ? '8:00' : '9:00'} for the mile.` }]
      : [],
  error: see(3, 'SEE 3.0 mL/kg/min, adjusted r 0.87; 3.1 in cross-validation'),
  population: 'fit people of 18 to 29 years, n 54; a jog of at least 8:00 (women 9:00), heart rate at most 180 /min',
  source: { citation: 'George JD et al. Med Sci Sports Exerc 1993;25:401', provenance: 'P' },
  equation: 'VO₂max = 100.5 + 8.344 (men) − 0.1636·M − 1.438·T − 0.1928·HR',
  compute: georgeJog,
  substituted: (v) =>
    `100.5${v.sex === 'male' ? ' + 8.344' : ''} − 0.1636 × ${n(v.mass, 2)} − 1.438 × ${n(v.time, 3)} − 0.1928 × ${n(v.heartRate, 1)}`,
  slips: [massPutInPounds(georgeJog), otherSex(georgeJog), tenSecondCount(georgeJog), clockReadAsDecimal(georgeJog)],
});

type Run = { readonly mass: number; readonly sex: Sex; readonly time: number };
const georgeRun = (v: Run) => 88.02 + (v.sex === 'male' ? 3.716 : 0) - 0.1656 * v.mass - 2.767 * v.time;

export const vo2maxGeorge1993Run: Formula = defineFormula({
  id: 'vo2max-george-1993-1-5-mile',
  title: '1.5-mile run (George 1993)',
  family: FAMILY,
  inputs: { mass, sex, time: time('Time for 1.5 miles', 6, 30) },
  output: vo2maxOut,
  validity: [],
  error: see(2.8, 'SEE 2.8 mL/kg/min, adjusted r 0.90; 3.9 in cross-validation'),
  population: 'fit people of 18 to 29 years, n about 50',
  source: {
    citation: 'George JD et al. Med Sci Sports Exerc 1993;25:401',
    provenance: 'P',
    note: 'coefficients as in NSCA’s Guide (2012); many pages show other, wrong equations for this run',
  },
  equation: 'VO₂max = 88.02 + 3.716 (men) − 0.1656·M − 2.767·T',
  compute: georgeRun,
  substituted: (v) => `88.02${v.sex === 'male' ? ' + 3.716' : ''} − 0.1656 × ${n(v.mass, 2)} − 2.767 × ${n(v.time, 3)}`,
  solve: { time: (v) => (88.02 + (v.sex === 'male' ? 3.716 : 0) - 0.1656 * v.mass - v.output) / 2.767 },
  slips: [massPutInPounds(georgeRun), otherSex(georgeRun), clockReadAsDecimal(georgeRun)],
});

const acsmRun = (v: { readonly time: number }) => 483 / v.time + 3.5;

export const vo2maxAcsm15Mile: Formula = defineFormula({
  id: 'vo2max-acsm-1-5-mile',
  title: '1.5-mile run (ACSM)',
  family: FAMILY,
  inputs: { time: time('Time for 1.5 miles', 6, 30) },
  output: vo2maxOut,
  validity: [],
  source: { citation: 'ACSM Guidelines for Exercise Testing and Prescription', provenance: 'M' },
  equation: 'VO₂max = 483/T + 3.5',
  compute: acsmRun,
  substituted: (v) => `483 / ${n(v.time, 3)} + 3.5`,
  solve: { time: (v) => 483 / (v.output - 3.5) },
  slips: [clockReadAsDecimal(acsmRun)],
});

export const vo2maxCooper1968: Formula = defineFormula({
  id: 'vo2max-cooper-1968-12-minute',
  title: '12-minute run (Cooper 1968)',
  family: FAMILY,
  inputs: { distance: { label: 'Distance in 12 minutes', symbol: 'D', unit: 'm', alsoUnits: ['km', '[mi_i]'], min: 800, max: 5000 } },
  output: vo2maxOut,
  validity: [],
  population: '115 airmen, 17 to 52 years [number from memory; a textbook says 47]; r 0.897',
  source: {
    citation: 'Cooper KH. JAMA 1968;203:201',
    provenance: 'P',
    note: 'mile form and r in NSCA’s Guide (2012); some texts print 0.0268·D − 11.3, which gives 53.0 at 2400 m',
  },
  equation: 'VO₂max = (D − 504.9)/44.73',
  compute: (v) => (v.distance - 504.9) / 44.73,
  substituted: (v) => `(${n(v.distance, 0)} − 504.9) / 44.73`,
  solve: { distance: (v) => v.output * 44.73 + 504.9 },
  slips: [{ id: 'misprinted-slope', says: 'the misprinted form 0.0268·D − 11.3 was used', compute: (v) => 0.0268 * v.distance - 11.3 }],
});

export const vo2maxCooperMiles: Formula = defineFormula({
  id: 'vo2max-cooper-1968-12-minute-miles',
  title: '12-minute run, mile form (Cooper 1968)',
  family: FAMILY,
  inputs: { distance: { label: 'Distance in 12 minutes', symbol: 'D', unit: '[mi_i]', alsoUnits: ['km', 'm'], min: 0.5, max: 3.1 } },
  output: vo2maxOut,
  validity: [],
  population: '115 airmen, 17 to 52 years [number from memory; a textbook says 47]; r 0.897',
  source: { citation: 'Cooper KH. JAMA 1968;203:201, in NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' },
  equation: 'VO₂max = 35.97·miles − 11.29',
  compute: (v) => 35.97 * v.distance - 11.29,
  substituted: (v) => `35.97 × ${n(v.distance, 3)} − 11.29`,
  solve: { distance: (v) => (v.output + 11.29) / 35.97 },
});

const queens = (v: { readonly heartRate: number; readonly sex: Sex }) =>
  v.sex === 'male' ? 111.33 - 0.42 * v.heartRate : 65.81 - 0.1847 * v.heartRate;

export const vo2maxQueens1972: Formula = defineFormula({
  id: 'vo2max-queens-college-1972',
  title: 'Queens College step test (McArdle 1972)',
  family: FAMILY,
  inputs: {
    heartRate: {
      ...heartRate,
      label: 'Recovery heart rate',
      symbol: 'HR',
      note: 'Counted standing from 5 to 20 s after the 3 minutes, times 4.',
    },
    sex,
  },
  output: vo2maxOut,
  validity: [],
  error: { kind: 'range', value: 16, unit: '%', text: '95 % within about ±16 %; r −0.75, retest 0.92' },
  population: 'college men and women; 16.25 in (41.3 cm), 24 (men) or 22 (women) step cycles a minute, 3 min',
  source: {
    citation: 'McArdle WD et al. Med Sci Sports 1972;4:182',
    provenance: 'P',
    note: 'one textbook prints the step as 16 in (40.6 cm)',
  },
  equation: 'men 111.33 − 0.42·HR; women 65.81 − 0.1847·HR',
  compute: queens,
  substituted: (v) => (v.sex === 'male' ? `111.33 − 0.42 × ${n(v.heartRate, 1)}` : `65.81 − 0.1847 × ${n(v.heartRate, 1)}`),
  solve: { heartRate: (v) => (v.sex === 'male' ? (111.33 - v.output) / 0.42 : (65.81 - v.output) / 0.1847) },
  slips: [
    otherSex(queens),
    {
      id: 'count-not-multiplied',
      says: 'the 15-s count was put in, not beats per minute',
      compute: (v) => queens({ ...v, heartRate: v.heartRate / 4 }),
    },
  ],
});

export const fieldFormulas: readonly Formula[] = [
  vo2maxQueens1972,
  vo2maxKline1987,
  vo2maxKline1987Absolute,
  vo2maxDolgener1994,
  vo2maxGeorge1993Jog,
  vo2maxGeorge1993Run,
  vo2maxAcsm15Mile,
  vo2maxCooper1968,
  vo2maxCooperMiles,
];
