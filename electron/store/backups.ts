/** Copies of the database beside it: made at start and when a session is closed, the newest few kept. */
import { mkdirSync, renameSync, rmSync } from 'node:fs';
import path from 'node:path';
import { success, type Result } from '../../core/result.ts';
import { BACKUP_FOLDER, copiesIn, stampOf, type Copy } from './copies.ts';
import { openDatabase } from './database.ts';
import { faultOf } from './faults.ts';
import type { Store } from './store.ts';

export { DATABASE_NAME, isSound } from './copies.ts';
export { restoreNewest } from './restoring.ts';
export const KEPT = 6;
/** A station that is restarted again and again does not push out the copy from before the trouble. */
const NOT_SOONER_THAN_MS = 10 * 60_000;

/** Backups in a data folder, the newest first. */
export function backupsIn(folder: string): readonly Copy[] {
  return copiesIn(folder).filter(({ kind }) => kind === 'backup');
}

/**
 * Copies the store as it stands. A copy that was not finished is never taken for one.
 * @param why at start, nothing is copied while the newest copy is fresh.
 */
export async function backUp(store: Store, folder: string, wallMs: number, why: 'start' | 'closed'): Promise<Result<string | undefined>> {
  const newest = backupsIn(folder)[0];
  if (why === 'start' && newest && Math.abs(wallMs - newest.made.getTime()) < NOT_SOONER_THAN_MS) return success(undefined);
  const file = path.join(folder, BACKUP_FOLDER, `stagecall-${stampOf(wallMs)}Z.sqlite`);
  const partial = `${file}.partial`;
  try {
    mkdirSync(path.join(folder, BACKUP_FOLDER), { recursive: true, mode: 0o700 });
    const copied = await store.backup(partial);
    if (!copied.ok) {
      rmSync(partial, { force: true });
      return copied;
    }
    asOneFile(partial);
    renameSync(partial, file);
    for (const old of backupsIn(folder).slice(KEPT)) rmSync(old.file, { force: true });
    return success(file);
  } catch (cause) {
    const fault = faultOf(cause, 'reading', file);
    if (fault) return fault;
    throw cause;
  }
}

/** A copy carries the mark of a write-ahead log; without it, looking into the copy leaves nothing beside it. */
function asOneFile(file: string): void {
  const opened = openDatabase(file, { mustExist: true });
  if (!opened.ok) return;
  opened.value.pragma('journal_mode = DELETE');
  opened.value.close();
}
