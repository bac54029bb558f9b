/** Whether oxygen uptake levelled off at the end, by the rules in use. There is no agreed rule, so all are shown. */
import type { Source } from '../formulas/formula.ts';
import { fitLine } from '../statistics/regression.ts';
import { average, meanOver } from './averaging.ts';
import { rowAfter, valueAt, wholeOf, type BreathSeries, type GasRows, type Stretch } from './series.ts';

export interface PlateauFinding {
  readonly id: string;
  readonly title: string;
  readonly outcome: 'plateau' | 'no plateau' | 'could not be judged';
  /** The measured value in `unit`, where there is one. */
  readonly value?: number;
  /** A plateau is a value below this. */
  readonly below?: number;
  readonly unit: 'mL/min' | 'mL/kg/min' | '%';
  readonly says: string;
  readonly source: Source;
}

export interface PlateauOptions {
  /** kg, for the rule per kilogram. */
  readonly massKg?: number;
  /** Length of the means that are compared, seconds; 30 is advised for teaching [C]. */
  readonly seconds?: number;
}

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

/**
 * Judges the last part of exercise.
 * @param exercise from the start of the work to the stop, on the file's clock; recovery must not be in it.
 */
export function plateausOf(series: Rows, exercise: Stretch = wholeOf(series), options: PlateauOptions = {}): readonly PlateauFinding[] {
  const { massKg, seconds = 30 } = options;
  // Counted back from the stop, so that the last mean is a whole one.
  const length = seconds * 1000;
  const bins = Math.floor((exercise.to - exercise.from) / length);
  const means = average(series, { kind: 'time-bins', seconds }, { from: exercise.to - bins * length, to: exercise.to }, ['vo2', 've']);
  const last = means.length - 1;
  const usable = (row: number): number | undefined => (means.full[row] === 1 ? valueAt(means, 'vo2', row) : undefined);
  const end = usable(last);
  const before = usable(last - 1);
  const rise = end === undefined || before === undefined ? undefined : 1000 * (end - before);
  const ventilation = [valueAt(means, 've', last - 1), valueAt(means, 've', last)] as const;
  const ventilationRose = ventilation[0] !== undefined && ventilation[1] !== undefined ? ventilation[1] > ventilation[0] : undefined;
  const between = `the last ${seconds}-s mean and the one before`;
  return [
    byRise('rise-150', 'Rise below 150 mL/min', rise, 150, between, {
      citation: 'Taylor HL, Buskirk E, Henschel A 1955',
      provenance: 'M',
      note: 'made for the next stage of a discontinuous test; between two means of a continuous one it is met more easily',
    }),
    byMass(rise, massKg, between),
    withoutRise(rise, ventilationRose, between),
    byLastMinute(series, exercise),
    bySlope(series, exercise),
  ];
}

function byRise(id: string, title: string, rise: number | undefined, below: number, between: string, source: Source): PlateauFinding {
  if (rise === undefined)
    return { id, title, outcome: 'could not be judged', unit: 'mL/min', says: `${between} are not both filled by rows`, source };
  return {
    id,
    title,
    outcome: rise < below ? 'plateau' : 'no plateau',
    value: rise,
    below,
    unit: 'mL/min',
    says: `between ${between} it changed by ${Math.round(rise)} mL/min`,
    source,
  };
}

function byMass(rise: number | undefined, massKg: number | undefined, between: string): PlateauFinding {
  const source: Source = {
    citation: 'ERS statement on standardisation of exercise testing 2019, table',
    provenance: 'P',
    note: 'given there between stages',
  };
  const id = 'rise-2.1-per-kg';
  const title = 'Rise below 2.1 mL/kg/min';
  if (rise === undefined || massKg === undefined || !(massKg > 0)) {
    return {
      id,
      title,
      outcome: 'could not be judged',
      unit: 'mL/kg/min',
      says: rise === undefined ? `${between} are not both filled by rows` : 'the body mass is not known',
      source,
    };
  }
  const value = rise / massKg;
  return {
    id,
    title,
    outcome: value < 2.1 ? 'plateau' : 'no plateau',
    value,
    below: 2.1,
    unit: 'mL/kg/min',
    says: `between ${between} it changed by ${value.toFixed(1)} mL/kg/min`,
    source,
  };
}

