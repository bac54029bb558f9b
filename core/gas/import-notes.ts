/** What a person should know of an import: rows that were dropped, gaps, states of the gas, implausible values. */
import { unitOf } from '../units/units.ts';
import type { ColumnMapping, Mapping } from './mapping.ts';
import { gasQuantities, type GasValue } from './quantities.ts';
import type { GasTable } from './read-table.ts';
import type { Dropped, GasColumn, Unusual } from './series.ts';

/** Lines and rows that are named one by one. */
const MOST_LINES = 50;

/** Rows that were not kept, by reason. */
export class Drops {
  private readonly rows = new Map<Dropped['reason'], number[]>();
  private readonly lines: readonly number[];
  constructor(lines: readonly number[]) {
    this.lines = lines;
  }
  add(reason: Dropped['reason'], row: number): void {
    const known = this.rows.get(reason);
    if (known) known.push(row);
    else this.rows.set(reason, [row]);
  }
  count(reason: Dropped['reason']): number {
    return this.rows.get(reason)?.length ?? 0;
  }
  list(): Dropped[] {
    return [...this.rows].map(([reason, rows]) => ({
      reason,
      count: rows.length,
      lines: rows.slice(0, MOST_LINES).map((row) => this.lines[row] ?? 0),
    }));
  }
}

export function stateNotes(columns: readonly ColumnMapping[]): string[] {
  const silent = columns.filter(
    (column) => column.condition === undefined && gasQuantities[column.quantity as GasValue].condition !== undefined,
  );
  if (silent.length === 0) return [];
  return [
    `The file does not say in which state it gives ${silent.map((column) => gasQuantities[column.quantity as GasValue].short).join(', ')}; VO₂ and VCO₂ are taken as STPD, VE and VT as BTPS.`,
  ];
}

export function restartNotes(restarts: readonly number[], table: GasTable, drops: Drops): string[] {
  if (restarts.length === 0) return [];
  const lines = restarts.map((row) => table.lines[row] ?? 0).join(', ');
  return [
    `The time starts again on line ${lines}: the file holds more than one recording. The longest one was taken, and ${drops.count('the time starts again')} rows of the others were left out.`,
  ];
}

/** Breaths further apart than 15 s, or than six usual breaths, are a gap; means, more than two and a half steps. */
export function gapNotes(time: Float64Array, mapping: Mapping): string[] {
  const steps = time
    .subarray(1)
    .map((value, index) => value - (time[index] ?? 0))
    .sort();
  const usual = steps[Math.floor(steps.length / 2)] ?? 0;
  const limit = mapping.rows.kind === 'averaged' ? 2.5 * mapping.rows.seconds * 1000 : Math.max(15_000, 6 * usual);
  const gaps: string[] = [];
  let more = 0;
  for (let at = 1; at < time.length; at += 1) {
    const step = (time[at] ?? 0) - (time[at - 1] ?? 0);
    if (step <= limit) continue;
    if (gaps.length < 5) gaps.push(`${Math.round(step / 1000)} s at ${((time[at - 1] ?? 0) / 60_000).toFixed(1)} min`);
    else more += 1;
  }
  return gaps.length === 0
    ? []
    : [
        `Nothing was recorded for ${gaps.join(', ')}${more > 0 ? ` and ${more} more times` : ''}. Means over such a gap are marked as not full.`,
      ];
}

/** Values outside the limits of plausibility, by quantity; they stay in the series. */
export function unusualOf(columns: Readonly<Partial<Record<GasValue, GasColumn>>>): Unusual[] {
  const found: Unusual[] = [];
  for (const column of Object.values(columns)) {
    const { limits, label, unit, decimals } = gasQuantities[column.quantity];
    const [softLow, softHigh] = limits.soft;
    const [hardLow, hardHigh] = limits.hard;
    const soft: number[] = [];
    const hard: number[] = [];
    for (let row = 0; row < column.values.length; row += 1) {
      const value = column.values[row] ?? 0;
      if (column.present[row] !== 1 || (value >= softLow && value <= softHigh)) continue;
      if (value < hardLow || value > hardHigh) hard.push(row);
      else soft.push(row);
    }
    const name = unitOf(unit).label;
    const range = (low: number, high: number): string =>
      `${low.toFixed(low < 1 && low > 0 ? 2 : Math.min(decimals, 1))} to ${high.toFixed(Math.min(decimals, 2))}${name === '' ? '' : ` ${name}`}`;
    const say = (level: Unusual['level'], rows: number[], limit: string): void => {
      if (rows.length > 0)
        found.push({
          quantity: column.quantity,
          level,
          count: rows.length,
          rows: rows.slice(0, MOST_LINES),
          says: `${label}: ${rows.length} ${rows.length === 1 ? 'value is' : 'values are'} outside ${limit}, ${level}. They were kept.`,
        });
    };
    say('not possible', hard, range(hardLow, hardHigh));
    say('unusual', soft, range(softLow, softHigh));
  }
  return found;
}
