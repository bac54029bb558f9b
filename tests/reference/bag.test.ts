/** Whole bags of expired air, every step against the recomputed example beside it. */
import { describe, expect, test } from 'vitest';
import { evaluate } from '../../core/formulas/evaluate.ts';
import { formulaById } from '../../core/formulas/registry.ts';
import type { InspiredSet } from '../../core/formulas/gas-exchange.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS, valueOf } from './check.ts';

interface Bag {
  readonly volume: number;
  readonly minutes: number;
  readonly temperature: number;
  readonly pressure: number;
  readonly feo2: number;
  readonly feco2: number;
  readonly massKg?: number;
  readonly inspired?: InspiredSet;
}

/** Every step by the registered formulas, each taking the value of the one before. */
function bag({ volume, minutes, temperature, pressure, feo2, feco2, massKg = 70, inspired = 'textbook' }: Bag) {
  const room = { pressure, temperature };
  const veAtps = valueOf('ventilation-from-bag', { volume, time: minutes });
  const veStpd = valueOf('ve-stpd', { ve: veAtps, ...room });
  const veBtps = valueOf('ve-btps', { ve: veAtps, ...room });
  const air = { ve: veStpd, feo2, feco2, inspired };
  const vo2 = valueOf('vo2-haldane', air);
  const vco2 = valueOf('vco2-haldane', air);
  const vo2PerKg = valueOf('vo2-relative', { vo2, mass: massKg });
  return {
    vapourPressure: valueOf('vapour-pressure', { temperature }),
    stpdFactor: valueOf('stpd-factor', room),
    veAtps,
    veStpd,
    veBtps,
    vi: valueOf('vi-haldane', air),
    vo2,
    vco2,
    rer: valueOf('rer', { vco2, vo2 }),
    trueOxygen: valueOf('true-oxygen', { vo2, ve: veStpd }),
    veVo2: valueOf('ve-vo2', { ve: veBtps, vo2 }),
    veVco2: valueOf('ve-vco2', { ve: veBtps, vco2 }),
    vo2PerKg,
    mets: valueOf('met-from-vo2', { vo2: vo2PerKg }),
  };
}
type BagResult = ReturnType<typeof bag>;
const expectSteps = (result: BagResult, expected: Partial<Record<keyof BagResult, readonly [number, number]>>) => {
  for (const [key, [value, decimals]] of Object.entries(expected)) {
    expectWithin(Number(result[key as keyof BagResult]), value, halfUnit(decimals), `${key}: ${PRINTED_DIGITS}`);
  }
};

