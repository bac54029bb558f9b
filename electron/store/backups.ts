/** Copies of the database beside it: made at start and when a session is closed, the newest few kept; and going back to one. */
import { existsSync, mkdirSync, readdirSync, renameSync, rmSync, copyFileSync } from 'node:fs';
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { openDatabase } from './database.ts';
import { faultOf } from './faults.ts';
import { APPLICATION_ID } from './migrations.ts';
import type { Store } from './store.ts';

export const DATABASE_NAME = 'stagecall.sqlite';
const FOLDER = 'backups';
export const KEPT = 6;
/** A station that is restarted again and again does not push out the copy from before the trouble. */
const NOT_SOONER_THAN_MS = 10 * 60_000;

const namePattern = /^stagecall-(\d{8}T\d{9})Z\.sqlite$/;

/** Backups in a data folder, the newest first. */
export function backupsIn(folder: string): readonly { readonly file: string; readonly made: Date }[] {
  let names: string[];
  try {
    names = readdirSync(path.join(folder, FOLDER));
  } catch {
    return [];
  }
  return names
    .flatMap((name) => {
      const stamp = namePattern.exec(name)?.[1];
      if (stamp === undefined) return [];
      const made = new Date(stamp.replace(/^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(\d{3})$/, '$1-$2-$3T$4:$5:$6.$7Z'));
      return [{ file: path.join(folder, FOLDER, name), made }];
    })
    .sort((a, b) => b.made.getTime() - a.made.getTime());
}

/**
 * Copies the store as it stands. A copy that was not finished is never taken for one.
 * @param why at start, nothing is copied while the newest copy is fresh.
 */
export async function backUp(store: Store, folder: string, wallMs: number, why: 'start' | 'closed'): Promise<Result<string | undefined>> {
  const newest = backupsIn(folder)[0];
  if (why === 'start' && newest && Math.abs(wallMs - newest.made.getTime()) < NOT_SOONER_THAN_MS) return success(undefined);
  const stamp = new Date(wallMs).toISOString().replace(/[-:.]/g, '').replace(/Z$/, '');
  const file = path.join(folder, FOLDER, `stagecall-${stamp}Z.sqlite`);
  const partial = `${file}.partial`;
  try {
    mkdirSync(path.join(folder, FOLDER), { recursive: true, mode: 0o700 });
    const copied = await store.backup(partial);
    if (!copied.ok) {
      rmSync(partial, { force: true });
      return copied;
    }
    renameSync(partial, file);
    for (const old of backupsIn(folder).slice(KEPT)) rmSync(old.file, { force: true });
    return success(file);
  } catch (cause) {
    const fault = faultOf(cause, 'reading', file);
    if (fault) return fault;
    throw cause;
  }
}

/** Whether a file is a whole database of ours. */
export function isSound(file: string): boolean {
  try {
    const opened = openDatabase(file, { readonly: true, mustExist: true });
    if (!opened.ok) return false;
    try {
      return (
        opened.value.pragma('application_id', { simple: true }) === APPLICATION_ID &&
        opened.value.pragma('quick_check(1)', { simple: true }) === 'ok'
      );
    } finally {
      opened.value.close();
    }
  } catch {
    return false;
  }
}

/**
 * Puts the newest sound backup in the place of the database, which is kept beside it under another name.
 * The caller holds the folder's lock.
 */
export function restoreNewest(folder: string, wallMs: number): Result<{ readonly from: Date; readonly kept: string }> {
  const file = path.join(folder, DATABASE_NAME);
  const good = backupsIn(folder).find((backup) => isSound(backup.file));
  if (!good)
    return failure(
      'no-backup',
      `There is no sound copy in ${path.join(folder, FOLDER)}. Nothing was changed. Move ${file} away to begin with an empty record, and keep it: much of it can usually be read by a database tool.`,
    );
  const kept = path.join(folder, `damaged-${new Date(wallMs).toISOString().replace(/[-:.]/g, '')}`);
  try {
    mkdirSync(kept, { mode: 0o700 });
    // The copy first, so that a full disk is found before anything is moved.
    copyFileSync(good.file, path.join(kept, 'restoring.sqlite'));
    for (const suffix of ['', '-wal', '-shm'])
      if (existsSync(file + suffix)) renameSync(file + suffix, path.join(kept, DATABASE_NAME + suffix));
    renameSync(path.join(kept, 'restoring.sqlite'), file);
    return success({ from: good.made, kept });
  } catch (cause) {
    const fault = faultOf(cause, 'opening', file);
    if (fault) return fault;
    throw cause;
  }
}
