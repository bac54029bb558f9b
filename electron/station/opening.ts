/** Sessions and worksheets begin here: a record of its own each, with a clock, and the same answer to a repeated command. */
import type { Handlers } from '../../core/contract/contract.ts';
import { participantByCode } from '../../core/rehearsal/participant.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { sessionVersions } from '../../core/session/events.ts';
import type { Store } from '../store/store.ts';
import { isoWithOffset, newRecordId } from './ids.ts';
import { openingDetails, type ProfileFile } from './profile.ts';
import type { RecordClocks } from './record-clocks.ts';
import type { OpenRecord, Records } from './records.ts';
import type { SheetShelf } from './sheets.ts';

type Input<Name extends keyof Handlers> = Parameters<Handlers[Name]>[0];

/** What beginning a record needs of the station. */
export interface OpeningStation {
  readonly store: Store;
  readonly sheets: SheetShelf;
  readonly clocks: RecordClocks;
  readonly records: Records;
  readonly profile: ProfileFile;
  wallMs(): number;
  /** A record with its clock running in this process. */
  ready(id: string): Result<OpenRecord>;
  /** Told when the new record is on disk. */
  opened(record: OpenRecord): void;
}

/** @param of the station, asked at each command, since it is still being built when its handlers are. */
export function openingHandlers(of: () => OpeningStation): Pick<Handlers, 'session.open' | 'worksheet.open'> {
  return {
    'session.open': async (input) => openSession(of(), input),
    'worksheet.open': async (input) => openWorksheet(of(), input),
  };
}

function openSession(station: OpeningStation, input: Input<'session.open'>): Result<{ readonly session: string }> {
  const { command, author, way, rehearsal } = input;
  const said = ['session.open', input];
  const answered = station.store.answered(undefined, command, said);
  if (!answered.ok) return answered;
  if (answered.value) return success({ session: answered.value.record });
  const sheet = station.sheets.find(input.sheet);
  if (!sheet.ok) return sheet;
  if ((way === 'rehearsal') !== (rehearsal !== undefined))
    return failure('bad-input', 'A rehearsal needs its simulated participant, and only a rehearsal has one.');
  if (rehearsal && !participantByCode(rehearsal.participant))
    return failure('no-such-participant', `There is no simulated participant "${rehearsal.participant}".`);
  const id = newRecordId('session');
  const wall = isoWithOffset(station.wallMs());
  const clock = station.clocks.begin(rehearsal?.rate ?? 1);
  const data = { way, sheet: sheet.value, wall, ...(rehearsal ? { rehearsal } : {}) };
  const created = station.store.create({
    record: id,
    kind: 'session',
    opened: wall,
    clock,
    command,
    author,
    entered: 0,
    said,
    facts: [{ kind: 'session-opened', version: sessionVersions['session-opened'], data }, ...(way === 'live' ? openingDetails(station.profile) : [])],
  });
  if (!created.ok) return created;
  station.clocks.started(id, clock);
  station.opened(station.records.opened({ id, kind: 'session', opened: wall }, created.value));
  return success({ session: id });
}

function openWorksheet(station: OpeningStation, input: Input<'worksheet.open'>): Result<{ readonly worksheet: string }> {
  const { command, session, student, issued } = input;
  const said = ['worksheet.open', input];
  const answered = station.store.answered(undefined, command, said);
  if (!answered.ok) return answered;
  if (answered.value) return success({ worksheet: answered.value.record });
  const record = station.ready(session);
  if (!record.ok) return record;
  if (record.value.kind !== 'session') return failure('not-a-session', 'A worksheet is opened on a session.');
  if (record.value.damaged !== undefined) return failure('record-damaged', record.value.damaged);
  if (record.value.sessionState().phase !== 'worksheet')
    return failure('not-closed', 'The session is still going on. Close it from recovery; then its worksheets can be opened.');
  const rows = station.store.records();
  if (!rows.ok) return rows;
  for (const row of rows.value) {
    if (row.kind !== 'worksheet' || row.session !== session) continue;
    const existing = station.records.get(row.id);
    if (!existing.ok || existing.value.damaged !== undefined) continue;
    // A student who comes back goes on with the same sheet, handed in or not: later answers show as later.
    if (existing.value.worksheetState().student === student) return success({ worksheet: row.id });
  }
  const id = newRecordId('worksheet');
  const wall = isoWithOffset(station.wallMs());
  const clock = station.clocks.begin(1);
  const data = { session, sessionHead: record.value.head, student, wall, ...(issued === true ? { issued } : {}) };
  const created = station.store.create({
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
  station.clocks.started(id, clock);
  station.opened(station.records.opened({ id, kind: 'worksheet', session, opened: wall }, created.value));
  return success({ worksheet: id });
}
