/**
 * A marking set on disk: one SQLite file with its facts, its records (packed, by the hash of their text), the marks that were
 * written out, and a cache of markings that can be thrown away. What is acknowledged is on disk (WAL, `synchronous=FULL`).
 */
import { existsSync, rmSync } from 'node:fs';
import { CHAIN_START } from '../../core/record/chain.ts';
import { makeFact, type StoredFact } from '../../core/marking-set/set-chain.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { openDatabase, type SqliteDatabase } from '../store/database.ts';
import { faultOf } from '../store/faults.ts';
import type { CachedMarking } from './open-for-set.ts';

export interface NewSetFact {
  readonly kind: string;
  readonly data: unknown;
}
export interface StatedAt {
  readonly set: string;
  readonly author: string;
  readonly command: string;
  /** Milliseconds of the wall clock. */
  readonly wall: number;
}
export interface PackedRecord {
  readonly hash: string;
  readonly packed: Uint8Array;
}
export interface KeptMarking {
  readonly record: string;
  readonly key: string;
  /** `CachedMarking` as JSON. */
  readonly value: string;
}

const SCHEMA = `
CREATE TABLE IF NOT EXISTS about (name TEXT PRIMARY KEY, value TEXT NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS facts (n INTEGER PRIMARY KEY, hash TEXT NOT NULL UNIQUE, prev TEXT NOT NULL, body TEXT NOT NULL, command TEXT NOT NULL) STRICT;
CREATE INDEX IF NOT EXISTS facts_command ON facts (command);
CREATE TABLE IF NOT EXISTS records (hash TEXT PRIMARY KEY, packed BLOB NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS marks (hash TEXT PRIMARY KEY, json TEXT NOT NULL) STRICT;
CREATE TABLE IF NOT EXISTS marked (record TEXT NOT NULL, key TEXT NOT NULL, program TEXT NOT NULL, json TEXT NOT NULL, PRIMARY KEY (record, key)) STRICT;
`;
const FORM = '1';

/** The SQLite file of one marking set. */
export class SetStore {
  readonly #db: SqliteDatabase;
  readonly #file: string;
  /** Names the program that marked; markings of another one are worked out anew. */
  readonly #program: string;
  #facts: StoredFact[] = [];
  #lastEntered = 0;

  private constructor(db: SqliteDatabase, file: string, program: string) {
    this.#db = db;
    this.#file = file;
    this.#program = program;
  }

  /** Opens a set's file; `create` makes a new one and never writes over another. `:memory:` for a set that is not kept. */
  static open(file: string, program: string, create = false): Result<SetStore> {
    try {
      if (create && file !== ':memory:' && existsSync(file)) return failure('set-exists', 'There is a set of that id already. Nothing was changed.');
      const opened = openDatabase(file, { mustExist: !create && file !== ':memory:' });
      if (!opened.ok) return opened;
      const db = opened.value;
      db.pragma('journal_mode = WAL');
      db.pragma('synchronous = FULL');
      db.pragma('fullfsync = ON');
      // What is erased is overwritten with zeros.
      db.pragma('secure_delete = ON');
      db.exec(SCHEMA);
      const form = (db.prepare("SELECT value FROM about WHERE name = 'form'").get() as { value: string } | undefined)?.value;
      if (form === undefined) db.prepare("INSERT INTO about VALUES ('form', ?)").run(FORM);
      else if (form !== FORM) {
        db.close();
        return failure('newer-form', 'This marking set was written by a newer Stagecall. It was left as it is; open it with that one.');
      }
      const store = new SetStore(db, file, program);
      store.#facts = db.prepare('SELECT prev, body, hash FROM facts ORDER BY n').all() as StoredFact[];
      store.#lastEntered = Math.max(0, ...store.#facts.map(({ body }) => enteredOf(body)));
      return success(store);
    } catch (cause) {
      const fault = faultOf(cause, 'opening', file);
      if (fault) return fault;
      throw cause;
    }
  }

  get facts(): readonly StoredFact[] {
    return this.#facts;
  }

  /** Whether a command of this id was answered before. */
  answered(command: string): boolean {
    return this.#db.prepare('SELECT 1 FROM facts WHERE command = ? LIMIT 1').get(command) !== undefined;
  }

