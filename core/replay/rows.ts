/**
 * Reads the text of a recorded session (`SESSION.csv`) into rows with their line numbers. The form is documented in
 * lab-sheets/README.md. What the rows mean is worked out in `interpret.ts`.
 */
import Papa from 'papaparse';
import { parseClock } from '../clock-text.ts';
import { listed, oneOf } from '../sheet/nearest.ts';
import { knownQuantity, phases, quantityNames, type ReplayPhase, type RowQuantity } from './quantities.ts';

export const sessionColumns = ['time', 'phase', 'quantity', 'value', 'unit', 'by', 'note'] as const;
type Column = (typeof sessionColumns)[number];
/** Without these a row says nothing; the others may be left out of the file altogether. */
const needed: readonly Column[] = ['time', 'phase', 'quantity', 'value'];

/** What is wrong with a file: one line for a person. */
export interface ReplayProblem {
  readonly file: string;
  /** Counting from 1; the heading is line 1. */
  readonly line: number;
  readonly message: string;
  readonly remedy: string;
}

/** `R-07.csv, line 12: "4:75" is not a time; write minutes and seconds, like 4:45` */
export function replayProblemText(problem: ReplayProblem): string {
  return `${problem.file}, line ${problem.line}: ${shortly(problem.message)}; ${shortly(problem.remedy)}`;
}

/** What is quoted from a file can be of any length; a message is read by people. */
function shortly(text: string): string {
  return text.replace(/"([^"]{60})[^"]{20,}"/g, '"$1…"').slice(0, 1200);
}

/** One row of the file, its words recognised, its value not yet read. */
export interface SessionRow {
  readonly line: number;
  /** Milliseconds within the phase. */
  readonly time: number;
  readonly timeText: string;
  readonly phase: ReplayPhase;
  readonly quantity: RowQuantity;
  readonly value: string;
  readonly unit: string;
  readonly by: string;
  readonly note: string;
}

/** Carries one problem out of the reading; the first one stops it, because later ones usually follow from it. */
export class ReplayError extends Error {
  readonly line: number;
  readonly remedy: string;
  constructor(line: number, message: string, remedy: string) {
    super(message);
    this.line = line;
    this.remedy = remedy;
  }
}

const LONGEST_FILE = 5_000_000;
const MOST_ROWS = 20_000;
/** A time later than this in one phase is a spreadsheet's doing ("3:00" became "3:00:00"). */
const LONGEST_PHASE = 2 * 60 * 60_000;

/**
 * Reads the rows.
 * @throws {ReplayError} for the first thing that is wrong.
 */
export function readRows(text: string): readonly SessionRow[] {
  if (text.length > LONGEST_FILE) throw new ReplayError(1, 'the file is far too long for one session', 'give one recorded session as CSV');
  const body = text.startsWith('\uFEFF') ? text.slice(1) : text;
  if (body.trim() === '') throw new ReplayError(1, 'the file is empty', `write the heading ${sessionColumns.join(',')} and one row a fact`);
  if (body.includes('\u0000') || body.startsWith('PK\u0003')) throw new ReplayError(1, 'the file is not text', 'save the table as CSV, not as a workbook');
  const table = cells(body);
  const heading = table[0];
  if (!heading) throw new ReplayError(1, 'the file has no heading', `begin it with ${sessionColumns.join(',')}`);
  const columns = readHeading(heading.cells, heading.line);
  const rows: SessionRow[] = [];
  for (const { cells: row, line } of table.slice(1)) {
    if (row.every((cell) => cell.trim() === '') || row[0]?.trimStart().startsWith('#')) continue;
    if (row.slice(columns.length).some((cell) => cell.trim() !== '')) {
      throw new ReplayError(line, `this row has ${row.length} fields and the heading ${columns.length}`, 'put a value that holds the separator in quotes, for example "2,41"');
    }
    rows.push(readRow(row, columns, line));
    if (rows.length > MOST_ROWS) throw new ReplayError(line, `there are more than ${MOST_ROWS.toLocaleString('en-GB')} rows`, 'give one recorded session, not a breath-by-breath file');
  }
  if (rows.length === 0) throw new ReplayError(heading.line, 'there are no rows under the heading', 'write one row a fact');
  return rows;
}

interface Cells {
  readonly cells: readonly string[];
  readonly line: number;
}

