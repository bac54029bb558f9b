import { halfUnit, PRINTED_DIGITS, type MisprintCase, type ReferenceCase } from '../check.ts'

const rec = 'recomputed in the equations reference, section 3d'
const own = 'practice reference 1.7, worked example (own construction)'
const half = (decimals: number) => ({ within: halfUnit(decimals), because: PRINTED_DIGITS })

export const referenceValueCases: readonly ReferenceCase[] = [
  { formula: 'vo2max-friend-2017', given: { age: 40, sex: 'male', mass: '180 lb' }, expected: 41.44, ...half(2), source: rec },
  { formula: 'vo2max-friend-2017', given: { age: 40, sex: 'female', mass: '140 lb' }, expected: 32.82, ...half(2), source: rec },
  { formula: 'vo2max-friend-2017', given: { age: 22, sex: 'male', mass: '75 kg' }, expected: 50.3, ...half(1), source: own },
  { formula: 'vo2max-friend-2018', given: { age: 40, sex: 'male', mass: '180 lb', height: '70 in', mode: 'treadmill' }, expected: 40.44, ...half(2), source: rec },
  { formula: 'vo2max-friend-2018', given: { age: 40, sex: 'male', mass: '180 lb', height: '70 in', mode: 'cycle' }, expected: 39.98, ...half(2), source: rec },
  { formula: 'vo2max-friend-2018', given: { age: 40, sex: 'female', mass: '140 lb', height: '65 in', mode: 'treadmill' }, expected: 32.14, ...half(2), source: rec },
  { formula: 'vo2max-friend-2018', given: { age: 22, sex: 'female', mass: '132 lb', height: '66 in', mode: 'cycle' }, expected: 39.86, ...half(2), source: rec },
  { formula: 'vo2max-friend-2018', given: { age: 22, sex: 'male', mass: '75 kg', height: '178 cm', mode: 'treadmill' }, expected: 49.0, within: 0.06, because: 'given to 0.1 with the pound rounded', source: own },
  { formula: 'vo2max-jackson-1990-bmi', given: { activity: 5, age: 22, bmi: 24, sex: 'male' }, expected: 50.477, ...half(3), source: rec },
  { formula: 'vo2max-jackson-1990-bmi', given: { activity: 3, age: 30, bmi: 22, sex: 'female' }, expected: 34.108, ...half(3), source: rec },
  { formula: 'vo2max-jackson-1990-fat', given: { activity: 5, age: 22, fat: 15, sex: 'male' }, expected: 49.683, ...half(3), source: rec },
  { formula: 'mets-jurca-2005', given: { age: 35, bmi: 25, restingHeartRate: 65, level: 3, sex: 'male' }, expected: 12.2, ...half(2), source: rec },
  { formula: 'vo2max-bradshaw-2005', given: { age: 25, bmi: 24, ability: 18, activity: 6, sex: 'male' }, expected: 50.079, ...half(3), source: rec },
  { formula: 'vo2max-nes-2011', given: { age: 40, waist: 90, restingHeartRate: 60, activity: 10, sex: 'male' }, expected: 48.18, within: 1e-9, because: 'exact', source: '100.27 − 11.84 − 33.21 − 9.3 + 2.26 by hand' },
  { formula: 'vo2max-nes-2011', given: { age: 40, waist: 80, restingHeartRate: 60, activity: 10, sex: 'female' }, expected: 39.28, within: 1e-9, because: 'exact', source: '74.74 − 9.88 − 20.72 − 6.84 + 1.98 by hand' },
  { formula: 'vo2max-nes-2011', given: { age: 40, waist: 80, restingHeartRate: 60, activity: 0, sex: 'female' }, expected: 37.3, within: 1e-9, because: 'exact', source: '74.74 − 9.88 − 20.72 − 6.84 by hand' },
  { formula: 'vo2max-baynard-2016', given: { age: 40, bmi: 25, sex: 'male' }, expected: 42.16, ...half(2), source: '77.96 − 23 − 12.8 by hand' },
  { formula: 'vo2max-baynard-2016', given: { age: 40, bmi: 25, sex: 'female' }, expected: 31.81, ...half(2), source: '77.96 − 10.35 − 23 − 12.8 by hand' },
  { formula: 'vo2max-jones-1985', given: { age: 30, sex: 'male', height: 175 }, expected: 3.11, ...half(3), source: rec },
  { formula: 'vo2max-jones-1985', given: { age: 30, sex: 'female', height: 165 }, expected: 2.03, ...half(3), source: rec },
  // ideal 0.79 × 175 − 60.7 = 77.55 kg; factor 50.72 − 0.372 × 40 = 35.84
  { formula: 'vo2max-hansen-wasserman', given: { age: 40, sex: 'male', height: 175, mass: 77.55, mode: 'cycle' }, expected: 2779.392, within: 1e-6, because: 'exact', source: 'Pistea 2016 form: 77.55 × 35.84 by hand' },
  { formula: 'vo2max-hansen-wasserman', given: { age: 40, sex: 'male', height: 175, mass: 97.55, mode: 'cycle' }, expected: 2899.392, within: 1e-6, because: 'exact', source: 'Pistea 2016 form: 77.55 × 35.84 + 6 × 20 by hand' },
  { formula: 'vo2max-hansen-wasserman', given: { age: 40, sex: 'male', height: 175, mass: 57.55, mode: 'cycle' }, expected: 2420.992, within: 1e-6, because: 'exact', source: 'Pistea 2016 form: 67.55 × 35.84 by hand' },
  // ideal 0.65 × 165 − 42.8 = 64.45 kg; factor 22.78 − 0.17 × 40 = 15.98
  { formula: 'vo2max-hansen-wasserman', given: { age: 40, sex: 'female', height: 165, mass: 64.45, mode: 'cycle' }, expected: 1717.051, within: 1e-6, because: 'exact', source: 'Pistea 2016 form: 107.45 × 15.98 by hand' },
  { formula: 'vo2max-hansen-wasserman', given: { age: 40, sex: 'female', height: 165, mass: 54.45, mode: 'treadmill' }, expected: 1817.23761, within: 1e-6, because: 'exact', source: 'Pistea 2016 form: (64.45 + 54.45 + 86)/2 × 15.98 × 1.11 by hand' },
  { formula: 'body-mass-index', given: { mass: 75, height: '178 cm' }, expected: 23.671, ...half(3), source: '75/1.78² by hand' },
  { formula: 'percent-of-predicted', given: { measured: 48, predicted: 50.3 }, expected: 95.4, ...half(1), source: own },
  { formula: 'percent-of-predicted', given: { measured: 48, predicted: 49 }, expected: 98.0, ...half(1), source: own },
  { formula: 'z-of-predicted', given: { measured: 48, predicted: 49, standardError: 6.6 }, expected: -0.15, ...half(2), source: own },
  { formula: 'lower-limit-of-normal', given: { predicted: 49, standardError: 6.6 }, expected: 38.1, within: 0.06, because: 'the example’s predicted value is rounded to 49.0', source: own },
  { formula: 'percent-of-predicted-heart-rate', given: { measured: 188, predicted: 200 }, expected: 94, within: 1e-9, because: 'exact', source: 'by hand' },
]

export const referenceValueMisprints: readonly MisprintCase[] = [
  {
    formula: 'vo2max-friend-2018',
    given: { age: 40, sex: 'male', mass: '180 lb', height: '70 in', mode: 'treadmill' },
    printed: 40.44 + 10.9,
    apart: 10,
    source: 'sex coded 0 for a man; de Souza e Silva codes man 1, woman 2',
  },
  {
    formula: 'vo2max-friend-2017',
    given: { age: 40, sex: 'male', mass: '180 lb' },
    printed: 41.44 - 13.7,
    apart: 13,
    source: 'sex coded 1 for a man; Myers codes man 0, woman 1',
  },
  {
    formula: 'vo2max-hansen-wasserman',
    given: { age: 40, sex: 'male', height: 175, mass: 97.55, mode: 'cycle' },
    printed: 97.55 * 35.84 + 6 * 20,
    apart: 500,
    source: 'Peterman 2020 Table 1 prints measured in place of ideal mass for heavy men',
  },
]
