/** Every formula of the registry against values from outside, and known misprints refused. */
import { describe, expect, test } from 'vitest';
import { formulas } from '../../core/formulas/registry.ts';
import { allCases, allMisprints } from './cases/all.ts';
import { expectWithin, nameOf, valueOf } from './check.ts';

describe('published and recomputed values', () => {
  test.each(allCases.map((c) => [nameOf(c), c.source, c] as const))('%s [%s]', (_name, _source, c) => {
    expectWithin(valueOf(c.formula, c.given, c), c.expected, c.within, c.because);
  });
});

describe('misprints that must not come out', () => {
  test.each(allMisprints.map((c) => [nameOf(c), c.source, c] as const))('%s [%s]', (_name, _source, c) => {
    const value = valueOf(c.formula, c.given, c);
    expect(Math.abs(value - c.printed), `${value} reproduces the misprint ${c.printed}`).toBeGreaterThan(c.apart);
  });
});

test('every formula has a reference case', () => {
  const covered = new Set(allCases.map((c) => c.formula));
  expect(formulas.map((f) => f.id).filter((id) => !covered.has(id))).toEqual([]);
});

test('every reference case names a formula, a source and the reason of its tolerance', () => {
  const ids = new Set(formulas.map((f) => f.id));
  for (const c of allCases) {
    expect(ids.has(c.formula), c.formula).toBe(true);
    expect(c.source.length, nameOf(c)).toBeGreaterThan(5);
    expect(c.because.length, nameOf(c)).toBeGreaterThan(4);
  }
});
