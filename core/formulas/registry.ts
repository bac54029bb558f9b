/** Every formula of the program, in one list. To add one: write it in its family's file and name that family here. */
import { cyclingCost } from './cost-cycle.ts';
import { rampDesign, steppingAndTreadmillCost } from './cost-step.ts';
import { walkingAndRunning } from './cost-treadmill.ts';
import { efficiencyFormulas } from './efficiency.ts';
import { energyFormulas } from './energy.ts';
import type { Formula } from './formula.ts';
import { gasExchangeFormulas } from './gas-exchange.ts';
import { gasVolumeFormulas } from './gas-volumes.ts';
import { heartRateFormulas } from './heart-rate.ts';
import { heartRateMax } from './heart-rate-max.ts';
import { metAndEnergyFormulas } from './met-energy.ts';
import { vo2maxPercentile } from './norm-percentile.ts';
import { againstPredicted } from './predicted.ts';
import { pressureFormulas } from './pressure.ts';
import { prescriptionFormulas } from './prescription.ts';
import { recoveryFormulas } from './recovery.ts';
import { substrateFormulas } from './substrates.ts';
import { thresholdFormulas } from './thresholds.ts';
import { astrandFormulas } from './vo2max-astrand.ts';
import { bruceTimeFormulas } from './vo2max-bruce-time.ts';
import { fieldFormulas } from './vo2max-field.ts';
import { nonExerciseFormulas } from './vo2max-nonexercise.ts';
import { referenceFormulas } from './vo2max-reference.ts';
import { submaximalFormulas } from './vo2max-submaximal.ts';
import { otherTreadmillTimeFormulas } from './vo2max-treadmill-others.ts';

export const formulas: readonly Formula[] = [
  ...walkingAndRunning,
  ...cyclingCost,
  ...steppingAndTreadmillCost,
  ...rampDesign,
  ...metAndEnergyFormulas,
  ...heartRateMax,
  ...heartRateFormulas,
  ...pressureFormulas,
  ...bruceTimeFormulas,
  ...otherTreadmillTimeFormulas,
  ...submaximalFormulas,
  ...astrandFormulas,
  ...fieldFormulas,
  ...nonExerciseFormulas,
  ...referenceFormulas,
  ...againstPredicted,
  vo2maxPercentile,
  ...prescriptionFormulas,
  ...gasVolumeFormulas,
  ...gasExchangeFormulas,
  ...energyFormulas,
  ...substrateFormulas,
  ...efficiencyFormulas,
  ...thresholdFormulas,
  ...recoveryFormulas,
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
