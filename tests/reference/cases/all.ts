import type { MisprintCase, ReferenceCase } from '../check.ts';
import { costTreadmillCases, costTreadmillMisprints } from './cost-treadmill.ts';
import { heartRateCases, heartRateMisprints } from './heart-rate.ts';
import { metEnergyCases } from './met-energy.ts';
import { pressureCases } from './pressure.ts';
import { referenceValueCases, referenceValueMisprints } from './reference-values.ts';
import { treadmillTimeCases, treadmillTimeMisprints } from './treadmill-time.ts';

export const allCases: readonly ReferenceCase[] = [
  ...costTreadmillCases,
  ...metEnergyCases,
  ...heartRateCases,
  ...pressureCases,
  ...treadmillTimeCases,
  ...referenceValueCases,
];

export const allMisprints: readonly MisprintCase[] = [
  ...costTreadmillMisprints,
  ...heartRateMisprints,
  ...treadmillTimeMisprints,
  ...referenceValueMisprints,
];
