import { halfUnit, MPH_ROUNDING, PRINTED_DIGITS, type MisprintCase, type ReferenceCase } from '../check.ts';

const WWU = 'Western Washington University, Problem Set Solutions';
const SIUE = 'Southern Illinois University Edwardsville, ACSM Practice Problems Answer Key';
const ICM = 'class handout In-Class Metabolic Calculations';
const SL = 'lecture slides Metabolic Equations – ACSM Formulas';
const STUDY = 'study page Metabolic Equations Treadmill Energy Expenditure';
const NHANES = 'CDC NHANES tutorial Key Concepts about Estimating VO2 Max, Appendix H';

/** The handbooks' speed: 26.8 m/min per mph. */
const mph = (value: number) => 26.8 * value;

/** Recomputed beside the printed answer with 26.8 m/min per mph: checks the equation to the digits given. */
const recomputed: readonly ReferenceCase[] = (
  [
    ['E1', 'walk-vo2-acsm', 3.5, 0.1, 29.764, 3],
    ['E2', 'walk-vo2-acsm', 2.5, 0.03, 13.818, 3],
    ['E3', 'walk-vo2-acsm', 3, 0.05, 18.776, 3],
    ['E4', 'walk-vo2-acsm', 2.5, 0.06, 17.436, 3],
    ['E5', 'walk-vo2-acsm', 3.7, 0.05, 22.34, 3],
    ['E5', 'walk-vo2-acsm', 2.8, 0.06, 19.108, 3],
    ['E5', 'walk-vo2-acsm', 3.9, 0, 13.952, 3],
    ['E9', 'walk-vo2-acsm', 3, 0.03, 15.882, 3],
    ['E10', 'run-vo2-acsm', 7, 0.03, 46.085, 3],
    ['E11', 'run-vo2-acsm', 6, 0.1, 50.132, 3],
    ['E12', 'run-vo2-acsm', 8, 0, 46.38, 3],
    ['E25', 'run-vo2-acsm', 6.5, 0.04, 44.611, 3],
    ['Bruce stage 1', 'walk-vo2-acsm', 1.7, 0.1, 16.3, 1],
    ['Bruce stage 2', 'walk-vo2-acsm', 2.5, 0.12, 24.7, 1],
    ['Bruce stage 3', 'walk-vo2-acsm', 3.4, 0.14, 35.57, 2],
    ['Bruce stage 3 run', 'run-vo2-acsm', 3.4, 0.14, 33.2, 1],
    ['Bruce stage 4', 'walk-vo2-acsm', 4.2, 0.16, 47.2, 1],
    ['Bruce stage 4 run', 'run-vo2-acsm', 4.2, 0.16, 42.2, 1],
    ['Bruce stage 5', 'run-vo2-acsm', 5, 0.18, 52.0, 1],
    ['Bruce stage 6', 'run-vo2-acsm', 5.5, 0.2, 59.5, 1],
    ['Bruce stage 7', 'run-vo2-acsm', 6, 0.22, 67.5, 1],
    ['Bruce stage 8', 'run-vo2-acsm', 6.5, 0.24, 76.0, 1],
    ['Bruce stage 9', 'run-vo2-acsm', 7, 0.26, 84.9, 1],
    ['Bruce stage 10', 'run-vo2-acsm', 7.5, 0.28, 94.4, 1],
  ] as const
).map(([label, formula, speed, grade, expected, decimals]) => ({
  formula,
  given: { speed: mph(speed), grade },
  expected,
  within: halfUnit(decimals),
  because: PRINTED_DIGITS,
  source: `recomputed beside ${label}, equation: Bushman 2020`,
}));

/** Printed answers, with the speed typed in mph as a student would. */
const printed: readonly ReferenceCase[] = (
  [
    ['walk-vo2-acsm', '3.5 mph', '10 %', 29.76, SL],
    ['walk-vo2-acsm', '2.5 mph', '3 %', 13.8, STUDY],
    ['walk-vo2-acsm', '3.0 mph', '5 %', 18.74, WWU],
    ['walk-vo2-acsm', '2.5 mph', '6 %', 17.4, WWU],
    ['walk-vo2-acsm', '3.7 mph', '5 %', 22.296, WWU],
    ['walk-vo2-acsm', '2.8 mph', '6 %', 19.068, WWU],
    ['walk-vo2-acsm', '3.9 mph', '0 %', 13.952, WWU],
    ['walk-vo2-acsm', '3 mph', '3 %', 15.86, WWU],
    ['run-vo2-acsm', '7 mph', '3 %', 46.06, WWU],
    ['run-vo2-acsm', '6 mph', '10 %', 50.06, WWU],
    ['run-vo2-acsm', '8 mph', '0 %', 46.38, `${ICM} (7.5 min/mile)`],
  ] as const
).map(([formula, speed, grade, expected, source]) => ({
  formula,
  given: { speed, grade },
  expected,
  within: 0.15,
  because: MPH_ROUNDING,
  source,
}));

