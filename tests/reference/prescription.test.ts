/** Intensity classes, the whole prescription, submaximal stage rules, recovery cut-offs, EPOC. */
import * as fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { intensityClassOf, intensityClassOfMets } from '../../core/formulas/intensity.ts';
import { prescribe, type PrescriptionRequest } from '../../core/formulas/prescription.ts';
import { excessOxygen, isSlowRecovery, oxygenUsed, recoveryCutOffs, recoveryCutOffsFor, timeToFall } from '../../core/formulas/recovery.ts';
import { extrapolateStages, isSteady, stagesInWindow, stageWindows, steadyRules } from '../../core/formulas/stage-rules.ts';
import { ymcaStepBand } from '../../core/norms/ymca-step.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS, valueOf } from './check.ts';

describe('intensity classes (Garber 2011, boundaries of the AHA reprint 2020)', () => {
  test.each([
    ['heart-rate-reserve', 39.9, 'light'],
    ['heart-rate-reserve', 40, 'moderate'],
    ['heart-rate-reserve', 59.9, 'moderate'],
    ['heart-rate-reserve', 60, 'vigorous'],
    ['heart-rate-reserve', 89, 'vigorous'],
    ['heart-rate-reserve', 90, 'near-maximal to maximal'],
    ['heart-rate-reserve', 29, 'very light'],
    ['heart-rate-max', 64, 'moderate'],
    ['heart-rate-max', 76, 'moderate'],
    ['heart-rate-max', 77, 'vigorous'],
    ['heart-rate-max', 95, 'vigorous'],
    ['heart-rate-max', 96, 'near-maximal to maximal'],
    ['heart-rate-max', 57, 'light'],
    ['vo2-max', 46, 'moderate'],
    ['vo2-max', 63, 'moderate'],
    ['vo2-max', 64, 'vigorous'],
    ['vo2-max', 90, 'vigorous'],
    ['vo2-max', 91, 'near-maximal to maximal'],
    ['rpe', 11, 'light'],
    ['rpe', 12, 'moderate'],
    ['rpe', 13, 'moderate'],
    ['rpe', 14, 'vigorous'],
    ['rpe', 17, 'vigorous'],
    ['rpe', 18, 'near-maximal to maximal'],
    ['rpe', 8, 'very light'],
  ] as const)('%s %f is %s', (measure, value, expected) => {
    expect(intensityClassOf(measure, value)).toBe(expected);
  });
  test.each([
    [2.9, undefined, 'light'],
    [3.0, undefined, 'moderate'],
    [5.9, undefined, 'moderate'],
    [6.0, undefined, 'vigorous'],
    [8.8, undefined, 'near-maximal to maximal'],
    [4.8, 25, 'moderate'],
    [7.1, 39.9, 'moderate'],
    [7.2, 25, 'vigorous'],
    [5.9, 50, 'moderate'],
    [6.0, 50, 'vigorous'],
    [4.8, 70, 'vigorous'],
    [6.8, 70, 'near-maximal to maximal'],
  ] as const)('%f METs at %s years is %s', (mets, age, expected) => {
    expect(intensityClassOfMets(mets, age)).toBe(expected);
  });
  test('no value falls between two classes', () => {
    fc.assert(
      fc.property(
        fc.constantFrom('heart-rate-reserve', 'heart-rate-max', 'vo2-max', 'rpe'),
        fc.integer({ min: 0, max: 1000 }),
        (measure, tenths) => {
          expect(intensityClassOf(measure, tenths / 10)).toMatch(/light|moderate|vigorous|maximal/);
        },
      ),
    );
  });
});

