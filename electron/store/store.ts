/**
 * Where records live: append-only, each append one transaction, acknowledged only once it is on disk.
 * This file is the type that the station sees; `sqlite-store.ts` is the one that keeps it on disk.
 */
import type { RecordEvent, StoredEvent } from '../../core/record/event.ts';
import type { Result } from '../../core/result.ts';
import type { Burial } from './erasing.ts';

export interface StoredRecord {
  readonly id: string;
  readonly kind: 'session' | 'worksheet';
  /** Worksheets only: the session that they belong to. */
  readonly session?: string;
  /** Wall clock at opening, ISO 8601. For lists; the record's own first event has it too. */
  readonly opened: string;
}

/** A fact on its way into the store. */
export interface NewFact {
  readonly kind: string;
  readonly version: number;
  readonly data: unknown;
  /** The moment that it describes; the moment of acceptance where left out. Whole milliseconds of the record's time. */
  readonly taken?: number;
}

export interface Append {
  readonly record: string;
  /** The sending window's id of the command. A second send is answered with what the first one wrote. */
  readonly command: string;
  readonly author: string;
  /** The moment of acceptance, whole milliseconds of the record's time. */
  readonly entered: number;
  /** At least one. */
  readonly facts: readonly NewFact[];
  /** What the command asked for, as plain data: tells a repeated sending from an id that was used twice. */
  readonly said: unknown;
  /** Asked for the station's signature of the hash that this append ends with, where it closes the record. */
  readonly seal?: (head: string) => Signature;
}

export interface Create extends Append {
  readonly kind: StoredRecord['kind'];
  readonly session?: string;
  readonly opened: string;
  readonly clock: StoredClock;
}

/** A record that another station wrote, to be kept as it is. */
export interface TakenRecord extends Omit<StoredRecord, 'id'> {
  readonly record: string;
  /** In order, with an unbroken chain from its beginning: the reader of files has checked it. */
  readonly events: readonly StoredEvent[];
  readonly signature?: Signature;
}

export interface Appended {
  readonly record: string;
  readonly events: readonly RecordEvent[];
  readonly stored: readonly StoredEvent[];
  /** Number of events in the record after them (after the first sending, if repeated). */
  readonly length: number;
  readonly head: string;
  readonly repeated: boolean;
}

export interface Signature {
  readonly head: string;
  /** Ed25519, raw key and signature in base64. */
  readonly publicKey: string;
  readonly signature: string;
}

/** Where a record's own time stood at one moment of the machine's clocks. See station/record-clock.ts. */
export interface StoredClock {
  /** Record time at that moment, ms. */
  readonly at: number;
  /** The machine's monotonic clock at that moment, ns. */
  readonly monotonic: bigint;
  /** What the machine had slept since it was started, ms, where its monotonic clock leaves sleep out; else 0. */
  readonly slept: number;
  /** Which start of the machine the two count from. */
  readonly boot: string | undefined;
  /** Wall clock, ms since 1970. */
  readonly wall: number;
  /** Record milliseconds per real millisecond. */
  readonly rate: number;
  /** The last moment at which the station saw the record's clock run: its time, and the wall clock then. */
  readonly seenAt: number;
  readonly seenWall: number;
}

/** What stays of a session that was erased. */
export interface Tombstone {
  readonly session: string;
  /** Wall clock, ISO 8601. */
  readonly erased: string;
  /** Initials of the instructor. */
  readonly by: string;
  readonly reason: string;
  /** How many worksheets went with it. */
  readonly worksheets: number;
}

export interface Store {
  /** For messages: where it is kept. */
  readonly file: string;
  records(): Result<readonly StoredRecord[]>;
  record(id: string): Result<StoredRecord | undefined>;
  /**
   * The answer to a command that was sent before; undefined for a new one.
   * @param record the record that it appends to; undefined for one that opens a record.
   */
  answered(record: string | undefined, command: string, said: unknown): Result<Appended | undefined>;
  /** Opens a record with its first facts and its clock; repeated: the record that the first sending opened. */
  create(input: Create): Result<Appended>;
  /**
   * Keeps records of another station, all or none. One that is here already is left as it is.
   * @returns ids of those that are new. Failure `erased` where the session was erased here, `differs` where it is another than the one here.
   */
  take(records: readonly TakenRecord[]): Result<readonly string[]>;
  append(input: Append): Result<Appended>;
  /** The stored events of a record from a place on. */
  read(record: string, from: number): Result<readonly StoredEvent[]>;
  clock(record: string): Result<StoredClock | undefined>;
  setClock(record: string, clock: StoredClock): Result<void>;
  signature(record: string): Result<Signature | undefined>;
  /** Keeps a gas exchange file's text by its content. @param wall ms since 1970. @returns its SHA-256. */
  putSeries(text: string, wall: number): Result<string>;
  series(hash: string): Result<string | undefined>;
  /** The mapping that was last confirmed for a set of headings, by its key; null where there is none. */
  mapping(key: string): Result<unknown>;
  rememberMapping(key: string, mapping: unknown, wall: number): Result<void>;
  /** Sessions that were erased, the first one first. */
  tombstones(): Result<readonly Tombstone[]>;
  /** What `erase` would leave behind of a session. */
  burialOf(session: string, at: { readonly erased: string; readonly by: string; readonly reason: string }): Result<Burial>;
  /** Erases a session with its worksheets and series: rows in one transaction, then their bytes. Twice is as good as once. */
  erase(burial: Burial): Result<void>;
  /** A copy of everything as it is now, made while work goes on. */
  backup(file: string): Promise<Result<void>>;
  close(): void;
}
