/**
 * Was the effort maximal? Published sets of criteria as data, and their evaluation on measured values.
 * The answer is a word for the report ("VO₂max" or "VO₂peak"), never a judgement of the person.
 */
import { formatNumber, roundTo } from '../units/units.ts';
import { evaluate } from './evaluate.ts';
import type { EffortCriterion, EffortSet } from './effort-sets.ts';
import type { Formula } from './formula.ts';

export { effortSetById, effortSets } from './effort-sets.ts';
export type { EffortCriterion, EffortSet } from './effort-sets.ts';

export interface EffortMeasured {
  readonly peakRer?: number | undefined;
  /** /min */
  readonly peakHeartRate?: number | undefined;
  readonly ageYears?: number | undefined;
  /** 6 to 20 */
  readonly peakRpe?: number | undefined;
  /** mmol/L */
  readonly peakLactate?: number | undefined;
  /** rise of oxygen uptake over the last increase in work, mL/min; negative when it fell */
  readonly lastRiseMlPerMin?: number | undefined;
  /** kg, to put the rise per kilogram */
  readonly massKg?: number | undefined;
}

export interface CriterionResult {
  readonly criterion: EffortCriterion;
  readonly role: 'sufficient' | 'supporting';
  /** "RER", "Peak heart rate", "Plateau of oxygen uptake" … */
  readonly label: string;
  /** "at least 1.10", "within 10 /min of 198 (220 − age)" */
  readonly cut: string;
  /** the measured value in words, or undefined */
  readonly value: string | undefined;
  readonly outcome: 'met' | 'not met' | 'could not be judged';
  /** why it could not be judged */
  readonly reason?: string;
}

export interface EffortResult {
  readonly set: EffortSet;
  readonly criteria: readonly CriterionResult[];
  readonly conclusion: {
    /** "max" only when the set was met */
    readonly term: 'VO₂max' | 'VO₂peak';
    readonly met: boolean;
    /** true when criteria that could not be judged might have turned the answer */
    readonly open: boolean;
    readonly sentence: string;
  };
}

/**
 * Judges each criterion of a set on what was measured. A criterion without its value could not be judged and counts as not met;
 * the conclusion then says that it is open. "VO₂max" is printed only when the set was met, otherwise "VO₂peak".
 */
export function judgeEffort(set: EffortSet, measured: EffortMeasured): EffortResult {
  const sufficient = set.sufficient.map((criterion) => judge(criterion, 'sufficient', measured));
  const supporting = set.supporting.map((criterion) => judge(criterion, 'supporting', measured));
  const met = (results: readonly CriterionResult[]) => results.filter((result) => result.outcome === 'met').length;
  const unknown = (results: readonly CriterionResult[]) => results.filter((result) => result.outcome === 'could not be judged').length;

  const enough = set.supporting.length > 0 && met(supporting) >= set.needed;
  const isMet = met(sufficient) > 0 || enough;
  const couldTurn =
    !isMet && (unknown(sufficient) > 0 || (set.supporting.length > 0 && met(supporting) + unknown(supporting) >= set.needed));
  const term = isMet ? 'VO₂max' : 'VO₂peak';
  const reached = isMet
    ? `The set was met (${set.rule}), so the value is called ${term}.`
    : `The set was not met (${set.rule}), so the value is called ${term}.`;
  const open = couldTurn ? ' Criteria that could not be judged might have changed this.' : '';
  const age =
    set.ages && measured.ageYears !== undefined && (measured.ageYears < set.ages.from || measured.ageYears >= set.ages.to + 1)
      ? ` These cuts are for ${set.ages.from} to ${set.ages.to} years.`
      : '';
  return {
    set,
    criteria: [...sufficient, ...supporting],
    conclusion: { term, met: isMet, open: couldTurn, sentence: reached + open + age },
  };
}

function judge(criterion: EffortCriterion, role: CriterionResult['role'], measured: EffortMeasured): CriterionResult {
  switch (criterion.kind) {
    case 'plateau':
      return judgePlateau(criterion, role, measured);
    case 'rer':
      return compare(criterion, role, 'RER', measured.peakRer, criterion.atLeast, 2, '', 'no gas exchange was recorded');
    case 'rpe':
      return compare(criterion, role, 'RPE', measured.peakRpe, criterion.atLeast, 0, '', 'no RPE was recorded');
    case 'lactate':
      return compare(criterion, role, 'Blood lactate', measured.peakLactate, criterion.atLeast, 1, ' mmol/L', 'no lactate was measured');
    case 'heart-rate-within':
    case 'heart-rate-percent':
      return judgeHeartRate(criterion, role, measured);
  }
}

