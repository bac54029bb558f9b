/** Conversions, what people type, and how numbers are printed. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import {
  convert,
  convertOxygenUptake,
  dimensionOf,
  formatDuration,
  formatNumber,
  formatQuantity,
  parsePressure,
  parseQuantity,
  roundTo,
  unitFromText,
  UnitError,
  units,
  type Dimension,
  type UnitCode,
} from '../../core/units/units.ts';

describe('conversions are exact', () => {
  test.each([
    [1, '[mi_i]/h', 'm/min', 26.8224, 'international mile, 1609.344 m'],
    [1, '[lb_av]', 'kg', 0.45359237, 'international pound'],
    [1, '[stone_av]', 'kg', 6.35029318, '14 lb'],
    [1, '[in_i]', 'cm', 2.54, 'international inch'],
    [1, '[ft_i]', 'm', 0.3048, 'international foot'],
    [1, 'kcal', 'kJ', 4.184, 'thermochemical calorie'],
    [98.6, '[degF]', 'Cel', 37, 'definition'],
    [32, '[degF]', 'Cel', 0, 'definition'],
    [760, 'mm[Hg]', 'kPa', 101.325, 'standard atmosphere'],
    [1013.25, 'hPa', 'mm[Hg]', 760, 'standard atmosphere'],
    [29.92, "[in_i'Hg]", 'mm[Hg]', 29.92 * 25.4, 'inch of 25.4 mm'],
    [10, '[MET]', 'mL/kg/min', 35, '3.5 mL/kg/min by convention'],
    [6, 'km/h', 'm/min', 100, 'definition'],
    [8, 'min/[mi_i]', 'min/km', 8 / 1.609344, 'international mile'],
    [100, 'W', 'kgf.m/min', 612, 'the laboratory’s 6.12, Compendium unit page'],
    [12, '%', '1', 0.12, 'definition'],
    [15.7, 'L/h', 'L/min', 15.7 / 60, 'definition'],
  ] as const)('%f %s = %s', (value, from, to, expected, because) => {
    // one part in 10^6 for the millimetre of mercury (conventional against 101.325/760), machine precision for the rest
    const tolerance = dimensionOf(from) === 'pressure' ? 1e-6 * expected : 1e-12 * Math.max(1, Math.abs(expected));
    expect(Math.abs(convert(value, from, to) - expected), because).toBeLessThanOrEqual(tolerance);
  });

  test('there and back is the same value, for every pair of units of one dimension', () => {
    fc.assert(
      fc.property(fc.constantFrom(...units), fc.nat(), fc.double({ min: -1e6, max: 1e6, noNaN: true }), (unit, pick, value) => {
        const others = units.filter((u) => u.dimension === unit.dimension);
        const other = others[pick % others.length] ?? unit;
        const back = convert(convert(value, unit.code, other.code), other.code, unit.code);
        // rounding of two multiplications and, for °F, of an offset
        expect(Math.abs(back - value)).toBeLessThanOrEqual(1e-12 * Math.max(100, Math.abs(value)));
      }),
    );
  });

  test('two dimensions, or a value that is not finite, is a bug and throws', () => {
    expect(() => convert(1, 'kg', 'm/min')).toThrow(UnitError);
    expect(() => convert(1, 'L/min', 'mL/kg/min')).toThrow(/cannot convert/i);
    expect(() => convert(Number.NaN, 'kg', 'g')).toThrow(UnitError);
    expect(() => convert(Infinity, 'kg', 'kg')).toThrow(UnitError);
  });

  test('oxygen uptake between absolute, relative and METs', () => {
    expect(convertOxygenUptake(3, 'L/min', 'mL/kg/min', 75)).toBeCloseTo(40, 12);
    expect(convertOxygenUptake(3000, 'mL/min', '[MET]', 75)).toBeCloseTo(40 / 3.5, 12);
    expect(convertOxygenUptake(40, 'mL/kg/min', 'L/min', 75)).toBeCloseTo(3, 12);
    expect(convertOxygenUptake(10, '[MET]', 'mL/min', 80)).toBeCloseTo(2800, 9);
    expect(convertOxygenUptake(10, '[MET]', 'mL/kg/min')).toBe(35);
    expect(() => convertOxygenUptake(3, 'L/min', 'mL/kg/min')).toThrow(/body mass/);
    expect(() => convertOxygenUptake(3, 'L/min', 'mL/kg/min', 0)).toThrow(/body mass/);
  });
});

const read = (text: string, defaultUnit: UnitCode, more: Partial<Parameters<typeof parseQuantity>[1]> = {}) => {
  const result = parseQuantity(text, { defaultUnit, ...more });
  return result.ok ? [result.value, result.unit] : result.error.code;
};

describe('what people type', () => {
  test.each([
    ['3,5', '[mi_i]/h', [3.5, '[mi_i]/h']],
    ['3.5 mph', 'km/h', [3.5, '[mi_i]/h']],
    ['5.4 km/h', '[mi_i]/h', [5.4, 'km/h']],
    ['5.4kmh', '[mi_i]/h', [5.4, 'km/h']],
    ['5.4 kph', '[mi_i]/h', [5.4, 'km/h']],
    ['3.4 mi/h', 'km/h', [3.4, '[mi_i]/h']],
    ['3.4\u00a0mph', 'km/h', [3.4, '[mi_i]/h']],
    ['80 m·min⁻¹', 'km/h', [80, 'm/min']],
    ['80 m min-1', 'km/h', [80, 'm/min']],
    ['12 %', '%', [12, '%']],
    ['12%', '%', [12, '%']],
    ['0.12', '1', [0.12, '1']],
    ['72kg', 'kg', [72, 'kg']],
    ['68.4', 'kg', [68.4, 'kg']],
    ['150 lbs', 'kg', [150, '[lb_av]']],
    ['−3', 'Cel', [-3, 'Cel']],
    ['-0', 'Cel', [0, 'Cel']],
    ['22 °C', 'Cel', [22, 'Cel']],
    ['72 F', 'Cel', [72, '[degF]']],
    ['162 bpm', '/min', [162, '/min']],
    ['162 beats/min', '/min', [162, '/min']],
    ['35.6 mL·kg⁻¹·min⁻¹', 'mL/kg/min', [35.6, 'mL/kg/min']],
    ['35.6 ml/kg/min', '[MET]', [35.6, 'mL/kg/min']],
    ['35.6 ml kg-1 min-1', 'mL/kg/min', [35.6, 'mL/kg/min']],
    ['10 METs', 'mL/kg/min', [10, '[MET]']],
    ['2.5 l/min', 'L/min', [2.5, 'L/min']],
    ['2500 mL/min', 'L/min', [2500, 'mL/min']],
    ['600 kpm/min', 'W', [600, 'kgf.m/min']],
    ['600 kg·m/min', 'W', [600, 'kgf.m/min']],
    ['100 W', 'kgf.m/min', [100, 'W']],
    ['752 mmHg', 'mm[Hg]', [752, 'mm[Hg]']],
    ['1002 hPa', 'mm[Hg]', [1002, 'hPa']],
    ['6:45', 'min', [405, 's']],
    ['1:02:03', 'min', [3723, 's']],
    ['12:30.5', 's', [750.5, 's']],
    ['6 min 45 s', 'min', [405, 's']],
    ['6m45s', 'min', [405, 's']],
    ['1 h 2 min', 'min', [3720, 's']],
    ['6.45', 'min', [6.45, 'min']],
    ['90 s', 'min', [90, 's']],
    ['7:42', 'min/[mi_i]', [7.7, 'min/[mi_i]']],
    ['4:30 /km', 'min/[mi_i]', [4.5, 'min/km']],
    ['5 ft 9 in', 'cm', [5.75, '[ft_i]']],
    ['5\'9"', 'cm', [5.75, '[ft_i]']],
    ['69 in', 'cm', [69, '[in_i]']],
    ['1e2', 'W', [100, 'W']],
    [',5', '1', [0.5, '1']],
  ] as const)('%s (else %s) → %j', (text, unit, expected) => {
    expect(read(text, unit)).toEqual(expected);
  });

  test('a compound mass keeps its first unit', () => {
    const result = parseQuantity('11 st 4 lb', { defaultUnit: 'kg' });
    expect(result.ok && result.unit).toBe('[stone_av]');
    expect(result.ok && convert(result.value, result.unit, '[lb_av]')).toBeCloseTo(158, 9);
  });

  test('what was typed is kept as typed', () => {
    expect(parseQuantity('  3,5 mph ', { defaultUnit: 'km/h' })).toMatchObject({ typed: '3,5 mph', value: 3.5 });
  });
});

describe('marks of thousands and decimals', () => {
  test.each([
    // text, station's decimal mark, result
    ['1,234', undefined, 'ambiguous'],
    ['1,234', '.', 1234],
    ['1,234', ',', 1.234],
    ['1.234', undefined, 1.234],
    ['1.234', '.', 1.234],
    ['1.234', ',', 'ambiguous'],
    ['1,234.5', undefined, 1234.5],
    ['1,234.5', '.', 1234.5],
    ['1,234.5', ',', 'ambiguous'],
    ['1.234,5', undefined, 1234.5],
    ['1.234,5', '.', 'ambiguous'],
    ['0,125', undefined, 0.125],
    ['24 300', undefined, 24300],
    ['1,234,567', undefined, 1234567],
    ['1,2,3', undefined, 'not-a-number'],
    ['1.2.3', undefined, 'not-a-number'],
    ['12,34.5', undefined, 'not-a-number'],
    ['1 2', undefined, 'not-a-number'],
    ['3..5', undefined, 'not-a-number'],
  ] as const)('%s with mark %s → %s', (text, decimalMark, expected) => {
    const result = parseQuantity(text, { defaultUnit: 'mm[Hg]/min', ...(decimalMark ? { decimalMark } : {}) });
    expect(result.ok ? result.value : result.error.code).toBe(expected);
  });
});

describe('refused in words', () => {
  test.each([
    ['', '/min', 'empty'],
    ['   ', '/min', 'empty'],
    ['abc', '/min', 'not-a-number'],
    ['NaN', '/min', 'not-a-number'],
    ['Infinity', '/min', 'not-a-number'],
    ['1e999', '/min', 'out-of-range'],
    ['--5', '/min', 'not-a-number'],
    ['5/6', '/min', 'not-a-number'],
    ['162 furlongs', '/min', 'unknown-unit'],
    ['72 kg', '/min', 'wrong-dimension'],
    ['3 %', '[mi_i]/h', 'wrong-dimension'],
    ['6:45', '/min', 'wrong-dimension'],
    ['6:75', 'min', 'not-a-number'],
    ['12:3', 'min', 'ambiguous'],
    ['1:60:00', 'min', 'not-a-number'],
    ['5 ft 13 in', 'cm', 'out-of-range'],
    ['20 steps/min', '/min', 'unknown-unit'],
  ] as const)('%s (else %s) → %s', (text, unit, code) => {
    const result = parseQuantity(text, { defaultUnit: unit });
    expect(result.ok ? 'accepted' : result.error.code).toBe(code);
    if (!result.ok) expect(result.error.message.length).toBeGreaterThan(15);
  });

  test('step cycles are not steps: "steps/min" is not read as cycles per minute', () => {
    expect(unitFromText('steps/min', 'rate')).toBeUndefined();
    expect(unitFromText('cycles/min', 'rate')).toBe('/min');
  });

  test('only the accepted units, where a list is given', () => {
    expect(read('1.05', '1', { accepts: ['1'] })).toEqual([1.05, '1']);
    expect(read('105 %', '1', { accepts: ['1'] })).toBe('wrong-dimension');
    expect(read('3.1 L/min', 'L/min', { accepts: ['L/min', 'mL/kg/min'] })).toEqual([3.1, 'L/min']);
    expect(read('41 mL/kg/min', 'L/min', { accepts: ['L/min', 'mL/kg/min'] })).toEqual([41, 'mL/kg/min']);
    expect(read('11 METs', 'L/min', { accepts: ['L/min', 'mL/kg/min'] })).toBe('wrong-dimension');
  });

  test('10 MB pasted are refused before anything reads them', () => {
    for (const text of ['9'.repeat(10_000_000), ' '.repeat(10_000_000), '1,'.repeat(5_000_000), 'mph '.repeat(2_500_000)]) {
      const before = performance.now();
      const result = parseQuantity(text, { defaultUnit: '/min' });
      const pressure = parsePressure(text);
      const took = performance.now() - before;
      expect(result.ok ? 'accepted' : result.error.code).toBe('too-long');
      expect(pressure.ok).toBe(false);
      // a check of the length alone: far below a frame on any machine
      expect(took).toBeLessThan(50);
    }
  });

  test('never NaN, never Infinity, never a throw, whatever is typed', () => {
    const dimensions = [...new Set(units.map((u) => u.dimension))] as Dimension[];
    const piece = fc.constantFrom(
      '1',
      '23',
      ',',
      '.',
      ':',
      '-',
      '−',
      ' ',
      'e',
      '/',
      'min',
      'km',
      'h',
      'kg',
      '%',
      "'",
      '"',
      '⁻¹',
      '·',
      'ft',
      '½',
      '٣',
      '１',
    );
    const text = fc.oneof(
      fc.string(),
      fc.string({ unit: 'binary' }),
      fc.array(piece, { maxLength: 12 }).map((parts) => parts.join('')),
    );
    fc.assert(
      fc.property(text, fc.constantFrom(...units), fc.constantFrom('.', ',', undefined), (typed, unit, mark) => {
        const options = { defaultUnit: unit.code, ...(mark ? { decimalMark: mark as '.' | ',' } : {}) };
        for (const result of [parseQuantity(typed, options), parseQuantity(typed, { ...options, dimension: dimensions })]) {
          if (result.ok) expect(Number.isFinite(result.value)).toBe(true);
          else expect(result.error.message.length).toBeGreaterThan(5);
        }
        const pressure = parsePressure(typed);
        if (pressure.ok) expect(Number.isFinite(pressure.systolic) && Number.isFinite(pressure.diastolic)).toBe(true);
      }),
      { numRuns: 3000 },
    );
  });

  test('a value printed with its unit is read back as the same value and unit', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...units),
        fc.integer({ min: -99_999, max: 99_999 }),
        fc.constantFrom(0, 1, 2),
        (unit, whole, decimals) => {
          const value = whole / 10 ** decimals;
          const text = formatQuantity(value, unit.code, decimals);
          const result = parseQuantity(text, { defaultUnit: unit.code });
          expect(result, text).toMatchObject({ ok: true, unit: unit.code });
          expect(result.ok && result.value, text).toBeCloseTo(value, 9);
        },
      ),
      { numRuns: 500 },
    );
  });
});

describe('pressure', () => {
  test.each([
    ['116/74', [116, 74, 'mm[Hg]']],
    ['116 / 74 mmHg', [116, 74, 'mm[Hg]']],
    ['116 over 74', [116, 74, 'mm[Hg]']],
    ['15.5/9.9 kPa', [15.5, 9.9, 'kPa']],
    ['15,5/9,9 kPa', [15.5, 9.9, 'kPa']],
    ['190/0', [190, 0, 'mm[Hg]']],
    ['74/116', 'out-of-range'],
    ['116/116', 'out-of-range'],
    ['116', 'not-a-number'],
    ['116/', 'not-a-number'],
    ['116/74/60', 'unknown-unit'],
    ['', 'empty'],
    ['116/74 bpm', 'wrong-dimension'],
  ] as const)('%s → %j', (text, expected) => {
    const result = parsePressure(text);
    expect(result.ok ? [result.systolic, result.diastolic, result.unit] : result.error.code).toEqual(expected);
  });
});

describe('how numbers are printed', () => {
  test.each([
    [35.56, 1, '35.6'],
    [-2.15, 1, '−2.2'],
    [-0.04, 1, '0.0'],
    [0, 0, '0'],
    [1.005, 2, '1.01'],
    [2.5, 0, '3'],
    [-2.5, 0, '−3'],
    [1e21, 0, '1e+21'],
    [Number.NaN, 1, '–'],
    [Infinity, 1, '–'],
  ] as const)('%f to %i decimals is %s', (value, decimals, expected) => {
    expect(formatNumber(value, decimals)).toBe(expected);
  });
  test('comma as the decimal mark, a no-break space before the unit, none where a unit has no label', () => {
    expect(formatNumber(35.6, 1, { decimalMark: ',' })).toBe('35,6');
    expect(formatQuantity(35.6, 'mL/kg/min', 1)).toBe('35.6\u00a0mL/kg/min');
    expect(formatQuantity(14, '{score}', 0)).toBe('14');
  });
  test('rounding as shown', () => {
    expect(roundTo(1.095, 2)).toBe(1.1);
    expect(roundTo(-0.004, 2)).toBe(0);
    expect(roundTo(-1.25, 1)).toBe(-1.3);
  });
  test.each([
    [405, '6:45'],
    [0, '0:00'],
    [59.6, '1:00'],
    [3723, '1:02:03'],
    [-10, '−0:10'],
    [Number.NaN, '–'],
  ] as const)('%f s is %s', (seconds, expected) => {
    expect(formatDuration(seconds)).toBe(expected);
  });
});

test('every unit can be found by its code, its label and its name, within its dimension', () => {
  for (const unit of units) {
    expect(unitFromText(unit.code, unit.dimension), unit.code).toBe(unit.code);
    expect(unitFromText(unit.name, unit.dimension), unit.name).toBe(unit.code);
    if (unit.label) expect(unitFromText(unit.label, unit.dimension), unit.label).toBe(unit.code);
    for (const spelling of unit.spellings) expect(unitFromText(spelling, unit.dimension), spelling).toBe(unit.code);
  }
});
