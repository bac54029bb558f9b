/** Regression, agreement and kinetics against certified and published values. */
import { describe as suite, expect, test } from 'vitest';
import { blandAltman, concordance, pairedDifference, predictionError, repeatability } from '../../core/statistics/agreement.ts';
import { describe, intervalFactor, studentQuantile, studentTwoSidedP, type Outcome } from '../../core/statistics/describe.ts';
import { exponentialAt, fitExponential } from '../../core/statistics/exponential.ts';
import { fitOnset } from '../../core/statistics/onset-kinetics.ts';
import { fitLine, fitLineThroughOrigin, pearson } from '../../core/statistics/regression.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS } from './check.ts';

const numbers = (text: string) => text.trim().split(/\s+/).map(Number);
function good<T>(outcome: Outcome<T>): T {
  if (!outcome.ok) throw new Error(outcome.error.message);
  return outcome.value;
}
/** Agreement to `digits` significant digits. */
function expectDigits(actual: number | undefined, certified: number, digits: number): void {
  expectWithin(actual ?? Number.NaN, certified, Math.abs(certified) * 10 ** -digits, `${digits} significant digits of the certified value`);
}

suite('NIST StRD, linear (itl.nist.gov/div898/strd), certified values', () => {
  const x = numbers(
    '0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5 11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5',
  );
  const y = numbers(
    '0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2',
  );
  test('Norris, to 9 digits and more', () => {
    const line = good(fitLine(x, y));
    expect(line.n).toBe(36);
    expectDigits(line.intercept, -0.262323073774029, 11);
    expectDigits(line.slope, 1.00211681802045, 13);
    expectDigits(line.interceptSd, 0.232818234301152, 11);
    expectDigits(line.slopeSd, 0.429796848199937e-3, 11);
    expectDigits(line.see, 0.884796396144373, 11);
    expectDigits(line.rSquared, 0.999993745883712, 13);
    expectDigits(line.residualSumOfSquares, 26.6173985294224, 11);
  });
  test('NoInt1, through the origin', () => {
    const xs = Array.from({ length: 11 }, (_, i) => 60 + i);
    const line = good(
      fitLineThroughOrigin(
        xs,
        xs.map((_, i) => 130 + i),
      ),
    );
    expectDigits(line.slope, 2.07438016528926, 13);
    expectDigits(line.slopeSd, 0.0165289256198347, 11);
    expectDigits(line.see, 3.56753034006338, 11);
  });
  test('NoInt2, through the origin', () => {
    const line = good(fitLineThroughOrigin([4, 5, 6], [3, 4, 4]));
    expectDigits(line.slope, 0.727272727272727, 13);
    expectDigits(line.slopeSd, 0.0420827318078432, 11);
  });
});

test('Anscombe’s first set: slope, intercept, r', () => {
  const x = numbers('10 8 13 9 11 14 6 4 12 7 5');
  const y = numbers('8.04 6.95 7.58 8.81 8.33 9.96 7.24 4.26 10.84 4.82 5.68');
  const line = good(fitLine(x, y));
  expectWithin(line.slope, 0.500091, halfUnit(6), PRINTED_DIGITS);
  expectWithin(line.intercept, 3.000091, halfUnit(6), PRINTED_DIGITS);
  expectWithin(good(pearson(x, y)), 0.816421, halfUnit(6), PRINTED_DIGITS);
});

suite('NIST StRD, non-linear, the shape of oxygen uptake at onset: y = b1·(1 − e^(−b2·x))', () => {
  test('Misra1a', () => {
    const t = numbers('77.6 114.9 141.1 190.8 239.9 289.0 332.8 378.4 434.8 477.3 536.8 593.1 689.1 760.0');
    const y = numbers('10.07 14.73 17.94 23.93 29.61 35.18 40.02 44.82 50.76 55.05 61.01 66.40 75.47 81.78');
    const fit = good(fitExponential(t, y, { offset: 0, delay: 0 }));
    // certified from memory of the NIST page, recomputed independently; given to 10 to 11 digits
    expectDigits(fit.amplitude, 238.94212918, 9);
    expectDigits(1 / fit.tau, 5.5015643181e-4, 9);
    expectDigits(fit.standardErrors.amplitude, 2.7070075, 6);
    expectDigits((fit.standardErrors.tau ?? 0) / fit.tau ** 2, 7.2668688e-6, 6);
    expectDigits(fit.residualSumOfSquares, 0.12455138894, 9);
    expectDigits(fit.residualSd, 0.10187876, 7);
  });
  test('BoxBOD', () => {
    const fit = good(fitExponential([1, 2, 3, 5, 7, 10], [109, 149, 149, 191, 213, 224], { offset: 0, delay: 0 }));
    expectDigits(fit.amplitude, 213.80940889, 9);
    expectDigits(1 / fit.tau, 0.54723748542, 9);
    expectDigits(fit.standardErrors.amplitude, 12.354515, 6);
    expectDigits((fit.standardErrors.tau ?? 0) / fit.tau ** 2, 0.10455993, 6);
    expectDigits(fit.residualSumOfSquares, 1168.0088766, 9);
    expectDigits(fit.residualSd, 17.088072, 6);
  });
});

