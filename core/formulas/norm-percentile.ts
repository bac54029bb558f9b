/** The percentile of a measured oxygen uptake in the registry tables, as a formula like any other. */
import { percentileOf, type NormMode, type PercentileResult } from '../norms/norms.ts';
import { sex } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula } from './formula.ts';

type Question = {
  readonly vo2: number;
  readonly age: number;
  readonly sex: 'male' | 'female';
  readonly table: 'friend-treadmill-2015' | 'friend-treadmill-2022';
  readonly mode: NormMode;
};

const read = (v: Question): PercentileResult => percentileOf({ table: v.table, sex: v.sex, ageYears: v.age, vo2: v.vo2, testMode: v.mode });

/** One point for each row where the value stands between two; the row itself where it stands on one. */
function lineOf(result: Extract<PercentileResult, { ok: true }>): string {
  const { low, high } = result;
  if (!low || !high) return String(result.percentile);
  const row = `P${low.percentile} ${n(low.value, 1)}`;
  if (low.percentile === high.percentile) return row;
  return `${row} and P${high.percentile} ${n(high.value, 1)}`;
}

export const vo2maxPercentile: Formula = defineFormula({
  id: 'vo2max-percentile',
  title: 'Percentile of a measured oxygen uptake (FRIEND registry)',
  family: 'Against predicted',
  inputs: {
    vo2: {
      label: 'Measured oxygen uptake',
      symbol: 'VO₂max',
      unit: 'mL/kg/min',
      alsoUnits: ['[MET]'],
      min: 5,
      max: 100,
    },
    age: {
      label: 'Age',
      symbol: 'age',
      unit: 'a',
      min: 1,
      max: 110,
      whole: true,
      note: 'In whole years at the test; the decade chooses the column.',
    },
    sex,
    table: {
      label: 'Table',
      symbol: 'table',
      unit: '1',
      choices: [
        { value: 'friend-treadmill-2022', label: 'treadmill, 2022 update' },
        { value: 'friend-treadmill-2015', label: 'treadmill, 2015' },
      ],
      note: 'State it beside the percentile: the editions differ by up to ten percentile points.',
    },
    mode: {
      label: 'Ergometer of the test',
      symbol: 'mode',
      unit: '1',
      choices: [
        { value: 'treadmill', label: 'treadmill' },
        { value: 'cycle', label: 'cycle' },
      ],
      default: 'treadmill',
    },
  },
  output: { label: 'Percentile', symbol: 'P', unit: '1', decimals: 0 },
  validity: [],
  check: (v) => {
    const result = read(v);
    if (!result.ok) return [{ text: result.error.message, hard: true }];
    if (typeof result.percentile !== 'number') {
      const below = result.percentile.startsWith('<');
      return [
        {
          text: `This is ${below ? 'below' : 'above'} the outermost row of the table (${result.percentile}); nothing is extrapolated beyond it.`,
          hard: true,
        },
      ];
    }
    return result.warnings.map((text) => ({ text }));
  },
  population: 'measured on the treadmill, United States, 20 to 79 (2015) or 89 years (2022)',
  source: {
    citation: 'Kaminsky LA et al. Mayo Clin Proc 2015;90(11):1515–23 and 2022;97(2):285–93',
    provenance: 'P2',
    note: 'medians of 2015 seen in the abstract; of the rows of 2015 the edges 20, 40, 60 and 80 are from memory. The women’s medians of 2022 fit the abstract poorly: check the primary table',
  },
  equation: 'linear between neighbouring rows of the table; nothing beyond the outermost rows',
  compute: (v) => {
    const result = read(v);
    return result.ok && typeof result.percentile === 'number' ? result.percentile : Number.NaN;
  },
  substituted: (v) => {
    const result = read(v);
    return result.ok
      ? `${n(v.vo2, 2)} at ${lineOf(result)} (${result.table.title}, ${result.ageBand} years; ${(result.category ?? 'no category').toLowerCase()})`
      : n(v.vo2, 2);
  },
});
