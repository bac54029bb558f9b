/** The store on disk: SQLite in WAL mode, every commit flushed before it is acknowledged. */
import { CHAIN_START, chainHash, sha256Hex } from '../../core/record/chain.ts';
import { bodyOf, eventOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { openDatabase, type SqliteDatabase } from './database.ts';
import { burialOf, burialsIn, bury, isOpeningOf, recordsOf, scrub, type Burial } from './erasing.ts';
import { faultOf } from './faults.ts';
import { getMapping, getSeries, putMapping, putSeries } from './series.ts';
import { notPlain } from './plain.ts';
import { prepare } from './prepare.ts';
import { clockOf, clockRow, recordOf, statementsOf, type ClockRow, type EventRow, type RecordRow } from './rows.ts';
import type { Append, Appended, Create, NewFact, Signature, Store, StoredClock, StoredRecord, Tombstone, TakenRecord } from './store.ts';
import { Written, type StoredRow } from './written.ts';

/**
 * Opens (or makes) the store in a file, or in memory with `:memory:`.
 * Expected failures: too old a Node, another program's file, a newer program's file, damage, a full disk, no right to write.
 */
export function openStore(file: string): Result<Store> {
  try {
    const opened = openDatabase(file);
    if (!opened.ok) return opened;
    const database = opened.value;
    const ready = prepare(database, file);
    if (!ready.ok) {
      database.close();
      return ready;
    }
    return success(new SqliteStore(database, file));
  } catch (cause) {
    const fault = faultOf(cause, 'opening', file);
    if (fault) return fault;
    throw cause;
  }
}

/** Records whose ends and commands are kept at once. */
const KEPT = 200;

class SqliteStore implements Store {
  readonly file: string;
  readonly #database: SqliteDatabase;
  readonly #statements: ReturnType<typeof statementsOf>;
  readonly #together: (work: () => void) => void;
  readonly #written = new Map<string, Written>();
  /** Which command opened which record. */
  #openings: Map<string, string> | undefined;

  constructor(database: SqliteDatabase, file: string) {
    this.file = file;
    this.#database = database;
    this.#statements = statementsOf(database);
    this.#together = database.transaction((work: () => void) => work()).immediate;
  }

  records(): Result<readonly StoredRecord[]> {
    return this.#guard('reading', () => success((this.#statements.records.all() as RecordRow[]).map(recordOf)));
  }

  record(id: string): Result<StoredRecord | undefined> {
    return this.#guard('reading', () => {
      const row = this.#statements.record.get(id) as RecordRow | undefined;
      return success(row && recordOf(row));
    });
  }

  answered(record: string | undefined, command: string, said: unknown): Result<Appended | undefined> {
    return this.#guard('reading', () => this.#repeated(record, command, said) ?? success(undefined));
  }

  create(input: Create): Result<Appended> {
    return this.#guard('writing', () => {
      const before = refused(input) ?? this.#repeated(undefined, input.command, input.said);
      if (before) return before;
      const written = this.#write(input, new Written(), () => {
        this.#statements.insertRecord.run(input.record, input.kind, input.session ?? null, input.opened);
        this.#statements.setClock.run(clockRow(input.record, input.clock));
      });
      this.#openings?.set(input.command, input.record);
      return success(written);
    });
  }

  take(records: readonly TakenRecord[]): Result<readonly string[]> {
    return this.#guard('writing', () => {
      const gone = new Set(burialsIn(this.#database).map(({ session }) => session));
      if (records.some((one) => gone.has(one.session ?? one.record))) return failure('erased', 'This session was erased on this station. It was not taken in again.');
      const known = new Set(records.filter((one) => this.#statements.record.get(one.record) !== undefined).map((one) => one.record));
      for (const { record, kind, events } of records) {
        if (!known.has(record) || kind !== 'session') continue;
        // The one here may have had a gas exchange file joined since; then it is further on, and the same up to there.
        const here = this.#statements.read.all(record, 0) as EventRow[];
        const shared = Math.min(here.length, events.length) - 1;
        if (here[shared]?.hash !== events[shared]?.hash) return failure('differs', 'This station has another record under the same name. Neither was changed; ask the instructor which one is right.');
      }
      const wanted = records.filter((one) => !known.has(one.record));
      this.#together(() => {
        for (const { record, kind, session, opened, events, signature } of wanted) {
          this.#statements.insertRecord.run(record, kind, session ?? null, opened);
          for (const [seq, { body, hash }] of events.entries()) this.#statements.insertEvent.run(record, seq, body, hash, null);
          if (signature) this.#statements.setSignature.run(record, signature.head, signature.publicKey, signature.signature);
        }
      });
      this.#openings = undefined;
      return success(wanted.map((one) => one.record));
    });
  }

  append(input: Append): Result<Appended> {
    return this.#guard(
      'writing',
      () =>
        refused(input) ??
        this.#repeated(input.record, input.command, input.said) ??
        success(this.#write(input, this.#writtenTo(input.record))),
    );
  }

  read(record: string, from: number): Result<readonly StoredEvent[]> {
    return this.#guard('reading', () =>
      success((this.#statements.read.all(record, from) as EventRow[]).map(({ body, hash }) => ({ body, hash }))),
    );
  }

  clock(record: string): Result<StoredClock | undefined> {
    return this.#guard('reading', () => {
      const row = this.#statements.clock.get(record) as ClockRow | undefined;
      return success(row && clockOf(row));
    });
  }

  setClock(record: string, clock: StoredClock): Result<void> {
    return this.#guard('writing', () => {
      this.#statements.setClock.run(clockRow(record, clock));
      return success(undefined);
    });
  }

  signature(record: string): Result<Signature | undefined> {
    return this.#guard('reading', () => {
      const row = this.#statements.signature.get(record) as { head: string; public_key: string; signature: string } | undefined;
      return success(row && { head: row.head, publicKey: row.public_key, signature: row.signature });
    });
  }

  tombstones(): Result<readonly Tombstone[]> {
    return this.#guard('reading', () =>
      success(burialsIn(this.#database).map(({ session, erased, by, reason, worksheets }) => ({ session, erased, by, reason, worksheets }))),
    );
  }

  burialOf(session: string, at: { readonly erased: string; readonly by: string; readonly reason: string }): Result<Burial> {
    return this.#guard('reading', () => {
      const known = burialsIn(this.#database).find((burial) => burial.session === session);
      if (known) return success(known);
      const [opening] = this.#statements.read.all(session, 0) as EventRow[];
      const worksheets = recordsOf(this.#database, session).length - 1;
      return success(burialOf({ session, ...at, worksheets }, opening && commandOf(opening.body)));
    });
  }

  erase(burial: Burial): Result<void> {
    return this.#guard('writing', () => {
      for (const record of [burial.session, ...recordsOf(this.#database, burial.session)]) this.#written.delete(record);
      this.#openings = undefined;
      bury(this.#database, burial);
      scrub(this.#database);
      return success(undefined);
    });
  }

  putSeries(text: string, wall: number): Result<string> {
    return this.#guard('writing', () => success(putSeries(this.#database, text, wall)));
  }

  series(hash: string): Result<string | undefined> {
    return this.#guard('reading', () => success(getSeries(this.#database, hash)));
  }

  mapping(key: string): Result<unknown> {
    return this.#guard('reading', () => success(getMapping(this.#database, key)));
  }

  rememberMapping(key: string, mapping: unknown, wall: number): Result<void> {
    return this.#guard('writing', () => success(putMapping(this.#database, key, mapping, wall)));
  }

  async backup(file: string): Promise<Result<void>> {
    try {
      await this.#database.backup(file);
      return success(undefined);
    } catch (cause) {
      const fault = faultOf(cause, 'reading', file);
      if (fault) return fault;
      throw cause;
    }
  }

  close(): void {
    if (this.#database.open) this.#database.close();
  }

  #repeated(asked: string | undefined, command: string, said: unknown): Result<Appended> | undefined {
    const record = asked ?? this.#openedBy(command);
    if (record === undefined && burialsIn(this.#database).some((burial) => isOpeningOf(burial, command)))
      return failure('erased', 'The session that this command opened was erased. It is not opened again.');
    const place = record === undefined ? undefined : this.#writtenTo(record).command(command);
    if (record === undefined || place === undefined) return undefined;
    if (place.said !== digestOf(said)) {
      return failure(
        'command-used',
        'Not saved: the window used one command id for two different entries. Reload the window and enter it again.',
      );
    }
    const rows = this.#statements.range.all(record, place.first, place.first + place.count) as EventRow[];
    const stored = rows.map(({ body, hash }) => ({ body, hash }));
    return success({
      record,
      events: stored.map(({ body }) => eventOf(body)),
      stored,
      length: place.first + place.count,
      head: stored.at(-1)?.hash ?? CHAIN_START,
      repeated: true,
    });
  }

  #openedBy(command: string): string | undefined {
    this.#openings ??= new Map(
      (this.#statements.openings.all() as { record: string; command: string }[]).map((row) => [row.command, row.record]),
    );
    return this.#openings.get(command);
  }

  /** Where the record ends, and what wrote it. */
  #writtenTo(record: string): Written {
    let written = this.#written.get(record);
    if (!written) {
      written = new Written();
      for (const row of this.#statements.written.iterate(record) as Iterable<StoredRow>) written.add(row);
      this.#keep(record, written);
    }
    return written;
  }

  #keep(record: string, written: Written): void {
    const [oldest] = this.#written.keys();
    if (this.#written.size >= KEPT && oldest !== undefined && !this.#written.has(record)) this.#written.delete(oldest);
    this.#written.set(record, written);
  }

  /**
   * Writes all events of an append, with what belongs to them, in one transaction.
   * @param written where the record ends; moved on only once the database has it all.
   */
  #write(input: Append, written: Written, alongside?: () => void): Appended {
    const first = written.length;
    const said = digestOf(input.said);
    let head = written.head;
    const made = input.facts.map((fact, index) => {
      const event = eventFor(input, fact, first + index);
      const body = bodyOf(event);
      head = chainHash(head, body);
      return { seq: event.seq, command: input.command, body, hash: head, said: index === 0 ? said : null };
    });
    const insert = (): void => {
      for (const { seq, body, hash, said: digest } of made) this.#statements.insertEvent.run(input.record, seq, body, hash, digest);
    };
    // A single insert is a transaction of its own.
    if (made.length === 1 && !alongside && !input.seal) insert();
    else {
      this.#together(() => {
        alongside?.();
        insert();
        if (!input.seal) return;
        const { publicKey, signature } = input.seal(head);
        this.#statements.setSignature.run(input.record, head, publicKey, signature);
      });
    }
    for (const row of made) written.add(row);
    this.#keep(input.record, written);
    return {
      record: input.record,
      // As they will be read again, so that what is folded now and after a restart is the same.
      events: made.map(({ body }) => eventOf(body)),
      stored: made.map(({ body, hash }) => ({ body, hash })),
      length: written.length,
      head,
      repeated: false,
    };
  }

  #guard<Value>(during: 'writing' | 'reading', action: () => Result<Value>): Result<Value> {
    try {
      return action();
    } catch (cause) {
      const fault = faultOf(cause, during, this.file);
      if (fault) return fault;
      throw cause;
    }
  }
}

