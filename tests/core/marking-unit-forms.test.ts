/**
 * An equation published with a constant for each of two units of load: 10.8 per watt and 1.8 per kg·m/min (ACSM leg cycling).
 * By 6.12 kg·m/min a watt the two differ a little, and either is right. The cycle family comes with its own lab sheets; here
 * the formula is put into the registry for the test.
 */
import { describe, expect, it, vi } from 'vitest';
import type * as Registry from '../../core/formulas/registry.ts';
import { markWorksheet } from '../../core/worksheet/marking.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { bruceText } from './session-builder.ts';
import { answered, wholeSession } from './worksheet-builder.ts';

vi.mock('../../core/formulas/registry.ts', async (original) => {
  const real = await original<typeof Registry>();
  const { defineFormula } = await import('../../core/formulas/define.ts');
  const cycling = (unit: 'W' | 'kgf.m/min', perLoad: number) =>
    defineFormula({
      id: 'cycling-under-test',
      title: 'Leg cycling',
      family: 'Oxygen cost',
      inputs: { load: { label: 'Load', symbol: 'P', unit }, mass: { label: 'Body mass', symbol: 'M', unit: 'kg' } },
      output: { label: 'Oxygen uptake', symbol: 'VO₂', unit: 'mL/kg/min', decimals: 1 },
      validity: [],
      source: { citation: 'ACSM leg cycling equation', provenance: 'P' },
      equation: `VO₂ = ${perLoad}·P/M + 7`,
      compute: (v) => (perLoad * v.load) / v.mass + 7,
      substituted: (v) => `${perLoad} × ${v.load} / ${v.mass} + 7`,
    });
  const watts = { ...cycling('W', 10.8), unitForm: { input: 'load', unit: 'kgf.m/min' as const, formula: cycling('kgf.m/min', 1.8) } };
  return { ...real, formulaById: (id: string) => (id === watts.id ? watts : real.formulaById(id)) };
});

describe('per-unit constants', () => {
  const route = 'answer:\n      formula: cycling-under-test\n      with: { load: 200 W, mass: participant.mass }';
  const text = bruceText.replace(/unit: \/min\n {4}decimals: 0\n {4}answer:\n {6}formula: hr-max-tanaka-2001\n {6}with: \{ age: participant.age \}/, `unit: mL/kg/min\n    decimals: 1\n    ${route}`).replace('tolerance: { full: 1, part: 3 }', 'tolerance: { full: 0.1 }');
  const session = wholeSession({ text });
  const marks = (typed: string): number | undefined => markWorksheet(markingInput(session.state, answered(session, { 'hr-max': [typed, 'mL/kg/min'] }).state)).questions[0]?.marks;

  it('10.8 × 200 / 61.4 + 7 = 42.2', () => expect(marks('42.2')).toBe(3));
  it('1.8 × 1224 / 61.4 + 7 = 42.9', () => expect(marks('42.9')).toBe(3));
  it('and nothing between them', () => expect(marks('42.5')).toBe(0));
});
