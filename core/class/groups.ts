/** Means of groups, the distribution over the categories of a table of norms, and the mean heart-rate curves. */
import type { Point } from '../figures/figure.ts';
import { guidelineCategories } from '../norms/norms.ts';
import { meanOf, wilsonInterval, type Statistic } from './agreement.ts';
import { choicesOf, filterClass } from './filter.ts';
import { countsOf, type ClassEntry } from './gather.ts';

/** Under so many people a group is not shown to a room: common practice in data protection. */
export const FEWEST_SHOWN = 5;

export type GroupQuantity = 'measured' | 'predicted' | 'percent' | 'peakHeartRate' | 'peakRer' | 'recovery1' | 'recovery2' | 'exerciseMinutes';

export const groupQuantities: Readonly<Record<GroupQuantity, { readonly label: string; readonly unit: string; readonly decimals: number }>> = {
  measured: { label: 'Measured VO₂', unit: 'mL/kg/min', decimals: 1 },
  predicted: { label: 'Predicted VO₂max', unit: 'mL/kg/min', decimals: 1 },
  percent: { label: 'Measured of predicted', unit: '%', decimals: 0 },
  peakHeartRate: { label: 'Peak heart rate', unit: '/min', decimals: 0 },
  peakRer: { label: 'Peak RER', unit: '', decimals: 2 },
  recovery1: { label: 'Heart-rate recovery, 1 min', unit: '/min', decimals: 0 },
  recovery2: { label: 'Heart-rate recovery, 2 min', unit: '/min', decimals: 0 },
  exerciseMinutes: { label: 'Exercise time', unit: 'min', decimals: 1 },
};

/** A test's value of a quantity, by the chosen method where it is a prediction. */
export function quantityOf(test: ClassEntry, quantity: GroupQuantity, method: string | undefined): number | undefined {
  const predicted = test.predicted.find((one) => one.method === method)?.value;
  if (quantity === 'predicted') return predicted;
  // The highest uptake of a test that a symptom ended is not a measured maximum.
  if (quantity === 'measured') return test.symptomLimited ? undefined : test.measured;
  if (quantity === 'percent') return test.symptomLimited || test.measured === undefined || predicted === undefined ? undefined : (100 * test.measured) / predicted;
  return test[quantity];
}

export interface GroupRow {
  readonly label: string;
  /** Different people; tests without a code count as one each. */
  readonly people: number;
  readonly tests: number;
  readonly means: Partial<Record<GroupQuantity, Statistic & { readonly sd?: number }>>;
}

/** One row for all, one for each sex, one for each group; in that order. */
export function groupMeans(tests: readonly ClassEntry[], method: string | undefined): readonly GroupRow[] {
  const choices = choicesOf(tests);
  const row = (label: string, members: readonly ClassEntry[]): GroupRow => ({
    label,
    people: peopleIn(members),
    tests: members.length,
    means: Object.fromEntries(
      (Object.keys(groupQuantities) as GroupQuantity[]).flatMap((quantity) => {
        const mean = meanOf(members.flatMap((test) => quantityOf(test, quantity, method) ?? []));
        return mean === undefined ? [] : [[quantity, mean]];
      }),
    ),
  });
  return [
    row('All', tests),
    ...choices.sexes.map((choice) => row(choice.label, filterClass(tests, { sex: choice.value as 'female' | 'male' }))),
    // A single group says nothing that "All" does not.
    ...(choices.groups.length < 2 ? [] : choices.groups.map((choice) => row(choice.value === '' ? 'No group named' : /^group\b/i.test(choice.label) ? choice.label : `Group ${choice.label}`, filterClass(tests, { group: choice.value })))),
  ];
}

/** People behind these tests; one without a code counts as a person of their own. */
export function peopleIn(tests: readonly ClassEntry[]): number {
  const counts = countsOf(tests);
  return counts.people + counts.withoutCode;
}

/**
 * What a room may see: rows of five people or more, and in them only means that rest on five tests or more.
 * @returns the rows, and how many were held back.
 */
export function presented(rows: readonly GroupRow[]): { readonly rows: readonly GroupRow[]; readonly heldBack: number } {
  const shown = rows.filter((row) => row.people >= FEWEST_SHOWN);
  const means = (row: GroupRow): GroupRow['means'] => Object.fromEntries(Object.entries(row.means).filter(([, mean]) => mean.n >= FEWEST_SHOWN));
  return { rows: shown.map((row) => ({ ...row, means: means(row) })), heldBack: rows.length - shown.length };
}

export interface CategoryBar {
  readonly name: string;
  readonly count: number;
  /** Share of all tests with a category, 0 to 1. */
  readonly share: Statistic;
  readonly sessions: readonly string[];
}

/** Tests by category of one table of norms, from the lowest up; categories without a test are there too. */
export function categoryBars(tests: readonly ClassEntry[], table: string): { readonly n: number; readonly bars: readonly CategoryBar[]; readonly without: number } {
  const named = tests.flatMap((test) => {
    const found = test.categories.find((one) => one.table === table);
    return found ? [{ session: test.session, name: found.name }] : [];
  });
  const names: string[] = [...guidelineCategories.names];
  // A table that ends early may leave two categories open ("Excellent or Superior"); that stands after the second of them.
  for (const { name } of named) if (!names.includes(name)) names.splice(placeFor(name, names), 0, name);
  const n = named.length;
  return {
    n,
    without: tests.length - n,
    bars: names.map((name) => {
      const sessions = named.filter((one) => one.name === name).map((one) => one.session);
      const interval = wilsonInterval(sessions.length, n);
      return { name, count: sessions.length, sessions, share: { n, value: n === 0 ? 0 : sessions.length / n, ...(interval === undefined ? {} : { interval, by: 'Wilson' }) } };
    }),
  };
}

function placeFor(name: string, names: readonly string[]): number {
  const last = names.findLastIndex((known) => name.includes(known));
  return last < 0 ? names.length : last + 1;
}

export interface MeanPoint extends Statistic {
  /** Minutes. */
  readonly x: number;
}

export interface Curves {
  readonly curves: readonly { readonly session: string; readonly points: readonly Point[] }[];
  /** At whole minutes, over the tests that have a reading there. */
  readonly means: readonly MeanPoint[];
}

/** A reading belongs to a whole minute when it is no further from it than this, min; this program's own choice. */
const NEAR_MINUTE = 0.26;

/** Heart rate of every test over the minutes of exercise or recovery, and the mean at whole minutes with its n. */
export function curvesOf(tests: readonly ClassEntry[], which: 'exercise' | 'recovery'): Curves {
  const curves = tests.filter((test) => test[which].length > 0).map((test) => ({ session: test.session, points: test[which] }));
  const minutes = new Map<number, number[]>();
  for (const { points } of curves) {
    const own = new Map<number, { sum: number; n: number }>();
    for (const { x, y } of points) {
      const minute = Math.round(x);
      if (Math.abs(x - minute) > NEAR_MINUTE) continue;
      const known = own.get(minute) ?? { sum: 0, n: 0 };
      own.set(minute, { sum: known.sum + y, n: known.n + 1 });
    }
    for (const [minute, { sum, n }] of own) {
      const list = minutes.get(minute);
      if (list) list.push(sum / n);
      else minutes.set(minute, [sum / n]);
    }
  }
  const means = [...minutes].toSorted(([a], [b]) => a - b).flatMap(([x, values]) => {
    const mean = meanOf(values);
    return mean === undefined ? [] : [{ ...mean, x }];
  });
  return { curves, means };
}
