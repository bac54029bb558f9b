/** The heavy parts, loaded when first asked for, so that the first screen does not wait for them. */
import { failure, success } from '../../core/result.ts';
import type { DeskFile } from '../../core/contract/contract.ts';
import { systemClock } from './clock.ts';
import { isoWithOffset } from './ids.ts';
import type { StationOptions } from './station.ts';

// Until both modules are in, their names are kept from the compiler.
const pdfModule = '../pdf/write-worksheet.ts';
const deskModule = '../desk/mark-files.ts';

export const writers: Pick<StationOptions, 'writePdf' | 'markFiles'> = {
  writePdf: async (file, paper) => {
    const { writeWorksheet } = (await import(pdfModule)) as { writeWorksheet(input: unknown): Promise<Uint8Array> };
    return writeWorksheet({ session: file.session, worksheet: file.worksheet, version: file.program.version, paper, wall: isoWithOffset(systemClock().wallMs()) });
  },
  markFiles: async (files, sheet) => {
    try {
      const { markFiles } = (await import(deskModule)) as { markFiles(input: unknown, sheet?: string): Promise<readonly DeskFile[]> };
      return success(await markFiles(files, sheet));
    } catch (cause) {
      return failure('desk', `The files could not be opened (${(cause as Error).message}). They were left as they are.`);
    }
  },
};
