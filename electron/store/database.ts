/** The one file that loads the native database addon. Everything else sees `Store` (store.ts) or these few functions. */
import type Database from 'better-sqlite3';
import { createRequire } from 'node:module';
import { checkNodeVersion } from './node-version.ts';
import { failure, success, type Result } from '../../core/result.ts';

export type SqliteDatabase = Database.Database;

export interface DatabaseOptions {
  readonly readonly?: boolean;
  readonly mustExist?: boolean;
}

/**
 * Opens a database file, or `:memory:`.
 * @throws the engine's own error (`SqliteError` with a `code`) when the file cannot be opened; `faults.ts` puts it into words.
 */
export function openDatabase(file: string, options: DatabaseOptions = {}): Result<SqliteDatabase> {
  const node = checkNodeVersion(process.versions.node);
  if (!node.ok) return node;
  let Addon: typeof Database;
  try {
    // Not an import at the top: that would load the addon before the check above.
    Addon = createRequire(import.meta.url)('better-sqlite3') as typeof Database;
  } catch (cause) {
    return failure(
      'database-addon',
      `The database part of the program cannot be loaded (${(cause as Error).message}). Nothing was changed. Delete the folder node_modules and start again; it is fetched anew.`,
    );
  }
  return success(new Addon(file, { readonly: options.readonly ?? false, fileMustExist: options.mustExist ?? false, timeout: 2000 }));
}
