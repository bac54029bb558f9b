/** Blood pressure: pulse and mean pressure, rate–pressure product, response to exercise. */
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source } from './formula.ts';

const FAMILY = 'Blood pressure';
const systolic = {
  label: 'Systolic pressure',
  symbol: 'SBP',
  unit: 'mm[Hg]',
  alsoUnits: ['kPa'],
  min: 30,
  max: 320,
} as const satisfies InputSpec;
const diastolic = {
  label: 'Diastolic pressure',
  symbol: 'DBP',
  unit: 'mm[Hg]',
  alsoUnits: ['kPa'],
  min: 0,
  max: 180,
} as const satisfies InputSpec;
const heartRate = { label: 'Heart rate', symbol: 'HR', unit: '/min', min: 20, max: 260 } as const satisfies InputSpec;
const pressureOut = (label: string, symbol: string) => ({ label, symbol, unit: 'mm[Hg]', alsoUnits: ['kPa'], decimals: 0 }) as const;

const nsca: Source = { citation: 'NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' };

const reversed = (v: { systolic: number; diastolic: number }) =>
  v.diastolic >= v.systolic ? [{ text: 'The diastolic pressure must be below the systolic pressure.', hard: true }] : [];

export const pulsePressure: Formula = defineFormula({
  id: 'pulse-pressure',
  title: 'Pulse pressure',
  family: FAMILY,
  inputs: { systolic, diastolic },
  output: pressureOut('Pulse pressure', 'PP'),
  validity: [],
  check: reversed,
  source: { citation: 'definition', provenance: 'C' },
  equation: 'PP = SBP − DBP',
  compute: (v) => v.systolic - v.diastolic,
  substituted: (v) => `${n(v.systolic, 1)} − ${n(v.diastolic, 1)}`,
  solve: { systolic: (v) => v.output + v.diastolic, diastolic: (v) => v.systolic - v.output },
});

export const meanArterialPressureRest: Formula = defineFormula({
  id: 'mean-arterial-pressure-rest',
  title: 'Mean arterial pressure at rest',
  family: FAMILY,
  inputs: { systolic, diastolic },
  output: pressureOut('Mean arterial pressure', 'MAP'),
  validity: [],
  check: reversed,
  source: nsca,
  equation: 'MAP = ⅔·DBP + ⅓·SBP',
  compute: (v) => (2 * v.diastolic + v.systolic) / 3,
  substituted: (v) => `⅔ × ${n(v.diastolic, 1)} + ⅓ × ${n(v.systolic, 1)}`,
  solve: { systolic: (v) => 3 * v.output - 2 * v.diastolic, diastolic: (v) => (3 * v.output - v.systolic) / 2 },
  slips: [
    {
      id: 'exercise-form',
      says: 'the exercise form was used for a resting pressure',
      compute: (v) => (v.systolic + v.diastolic) / 2,
    },
    {
      id: 'thirds-swapped',
      says: 'the thirds of systolic and diastolic were swapped',
      compute: (v) => (2 * v.systolic + v.diastolic) / 3,
    },
  ],
});

export const meanArterialPressureExercise: Formula = defineFormula({
  id: 'mean-arterial-pressure-exercise',
  title: 'Mean arterial pressure in exercise',
  family: FAMILY,
  inputs: { systolic, diastolic },
  output: pressureOut('Mean arterial pressure', 'MAP'),
  validity: [],
  check: reversed,
  source: nsca,
  equation: 'MAP = ½·DBP + ½·SBP',
  compute: (v) => (v.diastolic + v.systolic) / 2,
  substituted: (v) => `½ × ${n(v.diastolic, 1)} + ½ × ${n(v.systolic, 1)}`,
  solve: { systolic: (v) => 2 * v.output - v.diastolic, diastolic: (v) => 2 * v.output - v.systolic },
  slips: [
    {
      id: 'rest-form',
      says: 'the resting form was used for an exercise pressure',
      compute: (v) => (2 * v.diastolic + v.systolic) / 3,
    },
  ],
});

export const ratePressureProduct: Formula = defineFormula({
  id: 'rate-pressure-product',
  title: 'Rate–pressure product',
  family: FAMILY,
  inputs: { heartRate, systolic },
  output: { label: 'Rate–pressure product', symbol: 'RPP', unit: 'mm[Hg]/min', decimals: 0 },
  validity: [],
  source: {
    citation: 'definition; usual values about 6 000 to 12 000 at rest and 25 000 to 40 000 at peak',
    provenance: 'C',
    note: 'the usual values are from memory',
  },
  equation: 'RPP = HR·SBP',
  compute: (v) => v.heartRate * v.systolic,
  substituted: (v) => `${n(v.heartRate, 1)} × ${n(v.systolic, 1)}`,
  solve: { heartRate: (v) => v.output / v.systolic, systolic: (v) => v.output / v.heartRate },
  slips: [{ id: 'divided-by-100', says: 'the product was divided by 100', compute: (v) => (v.heartRate * v.systolic) / 100 }],
});

