import { halfUnit, PRINTED_DIGITS, type ReferenceCase } from '../check.ts';

const half = (decimals: number) => ({ within: halfUnit(decimals), because: PRINTED_DIGITS });
const exact = { within: 1e-9, because: 'exact arithmetic' };
const rec7 = 'recomputed outside this program';
const lines = { slopeBelow: 0.92, interceptBelow: 0.02, slopeAbove: 1.28, interceptAbove: -0.7 };
const onset = { baseline: 0.8, amplitude: 1.2, delay: 15, tau: 30 };

export const recoveryThresholdCases: readonly ReferenceCase[] = [
  { formula: 'verification-difference', given: { verification: 49, test: 50 }, expected: -2, ...exact, source: 'definition, by hand' },
  { formula: 'v-slope-threshold', given: lines, expected: 2, ...half(3), source: rec7 },
  { formula: 'v-slope-threshold-vco2', given: lines, expected: 1.86, ...half(3), source: rec7 },
  {
    formula: 'rer-crossing-threshold',
    given: { vo2Before: '2400 mL/min', rerBefore: 0.97, vo2After: '2.6 L/min', rerAfter: 1.02 },
    expected: 2.52,
    ...exact,
    source: 'by hand: 1.00 lies three fifths of the way from 0.97 to 1.02',
  },
  { formula: 'threshold-percent-of-peak', given: { threshold: 2, peak: 4 }, expected: 50, ...exact, source: 'by hand' },
  {
    formula: 'oues-vo2',
    given: { slope: 2900, ve: 100, intercept: -3000 },
    expected: 2800,
    ...exact,
    source: 'Baba 1996 form: 2900 × 2 − 3000 by hand',
  },
  { formula: 'oues-norm-2000', given: { age: 40, sex: 'male', bodySurface: 1.9 }, expected: 2900.6, ...half(1), source: rec7 },
  { formula: 'oues-norm-2000', given: { age: 40, sex: 'female', bodySurface: 1.7 }, expected: 1972.7, ...half(1), source: rec7 },
  { formula: 've-vco2-norm-2002', given: { age: 30, sex: 'male', height: 175 }, expected: 24.6, ...half(2), source: rec7 },
  {
    formula: 've-vco2-norm-2002',
    given: { age: 50, sex: 'female', height: 160 },
    expected: 28.29,
    within: 0.0051,
    because: '28.294 as given to two decimals',
    source: rec7,
  },
  { formula: 'vo2-at-onset', given: { ...onset, time: 45 }, expected: 1.55854, ...half(5), source: rec7 },
  { formula: 'vo2-at-onset', given: { ...onset, time: 60 }, expected: 1.73224, ...half(5), source: rec7 },
  {
    formula: 'vo2-at-onset',
    given: { ...onset, time: 10 },
    expected: 0.8,
    ...exact,
    source: 'before the delay the uptake is at its baseline',
  },
  { formula: 'mean-response-time', given: { delay: 15, tau: 30 }, expected: 45, ...exact, source: rec7 },
  { formula: 'oxygen-deficit-kinetics', given: { amplitude: 1.2, delay: 15, tau: 30 }, expected: 0.9, ...exact, source: rec7 },
  { formula: 'oxygen-deficit-steady', given: { steady: 2, time: 3, used: 5.1 }, expected: 0.9, ...exact, source: 'definition, by hand' },
  // LaForgia’s definition by hand: 12 L in 20 min over a rest of 0.3 L/min leaves 6 L
  { formula: 'epoc', given: { used: 12, resting: '300 mL/min', time: 20 }, expected: 6, ...exact, source: 'definition, by hand' },
  {
    formula: 'vo2-recovery-half-time',
    given: { peak: 4, timeBefore: 60, vo2Before: 2.3, timeAfter: 90, vo2After: 1.8 },
    expected: 78,
    ...exact,
    source: 'by hand: 2.0 L/min lies three fifths of the way from 2.3 to 1.8',
  },
  { formula: 'epoc-energy', given: { epoc: 6 }, expected: 30, ...exact, source: '5 kcal per litre, by hand' },
  {
    formula: 'systolic-recovery-ratio-peak',
    given: { recovery: 152, peak: 190 },
    expected: 0.8,
    ...exact,
    source: 'Taylor & Beller 1998 definition, by hand',
  },
  {
    formula: 'systolic-recovery-ratio-1-minute',
    given: { recovery: 152, first: 160 },
    expected: 0.95,
    ...exact,
    source: 'McHam 1999 definition, by hand',
  },
  ...(
    [
      [0.4, 21.3],
      [0.6, 30.2],
      [0.75, 36.9],
      [0.89, 43.1],
    ] as const
  ).map(([fraction, expected]) => ({
    formula: 'vo2-reserve-target',
    given: { fraction, vo2max: 48 },
    expected,
    ...half(1),
    source: 'prescription example, own construction, worked outside this program',
  })),
  {
    formula: 'vo2-max-target',
    given: { fraction: '85 %', vo2max: 58 },
    expected: 49.3,
    ...exact,
    source: 'Southern Illinois University Edwardsville key (E13), the target of 85 % of 58',
  },
];
