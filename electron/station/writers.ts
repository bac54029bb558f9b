/** The heavy parts, loaded when first asked for, so that the first screen does not wait for them. */
import { eventOf, type StoredEvent } from '../../core/record/event.ts';
import { failure, success } from '../../core/result.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { markWorksheet, type Marking } from '../../core/worksheet/marking.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { systemClock } from './clock.ts';
import { isoWithOffset } from './ids.ts';
import type { StationOptions } from './station.ts';

export const writers: Pick<StationOptions, 'writePdf' | 'markFiles'> = {
  writePdf: async (file, paper) => {
    const { writeWorksheet } = await import('../pdf/write-worksheet.ts');
    return writeWorksheet({
      session: file.session,
      worksheet: file.worksheet,
      version: file.program.version,
      paper,
      // The page carries the marks by the lab sheet in the record. The instructor's desk never reads them: it marks anew.
      ...marksOf(file),
      wall: isoWithOffset(systemClock().wallMs()),
    });
  },
  markFiles: async (files, sheet) => {
    try {
      const { markFiles } = await import('../desk/mark-files.ts');
      return success(await markFiles(files, sheet));
    } catch (cause) {
      return failure('desk', `The files could not be opened (${(cause as Error).message}). They were left as they are.`);
    }
  },
};

/** The marks by the sheet's own copy; none where the record cannot be marked, which the page then shows as unmarked. */
function marksOf(file: WorksheetFile): { readonly marking?: Marking } {
  try {
    const eventsOf = (stored: readonly StoredEvent[]) => stored.map(({ body }) => eventOf(body));
    return { marking: markWorksheet(markingInput(foldSession(eventsOf(file.session.events)), foldWorksheet(eventsOf(file.worksheet.events)))) };
  } catch {
    return {};
  }
}
