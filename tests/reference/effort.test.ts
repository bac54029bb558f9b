/** Effort criteria: the published cuts, each judged on measured values, and the decision rules. */
import { describe, expect, test } from 'vitest';
import { effortSetById, effortSets, judgeEffort, type EffortMeasured } from '../../core/formulas/effort.ts';

const set = (id: string) => {
  const found = effortSetById(id);
  if (!found) throw new Error(id);
  return found;
};
const outcomes = (id: string, measured: EffortMeasured) => judgeEffort(set(id), measured).criteria.map((c) => c.outcome);

describe('plateau, or any two of three (Howley 1995 tradition; cuts in use: Robergs 2010)', () => {
  const id = 'plateau-or-two-of-three';
  // 24 years: 220 − 24 = 196, so "within 10" begins at 186
  test('two of three are enough without a plateau', () => {
    const result = judgeEffort(set(id), { peakRer: 1.12, peakHeartRate: 190, peakRpe: 16, lastRiseMlPerMin: 310, ageYears: 24 });
    expect(result.criteria.map((c) => c.outcome)).toEqual(['not met', 'met', 'met', 'not met']);
    expect(result.conclusion).toMatchObject({ met: true, term: 'VO₂max', open: false });
  });
  test('one of three is not', () => {
    const result = judgeEffort(set(id), { peakRer: 1.12, peakHeartRate: 180, peakRpe: 16, lastRiseMlPerMin: 310, ageYears: 24 });
    expect(result.conclusion).toMatchObject({ met: false, term: 'VO₂peak', open: false });
  });
  test('a plateau alone is enough: 149 mL/min is below the cut of 150, 150 is not (Taylor 1955)', () => {
    expect(
      judgeEffort(set(id), { peakRer: 1.0, peakHeartRate: 170, peakRpe: 15, lastRiseMlPerMin: 149, ageYears: 24 }).conclusion.term,
    ).toBe('VO₂max');
    expect(
      judgeEffort(set(id), { peakRer: 1.0, peakHeartRate: 170, peakRpe: 15, lastRiseMlPerMin: 150, ageYears: 24 }).conclusion.term,
    ).toBe('VO₂peak');
  });
  test('edges count as met: RER 1.10, RPE 17, exactly 10 below predicted', () => {
    expect(outcomes(id, { peakRer: 1.1, peakHeartRate: 186, peakRpe: 17, lastRiseMlPerMin: 400, ageYears: 24 })).toEqual([
      'not met',
      'met',
      'met',
      'met',
    ]);
    expect(outcomes(id, { peakRer: 1.09, peakHeartRate: 185, peakRpe: 16, lastRiseMlPerMin: 400, ageYears: 24 })).toEqual([
      'not met',
      'not met',
      'not met',
      'not met',
    ]);
  });
  test('what was not measured could not be judged, and the conclusion says that it is open', () => {
    const result = judgeEffort(set(id), { peakHeartRate: 190, peakRpe: 16, ageYears: 24 });
    expect(result.criteria.map((c) => c.outcome)).toEqual(['could not be judged', 'could not be judged', 'met', 'not met']);
    expect(result.criteria.every((c) => c.outcome !== 'could not be judged' || (c.reason ?? '').length > 5)).toBe(true);
    expect(result.conclusion).toMatchObject({ met: false, term: 'VO₂peak', open: true });
  });
  test('without an age the heart rate cannot be judged', () => {
    expect(outcomes(id, { peakRer: 1.2, peakHeartRate: 190, peakRpe: 18, lastRiseMlPerMin: 400 })).toEqual([
      'not met',
      'met',
      'could not be judged',
      'met',
    ]);
  });
  test('each criterion carries its cut in words', () => {
    const result = judgeEffort(set(id), { peakRer: 1.12, peakHeartRate: 190, peakRpe: 16, lastRiseMlPerMin: 310, ageYears: 24 });
    expect(result.criteria.map((c) => c.cut)).toEqual([
      'rise below 150 mL/min',
      'at least 1.10',
      'no more than 10 below 196 /min (220 − age)',
      'at least 17',
    ]);
  });
});

test('the relative plateau of 2.1 mL/kg/min needs the body mass (Taylor 1955)', () => {
  const id = 'plateau-or-two-of-three-strict';
  expect(outcomes(id, { lastRiseMlPerMin: 150, massKg: 75, ageYears: 24 })[0]).toBe('met'); // 2.0
  expect(outcomes(id, { lastRiseMlPerMin: 150, massKg: 70, ageYears: 24 })[0]).toBe('not met'); // 2.14
  expect(outcomes(id, { lastRiseMlPerMin: 150, ageYears: 24 })[0]).toBe('could not be judged');
});

test('Wagner 2020, 20 to 39 years: RER 1.13 and 93 % of 208 − 0.7·age', () => {
  // 30 years: 187; 93 % is 173.91
  expect(judgeEffort(set('wagner-2020-cycle-20-39'), { peakRer: 1.13, peakHeartRate: 174, ageYears: 30 }).conclusion.met).toBe(true);
  expect(judgeEffort(set('wagner-2020-cycle-20-39'), { peakRer: 1.13, peakHeartRate: 173, ageYears: 30 }).conclusion.met).toBe(false);
  expect(judgeEffort(set('wagner-2020-cycle-20-39'), { peakRer: 1.13, peakHeartRate: 174, ageYears: 45 }).conclusion.sentence).toMatch(
    /20 to 39 years/,
  );
});

test('2007 table: two of rise below 100 mL/min, within 5 of predicted, RER 1.15 (HK Practitioner 2007)', () => {
  expect(
    judgeEffort(set('two-of-three-2007'), { lastRiseMlPerMin: 90, peakHeartRate: 191, peakRer: 1.1, ageYears: 24 }).conclusion.met,
  ).toBe(true);
  expect(
    judgeEffort(set('two-of-three-2007'), { lastRiseMlPerMin: 110, peakHeartRate: 191, peakRer: 1.14, ageYears: 24 }).conclusion.met,
  ).toBe(false);
});

test('the same test can be called max by one published set and peak by another', () => {
  const measured = { peakRer: 1.12, peakHeartRate: 187, peakRpe: 17, lastRiseMlPerMin: 250, massKg: 70, ageYears: 24 };
  expect(judgeEffort(set('plateau-or-two-of-three'), measured).conclusion.term).toBe('VO₂max');
  expect(judgeEffort(set('plateau-taylor-1955'), measured).conclusion.term).toBe('VO₂peak');
});

test('ids are unique and every set names a source and a rule', () => {
  expect(new Set(effortSets.map((s) => s.id)).size).toBe(effortSets.length);
  for (const s of effortSets) {
    expect(s.source.citation.length).toBeGreaterThan(5);
    expect(s.rule.length).toBeGreaterThan(5);
  }
});
