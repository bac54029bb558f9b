/** Laws that hold for every formula of the registry, by random values over its whole valid range. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { evaluate } from '../../core/formulas/evaluate.ts';
import type { Formula, InputSpec, Values } from '../../core/formulas/formula.ts';
import { formulaById, formulas } from '../../core/formulas/registry.ts';
import { convert, dimensionOf, formatQuantity, isOxygenUptakeUnit, units } from '../../core/units/units.ts';

/** Both forms of a formula that has one more for another unit. */
const forms: readonly Formula[] = formulas.flatMap((f) => (f.unitForm ? [f, f.unitForm.formula] : [f]));

/** The span in which an input is drawn: hard bounds and published range together. */
function span(formula: Formula, name: string, spec: InputSpec): { readonly min: number; readonly max: number } {
  const limits = formula.validity.filter((v) => v.input === name);
  const lows = [spec.min, ...limits.map((v) => v.min)].filter((v) => v !== undefined);
  const highs = [spec.max, ...limits.map((v) => v.max)].filter((v) => v !== undefined);
  return { min: Math.max(...lows), max: Math.min(...highs) };
}

function arbitraryInputs(formula: Formula): fc.Arbitrary<Values> {
  const record: Record<string, fc.Arbitrary<number | string>> = {};
  for (const [name, spec] of Object.entries(formula.inputs)) {
    if (spec.choices) record[name] = fc.constantFrom(...spec.choices.map((c) => c.value));
    else {
      const { min, max } = span(formula, name, spec);
      record[name] = spec.whole
        ? fc.integer({ min: Math.ceil(min), max: Math.floor(max) })
        : // evenly over the span: fc.double would draw most values next to zero
          fc.integer({ min: 0, max: 1e6 }).map((i) => min + (i / 1e6) * (max - min));
    }
  }
  return fc.record(record).filter((values) => acceptable(formula, values));
}

const acceptable = (formula: Formula, values: Values) => !(formula.check?.(values) ?? []).some((finding) => finding.hard);

const given = (values: Values) => Object.fromEntries(Object.entries(values).map(([k, value]) => [k, { value }]));

const RUNS = { numRuns: 60 };

test('every numeric input has bounds, so that nonsense is refused', () => {
  for (const formula of forms) {
    for (const [name, spec] of Object.entries(formula.inputs)) {
      if (spec.choices) continue;
      const { min, max } = span(formula, name, spec);
      expect(Number.isFinite(min) && Number.isFinite(max) && min < max, `${formula.id}.${name}: ${min}…${max}`).toBe(true);
    }
  }
});

test('every unit that is offered can be used: same dimension, or an oxygen uptake where the body mass is an input', () => {
  for (const formula of forms) {
    const specs = [...Object.values(formula.inputs), formula.output];
    for (const spec of specs) {
      for (const unit of spec.alsoUnits ?? []) {
        const same = dimensionOf(unit) === dimensionOf(spec.unit);
        const uptake = isOxygenUptakeUnit(unit) && isOxygenUptakeUnit(spec.unit) && 'mass' in formula.inputs;
        expect(same || uptake, `${formula.id}: ${unit} for ${spec.unit}`).toBe(true);
        expect(unit, formula.id).not.toBe(spec.unit);
      }
    }
  }
});

test('ids are unique, in kebab case, and every formula names its source, symbol and equation', () => {
  expect(new Set(formulas.map((f) => f.id)).size).toBe(formulas.length);
  for (const f of forms) {
    expect(f.id).toMatch(/^[a-z0-9]+(-[a-z0-9]+)*$/);
    expect(f.source.citation.length, f.id).toBeGreaterThan(5);
    expect(f.equation.length, f.id).toBeGreaterThan(3);
    expect(f.title.length, f.id).toBeGreaterThan(5);
    for (const v of f.validity) expect(v.input === 'output' || v.input in f.inputs, `${f.id}: ${v.input}`).toBe(true);
    for (const name of Object.keys(f.solve ?? {})) expect(name in f.inputs, `${f.id}: ${name}`).toBe(true);
  }
});

describe('an inverse undoes its forward form', () => {
  for (const formula of forms) {
    for (const name of Object.keys(formula.solve ?? {})) {
      test(`${formula.id} → ${name}`, () => {
        let tried = 0;
        fc.assert(
          fc.property(arbitraryInputs(formula), (values) => {
            if (!acceptable(formula, values)) return;
            const output = formula.compute(values);
            if (!Number.isFinite(output)) return;
            const { [name]: wanted, ...others } = values;
            const solved = formula.solve?.[name]?.({ ...others, output }) ?? Number.NaN;
            // At a value where this input has no effect (a speed of 0 for the grade) there is nothing to solve for.
            const nudged = formula.compute({ ...values, [name]: Number(wanted) * (1 + 1e-6) + 1e-9 });
            if (Math.abs(nudged - output) < 1e-12 * Math.max(1, Math.abs(output))) return;
            // A numerical solver may find no single answer where values stand at the edge of what the formula takes.
            if (Number.isNaN(solved) && formula.solvedNumerically?.includes(name)) return;
            tried++;
            const back = formula.compute({ ...others, [name]: solved });
            const scale = Math.max(1, Math.abs(output), ...Object.values(values).map((v) => (typeof v === 'number' ? Math.abs(v) : 0)));
            // 1e-9 of the largest number in the sum: double precision with room for a few steps
            expect(Math.abs(back - output), JSON.stringify(values)).toBeLessThanOrEqual(1e-9 * scale);
          }),
          RUNS,
        );
        expect(tried).toBeGreaterThan(10);
      });
    }
  }
});

