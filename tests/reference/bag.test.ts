/** Whole bags of expired air, every step against the recomputed example beside it. */
import { describe, expect, test } from 'vitest';
import { workThroughBag, type BagReadings, type BagResult } from '../../core/formulas/bag.ts';
import { evaluate } from '../../core/formulas/evaluate.ts';
import { formulaById } from '../../core/formulas/registry.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS } from './check.ts';

function bag(readings: BagReadings): BagResult {
  const result = workThroughBag(readings);
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
}
const expectSteps = (result: BagResult, expected: Partial<Record<keyof BagResult, readonly [number, number]>>) => {
  for (const [key, [value, decimals]] of Object.entries(expected)) {
    expectWithin(Number(result[key as keyof BagResult]), value, halfUnit(decimals), `${key}: ${PRINTED_DIGITS}`);
  }
};

describe('constructed bags, recomputed in the equations reference (0.2093, 0.0003, 273.15 K, handbook vapour pressure)', () => {
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
    expect(result.constants).toMatchObject({ fio2: 0.2093, fico2: 0.0004 });
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
    expect(result.vo2PerKg).toBeUndefined();
    // printed by the page, with its own straight line for the vapour pressure
    expectWithin(result.vo2, 0.347, 0.001, 'the page’s vapour pressure is 0.4 mmHg lower');
    expectWithin(result.vco2, 0.34, 0.001, 'the page’s vapour pressure is 0.4 mmHg lower');
  });
});

test('the formulas of the registry give the same steps, also at altitude', () => {
  const readings = { volume: 55, minutes: 1, temperature: 19.5, pressure: 585, feo2: 0.1655, feco2: 0.0405, massKg: 70 } as const;
  const result = bag(readings);
  const run = (id: string, given: Record<string, number | string>) => {
    const formula = formulaById(id);
    if (!formula) throw new Error(id);
    const answer = evaluate(formula, Object.fromEntries(Object.entries(given).map(([k, value]) => [k, { value }])));
    if (!answer.ok) throw new Error(answer.error.message);
    return answer.value;
  };
  const veStpd = run('ve-stpd', { ve: 55, pressure: 585, temperature: 19.5 });
  const vo2 = run('vo2-haldane', { ve: veStpd, feo2: '16.55 %', feco2: '4.05 %' });
  const vco2 = run('vco2-haldane', { ve: veStpd, feo2: '16.55 %', feco2: '4.05 %' });
  expectWithin(result.veStpd, veStpd, 1e-12 * veStpd, 'the same arithmetic');
  expectWithin(result.veBtps, run('ve-btps', { ve: 55, pressure: 585, temperature: 19.5 }), 1e-9, 'the same arithmetic');
  expectWithin(result.vo2, vo2, 1e-12, 'the same arithmetic');
  expectWithin(result.rer, run('rer', { vco2, vo2 }), 1e-12, 'the same arithmetic');
});

describe('refusals', () => {
  const base: BagReadings = { volume: 60, minutes: 1, temperature: 22, pressure: 752, feo2: 0.165, feco2: 0.042 };
  test.each([
    ['fractions as per cent', { feo2: 16.5 }],
    ['no carbon dioxide', { feco2: 0 }],
    ['beyond the vapour table', { temperature: 45 }],
    ['no volume', { volume: 0 }],
    ['no pressure', { pressure: Number.NaN }],
    ['more oxygen out than in', { feo2: 0.2094, feco2: 0.0101 }],
    ['no mass', { massKg: 0 }],
  ] as const)('%s', (_what, change) => {
    const result = workThroughBag({ ...base, ...change });
    expect(result.ok).toBe(false);
    if (!result.ok) expect(result.error.message.length).toBeGreaterThan(15);
  });
});
