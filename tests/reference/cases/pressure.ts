import type { ReferenceCase } from '../check.ts';

const exact = { within: 1e-9, because: 'exact arithmetic' };

export const pressureCases: readonly ReferenceCase[] = [
  { formula: 'systolic-rise', given: { peakSystolic: 186, restingSystolic: 116 }, expected: 70, ...exact, source: 'definition, by hand' },
  {
    formula: 'mean-arterial-pressure-rest',
    given: { systolic: 120, diastolic: 80 },
    expected: 93,
    within: 0.5,
    because: 'printed as a whole number',
    source: 'NSCA’s Guide: 120/80 → 93',
  },
  {
    formula: 'mean-arterial-pressure-rest',
    given: { systolic: 120, diastolic: 80 },
    expected: 280 / 3,
    ...exact,
    source: '⅔·80 + ⅓·120 by hand',
  },
  {
    formula: 'mean-arterial-pressure-exercise',
    given: { systolic: 140, diastolic: 80 },
    expected: 110,
    ...exact,
    source: 'NSCA’s Guide: 140/80 → 110',
  },
  {
    formula: 'pulse-pressure',
    given: { systolic: '116 mmHg', diastolic: '74 mmHg' },
    expected: 42,
    ...exact,
    source: 'definition, by hand',
  },
  { formula: 'rate-pressure-product', given: { heartRate: 190, systolic: 186 }, expected: 35340, ...exact, source: 'definition, by hand' },
  {
    formula: 'systolic-rise-per-met',
    given: { systolic: 186, restingSystolic: 116, mets: 11 },
    expected: 7,
    ...exact,
    source: 'definition: 70 mmHg over 10 METs',
  },
  {
    formula: 'diastolic-change',
    given: { peakDiastolic: 72, restingDiastolic: 78 },
    expected: -6,
    ...exact,
    source: 'definition, by hand',
  },
];