describe('constructed bags, recomputed outside this program (0.2093, 0.0003, 273.15 K, handbook vapour pressure)', () => {
  test('C1, rest: 38.4 L in 5 min, 21 °C, 748 mmHg, 16.62 % and 3.68 %, 72 kg', () => {
    const result = bag({ volume: 38.4, minutes: 5, temperature: 21, pressure: 748, feo2: 0.1662, feco2: 0.0368, massKg: 72 });
    expectSteps(result, {
      vapourPressure: [18.65, 3],
      stpdFactor: [0.89116, 5],
      veStpd: [6.8441, 4],
      veBtps: [8.426, 3],
      vi: [6.9012, 4],
      vo2: [0.3069, 4],
      vo2PerKg: [4.263, 3],
      mets: [1.218, 3],
      vco2: [0.2498, 4],
      rer: [0.8138, 4],
      veVo2: [27.45, 2],
      veVco2: [33.73, 2],
    });
  });
  test('C1 with inspired CO₂ 0.0004', () => {
    const result = bag({
      volume: 38.4,
      minutes: 5,
      temperature: 21,
      pressure: 748,
      feo2: 0.1662,
      feco2: 0.0368,
      massKg: 72,
      inspired: 'newer',
    });
    expectSteps(result, { vo2: [0.3071, 4], vco2: [0.2491, 4], rer: [0.8111, 4] });
  });
  test('C2, submaximal: 62.5 L in 1 min, 22 °C, 752 mmHg, 16.52 % and 4.21 %, 70 kg', () => {
    const result = bag({ volume: 62.5, minutes: 1, temperature: 22, pressure: 752, feo2: 0.1652, feco2: 0.0421, massKg: 70 });
    expectSteps(result, {
      stpdFactor: [0.89158, 5],
      veStpd: [55.7235, 4],
      veBtps: [68.214, 3],
      vi: [55.8857, 4],
      vo2: [2.4913, 4],
      vo2PerKg: [35.591, 3],
      mets: [10.17, 2],
      vco2: [2.3292, 4],
      rer: [0.9349, 4],
      veVo2: [27.38, 2],
      veVco2: [29.29, 2],
      trueOxygen: [4.471, 3],
    });
  });
  test('C3, maximal: 61.2 L in 30 s, 23 °C, 740 mmHg, 17.28 % and 4.00 %, 68 kg', () => {
    const result = bag({ volume: 61.2, minutes: 0.5, temperature: 23, pressure: 740, feo2: 0.1728, feco2: 0.04, massKg: 68 });
    expectSteps(result, {
      veStpd: [106.794, 3],
      veBtps: [132.996, 3],
      vi: [106.361, 3],
      vo2: [3.8075, 4],
      vo2PerKg: [55.99, 2],
      mets: [16.0, 1],
      vco2: [4.2398, 4],
      rer: [1.1136, 4],
      veVo2: [34.93, 2],
      veVco2: [31.37, 2],
    });
  });
  test('D1, University of Glasgow: 47 L in 5 min, 25 °C, 761 mmHg, 16.8 % and 4.1 %', () => {
    const result = bag({ volume: 47, minutes: 5, temperature: 25, pressure: 761, feo2: 0.168, feco2: 0.041 });
    expectSteps(result, {
      veAtps: [9.4, 4],
      veStpd: [8.354, 3],
      veBtps: [10.098, 3],
      vi: [8.3603, 4],
      vo2: [0.3463, 4],
      vco2: [0.34, 3],
      rer: [0.982, 3],
    });
    // printed by the page, with its own straight line for the vapour pressure
    expectWithin(result.vo2, 0.347, 0.001, 'the page’s vapour pressure is 0.4 mmHg lower');
    expectWithin(result.vco2, 0.34, 0.001, 'the page’s vapour pressure is 0.4 mmHg lower');
  });
});

test('at altitude, by hand: 55 L/min, 19 °C, 585 mmHg, 16.55 % and 4.05 %', () => {
  const result = bag({ volume: 55, minutes: 1, temperature: 19, pressure: 585, feo2: 0.1655, feco2: 0.0405 });
  // (585 − 16.477)/760 = 0.7480566; × 273.15/292.15 = 0.6994070
  expectWithin(result.stpdFactor, 0.699407, 1e-6, 'six figures carried by hand');
  // 55 × 0.699407 = 38.46739; VI = 38.46739 × 0.794/0.7904 = 38.64259
  expectWithin(result.veStpd, 38.4674, 1e-4, 'six figures carried by hand');
  expectWithin(result.vi, 38.6426, 1e-4, 'six figures carried by hand');
  // 38.64259 × 0.2093 − 38.46739 × 0.1655 = 8.087895 − 6.366353
  expectWithin(result.vo2, 1.72154, 2e-5, 'six figures carried by hand');
  // 38.46739 × 0.0405 − 38.64259 × 0.0003 = 1.557929 − 0.011593
  expectWithin(result.vco2, 1.54634, 2e-5, 'six figures carried by hand');
});

test('a bag colder than the table warns, and its vapour pressure is Buck’s', () => {
  const formula = formulaById('ve-stpd');
  const result = formula && evaluate(formula, { ve: { value: 10 }, pressure: { value: 750 }, temperature: { value: 12 } });
  expect(result?.ok && result.warnings.join(' ')).toMatch(/Buck/);
  // steam tables (from memory), 12 °C: 1.4028 kPa, 10.52 mmHg; Buck 1981 is within 0.1 % of it
  expectWithin(valueOf('vapour-pressure', { temperature: 12 }), 10.52, 0.02, 'two decimals, and Buck within 0.1 %');
});
