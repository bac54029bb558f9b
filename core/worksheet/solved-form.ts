/**
 * A formula turned round for one of its inputs, as a formula of its own: the target uptake goes in, the load comes out. Marking
 * then treats such a question like any other: slips, carried errors and worked lines.
 */
import { evaluate, type Evaluation, type GivenValue } from '../formulas/evaluate.ts';
import type { Formula } from '../formulas/formula.ts';
import { formatQuantity } from '../units/units.ts';

/** Works the formula out for `solveFor`; `given` holds the other inputs and `output`. The form of the answer is the turned one. */
export function turned(formula: Formula, solveFor: string, given: Readonly<Record<string, GivenValue>>): Evaluation {
  const done = evaluate(formula, given, { solveFor });
  const form = done.ok ? turnedRound(done.form, solveFor) : undefined;
  if (!done.ok || form === undefined) return done;
  const { [solveFor]: _, ...used } = done.used;
  return { ...done, form, used };
}

/** The turned formula, whose inputs are the others and the old result; undefined where it cannot be turned. */
export function turnedRound(formula: Formula, solveFor: string): Formula | undefined {
  const spec = formula.inputs[solveFor];
  const solve = formula.solve?.[solveFor];
  if (!spec || !solve) return undefined;
  const { [solveFor]: _, ...others } = formula.inputs;
  const { label, symbol, unit } = formula.output;
  return {
    id: `${formula.id}-for-${solveFor}`,
    title: `${formula.title}, for ${spec.label.toLowerCase()}`,
    family: formula.family,
    inputs: { ...others, output: { label, symbol, unit } },
    output: { label: spec.label, symbol: spec.symbol, unit: spec.unit, decimals: 1 },
    validity: [],
    source: formula.source,
    equation: `${formula.equation}, turned round for ${spec.symbol}`,
    compute: (values) => solve(values),
    working: (values) => {
      const solved = solve(values);
      return `${formula.working({ ...values, [solveFor]: solved })}, so ${spec.symbol} = ${formatQuantity(solved, spec.unit, 1)}`;
    },
  };
}
