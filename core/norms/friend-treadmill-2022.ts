import type { NormRow, NormTable } from './table.ts';

const rows = (table: readonly (readonly [number, readonly number[]])[]): readonly NormRow[] =>
  table.map(([percentile, values]) => ({ percentile, provenance: 'P2', values }));

/** Measured VO₂max on the treadmill, FRIEND registry update 2022, tests with RER of at least 1.0, deciles. */
export const friendTreadmill2022: NormTable = {
  id: 'friend-treadmill-2022',
  title: 'FRIEND treadmill 2022',
  edition: '2022 update, RER at least 1.0',
  mode: 'treadmill',
  unit: 'mL/kg/min',
  ages: [
    { from: 20, to: 29 },
    { from: 30, to: 39 },
    { from: 40, to: 49 },
    { from: 50, to: 59 },
    { from: 60, to: 69 },
    { from: 70, to: 79 },
    { from: 80, to: 89 },
  ],
  rows: {
    male: rows([
      [10, [28.6, 24.9, 22.1, 18.6, 15.8, 13.6, 12.9]],
      [20, [35.2, 29.8, 26.7, 22.2, 18.5, 15.9, 14.8]],
      [30, [40.0, 33.5, 29.7, 24.5, 20.7, 17.3, 16.1]],
      [40, [43.6, 37.0, 32.4, 26.9, 22.8, 19.1, 16.6]],
      [50, [46.5, 39.7, 35.3, 29.2, 24.6, 20.6, 17.6]],
      [60, [49.0, 43.4, 37.9, 31.8, 26.5, 22.2, 18.4]],
      [70, [51.9, 46.4, 40.9, 34.3, 28.7, 23.8, 20.0]],
      [80, [54.5, 50.0, 45.2, 38.3, 32.0, 25.9, 21.4]],
      [90, [58.6, 55.5, 50.8, 43.4, 37.1, 29.4, 22.8]],
    ]),
    female: rows([
      [10, [22.5, 18.6, 17.2, 16.5, 13.4, 12.3, 11.4]],
      [20, [27.2, 21.9, 19.7, 18.5, 15.4, 14.0, 12.6]],
      [30, [30.8, 24.2, 21.8, 20.1, 17.0, 15.2, 13.7]],
      [40, [34.0, 26.4, 23.9, 21.5, 18.3, 16.2, 14.7]],
      [50, [36.6, 28.3, 25.7, 22.9, 19.6, 17.2, 15.4]],
      [60, [39.0, 31.0, 27.7, 24.6, 20.9, 18.3, 16.0]],
      [70, [41.8, 33.6, 30.0, 26.3, 22.4, 19.6, 17.3]],
      [80, [44.8, 37.0, 33.0, 28.4, 24.3, 20.8, 18.4]],
      [90, [49.0, 42.1, 37.8, 32.4, 27.3, 22.8, 20.8]],
    ]),
  },
  interpolation: 'linear between neighbouring rows; nothing beyond the outermost rows',
  population: '16 278 treadmill tests, 34 laboratories in the United States, 1968–2021, 20 to 89 years',
  source: {
    citation: 'Kaminsky LA et al. Mayo Clin Proc 2022;97(2):285–93',
    provenance: 'P2',
    note: 'The same deciles were found in three independent copies; the layout is confirmed by an author’s public analysis record.',
  },
  doubts: ['The women’s medians here are only 0.4 to 1.9 below 2015, while the abstract says 1.5 to 4.6; check the primary table.'],
};