/** Splits the text, and counts the lines of the file as an editor does. */
function cells(text: string): readonly Cells[] {
  const found: Cells[] = [];
  let offset = 0;
  let line = 1;
  const first = text.slice(0, text.search(/[\r\n]|$/));
  const delimiter = [',', ';', '\t'].toSorted((a, b) => first.split(b).length - first.split(a).length)[0] ?? ',';
  let trouble: ReplayError | undefined;
  Papa.parse<string[]>(text, {
    delimiter,
    step: ({ data, errors, meta }, parser) => {
      found.push({ cells: data, line });
      if (errors.length > 0 && trouble === undefined) {
        trouble = new ReplayError(line, 'a quotation mark is opened and not closed, or stands inside a value', 'put quotes around the whole value and double those inside it');
        parser.abort();
      }
      line += (text.slice(offset, meta.cursor).match(/\r\n|\n|\r/g) ?? []).length;
      offset = meta.cursor;
    },
  });
  if (trouble !== undefined) throw trouble;
  return found;
}

function readHeading(heading: readonly string[], line: number): readonly (Column | undefined)[] {
  const names = heading.map((cell) => cell.trim().toLowerCase());
  while (names.length > 0 && names.at(-1) === '') names.pop();
  const columns: Column[] = [];
  for (const name of names) {
    if (!(sessionColumns as readonly string[]).includes(name)) {
      throw new ReplayError(line, `"${name.slice(0, 40)}" is not a column of a recorded session`, names.some((one) => (sessionColumns as readonly string[]).includes(one)) ? oneOf(name, sessionColumns) : `the heading is ${sessionColumns.join(',')}`);
    }
    if (columns.includes(name as Column)) throw new ReplayError(line, `the column "${name}" is there twice`, 'keep one of the two');
    columns.push(name as Column);
  }
  const missing = needed.filter((name) => !columns.includes(name));
  if (missing.length > 0) throw new ReplayError(line, `the column ${listed(missing.map((name) => `"${name}"`), 'and')} is missing`, `the heading is ${sessionColumns.join(',')}`);
  return columns;
}

function readRow(row: readonly string[], columns: readonly (Column | undefined)[], line: number): SessionRow {
  const cell = (name: Column): string => {
    const at = columns.indexOf(name);
    return at < 0 ? '' : (row[at] ?? '').trim();
  };
  const phaseText = cell('phase').toLowerCase();
  const phase = phases.find((known) => known === phaseText);
  if (phase === undefined) {
    throw new ReplayError(line, phaseText === '' ? 'the phase is missing' : `"${cell('phase')}" is not a phase`, oneOf(phaseText, phases));
  }
  const quantity = knownQuantity(cell('quantity'));
  if (quantity === undefined) {
    const named = cell('quantity');
    throw new ReplayError(line, named === '' ? 'the quantity is missing' : `"${named}" is not a quantity of a recorded session`, oneOf(named.toLowerCase(), quantityNames));
  }
  if (!quantity.phases.includes(phase)) {
    throw new ReplayError(line, `"${quantity.id}" does not belong to the phase "${phase}"`, `give it in ${listed(quantity.phases)}`);
  }
  const timeText = cell('time');
  const untimed = phase === 'prepare' || phase === 'worksheet';
  const time = timeText === '' && untimed ? 0 : parseClock(timeText);
  if (time === undefined) {
    throw new ReplayError(line, timeText === '' ? 'the time is missing' : `"${timeText}" is not a time`, `write minutes and seconds within the phase, like 4:45`);
  }
  if (time < 0) throw new ReplayError(line, `"${timeText}" is before the phase begins`, `times count from 0:00 of the phase "${phase}"`);
  if (time > LONGEST_PHASE) {
    throw new ReplayError(line, `"${timeText}" is more than two hours into the phase`, 'a spreadsheet may have turned 3:00 into 3:00:00; keep the column as text, minutes and seconds');
  }
  const value = cell('value');
  const note = cell('note');
  if (value === '' && !quantity.mayBeBlank) throw new ReplayError(line, `"${quantity.id}" has no value`, 'write the value, or - where it was not taken, with the reason in the note');
  for (const [name, text, most] of [['value', value, 20_000], ['note', note, 20_000], ['by', cell('by'), 40]] as const) {
    if (text.length > most) throw new ReplayError(line, `the ${name} has ${text.length} characters`, `at most ${most}`);
  }
  return { line, time, timeText, phase, quantity, value, unit: cell('unit'), by: cell('by'), note };
}
