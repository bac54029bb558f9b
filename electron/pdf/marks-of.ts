/** The marks that an exported page carries. The instructor's desk never reads them: it marks the record anew. */
import { eventOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { foldSession } from '../../core/session/fold.ts';
import { feedbackRule } from '../../core/worksheet/attempts.ts';
import { seriesTextOf, type WorksheetFile } from '../../core/worksheet/file.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { markWorksheet, type Marking } from '../../core/worksheet/marking.ts';
import { markingInput } from '../../core/worksheet/record.ts';

const eventsOf = (stored: readonly StoredEvent[]): readonly RecordEvent[] => stored.map(({ body }) => eventOf(body));

/** Marks by the lab sheet in the record; none where the record cannot be marked, or the sheet says that feedback comes from the instructor; the page is then unmarked. */
export function marksOf(file: WorksheetFile): { readonly marking?: Marking } {
  try {
    const session = foldSession(eventsOf(file.session.events));
    // Where the sheet leaves feedback to the instructor, the student's own page holds none.
    if (feedbackRule(session.sheet) === 'instructor') return {};
    return { marking: markWorksheet(markingInput(session, foldWorksheet(eventsOf(file.worksheet.events)), undefined, seriesTextOf(file))) };
  } catch {
    return {};
  }
}
