import { halfUnit, PRINTED_DIGITS, type MisprintCase, type ReferenceCase } from '../check.ts';

const half = (decimals: number) => ({ within: halfUnit(decimals), because: PRINTED_DIGITS });
const exact = { within: 1e-9, because: 'exact arithmetic' };
const rec = 'recomputed outside this program';
const nhanes = { vo2First: 23.3, heartRateFirst: 120, vo2Second: 31.4, heartRateSecond: 140, maximalHeartRate: 180 };

/** Recomputed grid of the closed form before the age factor, L/min. */
const grid = (
  sex: 'male' | 'female',
  loads: readonly number[],
  rows: readonly (readonly [number, readonly number[]])[],
): readonly ReferenceCase[] =>
  rows.flatMap(([heartRate, values]) =>
    loads.map((load, i) => ({
      formula: 'vo2max-astrand-ryhming-before-age',
      given: { load, heartRate, sex },
      expected: values[i] ?? Number.NaN,
      ...half(2),
      source: 'grid recomputed outside this program',
    })),
  );

export const submaximalFieldCases: readonly ReferenceCase[] = [
  {
    formula: 'vo2max-multistage',
    given: nhanes,
    expected: 47.6,
    ...half(1),
    source: 'printed: NHANES Cardiovascular Fitness Procedures Manual, Appendix G',
  },
  { formula: 'vo2max-multistage', given: nhanes, expected: 47.6, ...half(3), source: 'recomputed beside the NHANES example' },
  {
    formula: 'vo2max-multistage',
    given: {
      vo2First: (1.8 * 450) / 70 + 7,
      heartRateFirst: 118,
      vo2Second: (1.8 * 600) / 70 + 7,
      heartRateSecond: 136,
      maximalHeartRate: 196,
    },
    expected: 35.286,
    ...half(3),
    source: `${rec}c: YMCA, 70 kg, 450 and 600 kg·m/min`,
  },
  {
    formula: 'vo2max-swain-2004',
    given: { load: 100, heartRate: 155, restingHeartRate: 70, maximalHeartRate: 195, mass: 70 },
    expected: 29.69,
    ...half(2),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-ebbeling-1991',
    given: { age: 30, sex: 'male', speed: '3.5 mph', heartRate: 130 },
    expected: 46.911,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-ebbeling-1991',
    given: { age: 40, sex: 'female', speed: '3.0 mph', heartRate: 125 },
    expected: 33.265,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-ebbeling-1991',
    given: { age: 22, sex: 'female', speed: '3.8 mph', heartRate: 140 },
    expected: 45.696,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-george-2000-cycle',
    given: { age: 25, mass: 70, load: 150, heartRate: 150, sex: 'male' },
    expected: 54.341,
    ...half(3),
    source: 'George 2000: 85.447 + 9.104 − 6.69 − 29.05 + 19.755 − 24.225 by hand',
  },
  {
    formula: 'vo2max-storer-1990',
    given: { load: 250, mass: 75, age: 30, sex: 'male' },
    expected: 3308.35,
    ...exact,
    source: '2627.5 + 476.25 − 314.7 + 519.3 by hand',
  },
  {
    formula: 'vo2max-storer-1990',
    given: { load: 180, mass: 60, age: 30, sex: 'female' },
    expected: 2112.5,
    ...exact,
    source: '1690.2 + 462 − 176.4 + 136.7 by hand',
  },
  {
    formula: 'mets-heart-rate-index-2016',
    given: { heartRate: 180, restingHeartRate: 60 },
    expected: 13,
    ...exact,
    source: 'Wicks & Oldridge 2016: 6 × 3 − 5 by hand',
  },

  ...grid(
    'male',
    [300, 600, 900, 1200, 1500],
    [
      [120, [2.04, 3.41, 4.77, 6.36, 7.95]],
      [130, [1.75, 2.91, 4.08, 5.44, 6.8]],
      [140, [1.53, 2.54, 3.56, 4.75, 5.94]],
      [150, [1.36, 2.26, 3.16, 4.22, 5.27]],
      [160, [1.22, 2.03, 2.84, 3.79, 4.74]],
      [170, [1.11, 1.84, 2.58, 3.44, 4.3]],
    ],
  ),
  ...grid(
    'female',
    [300, 450, 600, 750, 900],
    [
      [120, [2.36, 3.15, 3.94, 4.73, 5.51]],
      [130, [1.96, 2.61, 3.26, 3.91, 4.56]],
      [140, [1.67, 2.22, 2.78, 3.34, 3.89]],
      [150, [1.45, 1.94, 2.42, 2.91, 3.39]],
      [160, [1.29, 1.72, 2.15, 2.58, 3.01]],
      [170, [1.16, 1.54, 1.93, 2.31, 2.7]],
    ],
  ),
  ...(
    [
      [300, 1.6],
      [600, 2.6],
      [900, 3.6],
      [1200, 4.8],
      [1500, 6.0],
    ] as const
  ).map(([load, expected]) => ({
    formula: 'vo2max-astrand-ryhming-before-age',
    given: { load, heartRate: 140, sex: 'male' },
    expected,
    within: 0.1,
    because: 'printed nomogram tables agree with the closed form within about 0.1 L/min',
    source: 'nomogram table, men at 140 /min (from memory of the table)',
  })),
  {
    // 1.938 × 0.87 = 1.68606, printed 1.686
    formula: 'vo2max-age-corrected',
    given: { nomogram: 1.938, factor: 0.87 },
    expected: 1.686,
    ...half(3),
    source: `${rec}b, woman of 35 years`,
  },
  {
    formula: 'vo2max-astrand-ryhming',
    given: { load: 600, heartRate: 140, sex: 'male', age: 40 },
    expected: 2.112,
    ...half(3),
    source: `${rec}b`,
  },
  {
    formula: 'vo2max-astrand-ryhming',
    given: { load: 450, heartRate: 150, sex: 'female', age: 35 },
    expected: 1.686,
    ...half(3),
    source: `${rec}b`,
  },
  {
    formula: 'vo2max-astrand-ryhming',
    given: { load: '100 W', heartRate: 140, sex: 'male', age: 40 },
    expected: 2.112,
    ...half(3),
    source: `${rec}b; 100 W stand beside 600 kg·m/min`,
  },
  ...(
    [
      [25, 1],
      [35, 0.87],
      [45, 0.78],
      [55, 0.71],
      [65, 0.65],
    ] as const
  ).map(([age, expected]) => ({
    formula: 'astrand-age-factor',
    given: { age },
    expected,
    within: 1e-12,
    because: 'tabulated',
    source: 'Åstrand’s age factors as printed',
  })),
  {
    formula: 'astrand-age-factor',
    given: { age: 30 },
    expected: 0.935,
    within: 1e-12,
    because: 'half-way between two tabulated ages',
    source: 'linear between 1.00 and 0.87',
  },
  ...(
    [
      [300, 0.9],
      [450, 1.2],
      [600, 1.5],
      [750, 1.8],
      [900, 2.1],
      [1200, 2.8],
      [1500, 3.5],
    ] as const
  ).map(([load, expected]) => ({
    formula: 'astrand-vo2-of-load',
    given: { load },
    expected,
    within: 1e-12,
    because: 'tabulated',
    source: 'scale of the nomogram figure, NSCA’s Guide (2012)',
  })),
  {
    formula: 'astrand-vo2-of-watts',
    given: { load: 100 },
    expected: 1.5,
    ...exact,
    source: 'Sartor 2013 S1: 0.012 × 100 + 0.3; the scale gives 1.5 at 600 kg·m/min',
  },
  { formula: 'vo2max-siconolfi-1982', given: { nomogram: 2.5438, age: 40, sex: 'male' }, expected: 2.496, ...half(3), source: `${rec}b` },
  { formula: 'vo2max-siconolfi-1982', given: { nomogram: 1.9385, age: 35, sex: 'female' }, expected: 1.513, ...half(3), source: `${rec}b` },
  // 100 × (0.00212 × 600 + 0.299) / (0.769 × 140 − 48.5) = 157.1 / 59.16
  {
    formula: 'vo2max-cycle-single-load-regression',
    given: { load: 600, heartRate: 140, sex: 'male' },
    expected: 2.6555,
    ...half(4),
    source: 'arithmetic on the published coefficients',
  },

  {
    formula: 'vo2max-kline-1987-mile-walk',
    given: { age: 30, sex: 'female', mass: '155.5 lb', time: 13.56, heartRate: 145 },
    expected: 42.3,
    ...half(1),
    source: 'printed: McArdle, Katch & Katch, 8th ed.',
  },
  {
    formula: 'vo2max-kline-1987-mile-walk',
    given: { age: 30, sex: 'female', mass: '155.5 lb', time: 13.56, heartRate: 145 },
    expected: 42.2995,
    ...half(4),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-kline-1987-mile-walk',
    given: { age: 52, sex: 'female', mass: '130 lb', time: '12:45', heartRate: 147 },
    expected: 38.063,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-kline-1987-mile-walk-absolute',
    given: { age: 52, sex: 'female', mass: '130 lb', time: '12:45', heartRate: 147 },
    expected: 2.2653,
    ...half(4),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-kline-1987-mile-walk',
    given: { age: 40, sex: 'male', mass: '170 lb', time: '13:30', heartRate: 135 },
    expected: 45.383,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-kline-1987-mile-walk-absolute',
    given: { age: 40, sex: 'male', mass: '170 lb', time: '13:30', heartRate: 135 },
    expected: 3.503,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-dolgener-1994-mile-walk',
    given: { sex: 'male', mass: '160 lb', time: '14:00', heartRate: 130 },
    expected: 46.474,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-george-1993-mile-jog',
    given: { sex: 'male', mass: 75, time: '8:30', heartRate: 160 },
    expected: 53.503,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-george-1993-mile-jog',
    given: { sex: 'female', mass: 60, time: '9:30', heartRate: 165 },
    expected: 45.211,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-george-1993-1-5-mile',
    given: { sex: 'male', mass: 75, time: '11:00' },
    expected: 48.879,
    ...half(3),
    source: `${rec}c`,
  },
  {
    formula: 'vo2max-george-1993-1-5-mile',
    given: { sex: 'female', mass: 60, time: '12:30' },
    expected: 43.4965,
    ...half(4),
    source: `${rec}c`,
  },
  { formula: 'vo2max-acsm-1-5-mile', given: { time: '11:00' }, expected: 47.409, ...half(3), source: `${rec}c` },
  { formula: 'vo2max-cooper-1968-12-minute', given: { distance: 2400 }, expected: 42.37, ...half(2), source: 'printed: 2400 m → 42.37' },
  {
    formula: 'vo2max-cooper-1968-12-minute',
    given: { distance: '2.8 km' },
    expected: 51.31,
    ...half(2),
    source: 'printed: 2800 m → 51.31',
  },
  {
    formula: 'vo2max-cooper-1968-12-minute-miles',
    given: { distance: 2400 / 1609.344 },
    expected: 42.35,
    within: 0.01,
    because: 'the mile form’s constants are rounded to 0.01',
    source: 'the two printed forms agree: 2400 m',
  },
  {
    formula: 'vo2max-queens-college-1972',
    given: { sex: 'male', heartRate: 152 },
    expected: 47.5,
    ...half(1),
    source: 'printed: McArdle, Katch & Katch, 8th ed.',
  },
  { formula: 'vo2max-queens-college-1972', given: { sex: 'male', heartRate: 132 }, expected: 55.89, ...half(2), source: `${rec}c` },
  { formula: 'vo2max-queens-college-1972', given: { sex: 'male', heartRate: 144 }, expected: 50.85, ...half(2), source: `${rec}c` },
  { formula: 'vo2max-queens-college-1972', given: { sex: 'female', heartRate: 132 }, expected: 41.43, ...half(3), source: `${rec}c` },
  { formula: 'vo2max-queens-college-1972', given: { sex: 'female', heartRate: 156 }, expected: 36.997, ...half(3), source: `${rec}c` },
];

