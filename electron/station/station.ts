/**
 * The station: the contract's commands over the store. It stamps time, asks core whether a fact may be written, and
 * answers only when what it answers for is on disk.
 */
import type { ClockReading, Handlers, RecordChange, RecordSlice, StationAbout } from '../../core/contract/contract.ts';
import { STATION_NEWS } from '../../core/contract/station-news.ts';
import type { RecordEvent, StoredEvent } from '../../core/record/event.ts';
import { participantByCode } from '../../core/rehearsal/participant.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { decideSession } from '../../core/session/decide.ts';
import { isSessionKind, sessionVersions } from '../../core/session/events.ts';
import { instructorsOwn } from '../../core/session/instructor.ts';
import { decideWorksheet } from '../../core/worksheet/decide.ts';
import type { Append, Appended, NewFact, Signature, Store } from '../store/store.ts';
import { paperHandlers, type BlankWriter } from './blank.ts';
import { Changes } from './changes.ts';
import type { Clock } from './clock.ts';
import { eraseHandlers } from './erase.ts';
import { ergometerOf } from './ergometer.ts';
import { isoWithOffset, newRecordId } from './ids.ts';
import type { Keeper } from './keeper.ts';
import type { StationKey } from './key.ts';
import { markingSetHandlers, type MarkingSets } from './marking-sets.ts';
import { Notices } from './notices.ts';
import { InstructorLock, passphraseHandlers } from './passphrase.ts';
import { openingDetails, ProfileFile, profileHandlers } from './profile.ts';
import type { Bridge } from './record-clock.ts';
import { RecordClocks } from './record-clocks.ts';
import { Records, type OpenRecord } from './records.ts';
import { restoreHandlers, type RestoringStation } from './restore.ts';
import { mayAttach, seriesHandlers } from './series.ts';
import { takenSessionHandlers } from './taken-session.ts';
import type { SheetShelf } from './sheets.ts';
import { summaryOf } from './summary.ts';
import { worksheetExport, type PdfWriter } from './worksheet-export.ts';

