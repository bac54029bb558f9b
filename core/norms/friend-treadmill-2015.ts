import type { NormRow, NormTable } from './table.ts';

// Rows 5, 10, 25, 50, 75, 90 and 95 are the rows that the paper tabulates; 20, 40, 60 and 80 are the category edges. The
// guideline book's finer rows are left out: no copy of them could be checked. `null` = not verified.
const men: readonly NormRow[] = [
  { percentile: 5, provenance: 'P2', values: [29.0, 27.2, 24.2, 20.9, 17.4, 16.3] },
  { percentile: 10, provenance: 'P2', values: [32.1, 30.2, 26.8, 22.8, 19.8, 17.1] },
  { percentile: 20, provenance: 'M', values: [38.1, 34.1, 30.5, 26.1, 22.4, null] },
  { percentile: 25, provenance: 'P2', values: [40.1, 35.9, 31.9, 27.1, 23.7, 20.4] },
  { percentile: 40, provenance: 'M', values: [44.9, 39.6, 35.7, 30.7, 26.6, null] },
  { percentile: 50, provenance: 'P2', values: [48.0, 42.4, 37.8, 32.6, 28.2, 24.4] },
  { percentile: 60, provenance: 'M', values: [50.2, 45.2, 40.3, 35.1, 30.5, null] },
  { percentile: 75, provenance: 'P2', values: [55.2, 49.2, 45.0, 39.7, 34.5, 30.4] },
  { percentile: 80, provenance: 'M', values: [57.1, 51.6, 46.7, 41.2, 36.1, null] },
  { percentile: 90, provenance: 'P2', values: [61.8, 56.5, 52.1, 45.6, 40.3, 36.6] },
  { percentile: 95, provenance: 'P2', values: [66.3, 59.8, 55.6, 50.7, 43.0, 39.7] },
];

const women: readonly NormRow[] = [
  { percentile: 5, provenance: 'P2', values: [21.7, 19.0, 17.0, 16.0, 13.4, 13.1] },
  { percentile: 10, provenance: 'P2', values: [23.9, 20.9, 18.8, 17.3, 14.6, 13.6] },
  { percentile: 20, provenance: 'M', values: [28.6, 24.1, 21.3, 19.1, 16.5, null] },
  { percentile: 25, provenance: 'P2', values: [30.5, 25.3, 22.1, 19.9, 17.2, 15.6] },
  { percentile: 40, provenance: 'M', values: [34.6, 28.2, 24.9, 21.8, 18.9, null] },
  { percentile: 50, provenance: 'P2', values: [37.6, 30.2, 26.7, 23.4, 20.0, 18.3] },
  { percentile: 60, provenance: 'M', values: [40.6, 32.2, 28.7, 25.2, 21.2, null] },
  { percentile: 75, provenance: 'P2', values: [44.7, 36.1, 32.4, 27.6, 23.8, 20.8] },
  // 30–39: one copy prints 35.7, which lies below its own 75th percentile; 37.5 is kept.
  { percentile: 80, provenance: 'M', values: [46.5, 37.5, 34.0, 28.6, 24.6, null] },
  { percentile: 90, provenance: 'P2', values: [51.3, 41.4, 38.4, 32.0, 27.0, 23.1] },
  { percentile: 95, provenance: 'P2', values: [56.0, 45.8, 41.7, 35.9, 29.4, 24.1] },
];

/** Measured VO₂max on the treadmill, FRIEND registry 2015: the treadmill table of the ACSM Guidelines, 10th and 11th editions. */
export const friendTreadmill2015: NormTable = {
  id: 'friend-treadmill-2015',
  title: 'FRIEND treadmill 2015',
  edition: '2015 (ACSM Guidelines, 10th–11th ed.)',
  mode: 'treadmill',
  unit: 'mL/kg/min',
  ages: [
    { from: 20, to: 29 },
    { from: 30, to: 39 },
    { from: 40, to: 49 },
    { from: 50, to: 59 },
    { from: 60, to: 69 },
    { from: 70, to: 79 },
  ],
  rows: { male: men, female: women },
  interpolation: 'linear between neighbouring rows; nothing beyond the outermost rows',
  population:
    '7783 treadmill tests, RER at least 1.0, eight laboratories in the United States, 20 to 79 years, free of cardiovascular disease',
  source: {
    citation: 'Kaminsky LA, Arena R, Myers J. Mayo Clin Proc 2015;90(11):1515–23',
    provenance: 'P2',
    note: 'Medians at 20–29 and 70–79 years seen in the abstract; the other tabulated rows in secondary copies that agree; the rows 20, 40, 60 and 80 are from memory of the guideline table.',
  },
  doubts: ['The rows at the 20th, 40th, 60th and 80th percentile are from memory; check them against the guideline book.'],
};
