/** Further published norms, for the discussion of how much the answer depends on whom one is compared with. */
import type { Source } from '../formulas/formula.ts';
import type { AgeBand, NormSex } from './table.ts';

export interface MeanNorm {
  readonly age: AgeBand;
  /** mL/kg/min */
  readonly mean: number;
  readonly sd?: number;
}

/** HUNT, Norway: treadmill running, 1929 men and 1881 women, 20 to 90 years. Means by decade; the SD was seen for the first only. */
export const hunt2013: { readonly title: string; readonly means: Readonly<Record<NormSex, readonly MeanNorm[]>>; readonly source: Source } =
  {
    title: 'HUNT treadmill 2013, means',
    means: {
      male: [
        { age: { from: 20, to: 29 }, mean: 54.4, sd: 8.4 },
        { age: { from: 30, to: 39 }, mean: 49.1 },
        { age: { from: 40, to: 49 }, mean: 47.2 },
        { age: { from: 50, to: 59 }, mean: 42.6 },
        { age: { from: 60, to: 69 }, mean: 39.2 },
      ],
      female: [
        { age: { from: 20, to: 29 }, mean: 43.0, sd: 7.7 },
        { age: { from: 30, to: 39 }, mean: 40.0 },
        { age: { from: 40, to: 49 }, mean: 38.4 },
        { age: { from: 50, to: 59 }, mean: 34.4 },
        { age: { from: 60, to: 69 }, mean: 31.1 },
      ],
    },
    source: {
      citation: 'Loe H et al. PLoS One 2013 (HUNT)',
      provenance: 'P',
      note: '20–29 years as published; for the other decades the whole numbers were seen and the decimals are from memory; 70 years and more is left out, since two copies differ by 1',
    },
  };

/** Medians of other registries, mL/kg/min, at the decades that were seen. */
export const otherMedians: readonly {
  readonly title: string;
  readonly medians: readonly { readonly sex: NormSex; readonly age: AgeBand; readonly median: number }[];
  readonly source: Source;
}[] = [
  {
    title: 'FRIEND International 2020, treadmill',
    medians: [
      { sex: 'male', age: { from: 20, to: 29 }, median: 49.5 },
      { sex: 'female', age: { from: 20, to: 29 }, median: 40.6 },
      { sex: 'male', age: { from: 70, to: 79 }, median: 30.8 },
      { sex: 'female', age: { from: 70, to: 79 }, median: 25.0 },
    ],
    source: { citation: 'Peterman JE et al. Mayo Clin Proc 2020 (11 678 treadmill tests, three countries)', provenance: 'P' },
  },
  {
    title: 'Brazil, treadmill',
    medians: [
      { sex: 'male', age: { from: 20, to: 29 }, median: 44.7 },
      { sex: 'female', age: { from: 20, to: 29 }, median: 36.3 },
      { sex: 'male', age: { from: 60, to: 69 }, median: 28.4 },
      { sex: 'female', age: { from: 60, to: 69 }, median: 22.3 },
    ],
    source: { citation: 'Brazilian treadmill sample, 18 189 tests', provenance: 'P' },
  },
];

const cooperNames = ['Very poor', 'Poor', 'Fair', 'Good', 'Excellent', 'Superior'] as const;
/** Lower bounds of poor, fair, good and excellent; superior is above the last figure. */
const cooper: readonly {
  readonly sex: NormSex;
  readonly age: AgeBand;
  readonly from: readonly [number, number, number, number];
  readonly superiorAbove: number;
}[] = [
  { sex: 'male', age: { from: 20, to: 29 }, from: [33.0, 36.5, 42.5, 46.5], superiorAbove: 52.4 },
  { sex: 'male', age: { from: 30, to: 39 }, from: [31.5, 35.5, 41.0, 45.0], superiorAbove: 49.4 },
  { sex: 'female', age: { from: 20, to: 29 }, from: [23.6, 29.0, 33.0, 37.0], superiorAbove: 41.0 },
  { sex: 'female', age: { from: 30, to: 39 }, from: [22.8, 27.0, 31.5, 35.7], superiorAbove: 40.0 },
];

export const cooper1997Source: Source = {
  citation: 'Cooper Institute 1997 categories, as on https://www.cptips.com/vomxsc.htm',
  provenance: 'P',
  note: 'VO₂max estimated from treadmill time, not measured; only the decades from 20 to 39 were seen',
};

/** The Cooper 1997 category, for 20 to 39 years; undefined elsewhere. */
export function cooper1997Category(sex: NormSex, ageYears: number, vo2: number): (typeof cooperNames)[number] | undefined {
  const years = Math.floor(ageYears);
  const row = cooper.find((r) => r.sex === sex && years >= r.age.from && years <= r.age.to);
  if (!row || !Number.isFinite(vo2) || vo2 <= 0) return undefined;
  if (vo2 > row.superiorAbove) return 'Superior';
  return cooperNames[row.from.filter((bound) => vo2 >= bound).length];
}

/** Distance from the HUNT mean in SD, for 20 to 29 years, where the SD was seen; undefined elsewhere. */
export function huntZ(sex: NormSex, ageYears: number, vo2: number): number | undefined {
  const years = Math.floor(ageYears);
  const row = hunt2013.means[sex].find((r) => years >= r.age.from && years <= r.age.to);
  return row?.sd === undefined || !Number.isFinite(vo2) ? undefined : (vo2 - row.mean) / row.sd;
}
