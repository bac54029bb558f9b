/** The tables' rows as SQLite gives and takes them, and the statements over them. */
import type { SqliteDatabase } from './database.ts';
import type { StoredClock, StoredRecord } from './store.ts';

export interface EventRow {
  readonly seq: number;
  readonly body: string;
  readonly hash: string;
}

export interface RecordRow {
  readonly id: string;
  readonly kind: StoredRecord['kind'];
  readonly session: string | null;
  readonly opened: string;
}

/** A row of `records` as the rest of the program knows it. */
export const recordOf = ({ id, kind, session, opened }: RecordRow): StoredRecord => ({
  id,
  kind,
  opened,
  ...(session === null ? {} : { session }),
});

export interface ClockRow {
  readonly at: number;
  readonly monotonic: string;
  readonly slept: number;
  readonly boot: string | null;
  readonly wall: number;
  readonly rate: number;
  readonly seen_at: number;
  readonly seen_wall: number;
}

/** A row of `clocks` as the rest of the program knows it; the monotonic reading is kept as text, since it may not fit a number. */
export const clockOf = (row: ClockRow): StoredClock => ({
  at: row.at,
  monotonic: BigInt(row.monotonic),
  slept: row.slept,
  boot: row.boot ?? undefined,
  wall: row.wall,
  rate: row.rate,
  seenAt: row.seen_at,
  seenWall: row.seen_wall,
});

/** The other way round. */
export const clockRow = (record: string, clock: StoredClock): ClockRow & { readonly record: string } => ({
  record,
  at: clock.at,
  monotonic: String(clock.monotonic),
  slept: clock.slept,
  boot: clock.boot ?? null,
  wall: clock.wall,
  rate: clock.rate,
  seen_at: clock.seenAt,
  seen_wall: clock.seenWall,
});

/** Every statement of the store, prepared once. Values are only ever bound. */
export function statementsOf(database: SqliteDatabase) {
  return {
    records: database.prepare('SELECT id, kind, session, opened FROM records ORDER BY place'),
    record: database.prepare('SELECT id, kind, session, opened FROM records WHERE id = ?'),
    insertRecord: database.prepare('INSERT INTO records (id, kind, session, opened) VALUES (?, ?, ?, ?)'),
    insertEvent: database.prepare('INSERT INTO events (record, seq, body, hash, said) VALUES (?, ?, ?, ?, ?)'),
    written: database.prepare(
      "SELECT seq, json_extract(body, '$.command') AS command, hash, said FROM events WHERE record = ? ORDER BY seq",
    ),
    openings: database.prepare("SELECT record, json_extract(body, '$.command') AS command FROM events WHERE seq = 0"),
    read: database.prepare('SELECT seq, body, hash FROM events WHERE record = ? AND seq >= ? ORDER BY seq'),
    range: database.prepare('SELECT seq, body, hash FROM events WHERE record = ? AND seq >= ? AND seq < ? ORDER BY seq'),
    clock: database.prepare('SELECT at, monotonic, slept, boot, wall, rate, seen_at, seen_wall FROM clocks WHERE record = ?'),
    setClock: database.prepare(
      'INSERT OR REPLACE INTO clocks (record, at, monotonic, slept, boot, wall, rate, seen_at, seen_wall) VALUES (@record, @at, @monotonic, @slept, @boot, @wall, @rate, @seen_at, @seen_wall)',
    ),
    signature: database.prepare('SELECT head, public_key, signature FROM signatures WHERE record = ?'),
    setSignature: database.prepare('INSERT OR REPLACE INTO signatures (record, head, public_key, signature) VALUES (?, ?, ?, ?)'),
  };
}
