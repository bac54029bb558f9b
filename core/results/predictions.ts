/** What a lab sheet works out by formulas that it names, from values of the book. */
import { evaluate, type GivenValue } from '../formulas/evaluate.ts';
import { formulaById } from '../formulas/registry.ts';
import { pathOf, readReference } from '../sheet/references.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { convertOxygenUptake, dimensionOf, isOxygenUptakeUnit, type UnitCode } from '../units/units.ts';
import { lookUp, massOf, type Book, type BookEntry } from '../worksheet/book.ts';
import { shifted } from '../worksheet/shift.ts';
import type { EquationResult } from './equations.ts';

type Asked = LabSheet['results']['predictions'][number];

/** Works one asked formula out; a value that the record does not have makes it unknown, with that as the reason. */
export function predictionOf(asked: Asked, book: Book, measured: number | undefined): EquationResult {
  const formula = formulaById(asked.formula);
  const shared = { formula: asked.formula, title: formula?.title ?? asked.formula };
  if (!formula) return { known: false, ...shared, reason: 'this program has no such formula' };
  const given: Record<string, GivenValue> = {};
  for (const [name, reference] of Object.entries(asked.with)) {
    const read = readReference(reference);
    if (read.kind === 'constant' || read.kind === 'answer') {
      given[name] = { value: typeof reference === 'number' ? reference : String(reference).trim() };
      continue;
    }
    const entry = lookUp(book, pathOf(read));
    if (!entry.known) return { known: false, ...shared, reason: entry.reason };
    given[name] = typeof entry.value === 'number' ? inWanted(shifted(entry.value, entry.unit, read.shift), entry.unit, formula.inputs[name]?.unit, massOf(book)) : { value: entry.value };
  }
  const done = evaluate(formula, given);
  if (!done.ok) return { known: false, ...shared, reason: done.error.message };
  const relative = done.unit === 'mL/kg/min' ? done.value : isOxygenUptakeUnit(done.unit) && massOf(book) !== undefined ? convertOxygenUptake(done.value, done.unit, 'mL/kg/min', massOf(book)) : undefined;
  return {
    known: true,
    ...shared,
    value: done.value,
    unit: done.unit,
    ...(measured === undefined || relative === undefined ? {} : { percent: (100 * measured) / relative, difference: measured - relative }),
    ...(formula.error === undefined ? {} : { error: formula.error.text }),
    source: formula.source.citation,
    working: done.working,
    warnings: done.warnings,
  };
}

/** An uptake in L/min where a formula wants mL/kg/min, or the other way round, goes through the body mass. */
function inWanted(value: number, unit: UnitCode, wanted: UnitCode | undefined, mass: number | undefined): GivenValue {
  if (wanted === undefined || dimensionOf(unit) === dimensionOf(wanted) || !isOxygenUptakeUnit(unit) || !isOxygenUptakeUnit(wanted) || mass === undefined) return { value, unit };
  return { value: convertOxygenUptake(value, unit, wanted, mass), unit: wanted };
}

/** The predictions as entries of the book, under `predicted.ID`. */
export function predictionEntries(predictions: readonly EquationResult[]): readonly (readonly [string, BookEntry])[] {
  return predictions.map((one) => [
    `predicted.${one.formula}`,
    one.known ? { known: true, label: one.title, value: one.value, unit: one.unit, working: one.working, source: one.source } : { known: false, label: one.title, reason: one.reason },
  ]);
}
