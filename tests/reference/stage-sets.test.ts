/** Protocol stage tables against the published ones, and the cost of their stages. */
import { describe, expect, test } from 'vitest';
import { sheetSettings, stageSetById, stageSets, stageStart } from '../../core/formulas/stage-sets.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS, valueOf } from './check.ts';

const set = (id: string) => {
  const found = stageSetById(id);
  if (!found) throw new Error(id);
  return found;
};
const speeds = (id: string) => set(id).stages.map((s) => s.speed?.value);
const grades = (id: string) => set(id).stages.map((s) => s.grade?.value);

describe('Bruce 1973 (several public tables agree)', () => {
  test('speeds, grades and starts', () => {
    expect(speeds('bruce')).toEqual([1.7, 2.5, 3.4, 4.2, 5.0, 5.5, 6.0, 6.5, 7.0, 7.5]);
    expect(grades('bruce')).toEqual([10, 12, 14, 16, 18, 20, 22, 24, 26, 28]);
    expect(set('bruce').stages.map((_, i) => stageStart(set('bruce'), i))).toEqual([0, 3, 6, 9, 12, 15, 18, 21, 24, 27]);
    expect(stageStart(set('bruce'), 10)).toBeUndefined();
  });
  test('METs of the stages: walk 4.6, 7.0, 10.2, 13.5; run 9.5, 12.1, 14.9, 17.0, 19.3 (recomputed at 26.8 m/min per mph)', () => {
    const mets = (formula: string, i: number) => {
      const stage = set('bruce').stages[i];
      return valueOf(formula, { speed: 26.8 * (stage?.speed?.value ?? 0), grade: (stage?.grade?.value ?? 0) / 100 }, { unit: '[MET]' });
    };
    [4.6, 7.0, 10.2, 13.5].forEach((value, i) => expectWithin(mets('walk-vo2-acsm', i), value, halfUnit(1), PRINTED_DIGITS));
    [9.5, 12.1, 14.9, 17.0, 19.3].forEach((value, i) => expectWithin(mets('run-vo2-acsm', i + 2), value, halfUnit(1), PRINTED_DIGITS));
  });
  test('published METs 4, 7, 10 (walk), 12, 14, 17, 19 (run): the public table cuts the decimals off', () => {
    const printed = [4, 7, 10, 12, 14, 17, 19];
    printed.forEach((value, i) => {
      const stage = set('bruce').stages[i];
      const formula = i < 3 ? 'walk-vo2-acsm' : 'run-vo2-acsm';
      const computed = valueOf(formula, { speed: `${stage?.speed?.value} mph`, grade: `${stage?.grade?.value} %` }, { unit: '[MET]' });
      expect(Math.floor(computed), `stage ${i + 1}: ${computed}`).toBe(value);
    });
  });
});

test('modified Bruce begins 1.7 mph at 0 and 5 % (8.06 and 12.2 mL/kg/min), then Bruce', () => {
  expect(speeds('bruce-modified').slice(0, 4)).toEqual([1.7, 1.7, 1.7, 2.5]);
  expect(grades('bruce-modified').slice(0, 4)).toEqual([0, 5, 10, 12]);
  expectWithin(valueOf('walk-vo2-acsm', { speed: 26.8 * 1.7, grade: 0 }), 8.06, halfUnit(2), PRINTED_DIGITS);
  expectWithin(valueOf('walk-vo2-acsm', { speed: 26.8 * 1.7, grade: 0.05 }), 12.2, halfUnit(1), PRINTED_DIGITS);
});

describe('Balke', () => {
  test('men: 0 %, 2 %, then minute n at n %, faster after minute 25', () => {
    expect(grades('balke-ware-men').slice(0, 5)).toEqual([0, 2, 3, 4, 5]);
    expect(grades('balke-ware-men')[24]).toBe(25);
    expect(new Set(speeds('balke-ware-men').slice(0, 25))).toEqual(new Set([3.3]));
    expect(speeds('balke-ware-men').slice(25, 27)).toEqual([3.5, 3.7]);
    expect(grades('balke-ware-men')[26]).toBe(25);
  });
  test('at 15 minutes (15 %) the walking cost is 36.2, beside Pollock’s 36.65', () => {
    expectWithin(valueOf('walk-vo2-acsm', { speed: 26.8 * 3.3, grade: 0.15 }), 36.2, halfUnit(1), PRINTED_DIGITS);
  });
  test('women: 3.0 mph, 2.5 % every 3 minutes; college women: 3.5 mph, 1 % a minute after two', () => {
    expect(grades('balke-women').slice(0, 4)).toEqual([0, 2.5, 5, 7.5]);
    expect(set('balke-women').stages[0]?.minutes).toBe(3);
    expect(grades('balke-college-women').slice(0, 5)).toEqual([0, 0, 1, 2, 3]);
  });
});

