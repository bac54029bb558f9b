/** What a connection needs before the store may be used. */
import { failure, type Result } from '../../core/result.ts';
import type { SqliteDatabase } from './database.ts';
import { damaged } from './faults.ts';
import { migrate } from './migrations.ts';

/** Up to this size the whole file is checked at each start (measured: about 1 ms per MB); a larger one as its records are read. */
const CHECK_WHOLE_BELOW_PAGES = 32_768;

/**
 * Looks a file over, sets what a connection does not remember by itself, makes sure that it took, and brings the tables to this
 * program's shape.
 * Expected failures: damage, a folder without a write-ahead log, another or a newer program's file.
 */
export function prepare(database: SqliteDatabase, file: string): Result<void> {
  const version = database.pragma('user_version', { simple: true }) as number;
  const pages = database.pragma('page_count', { simple: true }) as number;
  if (version > 0 && pages <= CHECK_WHOLE_BELOW_PAGES) {
    const found = database.pragma('quick_check(1)', { simple: true }) as string;
    if (found !== 'ok') return damaged(file, found.split('\n')[0] ?? found);
    // Pages that hold together may still hold an entry under an altered name, which then would be missed by nobody.
    const [stray] = database.pragma('foreign_key_check') as { readonly table: string }[];
    if (stray) return damaged(file, `a row of ${stray.table} belongs to no record`);
  }
  if (file !== ':memory:' && database.pragma('journal_mode = WAL', { simple: true }) !== 'wal') {
    return failure(
      'no-write-ahead-log',
      `The folder of ${file} cannot hold a write-ahead log, so readings could be lost there. Nothing was changed. Start with a folder on this machine's own disk: npm start -- --data FOLDER.`,
    );
  }
  // A reopened WAL database is not FULL by itself: without this, a power cut loses acknowledged readings.
  database.pragma('synchronous = FULL');
  if (process.platform === 'darwin') {
    database.pragma('fullfsync = ON');
    database.pragma('checkpoint_fullfsync = ON');
  }
  database.pragma('foreign_keys = ON');
  database.pragma('trusted_schema = OFF');
  if (database.pragma('synchronous', { simple: true }) !== 2) throw new Error('synchronous=FULL did not take');
  const migrated = migrate(database, file);
  // A file that may only be read opens without a word; the first reading must not be what finds out. So it is written to now.
  if (migrated.ok) database.pragma(`user_version = ${database.pragma('user_version', { simple: true }) as number}`);
  return migrated;
}
