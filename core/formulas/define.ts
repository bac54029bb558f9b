import { dimensionOf, formatNumber, formatQuantity } from '../units/units.ts';
import type { Formula, FormulaDefinition, InputSpec } from './formula.ts';
import { solveNumerically } from './solve-numerically.ts';

/**
 * Builds a formula whose functions see their inputs by name and type: a choice of 'male' and 'female' arrives as exactly those
 * words, every other input as a number. The working line is the substituted right-hand side, then "= value unit".
 */
export function defineFormula<const I extends Readonly<Record<string, InputSpec>>>(definition: FormulaDefinition<I>): Formula {
  const { substituted, ...rest } = definition;
  const built: Record<string, unknown> = {
    ...rest,
    // L/min is offered for an uptake per kilogram only where the body mass is known
    output: {
      ...definition.output,
      alsoUnits: (definition.output.alsoUnits ?? []).filter(
        (unit) => dimensionOf(unit) === dimensionOf(definition.output.unit) || 'mass' in definition.inputs,
      ),
    },
    working(v: Parameters<typeof definition.compute>[0]) {
      const result = definition.compute(v);
      return `${substituted(v)} = ${formatQuantity(result, definition.output.unit, definition.output.decimals)}`;
    },
  };
  const formula = built as unknown as Formula;
  // Inputs without a written inverse are solved for numerically; choices and whole counts are not solved for.
  const solvers: Record<string, NonNullable<Formula['solve']>[string]> = {};
  const numerically: string[] = [];
  for (const [name, spec] of Object.entries<InputSpec>(definition.inputs)) {
    const written = formula.solve?.[name];
    if (written) solvers[name] = written;
    else if (!spec.choices && !spec.whole) {
      solvers[name] = (v) => solveNumerically(formula, name, v);
      numerically.push(name);
    }
  }
  built['solve'] = solvers;
  built['solvedNumerically'] = numerically;
  // `evaluate` checks every value against `inputs` before a function sees it, which is what this narrower view relies on.
  return formula;
}

/** A number for a working line: at most `decimals` places, without trailing zeros, with a true minus sign. */
export function n(value: number, decimals = 4): string {
  const text = formatNumber(value, decimals);
  return text.includes('.') ? text.replace(/\.?0+$/, '') : text;
}

/** The choice of the sex that an equation uses. The author's own coding stays out of sight. */
export const sexChoices = [
  { value: 'male', label: 'male' },
  { value: 'female', label: 'female' },
] as const;