type Input<Name extends keyof Handlers> = Parameters<Handlers[Name]>[0];
interface Draft {
  readonly kind: string;
  readonly data?: unknown;
  readonly taken?: number | undefined;
}

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
  ) => Promise<Result<readonly import('../../core/contract/contract.ts').DeskFile[]>>;
  readonly saveFile?: Handlers['file.save'];
  /** Told after a session was closed, so that a copy of the database can be made. */
  readonly closed?: (session: string) => void;
  /** Where records are in a data folder: its copies, and going back to one. */
  readonly keeper?: Keeper;
  readonly restoring?: RestoringStation;
  /** When a copy took the place of the record, ISO 8601: a window that was loaded before that loads anew. */
  readonly restored?: string;
}

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

  constructor(options: StationOptions) {
    this.#options = options;
    this.#store = options.store;
    this.#records = new Records(options.store);
    this.#clocks = new RecordClocks(options.store, options.clock);
    this.notices = options.notices ?? new Notices();
    this.lock = options.lock ?? new InstructorLock({ clock: options.clock });
    this.profile = options.profile ?? new ProfileFile();
    this.notices.told = () => this.#tellNews();
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
  session(
    id: string,
  ): Result<{ readonly state: import('../../core/session/state.ts').SessionState; readonly now: number; readonly length: number }> {
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
    'session.open': async (input) => this.#openSession(input),
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
    'worksheet.open': async (input) => this.#openWorksheet(input),
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
    const decided = this.#decide(record, { command, author, entered, now }, drafts);
    if (!decided.ok) return decided;
    const written = this.#write(record, { record: id, command, author, entered, said, facts: decided.value });
    if (guarded !== undefined && written.ok) this.lock.spend(unlock);
    return written;
  }

  /**
   * Puts each draft before core's rules, in turn, each after the ones before it have been taken in.
   * Readings cost nothing of the record's length here.
   */
  #decide(
    record: OpenRecord,
    at: { command: string; author: string; entered: number; now: number },
    drafts: readonly Draft[],
  ): Result<NewFact[]> {
    const facts: NewFact[] = [];
    for (const [index, draft] of drafts.entries()) {
      const decided =
        record.kind === 'session'
          ? this.#decideForSession(record, at, draft)
          : decideWorksheet(record.worksheetState(), { kind: draft.kind, data: this.#stamped(draft) }, this.#questions(record));
      if (!decided.ok) {
        if (index > 0) this.#records.forget(record.id);
        return decided;
      }
      const { kind, data, taken } = decided.value;
      const fact: NewFact = {
        kind,
        version: isSessionKind(kind) ? sessionVersions[kind] : 1,
        data,
        ...(taken === undefined ? {} : { taken }),
      };
      facts.push(fact);
      if (index < drafts.length - 1) record.add(provisional(record, at, fact));
    }
    return success(facts);
  }

  /** The time of handing in is the station's, whatever the window's clock says. */
  #stamped({ kind, data }: Draft): unknown {
    return kind === 'worksheet-handed-in' ? { ...(data as object), wall: isoWithOffset(this.#options.clock.wallMs()) } : data;
  }

  #decideForSession(record: OpenRecord, at: { author: string; now: number }, draft: Draft): ReturnType<typeof decideSession> {
    const state = record.sessionState();
    const other = draft.kind === 'exercise-started' || draft.kind === 'stop-taken-back' ? this.#otherInExercise(record) : undefined;
    // Core asks this where exercise starts; a stop that is taken back starts it again.
    if (draft.kind === 'stop-taken-back' && other !== undefined)
      return failure('ergometer-busy', `The stop stands: ${other} is in Exercise on this ergometer by now. Recovery goes on.`);
    const { kind, data, taken } = draft;
    const kept = kind === 'series-attached' ? mayAttach(this.#store, state, data) : success(undefined);
    if (!kept.ok) return kept;
    return decideSession(
      state,
      { kind, data, ...(taken === undefined ? {} : { taken }) },
      { now: at.now, author: at.author, ...(other === undefined ? {} : { otherInExercise: other }) },
    );
  }

  /** The questions of the lab sheet that a worksheet belongs to; undefined where the session cannot be read. */
  #questions(worksheet: OpenRecord): readonly string[] | undefined {
    const session = this.#records.get(worksheet.session ?? '');
    return session.ok && session.value.damaged === undefined ? session.value.sessionState().sheet.questions.map(({ id }) => id) : undefined;
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

  #openSession(input: Input<'session.open'>): Result<{ readonly session: string }> {
    const { command, author, way, rehearsal } = input;
    const said = ['session.open', input];
    const answered = this.#store.answered(undefined, command, said);
    if (!answered.ok) return answered;
    if (answered.value) return success({ session: answered.value.record });
    const sheet = this.#options.sheets.find(input.sheet);
    if (!sheet.ok) return sheet;
    if ((way === 'rehearsal') !== (rehearsal !== undefined))
      return failure('bad-input', 'A rehearsal needs its simulated participant, and only a rehearsal has one.');
    if (rehearsal && !participantByCode(rehearsal.participant))
      return failure('no-such-participant', `There is no simulated participant "${rehearsal.participant}".`);
    const id = newRecordId('session');
    const wall = isoWithOffset(this.#options.clock.wallMs());
    const clock = this.#clocks.begin(rehearsal?.rate ?? 1);
    const data = { way, sheet: sheet.value, wall, ...(rehearsal ? { rehearsal } : {}) };
    const created = this.#store.create({
      record: id,
      kind: 'session',
      opened: wall,
      clock,
      command,
      author,
      entered: 0,
      said,
      facts: [{ kind: 'session-opened', version: sessionVersions['session-opened'], data }, ...(way === 'live' ? openingDetails(this.profile) : [])],
    });
    if (!created.ok) return created;
    this.#clocks.started(id, clock);
    this.#openSessions.add(id);
    this.#tell(this.#records.opened({ id, kind: 'session', opened: wall }, created.value));
    return success({ session: id });
  }

  #openWorksheet(input: Input<'worksheet.open'>): Result<{ readonly worksheet: string }> {
    const { command, session, student, issued } = input;
    const said = ['worksheet.open', input];
    const answered = this.#store.answered(undefined, command, said);
    if (!answered.ok) return answered;
    if (answered.value) return success({ worksheet: answered.value.record });
    const record = this.#ready(session);
    if (!record.ok) return record;
    if (record.value.kind !== 'session') return failure('not-a-session', 'A worksheet is opened on a session.');
    if (record.value.damaged !== undefined) return failure('record-damaged', record.value.damaged);
    if (record.value.sessionState().phase !== 'worksheet')
      return failure('not-closed', 'The session is still going on. Close it from recovery; then its worksheets can be opened.');
    const rows = this.#store.records();
    if (!rows.ok) return rows;
    for (const row of rows.value) {
      if (row.kind !== 'worksheet' || row.session !== session) continue;
      const existing = this.#records.get(row.id);
      if (!existing.ok || existing.value.damaged !== undefined) continue;
      // A student who comes back goes on with the same sheet, handed in or not: later answers show as later.
      if (existing.value.worksheetState().student === student) return success({ worksheet: row.id });
    }
    const id = newRecordId('worksheet');
    const wall = isoWithOffset(this.#options.clock.wallMs());
    const clock = this.#clocks.begin(1);
    const data = { session, sessionHead: record.value.head, student, wall, ...(issued === true ? { issued } : {}) };
    const created = this.#store.create({
      record: id,
      kind: 'worksheet',
      session,
      opened: wall,
      clock,
      command,
      author: student,
      entered: 0,
      said,
      facts: [{ kind: 'worksheet-opened', version: 1, data }],
    });
    if (!created.ok) return created;
    this.#clocks.started(id, clock);
    this.#tell(this.#records.opened({ id, kind: 'worksheet', session, opened: wall }, created.value));
    return success({ worksheet: id });
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

  /** Who else is in Exercise on the same ergometer. Rehearsals and paper sheets use none. */
  #otherInExercise(record: OpenRecord): string | undefined {
    const own = record.sessionState();
    const profile = this.profile.read();
    const ergometer = (state: typeof own): string | undefined => ergometerOf(state, profile.ok ? profile.value.profile : undefined);
    if (own.way !== 'live' || ergometer(own) === undefined) return undefined;
    for (const id of this.#openSessions) {
      if (id === record.id || this.#phase(id) !== 'exercise') continue;
      const other = this.#records.get(id);
      if (!other.ok) continue;
      const state = other.value.sessionState();
      if (state.way === 'live' && ergometer(state) === ergometer(own)) return state.details['participant-code']?.typed ?? id;
    }
    return undefined;
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

/** What stands in for the event until the store has written it. */
function provisional(record: OpenRecord, at: { command: string; author: string; entered: number }, fact: NewFact): RecordEvent {
  const { kind, version, data, taken } = fact;
  return {
    record: record.id,
    seq: record.length,
    kind,
    version,
    taken: taken ?? at.entered,
    entered: at.entered,
    author: at.author,
    command: at.command,
    data,
  };
}
