/** Heart-rate reserve and targets, heart-rate recovery, chronotropic response, counted beats. */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const beats = (label: string, symbol: string, note?: string) =>
  ({ label, symbol, unit: '/min', min: 20, max: 260, ...(note ? { note } : {}) }) as const satisfies InputSpec;

const rest = beats('Resting heart rate', 'HRrest');
const maximum = beats(
  'Maximal heart rate',
  'HRmax',
  'The measured maximum where the test met its effort criteria, otherwise a predicted one, and say which.',
);
const fraction = {
  label: 'Fraction',
  symbol: 'f',
  unit: '1',
  alsoUnits: ['%'],
  min: 0,
  max: 1,
  note: 'As a fraction in the equation: 60 % is 0.60.',
} as const satisfies InputSpec;

const restBelowMaximum = (v: { restingHeartRate: number; maximalHeartRate: number }) =>
  v.restingHeartRate >= v.maximalHeartRate ? [{ text: 'The resting heart rate must be below the maximal heart rate.', hard: true }] : [];

export const heartRateReserve: Formula = defineFormula({
  id: 'heart-rate-reserve',
  title: 'Heart-rate reserve',
  family: 'Heart rate',
  inputs: { maximalHeartRate: maximum, restingHeartRate: rest },
  output: { label: 'Heart-rate reserve', symbol: 'HR reserve', unit: '/min', decimals: 0 },
  validity: [],
  check: restBelowMaximum,
  source: { citation: 'Karvonen method, as in NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' },
  equation: 'HR reserve = HRmax − HRrest',
  compute: (v) => v.maximalHeartRate - v.restingHeartRate,
  substituted: (v) => `${n(v.maximalHeartRate, 1)} − ${n(v.restingHeartRate, 1)}`,
  solve: {
    maximalHeartRate: (v) => v.output + v.restingHeartRate,
    restingHeartRate: (v) => v.maximalHeartRate - v.output,
  },
});

export const hrReserveTarget: Formula = defineFormula({
  id: 'hr-reserve-target',
  title: 'Target heart rate from heart-rate reserve (Karvonen)',
  family: 'Heart rate',
  inputs: { fraction, maximalHeartRate: maximum, restingHeartRate: rest },
  output: { label: 'Target heart rate', symbol: 'HRtarget', unit: '/min', decimals: 0 },
  validity: [],
  check: restBelowMaximum,
  source: {
    citation: 'Karvonen method, as in NSCA’s Guide to Tests and Assessments (2012)',
    provenance: 'P',
    note: 'printed example: 22 years, rest 72, maximum 198, 70 % → 160',
  },
  equation: 'HRtarget = f·(HRmax − HRrest) + HRrest',
  compute: (v) => v.fraction * (v.maximalHeartRate - v.restingHeartRate) + v.restingHeartRate,
  substituted: (v) => `${n(v.fraction)} × (${n(v.maximalHeartRate, 1)} − ${n(v.restingHeartRate, 1)}) + ${n(v.restingHeartRate, 1)}`,
  solve: {
    fraction: (v) => (v.output - v.restingHeartRate) / (v.maximalHeartRate - v.restingHeartRate),
    maximalHeartRate: (v) => (v.output - v.restingHeartRate) / v.fraction + v.restingHeartRate,
    restingHeartRate: (v) => (v.output - v.fraction * v.maximalHeartRate) / (1 - v.fraction),
  },
  slips: [
    {
      id: 'rest-not-added-back',
      says: 'the resting heart rate was not added back',
      compute: (v) => v.fraction * (v.maximalHeartRate - v.restingHeartRate),
    },
    {
      id: 'percent-of-maximum',
      says: 'the fraction was taken of the maximal heart rate, not of the reserve',
      compute: (v) => v.fraction * v.maximalHeartRate,
    },
    {
      id: 'fraction-as-whole-number',
      says: 'the fraction was put in as a whole number of per cent',
      compute: (v) => v.fraction * 100 * (v.maximalHeartRate - v.restingHeartRate) + v.restingHeartRate,
    },
  ],
});

