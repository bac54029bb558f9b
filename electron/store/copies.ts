/**
 * Every copy of the database in a data folder: backups, and databases that were set aside when a backup took their place.
 * Here they are found and looked into; `backups.ts` makes them, `restoring.ts` goes back to one, `erasing-copies.ts` erases.
 */
import { existsSync, readdirSync, statSync } from 'node:fs';
import path from 'node:path';
import { openDatabase, type SqliteDatabase } from './database.ts';
import { APPLICATION_ID } from './migrations.ts';

export const DATABASE_NAME = 'stagecall.sqlite';
export const BACKUP_FOLDER = 'backups';

/** `damaged-…` is how earlier versions called it. */
const asideFolder = /^(?:replaced|damaged)-(\d{8}T\d{9})Z?$/;
const backupName = /^stagecall-(\d{8}T\d{9})Z\.sqlite$/;

export interface Copy {
  /** Its path inside the data folder, with `/`: what a window names it by. */
  readonly name: string;
  readonly file: string;
  readonly kind: 'backup' | 'set-aside';
  /** When it was made or set aside. */
  readonly made: Date;
}

/** `20260302T120000000` in file names. */
export const stampOf = (wallMs: number): string => new Date(wallMs).toISOString().replace(/[-:.Z]/g, '');
const dateOf = (stamp: string): Date => new Date(stamp.replace(/^(\d{4})(\d\d)(\d\d)T(\d\d)(\d\d)(\d\d)(\d{3})$/, '$1-$2-$3T$4:$5:$6.$7Z'));

/** The newest first. */
export function copiesIn(folder: string): readonly Copy[] {
  const backups = namesIn(path.join(folder, BACKUP_FOLDER)).flatMap((name): Copy[] => {
    const stamp = backupName.exec(name)?.[1];
    return stamp === undefined
      ? []
      : [{ name: `${BACKUP_FOLDER}/${name}`, file: path.join(folder, BACKUP_FOLDER, name), kind: 'backup', made: dateOf(stamp) }];
  });
  const aside = namesIn(folder).flatMap((name): Copy[] => {
    const stamp = asideFolder.exec(name)?.[1];
    const file = path.join(folder, name, DATABASE_NAME);
    return stamp === undefined || !existsSync(file) ? [] : [{ name: `${name}/${DATABASE_NAME}`, file, kind: 'set-aside', made: dateOf(stamp) }];
  });
  return [...backups, ...aside].sort((a, b) => b.made.getTime() - a.made.getTime());
}

/** What a folder holds; nothing where it cannot be read or is not there. */
export function namesIn(folder: string): readonly string[] {
  try {
    return readdirSync(folder);
  } catch {
    return [];
  }
}

/** Whether a file is a whole database of ours. */
export function isSound(file: string): boolean {
  return look(file, (database) => database.pragma('quick_check(1)', { simple: true }) === 'ok') ?? false;
}

/** What a database holds: how many events of each record. */
export interface Holdings {
  readonly bytes: number;
  readonly sessions: ReadonlyMap<string, number>;
  readonly worksheets: ReadonlyMap<string, number>;
}

/** @returns undefined where it is damaged or not ours. */
export function holdingsOf(file: string): Holdings | undefined {
  return look(file, (database) => {
    if (database.pragma('quick_check(1)', { simple: true }) !== 'ok') return undefined;
    const rows = database
      .prepare('SELECT kind, id, (SELECT count(*) FROM events WHERE record = records.id) AS events FROM records')
      .all() as { kind: string; id: string; events: number }[];
    const of = (kind: string): ReadonlyMap<string, number> =>
      new Map(rows.filter((row) => row.kind === kind).map(({ id, events }) => [id, events]));
    return { bytes: statSync(file).size, sessions: of('session'), worksheets: of('worksheet') };
  });
}

/** Looks into a database without changing it. @returns undefined where that cannot be done. */
export function look<Value>(file: string, into: (database: SqliteDatabase) => Value): Value | undefined {
  try {
    const opened = openDatabase(file, { readonly: true, mustExist: true });
    if (!opened.ok) return undefined;
    try {
      return opened.value.pragma('application_id', { simple: true }) === APPLICATION_ID ? into(opened.value) : undefined;
    } finally {
      opened.value.close();
    }
  } catch {
    return undefined;
  }
}
