/**
 * The station: the contract's commands over the store. It stamps time, asks core whether a fact may be written, and
 * answers only when what it answers for is on disk.
 */
import type { ClockReading, DeskFile, Handlers, RecordChange, RecordSlice, StationAbout } from '../../core/contract/contract.ts';
import { STATION_NEWS } from '../../core/contract/station-news.ts';
import type { StoredEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { sessionVersions } from '../../core/session/events.ts';
import { instructorsOwn } from '../../core/session/instructor.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { Append, Appended, Signature, Store } from '../store/store.ts';
import { paperHandlers, type BlankWriter } from './blank.ts';
import { Changes } from './changes.ts';
import type { Clock } from './clock.ts';
import { decide, type DecidingStation, type Draft } from './deciding.ts';
import { eraseHandlers } from './erase.ts';
import { isoWithOffset } from './ids.ts';
import type { Keeper } from './keeper.ts';
import type { StationKey } from './key.ts';
import { markingSetHandlers, type MarkingSets } from './marking-sets.ts';
import { Notices } from './notices.ts';
import { openingHandlers } from './opening.ts';
import { InstructorLock, passphraseHandlers } from './passphrase.ts';
import { ProfileFile, profileHandlers } from './profile.ts';
import type { Bridge } from './record-clock.ts';
import { RecordClocks } from './record-clocks.ts';
import { Records, type OpenRecord } from './records.ts';
import { restoreHandlers, type RestoringStation } from './restore.ts';
import { seriesHandlers } from './series.ts';
import { takenSessionHandlers } from './taken-session.ts';
import type { SheetShelf } from './sheets.ts';
import { summaryOf } from './summary.ts';
import { worksheetExport, type PdfWriter } from './worksheet-export.ts';

export interface StationOptions {
  readonly store: Store;
  readonly clock: Clock;
  readonly key: StationKey;
  readonly sheets: SheetShelf;
  readonly version: string;
  readonly shell: StationAbout['shell'];
  readonly why?: string;
  readonly capabilities: StationAbout['capabilities'];
  readonly notices?: Notices;
  /** The instructor's passphrase; left out, there is none beyond this process. */
  readonly lock?: InstructorLock;
  /** The marking desk's sets. */
  readonly markingSets?: MarkingSets;
  /** The station's profile; left out, there is none beyond this process. */
  readonly profile?: ProfileFile;
  /** Writes the printed worksheet; a shell without one exports `.json` only, and says so. */
  readonly writePdf?: PdfWriter;
  readonly writeBlank?: BlankWriter;
  readonly markFiles?: (
    files: readonly { readonly name: string; readonly bytes: Uint8Array }[],
    sheet?: string,
  ) => Promise<Result<readonly DeskFile[]>>;
  readonly saveFile?: Handlers['file.save'];
  /** Told after a session was closed, so that a copy of the database can be made. */
  readonly closed?: (session: string) => void;
  /** Where records are in a data folder: its copies, and going back to one. */
  readonly keeper?: Keeper;
  readonly restoring?: RestoringStation;
  /** When a copy took the place of the record, ISO 8601: a window that was loaded before that loads anew. */
  readonly restored?: string;
}

/** All commands of the contract over one store. One a data folder. */
export class Station {
  readonly changes = new Changes();
  readonly notices: Notices;
  readonly lock: InstructorLock;
  readonly profile: ProfileFile;
  #news = 0;
  readonly #options: StationOptions;
  readonly #store: Store;
  readonly #records: Records;
  readonly #clocks: RecordClocks;
  /** Sessions that are not closed. Few; their states are kept. */
  readonly #openSessions = new Set<string>();
  readonly #deciding: DecidingStation;

  constructor(options: StationOptions) {
    this.#options = options;
    this.#store = options.store;
    this.#records = new Records(options.store);
    this.#clocks = new RecordClocks(options.store, options.clock);
    this.notices = options.notices ?? new Notices();
    this.lock = options.lock ?? new InstructorLock({ clock: options.clock });
    this.profile = options.profile ?? new ProfileFile();
    this.notices.told = () => this.#tellNews();
    this.#deciding = {
      store: this.#store,
      records: this.#records,
      profile: this.profile,
      openSessions: this.#openSessions,
      wallMs: () => options.clock.wallMs(),
      phase: (id) => this.#phase(id),
    };
  }

  /** Takes up what an earlier process left: carries the clocks of running sessions and writes down how. */
  start(): Result<void> {
    const rows = this.#store.records();
    if (!rows.ok) return rows;
    for (const row of rows.value) {
      if (row.kind !== 'session') continue;
      const sealed = this.#store.signature(row.id);
      if (!sealed.ok) return sealed;
      if (sealed.value) continue;
      const record = this.#ready(row.id);
      if (!record.ok) return record;
    }
    return success(undefined);
  }

  /** A running test or recovery: the window is not to be closed for good, the machine not to sleep. */
  running(): readonly string[] {
    return [...this.#openSessions].filter((id) => {
      const phase = this.#phase(id);
      return phase === 'exercise' || phase === 'recovery';
    });
  }

  /** The database is closed and this process about to end: what comes now waits for the next one, to which it is sent again. */
  answerNoMore(): void {
    const waits = Object.fromEntries(Object.keys(this.handlers).map((name) => [name, () => new Promise(() => {})]));
    Object.assign(this.handlers, waits);
  }

  subscribe(listener: (change: RecordChange) => void): () => void {
    return this.changes.subscribe(listener);
  }

  /** Once a second: notices a machine that slept and a wall clock that was set; now and then notes that clocks run. */
  tick(count: number): void {
    const { slept, jumped } = this.#clocks.watch();
    const timed = [...this.#openSessions].filter((id) => ['rest', 'exercise', 'recovery'].includes(this.#phase(id) ?? ''));
    if (slept !== undefined) {
      for (const id of timed) this.#carriedOverSleep(id, slept);
      this.notices.add(
        'sleep',
        'warning',
        `The computer slept for ${Math.round(slept / 1000)} s. The session clock has counted that time; take and note what was due meanwhile.`,
      );
    } else if (jumped !== undefined) {
      const asleep =
        jumped > 0 && !this.#clocks.tellsSleep
          ? ' If the computer slept, the session clock stood still meanwhile: note the real time.'
          : '';
      this.notices.add(
        'wall-clock',
        'info',
        `The computer’s clock was set ${jumped > 0 ? 'forward' : 'back'} by about ${Math.round(Math.abs(jumped) / 1000)} s. Session times are not moved by it.${asleep}`,
      );
    }
    if (slept !== undefined || jumped !== undefined || count % 10 === 0) this.#clocks.seen(timed);
  }

  /** Open rehearsals. For the driver. */
  rehearsals(): readonly string[] {
    return [...this.#openSessions].filter((id) => {
      const record = this.#records.get(id);
      return record.ok && record.value.damaged === undefined && record.value.sessionState().way === 'rehearsal';
    });
  }

  /** The state and time of a session. For the driver. */
  session(id: string): Result<{ readonly state: SessionState; readonly now: number; readonly length: number }> {
    const record = this.#ready(id);
    if (!record.ok) return record;
    if (record.value.damaged !== undefined) return failure('record-damaged', record.value.damaged);
    return success({ state: record.value.sessionState(), now: this.#time(record.value).now, length: record.value.length });
  }

  /** For the driver: keeps the rows of a simulated gas exchange file. */
  keepSeries(text: string): Result<string> {
    return this.#store.putSeries(text, this.#options.clock.wallMs());
  }

  readonly handlers: Handlers = {
    'station.about': async () =>
      success({
        version: this.#options.version,
        shell: this.#options.shell,
        ...(this.#options.why === undefined ? {} : { why: this.#options.why }),
        capabilities: this.#options.capabilities,
        notices: this.notices.list(),
        stationKey: this.#options.key.shortName,
        ...(this.#options.restored === undefined ? {} : { restored: this.#options.restored }),
      }),
    'sheets.list': async () => success(this.#options.sheets.list()),
    'sessions.list': async () => {
      const rows = this.#store.records();
      return rows.ok ? summaryOf(rows.value, this.#records) : rows;
    },
    ...openingHandlers(() => ({
      store: this.#store,
      sheets: this.#options.sheets,
      clocks: this.#clocks,
      records: this.#records,
      profile: this.profile,
      wallMs: () => this.#options.clock.wallMs(),
      ready: (id) => this.#ready(id),
      opened: (record) => {
        if (record.kind === 'session') this.#openSessions.add(record.id);
        this.#tell(record);
      },
    })),
    'record.read': async ({ record, from }) => {
      const ready = this.#ready(record);
      if (!ready.ok) return ready;
      const events = this.#store.read(record, from);
      return events.ok ? success(this.#slice(ready.value, events.value)) : events;
    },
    'record.append': async ({ record, command, author, drafts, unlock }) => {
      const written = this.append(record, command, author, drafts, unlock);
      if (!written.ok) return written;
      const { appended, record: open } = written.value;
      return success({ ...this.#slice(open, appended.stored), repeated: appended.repeated });
    },
    ...passphraseHandlers(() => this.lock),
    ...markingSetHandlers(() => this.#options.markingSets),
    ...profileHandlers(() => ({ file: this.profile, lock: this.lock, changed: () => this.#tellNews() })),
    ...eraseHandlers(() => ({
      store: this.#store,
      lock: this.lock,
      ...(this.#options.keeper ? { keeper: this.#options.keeper } : {}),
      now: () => isoWithOffset(this.#options.clock.wallMs()),
      record: (id) => this.#records.get(id),
      forget: (records) => this.#forget(records),
    })),
    ...restoreHandlers(() => this.#options.restoring),
    ...seriesHandlers(() => this.#store, () => this.#options.clock.wallMs()),
    ...paperHandlers(() => ({ store: this.#store, sheets: this.#options.sheets, version: this.#options.version, record: (id) => this.#ready(id), writeBlank: this.#options.writeBlank })),
    ...takenSessionHandlers(() => ({
      store: this.#store,
      wallMs: () => this.#options.clock.wallMs(),
      told: (record) => {
        const open = this.#ready(record);
        if (open.ok) this.#tell(open.value);
      },
    })),
    'rehearsal.rate': async ({ session, rate }) => this.#setRate(session, rate),
    'worksheet.export': async ({ worksheet, as, paper }) => {
      const record = this.#ready(worksheet);
      if (!record.ok) return record;
      return worksheetExport(record.value, as, paper, {
        store: this.#store,
        version: this.#options.version,
        ...(this.#options.writePdf ? { writePdf: this.#options.writePdf } : {}),
      });
    },
    'desk.mark': async ({ files, sheet }) => {
      if (!this.#options.markFiles)
        return failure(
          'not-here',
          'Handed-in worksheets cannot be opened in this shell. Use: npm run -s lab -- mark FILES --out MARKS.csv.',
        );
      return this.#options.markFiles(
        files.map(({ name, base64 }) => ({ name, bytes: Buffer.from(base64, 'base64') })),
        sheet,
      );
    },
    'window.wall': async () => failure('not-here', 'A browser opens the second window from the page itself.'),
    'file.save': async (input) => this.#options.saveFile?.(input) ?? failure('not-here', 'This window saves files by downloading them.'),
  };

  /** Appends what a window, the rehearsal or the command line states. All is on disk when this returns ok, or nothing is. */
  append(
    id: string,
    command: string,
    author: string,
    drafts: readonly Draft[],
    unlock?: string,
  ): Result<{ readonly record: OpenRecord; readonly appended: Appended }> {
    const said = [author, drafts];
    const ready = this.#ready(id);
    if (!ready.ok) return ready;
    const record = ready.value;
    // Before any rule: what was accepted once is answered again, whatever has happened since.
    const answered = this.#store.answered(id, command, said);
    if (!answered.ok) return answered;
    if (answered.value) return success({ record, appended: answered.value });
    if (record.damaged !== undefined) return failure('record-damaged', record.damaged);
    const guarded = record.kind === 'session' ? drafts.map((draft) => instructorsOwn(record.sessionState(), draft)).find((what) => what !== undefined) : undefined;
    if (guarded !== undefined) {
      const unlocked = this.lock.unlocks(unlock, 'action', guarded);
      if (!unlocked.ok) return unlocked;
    }
    const entered = this.#entered(record);
    const now = this.#time(record).now;
    const decided = decide(this.#deciding, record, { command, author, entered, now }, drafts);
    if (!decided.ok) return decided;
    const written = this.#write(record, { record: id, command, author, entered, said, facts: decided.value });
    if (guarded !== undefined && written.ok) this.lock.spend(unlock);
    return written;
  }

  #write(record: OpenRecord, input: Append): Result<{ readonly record: OpenRecord; readonly appended: Appended }> {
    const seal = (head: string): Signature => this.#options.key.seal(head);
    // What is joined to a closed session is sealed anew, and copied.
    const closes = input.facts.some(({ kind }) => kind === 'session-closed' || kind === 'worksheet-handed-in') || (record.kind === 'session' && record.sessionState().starts.closed !== undefined);
    const written = this.#store.append({ ...input, ...(closes ? { seal } : {}) });
    if (!written.ok) {
      this.#records.forget(record.id);
      return written;
    }
    this.#records.appended(record, written.value);
    if (closes && record.kind === 'session') {
      this.#openSessions.delete(record.id);
      this.#options.closed?.(record.id);
    }
    this.#tell(record);
    return success({ record, appended: written.value });
  }

  #setRate(session: string, rate: number): Result<ClockReading> {
    const ready = this.#ready(session);
    if (!ready.ok) return ready;
    const record = ready.value;
    if (record.kind !== 'session' || record.damaged !== undefined || record.sessionState().way !== 'rehearsal') {
      return failure('not-a-rehearsal', 'Only a rehearsal can run at another speed. The clock was left as it is.');
    }
    const set = this.#clocks.setRate(session, rate);
    if (!set.ok) return set;
    this.#tell(record);
    return success(this.#time(record));
  }

  /** The record with its clock running in this process; an interrupted session's clock is carried over, and that is written down. */
  #ready(id: string): Result<OpenRecord> {
    const got = this.#records.get(id);
    if (!got.ok) return got;
    const record = got.value;
    const rehearsal = record.kind === 'session' && record.damaged === undefined && record.sessionState().way === 'rehearsal';
    const carried = this.#clocks.carry(id, record.lastEntered, rehearsal);
    if (!carried.ok) return carried;
    if (carried.value && record.kind === 'session' && record.damaged === undefined) {
      const { phase } = record.sessionState();
      if (phase !== 'worksheet') {
        this.#openSessions.add(id);
        this.#carriedOver(record, carried.value);
      }
    }
    return got;
  }

  #carriedOver(record: OpenRecord, { clock, why, bridge, gap, remark }: Bridge): void {
    this.#store.setClock(record.id, clock);
    const state = record.sessionState();
    if (state.phase === 'prepare' || state.way === 'paper' || state.readOnly !== undefined) return;
    this.#byStation(record, { kind: 'clock-carried', data: { why, bridge, gap: Math.round(gap) } });
    if (remark !== undefined) this.notices.add(`carried-${record.id}`, 'warning', remark);
    else if (why === 'reboot')
      this.notices.add(
        `carried-${record.id}`,
        'warning',
        'The computer was started anew during a session. Its clock was carried over by the computer’s own clock; check it against a watch.',
      );
    else
      this.notices.add(
        `carried-${record.id}`,
        'info',
        'The program was started again during a session. Nothing acknowledged was lost and the session clock has gone on.',
      );
  }

  #carriedOverSleep(id: string, slept: number): void {
    const record = this.#records.get(id);
    if (!record.ok || record.value.damaged !== undefined) return;
    const { way, readOnly } = record.value.sessionState();
    if (way === 'paper' || readOnly !== undefined) return;
    if (way === 'rehearsal') this.#clocks.pauseFor(id, slept);
    this.#byStation(record.value, { kind: 'clock-carried', data: { why: 'sleep', bridge: 'monotonic', gap: Math.round(slept) } });
  }

  /** A fact that only the station can state. Best effort: a full disk is told at the next reading. */
  #byStation(record: OpenRecord, fact: { readonly kind: 'clock-carried'; readonly data: unknown }): void {
    const command = `station-${crypto.randomUUID()}`;
    this.#write(record, {
      record: record.id,
      command,
      author: 'station',
      entered: this.#entered(record),
      said: fact,
      facts: [{ ...fact, version: sessionVersions[fact.kind] }],
    });
  }

  /** The moment of acceptance: the record's running clock, never behind what was accepted before. */
  #entered(record: OpenRecord): number {
    return Math.max(this.#clocks.read(record.id).now, record.lastEntered);
  }

  /** The record's time as windows show it and rules see it. */
  #time(record: OpenRecord): ClockReading {
    const running = this.#clocks.read(record.id);
    const now = Math.max(running.now, record.lastEntered);
    if (record.kind === 'worksheet' || record.damaged !== undefined) return { now, rate: 0 };
    const state = record.sessionState();
    if (state.starts.closed !== undefined) return { now: record.lastEntered, rate: 0 };
    // A sheet keyed in afterwards stands at the latest moment that was written on it.
    if (state.way === 'paper') return { now: record.lastTaken, rate: 0 };
    return { now, rate: running.rate };
  }

  #phase(id: string): string | undefined {
    const record = this.#records.get(id);
    return record.ok && record.value.damaged === undefined ? record.value.sessionState().phase : undefined;
  }

  /** Of records that were erased, nothing stays in memory; windows that show one are told that it has no events any more. */
  #forget(records: readonly string[]): void {
    for (const record of records) {
      this.#records.forget(record);
      this.#clocks.forget(record);
      this.#openSessions.delete(record);
      this.changes.publish({ record, length: 0, clock: { now: 0, rate: 0 } });
    }
  }

  #slice(record: OpenRecord, events: readonly StoredEvent[]): RecordSlice {
    return { record: record.id, events, length: record.length, clock: this.#time(record) };
  }

  #tellNews(): void {
    this.changes.publish({ record: STATION_NEWS, length: ++this.#news, clock: { now: 0, rate: 0 } });
  }

  #tell(record: OpenRecord): void {
    this.changes.publish({ record: record.id, length: record.length, clock: this.#time(record) });
  }
}
