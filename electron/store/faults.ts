/** What the database engine or the disk reports, in words for a person: what happened, what was kept, what to do. */
import { failure, type Failure } from '../../core/result.ts';

type Failed = { readonly ok: false; readonly error: Failure };

/** The code of an error of SQLite (`SQLITE_FULL`) or of the system (`ENOSPC`), else an empty text. */
export function codeOf(cause: unknown): string {
  const code = (cause as { code?: unknown } | null)?.code;
  return typeof code === 'string' ? code : '';
}

/**
 * @param during what was going on: nothing of it was kept unless the message says so.
 * @returns undefined for anything that is not a fault of disk or database: that is a bug, and its owner should throw it on.
 */
export function faultOf(cause: unknown, during: 'opening' | 'writing' | 'reading', file: string): Failed | undefined {
  const code = codeOf(cause);
  const kept = during === 'writing' ? 'This entry was not saved; everything acknowledged before it was.' : 'Nothing was changed.';
  if (code === 'SQLITE_FULL' || code === 'ENOSPC' || code === 'EDQUOT') {
    return failure('disk-full', `The disk is full. ${kept} Free some space on the disk that holds ${file}, then enter it again.`);
  }
  if (/^SQLITE_(CORRUPT|NOTADB)/.test(code)) return damaged(file, (cause as Error).message);
  if (/^SQLITE_READONLY/.test(code) || code === 'EROFS' || code === 'EACCES' || code === 'EPERM' || /^SQLITE_(CANTOPEN|PERM)/.test(code)) {
    return failure(
      'folder-read-only',
      `The record cannot be written: ${file} or its folder may not be written to. ${kept} Give this account the right to write there, or start with another folder: npm start -- --data FOLDER.`,
    );
  }
  if (/^SQLITE_(BUSY|LOCKED)/.test(code)) {
    return failure(
      'database-busy',
      `Another program holds the record ${file}. ${kept} Close that program (a database viewer, a backup or a sync client), then enter it again.`,
    );
  }
  if (/^SQLITE_IOERR/.test(code) || code === 'EIO' || code === 'EFBIG') {
    return failure(
      'disk-error',
      `The disk reported an error (${code}). ${kept} Check the disk that holds ${file}; carry on on paper meanwhile and key it in afterwards.`,
    );
  }
  return undefined;
}

/** @param found what was found wrong, in the engine's words. */
export function damaged(file: string, found: string): Failed {
  return failure(
    'database-damaged',
    `The record ${file} is damaged (${found}). It was left as it is, and nothing is written to it. Go back to a copy in the window, where the copies in the folder "backups" beside it are listed; or start with "npm start -- --restore" to go on with the newest good one. The damaged file is kept.`,
  );
}
