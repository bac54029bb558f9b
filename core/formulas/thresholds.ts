/** Numbers about thresholds and ventilatory efficiency that need no breath file: intersections, slopes and their norms. */
import { age, sex } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Thresholds and ventilatory efficiency';
const coefficient = (label: string, symbol: string, min: number, max: number) =>
  ({ label, symbol, unit: '1', min, max }) as const satisfies InputSpec;

type TwoLines = {
  readonly slopeBelow: number;
  readonly interceptBelow: number;
  readonly slopeAbove: number;
  readonly interceptAbove: number;
};
const lines = {
  slopeBelow: coefficient('Slope below', 's₁', 0.2, 2),
  interceptBelow: { label: 'Intercept below', symbol: 'i₁', unit: 'L/min', min: -5, max: 5 },
  slopeAbove: coefficient('Slope above', 's₂', 0.3, 4),
  interceptAbove: { label: 'Intercept above', symbol: 'i₂', unit: 'L/min', min: -10, max: 5 },
} as const;
const crossing = (v: TwoLines) => (v.interceptAbove - v.interceptBelow) / (v.slopeBelow - v.slopeAbove);
const crossingChecks = (v: TwoLines) => {
  if (v.slopeAbove <= v.slopeBelow) return [{ text: 'The line above must be steeper than the line below.', hard: true }];
  const warnings = [];
  if (v.slopeAbove - v.slopeBelow < 0.1) warnings.push({ text: 'The slopes differ by less than 0.1, too little to call it a threshold.' });
  if (crossing(v) <= 0) warnings.push({ text: 'The lines cross below zero uptake; there is no threshold in these data.' });
  return warnings;
};
const beaver = {
  citation: 'Beaver WL, Wasserman K, Whipp BJ. J Appl Physiol 1986;60:2020',
  provenance: 'P',
  note: 'the intersection was seen; that the slopes should differ by 0.1 is from memory',
} as const;

export const vSlopeUptake: Formula = defineFormula({
  id: 'v-slope-threshold',
  title: 'V-slope threshold, oxygen uptake at the crossing',
  family: FAMILY,
  inputs: lines,
  output: { label: 'Oxygen uptake at the threshold', symbol: 'VO₂ AT', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 2 },
  validity: [],
  check: crossingChecks,
  source: beaver,
  equation: 'VO₂ = (i₂ − i₁)/(s₁ − s₂)',
  compute: crossing,
  substituted: (v) => `(${n(v.interceptAbove, 3)} − ${n(v.interceptBelow, 3)}) / (${n(v.slopeBelow, 3)} − ${n(v.slopeAbove, 3)})`,
});

export const vSlopeOutput: Formula = defineFormula({
  id: 'v-slope-threshold-vco2',
  title: 'V-slope threshold, carbon dioxide output at the crossing',
  family: FAMILY,
  inputs: lines,
  output: { label: 'Carbon dioxide output at the threshold', symbol: 'VCO₂ AT', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 2 },
  validity: [],
  check: crossingChecks,
  source: beaver,
  equation: 'VCO₂ = s₁·VO₂ + i₁ at VO₂ = (i₂ − i₁)/(s₁ − s₂)',
  compute: (v) => v.slopeBelow * crossing(v) + v.interceptBelow,
  substituted: (v) => `${n(v.slopeBelow, 3)} × ${n(crossing(v), 4)} + ${n(v.interceptBelow, 3)}`,
});

export const thresholdShare: Formula = defineFormula({
  id: 'threshold-percent-of-peak',
  title: 'Threshold as per cent of peak',
  family: FAMILY,
  inputs: {
    threshold: { label: 'Oxygen uptake at the threshold', symbol: 'VO₂ AT', unit: 'L/min', alsoUnits: ['mL/min'], min: 0.1, max: 8 },
    peak: { label: 'Peak oxygen uptake', symbol: 'VO₂peak', unit: 'L/min', alsoUnits: ['mL/min'], min: 0.2, max: 9 },
  },
  output: { label: 'Threshold', symbol: '% of peak', unit: '%', decimals: 0 },
  validity: [{ input: 'output', max: 100, text: 'The threshold is above the peak; check both.' }],
  population: '45 to 65 % untrained, 65 to 85 % endurance-trained [from memory]; below 40 % of peak counts as abnormal',
  source: { citation: 'Cleveland Clinic Journal of Medicine, table', provenance: 'P', note: 'typical spans from memory' },
  equation: '100·VO₂ AT/VO₂peak',
  compute: (v) => (100 * v.threshold) / v.peak,
  substituted: (v) => `100 × ${n(v.threshold, 3)} / ${n(v.peak, 3)}`,
  solve: { threshold: (v) => (v.output * v.peak) / 100 },
});

export const ouesUptake: Formula = defineFormula({
  id: 'oues-vo2',
  title: 'Oxygen uptake from the efficiency slope (Baba 1996)',
  family: FAMILY,
  inputs: {
    slope: { label: 'Oxygen uptake efficiency slope', symbol: 'a', unit: 'mL/min', alsoUnits: ['L/min'], min: 200, max: 8000 },
    ve: { label: 'Ventilation BTPS', symbol: 'VE', unit: 'L/min', min: 3, max: 280 },
    intercept: { label: 'Intercept', symbol: 'b', unit: 'mL/min', alsoUnits: ['L/min'], min: -10000, max: 5000 },
  },
  output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/min', alsoUnits: ['L/min'], decimals: 0 },
  validity: [],
  population: 'coefficient of repeatability 740 mL/min (20 %), against 570 (16 %) for VO₂max',
  source: { citation: 'Baba R et al. J Am Coll Cardiol 1996;28:1567; repeatability Baba 1999', provenance: 'P' },
  equation: 'VO₂ = a·log₁₀(VE) + b',
  compute: (v) => v.slope * Math.log10(v.ve) + v.intercept,
  substituted: (v) => `${n(v.slope, 1)} × log₁₀(${n(v.ve, 2)}) + ${n(v.intercept, 1)}`,
  solve: {
    slope: (v) => (v.output - v.intercept) / Math.log10(v.ve),
    intercept: (v) => v.output - v.slope * Math.log10(v.ve),
    ve: (v) => 10 ** ((v.output - v.intercept) / v.slope),
  },
});