describe('the prescription example (75 kg, VO₂max 48.0, rest 62, max 196; own construction)', () => {
  const base: PrescriptionRequest = {
    fraction: 0.6,
    vo2max: 48,
    maximalHeartRate: 196,
    restingHeartRate: 62,
    massKg: 75,
    ageYears: 22,
    exercise: { mode: 'run', solveFor: 'speed', grade: 0 },
    minutesPerSession: 30,
    sessionsPerWeek: 3,
  };
  const work = (change: Partial<PrescriptionRequest> = {}) => {
    const result = prescribe({ ...base, ...change });
    if (!result.ok) throw new Error(result.error.message);
    return result.value;
  };
  const kmh = (change: Partial<PrescriptionRequest>) => {
    const { load } = work(change);
    if (!load.ok) throw new Error(load.error.message);
    return (load.value * 60) / 1000;
  };
  test('60 %: 142 /min, 30.2 mL/kg/min, 8.6 METs, 8.0 km/h level, 161 W', () => {
    const plan = work();
    expectWithin(plan.targetHeartRate, 142, 0.5, 'given as a whole number');
    expectWithin(plan.targetVo2, 30.2, halfUnit(1), PRINTED_DIGITS);
    expectWithin(plan.targetMets, 8.6, halfUnit(1), PRINTED_DIGITS);
    expectWithin(kmh({}), 8.0, halfUnit(1), PRINTED_DIGITS);
    const cycle = work({ exercise: { mode: 'leg-cycle', solveFor: 'load', unit: 'W' } }).load;
    expectWithin(cycle.ok ? cycle.value : Number.NaN, 161, 0.5, 'given as a whole number');
  });
  test('40, 75 and 89 %: 99 W; 10.0 and 11.9 km/h', () => {
    const watts = work({ fraction: 0.4, exercise: { mode: 'leg-cycle', solveFor: 'load', unit: 'W' } }).load;
    expectWithin(watts.ok ? watts.value : Number.NaN, 99, 0.5, 'given as a whole number');
    expectWithin(kmh({ fraction: 0.75 }), 10.0, halfUnit(1), PRINTED_DIGITS);
    expectWithin(kmh({ fraction: 0.89 }), 11.9, halfUnit(1), PRINTED_DIGITS);
  });
  test('walking 90 m/min needs 10.9 %', () => {
    const { load } = work({ exercise: { mode: 'walk', solveFor: 'grade', speed: 90 } });
    expectWithin(load.ok ? load.value * 100 : Number.NaN, 10.9, halfUnit(1), PRINTED_DIGITS);
  });
  test('11.3 kcal/min gross, 10.0 net; 1019 and 901 kcal a week; 777 MET·min', () => {
    const plan = work();
    expectWithin(plan.kcalPerMinute.gross, 11.3, halfUnit(1), PRINTED_DIGITS);
    expectWithin(plan.kcalPerMinute.net, 10.0, halfUnit(1), PRINTED_DIGITS);
    expectWithin(plan.kcalPerWeek.gross, 1019, 0.5, 'given as a whole number');
    expectWithin(plan.kcalPerWeek.net, 901, 0.5, 'given as a whole number');
    expectWithin(plan.metMinutesPerWeek, 777, 0.5, 'given as a whole number');
  });
  test('slow running is warned about, a load outside the equation too', () => {
    expect(work({ fraction: 0.4 }).warnings.join(' ')).toMatch(/running equation/i);
    expect(work({ fraction: 0.89, exercise: { mode: 'leg-cycle', solveFor: 'load', unit: 'W' } }).warnings.join(' ')).toMatch(/200/);
  });
  test('classes by reserve and by METs', () => {
    expect(work().classes).toEqual({ byReserve: 'vigorous', byMets: 'vigorous' });
  });
  test('the participant’s own line: on it no word, far from it a warning', () => {
    const line = (offset: number) => [10, 20, 30, 40].map((vo2) => ({ vo2, heartRate: 62 + ((vo2 - 3.5) / 44.5) * 134 + offset }));
    expect(work({ ownStages: line(0) }).ownLine?.difference).toBeCloseTo(0, 9);
    expect(work({ ownStages: line(0) }).warnings).toEqual(work().warnings);
    expect(work({ ownStages: line(15) }).warnings.join(' ')).toMatch(/own stages give 157/);
    expect(work({ ownStages: line(0).slice(0, 2) }).ownLine).toBeUndefined();
  });
  test('refuses what cannot stand together', () => {
    expect(prescribe({ ...base, restingHeartRate: 200 }).ok).toBe(false);
    expect(prescribe({ ...base, massKg: 0 }).ok).toBe(false);
    expect(prescribe({ ...base, fraction: 60 }).ok).toBe(false);
  });
});

