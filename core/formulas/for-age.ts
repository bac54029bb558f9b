/** A formula that needs the age alone, such as a predicted maximal heart rate. */
import { evaluate } from './evaluate.ts';
import { formulaById } from './registry.ts';

/** The value of the registered formula `id` at an age in years; undefined where it does not exist, needs more, or refuses. */
export function equationValue(id: string, ageYears: number): number | undefined {
  const formula = formulaById(id);
  const done = formula && evaluate(formula, { age: { value: ageYears } });
  return done?.ok ? done.value : undefined;
}