export const submaximalFieldMisprints: readonly MisprintCase[] = [
  {
    formula: 'vo2max-kline-1987-mile-walk',
    given: { age: 52, sex: 'female', mass: '130 lb', time: '12:45', heartRate: 147 },
    printed: 57.234,
    apart: 19,
    source: 'public Q&A page: the 10-s count of 24.5 was put in for beats per minute',
  },
  {
    formula: 'vo2max-kline-1987-mile-walk',
    given: { age: 30, sex: 'female', mass: '155.5 lb', time: 13.56, heartRate: 145 },
    printed: 132.853 - 0.1692 * 155.5 - 0.3877 * 30 - 3.2649 * 13.56 - 0.1565 * 145,
    apart: 14,
    source: 'NSCA’s Guide pairs the per-kilogram 0.1692 with pounds',
  },
  {
    formula: 'vo2max-dolgener-1994-mile-walk',
    given: { sex: 'male', mass: '160 lb', time: '14:00', heartRate: 130 },
    printed: 28.0,
    apart: 18,
    source: 'the per-kilogram 0.2109 with pounds',
  },
  {
    formula: 'vo2max-cooper-1968-12-minute',
    given: { distance: 2400 },
    printed: 53.0,
    apart: 10,
    source: 'texts that print 0.0268·D − 11.3',
  },
  {
    formula: 'vo2max-cycle-single-load-regression',
    given: { load: 600, heartRate: 140, sex: 'male' },
    printed: 26.555,
    apart: 20,
    source: 'the page’s ×1000, ten times too much for L/min',
  },
  {
    formula: 'astrand-age-factor',
    given: { age: 15 },
    printed: 0.0001143 * 225 - 0.018886 * 15 + 1.3975714,
    apart: 0.03,
    source: 'the quadratic of some pages, 0.04 off at 15 years',
  },
];
