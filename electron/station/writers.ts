/** The heavy parts, loaded when first asked for, so that the first screen does not wait for them. */
import { failure, success } from '../../core/result.ts';
import { programVersion } from '../program-root.ts';
import { systemClock } from './clock.ts';
import { isoWithOffset } from './ids.ts';
import type { StationOptions } from './station.ts';

export const writers: Pick<StationOptions, 'writePdf' | 'writeBlank' | 'markFiles'> = {
  writePdf: async (file, paper) => {
    const [{ writeWorksheet }, { marksOf }] = await Promise.all([import('../pdf/write-worksheet.ts'), import('../pdf/marks-of.ts')]);
    return writeWorksheet({
      session: file.session,
      worksheet: file.worksheet,
      series: file.series?.[0],
      version: file.program.version,
      paper,
      // The page carries the marks by the lab sheet in the record. The instructor's desk never reads them: it marks anew.
      ...marksOf(file),
      wall: isoWithOffset(systemClock().wallMs()),
    });
  },
  writeBlank: async (sheet, paper) => {
    const { writeBlank } = await import('../pdf/blank.ts');
    return writeBlank({ sheet, paper, version: programVersion(), wall: isoWithOffset(systemClock().wallMs()) });
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
