/** The sessions on this station, as the first screen lists them. */
import type { SessionSummary } from '../../core/contract/contract.ts';
import { success, type Result } from '../../core/result.ts';
import type { StoredRecord } from '../store/store.ts';
import type { OpenRecord, Records } from './records.ts';

/** The newest first. A record that cannot be read is listed too, with why. */
export function summaryOf(rows: readonly StoredRecord[], records: Records): Result<readonly SessionSummary[]> {
  const worksheets = new Map<string, SessionSummary['worksheets'][number][]>();
  const sessions: OpenRecord[] = [];
  for (const row of rows) {
    const record = records.get(row.id);
    if (!record.ok) return record;
    if (row.kind === 'session') sessions.push(record.value);
    else worksheets.set(row.session ?? '', [...(worksheets.get(row.session ?? '') ?? []), worksheetLine(record.value)]);
  }
  return success(sessions.reverse().map((record) => sessionLine(record, worksheets.get(record.id) ?? [])));
}

function worksheetLine(record: OpenRecord): SessionSummary['worksheets'][number] {
  if (record.damaged !== undefined) return { id: record.id, student: 'damaged', handedIn: false };
  const { student, handedIn } = record.worksheetState();
  return { id: record.id, student, handedIn: handedIn !== undefined };
}

function sessionLine(record: OpenRecord, worksheets: SessionSummary['worksheets']): SessionSummary {
  const common = { id: record.id, events: record.length, worksheets, openedWall: record.opened };
  let damaged = record.damaged;
  if (damaged === undefined) {
    try {
      const state = record.sessionState();
      const participant = state.details['participant-code']?.typed;
      return {
        ...common,
        sheetId: state.sheet.id,
        sheetTitle: state.sheet.title,
        way: state.way,
        phase: state.phase,
        openedWall: state.openedWall,
        ...(participant === undefined ? {} : { participant }),
        ...(state.readOnly === undefined ? {} : { readOnly: state.readOnly }),
      };
    } catch (cause) {
      damaged = (cause as Error).message;
    }
  }
  return { ...common, sheetId: '', sheetTitle: 'A record that cannot be read', way: 'live', phase: 'prepare', readOnly: damaged };
}