function withoutRise(rise: number | undefined, ventilationRose: boolean | undefined, between: string): PlateauFinding {
  const source: Source = {
    citation: 'Edvardsen E, Hem E, Anderssen SA. PLoS One 2014;9:e85276',
    provenance: 'P',
    note: 'any two 30-s means of which the second is not higher while ventilation rises; here the last two',
  };
  const id = 'no-rise-while-ventilation-rises';
  const title = 'No further rise while ventilation rises';
  if (rise === undefined || ventilationRose === undefined)
    return {
      id,
      title,
      outcome: 'could not be judged',
      unit: 'mL/min',
      says: rise === undefined ? `${between} are not both filled by rows` : 'ventilation is not in the file',
      source,
    };
  return {
    id,
    title,
    outcome: rise <= 0 && ventilationRose ? 'plateau' : 'no plateau',
    value: rise,
    below: 0,
    unit: 'mL/min',
    says: `between ${between} oxygen uptake changed by ${Math.round(rise)} mL/min and ventilation ${ventilationRose ? 'rose' : 'did not rise'}`,
    source,
  };
}

/** Rise over the last minute by a straight line through its rows. */
function byLastMinute(series: Rows, exercise: Stretch): PlateauFinding {
  const source: Source = {
    citation: 'Astorino TA (rise of at most 50 mL/min in the last 60 s)',
    provenance: 'M',
    note: 'from memory; the rise is taken from a line through the rows of that minute',
  };
  const slope = slopeOver(series, { from: exercise.to - 60_000, to: exercise.to });
  const common = { id: 'last-minute-50', title: 'Rise of at most 50 mL/min in the last 60 s', unit: 'mL/min', source } as const;
  if (slope === undefined) return { ...common, outcome: 'could not be judged', says: 'the last minute is not filled by rows' };
  return {
    ...common,
    outcome: slope <= 50 ? 'plateau' : 'no plateau',
    value: slope,
    below: 50,
    says: `a line through the last minute rises by ${Math.round(slope)} mL/min`,
  };
}

/**
 * Slope of the last minute against the slope below: the share that is left. The submaximal slope is taken from the second
 * minute of exercise to two minutes before its end, where uptake follows the work.
 */
function bySlope(series: Rows, exercise: Stretch): PlateauFinding {
  const source: Source = {
    citation: 'Niemeyer M et al. 2021 (PMC8363556)',
    provenance: 'P',
    note: 'about half of the submaximal rise, with long sampling intervals; for work that rises evenly',
  };
  const common = { id: 'half-submaximal-slope', title: 'At most half of the submaximal slope', unit: '%', source } as const;
  const below =
    exercise.to - exercise.from >= 360_000 ? slopeOver(series, { from: exercise.from + 60_000, to: exercise.to - 120_000 }) : undefined;
  const last = slopeOver(series, { from: exercise.to - 60_000, to: exercise.to });
  if (below === undefined || last === undefined || below <= 0)
    return { ...common, outcome: 'could not be judged', says: 'the test is shorter than 6 min, has too few rows or no steady rise' };
  const share = (100 * last) / below;
  return {
    ...common,
    outcome: share <= 50 ? 'plateau' : 'no plateau',
    value: share,
    below: 50,
    says: `oxygen uptake rose by ${Math.round(below)} mL/min each minute before, and by ${Math.round(last)} in the last`,
  };
}

/** mL/min of oxygen uptake gained in each minute, by a line through the rows; undefined with fewer than 5 rows or where they do not fill it. */
function slopeOver(series: Rows, { from, to }: Stretch): number | undefined {
  if (meanOver(series, { from, to })?.full !== true) return undefined;
  const minutes: number[] = [];
  const uptake: number[] = [];
  const end = rowAfter(series, to);
  for (let row = rowAfter(series, from); row < end; row += 1) {
    const value = valueAt(series, 'vo2', row);
    if (value === undefined) continue;
    minutes.push((series.time[row] ?? 0) / 60_000);
    uptake.push(1000 * value);
  }
  if (minutes.length < 5) return undefined;
  const line = fitLine(minutes, uptake);
  return line.ok ? line.value.slope : undefined;
}
