/** Norm tables against their published anchors, and the rules of reading them. */
import { describe, expect, test } from 'vitest';
import { normTables, percentileOf } from '../../core/norms/norms.ts';
import { cooper1997Category, hunt2013, huntZ } from '../../core/norms/other-published.ts';
import { expectWithin, halfUnit, PRINTED_DIGITS } from './check.ts';

const median = (table: string, sex: 'male' | 'female', ageYears: number) => {
  const found = normTables.find((t) => t.id === table);
  const column = found?.ages.findIndex((band) => ageYears >= band.from && ageYears <= band.to) ?? -1;
  return found?.rows[sex].find((row) => row.percentile === 50)?.values[column];
};

describe('anchors published in the abstracts', () => {
  test.each([
    ['friend-treadmill-2015', 'male', 25, 48.0],
    ['friend-treadmill-2015', 'female', 25, 37.6],
    ['friend-treadmill-2015', 'male', 75, 24.4],
    ['friend-treadmill-2015', 'female', 75, 18.3],
    ['friend-cycle-2017', 'male', 25, 41.9],
    ['friend-cycle-2017', 'female', 25, 31.0],
    ['friend-cycle-2017', 'male', 75, 19.5],
    ['friend-cycle-2017', 'female', 75, 14.8],
  ] as const)('%s, %s at %i years: median %f (Kaminsky 2015 and 2017, abstracts)', (table, sex, age, value) => {
    expect(median(table, sex, age)).toBe(value);
  });
});

test('men’s 2022 medians are 1.5 to 4.6 below 2015 (Kaminsky 2022, abstract)', () => {
  for (const age of [25, 35, 45, 55, 65, 75]) {
    const drop = (median('friend-treadmill-2015', 'male', age) ?? 0) - (median('friend-treadmill-2022', 'male', age) ?? 0);
    expect(drop, `at ${age}`).toBeGreaterThanOrEqual(1.5 - 1e-9);
    expect(drop, `at ${age}`).toBeLessThanOrEqual(4.6);
  }
});

test('every column of every table rises strictly from the lowest percentile up', () => {
  for (const table of normTables) {
    for (const sex of ['male', 'female'] as const) {
      for (let column = 0; column < table.ages.length; column++) {
        const values = table.rows[sex].map((row) => row.values[column]).filter((v) => v !== null);
        for (let i = 1; i < values.length; i++)
          expect(values[i], `${table.id} ${sex} column ${column}`).toBeGreaterThan(values[i - 1] ?? Infinity);
      }
    }
  }
});

describe('one man of 20 to 29 years at 48.0 mL/kg/min in two editions', () => {
  test('FRIEND 2015: the 50th percentile', () => {
    const result = percentileOf({ table: 'friend-treadmill-2015', sex: 'male', ageYears: 25, vo2: 48 });
    expect(result).toMatchObject({ ok: true, percentile: 50, category: 'Fair', ageBand: '20–29' });
  });
  test('FRIEND 2022: about the 56th, interpolated between 46.5 and 49.0', () => {
    const result = percentileOf({ table: 'friend-treadmill-2022', sex: 'male', ageYears: 25, vo2: 48 });
    expect(result.ok && result.percentile).toBe(56);
    expect(result).toMatchObject({ low: { percentile: 50, value: 46.5 }, high: { percentile: 60, value: 49 } });
  });
});

test('the GETP 12 cell: men 30–39, 41.6 is the 55th percentile of the 2022 table (a published cell)', () => {
  const result = percentileOf({ table: 'friend-treadmill-2022', sex: 'male', ageYears: 35, vo2: 41.6 });
  expectWithin(result.ok ? Number(result.percentile) : Number.NaN, 55, 0.5, 'printed to a whole percentile');
});

test('a misprint that must not be in the table: women 30–39, 80th percentile 35.7', () => {
  const table = normTables.find((t) => t.id === 'friend-treadmill-2015');
  expect(table?.rows.female.find((row) => row.percentile === 80)?.values[1]).toBe(37.5);
});

