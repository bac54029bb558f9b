/** A student's worksheet with its session, as the file that is handed in. */
import type { ExportedFile } from '../../core/contract/contract.ts';
import { fileWord } from '../../core/file-word.ts';
import { checkChain } from '../../core/record/chain.ts';
import type { StoredEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { lastSeriesOf } from '../../core/worksheet/closing.ts';
import { buildWorksheetFile, worksheetFileText, type WorksheetFile } from '../../core/worksheet/file.ts';
import type { Store } from '../store/store.ts';
import type { OpenRecord } from './records.ts';

/** Prints a worksheet: a PDF with the data attached inside. */
export type PdfWriter = (file: WorksheetFile, paper: 'A4' | 'Letter') => Promise<Uint8Array>;

interface Needs {
  readonly store: Store;
  readonly version: string;
  readonly writePdf?: PdfWriter;
}

/** The file that a student hands in: JSON, or a PDF with it attached. Fails where the record is damaged, or this shell prints nothing. */
export async function worksheetExport(
  record: OpenRecord,
  as: 'pdf' | 'json',
  paper: 'A4' | 'Letter',
  { store, version, writePdf }: Needs,
): Promise<Result<ExportedFile>> {
  if (record.kind !== 'worksheet') return failure('not-a-worksheet', 'Only a worksheet can be exported; open one on this session first.');
  if (record.damaged !== undefined) return failure('record-damaged', record.damaged);
  const { session, student } = record.worksheetState();
  const sessionEvents = store.read(session, 0);
  if (!sessionEvents.ok) return sessionEvents;
  const worksheetEvents = store.read(record.id, 0);
  if (!worksheetEvents.ok) return worksheetEvents;
  const series = namedSeries(store, sessionEvents.value);
  if (!series.ok) return series;
  const seal = store.signature(session);
  if (!seal.ok) return seal;
  let file: WorksheetFile;
  try {
    file = buildWorksheetFile({
      session: {
        events: sessionEvents.value,
        ...(seal.value ? { signature: { key: seal.value.publicKey, algorithm: 'ed25519', signature: seal.value.signature } } : {}),
      },
      worksheet: { events: worksheetEvents.value },
      ...(series.value === undefined ? {} : { series: series.value }),
      version,
    });
  } catch (cause) {
    return failure('record-damaged', `The worksheet was not exported: ${(cause as Error).message}. The record was left as it is.`);
  }
  const name = `worksheet-${fileWord(student, 'student')}-${session}`;
  if (as === 'json')
    return success({ name: `${name}.json`, mime: 'application/json', base64: Buffer.from(worksheetFileText(file)).toString('base64') });
  if (!writePdf) return failure('not-here', 'A PDF cannot be made in this shell. Export the worksheet as .json instead.');
  let bytes: Uint8Array;
  try {
    bytes = await writePdf(file, paper);
  } catch (cause) {
    process.stderr.write(`stagecall: worksheet ${record.id}: ${(cause as Error).stack ?? String(cause)}\n`);
    return failure(
      'not-printed',
      'The PDF could not be made. The record is untouched; export the worksheet as .json, which can be handed in just as well, and tell your instructor.',
    );
  }
  return success({ name: `${name}.pdf`, mime: 'application/pdf', base64: Buffer.from(bytes).toString('base64') });
}

/** The rows of the gas exchange file that the session names; without them the worksheet goes out all the same, and its reader says so. */
function namedSeries(store: Store, stored: readonly StoredEvent[]): Result<{ readonly hash: string; readonly text: string } | undefined> {
  const chain = checkChain(stored);
  const hash = chain.ok ? lastSeriesOf(chain.events) : undefined;
  if (hash === undefined) return success(undefined);
  const text = store.series(hash);
  if (!text.ok) return text;
  return success(text.value === undefined ? undefined : { hash, text: text.value });
}