  /**
   * The fact as it will be stored after those that are here and those that are `pending`.
   * Every fact gets a moment of its own, so that the order in which they came stays.
   */
  make(at: StatedAt, { kind, data }: NewSetFact, pending: readonly StoredFact[] = []): StoredFact {
    const last = pending.at(-1);
    const entered = Math.max(at.wall, (last === undefined ? this.#lastEntered : enteredOf(last.body)) + 1);
    const prev = (last ?? this.#facts.at(-1))?.hash ?? CHAIN_START;
    return makeFact(prev, { record: at.set, seq: this.#facts.length + pending.length, kind, version: 1, taken: entered, entered, author: at.author, command: at.command, data });
  }

  /** Writes facts that `make` made, with their records and markings: all of it is on disk when this answers, or nothing is. */
  append(command: string, made: readonly StoredFact[], records: readonly PackedRecord[] = [], markings: readonly KeptMarking[] = []): Result<void> {
    return this.#write(() => {
      for (const fact of made) this.#insertFact(fact, command);
      for (const { hash, packed } of records) this.#insertRecord(hash, packed);
      for (const kept of markings) this.#insertMarking(kept);
    }, () => {
      this.#facts.push(...made);
      this.#lastEntered = Math.max(this.#lastEntered, ...made.map(({ body }) => enteredOf(body)));
    });
  }

  /** Takes in facts, records and marks of another copy. @returns how many were new. */
  take(facts: readonly StoredFact[], records: readonly PackedRecord[], marks: readonly { readonly hash: string; readonly json: string }[]): Result<{ readonly facts: number; readonly records: number }> {
    const known = new Set(this.#facts.map(({ hash }) => hash));
    const added = facts.filter(({ hash }) => !known.has(hash));
    let newRecords = 0;
    return this.#write(() => {
      for (const fact of added) this.#insertFact(fact, commandOf(fact.body));
      for (const { hash, packed } of records) newRecords += this.#insertRecord(hash, packed);
      for (const { hash, json } of marks) this.#db.prepare('INSERT OR IGNORE INTO marks VALUES (?, ?)').run(hash, json);
      return { facts: added.length, records: newRecords };
    }, () => {
      this.#facts.push(...added);
      this.#lastEntered = Math.max(this.#lastEntered, ...added.map(({ body }) => enteredOf(body)));
    });
  }

  /** Records that are here, by hash. */
  recordHashes(): ReadonlySet<string> {
    return new Set((this.#db.prepare('SELECT hash FROM records').all() as { hash: string }[]).map(({ hash }) => hash));
  }

  record(hash: string): Uint8Array | undefined {
    return (this.#db.prepare('SELECT packed FROM records WHERE hash = ?').get(hash) as { packed: Uint8Array } | undefined)?.packed;
  }

  /** Every marking by these keys that this program made. */
  markings(keys: readonly string[]): readonly KeptMarking[] {
    const found = keys.flatMap((key) => this.#db.prepare('SELECT record, key, json FROM marked WHERE key = ? AND program = ?').all(key, this.#program) as { record: string; key: string; json: string }[]);
    return found.map(({ record, key, json }) => ({ record, key, value: json }));
  }

  marking(record: string, key: string): CachedMarking | undefined {
    const found = this.#db.prepare('SELECT json FROM marked WHERE record = ? AND key = ? AND program = ?').get(record, key, this.#program) as { json: string } | undefined;
    return found === undefined ? undefined : (JSON.parse(found.json) as CachedMarking);
  }

  keepMarkings(markings: readonly KeptMarking[]): Result<void> {
    return this.#write(() => {
      for (const kept of markings) this.#insertMarking(kept);
    });
  }

  marks(hash: string): string | undefined {
    return (this.#db.prepare('SELECT json FROM marks WHERE hash = ?').get(hash) as { json: string } | undefined)?.json;
  }

  keepMarks(hash: string, json: string): Result<void> {
    return this.#write(() => void this.#db.prepare('INSERT OR IGNORE INTO marks VALUES (?, ?)').run(hash, json));
  }

  /**
   * Leaves only these facts and marks, and overwrites the rest: records, markings, and everything that was stated.
   * The file is written anew and the log emptied, so that nothing of it stays on the disk in this file.
   */
  eraseAllBut(facts: readonly StoredFact[], marks: readonly { readonly hash: string; readonly json: string }[]): Result<void> {
    const erased = this.#write(() => {
      for (const table of ['facts', 'records', 'marked', 'marks']) this.#db.exec(`DELETE FROM ${table}`);
      for (const fact of facts) this.#insertFact(fact, commandOf(fact.body));
      for (const { hash, json } of marks) this.#db.prepare('INSERT INTO marks VALUES (?, ?)').run(hash, json);
    }, () => void (this.#facts = [...facts]));
    if (!erased.ok) return erased;
    return this.#write(undefined, () => {
      this.#db.exec('VACUUM');
      this.#db.pragma('wal_checkpoint(TRUNCATE)');
    });
  }

  close(): void {
    if (this.#db.open) this.#db.close();
  }

  /** Closes and removes a file that was only just made and could not be filled. */
  discard(): void {
    this.#db.close();
    if (this.#file !== ':memory:') for (const end of ['', '-wal', '-shm']) rmSync(`${this.#file}${end}`, { force: true });
  }

  #insertFact({ hash, prev, body }: StoredFact, command: string): void {
    this.#db.prepare('INSERT OR IGNORE INTO facts (hash, prev, body, command) VALUES (?, ?, ?, ?)').run(hash, prev, body, command);
  }

  #insertRecord(hash: string, packed: Uint8Array): number {
    return this.#db.prepare('INSERT OR IGNORE INTO records VALUES (?, ?)').run(hash, packed).changes;
  }

  #insertMarking({ record, key, value }: KeptMarking): void {
    this.#db.prepare('INSERT OR REPLACE INTO marked VALUES (?, ?, ?, ?)').run(record, key, this.#program, value);
  }

  #write<Value>(change: (() => Value) | undefined, then?: () => void): Result<Value> {
    // Work that was still under way when the program was closed.
    if (!this.#db.open) return failure('closed', 'The set was closed before this was written. What was written before was kept.');
    try {
      const value = change === undefined ? (undefined as Value) : this.#db.transaction(change)();
      then?.();
      return success(value);
    } catch (cause) {
      const fault = faultOf(cause, 'writing', this.#file);
      if (fault) return fault;
      throw cause;
    }
  }
}

function enteredOf(body: string): number {
  try {
    const { entered } = JSON.parse(body) as { entered?: unknown };
    return typeof entered === 'number' && Number.isSafeInteger(entered) ? entered : 0;
  } catch {
    return 0;
  }
}

function commandOf(body: string): string {
  try {
    const { command } = JSON.parse(body) as { command?: unknown };
    return typeof command === 'string' ? command : '';
  } catch {
    return '';
  }
}