suite('onset of oxygen uptake (constructed: B 0.8, A 1.2 L/min, TD 15 s, τ 30 s)', () => {
  const truth = { offset: 0.8, amplitude: 1.2, delay: 15, tau: 30 };
  test('the curve itself', () => {
    expectWithin(exponentialAt(45, truth), 1.55854, halfUnit(5), PRINTED_DIGITS);
    expectWithin(exponentialAt(60, truth), 1.73224, halfUnit(5), PRINTED_DIGITS);
    expect(exponentialAt(10, truth)).toBe(0.8);
  });
  test('the fit finds it again, with mean response time 45 s and deficit 0.900 L', () => {
    const points = Array.from({ length: 25 }, (_, i) => ({ time: -60 + i * 10, vo2: exponentialAt(-60 + i * 10, truth) }));
    const found = good(fitOnset(points));
    expectWithin(found.tau, 30, 1e-6, 'noise-free data');
    expectWithin(found.delay, 15, 1e-6, 'noise-free data');
    expectWithin(found.amplitude, 1.2, 1e-8, 'noise-free data');
    expectWithin(found.meanResponseTime, 45, 1e-6, 'noise-free data');
    expectWithin(found.oxygenDeficit, 0.9, 1e-8, 'noise-free data');
    expect(found.warnings).toEqual([]);
  });
  test('refuses what it cannot know', () => {
    expect(fitOnset([{ time: 30, vo2: 1 }]).ok).toBe(false);
    expect(fitExponential([1, 2, 3, 4, 5], [1, 2, 3, 4, 5], {}).ok).toBe(false);
    expect(fitExponential([1, 1, 1, 1], [1, 2, 3, 4], { offset: 0, delay: 0 }).ok).toBe(false);
    expect(fitExponential([1, 2, 3], [Number.NaN, 1, 2], { offset: 0, delay: 0 }).ok).toBe(false);
  });
});

suite('Bland and Altman 1986 (Lancet i:307), peak flow, first readings, large − mini meter', () => {
  const large1 = numbers('494 395 516 434 476 557 413 442 650 433 417 656 267 478 178 423 427');
  const large2 = numbers('490 397 512 401 470 611 415 431 638 429 420 633 275 492 165 372 421');
  const mini1 = numbers('512 430 520 428 500 600 364 380 658 445 432 626 260 477 259 350 451');
  const mini2 = numbers('525 415 508 444 500 625 460 390 642 432 420 605 227 467 268 370 443');

  test('mean difference −2.1 and SD 38.8 as printed', () => {
    const result = good(blandAltman(large1, mini1));
    expectWithin(result.bias, -2.1, halfUnit(1), PRINTED_DIGITS);
    expectWithin(result.sd, 38.8, halfUnit(1), PRINTED_DIGITS);
    expectWithin(result.bias, -2.117647, halfUnit(6), PRINTED_DIGITS);
    expectWithin(result.sd, 38.76513, halfUnit(5), PRINTED_DIGITS);
  });
  test('limits with 2 SD: printed −79.7 and 75.5', () => {
    const result = good(blandAltman(large1, mini1, 2));
    expectWithin(result.lower, -79.7, 0.15, 'the paper rounds mean and SD to one decimal before it adds');
    expectWithin(result.upper, 75.5, 0.15, 'the paper rounds mean and SD to one decimal before it adds');
    expectWithin(result.lower, -79.6479, halfUnit(4), PRINTED_DIGITS);
    expectWithin(result.upper, 75.4126, halfUnit(4), PRINTED_DIGITS);
  });
  test('limits with 1.96 SD, recomputed', () => {
    const result = good(blandAltman(large1, mini1));
    expectWithin(result.lower, -78.0973, halfUnit(4), PRINTED_DIGITS);
    expectWithin(result.upper, 73.862, halfUnit(3), PRINTED_DIGITS);
  });
  test('confidence intervals: of the bias, and of the limits −114.3 to −45.1 and 40.9 to 110.1 as printed (2 SD)', () => {
    const result = good(blandAltman(large1, mini1, 2));
    expectWithin(result.biasStandardError, 9.4019, halfUnit(4), PRINTED_DIGITS);
    expectWithin(result.biasInterval.low, -22.049, halfUnit(3), PRINTED_DIGITS);
    expectWithin(result.biasInterval.high, 17.814, halfUnit(3), PRINTED_DIGITS);
    expectWithin(result.limitStandardError, 16.285, halfUnit(3), PRINTED_DIGITS);
    const rounding = 'the paper computes from −79.7, 75.5 and 38.8, already rounded';
    expectWithin(result.lowerInterval.low, -114.3, 0.25, rounding);
    expectWithin(result.lowerInterval.high, -45.1, 0.25, rounding);
    expectWithin(result.upperInterval.low, 40.9, 0.25, rounding);
    expectWithin(result.upperInterval.high, 110.1, 0.25, rounding);
  });
  test('correlation, regression, difference on mean', () => {
    expectWithin(good(pearson(large1, mini1)), 0.94, halfUnit(2), 'printed to two decimals');
    expectWithin(good(pearson(large1, mini1)), 0.943279, halfUnit(6), PRINTED_DIGITS);
    const line = good(fitLine(large1, mini1));
    expectWithin(line.slope, 0.917348, halfUnit(6), PRINTED_DIGITS);
    expectWithin(line.intercept, 39.340279, halfUnit(6), PRINTED_DIGITS);
    const trend = good(blandAltman(large1, mini1)).differenceOnMean;
    expectWithin(trend?.slope ?? Number.NaN, 0.028687, halfUnit(6), PRINTED_DIGITS);
    expectWithin(trend?.slopeP ?? Number.NaN, 0.7495, halfUnit(4), PRINTED_DIGITS);
  });
  test('repeatability of the two meters: printed 43.2 and 56.4', () => {
    expectWithin(good(repeatability(large1, large2)), 43.2, 0.1, 'the paper rounds the SD before doubling');
    expectWithin(good(repeatability(mini1, mini2)), 56.4, 0.1, 'the paper rounds the SD before doubling');
    expectWithin(good(repeatability(large1, large2)), 43.29, halfUnit(2), PRINTED_DIGITS);
    expectWithin(good(repeatability(mini1, mini2)), 56.32, halfUnit(2), PRINTED_DIGITS);
  });
  test('Lin’s concordance, with both denominators', () => {
    expectWithin(good(concordance(large1, mini1)), 0.942742, halfUnit(6), PRINTED_DIGITS);
    expectWithin(good(concordance(large1, mini1, 'n-1')), 0.942752, halfUnit(6), PRINTED_DIGITS);
  });
  test('paired difference agrees with the interval of the bias', () => {
    const paired = good(pairedDifference(large1, mini1));
    expectWithin(paired.interval.low, -22.049, halfUnit(3), PRINTED_DIGITS);
    expectWithin(paired.interval.high, 17.814, halfUnit(3), PRINTED_DIGITS);
  });
});

