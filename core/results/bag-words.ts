/** Bag analysis in words: what was read, and the constants that every step stands on. The same on screen and paper. */
import { inspiredSets } from '../formulas/gas-exchange.ts';
import { formatNumber } from '../units/units.ts';
import type { LabSheet } from '../sheet/schema.ts';

export const bagInputLabels: Readonly<Record<string, string>> = { volume: 'Bag volume', time: 'Collection time', temperature: 'Bag temperature', pressure: 'Barometric pressure', feo2: 'Expired O₂', feco2: 'Expired CO₂' };

/** Decimals in which an input is read. */
export function bagInputDecimals(name: string): number {
  return name === 'time' || name === 'pressure' ? 0 : name === 'feo2' || name === 'feco2' ? 2 : 1;
}

/** "Inspired oxygen 0.2093, …": every constant of the sum, with its source. */
export function bagConstants(rule: NonNullable<LabSheet['bag']>): string {
  const { fio2, fico2 } = inspiredSets[rule.inspired];
  return `Inspired oxygen ${fio2}, carbon dioxide ${fico2}, nitrogen ${formatNumber(1 - fio2 - fico2, 4)} (${rule.source}). 0 °C is 273.15 K; STPD 760 mmHg; vapour pressure from the handbook table, at 37 °C 47.067 mmHg.`;
}
