/** Puts the times of a file in order: which rows stand in a row of times that never falls, and why the others do not. */

export interface Ordered {
  /** Rows that are kept, in order. */
  readonly keep: readonly number[];
  readonly dropped: readonly { readonly row: number; readonly reason: 'time goes back' | 'the time starts again' }[];
  /** Rows at which the time starts again. */
  readonly restarts: readonly number[];
}

/** A row is a slip of the file, and no new beginning, when at most so many rows before it are later than it. */
const SLIPS = 3;

/**
 * A time that jumps forward or back for a few rows is a slip, and as few rows as possible are dropped. Where the time falls
 * back and goes on from there, a second recording begins: the one with the most rows is kept.
 * @param times milliseconds; @param rows indices of rows whose time could be read, in the order of the file.
 */
export function orderRows(times: Float64Array, rows: readonly number[]): Ordered {
  const time = (position: number): number => times[rows[position] ?? 0] ?? 0;
  let falls = false;
  for (let at = 1; at < rows.length; at += 1) {
    if (time(at) < time(at - 1)) {
      falls = true;
      break;
    }
  }
  if (!falls) return { keep: rows, dropped: [], restarts: [] };

  const starts = [0];
  for (let at = 1; at < rows.length; at += 1) {
    if (time(at) < time(at - 1) && beginsAgain(time, at, starts.at(-1) ?? 0, rows.length)) starts.push(at);
  }
  const pieces = starts.map((start, index) => ({ start, end: starts[index + 1] ?? rows.length }));
  const longest = pieces.reduce((best, piece) => (piece.end - piece.start > best.end - best.start ? piece : best));
  const dropped: { row: number; reason: 'time goes back' | 'the time starts again' }[] = [];
  const inPiece: number[] = [];
  for (const [at, row] of rows.entries()) {
    if (at >= longest.start && at < longest.end) inPiece.push(row);
    else dropped.push({ row, reason: 'the time starts again' });
  }
  const keep = longestRise(times, inPiece);
  const kept = new Set(keep);
  for (const row of inPiece) if (!kept.has(row)) dropped.push({ row, reason: 'time goes back' });
  return { keep, dropped, restarts: starts.slice(1).map((start) => rows[start] ?? 0) };
}

function beginsAgain(time: (position: number) => number, at: number, start: number, length: number): boolean {
  const here = time(at);
  let later = 0;
  for (let before = at - 1; before >= start && later <= SLIPS; before -= 1) if (time(before) > here) later += 1;
  if (later <= SLIPS) return false;
  // A single row that fell out of line: the next ones go on where the rows before stopped.
  for (let ahead = at + 1; ahead <= at + SLIPS && ahead < length; ahead += 1) if (time(ahead) >= time(at - 1)) return false;
  return true;
}

/** The longest run of rows whose times never fall (Fredman ML. Discrete Math 1975;11:29: patience sorting, n log n). */
function longestRise(times: Float64Array, rows: readonly number[]): number[] {
  const tails: number[] = [];
  const before = new Int32Array(rows.length).fill(-1);
  for (let at = 0; at < rows.length; at += 1) {
    const here = times[rows[at] ?? 0] ?? 0;
    let low = 0;
    let high = tails.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if ((times[rows[tails[middle] ?? 0] ?? 0] ?? 0) <= here) low = middle + 1;
      else high = middle;
    }
    if (low > 0) before[at] = tails[low - 1] ?? -1;
    tails[low] = at;
  }
  const result: number[] = [];
  for (let at = tails.at(-1) ?? -1; at >= 0; at = before[at] ?? -1) result.push(rows[at] ?? 0);
  return result.reverse();
}
