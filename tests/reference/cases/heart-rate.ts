import { halfUnit, PRINTED_DIGITS, type MisprintCase, type ReferenceCase } from '../check.ts';

const ages = [20, 30, 40, 50, 60] as const;

/** Values at 20, 30, 40, 50 and 60 years, recomputed outside this program. */
const byAge: readonly (readonly [string, readonly number[], number])[] = [
  ['hr-max-fox-1971', [200, 190, 180, 170, 160], 0],
  ['hr-max-tanaka-2001', [194, 187, 180, 173, 166], 0],
  ['hr-max-gellish-2007', [193, 186, 179, 172, 165], 0],
  ['hr-max-gellish-2007-unrounded', [193.5, 186.8, 180.1, 173.4, 166.7], 1],
  ['hr-max-gellish-2007-quadratic', [188.7, 185.2, 180.3, 174.0, 166.3], 1],
  ['hr-max-gulati-2010-women', [188.4, 179.6, 170.8, 162.0, 153.2], 1],
  ['hr-max-nes-2013', [198.2, 191.8, 185.4, 179.0, 172.6], 1],
  ['hr-max-astrand', [199.8, 191.4, 183.0, 174.6, 166.2], 1],
  ['hr-max-inbar-1994', [192.1, 185.25, 178.4, 171.55, 164.7], 2],
];

const maxima: readonly ReferenceCase[] = byAge.flatMap(([formula, values, decimals]) =>
  ages.map((age, index) => ({
    formula,
    given: { age },
    expected: values[index] ?? Number.NaN,
    within: halfUnit(decimals),
    because: PRINTED_DIGITS,
    source: 'recomputed from the published equation',
  })),
);

const exact = { within: 1e-9, because: 'arithmetic on the published coefficients' };

export const heartRateCases: readonly ReferenceCase[] = [
  ...maxima,
  { formula: 'hr-max-tanaka-2001-laboratory', given: { age: 40 }, expected: 181, ...exact, source: 'Tanaka 2001: 209 − 0.7 × 40 by hand' },
  {
    formula: 'hr-max-tanaka-2001-by-training',
    given: { age: 40, training: 'sedentary' },
    expected: 184,
    ...exact,
    source: 'Tanaka 2001: 212 − 28 by hand',
  },
  {
    formula: 'hr-max-tanaka-2001-by-training',
    given: { age: 40, training: 'active' },
    expected: 179,
    ...exact,
    source: 'Tanaka 2001: 207 − 28 by hand',
  },
  {
    formula: 'hr-max-tanaka-2001-by-training',
    given: { age: 40, training: 'endurance-trained' },
    expected: 181,
    ...exact,
    source: 'Tanaka 2001: 205 − 24 by hand',
  },
  { formula: 'hr-max-jones-1985', given: { age: 50 }, expected: 166, ...exact, source: 'Jones 1985: 202 − 36 by hand' },
  { formula: 'hr-max-londeree-moeschberger', given: { age: 50 }, expected: 170.75, ...exact, source: '206.3 − 35.55 by hand' },
  { formula: 'hr-max-friend-2016', given: { age: 50 }, expected: 173.3, ...exact, source: '209.3 − 36 by hand' },
  { formula: 'hr-max-sydo-2014', given: { age: 60, sex: 'male' }, expected: 163, ...exact, source: 'Sydó 2014: 220 − 57 by hand' },
  { formula: 'hr-max-sydo-2014', given: { age: 60, sex: 'female' }, expected: 162.6, ...exact, source: 'Sydó 2014: 210 − 47.4 by hand' },
  { formula: 'hr-max-zhu-2010', given: { age: 40 }, expected: 173, ...exact, source: 'Zhu 2010: 179 + 11.6 − 17.6 by hand' },
  { formula: 'hr-max-fox-1971', given: { age: 22 }, expected: 198, ...exact, source: 'NSCA’s Guide, Karvonen example' },
  {
    formula: 'hr-reserve-target',
    given: { fraction: '70 %', maximalHeartRate: 198, restingHeartRate: 72 },
    expected: 160,
    within: 0.5,
    because: 'printed as a whole number',
    source: 'NSCA’s Guide to Tests and Assessments, Karvonen example',
  },
  {
    formula: 'hr-reserve-target',
    given: { fraction: 0.7, maximalHeartRate: 198, restingHeartRate: 72 },
    expected: 160.2,
    within: 1e-9,
    because: 'recomputed exactly',
    source: 'recomputed beside the printed example',
  },
  ...(
    [
      [0.4, 116],
      [0.6, 142],
      [0.75, 163],
      [0.89, 181],
    ] as const
  ).map(([fraction, expected]) => ({
    formula: 'hr-reserve-target',
    given: { fraction, maximalHeartRate: 196, restingHeartRate: 62 },
    expected,
    within: 0.5,
    because: 'given as whole numbers',
    source: 'prescription example, own construction, worked outside this program',
  })),
  {
    formula: 'heart-rate-reserve',
    given: { maximalHeartRate: 198, restingHeartRate: 72 },
    expected: 126,
    ...exact,
    source: 'NSCA’s Guide, Karvonen example, by hand',
  },
  {
    formula: 'heart-rate-reserve-percent',
    given: { heartRate: 155, maximalHeartRate: 195, restingHeartRate: 70 },
    expected: 68,
    ...exact,
    source: 'Swain example: HR 155, rest 70, max 195 → 0.68',
  },
  { formula: 'hr-max-target', given: { fraction: '85 %', maximalHeartRate: 200 }, expected: 170, ...exact, source: '0.85 × 200 by hand' },
  {
    formula: 'chronotropic-index',
    given: { peakHeartRate: 160, restingHeartRate: 70, age: 50 },
    expected: 0.9,
    ...exact,
    source: 'definition in Cole 1999: (160 − 70)/(220 − 50 − 70) by hand',
  },
  {
    formula: 'hr-recovery',
    given: { peakHeartRate: 190, recoveryHeartRate: 165 },
    expected: 25,
    ...exact,
    source: 'definition in Cole 1999, by hand',
  },
  { formula: 'heart-rate-from-30-beats', given: { time: '15 s' }, expected: 120, ...exact, source: 'NSCA’s Guide: 1800/seconds' },
  { formula: 'heart-rate-from-ecg', given: { distance: 10 }, expected: 150, ...exact, source: 'NSCA’s Guide: 1500/mm' },
  { formula: 'heart-rate-from-count', given: { count: 33, time: '15 s' }, expected: 132, ...exact, source: '33 beats × 4 by hand' },
];

export const heartRateMisprints: readonly MisprintCase[] = [
  {
    formula: 'hr-max-gellish-2007-quadratic',
    given: { age: 40 },
    printed: 192 - 0.007 * 1600,
    apart: 0.4,
    source: 'the constant rounded to 192; 191.5 is published',
  },
];