/** Undefined for a body that cannot be read: a damaged record is erased like any other. */
function commandOf(body: string): string | undefined {
  try {
    return eventOf(body).command;
  } catch {
    return undefined;
  }
}

/** What may not be written at all. */
function refused(input: Append): ReturnType<typeof failure> | undefined {
  if (input.facts.length === 0) return failure('nothing-to-write', 'There was nothing to write.');
  if (!Number.isSafeInteger(input.entered))
    return failure('not-plain', `Not saved: the moment of acceptance is ${input.entered}, not whole milliseconds.`);
  for (const { kind, version, data, taken } of input.facts) {
    const found =
      notPlain(data) ??
      (Number.isSafeInteger(taken ?? 0) && Number.isSafeInteger(version) ? undefined : 'its time is not whole milliseconds');
    if (found !== undefined) return failure('not-plain', `Not saved: in "${kind}" ${found}.`);
  }
  return undefined;
}

function eventFor(input: Append, fact: NewFact, seq: number): RecordEvent {
  const { record, author, entered, command } = input;
  return { record, seq, kind: fact.kind, version: fact.version, taken: fact.taken ?? entered, entered, author, command, data: fact.data };
}

/** Short, since it only tells a repeat from a mistake. */
function digestOf(said: unknown): string {
  return sha256Hex(JSON.stringify(said) ?? '').slice(0, 32);
}