test('Student’s t: the tabulated 97.5th percentiles (standard tables, three decimals)', () => {
  for (const [df, value] of [
    [1, 12.706],
    [2, 4.303],
    [5, 2.571],
    [10, 2.228],
    [16, 2.12],
    [30, 2.042],
    [120, 1.98],
  ] as const) {
    expectWithin(studentQuantile(0.975, df), value, halfUnit(3), PRINTED_DIGITS);
    expectWithin(intervalFactor(0.95, df), value, halfUnit(3), PRINTED_DIGITS);
    expectWithin(studentTwoSidedP(studentQuantile(0.975, df), df), 0.05, 1e-9, 'the quantile undone');
  }
  expectWithin(studentQuantile(0.975, 16), 2.119905, halfUnit(6), PRINTED_DIGITS);
});

test('total error and SEE, by hand', () => {
  // measured 40 44 50, predicted 42 44 46: differences −2 0 4; √(20/3); line through (42,40) (44,44) (46,50): slope 2.5
  const result = good(predictionError([40, 44, 50], [42, 44, 46]));
  expectWithin(result.totalError, Math.sqrt(20 / 3), 1e-12, 'exact arithmetic');
  expectWithin(result.line?.slope ?? Number.NaN, 2.5, 1e-12, 'exact arithmetic');
  // residuals ⅓ −⅔ ⅓ → sum of squares ⅔, one degree of freedom
  expectWithin(result.see ?? Number.NaN, Math.sqrt(2 / 3), 1e-12, 'exact arithmetic');
});

suite('refusals', () => {
  test('too few, unequal, missing, no spread', () => {
    expect(blandAltman([1, 2], [1, 2])).toMatchObject({ ok: false, error: { code: 'too-few' } });
    expect(blandAltman([1, 2, 3], [1, 2])).toMatchObject({ ok: false, error: { code: 'unequal-lengths' } });
    expect(fitLine([1, 1, 1], [1, 2, 3])).toMatchObject({ ok: false, error: { code: 'no-spread' } });
    expect(pearson([1, 2, 3], [4, 4, 4])).toMatchObject({ ok: false, error: { code: 'no-spread' } });
    expect(describe([])).toMatchObject({ ok: false, error: { code: 'too-few' } });
    expect(describe([1, Number.NaN])).toMatchObject({ ok: false, error: { code: 'not-finite' } });
  });
  test('two methods that agree exactly have limits of zero width and no t', () => {
    const result = good(blandAltman([1, 2, 3, 4], [1, 2, 3, 4]));
    expect([result.bias, result.lower, result.upper]).toEqual([0, 0, 0]);
    expect(good(pairedDifference([1, 2, 3], [1, 2, 3])).t).toBeUndefined();
    expectWithin(good(concordance([1, 2, 3], [1, 2, 3])), 1, 1e-12, 'identity');
  });
});
