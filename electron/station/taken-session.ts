/** Takes in a session from another machine. The file is opened in a process of its own, within the limits of a handed-in file. */
import type { Handlers } from '../../core/contract/contract.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import type { Signature, Store, TakenRecord } from '../store/store.ts';
import { isSealOf } from './key.ts';

interface Needs {
  readonly store: Store;
  readonly wallMs: () => number;
  /** Tells the windows that a record is here. */
  readonly told: (record: string) => void;
}

/** @param of asked at each command, since the handlers are made before the station is. */
export function takenSessionHandlers(of: () => Needs): Pick<Handlers, 'session.take'> {
  return { 'session.take': async ({ base64 }) => take(Buffer.from(base64, 'base64'), of()) };
}

async function take(bytes: Uint8Array, { store, wallMs, told }: Needs): Promise<ReturnType<Handlers['session.take']>> {
  // Loaded when it is first asked for: few stations ever take a session in.
  const [{ runInPool }, { unpackRecord }] = await Promise.all([import('../desk/pool.ts'), import('../desk/open-for-set.ts')]);
  const opened = await runInPool({ kind: 'set-file', bytes });
  if (!opened.ok) return failure(opened.code, opened.text);
  const refused = opened.result.findings.find((finding) => finding.level === 'refusal');
  if (refused !== undefined) return failure(refused.code, `${refused.text.replace(/ No marks were given\.?/, '')} The file was not taken in.`);
  if (opened.result.record === undefined) return failure('damaged', 'The file holds no record that can be read. It was not taken in.');
  const read = readWorksheetFile(unpackRecord(opened.result.record.packed));
  if (!read.ok) return read;
  const { file } = read.value;
  const session = foldSession(read.value.session);
  const worksheet = foldWorksheet(read.value.worksheet);
  if (session.phase !== 'worksheet') return failure('not-closed', 'The session in this file is not closed: there is nothing to answer yet. It was not taken in.');
  for (const { text } of file.series ?? []) {
    const kept = store.putSeries(text, wallMs());
    if (!kept.ok) return kept;
  }
  const sealed = sealOf(file);
  const records: readonly TakenRecord[] = [
    { record: session.id, kind: 'session', opened: session.openedWall, events: file.session.events, ...(sealed === undefined ? {} : { signature: sealed }) },
    { record: worksheet.id, kind: 'worksheet', session: session.id, opened: worksheet.openedWall, events: file.worksheet.events },
  ];
  const taken: Result<readonly string[]> = store.take(records);
  if (!taken.ok) return taken;
  for (const record of taken.value) told(record);
  return success({ session: session.id, worksheet: worksheet.id, student: worksheet.student, known: !taken.value.includes(session.id) });
}

/** Which event the station's signature ends at: the closing one, after which a gas exchange file may still have been joined. */
function sealOf(file: WorksheetFile): Signature | undefined {
  const { signature, events } = file.session;
  if (signature === undefined) return undefined;
  const head = events.findLast(({ hash }) => isSealOf({ head: hash, publicKey: signature.key, signature: signature.signature }))?.hash;
  return head === undefined ? undefined : { head, publicKey: signature.key, signature: signature.signature };
}
