/**
 * Reference cases: a formula, what is put in, and a value from outside this program: a published answer, or one recomputed
 * independently (double precision, another language) in the project's notes. Every tolerance carries its reason.
 */
import { expect } from 'vitest';
import { evaluate, type GivenValue } from '../../core/formulas/evaluate.ts';
import { formulaById } from '../../core/formulas/registry.ts';
import type { UnitCode } from '../../core/units/units.ts';

/** A number in the formula's own unit, or text as a person would type it. */
type Given = number | string;

export interface ReferenceCase {
  readonly formula: string;
  readonly given: Readonly<Record<string, Given>>;
  readonly solveFor?: string;
  readonly unit?: UnitCode;
  readonly expected: number;
  readonly within: number;
  /** why the tolerance is what it is */
  readonly because: string;
  readonly source: string;
}

/** A printed value that is wrong, and must not come out. */
export interface MisprintCase {
  readonly formula: string;
  readonly given: Readonly<Record<string, Given>>;
  readonly solveFor?: string;
  readonly unit?: UnitCode;
  readonly printed: number;
  /** the right answer differs from the printed one by at least this much */
  readonly apart: number;
  readonly source: string;
}

export const PRINTED_DIGITS = 'half a unit of the last digit given';
export const MPH_ROUNDING = 'the printed key rounds 1 mph to 26.8 m/min and its intermediate steps; the program uses 26.8224';

/** Half a unit of the last decimal of a number as written, with room for the binary form. */
export const halfUnit = (decimals: number) => 0.5 * 10 ** -decimals * (1 + 1e-9);

const asGiven = (given: Readonly<Record<string, Given>>): Record<string, GivenValue> =>
  Object.fromEntries(Object.entries(given).map(([name, value]) => [name, { value }]));

/** Runs a formula and gives its value; a refusal fails the test with its message. */
export function valueOf(
  id: string,
  given: Readonly<Record<string, Given>>,
  options: { readonly solveFor?: string | undefined; readonly unit?: UnitCode | undefined } = {},
): number {
  const formula = formulaById(id);
  if (!formula) throw new Error(`no formula "${id}"`);
  const result = evaluate(formula, asGiven(given), {
    ...(options.solveFor ? { solveFor: options.solveFor } : {}),
    ...(options.unit ? { unit: options.unit } : {}),
  });
  if (!result.ok) throw new Error(`${id}: ${result.error.message}`);
  return result.value;
}

export function expectWithin(actual: number, expected: number, tolerance: number, because: string): void {
  expect(Math.abs(actual - expected) <= tolerance, `${actual} is not within ${tolerance} of ${expected} (${because})`).toBe(true);
}

export const nameOf = (c: ReferenceCase | MisprintCase): string =>
  `${c.formula} ${Object.entries(c.given)
    .map(([key, value]) => `${key}=${value}`)
    .join(' ')}${c.solveFor ? ` → ${c.solveFor}` : ''}`;
