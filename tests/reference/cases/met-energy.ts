import { halfUnit, PRINTED_DIGITS, type ReferenceCase } from '../check.ts'

const HK = 'Human Kinetics exercise-science problem solutions (public copy)'
const WWU = 'Western Washington University, Problem Set Solutions'
const ICM = 'class handout In-Class Metabolic Calculations'
const COMPENDIUM = 'Compendium of Physical Activities, unit page'

const half = (decimals: number) => ({ within: halfUnit(decimals), because: PRINTED_DIGITS })

export const metEnergyCases: readonly ReferenceCase[] = [
  { formula: 'energy-rate-from-vo2', given: { vo2: '4.0 L/min' }, expected: 20, within: 1e-9, because: 'exact', source: HK },
  { formula: 'met-from-vo2', given: { output: '5 METs' }, solveFor: 'vo2', expected: 17.5, within: 1e-9, because: 'exact', source: HK },
  { formula: 'met-from-vo2', given: { vo2: 29.764 }, expected: 8.504, ...half(3), source: 'recomputed beside E1' },
  { formula: 'met-from-vo2', given: { vo2: 50.132 }, expected: 14.323, ...half(3), source: 'recomputed beside E11' },
  { formula: 'vo2-absolute', given: { vo2: 42, mass: '120 lb' }, expected: 2.29, within: 0.006, because: 'printed with 2.2 lb per kg', source: HK },
  { formula: 'vo2-relative', given: { vo2: '4.5 L/min', mass: 75 }, expected: 60, within: 1e-9, because: '165 lb at 2.2 is 75 kg', source: HK },
  { formula: 'vo2-absolute', given: { vo2: 13.818, mass: 50 }, expected: 0.6909, ...half(4), source: 'recomputed beside E2' },
  { formula: 'vo2-absolute', given: { vo2: 17.436, mass: 90 }, expected: 1.5692, ...half(4), source: 'recomputed beside E4' },
  { formula: 'energy-of-session', given: { vo2: 13.818, mass: 50, time: 30 }, expected: 103.64, ...half(2), source: 'recomputed beside E2' },
  { formula: 'energy-of-session', given: { vo2: 13.818, mass: 50, time: 30 }, expected: 103.5, within: 0.2, because: 'the page rounds 0.6909 L/min to 0.69', source: 'study page, E2' },
  { formula: 'energy-of-session', given: { vo2: 17.436, mass: 90, time: 30 }, expected: 235.39, ...half(2), source: 'recomputed beside E4' },
  { formula: 'energy-of-session', given: { vo2: 17.436, mass: 90, time: 30 }, expected: 235, within: 0.5, because: 'printed as a whole number', source: `${WWU} (E4)` },
  { formula: 'energy-of-session', given: { vo2: 46.38, mass: 50, time: 30, basis: 'net' }, expected: 321.6, ...half(1), source: `${ICM} (E12), net` },
  { formula: 'weekly-energy', given: { energy: 10.72, time: 30, sessions: 3 }, expected: 964.8, ...half(1), source: `${ICM} (E12)` },
  { formula: 'weeks-to-lose-fat', given: { loss: '3 lb', weekly: 964.8 }, expected: 10.88, ...half(2), source: `${ICM} (E12)` },
  { formula: 'weeks-to-lose-fat', given: { loss: '10 lb', weekly: 485.98 }, expected: 72.02, ...half(2), source: 'recomputed beside E9' },
  { formula: 'weekly-energy', given: { energy: 5.4, time: 30, sessions: 3 }, expected: 486, within: 1e-9, because: 'exact', source: `${WWU} (E9)` },
  { formula: 'energy-rate-from-mets', given: { mets: 4.982, mass: 75 }, expected: 6.5385, within: 0.001, because: 'the METs are given to 0.001', source: 'recomputed, E24' },
  { formula: 'energy-rate-from-mets', given: { mets: 12.746, mass: 62 }, expected: 13.829, within: 0.001, because: 'the METs are given to 0.001', source: 'recomputed, E25' },
  { formula: 'energy-rate-from-mets', given: { mets: 7, mass: 60 }, expected: 7.35, within: 1e-9, because: 'exact', source: 'course page, by the 3.5·M/200 form' },
  { formula: 'energy-rate-from-mets-rule', given: { mets: 7, mass: 60 }, expected: 7, within: 1e-9, because: 'exact', source: 'course page, by the rule of 1 kcal/kg/h' },
  { formula: 'energy-rate-from-mets-rule', given: { mets: 9, mass: 70 }, expected: 10.5, within: 1e-9, because: 'exact', source: `${HK}: 9 METs × 70 kg = 630 kcal/h` },
  { formula: 'pace-from-speed', given: { speed: '6.2 mph' }, expected: 9.7, ...half(1), source: HK },
  { formula: 'pace-from-speed', given: { speed: '7.8 mph' }, expected: 7.7, within: 0.01, because: 'printed to the second (7 min 42 s)', source: COMPENDIUM },
  { formula: 'pace-from-speed', given: { speed: '4.57 mph' }, expected: 13.1, ...half(1), source: 'course page: 122.5 m/min' },
  { formula: 'met-minutes-per-week', given: { mets: 8.63, time: 30, sessions: 3 }, expected: 777, within: 0.5, because: 'printed as a whole number', source: 'practice reference, prescription example (own construction)' },
]
