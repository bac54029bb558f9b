/** Columns of one file that hang together: where they do not, a unit or a column was probably taken wrongly. */
import type { GasColumn } from './series.ts';
import type { GasValue } from './quantities.ts';

type Columns = Readonly<Partial<Record<GasValue, GasColumn>>>;

/**
 * RER against VCO₂/VO₂ and VE against breathing rate times tidal volume (within 0.01 and 5 %: common practice, from memory). A file
 * prints rounded values, so 0.03 is allowed for the ratio, and only rows with an uptake of 0.5 L/min and more are compared.
 * Told when more than a tenth of the rows disagree.
 */
export function agreement(columns: Columns, length: number): string[] {
  const notes: string[] = [];
  const { vo2, vco2, rer, ve } = columns;
  const rate = columns['breathing-rate'];
  const tidal = columns['tidal-volume'];
  const all = (row: number, ...list: readonly GasColumn[]): boolean => list.every((column) => column.present[row] === 1);
  if (vo2 && vco2 && rer && [vo2, vco2, rer].every((column) => column.derived === undefined)) {
    let rows = 0;
    let off = 0;
    for (let row = 0; row < length; row += 1) {
      const uptake = vo2.values[row] ?? 0;
      if (!all(row, vo2, vco2, rer) || uptake < 0.5) continue;
      rows += 1;
      if (Math.abs((vco2.values[row] ?? 0) / uptake - (rer.values[row] ?? 0)) > 0.03) off += 1;
    }
    if (off > 0.1 * rows)
      notes.push(`In ${off} of ${rows} rows the RER of the file is not VCO₂/VO₂: check the units and which column is which.`);
  }
  if (ve && rate && tidal) {
    let rows = 0;
    let off = 0;
    for (let row = 0; row < length; row += 1) {
      const ventilation = ve.values[row] ?? 0;
      if (!all(row, ve, rate, tidal) || ventilation <= 0) continue;
      rows += 1;
      if (Math.abs(((rate.values[row] ?? 0) * (tidal.values[row] ?? 0)) / ventilation - 1) > 0.05) off += 1;
    }
    if (off > 0.1 * rows)
      notes.push(
        `In ${off} of ${rows} rows VE is not breathing rate times tidal volume within 5 %: check the units, the state of the gas and which column is which.`,
      );
  }
  return notes;
}
