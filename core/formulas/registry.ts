/** Every formula of the program, in one list. To add one: write it in its family's file and name that family here. */
import { walkingAndRunning } from './cost-treadmill.ts';
import type { Formula } from './formula.ts';
import { heartRateFormulas } from './heart-rate.ts';
import { heartRateMax } from './heart-rate-max.ts';
import { metAndEnergyFormulas } from './met-energy.ts';
import { againstPredicted } from './predicted.ts';
import { pressureFormulas } from './pressure.ts';
import { nonExerciseFormulas } from './vo2max-nonexercise.ts';
import { treadmillTimeFormulas } from './vo2max-treadmill-time.ts';

export const formulas: readonly Formula[] = [
  ...walkingAndRunning,
  ...metAndEnergyFormulas,
  ...heartRateMax,
  ...heartRateFormulas,
  ...pressureFormulas,
  ...treadmillTimeFormulas,
  ...nonExerciseFormulas,
  ...againstPredicted,
];

const byId = new Map(formulas.map((formula) => [formula.id, formula]));

/** The formula with this id, or undefined. Ids are kebab-case and never reused. */
export function formulaById(id: string): Formula | undefined {
  return byId.get(id);
}

/** The families in the order of the list. */
export function families(): readonly string[] {
  return [...new Set(formulas.map((formula) => formula.family))];
}