describe('submaximal stages', () => {
  test('steady: no more than 5 (CSEP), or 6 (NSCA’s Guide)', () => {
    expect(isSteady(120, 125)).toBe(true);
    expect(isSteady(120, 126)).toBe(false);
    expect(isSteady(120, 126, steadyRules.six)).toBe(true);
    expect(isSteady(126, 120)).toBe(false);
  });
  const stages = [
    { vo2: 12, heartRate: 98 },
    { vo2: (1.8 * 450) / 70 + 7, heartRate: 118 },
    { vo2: (1.8 * 600) / 70 + 7, heartRate: 136 },
    { vo2: 30, heartRate: 170 },
  ];
  test('the window is 110 /min to 85 % of the maximum, or to 150 on older sheets', () => {
    expect(stagesInWindow(stages, 196).map((s) => s.heartRate)).toEqual([118, 136]);
    expect(stagesInWindow([{ vo2: 20, heartRate: 155 }], 196).length).toBe(1);
    expect(stagesInWindow([{ vo2: 20, heartRate: 155 }], 196, stageWindows.older).length).toBe(0);
  });
  test('YMCA, 70 kg: the two stages inside give 35.286 (recomputed), as does the graph by loads: 1100 kg·m/min', () => {
    const result = extrapolateStages(stages, 196);
    expectWithin(result.ok ? result.value : Number.NaN, 35.286, halfUnit(3), PRINTED_DIGITS);
    const load = 600 + ((600 - 450) / (136 - 118)) * (196 - 136);
    expect(load).toBe(1100);
    expectWithin(
      valueOf('leg-vo2-acsm', { load: `${load} kg·m/min`, mass: 70 }),
      result.ok ? result.value : Number.NaN,
      1e-9,
      'both routes are one line',
    );
  });
  test('says what is missing', () => {
    const result = extrapolateStages(stages.slice(0, 2), 196);
    expect(result.ok ? '' : result.error.message).toMatch(/one stage lies/);
  });
});

describe('heart-rate recovery by posture', () => {
  test.each([
    ['upright-walking', 1, 'cole-1999', 12, true],
    ['lying-left', 1, 'watanabe-2001', 18, true],
    ['lying', 2, 'shetler-2001', 21, true],
    ['lying', 2, 'shetler-2001', 22, false],
    ['seated', 2, 'cole-2000', 42, true],
    ['upright-walking', 1, 'cole-1999', 13, false],
  ] as const)('%s at %i min: %s, %i /min slow: %s', (posture, minute, id, recovery, slow) => {
    const cutOff = recoveryCutOffsFor(posture, minute).find((c) => c.id === id);
    if (!cutOff) throw new Error(id);
    expect(isSlowRecovery(recovery, cutOff)).toBe(slow);
  });
  test('none is borrowed from another posture', () => {
    expect(recoveryCutOffsFor('seated', 1)).toEqual([]);
    expect(recoveryCutOffs.every((c) => c.source.citation.length > 5)).toBe(true);
  });
});

test('EPOC and oxygen used, by hand: (1.5 − 0.3)·2 + (0.6 − 0.3)·3 = 3.3 L', () => {
  const intervals = [
    { vo2: 1.5, minutes: 2 },
    { vo2: 0.6, minutes: 3 },
  ];
  expectWithin(excessOxygen(intervals, 0.3), 3.3, 1e-12, 'exact arithmetic');
  expectWithin(oxygenUsed(intervals), 4.8, 1e-12, 'exact arithmetic');
});

test('time to fall to half of the peak, by hand: 3.6 → 1.8 L/min between 1 min (2.4) and 2 min (1.2) is 1.5 min', () => {
  const points = [3.6, 2.4, 1.2, 0.8].map((value, time) => ({ time, value }));
  expectWithin(timeToFall(points, 1.8) ?? Number.NaN, 1.5, 1e-12, 'exact arithmetic');
  expect(timeToFall(points, 0.5)).toBeUndefined();
  expect(timeToFall(points, 4)).toBeUndefined();
});

test('YMCA step count, women 18–25 (public sheet): bands, gaps and beyond', () => {
  expect(ymcaStepBand(108)).toBe('Average');
  expect(ymcaStepBand(111)).toBe('Average to below average');
  expect(ymcaStepBand(40)).toBeUndefined();
  expect(ymcaStepBand(200)).toBeUndefined();
});