const ouesNorms = { male: [1320, 26.7, 1394], female: [1175, 15.8, 841] } as const;

export const ouesNorm: Formula = defineFormula({
  id: 'oues-norm-2000',
  title: 'Expected oxygen uptake efficiency slope (Hollenberg & Tager 2000)',
  family: FAMILY,
  inputs: { age, sex, bodySurface: { label: 'Body surface', symbol: 'BSA', unit: 'm2', min: 0.8, max: 3.5 } },
  output: { label: 'Expected efficiency slope', symbol: 'OUES', unit: 'mL/min', alsoUnits: ['L/min'], decimals: 0 },
  validity: [],
  source: { citation: 'Hollenberg M, Tager IB. J Am Coll Cardiol 2000;36:194', provenance: 'M' },
  equation: 'men 1320 − 26.7·age + 1394·BSA; women 1175 − 15.8·age + 841·BSA',
  compute: (v) => ouesNorms[v.sex][0] - ouesNorms[v.sex][1] * v.age + ouesNorms[v.sex][2] * v.bodySurface,
  substituted: (v) => `${ouesNorms[v.sex][0]} − ${ouesNorms[v.sex][1]} × ${n(v.age, 1)} + ${ouesNorms[v.sex][2]} × ${n(v.bodySurface, 3)}`,
});

export const veVco2Norm: Formula = defineFormula({
  id: 've-vco2-norm-2002',
  title: 'Expected lowest VE/VCO₂ (Sun 2002)',
  family: FAMILY,
  inputs: { age, sex, height: { label: 'Height', symbol: 'H', unit: 'cm', alsoUnits: ['m', '[in_i]'], min: 100, max: 230 } },
  output: { label: 'Expected lowest VE/VCO₂', symbol: 'VE/VCO₂', unit: '1', decimals: 1 },
  validity: [
    { input: 'age', min: 17, text: 'The people of this study were 17 to 78 years old; this age is below.' },
    { input: 'age', max: 78, text: 'The people of this study were 17 to 78 years old; this age is above.' },
  ],
  population: '474 healthy people, 17 to 78 years',
  source: { citation: 'Sun XG et al. Am J Respir Crit Care Med 2002;166:1443', provenance: 'P' },
  equation: '27.94 + 0.108·age + 0.97 (women) − 0.0376·H',
  compute: (v) => 27.94 + 0.108 * v.age + (v.sex === 'female' ? 0.97 : 0) - 0.0376 * v.height,
  substituted: (v) => `27.94 + 0.108 × ${n(v.age, 1)}${v.sex === 'female' ? ' + 0.97' : ''} − 0.0376 × ${n(v.height, 1)}`,
});

const uptakeAt = (label: string, symbol: string) =>
  ({ label, symbol, unit: 'L/min', alsoUnits: ['mL/min'], min: 0.1, max: 8 }) as const satisfies InputSpec;

export const rerCrossing: Formula = defineFormula({
  id: 'rer-crossing-threshold',
  title: 'Oxygen uptake where the RER passes 1.00',
  family: FAMILY,
  inputs: {
    vo2Before: uptakeAt('Oxygen uptake at the last reading below 1.00', 'VO₂(1)'),
    rerBefore: coefficient('RER then', 'R₁', 0.6, 0.9999),
    vo2After: uptakeAt('Oxygen uptake at the first reading at or above 1.00', 'VO₂(2)'),
    rerAfter: coefficient('RER then', 'R₂', 1, 1.6),
  },
  output: { label: 'Oxygen uptake at an RER of 1.00', symbol: 'VO₂', unit: 'L/min', alsoUnits: ['mL/min'], decimals: 2 },
  validity: [],
  check: (v) => (v.vo2After <= v.vo2Before ? [{ text: 'The second reading must be at a higher oxygen uptake.', hard: true }] : []),
  population: '12 trained men, in whom it agreed with the lactate threshold; the V-slope lay lower',
  source: { citation: 'Solberg et al. J Sports Sci Med 2005', provenance: 'P', note: 'linear between the two readings' },
  equation: 'VO₂ = VO₂(1) + (VO₂(2) − VO₂(1))·(1 − R₁)/(R₂ − R₁)',
  compute: (v) => v.vo2Before + ((v.vo2After - v.vo2Before) * (1 - v.rerBefore)) / (v.rerAfter - v.rerBefore),
  substituted: (v) =>
    `${n(v.vo2Before, 3)} + (${n(v.vo2After, 3)} − ${n(v.vo2Before, 3)}) × (1 − ${n(v.rerBefore, 3)}) / (${n(v.rerAfter, 3)} − ${n(v.rerBefore, 3)})`,
});

export const thresholdFormulas: readonly Formula[] = [
  vSlopeUptake,
  vSlopeOutput,
  rerCrossing,
  thresholdShare,
  ouesUptake,
  ouesNorm,
  veVco2Norm,
];
