/**
 * A gas exchange file as it is kept beside a session and handed in: the columns that were mapped, their cells as written, and
 * nothing else. What stands above the headings and the columns that nobody asked for stay behind, since an analyser writes the
 * participant's name there. Read again with the mapping that was confirmed, it gives the same series.
 */
import { z } from 'zod';
import { failure, success, type Result } from '../result.ts';
import type { SessionState } from '../session/state.ts';
import { applyMapping, type ApplyOptions } from './apply-mapping.ts';
import type { ColumnMapping, Mapping } from './mapping.ts';
import { gasQuantities, gasValues, isGasValue, type ColumnQuantity } from './quantities.ts';
import type { GasTable } from './read-table.ts';
import type { BreathSeries } from './series.ts';
import { LARGEST_SERIES } from './series-limits.ts';
import { timeForms } from './time-form.ts';

export const SERIES_FORM = 'stagecall-series/1';
/** Far more columns than a test has; this program's own choice, as is the next. */
const MOST_COLUMNS = 40;
/** A remembered mapping has the columns of the whole file, those that are not imported too. */
const MOST_IN_FILE = 400;

const headSchema = z.object({
  format: z.literal(SERIES_FORM),
  headings: z.array(z.string().max(300)).min(1).max(MOST_COLUMNS),
  units: z.array(z.string().max(300)).max(MOST_COLUMNS).optional(),
  decimalMark: z.enum(['.', ',']),
  grouped: z.boolean(),
});

const quantities = [...gasValues, 'time', 'marker', 'ignore'] as const satisfies readonly ColumnQuantity[];

/** A mapping as an event keeps it. A handed-in file may hold anything in its place. */
export const mappingSchema = z.object({
  columns: z
    .array(
      z.object({
        column: z.number().int().min(0).max(MOST_IN_FILE),
        heading: z.string().max(300),
        quantity: z.enum(quantities),
        unit: z.string().max(20).optional(),
        condition: z.enum(['STPD', 'BTPS', 'ATPS', 'ATPD']).optional(),
      }),
    )
    .min(1)
    .max(MOST_IN_FILE),
  timeForm: z.enum(timeForms),
  rows: z.discriminatedUnion('kind', [
    z.object({ kind: z.literal('per-breath') }),
    z.object({ kind: z.literal('averaged'), seconds: z.number().positive().max(3600), stamped: z.enum(['start', 'middle', 'end']) }),
  ]),
});

export interface KeptSeries {
  /** What is stored, and hashed. */
  readonly text: string;
  /** The mapping with the columns counted as they stand in the text. */
  readonly mapping: Mapping;
}

/** A cell on one line of tab-parted text. */
const flat = (cell: string): string => cell.replace(/[\t\r\n]+/g, ' ');

/**
 * The text that is kept of a table that was mapped.
 * @returns failure `series-too-large` beyond 8 million characters.
 */
export function keepSeries(table: GasTable, mapping: Mapping): Result<KeptSeries> {
  const kept = mapping.columns.filter(({ quantity }) => quantity !== 'ignore');
  const head = {
    format: SERIES_FORM,
    headings: kept.map(({ heading }) => heading.slice(0, 300)),
    ...(table.unitRow === undefined ? {} : { units: kept.map(({ column }) => (table.unitRow?.[column] ?? '').slice(0, 300)) }),
    decimalMark: table.style.decimalMark,
    grouped: table.style.grouped,
  };
  const lines = table.rows.map((row, at) => [table.lines[at] ?? 0, ...kept.map(({ column }) => flat(row[column] ?? ''))].join('\t'));
  const text = `${JSON.stringify(head)}\n${lines.join('\n')}\n`;
  if (text.length > LARGEST_SERIES)
    return failure(
      'series-too-large',
      'The columns that were chosen hold more than 8 million characters; a test of one hour holds about 0.3 million. Nothing was kept. Leave out columns, or export the test alone.',
    );
  const columns = kept.map((column, at): ColumnMapping => ({ ...column, column: at, heading: column.heading.slice(0, 300) }));
  return success({ text, mapping: { ...mapping, columns } });
}

const damaged = (why: string): Result<never> =>
  failure('series-damaged', `The gas exchange file that is kept with the session cannot be read: ${why}.`);

/** The table of a kept text. @returns failure `series-damaged` for a text of another form. */
export function readKept(text: string): Result<GasTable> {
  if (text.length > LARGEST_SERIES) return damaged('it is too large');
  const [first = '', ...lines] = text.split('\n');
  let raw: unknown;
  try {
    raw = JSON.parse(first);
  } catch {
    return damaged('its first line is not understood');
  }
  const head = headSchema.safeParse(raw);
  if (!head.success) return damaged('its first line is not understood');
  const { headings, units, decimalMark, grouped } = head.data;
  const rows: string[][] = [];
  const numbers: number[] = [];
  for (const line of lines) {
    if (line === '') continue;
    const [number = '', ...cells] = line.split('\t');
    if (!/^\d{1,9}$/.test(number) || cells.length > headings.length) return damaged(`row ${rows.length + 1} is not understood`);
    numbers.push(Number(number));
    rows.push(cells);
  }
  return success({
    preamble: [],
    headings,
    ...(units === undefined ? {} : { unitRow: units }),
    rows,
    lines: numbers,
    delimiter: '\t',
    style: { decimalMark, grouped },
    leftOut: [],
    blankLines: 0,
    warnings: [],
    guesses: [],
  });
}

/** @returns failure `mapping-damaged` where an event's mapping is not one, or names a column or unit that cannot be. */
export function readMapping(raw: unknown): Result<Mapping> {
  const parsed = mappingSchema.safeParse(raw);
  const wrong = failure(
    'mapping-damaged',
    'The record does not say in a form that is understood what each column of the gas exchange file is.',
  );
  if (!parsed.success) return wrong;
  for (const { quantity, unit } of parsed.data.columns)
    if (isGasValue(quantity) && !gasQuantities[quantity].accepts.some((known) => known === unit)) return wrong;
  return success(parsed.data as Mapping);
}

/** The series of a kept text by the mapping that was confirmed for it. */
export function readSeries(text: string, mapping: unknown, options: ApplyOptions = {}): Result<BreathSeries> {
  const table = readKept(text);
  if (!table.ok) return table;
  const confirmed = readMapping(mapping);
  return confirmed.ok ? applyMapping(table.value, confirmed.value, options) : confirmed;
}

/** What an import needs to know of the session: body mass, and the room's air. */
export function importOptions(state: Pick<SessionState, 'mass' | 'details'>): ApplyOptions {
  const pressure = state.details.pressure?.value;
  const temperature = state.details.temperature?.value;
  return {
    ...(state.mass === undefined ? {} : { massKg: state.mass }),
    ...(pressure === undefined ? {} : { room: { pressure, ...(temperature === undefined ? {} : { temperature }) } }),
  };
}
