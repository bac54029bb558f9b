/** The copies of the record that a station keeps, and going back to one. These commands are answered even where the record itself is damaged. */
import { z } from 'zod';

export interface BackupCopy {
  /** What `backup.restore` names it by. */
  readonly name: string;
  /** A backup, or a record that was set aside when a backup took its place. */
  readonly kind: 'backup' | 'set-aside';
  /** Wall clock, ISO 8601. */
  readonly made: string;
  /** Absent where the copy is damaged: it cannot be gone back to. */
  readonly holds?: { readonly sessions: number; readonly worksheets: number; readonly entries: number };
  /** What the present record has and this copy lacks; absent where the present record cannot be read. */
  readonly lacks?: { readonly sessions: number; readonly worksheets: number; readonly entries: number };
}

export interface BackupList {
  /** Whether the present record can be read. */
  readonly present: boolean;
  /** The newest first. */
  readonly copies: readonly BackupCopy[];
}

export interface BackupRestored {
  readonly made: string;
  /** The folder, inside the data folder, in which the record from before is kept. */
  readonly kept: string;
}

function result<Value>(): { readonly type?: Value } {
  return {};
}

export const backupContract = {
  'backups.list': { input: z.object({}), result: result<BackupList>() },
  /**
   * Puts a copy in the place of the record, which is set aside. The station starts again; windows reconnect and load anew.
   * Failures: `test-running`, `passphrase-…`, `no-such-copy`, `copy-damaged`, `not-here`, and the disk's own.
   */
  'backup.restore': {
    input: z.object({ command: z.string().min(8).max(60), name: z.string().min(1).max(120), passphrase: z.string().max(200).optional() }),
    result: result<BackupRestored>(),
  },
} as const;
