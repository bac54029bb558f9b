/** A measured value against a predicted one: per cent of predicted, z, lower limit of normal. */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Against predicted';
const measured = { label: 'Measured oxygen uptake', symbol: 'measured', unit: 'mL/kg/min', min: 0, max: 120 } as const satisfies InputSpec;
const predicted = {
  label: 'Predicted oxygen uptake',
  symbol: 'predicted',
  unit: 'mL/kg/min',
  min: 1,
  max: 120,
} as const satisfies InputSpec;
const standardError = {
  label: 'Standard error of estimate',
  symbol: 'SEE',
  unit: 'mL/kg/min',
  min: 0.01,
  max: 30,
  note: 'of the prediction equation',
} as const satisfies InputSpec;

export const percentOfPredicted: Formula = defineFormula({
  id: 'percent-of-predicted',
  title: 'Per cent of predicted',
  family: FAMILY,
  inputs: { measured, predicted },
  output: { label: 'Per cent of predicted', symbol: '% predicted', unit: '%', decimals: 1 },
  validity: [],
  source: {
    citation: 'common practice',
    provenance: 'C',
    note: 'a fixed cut at 80 % is criticised: Pistea C et al. ERJ Open Res 2016',
  },
  equation: '% predicted = 100·measured/predicted',
  compute: (v) => (100 * v.measured) / v.predicted,
  substituted: (v) => `100 × ${n(v.measured, 2)} / ${n(v.predicted, 2)}`,
  solve: { measured: (v) => (v.output * v.predicted) / 100, predicted: (v) => (100 * v.measured) / v.output },
  slips: [{ id: 'upside-down', says: 'predicted was divided by measured', compute: (v) => (100 * v.predicted) / v.measured }],
});

export const percentOfPredictedHeartRate: Formula = defineFormula({
  id: 'percent-of-predicted-heart-rate',
  title: 'Per cent of predicted maximal heart rate',
  family: FAMILY,
  inputs: {
    measured: { label: 'Peak heart rate', symbol: 'HRpeak', unit: '/min', min: 20, max: 260 },
    predicted: { label: 'Predicted maximal heart rate', symbol: 'HRmax', unit: '/min', min: 60, max: 230 },
  },
  output: { label: 'Per cent of predicted', symbol: '% predicted', unit: '%', decimals: 1 },
  validity: [
    {
      input: 'output',
      min: 85,
      text: 'Below 85 % of 220 − age is one published sign of a low heart-rate response in a maximal test; it is not a diagnosis.',
    },
  ],
  source: { citation: 'common practice; the 85 % of 220 − age: JACC endpoint table', provenance: 'P' },
  equation: '% predicted = 100·HRpeak/HRmax',
  compute: (v) => (100 * v.measured) / v.predicted,
  substituted: (v) => `100 × ${n(v.measured, 1)} / ${n(v.predicted, 1)}`,
  solve: { measured: (v) => (v.output * v.predicted) / 100 },
  slips: [{ id: 'upside-down', says: 'predicted was divided by measured', compute: (v) => (100 * v.predicted) / v.measured }],
});

export const zScore: Formula = defineFormula({
  id: 'z-of-predicted',
  title: 'z of a measured value',
  family: FAMILY,
  inputs: { measured, predicted, standardError },
  output: { label: 'z', symbol: 'z', unit: '1', decimals: 2 },
  validity: [],
  source: { citation: 'common practice', provenance: 'C' },
  equation: 'z = (measured − predicted)/SEE',
  compute: (v) => (v.measured - v.predicted) / v.standardError,
  substituted: (v) => `(${n(v.measured, 2)} − ${n(v.predicted, 2)}) / ${n(v.standardError, 2)}`,
  solve: { measured: (v) => v.predicted + v.output * v.standardError },
});

export const lowerLimitOfNormal: Formula = defineFormula({
  id: 'lower-limit-of-normal',
  title: 'Lower limit of normal',
  family: FAMILY,
  inputs: { predicted, standardError },
  output: { label: 'Lower limit of normal', symbol: 'LLN', unit: 'mL/kg/min', decimals: 1 },
  validity: [],
  source: { citation: 'common practice: the 5th percentile of a normal distribution', provenance: 'C' },
  equation: 'LLN = predicted − 1.645·SEE',
  compute: (v) => v.predicted - 1.645 * v.standardError,
  substituted: (v) => `${n(v.predicted, 2)} − 1.645 × ${n(v.standardError, 2)}`,
});

export const verificationDifference: Formula = defineFormula({
  id: 'verification-difference',
  title: 'Verification bout against the first test',
  family: FAMILY,
  inputs: {
    verification: { ...measured, label: 'Peak of the verification bout', symbol: 'VO₂ver' },
    test: { ...measured, label: 'Peak of the first test', symbol: 'VO₂peak', min: 1 },
  },
  output: { label: 'Difference from the first test', symbol: 'Δ', unit: '%', decimals: 1 },
  validity: [
    { input: 'output', max: 3, text: 'The bout is more than 3 % above the first test, which then was not maximal by this rule.' },
    { input: 'output', min: -3, text: 'The bout is more than 3 % below the first test, so it confirms nothing by this rule.' },
  ],
  source: {
    citation: 'agreement within 3 %, one of several rules in use (2 to 5.5 %)',
    provenance: 'M',
    note: 'reviews disagree over the value of the bout: Costa VAB et al. PLoS One 2021; Wagner J et al. PLoS One 2021',
  },
  equation: 'Δ = 100·(VO₂ver − VO₂peak)/VO₂peak',
  compute: (v) => (100 * (v.verification - v.test)) / v.test,
  substituted: (v) => `100 × (${n(v.verification, 2)} − ${n(v.test, 2)}) / ${n(v.test, 2)}`,
  solve: { verification: (v) => v.test * (1 + v.output / 100) },
});

export const againstPredicted: readonly Formula[] = [
  percentOfPredicted,
  percentOfPredictedHeartRate,
  zScore,
  lowerLimitOfNormal,
  verificationDifference,
];
