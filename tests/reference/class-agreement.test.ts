/**
 * The class view's own functions, from marked worksheets on, against published sets: what an instructor reads on the desk is
 * what the papers print.
 */
import { describe as suite, expect, test } from 'vitest';
import { agreementOf, fisherInterval, wilsonInterval, type PairStatistics } from '../../core/class/agreement.ts';
import { gatherClass } from '../../core/class/gather.ts';
import { chiSquaredCdf, chiSquaredQuantile } from '../../core/statistics/chi-squared.ts';
import { classOfPairs, worksheet } from '../core/class-maker.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS } from './check.ts';

const numbers = (text: string) => text.trim().split(/\s+/).map(Number);

function onTheDesk(measured: readonly number[], predicted: readonly number[], multiple?: number): PairStatistics {
  // Both partners hand every test in: the numbers must not notice.
  const sheets = classOfPairs(measured, predicted);
  const { tests } = gatherClass([...sheets, ...sheets.map(({ test: one, student }) => worksheet(one, `${student}-partner`))]);
  const { statistics, reason } = agreementOf(tests, 'x', multiple === undefined ? {} : { multiple });
  if (!statistics) throw new Error(reason);
  return statistics;
}

suite('Bland and Altman 1986 (Lancet i:307), peak flow, first readings, large meter against mini', () => {
  const large = numbers('494 395 516 434 476 557 413 442 650 433 417 656 267 478 178 423 427');
  const mini = numbers('512 430 520 428 500 600 364 380 658 445 432 626 260 477 259 350 451');
  test('bias, SD, limits and their intervals', () => {
    const found = onTheDesk(mini, large, 2);
    expect(found.n).toBe(17);
    expectWithin(found.bias.value, -2.1, halfUnit(1), PRINTED_DIGITS);
    expectWithin(found.sd.value, 38.8, halfUnit(1), PRINTED_DIGITS);
    const rounding = 'the paper computes from −2.1, 38.8 and the limits made of them, already rounded';
    expectWithin(found.lower.value, -79.7, 0.15, rounding);
    expectWithin(found.upper.value, 75.5, 0.15, rounding);
    expectWithin(found.bias.interval?.low ?? NaN, -22.049, halfUnit(3), PRINTED_DIGITS);
    expectWithin(found.bias.interval?.high ?? NaN, 17.814, halfUnit(3), PRINTED_DIGITS);
    expectWithin(found.lower.interval?.low ?? NaN, -114.3, 0.25, rounding);
    expectWithin(found.lower.interval?.high ?? NaN, -45.1, 0.25, rounding);
    expectWithin(found.upper.interval?.low ?? NaN, 40.9, 0.25, rounding);
    expectWithin(found.upper.interval?.high ?? NaN, 110.1, 0.25, rounding);
  });
  test('with 1.96 SD, the correlation, the regression, the trend and the concordance', () => {
    const found = onTheDesk(mini, large);
    expectWithin(found.lower.value, -78.0973, halfUnit(4), PRINTED_DIGITS);
    expectWithin(found.upper.value, 73.862, halfUnit(3), PRINTED_DIGITS);
    expectWithin(found.correlation?.value ?? NaN, 0.94, halfUnit(2), 'printed to two decimals');
    expectWithin(found.correlation?.value ?? NaN, 0.943279, halfUnit(6), PRINTED_DIGITS);
    expectWithin(found.slope?.value ?? NaN, 0.917348, halfUnit(6), PRINTED_DIGITS);
    expectWithin(found.intercept?.value ?? NaN, 39.340279, halfUnit(6), PRINTED_DIGITS);
    expectWithin(found.trend?.value ?? NaN, 0.028687, halfUnit(6), PRINTED_DIGITS);
    expectWithin(found.trend?.p ?? NaN, 0.7495, halfUnit(4), PRINTED_DIGITS);
    expectWithin(found.concordance?.value ?? NaN, 0.942742, halfUnit(6), PRINTED_DIGITS);
    // Every statistic carries its n and an interval around it.
    const { blandAltman: _, n, ...statistics } = found;
    for (const [name, statistic] of Object.entries(statistics)) {
      expect(statistic?.n, name).toBe(n);
      expect(statistic?.interval?.low ?? NaN, name).toBeLessThan(statistic?.value ?? NaN);
      expect(statistic?.interval?.high ?? NaN, name).toBeGreaterThan(statistic?.value ?? NaN);
    }
  });
});

