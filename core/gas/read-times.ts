/** The time column of a table in milliseconds. */
import type { GasTable } from './read-table.ts';
import { DAY_MS, timeIn, type TimeForm } from './time-form.ts';

/** Every time of the column in milliseconds. Clock times go on past midnight, minutes:seconds past the hour. */
export function readTimes(
  table: GasTable,
  column: number,
  form: TimeForm,
): { readonly times: Float64Array; readonly readable: number[]; readonly unread: number[] } {
  const times = new Float64Array(table.rows.length);
  const readable: number[] = [];
  const unread: number[] = [];
  const turn = form === 'time-of-day' ? DAY_MS : form === 'm:ss' || form === 'm:ss:cc' ? 3_600_000 : undefined;
  let added = 0;
  let before: number | undefined;
  let beforeThat: number | undefined;
  for (let row = 0; row < table.rows.length; row += 1) {
    const cell = table.rows[row]?.[column];
    const time = cell === undefined || cell === '' ? undefined : timeIn(cell, form, table.style);
    if (time === undefined) {
      unread.push(row);
      continue;
    }
    if (turn !== undefined && before !== undefined && wraps(time, before, beforeThat, turn)) added += turn;
    beforeThat = before;
    before = time;
    times[row] = time + added;
    readable.push(row);
  }
  return { times, readable, unread };
}

export function crossesMidnight(times: Float64Array, rows: readonly number[]): boolean {
  return (times[rows.at(-1) ?? 0] ?? 0) >= DAY_MS && (times[rows[0] ?? 0] ?? 0) < DAY_MS;
}

/**
 * A fall by nearly a whole turn is the clock going round: 23:59 to 0:00, or 59:58 to 0:01 where no hours are written. The row
 * before the last has to stand near the end of the turn too, so that a single wild time is not taken for one.
 */
function wraps(time: number, before: number, beforeThat: number | undefined, turn: number): boolean {
  return before - time > 0.9 * turn && before < turn && (beforeThat === undefined || beforeThat > 0.9 * turn);
}
