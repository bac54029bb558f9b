/** From a record to its marking: the session's results recomputed by the sheet that marks, then the worksheet marked on them. */
import type { SeriesText } from '../results/gas.ts';
import { resultsOf } from '../results/results.ts';
import type { SessionState } from '../session/state.ts';
import type { LabSheet } from '../sheet/schema.ts';
import type { MarkingInput } from './expected.ts';
import type { WorksheetState } from './fold.ts';

/**
 * Everything that marking needs, from a session and a worksheet as they stand.
 * @param text the rows of the gas exchange file that the session names.
 * @param key the instructor's own sheet; without it the copy in the record is used, which is only as good as the file.
 */
export function markingInput(session: SessionState, worksheet: WorksheetState, key?: LabSheet, text?: SeriesText): MarkingInput {
  const sheet = key ?? session.sheet;
  const results = resultsOf(key === undefined ? session : { ...session, sheet: key }, text);
  const participant = session.details['participant-code']?.typed;
  return { sheet, book: results.book, worksheet, ...(participant === undefined ? {} : { participant }) };
}