const inverses: readonly ReferenceCase[] = [
  {
    formula: 'walk-vo2-acsm',
    given: { output: '8.0 METs', speed: mph(2) },
    solveFor: 'grade',
    unit: '%',
    expected: 19.84,
    within: halfUnit(2),
    because: PRINTED_DIGITS,
    source: 'recomputed beside E6',
  },
  {
    formula: 'walk-vo2-acsm',
    given: { output: '8.0 METs', speed: '2.0 mph' },
    solveFor: 'grade',
    unit: '%',
    expected: 20,
    within: 0.5,
    because: 'the key prints a whole per cent',
    source: `${WWU} (E6)`,
  },
  {
    formula: 'walk-vo2-acsm',
    given: { output: '5.2 METs', grade: '5 %' },
    solveFor: 'speed',
    expected: 77.37,
    within: halfUnit(2),
    because: PRINTED_DIGITS,
    source: 'recomputed beside E7',
  },
  {
    formula: 'walk-vo2-acsm',
    given: { output: '5.2 METs', grade: '5 %' },
    solveFor: 'speed',
    unit: '[mi_i]/h',
    expected: 2.89,
    within: 0.006,
    because: 'printed to 0.01 mph with 26.8 for 26.8224',
    source: `${WWU} (E7)`,
  },
  {
    formula: 'walk-vo2-acsm',
    given: { output: '7 METs', grade: '10 %' },
    solveFor: 'speed',
    expected: 75,
    within: 1e-9,
    because: '21/0.28 is exact',
    source: `${SIUE} (E8)`,
  },
  {
    formula: 'run-vo2-acsm',
    given: { output: 0.85 * 58, speed: mph(7) },
    solveFor: 'grade',
    unit: '%',
    // 0.85 × 58 = 49.3; (49.3 − 3.5 − 0.2 × 187.6) / (0.9 × 187.6)
    expected: 4.904,
    within: halfUnit(3),
    because: PRINTED_DIGITS,
    source: 'recomputed beside E13 (the key itself is a misprint)',
  },
  {
    formula: 'run-vo2-acsm',
    given: { output: '8 METs', grade: 0 },
    solveFor: 'speed',
    expected: 122.5,
    within: 1e-9,
    because: '24.5/0.2 is exact',
    source: 'course page: level jog at 8 METs → 122.5 m/min',
  },
];

/** Printed to 0.1, some rows rounded to whole numbers: the authors' table agrees with the equation within 0.2. */
const nhanes: readonly ReferenceCase[] = (
  [
    [1.7, 0, 8.1],
    [2.1, 0.5, 9.6],
    [2.1, 4.5, 13.6],
    [2.0, 0, 8.9],
    [2.0, 1, 10],
    [2.3, 2, 11.9],
    [2.3, 6.5, 16.9],
    [2.2, 2, 11.5],
    [2.7, 3, 14.6],
    [2.7, 7.5, 20.6],
    [2.7, 2, 13.3],
    [3.1, 4, 17.8],
    [3.1, 8.5, 24.4],
    [3.0, 3, 16],
    [3.7, 4, 20.6],
    [3.7, 8, 27.8],
  ] as const
).map(([speed, grade, expected]) => ({
  formula: 'walk-vo2-acsm',
  given: { speed: `${speed} mph`, grade: `${grade} %` },
  expected,
  within: 0.2,
  because: 'the table is printed to 0.1, some rows to whole numbers, with 26.8 m/min per mph',
  source: NHANES,
}));

export const costTreadmillCases: readonly ReferenceCase[] = [...recomputed, ...printed, ...inverses, ...nhanes];

export const costTreadmillMisprints: readonly MisprintCase[] = [
  {
    formula: 'run-vo2-acsm',
    given: { output: 0.85 * 58, speed: '7 mph' },
    solveFor: 'grade',
    unit: '%',
    printed: 2.5,
    apart: 2.3,
    source: `${SIUE}, running grade: the key uses the walking constant 1.8`,
  },
  {
    formula: 'run-vo2-acsm',
    given: { speed: '5 mph', grade: 0 },
    printed: 1.444 * 3 + 14.99,
    apart: 10,
    source:
      'coaching pages attach 1.444·T + 14.99 (Balke) to the Åstrand treadmill test: 19.3 after 3 min, when its first stage already costs 30.3',
  },
];
