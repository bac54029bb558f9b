/** Which column of a table is the time, and which one to take where several hold the same quantity. */
import { numberIn } from './cells.ts';
import { guessTimeForm } from './guess-time-form.ts';
import { unitFor, type HeadingParts } from './headings.ts';
import { isGasValue, type GasValue } from './quantities.ts';
import { timeLikeness, type Confidence, type GasTable } from './read-table.ts';
import { timeIn, type TimeForm } from './time-form.ts';

export const headingOf = (table: Pick<GasTable, 'headings' | 'unitRow'>, column: number): string =>
  `${table.headings[column] ?? ''} ${table.unitRow?.[column] ?? ''}`;

/** A spread of at most some 150. */
export function sample<Item>(items: readonly Item[]): Item[] {
  const every = Math.max(1, Math.floor(items.length / 150));
  const taken: Item[] = [];
  for (let at = 0; at < items.length; at += every) taken.push(items[at] as Item);
  return taken;
}

export interface TimeChoice {
  readonly column: number;
  readonly form: { readonly form: TimeForm; readonly reason: string; readonly confidence: Confidence };
  readonly reason: string;
  readonly confidence: Confidence;
}

/** The column of times: a heading that says so and times that go up; else colons; else numbers that go up steadily. */
export function chooseTime(table: GasTable, parts: readonly HeadingParts[]): TimeChoice | undefined {
  let best: (TimeChoice & { readonly points: number }) | undefined;
  for (const [column, part] of parts.entries()) {
    const named = part.quantity === 'time';
    if (part.quantity !== undefined && !named) continue;
    const like = timeLikeness(table, column);
    if (like === undefined) continue;
    // Neighbouring rows, not a spread: the step between rows matters.
    const form = guessTimeForm(neighbours(table, column), headingOf(table, column), table.style);
    if (!form) continue;
    // Time since the start is preferred to the clock on the wall, which can pass midnight; a phase's own time starts again.
    const points =
      (named ? 4 : 0) + (like === 'colons' ? 2 : 1) + (form.form === 'time-of-day' ? -1 : 0) - (restarts(table, column, form.form) ? 3 : 0);
    if (best && best.points >= points) continue;
    const heading = table.headings[column] ?? '';
    const reason = named
      ? `the heading “${heading}” is a word for time`
      : like === 'colons'
        ? 'its cells are written as times'
        : 'its numbers go up from row to row';
    best = { column, form, reason, confidence: named ? 'sure' : like === 'colons' ? 'likely' : 'unsure', points };
  }
  return best;
}

/** The first few hundred cells: steps between neighbours are kept. */
export const neighbours = (table: GasTable, column: number): string[] => table.rows.slice(0, 400).map((row) => row[column] ?? '');

/** True when the times of a column fall back more than once, as the time within a phase does. */
function restarts(table: GasTable, column: number, form: TimeForm): boolean {
  if (form === 'time-of-day') return false;
  let falls = 0;
  let before = -Infinity;
  for (const row of table.rows) {
    const time = timeIn(row[column] ?? '', form, table.style);
    if (time === undefined) continue;
    if (time < before) falls += 1;
    before = time;
  }
  return falls >= 2;
}

/** Where a quantity stands in several columns, the one to take: an absolute uptake before one per kilogram, then the first. */
export function bestColumns(
  table: GasTable,
  parts: readonly HeadingParts[],
): ReadonlyMap<GasValue, { readonly column: number; readonly because: string }> {
  const best = new Map<GasValue, { column: number; because: string; points: number }>();
  for (const [column, part] of parts.entries()) {
    if (part.quantity === undefined || !isGasValue(part.quantity)) continue;
    const { quantity } = part;
    const unit = unitFor(quantity, part.unitText);
    const relative = part.perKilogram || unit === 'mL/kg/min' || unit === '[MET]';
    const filled = valuesOf(table, column).length;
    const points = (relative ? 0 : 4) + (unit === undefined ? 0 : 1) + (filled > 0 ? 2 : 0);
    const known = best.get(quantity);
    if (known && known.points >= points) continue;
    best.set(quantity, {
      column,
      because: relative ? 'the only one' : known === undefined ? 'the first one' : 'it is not per kilogram',
      points,
    });
  }
  for (const [quantity, found] of best) {
    const rivals = parts.filter((part) => part.quantity === quantity);
    if (rivals.some((part) => part.perKilogram || unitFor(quantity, part.unitText) === 'mL/kg/min'))
      best.set(quantity, { ...found, because: 'an uptake in L/min or mL/min needs no body mass' });
  }
  return best;
}

/** Numbers of a column, a spread of at most some 150. */
export function valuesOf(table: GasTable, column: number): number[] {
  return sample(table.rows)
    .map((row) => numberIn(row[column] ?? '', table.style))
    .filter((value) => value !== undefined);
}
