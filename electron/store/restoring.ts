/**
 * Going back to a copy of the database. The present one is set aside, never deleted. What is to be done is written down
 * first, so that a process that is killed half way is followed by one that finishes: at no instant is there a folder in
 * which a start would take an empty record, or half of one, for the real thing.
 */
import { copyFileSync, existsSync, mkdirSync, renameSync } from 'node:fs';
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { BACKUP_FOLDER, copiesIn, DATABASE_NAME, isSound, look, stampOf, type Copy } from './copies.ts';
import { openDatabase } from './database.ts';
import { burialsIn, bury, scrub, type Burial } from './erasing.ts';
import { intendedErasures } from './erasing-copies.ts';
import { faultOf } from './faults.ts';
import { migrate } from './migrations.ts';
import { flushFolder, readSaid, removeDurably, writeDurably } from './small-file.ts';

const INTENT = 'restoring.json';
const LAST = 'restored.json';
const WAITING = 'restoring.sqlite';

export interface Restored {
  readonly from: Date;
  /** The folder in which the database from before is kept. */
  readonly kept: string;
}

/** The last time that a copy took the place of the database. */
export interface LastRestore {
  /** Wall clock, ISO 8601. */
  readonly at: string;
  readonly name: string;
  readonly made: string;
  readonly kept: string;
  /** The command that asked for it, to answer a repeated sending. */
  readonly command?: string;
}

/** When a copy last took the place of the record, and what asked for it. */
export function lastRestore(folder: string): LastRestore | undefined {
  return readSaid<LastRestore>(path.join(folder, LAST));
}

/** Puts the newest sound copy in the place of the database. The caller holds the folder's lock. */
export function restoreNewest(folder: string, wallMs: number): Result<Restored> {
  const good = copiesIn(folder).find((copy) => copy.kind === 'backup' && isSound(copy.file));
  if (good) return restoreFrom(folder, good, wallMs);
  const file = path.join(folder, DATABASE_NAME);
  return failure(
    'no-backup',
    `There is no sound copy in ${path.join(folder, BACKUP_FOLDER)}. Nothing was changed. Move ${file} away to begin with an empty record, and keep it: much of it can usually be read by a database tool.`,
  );
}

/** The caller holds the folder's lock, and no process has the database open. */
export function restoreFrom(folder: string, copy: Copy, wallMs: number, command?: string): Result<Restored> {
  const file = path.join(folder, DATABASE_NAME);
  const kept = path.join(folder, `replaced-${stampOf(wallMs)}`);
  // One that was cut off before is finished first, so that nothing of it is left behind.
  const before = finishRestore(folder);
  if (!before.ok) return before;
  try {
    mkdirSync(kept, { mode: 0o700 });
    // The copy first, so that a full disk is found before anything is moved.
    const waiting = path.join(kept, WAITING);
    for (const suffix of ['', '-wal']) if (existsSync(copy.file + suffix)) copyFileSync(copy.file + suffix, waiting + suffix);
    makeReady(waiting, burialsKnown(folder));
    const last: LastRestore = {
      at: new Date(wallMs).toISOString(),
      name: copy.name,
      made: copy.made.toISOString(),
      kept: path.basename(kept),
      ...(command === undefined ? {} : { command }),
    };
    writeDurably(path.join(folder, INTENT), JSON.stringify(last));
    finish(folder, last);
    return success({ from: copy.made, kept });
  } catch (cause) {
    const fault = faultOf(cause, 'opening', file);
    if (fault) return fault;
    throw cause;
  }
}

/** Finishes what a process that was killed had begun. Before the database is opened. */
export function finishRestore(folder: string): Result<void> {
  const intended = readSaid<LastRestore>(path.join(folder, INTENT));
  if (intended === undefined) return success(undefined);
  try {
    finish(folder, intended);
    return success(undefined);
  } catch (cause) {
    const fault = faultOf(cause, 'opening', path.join(folder, DATABASE_NAME));
    if (fault) return fault;
    throw cause;
  }
}

/** Each step may have been done already. */
function finish(folder: string, last: LastRestore): void {
  const kept = path.join(folder, last.kept);
  const file = path.join(folder, DATABASE_NAME);
  const waiting = path.join(kept, WAITING);
  // While the copy still waits, whatever lies in the database's place is the one from before.
  if (existsSync(waiting)) {
    for (const suffix of ['-wal', '-shm', ''])
      if (existsSync(file + suffix)) renameSync(file + suffix, path.join(kept, DATABASE_NAME + suffix));
    renameSync(waiting, file);
    flushFolder(kept);
    flushFolder(folder);
  }
  writeDurably(path.join(folder, LAST), JSON.stringify(last));
  removeDurably(path.join(folder, INTENT));
}

/** A copy from before an erasure never brings the erased session back. */
function makeReady(waiting: string, burials: readonly Burial[]): void {
  const opened = openDatabase(waiting, { mustExist: true });
  if (!opened.ok) throw new Error(opened.error.message);
  const database = opened.value;
  try {
    database.pragma('journal_mode = DELETE');
    database.pragma('synchronous = FULL');
    if (burials.length === 0 || !migrate(database, waiting).ok) return;
    for (const burial of burials) bury(database, burial);
    scrub(database);
  } finally {
    database.close();
  }
}

/** Everything that was ever erased here, as far as any database in the folder still knows. */
function burialsKnown(folder: string): readonly Burial[] {
  const known = new Map(intendedErasures(folder).map((burial) => [burial.session, burial]));
  for (const file of [path.join(folder, DATABASE_NAME), ...copiesIn(folder).map((copy) => copy.file)])
    for (const burial of look(file, burialsIn) ?? []) known.set(burial.session, burial);
  return [...known.values()];
}