export const heartRateReservePercent: Formula = defineFormula({
  id: 'heart-rate-reserve-percent',
  title: 'Per cent of heart-rate reserve',
  family: 'Heart rate',
  inputs: { heartRate: beats('Heart rate', 'HR'), maximalHeartRate: maximum, restingHeartRate: rest },
  output: { label: 'Per cent of heart-rate reserve', symbol: '% HR reserve', unit: '%', decimals: 0 },
  validity: [],
  check: restBelowMaximum,
  source: { citation: 'Karvonen method, as in NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' },
  equation: '% HR reserve = 100·(HR − HRrest)/(HRmax − HRrest)',
  compute: (v) => (100 * (v.heartRate - v.restingHeartRate)) / (v.maximalHeartRate - v.restingHeartRate),
  substituted: (v) =>
    `100 × (${n(v.heartRate, 1)} − ${n(v.restingHeartRate, 1)}) / (${n(v.maximalHeartRate, 1)} − ${n(v.restingHeartRate, 1)})`,
  solve: {
    heartRate: (v) => (v.output / 100) * (v.maximalHeartRate - v.restingHeartRate) + v.restingHeartRate,
  },
});

export const hrMaxTarget: Formula = defineFormula({
  id: 'hr-max-target',
  title: 'Target heart rate from per cent of maximum',
  family: 'Heart rate',
  inputs: { fraction, maximalHeartRate: maximum },
  output: { label: 'Target heart rate', symbol: 'HRtarget', unit: '/min', decimals: 0 },
  validity: [],
  source: { citation: 'Garber CE et al. Med Sci Sports Exerc 2011;43:1334 (intensity by % HRmax)', provenance: 'P' },
  equation: 'HRtarget = f·HRmax',
  compute: (v) => v.fraction * v.maximalHeartRate,
  substituted: (v) => `${n(v.fraction)} × ${n(v.maximalHeartRate, 1)}`,
  solve: { fraction: (v) => v.output / v.maximalHeartRate, maximalHeartRate: (v) => v.output / v.fraction },
});

export const hrRecovery: Formula = defineFormula({
  id: 'hr-recovery',
  title: 'Heart-rate recovery',
  family: 'Recovery',
  inputs: {
    peakHeartRate: beats('Peak heart rate', 'HRpeak'),
    recoveryHeartRate: beats(
      'Heart rate in recovery',
      'HR(t)',
      'At 1 or 2 minutes; note posture and activity, since cut-offs depend on them.',
    ),
  },
  output: { label: 'Heart-rate recovery', symbol: 'HR recovery', unit: '/min', decimals: 0 },
  validity: [{ input: 'output', min: 0, text: 'The heart rate in recovery is above the peak; check both readings.' }],
  source: {
    citation: 'Cole CR et al. N Engl J Med 1999;341:1351',
    provenance: 'P',
    note: 'physiology for the class, not a diagnosis; see the cut-offs by posture',
  },
  equation: 'HR recovery = HRpeak − HR(t)',
  compute: (v) => v.peakHeartRate - v.recoveryHeartRate,
  substituted: (v) => `${n(v.peakHeartRate, 1)} − ${n(v.recoveryHeartRate, 1)}`,
  solve: {
    peakHeartRate: (v) => v.output + v.recoveryHeartRate,
    recoveryHeartRate: (v) => v.peakHeartRate - v.output,
  },
});

