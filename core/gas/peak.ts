/** The highest oxygen uptake by a stated rule, how far the rule moves it, and whether it levelled off. */
import { average, averagingLabel, type Averaging } from './averaging.ts';
import { wholeOf, type BreathSeries, type GasRows, type Stretch } from './series.ts';
import type { GasValue } from './quantities.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

export interface PeakFinding {
  readonly quantity: GasValue;
  readonly value: number;
  /** Time of the mean that is highest, milliseconds on the file's clock. */
  readonly from: number;
  readonly to: number;
  /** Rows of the file in it. */
  readonly rows: number;
  readonly averaging: Averaging;
  /** "the highest of the rolling 30-s means; means over less than their whole time do not count" */
  readonly rule: string;
}

/**
 * The highest mean of a quantity. Means that their rows do not fill (the edges, gaps) do not count.
 * @returns undefined when no mean is full or the quantity is missing.
 */
export function peakOf(
  series: Rows,
  averaging: Averaging,
  stretch: Stretch = wholeOf(series),
  quantity: GasValue = 'vo2',
): PeakFinding | undefined {
  const averaged = average(series, averaging, stretch, quantity === 'rer' ? ['rer', 'vo2', 'vco2'] : [quantity]);
  const column = averaged.columns[quantity];
  if (!column) return undefined;
  let best = -1;
  for (let row = 0; row < averaged.length; row += 1) {
    if (averaged.full[row] !== 1 || column.present[row] !== 1) continue;
    if (best < 0 || (column.values[row] ?? 0) > (column.values[best] ?? 0)) best = row;
  }
  if (best < 0) return undefined;
  const noun = averaging.kind === 'none' ? 'the highest single row' : `the highest of the ${averagingLabel(averaging)}`;
  return {
    quantity,
    value: column.values[best] ?? 0,
    from: averaged.from[best] ?? 0,
    to: averaged.time[best] ?? 0,
    rows: averaged.rows[best] ?? 0,
    averaging,
    rule: averaging.kind === 'none' ? noun : `${noun}; means over less than their whole time do not count`,
  };
}

/** The rules that the survey found in use, a single breath as the warning example, and the advised 15 breaths. */
export const usualAveragings: readonly Averaging[] = [
  { kind: 'none' },
  { kind: 'rolling-breaths', breaths: 5 },
  { kind: 'middle-five-of-seven' },
  { kind: 'rolling-breaths', breaths: 11 },
  { kind: 'rolling-breaths', breaths: 15 },
  { kind: 'rolling-time', seconds: 15 },
  { kind: 'rolling-time', seconds: 20 },
  { kind: 'rolling-time', seconds: 30 },
  { kind: 'rolling-time', seconds: 60 },
  { kind: 'time-bins', seconds: 15 },
  { kind: 'time-bins', seconds: 20 },
  { kind: 'time-bins', seconds: 30 },
  { kind: 'time-bins', seconds: 60 },
];

export interface PeakByRule {
  readonly averaging: Averaging;
  readonly label: string;
  readonly peak: PeakFinding | undefined;
  /** Per cent above (+) or below (−) the peak by the reference rule. */
  readonly difference?: number;
  /** Why there is no peak by this rule. */
  readonly reason?: string;
}

export interface PeakSensitivity {
  readonly reference: Averaging;
  readonly table: readonly PeakByRule[];
  /** Highest less lowest peak among the means (single rows left out), L/min. */
  readonly spread: number | undefined;
}

/**
 * How far the peak moves with the rule. Rules shorter than the rows of an averaged file cannot be applied to it.
 * @param reference the rule that differences are taken from; 30-s means are advised for teaching [C].
 */
export function peakSensitivity(
  series: Rows,
  stretch: Stretch = wholeOf(series),
  reference: Averaging = { kind: 'time-bins', seconds: 30 },
): PeakSensitivity {
  const against = peakOf(series, reference, stretch)?.value;
  const spacing = series.rows?.kind === 'averaged' ? series.rows.seconds : 0;
  const table = usualAveragings.map((averaging): PeakByRule => {
    const label = averagingLabel(averaging);
    const ofBreaths = averaging.kind === 'rolling-breaths' || averaging.kind === 'middle-five-of-seven';
    if (spacing > 0 && ofBreaths) return { averaging, label, peak: undefined, reason: 'the file holds means, not breaths' };
    if (spacing > 0 && 'seconds' in averaging && averaging.seconds < spacing)
      return { averaging, label, peak: undefined, reason: `the file holds means over ${spacing} s` };
    const peak = peakOf(series, averaging, stretch);
    if (!peak) return { averaging, label, peak, reason: 'no mean is filled by its rows' };
    return { averaging, label, peak, ...(against === undefined ? {} : { difference: 100 * (peak.value / against - 1) }) };
  });
  const values = table
    .filter(({ averaging }) => averaging.kind !== 'none')
    .map(({ peak }) => peak?.value)
    .filter((value) => value !== undefined);
  return { reference, table, spread: values.length < 2 ? undefined : Math.max(...values) - Math.min(...values) };
}
