/** A gas exchange file named on the command line: read, mapped by what was guessed or told, and joined to the replayed session. */
import { readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { alignByEvent, applyMapping, decodeGasFile, gasQuantities, guessMapping, importOptions, isGasValue, keepSeries, missingFrom, readGasTable, timeForms, type ColumnMapping, type ColumnQuantity, type GasTable, type Mapping, type TimeForm } from '../../core/gas/gas.ts';
import { formatClock, parseClock } from '../../core/clock-text.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import { unitOf } from '../../core/units/units.ts';
import { cannotRead } from './files.ts';
import { LabError, type Invocation, type Terminal } from './lab-error.ts';

export const gasOptions = { gas: { type: 'string' }, 'gas-start': { type: 'string' }, 'gas-columns': { type: 'string' }, 'gas-time': { type: 'string' } } as const;

export const gasHelp = `  --gas FILE          a delimited text file of gas exchange, joined to the session; every guess about it is printed
  --gas-start M:SS    where exercise began on the file's clock (its first row is 0:00 in a file of clock times); or the text of
                      a marker in the file. Left out, the file is taken to begin with exercise, and that is said.
  --gas-columns "HEADING = QUANTITY UNIT; …"   instead of what is guessed. Quantities: time, marker, ignore,
                      ${Object.keys(gasQuantities).join(', ')}
  --gas-time FORM     instead of what is guessed: ${timeForms.join(', ')}
`;

export interface GasToJoin {
  readonly name: string;
  readonly table: GasTable;
  readonly mapping: Mapping;
  readonly start: string | undefined;
  /** What was understood and why, in words. */
  readonly says: readonly string[];
}

/** Reads and maps the file before anything is written. @returns undefined where none is named. @throws {LabError} */
export function readGasOption({ options }: Invocation, terminal: Terminal): GasToJoin | undefined {
  const { gas: file, 'gas-start': start, 'gas-columns': columns, 'gas-time': form } = options;
  if (typeof file !== 'string') {
    const alone = [start, columns, form].some((option) => option !== undefined);
    if (alone) throw new LabError('--gas-start, --gas-columns and --gas-time say how to read a gas exchange file; name it with --gas FILE', 2);
    return undefined;
  }
  const decoded = decodeGasFile(bytesOf(file, terminal));
  const table = readGasTable(decoded.text);
  if (!table.ok) throw new LabError(`${file}: ${table.error.message}`);
  const guessed = guessMapping(table.value);
  const told = typeof columns === 'string' ? toldColumns(columns, table.value, guessed.mapping.columns) : guessed.mapping.columns;
  if (typeof form === 'string' && !timeForms.some((one) => one === form)) throw new LabError(`--gas-time is one of ${timeForms.join(', ')}`, 2);
  const mapping: Mapping = { ...guessed.mapping, columns: told, ...(typeof form === 'string' ? { timeForm: form as TimeForm } : {}) };
  const missing = missingFrom(mapping.columns);
  if (missing.length > 0) throw new LabError(`${file}: ${missing.join(' ')} Use --gas-columns.`);
  const guesses = [...table.value.guesses, ...guessed.guesses].map((guess) => {
    const heading = guess.column === undefined ? guess.about : `column “${table.value.headings[guess.column] ?? ''}”`;
    return `${heading}: ${guess.understood} (${guess.confidence}; ${guess.reason})`;
  });
  return {
    name: path.basename(file),
    table: table.value,
    mapping,
    start: typeof start === 'string' ? start : undefined,
    says: [`read as ${decoded.encoding} (${decoded.reason})`, ...guesses, ...(typeof columns === 'string' ? [`columns as told: ${columns}`] : []), ...(typeof form === 'string' ? [`time as told: ${form}`] : [])],
  };
}

function bytesOf(file: string, terminal: Terminal): Uint8Array {
  const full = path.resolve(terminal.folder, file);
  try {
    if (statSync(full).size > 50 * 1024 * 1024) throw new LabError(`${file} is larger than 50 MB; give the file of one test`);
    return readFileSync(full);
  } catch (cause) {
    if (cause instanceof LabError) throw cause;
    throw new LabError(cannotRead(file, cause));
  }
}

/** `VO2 = vo2 mL/min; t = time` over what was guessed. */
function toldColumns(text: string, table: GasTable, guessed: readonly ColumnMapping[]): readonly ColumnMapping[] {
  const columns = [...guessed];
  for (const part of text.split(';').map((one) => one.trim()).filter((one) => one !== '')) {
    const match = /^(.*?)\s*=\s*([a-z0-9-]+)(?:\s+(\S+))?$/i.exec(part);
    const [, heading = '', quantity = '', unit] = match ?? [];
    const column = table.headings.findIndex((one) => one.trim().toLowerCase() === heading.trim().toLowerCase());
    if (!match || column < 0) throw new LabError(`--gas-columns: “${part}” is not HEADING = QUANTITY UNIT; the headings are ${table.headings.map((one) => `“${one}”`).join(', ')}`, 2);
    if (quantity !== 'time' && quantity !== 'marker' && quantity !== 'ignore' && !isGasValue(quantity)) throw new LabError(`--gas-columns: there is no quantity “${quantity}”; there are time, marker, ignore, ${Object.keys(gasQuantities).join(', ')}`, 2);
    const accepts = isGasValue(quantity) ? gasQuantities[quantity].accepts : [];
    const known = unit === undefined ? accepts[0] : accepts.find((one) => one === unit || unitOf(one).label === unit);
    if (isGasValue(quantity) && known === undefined) throw new LabError(`--gas-columns: ${quantity} comes in ${accepts.map((one) => unitOf(one).label || '1').join(', ')}`, 2);
    columns[column] = { column, heading: table.headings[column] ?? '', quantity: quantity as ColumnQuantity, ...(known === undefined ? {} : { unit: known }) };
  }
  return columns;
}

export interface JoinedGas {
  readonly text: string;
  readonly draft: (hash: string) => SessionDraft;
  /** Guesses and warnings, for the report. */
  readonly says: readonly string[];
}

/** @throws {LabError} where the file cannot be read by its mapping, or the alignment is not one. */
export function joinGas(gas: GasToJoin, state: SessionState): JoinedGas {
  const { exercise } = state.starts;
  if (exercise === undefined) throw new LabError(`${gas.name}: the session has no exercise to join a gas exchange file to`);
  const series = applyMapping(gas.table, gas.mapping, importOptions(state));
  if (!series.ok) throw new LabError(`${gas.name}: ${series.error.message}`);
  const kept = keepSeries(gas.table, gas.mapping);
  if (!kept.ok) throw new LabError(`${gas.name}: ${kept.error.message}`);
  const { markers, rows, length, dropped, problemCount } = series.value;
  const typed = gas.start === undefined ? 0 : parseClock(gas.start);
  const mark = typed === undefined ? markers.find(({ text }) => text.trim().toLowerCase() === gas.start?.trim().toLowerCase()) : undefined;
  const start = typed ?? mark?.time;
  if (start === undefined) {
    const known = markers.slice(0, 8).map(({ text }) => `“${text}”`).join(', ');
    throw new LabError(`--gas-start “${gas.start}” is neither a time such as 5:00 nor a marker of the file (${known === '' ? 'it has none' : known})`, 2);
  }
  const { offset } = alignByEvent('start of exercise', start, exercise);
  const left = dropped.map(({ reason, count }) => `${count} rows left out: ${reason}`);
  const says = [
    ...gas.says,
    gas.start === undefined ? 'no --gas-start: the file is taken to begin with exercise' : `exercise begins at ${formatClock(start)} of the file (${mark ? `marker “${mark.text}”` : 'as typed'})`,
    ...left,
    ...(problemCount > 0 ? [`${problemCount} cells are neither a number nor empty and were left out`] : []),
    ...series.value.unusual.map(({ says: unusual }) => unusual),
  ].map((text) => `${gas.name}: ${text}`);
  return {
    text: kept.value.text,
    draft: (hash) => ({ kind: 'series-attached', data: { name: gas.name, hash, rows: length, perBreath: rows.kind === 'per-breath', offset: Math.round(offset), aligned: mark ? 'event' : 'typed', mapping: kept.value.mapping } }),
    says,
  };
}