describe('a change of unit never changes a result', () => {
  for (const formula of formulas) {
    test(formula.id, () => {
      fc.assert(
        fc.property(arbitraryInputs(formula), fc.nat(), (values, pick) => {
          const plain = evaluate(formula, given(values));
          if (!plain.ok) return;
          for (const [name, spec] of Object.entries(formula.inputs)) {
            const value = values[name];
            if (spec.choices || typeof value !== 'number') continue;
            const dimension = units.find((u) => u.code === spec.unit)?.dimension;
            const others = units.filter((u) => u.dimension === dimension && u.code !== formula.unitForm?.unit);
            const unit = others[pick % others.length]?.code;
            if (!unit) continue;
            const inUnit = convert(value, spec.unit, unit);
            const again = evaluate(formula, { ...given(values), [name]: { value: inUnit, unit } });
            // the conversion may step over a hard bound by a last place
            if (!again.ok) continue;
            expect(Math.abs(again.value - plain.value), `${name} in ${unit}: ${JSON.stringify(values)}`).toBeLessThanOrEqual(
              1e-8 * Math.max(1, Math.abs(plain.value), Math.abs(value)),
            );
          }
        }),
        RUNS,
      );
    });
  }
});

describe('a working line ends in the value with its unit', () => {
  for (const formula of forms) {
    test(formula.id, () => {
      fc.assert(
        fc.property(arbitraryInputs(formula), (values) => {
          if (!acceptable(formula, values)) return;
          const value = formula.compute(values);
          const line = formula.working(values);
          expect(line.endsWith(`= ${formatQuantity(value, formula.output.unit, formula.output.decimals)}`), line).toBe(true);
          expect(line).not.toMatch(/NaN|Infinity|undefined/);
        }),
        RUNS,
      );
    });
  }
});

test('evaluate never gives a value that is not finite, whatever is put in', () => {
  const odd = fc.oneof(
    fc.double(),
    fc.string(),
    fc.constantFrom(0, -1, 1e300, Number.MAX_VALUE, Number.NaN, Infinity, 'male', '12 %', '6:45', '1e999', '-0'),
  );
  fc.assert(
    fc.property(fc.constantFrom(...formulas), fc.array(odd, { minLength: 12, maxLength: 12 }), (formula, raw) => {
      const names = Object.keys(formula.inputs);
      const result = evaluate(formula, Object.fromEntries(names.map((name, i) => [name, { value: raw[i] ?? 0 }])));
      if (result.ok) expect(Number.isFinite(result.value)).toBe(true);
      else expect(result.error.message.length).toBeGreaterThan(10);
    }),
    { numRuns: 2000 },
  );
});

describe('monotone where physiology says so', () => {
  const rises: readonly (readonly [string, string, 1 | -1])[] = [
    ['walk-vo2-acsm', 'speed', 1],
    ['walk-vo2-acsm', 'grade', 1],
    ['run-vo2-acsm', 'speed', 1],
    ['run-vo2-acsm', 'grade', 1],
    ['vo2max-bruce-foster-1984-men', 'time', 1],
    ['vo2max-bruce-pollock-1982-women', 'time', 1],
    ['vo2max-bruce-1973', 'time', 1],
    ['hr-reserve-target', 'fraction', 1],
    ['hr-reserve-target', 'maximalHeartRate', 1],
    ['vo2max-friend-2017', 'age', -1],
    ['vo2max-friend-2018', 'age', -1],
    ['percent-of-predicted', 'measured', 1],
    ['leg-vo2-acsm', 'load', 1],
    ['leg-vo2-acsm', 'mass', -1],
    ['arm-vo2-acsm', 'load', 1],
    ['step-vo2-acsm', 'cycles', 1],
    ['step-vo2-acsm', 'height', 1],
    ['vo2max-astrand-ryhming', 'load', 1],
    ['vo2max-astrand-ryhming', 'heartRate', -1],
    ['vo2max-astrand-ryhming', 'age', -1],
    ['vo2max-queens-college-1972', 'heartRate', -1],
    ['vo2max-kline-1987-mile-walk', 'time', -1],
    ['vo2max-cooper-1968-12-minute', 'distance', 1],
    ['vo2-haldane', 'feo2', -1],
    ['vo2-haldane', 've', 1],
    ['vco2-haldane', 'feco2', 1],
    ['vapour-pressure', 'temperature', 1],
    ['stpd-factor', 'pressure', 1],
    ['stpd-factor', 'temperature', -1],
    ['caloric-equivalent', 'rq', 1],
    ['carbohydrate-share', 'rq', 1],
    ['fat-share', 'rq', -1],
    ['efficiency-gross', 'energy', -1],
    ['vo2-at-onset', 'time', 1],
    ['vo2-reserve-target', 'fraction', 1],
    ...formulas.filter((f) => f.family === 'Maximal heart rate' && f.id !== 'hr-max-zhu-2010').map((f) => [f.id, 'age', -1] as const),
  ];
  test.each(rises)('%s in %s (%i)', (id, name, direction) => {
    const formula = formulaById(id);
    if (!formula) throw new Error(id);
    const spec = formula.inputs[name];
    if (!spec) throw new Error(name);
    const { min, max } = span(formula, name, spec);
    fc.assert(
      fc.property(arbitraryInputs(formula), fc.double({ min: 0, max: 0.99, noNaN: true }), (values, at) => {
        const low = { ...values, [name]: min + at * (max - min) };
        const high = { ...values, [name]: min + (at + 0.01) * (max - min) };
        if (!acceptable(formula, low) || !acceptable(formula, high)) return;
        expect((formula.compute(high) - formula.compute(low)) * direction).toBeGreaterThanOrEqual(0);
      }),
      RUNS,
    );
  });
});
