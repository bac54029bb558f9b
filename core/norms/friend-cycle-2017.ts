import type { NormTable } from './table.ts';

/** Medians of measured VO₂max on the cycle, FRIEND registry 2017. The full percentile table was not found, so no more is shipped. */
export const friendCycle2017: NormTable = {
  id: 'friend-cycle-2017',
  title: 'FRIEND cycle 2017, medians',
  edition: '2017, medians only',
  mode: 'cycle',
  unit: 'mL/kg/min',
  ages: [
    { from: 20, to: 29 },
    { from: 30, to: 39 },
    { from: 40, to: 49 },
    { from: 50, to: 59 },
    { from: 60, to: 69 },
    { from: 70, to: 79 },
  ],
  rows: {
    male: [{ percentile: 50, provenance: 'P2', values: [41.9, 30.1, 27.1, 24.8, 22.4, 19.5] }],
    female: [{ percentile: 50, provenance: 'P2', values: [31.0, 21.6, 19.4, 17.3, 16.0, 14.8] }],
  },
  interpolation: 'linear between neighbouring rows; nothing beyond the outermost rows',
  population: '4494 cycle tests, RER at least 1.1, ten laboratories in the United States',
  source: {
    citation: 'Kaminsky LA, Imboden MT, Arena R, Myers J. Mayo Clin Proc 2017;92(2):228–33',
    provenance: 'P2',
    note: 'The first and last decade are in the abstract; the four between were seen in secondary copies.',
  },
  doubts: ['The fall from 41.9 to 30.1 between the first two decades shows that this sample is not like the treadmill sample.'],
};
