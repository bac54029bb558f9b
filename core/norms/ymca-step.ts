/** The one-minute count after the YMCA step test. Only the span that was seen is here: women of 18 to 25 years. */
import type { Source } from '../formulas/formula.ts';

export interface CountBand {
  readonly name: string;
  /** beats in the full minute, both ends as printed; between two bands the nearer one is not guessed */
  readonly from: number;
  readonly to: number;
}

export const ymcaStepWomen18to25: {
  readonly sex: 'female';
  readonly ages: readonly [18, 25];
  readonly bands: readonly CountBand[];
  readonly source: Source;
} = {
  sex: 'female',
  ages: [18, 25],
  bands: [
    { name: 'Excellent', from: 52, to: 81 },
    { name: 'Good', from: 85, to: 93 },
    { name: 'Above average', from: 96, to: 102 },
    { name: 'Average', from: 104, to: 110 },
    { name: 'Below average', from: 113, to: 120 },
    { name: 'Poor', from: 122, to: 131 },
    { name: 'Very poor', from: 135, to: 169 },
  ],
  source: {
    citation: 'public sheet “based on YMCA”',
    provenance: 'P',
    note: 'the printed bands leave gaps, in which a count stands between two names',
  },
};

/** The band of a count, or the two names that it stands between; undefined beyond the table. */
export function ymcaStepBand(count: number): string | undefined {
  const { bands } = ymcaStepWomen18to25;
  const inside = bands.find((band) => count >= band.from && count <= band.to);
  if (inside) return inside.name;
  const next = bands.findIndex((band) => band.from > count);
  const above = bands[next];
  const below = bands[next - 1];
  return above && below ? `${below.name} to ${above.name.toLowerCase()}` : undefined;
}
