/** Laws that hold for every formula of the registry, by random values over its whole valid range. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { evaluate, type GivenValue } from '../../core/formulas/evaluate.ts';
import type { Formula, InputSpec, Values } from '../../core/formulas/formula.ts';
import { formulas } from '../../core/formulas/registry.ts';
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
        let unsolved = 0;
        fc.assert(
          fc.property(arbitraryInputs(formula), (values) => {
            const output = formula.compute(values);
            if (!Number.isFinite(output)) return;
            const { [name]: wanted, ...others } = values;
            const solved = formula.solve?.[name]?.({ ...others, output }) ?? Number.NaN;
            // At a value where this input has no effect (a speed of 0 for the grade) there is nothing to solve for.
            const nudged = formula.compute({ ...values, [name]: Number(wanted) * (1 + 1e-6) + 1e-9 });
            if (Math.abs(nudged - output) < 1e-12 * Math.max(1, Math.abs(output))) return;
            // A numerical solver may find no single answer where values stand at the edge of what the formula takes.
            if (Number.isNaN(solved) && formula.solvedNumerically?.includes(name)) {
              unsolved++;
              return;
            }
            tried++;
            const back = formula.compute({ ...others, [name]: solved });
            const scale = Math.max(1, Math.abs(output), ...Object.values(values).map((v) => (typeof v === 'number' ? Math.abs(v) : 0)));
            // 1e-9 of the largest number in the sum: double precision with room for a few steps
            expect(Math.abs(back - output), JSON.stringify(values)).toBeLessThanOrEqual(1e-9 * scale);
          }),
          RUNS,
        );
        expect(tried).toBeGreaterThan(10);
        // the edges are few: a solver that gives up more often than once in ten does not cover its range
        expect(unsolved).toBeLessThanOrEqual(0.1 * (tried + unsolved));
      });
    }
  }
});

describe('a change of unit never changes a result', () => {
  const near = (a: number, b: number, scale: number) => Math.abs(a - b) <= 1e-8 * Math.max(1, Math.abs(a), Math.abs(scale));
  for (const formula of formulas) {
    // a second form has units of its own; it is entered by the unit that chooses it
    for (const form of formula.unitForm ? [formula, formula.unitForm.formula] : [formula]) {
      const unitsFor = (name: string, spec: InputSpec) => {
        const others = units.filter((u) => u.dimension === dimensionOf(spec.unit));
        // where the unit chooses the constants, another unit is another formula: tested below
        return name === formula.unitForm?.input
          ? others.filter((u) => u.code === spec.unit || (form === formula && u.code !== formula.unitForm?.unit))
          : others;
      };
      test(form.id, () => {
        fc.assert(
          fc.property(arbitraryInputs(form), fc.nat(), (values, pick) => {
            const plainly = Object.fromEntries(
              Object.entries(values).map(([name, value]) => [
                name,
                typeof value === 'number' ? { value, unit: form.inputs[name]?.unit } : { value },
              ]),
            ) as Record<string, GivenValue>;
            const plain = evaluate(formula, plainly);
            if (!plain.ok) return;
            expect(plain.form.id).toBe(form.id);
            for (const [name, spec] of Object.entries(form.inputs)) {
              const value = values[name];
              if (spec.choices || typeof value !== 'number') continue;
              const others = unitsFor(name, spec);
              const unit = others[pick % others.length]?.code;
              if (!unit) continue;
              const again = evaluate(formula, { ...plainly, [name]: { value: convert(value, spec.unit, unit), unit } });
              // the conversion may step over a hard bound by a last place
              if (!again.ok) continue;
              expect(near(again.value, plain.value, value), `${name} in ${unit}: ${JSON.stringify(values)}`).toBe(true);
            }
            // the answer in another unit is the same amount
            const others = units.filter((u) => u.dimension === dimensionOf(form.output.unit));
            const unit = others[pick % others.length]?.code;
            if (unit === undefined) return;
            const inUnit = evaluate(formula, plainly, { unit });
            expect(inUnit.ok && near(convert(inUnit.value, unit, form.output.unit), plain.value, 1), `answer in ${unit}`).toBe(true);
          }),
          RUNS,
        );
      });
    }
  }
});

test('where constants are published per unit, the unit entered chooses the form, and nothing is converted', () => {
  const twofold = formulas.filter((formula) => formula.unitForm);
  expect(twofold.length).toBeGreaterThan(3);
  for (const formula of twofold) {
    const other = formula.unitForm as NonNullable<Formula['unitForm']>;
    fc.assert(
      fc.property(arbitraryInputs(other.formula), (values) => {
        const { [other.input]: amount, ...rest } = values;
        const entered = evaluate(formula, { ...given(rest), [other.input]: { value: Number(amount), unit: other.unit } });
        // within the hard bounds of the second form, which its own compute knows nothing of
        if (entered.ok) expect(entered.value, JSON.stringify(values)).toBe(other.formula.compute(values));
      }),
      RUNS,
    );
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
  /** By family and input, so that a new formula of the family is held to it too. */
  const byFamily: readonly (readonly [family: string, input: string, direction: 1 | -1])[] = [
    ['Oxygen cost', 'speed', 1],
    ['Oxygen cost', 'grade', 1],
    ['Oxygen cost', 'load', 1],
    ['Oxygen cost', 'cycles', 1],
    ['Oxygen cost', 'height', 1],
    ['Maximal heart rate', 'age', -1],
    ['Maximal oxygen uptake from treadmill time', 'time', 1],
    ['Maximal oxygen uptake from treadmill time', 'age', -1],
    ['Maximal oxygen uptake from submaximal exercise', 'load', 1],
    ['Maximal oxygen uptake from submaximal exercise', 'age', -1],
    ['Maximal oxygen uptake from field and step tests', 'time', -1],
    ['Maximal oxygen uptake from field and step tests', 'heartRate', -1],
    ['Maximal oxygen uptake from field and step tests', 'distance', 1],
    ['Maximal oxygen uptake without exercise', 'age', -1],
    ['Maximal oxygen uptake without exercise', 'bmi', -1],
    ['Maximal oxygen uptake without exercise', 'fat', -1],
    ['Maximal oxygen uptake without exercise', 'waist', -1],
    ['Maximal oxygen uptake without exercise', 'restingHeartRate', -1],
    ['Maximal oxygen uptake without exercise', 'activity', 1],
    ['Reference values of maximal oxygen uptake', 'age', -1],
    ['Energy from gas exchange', 'vo2', 1],
    ['Energy from gas exchange', 'vco2', 1],
    ['Efficiency', 'energy', -1],
    ['Prescription', 'fraction', 1],
    ['Prescription', 'vo2max', 1],
  ];
  /** Where the published equation itself does not do so. */
  const exceptions: readonly string[] = [
    // −0.263·mph + 0.00504·HR: at 2 mph it rises with age above 104 /min
    'vo2max-ebbeling-1991 age',
    // a ratio, not an energy: it falls as the uptake rises
    'non-protein-rq vo2',
  ];
  const rises: readonly (readonly [string, string, 1 | -1])[] = [
    ['leg-vo2-acsm', 'mass', -1],
    ['arm-vo2-acsm', 'mass', -1],
    ['vo2max-multistage', 'maximalHeartRate', 1],
    ['vo2max-astrand-ryhming', 'heartRate', -1],
    ['vo2max-swain-2004', 'heartRate', -1],
    ['hr-reserve-target', 'fraction', 1],
    ['hr-reserve-target', 'maximalHeartRate', 1],
    ['percent-of-predicted', 'measured', 1],
    ['vo2max-percentile', 'vo2', 1],
    ['vo2-haldane', 'feo2', -1],
    ['vo2-haldane', 've', 1],
    ['vco2-haldane', 'feco2', 1],
    ['vapour-pressure', 'temperature', 1],
    ['stpd-factor', 'pressure', 1],
    ['stpd-factor', 'temperature', -1],
    ['caloric-equivalent', 'rq', 1],
    ['carbohydrate-share', 'rq', 1],
    ['fat-share', 'rq', -1],
    ['vo2-at-onset', 'time', 1],
    ...forms.flatMap((f) =>
      byFamily.flatMap(([family, input, direction]) =>
        f.family === family && input in f.inputs && !f.inputs[input]?.choices && !exceptions.includes(`${f.id} ${input}`)
          ? [[f.id, input, direction] as const]
          : [],
      ),
    ),
  ];
  test.each(rises)('%s in %s (%i)', (id, name, direction) => {
    const formula = forms.find((f) => f.id === id);
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
