/** The whole record as data: every event as it was written, and the same values as the readings file with their dictionary. */
import { eventOf, type StoredEvent } from '../record/event.ts';
import type { SessionState } from '../session/state.ts';
import { dictionaryRows } from './dictionary.ts';
import { readingRows } from './readings.ts';

export const RECORD_DATA_FORM = 'stagecall-record-data/1';

/** @param stored the session's events, sound: `state` is their fold. */
export function recordJson(state: SessionState, stored: readonly StoredEvent[], version: string): string {
  const data = {
    format: RECORD_DATA_FORM,
    program: { name: 'Stagecall', version },
    session: state.id,
    way: state.way,
    sheet: { id: state.sheet.id, version: state.sheet.version, title: state.sheet.title },
    opened: state.openedWall,
    times: { unit: 'ms', from: 'the opening of the session' },
    events: stored.map(({ body, hash }) => {
      const { seq, kind, version: form, taken, entered, author, data: what } = eventOf(body);
      return { seq, kind, version: form, taken, entered, author, data: what, hash };
    }),
    readings: readingRows(state),
    dictionary: dictionaryRows(),
  };
  return `${JSON.stringify(data, null, 1)}\n`;
}
