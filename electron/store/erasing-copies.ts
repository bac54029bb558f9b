/**
 * Erasing a session from everything in the data folder. What is to be erased is written down first; so a process that is
 * killed half way is followed by one that finishes, and a session is either whole or gone everywhere.
 */
import { rmSync } from 'node:fs';
import path from 'node:path';
import { BACKUP_FOLDER, copiesIn, isSound, namesIn, type Copy } from './copies.ts';
import { openDatabase } from './database.ts';
import { bury, scrub, type Burial } from './erasing.ts';
import { faultOf } from './faults.ts';
import { migrate } from './migrations.ts';
import { readSaid, removeDurably, writeDurably } from './small-file.ts';
import { success, type Result } from '../../core/result.ts';

const INTENT = 'erasing.json';

/** From here on the session is to go, whatever happens to this process. */
export function intendErasure(folder: string, burial: Burial): Result<void> {
  const file = path.join(folder, INTENT);
  return tried(file, () => writeDurably(file, JSON.stringify([...intendedErasures(folder).filter(({ session }) => session !== burial.session), burial])));
}

/** Erasures that were begun and not finished. */
export function intendedErasures(folder: string): readonly Burial[] {
  return readSaid<readonly Burial[]>(path.join(folder, INTENT)) ?? [];
}

/** Forgets what was to be erased, once it is. */
export function finishedErasures(folder: string): Result<void> {
  const file = path.join(folder, INTENT);
  return tried(file, () => removeDurably(file));
}

export interface Cleaned {
  /** Copies from which it was erased, the others in them kept. */
  readonly cleaned: number;
  /** Copies that were deleted, since they are damaged and what is in them cannot be told. */
  readonly deleted: number;
}

/** Copies that are not whole yet, and what their making leaves beside them. Nobody may be making one meanwhile. */
export function removeUnfinished(folder: string): void {
  const backups = path.join(folder, BACKUP_FOLDER);
  for (const name of namesIn(backups)) if (/\.partial(-wal|-shm|-journal)?$/.test(name)) rmSync(path.join(backups, name), { force: true });
  for (const name of namesIn(folder))
    if (/^(?:replaced|damaged)-/.test(name))
      for (const inside of namesIn(path.join(folder, name)))
        if (inside.startsWith('restoring.sqlite')) rmSync(path.join(folder, name, inside), { force: true });
}

/** Erases from one copy. @returns what was done with it. */
export function eraseFromCopy(copy: Copy, burials: readonly Burial[]): Result<'cleaned' | 'deleted'> {
  return tried(copy.file, () => {
    if (isSound(copy.file)) {
      const opened = openDatabase(copy.file, { mustExist: true });
      if (!opened.ok) throw new Error(opened.error.message);
      const database = opened.value;
      try {
        // One file from now on, with no log beside it.
        database.pragma('journal_mode = DELETE');
        database.pragma('synchronous = FULL');
        const migrated = migrate(database, copy.file);
        if (migrated.ok) {
          for (const burial of burials) bury(database, burial);
          scrub(database);
          return 'cleaned';
        }
      } finally {
        database.close();
      }
    }
    for (const suffix of ['', '-wal', '-shm', '-journal']) rmSync(copy.file + suffix, { force: true });
    return 'deleted';
  });
}

/** Erases from every copy, giving way between them where the caller lets it. One that cannot be written stops none of the others. */
export async function eraseFromCopies(folder: string, burials: readonly Burial[], giveWay: () => Promise<void>): Promise<Result<Cleaned>> {
  const count = { cleaned: 0, deleted: 0 };
  let failed: Result<never> | undefined;
  for (const copy of copiesIn(folder)) {
    const done = eraseFromCopy(copy, burials);
    if (done.ok) count[done.value] += 1;
    else failed ??= done;
    await giveWay();
  }
  return failed ?? success(count);
}

function tried<Value>(file: string, action: () => Value): Result<Value> {
  try {
    return success(action());
  } catch (cause) {
    const fault = faultOf(cause, 'writing', file);
    if (fault) return fault;
    throw cause;
  }
}