export const chronotropicIndex: Formula = defineFormula({
  id: 'chronotropic-index',
  title: 'Chronotropic index',
  family: 'Heart rate',
  inputs: {
    peakHeartRate: beats('Peak heart rate', 'HRpeak'),
    restingHeartRate: rest,
    age: { label: 'Age', symbol: 'age', unit: 'a', min: 1, max: 110 },
  },
  output: { label: 'Chronotropic index', symbol: 'CI', unit: '1', decimals: 2 },
  validity: [
    {
      input: 'output',
      min: 0.8,
      text: 'Below 0.80 is the published cut-off for a low response (0.62 under a β-blocker); it is not a diagnosis.',
    },
  ],
  check: (v) =>
    v.restingHeartRate >= 220 - v.age
      ? [{ text: 'The resting heart rate is not below 220 − age, so there is no reserve to compare with.', hard: true }]
      : [],
  source: { citation: 'Cole CR et al. N Engl J Med 1999;341:1351 (methods); JACC endpoint table', provenance: 'P' },
  equation: 'CI = (HRpeak − HRrest)/(220 − age − HRrest)',
  compute: (v) => (v.peakHeartRate - v.restingHeartRate) / (220 - v.age - v.restingHeartRate),
  substituted: (v) => `(${n(v.peakHeartRate, 1)} − ${n(v.restingHeartRate, 1)}) / (220 − ${n(v.age, 1)} − ${n(v.restingHeartRate, 1)})`,
  solve: { peakHeartRate: (v) => v.output * (220 - v.age - v.restingHeartRate) + v.restingHeartRate },
});

export const heartRateFromThirtyBeats: Formula = defineFormula({
  id: 'heart-rate-from-30-beats',
  title: 'Heart rate from the time of 30 beats',
  family: 'Heart rate',
  inputs: { time: { label: 'Time for 30 beats', symbol: 't', unit: 's', min: 5, max: 90 } },
  output: { label: 'Heart rate', symbol: 'HR', unit: '/min', decimals: 0 },
  validity: [],
  source: { citation: 'NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' },
  equation: 'HR = 1800/t',
  compute: (v) => 1800 / v.time,
  substituted: (v) => `1800 / ${n(v.time, 2)}`,
  solve: { time: (v) => 1800 / v.output },
});

export const heartRateFromCount: Formula = defineFormula({
  id: 'heart-rate-from-count',
  title: 'Heart rate from a pulse count',
  family: 'Heart rate',
  inputs: {
    count: { label: 'Beats counted', symbol: 'n', unit: '1', min: 1, max: 300, whole: true },
    time: { label: 'Time of the count', symbol: 't', unit: 's', min: 5, max: 60 },
  },
  output: { label: 'Heart rate', symbol: 'HR', unit: '/min', decimals: 0 },
  validity: [{ input: 'time', min: 15, text: 'One beat missed in less than 15 s changes the rate by more than 4 /min.' }],
  source: { citation: 'pulse palpation; resolution 4 /min for 15 s and 2 /min for 30 s', provenance: 'C' },
  equation: 'HR = 60·n/t',
  compute: (v) => (60 * v.count) / v.time,
  substituted: (v) => `60 × ${n(v.count, 0)} / ${n(v.time, 1)}`,
  slips: [{ id: 'count-not-multiplied', says: 'the count was not turned into beats per minute', compute: (v) => v.count }],
});

export const heartRateFromRR: Formula = defineFormula({
  id: 'heart-rate-from-ecg',
  title: 'Heart rate from an ECG strip at 25 mm/s',
  family: 'Heart rate',
  inputs: { distance: { label: 'Distance between R waves', symbol: 'RR', unit: 'mm', min: 5, max: 80 } },
  output: { label: 'Heart rate', symbol: 'HR', unit: '/min', decimals: 0 },
  validity: [],
  source: { citation: 'NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' },
  equation: 'HR = 1500/RR',
  compute: (v) => 1500 / v.distance,
  substituted: (v) => `1500 / ${n(v.distance, 1)}`,
  solve: { distance: (v) => 1500 / v.output },
});

export const heartRateFormulas: readonly Formula[] = [
  heartRateReserve,
  hrReserveTarget,
  heartRateReservePercent,
  hrMaxTarget,
  chronotropicIndex,
  hrRecovery,
  heartRateFromCount,
  heartRateFromThirtyBeats,
  heartRateFromRR,
];
