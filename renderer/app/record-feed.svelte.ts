/**
 * One record as a window sees it: its events as stored, read on whenever the station says that it has grown, and its clock
 * drawn forward. The window folds for itself and never stamps: `append` leaves the moment to the station.
 */
import { createSubscriber } from 'svelte/reactivity';
import type { ClockReading, RecordChange, RecordSlice, StationApi } from '../../core/contract/contract.ts';
import { eventOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { success, type Failure, type Result } from '../../core/result.ts';
import { SessionFold } from '../../core/session/fold.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import type { WorksheetDraft } from '../../core/worksheet/events.ts';
import type { Station } from './station.svelte.ts';

/** Ten times a second: a second never shows for longer than 1.1 s, and a rehearsal at 60 times still moves evenly. */
const DRAWN_EVERY = 100;

export class RecordFeed<Draft extends { readonly kind: string; readonly data: unknown; readonly taken?: number }> {
  readonly id: string;
  readonly #api: StationApi;
  /** As stored: for export and for checking the chain. */
  stored = $state.raw<readonly StoredEvent[]>([]);
  events = $state.raw<readonly RecordEvent[]>([]);
  clock = $state.raw<ClockReading>({ now: 0, rate: 0 });
  /** When that reading of the clock came, on this window's own monotonic clock. */
  #clockCame = 0;
  /** Why the record could not be read, where that is so. */
  failed = $state.raw<Failure | undefined>(undefined);
  /** When the last fact of this window was acknowledged, on this window's monotonic clock. */
  savedAt = $state.raw<number | undefined>(undefined);
  #reading: Promise<void> | undefined;
  readonly #ticks = createSubscriber((update) => {
    const timer = setInterval(update, DRAWN_EVERY);
    return () => clearInterval(timer);
  });

  constructor(api: StationApi, id: string) {
    this.#api = api;
    this.id = id;
  }

  /** The record's time now. Read inside a template or `$derived` it keeps itself fresh. */
  get now(): number {
    if (this.clock.rate !== 0) this.#ticks();
    return this.clock.now + this.clock.rate * (performance.now() - this.#clockCame);
  }

  /** Reads whatever is new. Calls while one is under way share it. */
  async read(): Promise<void> {
    this.#reading ??= this.#readOn().finally(() => (this.#reading = undefined));
    await this.#reading;
  }

  async #readOn(): Promise<void> {
    const answer = await this.#api.call('record.read', { record: this.id, from: this.events.length });
    if (!answer.ok) this.failed = answer.error;
    else this.#take(answer.value);
  }

  /** The station's word that a record has grown or its clock changed. */
  changed(change: RecordChange): void {
    if (change.record !== this.id) return;
    this.#setClock(change.clock);
    // Erased: nothing of it stays in sight, and reading it again says why.
    if (change.length === 0) {
      this.stored = [];
      this.events = [];
      void this.read();
    }
    // A reading that was under way may have been answered before this.
    if (change.length > this.events.length) void this.read().then(() => (change.length > this.events.length ? this.read() : undefined));
  }

  /**
   * Sends facts. All are on disk when this says ok, or none is.
   * @param author initials of who states them.
   */
  append(author: string, ...drafts: Draft[]): Promise<Result<readonly RecordEvent[]>> {
    return this.appendUnlocked(author, undefined, ...drafts);
  }

  /** The same, with the proof of the instructor's passphrase where one was asked for. */
  async appendUnlocked(author: string, unlock: string | undefined, ...drafts: Draft[]): Promise<Result<readonly RecordEvent[]>> {
    const answer = await this.#api.call('record.append', {
      record: this.id,
      command: crypto.randomUUID(),
      author,
      drafts: drafts.map((draft) => ({ ...draft })),
      ...(unlock === undefined ? {} : { unlock }),
    });
    if (!answer.ok) return answer;
    this.accept(answer.value);
    // Another author wrote in between: what was written here is in sight before the caller lets go of what was typed.
    if (answer.value.length > this.events.length) await this.read();
    return success(answer.value.events.map((event) => eventOf(event.body)));
  }

  /** Takes the answer to an append that another part of the window sent (the live sheet keeps a queue of its own). */
  accept(slice: RecordSlice): void {
    this.#take(slice);
    this.savedAt = performance.now();
  }

  #take(slice: RecordSlice): void {
    this.failed = undefined;
    this.#setClock(slice.clock);
    const came = slice.events.map((event) => ({ stored: event, event: eventOf(event.body) }));
    // An answer that was given before holds events of long ago; only what follows on from here is new.
    const fresh = came.filter(({ event }) => event.seq >= this.events.length);
    if (fresh.length > 0 && fresh[0]?.event.seq === this.events.length) {
      this.stored = [...this.stored, ...fresh.map(({ stored }) => stored)];
      this.events = [...this.events, ...fresh.map(({ event }) => event)];
    }
    // A gap (another window wrote in between) is read from where this window stands.
    if (slice.length > this.events.length) void this.read();
  }

  #setClock(clock: ClockReading): void {
    this.clock = clock;
    this.#clockCame = performance.now();
  }
}

export class SessionFeed extends RecordFeed<SessionDraft> {
  readonly #fold = new SessionFold();
  #folded = 0;
  /** Undefined until the first events have come. Only what is new is folded. */
  readonly state = $derived.by(() => {
    const { events } = this;
    if (events.length === 0) return undefined;
    for (const event of events.slice(this.#folded)) this.#fold.add(event);
    this.#folded = events.length;
    return this.#fold.state();
  });
}

export class WorksheetFeed extends RecordFeed<WorksheetDraft> {
  readonly state = $derived(this.events.length === 0 ? undefined : foldWorksheet(this.events));
}

/** The feed of a session in this window. */
export function sessionFeed(station: Station, id: string): SessionFeed {
  return station.feed(id, () => new SessionFeed(station.api, id));
}

/** The feed of a worksheet in this window. */
export function worksheetFeed(station: Station, id: string): WorksheetFeed {
  return station.feed(id, () => new WorksheetFeed(station.api, id));
}
