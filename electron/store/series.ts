/** Gas exchange files by their content, and remembered mappings: the part of the database beside the records. */
import { sha256Hex } from '../../core/record/chain.ts';
import { eventOf } from '../../core/record/event.ts';
import type { SqliteDatabase } from './database.ts';

/** A series that was put and not named by a record for so long was given up at the import step. */
const UNNAMED_MS = 60 * 60_000;
/** Heading sets that are remembered; a laboratory has a handful. */
const MOST_MAPPINGS = 200;

/** @param wall ms since 1970. @returns the text's hash. */
export function putSeries(database: SqliteDatabase, text: string, wall: number): string {
  const hash = sha256Hex(text);
  database
    .transaction(() => {
      dropUnnamed(database, wall);
      database.prepare('INSERT INTO series (hash, text, put) VALUES (?, ?, ?) ON CONFLICT (hash) DO UPDATE SET put = excluded.put').run(hash, text, wall);
    })
    .immediate();
  return hash;
}

/** The kept text of a gas exchange file, by its SHA-256. */
export function getSeries(database: SqliteDatabase, hash: string): string | undefined {
  return (database.prepare('SELECT text FROM series WHERE hash = ?').get(hash) as { text: string } | undefined)?.text;
}

function dropUnnamed(database: SqliteDatabase, wall: number): void {
  const old = database.prepare('SELECT hash FROM series WHERE put < ?').all(wall - UNNAMED_MS) as { hash: string }[];
  if (old.length === 0) return;
  const bodies = database.prepare(`SELECT body FROM events WHERE instr(body, '"kind":"series-attached"') > 0`).all() as { body: string }[];
  const named = new Set(bodies.map(({ body }) => nameIn(body)));
  for (const { hash } of old) if (!named.has(hash)) database.prepare('DELETE FROM series WHERE hash = ?').run(hash);
}

function nameIn(body: string): string | undefined {
  try {
    return (eventOf(body).data as { hash?: string }).hash;
  } catch {
    return undefined;
  }
}

/** The mapping that was confirmed last for these headings; null where there is none. */
export function getMapping(database: SqliteDatabase, key: string): unknown {
  const row = database.prepare('SELECT mapping FROM mappings WHERE headings = ?').get(key) as { mapping: string } | undefined;
  return row === undefined ? null : (JSON.parse(row.mapping) as unknown);
}

/** Remembers a mapping; the least used beyond the limit are forgotten. @param wall milliseconds since 1970. */
export function putMapping(database: SqliteDatabase, key: string, mapping: unknown, wall: number): void {
  database
    .transaction(() => {
      database
        .prepare('INSERT INTO mappings (headings, mapping, used) VALUES (?, ?, ?) ON CONFLICT (headings) DO UPDATE SET mapping = excluded.mapping, used = excluded.used')
        .run(key, JSON.stringify(mapping), wall);
      database.prepare('DELETE FROM mappings WHERE headings NOT IN (SELECT headings FROM mappings ORDER BY used DESC LIMIT ?)').run(MOST_MAPPINGS);
    })
    .immediate();
}
