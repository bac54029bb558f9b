/** Third step of an import: the table read by its mapping, as numbers in fixed units, in the order of time. */
import { convert, convertOxygenUptake, isOxygenUptakeUnit, unitOf } from '../units/units.ts';
import { failure, success, type Result } from '../result.ts';
import { agreement } from './agreement.ts';
import { conditionFactor, type Room } from './conditions.ts';
import { deriveColumns } from './derive.ts';
import { Drops, gapNotes, restartNotes, stateNotes, unusualOf } from './import-notes.ts';
import { missingFrom, type ColumnMapping, type Mapping } from './mapping.ts';
import { orderRows } from './order.ts';
import { gasQuantities, isGasValue, type GasValue } from './quantities.ts';
import type { GasTable } from './read-table.ts';
import { readValues, type Scale } from './read-values.ts';
import type { BreathSeries, Marker } from './series.ts';
import { DAY_MS, timeFormLabels } from './time-form.ts';
import { crossesMidnight, readTimes } from './read-times.ts';

export interface ApplyOptions {
  /** Body mass in kg: needed where the uptake is given per kilogram or in METs. */
  readonly massKg?: number;
  /** Needed where a volume is given in another state than the usual one, and to work the uptake out from expired fractions. */
  readonly room?: Room;
}

/**
 * Reads a table by its mapping.
 *
 * Rules. Time is in milliseconds on the file's own clock; clock times count from the first row and may pass midnight; a time
 * stands for the end of its breath or averaged time. A missing cell is a missing value, never a zero or a NaN (see
 * `series.ts`); a heart rate of 0 is a lost signal and so missing. Rows whose time cannot be read, goes back or starts again,
 * rows that are there twice and rows without any value are dropped, counted and named by their line. Implausible values are
 * kept and flagged.
 *
 * Refused: a mapping that lacks the time or any gas exchange, or has a quantity twice; an uptake per kilogram without the
 * body mass; a volume whose state needs the room's pressure or temperature; fewer than 3 rows that can be read.
 */
export function applyMapping(table: GasTable, mapping: Mapping, options: ApplyOptions = {}): Result<BreathSeries> {
  const missing = missingFrom(mapping.columns);
  if (missing.length > 0) return failure('mapping-incomplete', missing.join(' '));
  const timeColumn = mapping.columns.find((column) => column.quantity === 'time') as ColumnMapping;

  const { times, readable, unread } = readTimes(table, timeColumn.column, mapping.timeForm);
  if (readable.length < 3) {
    return failure(
      'no-times',
      `Only ${readable.length} of ${table.rows.length} cells of “${timeColumn.heading}” can be read as ${timeFormLabels[mapping.timeForm]}. Choose another form of time or another column.`,
    );
  }
  const ordered = orderRows(times, readable);
  const drops = new Drops(table.lines);
  for (const row of unread) drops.add('time not readable', row);
  for (const { row, reason } of ordered.dropped) drops.add(reason, row);
  const kept = withoutDoubles(table, times, ordered.keep, drops);

  const wanted = mapping.columns.filter((column) => isGasValue(column.quantity));
  const scales: Scale[] = [];
  for (const column of wanted) {
    const scale = scaleOf(column, column.quantity as GasValue, options);
    if (!scale.ok) return scale;
    scales.push(scale.value);
  }
  const { rows, empty, columns, problems, problemCount } = readValues(table, kept.rows, wanted, scales);
  for (const row of empty) drops.add('no values', row);
  if (rows.length < 3)
    return failure('too-few-rows', `Only ${rows.length} rows have a time and a value. Nothing was kept. Check which column is which.`);

  const clock = mapping.timeForm === 'time-of-day';
  const shift =
    mapping.rows.kind === 'averaged'
      ? { start: mapping.rows.seconds * 1000, middle: mapping.rows.seconds * 500, end: 0 }[mapping.rows.stamped]
      : 0;
  const first = times[rows[0] ?? 0] ?? 0;
  // Seconds since 1970, as computers count: no test begins a month after its own zero.
  const sinceLongAgo = !clock && first > 30 * DAY_MS;
  const zero = clock || sinceLongAgo ? first : 0;
  const time = new Float64Array(rows.length);
  const lines = new Int32Array(rows.length);
  for (const [at, row] of rows.entries()) {
    time[at] = (times[row] ?? 0) - zero + shift;
    lines[at] = table.lines[row] ?? 0;
  }
  const derived = deriveColumns(columns, options.room);
  const all = { ...columns, ...derived.columns };

  const notes = [
    ...stateNotes(wanted),
    ...derived.notes,
    ...restartNotes(ordered.restarts, table, drops),
    ...(kept.shared > 0
      ? [`${kept.shared} rows have the same time as the row before them, since the file's times are rounded; they were kept.`]
      : []),
    ...gapNotes(time, mapping),
    ...(sinceLongAgo ? ['The file counts its times from a day long ago; they are counted from the first row here.'] : []),
    ...(clock && crossesMidnight(times, ordered.keep) ? ['The file passes midnight; times were counted on.'] : []),
    ...(shift > 0 && mapping.rows.kind === 'averaged'
      ? [`Times stood for the ${mapping.rows.stamped} of each mean; ${shift / 1000} s were added, so that they stand for its end.`]
      : []),
    ...agreement(all, rows.length),
  ];
  return success({
    length: rows.length,
    time,
    columns: all,
    rows: mapping.rows,
    lines,
    ...(clock ? { startsAt: zero % DAY_MS } : {}),
    markers: markersOf(table, mapping, rows, time),
    dropped: drops.list(),
    problems,
    problemCount,
    unusual: unusualOf(all),
    notes,
  });
}

