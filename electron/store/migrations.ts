/**
 * The database's shape, step by step. A step that was released is never changed, renamed or moved: a new one is added.
 * Each runs in a transaction of its own; the number of the last one is kept in the database (`user_version`).
 */
import type { SqliteDatabase } from './database.ts';
import { failure, success, type Result } from '../../core/result.ts';

/** Says that a file is ours ("Stgc"), so that another program's database is never written to. */
export const APPLICATION_ID = 0x53_74_67_63;

export const migrations: readonly string[] = [
  `
  CREATE TABLE records (
    -- In the order in which they were opened, whatever the wall clock said.
    place   INTEGER PRIMARY KEY,
    id      TEXT NOT NULL UNIQUE,
    kind    TEXT NOT NULL CHECK (kind IN ('session', 'worksheet')),
    -- Worksheets only: the session that they belong to.
    session TEXT REFERENCES records (id),
    opened  TEXT NOT NULL
  ) STRICT;

  -- The facts, as the exact text over which the chain was made. Rows are added, never changed.
  CREATE TABLE events (
    record TEXT    NOT NULL REFERENCES records (id),
    seq    INTEGER NOT NULL CHECK (seq >= 0),
    body   TEXT    NOT NULL,
    hash   TEXT    NOT NULL CHECK (length(hash) = 64),
    -- On the first event of a command: a digest of what it asked for, to tell a repeated sending from an id used twice.
    -- Which command wrote which events is in their bodies; a table of its own would cost every reading a second page.
    said   TEXT,
    PRIMARY KEY (record, seq)
  ) STRICT, WITHOUT ROWID;
  CREATE TRIGGER events_are_never_changed BEFORE UPDATE ON events
  BEGIN SELECT raise(ABORT, 'an event is never changed; append another one'); END;

  -- Where a record's own time stood at a moment of this machine's clocks, and when the station last saw it run.
  CREATE TABLE clocks (
    record    TEXT NOT NULL PRIMARY KEY REFERENCES records (id),
    at        REAL NOT NULL,
    monotonic TEXT NOT NULL,
    slept     REAL NOT NULL,
    boot      TEXT,
    wall      REAL NOT NULL,
    rate      REAL NOT NULL CHECK (rate >= 0),
    seen_at   REAL NOT NULL,
    seen_wall REAL NOT NULL
  ) STRICT, WITHOUT ROWID;

  -- The station's signature of a closed record's last hash.
  CREATE TABLE signatures (
    record     TEXT NOT NULL PRIMARY KEY REFERENCES records (id),
    head       TEXT NOT NULL,
    public_key TEXT NOT NULL,
    signature  TEXT NOT NULL
  ) STRICT, WITHOUT ROWID;
  `,
  `
  -- What stays of a session that was erased: when, why and by whom; nothing of what was in it.
  CREATE TABLE tombstones (
    place      INTEGER PRIMARY KEY,
    session    TEXT NOT NULL UNIQUE,
    erased     TEXT NOT NULL,
    erased_by  TEXT NOT NULL,
    reason     TEXT NOT NULL,
    worksheets INTEGER NOT NULL,
    -- A salted digest of the command that opened it: sent again, that command is not to open it anew.
    salt       TEXT NOT NULL,
    opened_by  TEXT NOT NULL
  ) STRICT;
  `,
  `
  -- Gas exchange files, by the SHA-256 of their text; the events of a session name them.
  CREATE TABLE series (
    hash TEXT NOT NULL PRIMARY KEY CHECK (length(hash) = 64),
    text TEXT NOT NULL,
    -- Wall clock, ms: one that no record ever named is thrown away.
    put  REAL NOT NULL
  ) STRICT;

  -- What the columns of a file are, as it was last confirmed, by the digest of its headings.
  CREATE TABLE mappings (
    headings TEXT NOT NULL PRIMARY KEY,
    mapping  TEXT NOT NULL,
    used     REAL NOT NULL
  ) STRICT;
  `,
];

/**
 * Brings a database to this program's shape.
 * @param steps the steps to run; another list only in tests.
 * @throws the engine's error when a step fails; that step is undone and the ones before it stand.
 */
export function migrate(database: SqliteDatabase, file: string, steps: readonly string[] = migrations): Result<void> {
  const applicationId = database.pragma('application_id', { simple: true }) as number;
  const version = database.pragma('user_version', { simple: true }) as number;
  if (applicationId !== APPLICATION_ID) {
    const tables = database.prepare('SELECT count(*) AS n FROM sqlite_schema').get() as { n: number };
    if (applicationId !== 0 || version !== 0 || tables.n > 0) {
      return failure(
        'not-our-database',
        `${file} is a database of another program. It was left as it is. Start with another folder: npm start -- --data FOLDER.`,
      );
    }
  }
  if (version > steps.length) {
    return failure(
      'database-newer',
      `The record ${file} was written by a newer Stagecall (form ${version}; this one knows up to ${steps.length}). It was left as it is. Start the newer program, or another folder: npm start -- --data FOLDER.`,
    );
  }
  for (const [index, step] of steps.entries()) {
    if (index < version) continue;
    database.transaction(() => {
      database.exec(step);
      database.pragma(`application_id = ${APPLICATION_ID}`);
      database.pragma(`user_version = ${index + 1}`);
    })();
  }
  return success(undefined);
}
