/** From a record to its marking: the session's results recomputed by the sheet that marks, then the worksheet marked on them. */
import { resultsOf } from '../results/results.ts';
import type { SessionState } from '../session/state.ts';
import type { LabSheet } from '../sheet/schema.ts';
import type { MarkingInput } from './expected.ts';
import type { WorksheetState } from './fold.ts';

/**
 * Everything that marking needs, from a session and a worksheet as they stand.
 * @param key the instructor's own sheet; without it the copy in the record is used, which is only as good as the file.
 */
export function markingInput(session: SessionState, worksheet: WorksheetState, key?: LabSheet): MarkingInput {
  const sheet = key ?? session.sheet;
  const results = resultsOf(key === undefined ? session : { ...session, sheet: key });
  const participant = session.details['participant-code']?.typed;
  return { sheet, book: results.book, worksheet, ...(participant === undefined ? {} : { participant }) };
}