export const systolicRisePerMet: Formula = defineFormula({
  id: 'systolic-rise-per-met',
  title: 'Rise of systolic pressure per MET',
  family: FAMILY,
  inputs: {
    systolic: { ...systolic, label: 'Systolic pressure in exercise', symbol: 'SBP₂' },
    restingSystolic: { ...systolic, label: 'Systolic pressure at rest', symbol: 'SBP₁' },
    mets: { label: 'METs in exercise', symbol: 'METs', unit: '[MET]', alsoUnits: ['mL/kg/min'], min: 1.01, max: 30 },
    restingMets: { label: 'METs at rest', symbol: 'METs₁', unit: '[MET]', alsoUnits: ['mL/kg/min'], default: 1, min: 0.3, max: 3 },
  },
  output: { label: 'Rise of systolic pressure per MET', symbol: 'ΔSBP/MET', unit: 'mm[Hg]/[MET]', decimals: 1 },
  validity: [],
  check: (v) => (v.mets <= v.restingMets ? [{ text: 'The METs in exercise must be above those at rest.', hard: true }] : []),
  population: 'textbook 10 ± 2 mmHg per MET; 7.6 ± 4.4 measured in 7164 men (middle 80 %)',
  source: { citation: 'textbook figure from memory; measured slopes: BMJ Open Sport Exerc Med, table', provenance: 'C' },
  equation: 'ΔSBP/MET = (SBP₂ − SBP₁)/(METs₂ − METs₁)',
  compute: (v) => (v.systolic - v.restingSystolic) / (v.mets - v.restingMets),
  substituted: (v) => `(${n(v.systolic, 1)} − ${n(v.restingSystolic, 1)}) / (${n(v.mets, 2)} − ${n(v.restingMets, 2)})`,
});

export const systolicRise: Formula = defineFormula({
  id: 'systolic-rise',
  title: 'Rise of systolic pressure to the peak',
  family: FAMILY,
  inputs: {
    peakSystolic: { ...systolic, label: 'Peak systolic pressure', symbol: 'SBPpeak' },
    restingSystolic: { ...systolic, label: 'Systolic pressure at rest', symbol: 'SBPrest' },
  },
  output: pressureOut('Rise of systolic pressure', 'ΔSBP'),
  validity: [
    { input: 'output', min: 20, text: 'A rise of less than 20 mmHg, or a fall, counts as an abnormal response; it is not a diagnosis.' },
  ],
  source: { citation: 'JACC endpoint table; McArdle, Katch & Katch, 8th ed. (20 to 30 mmHg)', provenance: 'P' },
  equation: 'ΔSBP = SBPpeak − SBPrest',
  compute: (v) => v.peakSystolic - v.restingSystolic,
  substituted: (v) => `${n(v.peakSystolic, 1)} − ${n(v.restingSystolic, 1)}`,
  solve: { peakSystolic: (v) => v.output + v.restingSystolic, restingSystolic: (v) => v.peakSystolic - v.output },
});

export const diastolicChange: Formula = defineFormula({
  id: 'diastolic-change',
  title: 'Change of diastolic pressure to the peak',
  family: FAMILY,
  inputs: {
    peakDiastolic: { ...diastolic, label: 'Diastolic pressure in exercise', symbol: 'DBPpeak' },
    restingDiastolic: { ...diastolic, label: 'Diastolic pressure at rest', symbol: 'DBPrest' },
  },
  output: pressureOut('Change of diastolic pressure', 'ΔDBP'),
  validity: [
    { input: 'output', max: 10, text: 'A rise of more than 10 mmHg above rest counts as an abnormal response; it is not a diagnosis.' },
  ],
  population: 'usually unchanged or slightly lower, by less than 10 mmHg',
  source: { citation: 'McArdle, Katch & Katch, Exercise Physiology, 8th ed.', provenance: 'P' },
  equation: 'ΔDBP = DBPpeak − DBPrest',
  compute: (v) => v.peakDiastolic - v.restingDiastolic,
  substituted: (v) => `${n(v.peakDiastolic, 1)} − ${n(v.restingDiastolic, 1)}`,
  solve: { peakDiastolic: (v) => v.output + v.restingDiastolic, restingDiastolic: (v) => v.peakDiastolic - v.output },
});

export const pressureFormulas: readonly Formula[] = [
  pulsePressure,
  meanArterialPressureRest,
  meanArterialPressureExercise,
  ratePressureProduct,
  systolicRise,
  systolicRisePerMet,
  diastolicChange,
];