test('Naughton stages and their walking cost: 6.2, 8.9, 12.2, 15.6, 19.0, 22.4, 25.7', () => {
  const costs = [6.2, 8.9, 12.2, 15.6, 19.0, 22.4, 25.7];
  set('naughton').stages.forEach((stage, i) => {
    const value = valueOf('walk-vo2-acsm', { speed: 26.8 * (stage.speed?.value ?? 0), grade: (stage.grade?.value ?? 0) / 100 });
    expectWithin(value, costs[i] ?? Number.NaN, halfUnit(1), PRINTED_DIGITS);
  });
});

test('Åstrand treadmill stages and their running cost at 5 mph: 30.3, 33.3, 36.3, 39.3, 42.4, 45.4', () => {
  const costs = [30.3, 33.3, 36.3, 39.3, 42.4, 45.4];
  const stages = set('astrand-treadmill').stages;
  costs.forEach((cost, i) => {
    const value = valueOf('run-vo2-acsm', { speed: 26.8 * (stages[i]?.speed?.value ?? 0), grade: (stages[i]?.grade?.value ?? 0) / 100 });
    expectWithin(value, cost, halfUnit(1), PRINTED_DIGITS);
  });
  expect(stages.map((s) => s.minutes).slice(0, 3)).toEqual([3, 2, 2]);
});

test('Ellestad’s cost: I 16.3, II 26.0, III 33.5 walked, IV 42.4, V 48.4, VI 57.4 run', () => {
  const walk = [16.3, 26.0, 33.5];
  const run = [42.4, 48.4, 57.4];
  set('ellestad').stages.forEach((stage, i) => {
    const formula = i < 3 ? 'walk-vo2-acsm' : 'run-vo2-acsm';
    const value = valueOf(formula, { speed: 26.8 * (stage.speed?.value ?? 0), grade: (stage.grade?.value ?? 0) / 100 });
    expectWithin(value, (i < 3 ? walk[i] : run[i - 3]) ?? Number.NaN, halfUnit(1), PRINTED_DIGITS);
  });
});

describe('YMCA cycle (Golding 1989: CSEP insert and NSCA’s Guide)', () => {
  const bandAt = (heartRate: number) =>
    set('ymca-cycle')
      .branch?.bands.find((band) => heartRate >= band.from && heartRate < band.below)
      ?.stages.map((s) => s.load?.value);
  test.each([
    [79, [750, 900, 1050]],
    [80, [600, 750, 900]],
    [89, [600, 750, 900]],
    [90, [450, 600, 750]],
    [100, [450, 600, 750]],
    [101, [300, 450, 600]],
  ] as const)('%i /min after the first stage', (heartRate, loads) => {
    expect(bandAt(heartRate)).toEqual(loads);
  });
  test('begins at 150 kg·m/min, 50 rpm', () => {
    expect(sheetSettings(set('ymca-cycle').stages[0] ?? { name: '', minutes: 0 })).toEqual({ load: '150 kg·m/min', cadence: '50 /min' });
  });
});

test('step tests: Queens College 16.25 in at 24 (men) and 22 (women) cycles, YMCA 12 in at 24', () => {
  expect(set('queens-college-step-men').stages[0]).toMatchObject({
    minutes: 3,
    stepHeight: { value: 16.25, unit: '[in_i]' },
    stepRate: { value: 24 },
  });
  expect(set('queens-college-step-women').stages[0]?.stepRate?.value).toBe(22);
  expect(set('ymca-3-minute-step').stages[0]).toMatchObject({ stepHeight: { value: 12 }, stepRate: { value: 24 } });
});

test('ramps: 15 W/min (Storer 1990) and 20 W/min (Caiozzo 1982) after four unloaded minutes', () => {
  expect(
    set('cycle-ramp-15')
      .stages.slice(0, 3)
      .map((s) => s.load?.value),
  ).toEqual([0, 15, 30]);
  expect(
    set('cycle-ramp-20')
      .stages.slice(0, 3)
      .map((s) => s.load?.value),
  ).toEqual([0, 20, 40]);
  expect(set('cycle-ramp-15').stages[0]?.minutes).toBe(4);
});

test('ids are unique; every set names a source; every stage has a length and a setting', () => {
  expect(new Set(stageSets.map((s) => s.id)).size).toBe(stageSets.length);
  for (const s of stageSets) {
    expect(s.source.citation.length, s.id).toBeGreaterThan(5);
    for (const stage of s.stages) {
      expect(stage.minutes, s.id).toBeGreaterThan(0);
      expect(Object.keys(sheetSettings(stage)).length, s.id).toBeGreaterThan(0);
    }
  }
});
