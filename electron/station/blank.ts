/** Blank sheets and data exports: the contract's paper commands. */
import type { ExportedFile, Handlers } from '../../core/contract/contract.ts';
import { dictionaryCsv } from '../../core/data-export/dictionary.ts';
import { readingsCsv } from '../../core/data-export/readings.ts';
import { recordJson } from '../../core/data-export/record-json.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import type { Store } from '../store/store.ts';
import type { OpenRecord } from './records.ts';
import type { SheetShelf } from './sheets.ts';

/** Prints a lab sheet without a record. */
export type BlankWriter = (sheet: LabSheet, paper: 'A4' | 'Letter') => Promise<Uint8Array>;

interface Needs {
  readonly store: Store;
  readonly sheets: SheetShelf;
  readonly version: string;
  readonly record: (id: string) => Result<OpenRecord>;
  readonly writeBlank?: BlankWriter | undefined;
}

/** @param of asked at each command, since the handlers are made before the station is. */
export function paperHandlers(of: () => Needs): Pick<Handlers, 'sheet.blank' | 'record.data'> {
  return {
    'sheet.blank': async ({ sheet, paper }) => blankSheet(of(), sheet, paper),
    'record.data': async ({ session, as }) => recordData(of(), session, as),
  };
}

async function blankSheet({ sheets, writeBlank }: Needs, id: string, paper: 'A4' | 'Letter'): Promise<Result<ExportedFile>> {
  const found = sheets.find(id);
  if (!found.ok) return found;
  if (!writeBlank) return failure('not-here', 'A PDF cannot be made in this shell. Use: npm run -s lab -- blank LAB-SHEET.');
  const loaded = loadSheet(found.value.text, id);
  if (!loaded.ok) return failure('sheet-refused', `The lab sheet "${id}" has a fault and was not printed. Open it in the list of lab sheets to see what is wrong.`);
  try {
    const bytes = await writeBlank(loaded.sheet, paper);
    return success({ name: `blank-${loaded.sheet.id}.pdf`, mime: 'application/pdf', base64: Buffer.from(bytes).toString('base64') });
  } catch (cause) {
    process.stderr.write(`stagecall: blank sheet ${id}: ${(cause as Error).stack ?? String(cause)}\n`);
    return failure('not-printed', 'The blank sheet could not be made. Nothing was changed; tell your instructor.');
  }
}

function recordData({ store, version, record }: Needs, session: string, as: 'readings' | 'dictionary' | 'json'): Result<ExportedFile> {
  const file = (name: string, mime: string, text: string): Result<ExportedFile> => success({ name, mime, base64: Buffer.from(text, 'utf8').toString('base64') });
  if (as === 'dictionary') return file('readings-dictionary.csv', 'text/csv', dictionaryCsv());
  const open = record(session);
  if (!open.ok) return open;
  if (open.value.kind !== 'session') return failure('not-a-session', 'Data are exported from a session; this record is a worksheet.');
  if (open.value.damaged !== undefined) return failure('record-damaged', open.value.damaged);
  const state = open.value.sessionState();
  if (as === 'readings') return file(`readings-${session}.csv`, 'text/csv', readingsCsv(state));
  const events = store.read(session, 0);
  if (!events.ok) return events;
  return file(`record-${session}.json`, 'application/json', recordJson(state, events.value, version));
}
