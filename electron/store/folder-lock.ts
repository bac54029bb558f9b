/**
 * One owner of a data folder at a time, by a lock of the operating system: it goes with its process, however that ends.
 * Node has no file locks of its own; SQLite's are the system's (fcntl, LockFileEx), so an empty database holds ours.
 */
import path from 'node:path';
import { failure, success, type Result } from '../../core/result.ts';
import { openDatabase } from './database.ts';
import { codeOf, faultOf } from './faults.ts';

export interface FolderLock {
  release(): void;
}

/**
 * @param name `station`: whoever writes the records; `start`: whoever shows and restarts that process.
 * @returns failure `in-use` when another process holds it.
 */
export function lockFolder(folder: string, name: 'station' | 'start'): Result<FolderLock> {
  const file = path.join(folder, `${name}.lock`);
  try {
    const opened = openDatabase(file);
    if (!opened.ok) return opened;
    const database = opened.value;
    try {
      database.pragma('busy_timeout = 0');
      database.pragma('journal_mode = MEMORY'); // nothing is ever written, so nothing is left behind
      database.exec('BEGIN EXCLUSIVE');
    } catch (cause) {
      database.close();
      if (/^SQLITE_(BUSY|LOCKED)/.test(codeOf(cause)))
        return failure('in-use', `Stagecall is already running with the data folder ${folder}.`);
      throw cause;
    }
    return success({ release: () => database.close() });
  } catch (cause) {
    const fault = faultOf(cause, 'opening', file);
    if (fault) return fault;
    throw cause;
  }
}
