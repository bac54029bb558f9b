/** The shape of a table of norms for oxygen uptake. The tables themselves are data in the files beside this one. */
import type { Provenance, Source } from '../formulas/formula.ts';

export type NormSex = 'male' | 'female';
export type NormMode = 'treadmill' | 'cycle';

/** Whole years at the test, both ends included. */
export interface AgeBand {
  readonly from: number;
  readonly to: number;
}

/** One percentile over the table's age bands, in order. `null`: not verified, and so left out. */
export interface NormRow {
  readonly percentile: number;
  readonly provenance: Provenance;
  readonly values: readonly (number | null)[];
}

export interface NormTable {
  readonly id: string;
  readonly title: string;
  readonly edition: string;
  readonly mode: NormMode;
  /** mL/kg/min */
  readonly unit: 'mL/kg/min';
  readonly ages: readonly AgeBand[];
  /** from the lowest percentile up */
  readonly rows: Readonly<Record<NormSex, readonly NormRow[]>>;
  /** how a value between two rows is read; the same for every table here */
  readonly interpolation: 'linear between neighbouring rows; nothing beyond the outermost rows';
  readonly population: string;
  readonly source: Source;
  /** what is doubtful about the table, for the page beside the result */
  readonly doubts: readonly string[];
}

/** "20–29" */
export const ageBandLabel = (band: AgeBand): string => `${band.from}–${band.to}`;

/**
 * Names of the categories over the percentile edges 20, 40, 60, 80 and 95, from the lowest up. The edges are fixed; summaries
 * differ over the names (some print "average" for 40–59), so a lab can bring its own six.
 */
export interface CategoryNames {
  readonly edges: readonly [20, 40, 60, 80, 95];
  readonly names: readonly [string, string, string, string, string, string];
  readonly source: Source;
}

export const guidelineCategories: CategoryNames = {
  edges: [20, 40, 60, 80, 95],
  names: ['Very poor', 'Poor', 'Fair', 'Good', 'Excellent', 'Superior'],
  source: {
    citation: 'ACSM’s Guidelines for Exercise Testing and Prescription, 10th–11th ed.',
    provenance: 'M',
    note: 'Other summaries of the scheme use “average” for the 40th to 59th percentile and move the lower names down.',
  },
};