test('NIST StRD Norris (itl.nist.gov/div898/strd) as measured on predicted: slope, intercept, SEE', () => {
  const x = numbers('0.2 337.4 118.2 884.6 10.1 226.5 666.3 996.3 448.6 777.0 558.2 0.4 0.6 775.5 666.9 338.0 447.5 11.6 556.0 228.1 995.8 887.6 120.2 0.3 0.3 556.8 339.1 887.2 999.0 779.0 11.1 118.3 229.2 669.1 448.9 0.5');
  const y = numbers('0.1 338.8 118.1 888.0 9.2 228.1 668.5 998.5 449.1 778.9 559.2 0.3 0.1 778.1 668.8 339.3 448.9 10.8 557.7 228.3 998.0 888.8 119.6 0.3 0.6 557.6 339.3 888.0 998.5 778.9 10.2 117.6 228.9 668.4 449.2 0.2');
  const found = onTheDesk(y, x);
  const digits = (certified: number) => Math.abs(certified) * 1e-11;
  expectWithin(found.slope?.value ?? NaN, 1.00211681802045, digits(1), '11 significant digits of the certified value');
  expectWithin(found.intercept?.value ?? NaN, -0.262323073774029, digits(0.26), '11 significant digits of the certified value');
  expectWithin(found.see?.value ?? NaN, 0.884796396144373, digits(0.88), '11 significant digits of the certified value');
  // certified standard deviations of the estimates; t(0.975, 34) = 2.032 (standard tables)
  expectWithin(((found.slope?.interval?.high ?? NaN) - (found.slope?.value ?? NaN)) / 0.429796848199937e-3, 2.032, halfUnit(3), PRINTED_DIGITS);
  expectWithin(((found.intercept?.interval?.high ?? NaN) - (found.intercept?.value ?? NaN)) / 0.232818234301152, 2.032, halfUnit(3), PRINTED_DIGITS);
});

test('χ²: critical values of the standard tables (NIST/SEMATECH e-Handbook 1.3.6.7.4, three decimals)', () => {
  for (const [df, low, high] of [
    [1, 0.001, 5.024],
    [2, 0.051, 7.378],
    [10, 3.247, 20.483],
    [30, 16.791, 46.979],
    [100, 74.222, 129.561],
  ] as const) {
    expectWithin(chiSquaredQuantile(0.025, df), low, halfUnit(3), PRINTED_DIGITS);
    expectWithin(chiSquaredQuantile(0.975, df), high, halfUnit(3), PRINTED_DIGITS);
  }
  for (const df of [1, 7, 500, 5000]) expectWithin(chiSquaredCdf(chiSquaredQuantile(0.3, df), df), 0.3, 1e-9, 'the quantile undone');
});

test('a proportion’s interval: the examples of Newcombe 1998 (Stat Med 17:857), method 3, from memory of the paper', () => {
  for (const [count, n, low, high] of [
    [81, 263, 0.2553, 0.3662],
    [15, 148, 0.0624, 0.1605],
    [0, 20, 0, 0.1611],
    [1, 29, 0.0061, 0.1718],
  ] as const) {
    const interval = wilsonInterval(count, n);
    expectWithin(interval?.low ?? NaN, low, halfUnit(4), PRINTED_DIGITS);
    expectWithin(interval?.high ?? NaN, high, halfUnit(4), PRINTED_DIGITS);
  }
});

test('Fisher’s z by hand: r 0.5 of 28 → atanh 0.549306, half-width 1.959964/5', () => {
  const interval = fisherInterval(0.5, 28);
  expectWithin(interval?.low ?? NaN, Math.tanh(0.549306 - 0.391993), 1e-6, 'six decimals put in');
  expectWithin(interval?.high ?? NaN, Math.tanh(0.549306 + 0.391993), 1e-6, 'six decimals put in');
});
