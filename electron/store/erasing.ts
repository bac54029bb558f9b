/**
 * Erasing a whole session from a database file: its events, worksheets, series, clock and signature go, and the bytes with
 * them; a tombstone stays. Works on the station's own database and on every copy of it.
 */
import { randomBytes } from 'node:crypto';
import { sha256Hex } from '../../core/record/chain.ts';
import type { SqliteDatabase } from './database.ts';
import type { Tombstone } from './store.ts';

/** A tombstone with what tells a repeated opening command; the command itself is not kept, since anything may be written in it. */
export interface Burial extends Tombstone {
  readonly salt: string;
  readonly openedBy: string;
}

interface TombstoneRow {
  readonly session: string;
  readonly erased: string;
  readonly erased_by: string;
  readonly reason: string;
  readonly worksheets: number;
  readonly salt: string;
  readonly opened_by: string;
}

/** The sessions that were erased from this database, oldest first. */
export function burialsIn(database: SqliteDatabase): readonly Burial[] {
  const rows = database.prepare('SELECT session, erased, erased_by, reason, worksheets, salt, opened_by FROM tombstones ORDER BY place').all();
  return (rows as TombstoneRow[]).map(({ erased_by, opened_by, ...row }) => ({ ...row, by: erased_by, openedBy: opened_by }));
}

/** @param command what opened the session; undefined where that is not known (a copy that lost it). */
export function burialOf(tombstone: Tombstone, command: string | undefined): Burial {
  const salt = randomBytes(12).toString('hex');
  return { ...tombstone, salt, openedBy: command === undefined ? '' : openingDigest(salt, command) };
}

/** Whether this command opened the session that was erased. */
export function isOpeningOf({ salt, openedBy }: Burial, command: string): boolean {
  return openedBy !== '' && openedBy === openingDigest(salt, command);
}

const openingDigest = (salt: string, command: string): string => sha256Hex(`${salt}\n${command}`);

/** The records that go with a session: itself and its worksheets. Empty where the database does not have it. */
export function recordsOf(database: SqliteDatabase, session: string): readonly string[] {
  return (database.prepare('SELECT id FROM records WHERE id = @session OR session = @session').all({ session }) as { id: string }[]).map(({ id }) => id);
}

/** In one transaction: everything of the session goes and the tombstone comes, or nothing is changed. Done twice it changes nothing more. */
export function bury(database: SqliteDatabase, burial: Burial): void {
  // What is deleted is overwritten, so that even a rebuild that fails for want of room leaves no readings in free pages.
  database.pragma('secure_delete = ON');
  database
    .transaction(() => {
      const records = recordsOf(database, burial.session);
      for (const table of ['events', 'clocks', 'signatures'])
        for (const record of records) database.prepare(`DELETE FROM ${table} WHERE record = ?`).run(record);
      dropUnnamedSeries(database);
      database.prepare('DELETE FROM records WHERE session = ?').run(burial.session);
      database.prepare('DELETE FROM records WHERE id = ?').run(burial.session);
      database
        .prepare(
          'INSERT OR IGNORE INTO tombstones (session, erased, erased_by, reason, worksheets, salt, opened_by) VALUES (@session, @erased, @by, @reason, @worksheets, @salt, @openedBy)',
        )
        .run(burial);
    })
    .immediate();
}

/**
 * Series are kept by content, beside the events that name them by hash. The same file may have been taken into two sessions:
 * it goes with the last of them. One that no record names (an import that was given up) may be anybody's, and goes as well.
 */
function dropUnnamedSeries(database: SqliteDatabase): void {
  const kept = database.prepare("SELECT 1 FROM sqlite_schema WHERE type = 'table' AND name = 'series'").get();
  if (kept === undefined) return;
  const hashes = new Set((database.prepare('SELECT hash FROM series').all() as { hash: string }[]).map(({ hash }) => hash));
  if (hashes.size === 0) return;
  for (const { body } of database.prepare('SELECT body FROM events').iterate() as Iterable<{ body: string }>)
    for (const [named] of body.matchAll(/[0-9a-f]{64}/g)) hashes.delete(named);
  for (const hash of hashes) database.prepare('DELETE FROM series WHERE hash = ?').run(hash);
}

/**
 * Makes the file anew without what was deleted, and empties its write-ahead log: deleted rows leave their bytes in both.
 * @throws the engine's error where there is no room; the rows stay deleted, and this can be done again.
 */
export function scrub(database: SqliteDatabase): void {
  // The copy that a rebuild makes on its way is kept off the disk.
  database.pragma('temp_store = MEMORY');
  emptyLog(database);
  database.exec('VACUUM');
  emptyLog(database);
}

function emptyLog(database: SqliteDatabase): void {
  const [done] = database.pragma('wal_checkpoint(TRUNCATE)') as { busy: number }[];
  if (done?.busy) throw Object.assign(new Error('the write-ahead log is in use'), { code: 'SQLITE_BUSY' });
}
