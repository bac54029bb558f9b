/** Which sign parts the columns. */
import Papa from 'papaparse';
import { cellKind } from './cells.ts';

export type Delimiter = ',' | ';' | '\t' | '|' | ' ';

/** A delimiter in words, for the line that says how a file was read. */
export function delimiterName(delimiter: Delimiter): string {
  return { ',': 'commas', ';': 'semicolons', '\t': 'tabs', '|': 'upright strokes', ' ': 'blanks' }[delimiter];
}

/** A text in columns of equal width: names of two words stay whole where two blanks or more part the columns. */
export function splitAtBlanks(text: string): string[][] {
  return text.split('\n').map((line) => {
    const cells = line.trim().split(/\s+/);
    return cells.some((cell) => cellKind(cell) === 'number') ? cells : line.trim().split(/\s{2,}|\t/);
  });
}

/** Characters that are looked at: the head of the file, and a piece from its middle where the data surely are. */
const HEAD = 8_000;
const MIDDLE = 4_000;

/**
 * Tries each sign on a sample and takes the one that gives the most cells that are whole numbers or times, in rows of one
 * and the same length. Decimal commas in a file of semicolons fall apart under the comma and so lose.
 * @returns undefined when no sign gives rows with two numbers.
 */
export function chooseDelimiter(
  text: string,
): { readonly delimiter: Delimiter; readonly reason: string; readonly sure: boolean } | undefined {
  const pieces = [text.slice(0, HEAD)];
  if (text.length > 2 * HEAD) {
    const from = text.indexOf('\n', Math.floor(text.length / 2));
    if (from >= 0) pieces.push(text.slice(from + 1, from + 1 + MIDDLE));
  }
  const ranked = (delimiters: readonly Delimiter[]) =>
    delimiters.map((delimiter) => ({ delimiter, ...score(pieces, delimiter) })).sort((a, b) => b.points - a.points);
  const usual = ranked([';', '\t', ',']);
  const [best, next] = (usual[0]?.points ?? 0) > 0 ? usual : ranked(['|', ' ']);
  if (!best || best.points <= 0) return undefined;
  const reason = `with ${delimiterName(best.delimiter)}, ${best.rows} sample rows have ${best.columns} cells each, most of them numbers`;
  return { delimiter: best.delimiter, reason, sure: next === undefined || next.points < 0.5 * best.points };
}

interface Score {
  readonly points: number;
  readonly rows: number;
  readonly columns: number;
}

function score(pieces: readonly string[], delimiter: Delimiter): Score {
  const lengths = new Map<number, { rows: number; good: number; text: number }>();
  for (const piece of pieces) {
    const data = delimiter === ' ' ? splitAtBlanks(piece) : Papa.parse<string[]>(piece, { delimiter, newline: '\n' }).data;
    // The last row of a piece is cut in the middle, unless it is the file's own end.
    for (const row of data.slice(0, data.length > 3 ? -1 : undefined)) {
      if (row.length < 2) continue;
      let good = 0;
      let text = 0;
      for (const cell of row) {
        const kind = cellKind(cell);
        if (kind === 'number' || kind === 'time') good += 1;
        else if (kind === 'text') text += 1;
      }
      if (good < 2) continue;
      const known = lengths.get(row.length) ?? { rows: 0, good: 0, text: 0 };
      lengths.set(row.length, { rows: known.rows + 1, good: known.good + good, text: known.text + text });
    }
  }
  let best: Score = { points: 0, rows: 0, columns: 0 };
  for (const [columns, { rows, good, text }] of lengths) {
    // Cells of text among the numbers are what a wrong sign leaves behind ("0;3" and "5;61").
    const points = rows * (good / (good + 4 * text));
    if (points > best.points || (points === best.points && columns > best.columns)) best = { points, rows, columns };
  }
  return best;
}
