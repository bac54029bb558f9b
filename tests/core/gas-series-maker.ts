/** Series for tests: from columns of numbers, and from the rehearsal's breaths. */
import type { BreathTest } from '../../core/rehearsal/breaths.ts';
import type { GasValue } from '../../core/gas/quantities.ts';
import type { RowsKind } from '../../core/gas/rows-kind.ts';
import { columnOf, type GasColumn, type GasRows } from '../../core/gas/series.ts';

export type TestRows = GasRows & { readonly rows: RowsKind };

export function seriesOf(
  seconds: readonly number[],
  values: Readonly<Partial<Record<GasValue, readonly (number | undefined)[]>>>,
  rows: RowsKind = { kind: 'per-breath' },
): TestRows {
  const columns: Partial<Record<GasValue, GasColumn>> = {};
  for (const [quantity, list] of Object.entries(values)) columns[quantity as GasValue] = columnOf(quantity as GasValue, list);
  return { length: seconds.length, time: Float64Array.from(seconds, (second) => second * 1000), columns, rows };
}

export function seriesOfBreaths({ breaths }: BreathTest): TestRows {
  return seriesOf(
    breaths.map((breath) => breath.time),
    {
      vo2: breaths.map((breath) => breath.vo2),
      vco2: breaths.map((breath) => breath.vco2),
      ve: breaths.map((breath) => breath.ve),
      'heart-rate': breaths.map((breath) => breath.heartRate),
      'breathing-rate': breaths.map((breath) => breath.rate),
      'tidal-volume': breaths.map((breath) => breath.tidal),
    },
  );
}
