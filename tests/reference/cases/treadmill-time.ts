import { halfUnit, PRINTED_DIGITS, type MisprintCase, type ReferenceCase } from '../check.ts';

const rec = 'recomputed outside this program';
const half = (decimals: number) => ({ within: halfUnit(decimals), because: PRINTED_DIGITS });

export const treadmillTimeCases: readonly ReferenceCase[] = [
  ...(
    [
      [9, 30.132],
      [10, 34.07],
      [12, 42.42],
      [15, 55.05],
    ] as const
  ).map(([time, expected]) => ({
    formula: 'vo2max-bruce-foster-1984-men',
    given: { time },
    expected,
    ...half(3),
    source: rec,
  })),
  {
    formula: 'vo2max-bruce-foster-1984-men',
    given: { output: 34.07 },
    solveFor: 'time',
    expected: 10,
    within: 1e-6,
    because: 'the solver halves its interval to 1e-12',
    source: rec,
  },
  { formula: 'vo2max-bruce-pollock-1982-women', given: { time: '9:00' }, expected: 35.52, ...half(2), source: rec },
  { formula: 'vo2max-bruce-pollock-1982-women', given: { time: '12:00' }, expected: 48.66, ...half(2), source: rec },
  { formula: 'vo2max-bruce-1973', given: { time: '600 s', sex: 'male' }, expected: 37.48, ...half(2), source: rec },
  { formula: 'vo2max-bruce-1973', given: { time: '600 s', sex: 'female' }, expected: 34.66, ...half(2), source: rec },
  { formula: 'vo2max-bruce-1973-sedentary-men', given: { time: 10 }, expected: 36.95, ...half(2), source: rec },
  {
    formula: 'vo2max-bruce-1973-sedentary-men',
    given: { time: 9 },
    expected: 33.662,
    ...half(3),
    source: `${rec}, the impairment example`,
  },
  { formula: 'vo2max-bruce-1973-active-men', given: { time: 10 }, expected: 37.97, ...half(2), source: rec },
  { formula: 'vo2max-bruce-1973-cardiac-men', given: { time: 10 }, expected: 32.75, ...half(2), source: '2.327 × 10 + 9.48 by hand' },
  { formula: 'vo2max-bruce-pollock-1976-men', given: { time: 10 }, expected: 38.6, ...half(2), source: '4.326 × 10 − 4.66 by hand' },
  {
    formula: 'vo2max-bruce-mcconnell-1987-handrail',
    given: { time: 10 },
    expected: 31.365,
    ...half(3),
    source: '2.282 × 10 + 8.545 by hand',
  },
  { formula: 'vo2max-balke-pollock-1976-men', given: { time: 15 }, expected: 36.65, ...half(2), source: rec },
  { formula: 'vo2max-balke-froelicher-1974-men', given: { time: 15 }, expected: 33.77, ...half(2), source: rec },
  { formula: 'vo2max-balke-pollock-1982-women', given: { time: 12 }, expected: 21.78, ...half(2), source: rec },
  {
    formula: 'vo2max-balke-pollock-1982-women',
    given: { time: '720 s' },
    expected: 21.76,
    within: 0.025,
    because: 'the seconds form rounds the constant to 5.2',
    source: `${rec}: 0.023·s + 5.2`,
  },
  { formula: 'vo2max-naughton-foster-1983-cardiac-men', given: { time: 12 }, expected: 22.92, ...half(2), source: rec },
  { formula: 'vo2max-naughton-martin-cad-men', given: { time: 12, age: 60 }, expected: 19.34, ...half(2), source: rec },
  { formula: 'vo2max-ramp-myers-1992', given: { predicted: 40 }, expected: 32.47, ...half(2), source: '0.72 × 40 + 3.67 by hand' },
  {
    formula: 'vo2max-age-norm-bruce-1973',
    given: { age: 45, sex: 'male', activity: 'sedentary' },
    expected: 37.775,
    ...half(3),
    source: rec,
  },
  {
    formula: 'vo2max-age-norm-bruce-1973',
    given: { age: 45, sex: 'male', activity: 'active' },
    expected: 42.16,
    ...half(2),
    source: '69.7 − 0.612 × 45 by hand',
  },
  {
    formula: 'vo2max-age-norm-bruce-1973',
    given: { age: 45, sex: 'female', activity: 'sedentary' },
    expected: 26.28,
    ...half(2),
    source: '42.3 − 0.356 × 45 by hand',
  },
  {
    formula: 'vo2max-age-norm-bruce-1973',
    given: { age: 45, sex: 'female', activity: 'active' },
    expected: 28.86,
    ...half(2),
    source: '42.9 − 0.312 × 45 by hand',
  },
  { formula: 'functional-aerobic-impairment', given: { predicted: 37.775, observed: 33.662 }, expected: 10.89, ...half(2), source: rec },
];

export const treadmillTimeMisprints: readonly MisprintCase[] = [
  {
    formula: 'vo2max-bruce-foster-1984-men',
    given: { time: 10 },
    printed: 34.11,
    apart: 0.03,
    source: 'pages that round Foster’s 14.76 to 14.8',
  },
  {
    formula: 'vo2max-bruce-mcconnell-1987-handrail',
    given: { time: 10 },
    printed: 2.282 * 10 + 5.342,
    apart: 3,
    source: 'pages that add a women’s constant of 5.342 to McConnell & Clark; no paper supports it',
  },
  {
    formula: 'vo2max-bruce-1973',
    given: { time: 10, sex: 'female' },
    printed: 6.7 + 0.056 * 600,
    apart: 5,
    source: 'sex coded 0 for a woman in the pooled equation, whose author codes man 1 and woman 2',
  },
];
