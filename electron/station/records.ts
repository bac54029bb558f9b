/**
 * The records that the station holds open: each one's folded state, kept up to date event by event, so that a reading
 * costs the same in a record of ten events and of twenty thousand.
 */
import { checkChain, CHAIN_START } from '../../core/record/chain.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { SessionFold } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { foldWorksheet, type WorksheetState } from '../../core/worksheet/fold.ts';
import type { Appended, Store, StoredRecord } from '../store/store.ts';

/** A record with its folded state. */
export interface OpenRecord {
  readonly id: string;
  readonly kind: StoredRecord['kind'];
  readonly session?: string;
  readonly opened: string;
  length: number;
  head: string;
  /** Record time of the last acceptance, which later ones never fall behind. */
  lastEntered: number;
  /** The latest moment that any fact describes. */
  lastTaken: number;
  /** Why nothing may be written to it: its stored text does not hold together. */
  damaged?: string;
  /** Sessions only. Throws where the record carries no readable lab sheet. */
  sessionState(): SessionState;
  /** Worksheets only. */
  worksheetState(): WorksheetState;
  add(event: RecordEvent): void;
}

/** Folded states kept at once. A class of forty pairs fits; an older one is folded again when asked for. */
const KEPT = 200;

/** Records folded and kept in memory, the least used let go. */
export class Records {
  readonly #store: Store;
  readonly #open = new Map<string, OpenRecord>();

  constructor(store: Store) {
    this.#store = store;
  }

  /** @returns failure `no-such-record` for an id that this station does not have. */
  get(id: string): Result<OpenRecord> {
    const known = this.#open.get(id);
    if (known) return success(known);
    const row = this.#store.record(id);
    if (!row.ok) return row;
    if (!row.value) {
      const tombstones = this.#store.tombstones();
      const erased = tombstones.ok ? tombstones.value.find(({ session }) => session === id) : undefined;
      if (erased)
        return failure('erased', `This session was erased on ${erased.erased.slice(0, 10)} by ${erased.by} (${erased.reason}). Nothing of it is left on this station.`);
      return failure('no-such-record', 'This station has no such record. It may be on another machine, or in another data folder.');
    }
    const stored = this.#store.read(id, 0);
    if (!stored.ok) return stored;
    const record = emptyRecord(row.value);
    const chain = checkChain(stored.value, id);
    const sealed = this.#store.signature(id);
    if (!sealed.ok) return sealed;
    // What was signed is in the chain, or the end of the record is gone: a chain alone does not show that.
    const whole = sealed.value === undefined || stored.value.some(({ hash }) => hash === sealed.value?.head);
    if (chain.ok && whole) {
      for (const event of chain.events) record.add(event);
      record.head = chain.head;
    } else {
      record.length = stored.value.length;
      record.damaged = `This record does not hold together: ${chain.ok ? 'its end, which was signed, is missing' : chain.message}. It can be read, not continued. Open a new session and key in what is missing from paper.`;
    }
    this.#keep(record);
    return success(record);
  }

  /** Takes in what the store has just written. */
  opened(row: StoredRecord, appended: Appended): OpenRecord {
    const record = emptyRecord(row);
    this.#keep(record);
    this.appended(record, appended);
    return record;
  }

  appended(record: OpenRecord, appended: Appended): void {
    for (const event of appended.events) if (event.seq >= record.length) record.add(event);
    record.head = appended.head;
  }

  /** Lets go of a state that was folded ahead of a write that then failed. */
  forget(id: string): void {
    this.#open.delete(id);
  }

  #keep(record: OpenRecord): void {
    if (this.#open.size >= KEPT) {
      const [oldest] = this.#open.keys();
      if (oldest !== undefined) this.#open.delete(oldest);
    }
    this.#open.set(record.id, record);
  }
}

function emptyRecord(row: StoredRecord): OpenRecord {
  const fold = new SessionFold();
  const events: RecordEvent[] = [];
  let session: SessionState | undefined;
  let worksheet: WorksheetState | undefined;
  return {
    ...row,
    length: 0,
    head: CHAIN_START,
    lastEntered: 0,
    lastTaken: 0,
    sessionState: () => (session ??= fold.state()),
    worksheetState: () => (worksheet ??= foldWorksheet(events)),
    add(event) {
      if (row.kind === 'session') fold.add(event);
      else events.push(event);
      session = undefined;
      worksheet = undefined;
      this.length = event.seq + 1;
      this.lastEntered = Math.max(this.lastEntered, event.entered);
      this.lastTaken = Math.max(this.lastTaken, event.taken);
    },
  };
}