function compare(
  criterion: EffortCriterion,
  role: CriterionResult['role'],
  label: string,
  value: number | undefined,
  atLeast: number,
  decimals: number,
  unit: string,
  missing: string,
): CriterionResult {
  const cut = `at least ${formatNumber(atLeast, decimals)}${unit}`;
  if (value === undefined || !Number.isFinite(value)) {
    return { criterion, role, label, cut, value: undefined, outcome: 'could not be judged', reason: missing };
  }
  // A shown value is compared as shown, so that the page never says "1.10, at least 1.10, not met".
  const shown = roundTo(value, decimals);
  return { criterion, role, label, cut, value: `${formatNumber(value, decimals)}${unit}`, outcome: shown >= atLeast ? 'met' : 'not met' };
}

function judgePlateau(
  criterion: Extract<EffortCriterion, { kind: 'plateau' }>,
  role: CriterionResult['role'],
  measured: EffortMeasured,
): CriterionResult {
  const label = 'Plateau of oxygen uptake';
  const perKg = criterion.unit === 'mL/kg/min';
  const cut = `rise below ${formatNumber(criterion.below, perKg ? 1 : 0)} ${criterion.unit}`;
  const { lastRiseMlPerMin: rise, massKg } = measured;
  if (rise === undefined || !Number.isFinite(rise)) {
    return {
      criterion,
      role,
      label,
      cut,
      value: undefined,
      outcome: 'could not be judged',
      reason: 'oxygen uptake is not known for two stages',
    };
  }
  if (perKg && !(massKg !== undefined && massKg > 0)) {
    return { criterion, role, label, cut, value: undefined, outcome: 'could not be judged', reason: 'the body mass is not known' };
  }
  const value = perKg && massKg !== undefined ? rise / massKg : rise;
  const text = `${formatNumber(value, perKg ? 1 : 0)} ${criterion.unit}`;
  return { criterion, role, label, cut, value: text, outcome: roundTo(value, perKg ? 1 : 0) < criterion.below ? 'met' : 'not met' };
}

function judgeHeartRate(
  criterion: Extract<EffortCriterion, { kind: 'heart-rate-within' | 'heart-rate-percent' }>,
  role: CriterionResult['role'],
  measured: EffortMeasured,
): CriterionResult {
  const label = 'Peak heart rate';
  const { peakHeartRate, ageYears } = measured;
  const of = 'equation' in criterion.formula ? criterion.formula.equation.replace('HRmax = ', '') : criterion.formula.title;
  const predicted = ageYears === undefined ? undefined : predictHeartRate(criterion.formula, ageYears);
  const target = predicted === undefined ? of : `${formatNumber(predicted, 0)} /min (${of})`;
  const cut =
    criterion.kind === 'heart-rate-within'
      ? `no more than ${criterion.within} below ${target}`
      : `at least ${formatNumber(criterion.atLeast, 0)} % of ${target}`;
  const fail = (reason: string): CriterionResult => ({
    criterion,
    role,
    label,
    cut,
    value: undefined,
    outcome: 'could not be judged',
    reason,
  });
  if (peakHeartRate === undefined || !Number.isFinite(peakHeartRate)) return fail('no heart rate was recorded');
  if (predicted === undefined) return fail('the age is not known');
  const met =
    criterion.kind === 'heart-rate-within'
      ? peakHeartRate >= roundTo(predicted, 0) - criterion.within
      : (100 * peakHeartRate) / predicted >= criterion.atLeast;
  return { criterion, role, label, cut, value: `${formatNumber(peakHeartRate, 0)} /min`, outcome: met ? 'met' : 'not met' };
}

function predictHeartRate(formula: Formula | { readonly intercept: number; readonly slope: number }, ageYears: number): number | undefined {
  if ('slope' in formula) return formula.intercept - formula.slope * ageYears;
  const result = evaluate(formula, { age: { value: ageYears } });
  return result.ok ? result.value : undefined;
}