/** Drops a row that repeats the one before it cell by cell; rows that only share their time stay. */
function withoutDoubles(
  table: GasTable,
  times: Float64Array,
  rows: readonly number[],
  drops: Drops,
): { readonly rows: number[]; readonly shared: number } {
  const result: number[] = [];
  let shared = 0;
  for (const row of rows) {
    const last = result.at(-1);
    if (last !== undefined && times[last] === times[row]) {
      const a = table.rows[last] ?? [];
      const b = table.rows[row] ?? [];
      if (a.length === b.length && a.every((cell, column) => cell === b[column])) {
        drops.add('the same row twice', row);
        continue;
      }
      shared += 1;
    }
    result.push(row);
  }
  return { rows: result, shared };
}

/** What a number of the column is multiplied or divided by. Division by a whole number keeps 1234 mL at exactly 1.234 L. */
function scaleOf(
  column: ColumnMapping,
  quantity: GasValue,
  options: ApplyOptions,
): Result<Scale> {
  const { unit: own, accepts, label, condition: usual } = gasQuantities[quantity];
  const unit = column.unit ?? own;
  if (!accepts.includes(unit))
    return failure(
      'unit',
      `${label} cannot be given in ${unitOf(unit).label || 'a plain number'}. Choose one of: ${accepts.map((code) => unitOf(code).label || 'plain number').join(', ')}.`,
    );
  let by: number;
  if (unit === 'mL/kg/min' || unit === '[MET]') {
    const { massKg } = options;
    if (massKg === undefined || !(massKg > 0))
      return failure(
        'mass-needed',
        `“${column.heading}” is per kilogram of body mass, which is not known. Enter the mass first, or choose a column in L/min or mL/min.`,
      );
    if (!isOxygenUptakeUnit(own)) return failure('unit', `${label} cannot be given per kilogram.`);
    by = convertOxygenUptake(1, unit, own, massKg);
  } else {
    by = convert(1, unit, own);
  }
  if (column.condition !== undefined && usual !== undefined && column.condition !== usual) {
    const factor = conditionFactor(column.condition, usual, options.room);
    if (factor === undefined) {
      const ambient = column.condition === 'ATPS' || column.condition === 'ATPD';
      return failure(
        'room-needed',
        `“${column.heading}” is given as ${column.condition}. To put it to ${usual} the barometric pressure${ambient ? ' and the temperature of the gas are' : ' is'} needed. Enter ${ambient ? 'them' : 'it'} first, or choose another column.`,
      );
    }
    by *= factor;
  }
  const inverse = 1 / by;
  return Number.isFinite(inverse) && Math.abs(inverse - Math.round(inverse)) < 1e-9 * inverse
    ? success({ by: Math.round(inverse), divide: true })
    : success({ by, divide: false });
}

function markersOf(table: GasTable, mapping: Mapping, rows: readonly number[], time: Float64Array): Marker[] {
  const markers: Marker[] = [];
  for (const { column, quantity } of mapping.columns) {
    if (quantity !== 'marker') continue;
    let before = '';
    for (let row = 0; row < rows.length; row += 1) {
      const cell = table.rows[rows[row] ?? 0]?.[column] ?? '';
      const text = cell === '' ? '' : cell.trim();
      // A phase written in every row is a mark where it changes.
      if (text !== '' && text !== before) markers.push({ row, time: time[row] ?? 0, text: text.slice(0, 80) });
      before = text;
    }
  }
  return markers.sort((a, b) => a.row - b.row);
}