describe('reading rules', () => {
  const base = { table: 'friend-treadmill-2015', sex: 'male', ageYears: 25 } as const;
  test.each([
    [66.3, 95, 'Superior'],
    [57.1, 80, 'Excellent'],
    [50.2, 60, 'Good'],
    [44.9, 40, 'Fair'],
    [38.1, 20, 'Poor'],
    [32.1, 10, 'Very poor'],
  ] as const)('%f stands on the row P%i: %s', (vo2, percentile, category) => {
    expect(percentileOf({ ...base, vo2 })).toMatchObject({ ok: true, percentile, category });
  });
  test('just below an edge belongs to the lower category', () => {
    expect(percentileOf({ ...base, vo2: 57.09 })).toMatchObject({ category: 'Good' });
  });
  test('beyond the rows it names the bound and stops', () => {
    expect(percentileOf({ ...base, vo2: 20 })).toMatchObject({ percentile: '<P5', category: 'Very poor' });
    expect(percentileOf({ ...base, vo2: 80 })).toMatchObject({ percentile: '>P95', category: 'Superior' });
    expect(percentileOf({ ...base, table: 'friend-treadmill-2022', vo2: 80 })).toMatchObject({
      percentile: '>P90',
      category: 'Excellent or Superior',
    });
  });
  test('no row is invented: under 20 years, above the table, without sex or age', () => {
    expect(percentileOf({ ...base, ageYears: 19.99, vo2: 48 })).toMatchObject({ ok: false, error: { code: 'no-age-row' } });
    expect(percentileOf({ ...base, ageYears: 80, vo2: 48 })).toMatchObject({ ok: false, error: { code: 'no-age-row' } });
    expect(percentileOf({ ...base, ageYears: undefined, vo2: 48 })).toMatchObject({ ok: false, error: { code: 'no-age-row' } });
    expect(percentileOf({ ...base, sex: undefined, vo2: 48 })).toMatchObject({ ok: false, error: { code: 'no-sex' } });
    expect(percentileOf({ ...base, vo2: Number.NaN })).toMatchObject({ ok: false, error: { code: 'not-a-value' } });
    expect(percentileOf({ ...base, table: 'no-such', vo2: 48 })).toMatchObject({ ok: false, error: { code: 'no-table' } });
  });
  test('the last day of a decade still counts to it', () => {
    expect(percentileOf({ ...base, ageYears: 29.99, vo2: 48 })).toMatchObject({ ageBand: '20–29' });
    expect(percentileOf({ ...base, ageYears: 79.9, vo2: 24.4 })).toMatchObject({ ageBand: '70–79', percentile: 50 });
  });
  test('a cycle value on a treadmill table carries a plain warning', () => {
    const result = percentileOf({ ...base, vo2: 48, testMode: 'cycle' });
    expect(result.ok && result.warnings.join(' ')).toMatch(/cycle value read on a treadmill table/);
  });
  test('a row from memory says so', () => {
    const result = percentileOf({ ...base, vo2: 44.9 });
    expect(result.ok && result.warnings.join(' ')).toMatch(/P40.*from memory/);
  });
  test('medians alone tell above or below, and no category', () => {
    expect(percentileOf({ table: 'friend-cycle-2017', sex: 'female', ageYears: 25, vo2: 33 })).toMatchObject({
      percentile: '>P50',
      category: undefined,
    });
    expect(percentileOf({ table: 'friend-cycle-2017', sex: 'female', ageYears: 25, vo2: 31 })).toMatchObject({ percentile: 50 });
  });
  test('a lab’s own category names', () => {
    const names = {
      edges: [20, 40, 60, 80, 95],
      names: ['1', '2', 'Average', '4', '5', '6'],
      source: { citation: 'own', provenance: 'O' },
    } as const;
    expect(percentileOf({ ...base, vo2: 48, categories: names })).toMatchObject({ category: 'Average' });
  });
});

describe('other published norms', () => {
  test('the same man at 48.0: −0.76 SD of HUNT (Loe 2013), “excellent” by Cooper 1997', () => {
    expectWithin(huntZ('male', 25, 48) ?? Number.NaN, -0.76, halfUnit(2), PRINTED_DIGITS);
    expect(cooper1997Category('male', 25, 48)).toBe('Excellent');
  });
  test.each([
    ['male', 25, 32.9, 'Very poor'],
    ['male', 25, 33.0, 'Poor'],
    ['male', 25, 36.5, 'Fair'],
    ['male', 25, 42.5, 'Good'],
    ['male', 25, 52.4, 'Excellent'],
    ['male', 25, 52.5, 'Superior'],
    ['female', 35, 22.7, 'Very poor'],
    ['female', 35, 35.7, 'Excellent'],
    ['female', 29.9, 41.1, 'Superior'],
  ] as const)('Cooper 1997, %s of %f years at %f: %s (printed bounds)', (sex, age, vo2, category) => {
    expect(cooper1997Category(sex, age, vo2)).toBe(category);
  });
  test('no row is invented', () => {
    expect(cooper1997Category('male', 45, 48)).toBeUndefined();
    expect(cooper1997Category('male', 19, 48)).toBeUndefined();
    expect(huntZ('male', 35, 48)).toBeUndefined();
    expect(hunt2013.means.female.map((row) => Math.round(row.mean))).toEqual([43, 40, 38, 34, 31]);
  });
});
