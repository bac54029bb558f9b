/** A station in memory, for tests of windows: core's rules and a real chain, no disk, no process, and a clock that the test moves. */
import {
  contract,
  isCommandName,
  type ClockReading,
  type CommandName,
  type Handlers,
  type InputOf,
  type OutputOf,
  type RecordChange,
  type SessionSummary,
  type StationAbout,
  type StationApi,
} from '../../core/contract/contract.ts';
import { STATION_NEWS } from '../../core/contract/station-news.ts';
import { chainHash, CHAIN_START, sha256Hex } from '../../core/record/chain.ts';
import { bodyOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { decideSession } from '../../core/session/decide.ts';
import { foldSession } from '../../core/session/fold.ts';
import { fakeErasing } from './fake-erasing.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import { decideWorksheet } from '../../core/worksheet/decide.ts';
import { lastSeriesOf } from '../../core/worksheet/closing.ts';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { fakePaper } from './fake-paper.ts';
import { fakeSeries } from './fake-series.ts';
import { fakeTake } from './fake-take.ts';
import { fakeSets } from './fake-sets.ts';
import { fakePassphrase, fakeProfile } from './fake-instructor.ts';

interface FakeRecord {
  readonly id: string;
  readonly kind: 'session' | 'worksheet';
  readonly session?: string;
  readonly events: RecordEvent[];
  readonly stored: StoredEvent[];
  /** Record time = at + (now − set) × rate. */
  clock: { at: number; set: number; rate: number };
}
interface Answered {
  readonly said: string;
  readonly record: string;
  readonly first: number;
  readonly count: number;
}

const WALL = '2026-03-02T09:00:00+00:00';

export interface FakeStation extends StationApi {
  /** Real time goes on by so many milliseconds. */
  pass(milliseconds: number): void;
  /** The connection is lost, or found again. */
  connect(state: boolean): void;
}

/** @param sheets lab sheets by file name. @param about what differs from a plain test station. */
export function fakeStation(sheets: Readonly<Record<string, string>>, about: Partial<StationAbout> = {}): FakeStation {
  const records = new Map<string, FakeRecord>();
  const commands = new Map<string, Answered>();
  const listeners = new Set<Parameters<StationApi['subscribe']>[0]>();
  let now = 0;
  let made = 0;

  const timeOf = (record: FakeRecord): ClockReading => {
    const running = Math.floor(record.clock.at + (now - record.clock.set) * record.clock.rate);
    if (record.kind === 'worksheet') return { now: running, rate: 0 };
    const state = foldSession(record.events);
    if (state.starts.closed !== undefined) return { now: record.events.at(-1)?.entered ?? 0, rate: 0 };
    if (state.way === 'paper') return { now: Math.max(...record.events.map(({ taken }) => taken)), rate: 0 };
    return { now: running, rate: record.clock.rate };
  };
  const find = (id: string): Result<FakeRecord> => {
    const record = records.get(id);
    return record ? success(record) : (erasing.refusal(id) ?? failure('no-such-record', 'This station has no such record.'));
  };
  const erasing = fakeErasing({
    records,
    wall: WALL,
    gone: (record) => {
      for (const listener of listeners) listener.changed({ record, length: 0, clock: { now: 0, rate: 0 } });
    },
  });
  const changeOf = (record: FakeRecord): RecordChange => ({ record: record.id, length: record.events.length, clock: timeOf(record) });
  const tell = (record: FakeRecord): void => {
    const change = changeOf(record);
    queueMicrotask(() => {
      for (const listener of listeners) listener.changed(change);
    });
  };
  const write = (
    record: FakeRecord,
    command: string,
    author: string,
    said: string,
    facts: readonly { kind: string; data: unknown; taken?: number }[],
  ): void => {
    const first = record.events.length;
    const entered = Math.floor(record.clock.at + (now - record.clock.set) * record.clock.rate);
    for (const { kind, data, taken } of facts) {
      const event: RecordEvent = {
        record: record.id,
        seq: record.events.length,
        kind,
        version: 1,
        taken: taken ?? entered,
        entered,
        author,
        command,
        data,
      };
      const body = bodyOf(event);
      record.events.push(JSON.parse(body) as RecordEvent);
      record.stored.push({ body, hash: chainHash(record.stored.at(-1)?.hash ?? CHAIN_START, body) });
    }
    commands.set(command, { said, record: record.id, first, count: facts.length });
    tell(record);
  };
  const open = (kind: FakeRecord['kind'], rate: number, session?: string): FakeRecord => {
    const record: FakeRecord = {
      id: `${kind[0]}-fake-${++made}`,
      kind,
      events: [],
      stored: [],
      clock: { at: 0, set: now, rate },
      ...(session === undefined ? {} : { session }),
    };
    records.set(record.id, record);
    return record;
  };
  const answered = (command: string, said: string): Result<Answered | undefined> => {
    const before = commands.get(command);
    const erased = erasing.opens(command);
    if (erased) return erased;
    if (before && before.said !== said) return failure('command-used', 'The command id was used for something else.');
    return success(before);
  };
  const listings = Object.entries(sheets).map(([name, text]) => {
    const loaded = loadSheet(text, name);
    const id = loaded.ok ? loaded.sheet.id : name;
    return {
      id,
      title: loaded.ok ? loaded.sheet.title : name,
      version: 1,
      mode: loaded.ok ? loaded.sheet.mode : '',
      text,
      problems: loaded.ok ? [] : loaded.problems.map(({ message }) => message),
    };
  });

  const series = fakeSeries();
  const { refusal: _refusal, opens: _opens, ...erasingHandlers } = erasing;
  const handlers: Handlers = {
    ...erasingHandlers,
    'station.about': async () =>
      success({
        version: '0.0.0',
        shell: 'test',
        capabilities: { save: 'download', strap: false, secondWindow: false },
        notices: [],
        stationKey: '0000-0000',
        ...about,
      }),
    'sheets.list': async () => success(listings),
    'sessions.list': async () =>
      success(
        [...records.values()]
          .filter(({ kind }) => kind === 'session')
          .map((record) => summary(record, records))
          .reverse(),
      ),
    'session.open': async (input) => {
      const said = JSON.stringify(input);
      const before = answered(input.command, said);
      if (!before.ok) return before;
      if (before.value) return success({ session: before.value.record });
      const sheet = listings.find(({ id }) => id === input.sheet);
      if (!sheet) return failure('no-such-sheet', 'No such lab sheet.');
      if ((input.way === 'rehearsal') !== (input.rehearsal !== undefined))
        return failure('bad-input', 'A rehearsal needs its participant.');
      const record = open('session', input.rehearsal?.rate ?? 1);
      const data = {
        way: input.way,
        sheet: { id: sheet.id, version: 1, hash: sha256Hex(sheet.text), text: sheet.text },
        wall: WALL,
        ...(input.rehearsal ? { rehearsal: input.rehearsal } : {}),
      };
      write(record, input.command, input.author, said, [{ kind: 'session-opened', data }]);
      return success({ session: record.id });
    },
    'record.read': async ({ record: id, from }) => {
      const found = find(id);
      if (!found.ok) return found;
      return success({ ...changeOf(found.value), events: found.value.stored.slice(from) });
    },
    'record.append': async ({ record: id, command, author, drafts }) => {
      const said = JSON.stringify([author, drafts]);
      const found = find(id);
      if (!found.ok) return found;
      const record = found.value;
      const before = answered(command, said);
      if (!before.ok) return before;
      if (before.value)
        return success({
          ...changeOf(record),
          length: before.value.first + before.value.count,
          events: record.stored.slice(before.value.first, before.value.first + before.value.count),
          repeated: true,
        });
      const time = timeOf(record).now;
      const facts: { kind: string; data: unknown; taken?: number }[] = [];
      for (const draft of drafts) {
        const pending = facts.map((fact, index) => ({
          record: id,
          seq: record.events.length + index,
          version: 1,
          entered: time,
          author,
          command,
          ...fact,
          taken: fact.taken ?? time,
        }));
        const events = [...record.events, ...pending];
        const kept = record.kind === 'session' && draft.kind === 'series-attached' ? series.mayAttach(foldSession(events), draft.data) : success(undefined);
        if (!kept.ok) return kept;
        const plain = { kind: draft.kind, data: draft.data, ...(draft.taken === undefined ? {} : { taken: draft.taken }) };
        const decided =
          record.kind === 'session'
            ? decideSession(foldSession(events), plain, { now: time, author })
            : decideWorksheet(foldWorksheet(events), plain);
        if (!decided.ok) return decided;
        facts.push(decided.value);
      }
      const first = record.events.length;
      write(record, command, author, said, facts);
      return success({ ...changeOf(record), events: record.stored.slice(first), repeated: false });
    },
    'rehearsal.rate': async ({ session, rate }) => {
      const found = find(session);
      if (!found.ok) return found;
      if (foldSession(found.value.events).way !== 'rehearsal')
        return failure('not-a-rehearsal', 'Only a rehearsal can run at another speed.');
      found.value.clock = { at: timeOf(found.value).now, set: now, rate };
      tell(found.value);
      return success(timeOf(found.value));
    },
    ...fakeTake(
      (id) => records.has(id),
      ({ events, stored, ...named }) => {
        const record: FakeRecord = { ...named, events: [...events], stored: [...stored], clock: { at: events.at(-1)?.entered ?? 0, set: now, rate: 1 } };
        records.set(record.id, record);
        tell(record);
      },
    ),
    'worksheet.open': async (input) => {
      const said = JSON.stringify(input);
      const before = answered(input.command, said);
      if (!before.ok) return before;
      if (before.value) return success({ worksheet: before.value.record });
      const found = find(input.session);
      if (!found.ok) return found;
      if (foldSession(found.value.events).phase !== 'worksheet') return failure('not-closed', 'The session is still going on.');
      for (const other of records.values()) {
        if (other.session !== input.session) continue;
        if (foldWorksheet(other.events).student === input.student) return success({ worksheet: other.id });
      }
      const record = open('worksheet', 1, input.session);
      const data = { session: input.session, sessionHead: found.value.stored.at(-1)?.hash ?? '', student: input.student, wall: WALL, ...(input.issued === true ? { issued: true } : {}) };
      write(record, input.command, input.student, said, [{ kind: 'worksheet-opened', data }]);
      return success({ worksheet: record.id });
    },
    'worksheet.export': async ({ worksheet, as }) => {
      const found = find(worksheet);
      if (!found.ok) return found;
      const session = records.get(found.value.session ?? '');
      if (!session) return failure('not-a-worksheet', 'Only a worksheet can be exported.');
      if (as === 'pdf') return failure('not-here', 'The test station makes no PDF.');
      const hash = lastSeriesOf(session.events);
      const rows = hash === undefined ? undefined : series.text(hash);
      const text = worksheetFileText(
        buildWorksheetFile({ ...(hash === undefined || rows === undefined ? {} : { series: { hash, text: rows } }), session: { events: session.stored }, worksheet: { events: found.value.stored }, version: '0.0.0' }),
      );
      return success({
        name: 'worksheet.json',
        mime: 'application/json',
        base64: btoa(String.fromCharCode(...new TextEncoder().encode(text))),
      });
    },
    'desk.mark': async ({ files }) =>
      success(
        files.map(({ name }) => ({
          file: name,
          status: 'refused' as const,
          findings: [{ code: 'not-here', level: 'refusal' as const, text: 'The test station marks nothing.' }],
        })),
      ),
    'window.wall': async () => failure('not-here', 'A browser opens the second window from the page itself.'),
    'file.save': async () => failure('not-here', 'This window saves files by downloading them.'),
    ...fakePassphrase(),
    ...fakePaper(find),
    ...series.handlers,
    ...fakeSets((id) => listings.find((one) => one.id === id)?.text),
    ...fakeProfile(() => listeners.forEach((listener) => listener.changed({ record: STATION_NEWS, length: 1, clock: { now: 0, rate: 0 } }))),
  };

  return {
    async call<Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<Result<OutputOf<Name>>> {
      if (!isCommandName(name)) return failure('unknown-command', 'No such command.');
      const checked = contract[name as CommandName].input.safeParse(JSON.parse(JSON.stringify(input)));
      if (!checked.success) return failure('bad-input', 'The entry has a form that is not understood.');
      return (handlers[name as CommandName] as (checked: unknown) => Promise<Result<OutputOf<Name>>>)(checked.data);
    },
    subscribe(listener) {
      listeners.add(listener);
      queueMicrotask(() => listener.connected(true));
      return () => listeners.delete(listener);
    },
    pass: (milliseconds) => {
      now += milliseconds;
    },
    connect: (state) => {
      for (const listener of listeners) listener.connected(state);
    },
  } satisfies FakeStation;
}

function summary(record: FakeRecord, records: ReadonlyMap<string, FakeRecord>): SessionSummary {
  const state = foldSession(record.events);
  const participant = state.details['participant-code']?.typed;
  const worksheets = [...records.values()]
    .filter(({ session }) => session === record.id)
    .map((worksheet) => {
      const { student, handedIn } = foldWorksheet(worksheet.events);
      return { id: worksheet.id, student, handedIn: handedIn !== undefined };
    });
  return {
    id: record.id,
    sheetId: state.sheet.id,
    sheetTitle: state.sheet.title,
    way: state.way,
    phase: state.phase,
    openedWall: WALL,
    events: record.events.length,
    worksheets,
    ...(participant === undefined ? {} : { participant }),
    ...(state.readOnly === undefined ? {} : { readOnly: state.readOnly }),
  };
}
