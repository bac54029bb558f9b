import type { MisprintCase, ReferenceCase } from '../check.ts';
import { cycleStepCases, cycleStepMisprints } from './cost-cycle-step.ts';
import { costTreadmillCases, costTreadmillMisprints } from './cost-treadmill.ts';
import { gasEnergyCases, gasEnergyMisprints } from './gas-energy.ts';
import { heartRateCases, heartRateMisprints } from './heart-rate.ts';
import { metEnergyCases } from './met-energy.ts';
import { pressureCases } from './pressure.ts';
import { recoveryThresholdCases } from './recovery-thresholds.ts';
import { referenceValueCases, referenceValueMisprints } from './reference-values.ts';
import { submaximalFieldCases, submaximalFieldMisprints } from './submaximal-field.ts';
import { treadmillTimeCases, treadmillTimeMisprints } from './treadmill-time.ts';

export const allCases: readonly ReferenceCase[] = [
  ...costTreadmillCases,
  ...metEnergyCases,
  ...heartRateCases,
  ...pressureCases,
  ...treadmillTimeCases,
  ...referenceValueCases,
  ...cycleStepCases,
  ...submaximalFieldCases,
  ...gasEnergyCases,
  ...recoveryThresholdCases,
];

export const allMisprints: readonly MisprintCase[] = [
  ...costTreadmillMisprints,
  ...heartRateMisprints,
  ...treadmillTimeMisprints,
  ...referenceValueMisprints,
  ...cycleStepMisprints,
  ...submaximalFieldMisprints,
  ...gasEnergyMisprints,
];
