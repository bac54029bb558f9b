/** Predicted values beside each other, each with its published error, and the measured value against them. */
import { evaluate, type GivenValue } from '../formulas/evaluate.ts';
import { formulaById } from '../formulas/registry.ts';
import type { Formula } from '../formulas/formula.ts';
import { convertOxygenUptake, isOxygenUptakeUnit, type UnitCode } from '../units/units.ts';
import type { SessionState } from '../session/state.ts';

export type EquationResult =
  | {
      readonly known: true;
      readonly formula: string;
      readonly title: string;
      readonly value: number;
      readonly unit: UnitCode;
      /** Measured as a percentage of this, and their difference; undefined without a measured value. */
      readonly percent?: number;
      readonly difference?: number;
      readonly error?: string;
      readonly source: string;
      readonly working: string;
      readonly warnings: readonly string[];
    }
  | { readonly known: false; readonly formula: string; readonly title: string; readonly reason: string };

/** What a session can hand to a formula, by the formula's own input names. */
function givenFor(state: SessionState, formula: Formula, exerciseMinutes: number | undefined): { readonly ok: true; readonly given: Record<string, GivenValue> } | { readonly ok: false; readonly reason: string } {
  const known: Readonly<Record<string, GivenValue | undefined>> = {
    age: state.age === undefined ? undefined : { value: state.age, unit: 'a' },
    sex: state.sex === undefined ? undefined : { value: state.sex },
    mass: state.mass === undefined ? undefined : { value: state.mass, unit: 'kg' },
    height: state.height === undefined ? undefined : { value: state.height, unit: 'cm' },
    bmi: state.mass === undefined || state.height === undefined ? undefined : { value: state.mass / (state.height / 100) ** 2 },
    mode: state.sheet.mode === 'treadmill' || state.sheet.mode === 'cycle' ? { value: state.sheet.mode } : undefined,
    time: exerciseMinutes === undefined ? undefined : { value: exerciseMinutes, unit: 'min' },
  };
  const words: Readonly<Record<string, string>> = { age: 'the age was not given', sex: 'the sex used in the equations was not given', mass: 'the body mass was not given', height: 'the height was not given', bmi: 'mass or height was not given', time: 'there is no treadmill time' };
  const given: Record<string, GivenValue> = {};
  for (const [name, spec] of Object.entries(formula.inputs)) {
    const value = known[name];
    if (value) given[name] = value;
    else if (spec.default === undefined) return { ok: false, reason: words[name] ?? `${spec.label.toLowerCase()} is not on the sheet` };
  }
  return { ok: true, given };
}

/** Predicted uptakes stand beside each other per kilogram, whatever their authors published. */
function perKilogram(value: number, unit: UnitCode, mass: number | undefined): { readonly value: number; readonly unit: UnitCode } {
  return isOxygenUptakeUnit(unit) && unit !== 'mL/kg/min' && mass !== undefined ? { value: convertOxygenUptake(value, unit, 'mL/kg/min', mass), unit: 'mL/kg/min' } : { value, unit };
}

/** Works one registered formula out from the session, and sets the measured value against it. */
export function equationResult(state: SessionState, id: string, options: { readonly minutes?: number; readonly measured?: number; readonly refuse?: string } = {}): EquationResult {
  const formula = formulaById(id);
  if (!formula) return { known: false, formula: id, title: id, reason: 'this program has no such formula' };
  const { title } = formula;
  if (options.refuse !== undefined) return { known: false, formula: id, title, reason: options.refuse };
  const bound = givenFor(state, formula, options.minutes);
  if (!bound.ok) return { known: false, formula: id, title, reason: bound.reason };
  const done = evaluate(formula, bound.given);
  if (!done.ok) return { known: false, formula: id, title, reason: done.error.message };
  const { value, unit } = perKilogram(done.value, done.unit, state.mass);
  // An uptake is measured per kilogram; without the body mass one that is published in L/min stands alone.
  const compared = options.measured !== undefined && (unit === 'mL/kg/min' || !isOxygenUptakeUnit(unit));
  return {
    known: true,
    formula: id,
    title,
    value,
    unit,
    ...(compared && options.measured !== undefined ? { percent: (100 * options.measured) / value, difference: options.measured - value } : {}),
    ...(formula.error === undefined ? {} : { error: formula.error.text }),
    source: formula.source.citation,
    working: done.working,
    warnings: done.warnings,
  };
}
