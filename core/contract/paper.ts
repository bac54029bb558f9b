/** Blank sheets for paper, and a record's values as data. */
import { z } from 'zod';
import type { ExportedFile } from './contract.ts';

function result<Value>(): { readonly type?: Value } {
  return {};
}

export const paperContract = {
  /** A lab sheet of this station as a PDF to fill in by hand. `sheet` is its id. */
  'sheet.blank': { input: z.object({ sheet: z.string().max(80), paper: z.enum(['A4', 'Letter']).default('A4') }), result: result<ExportedFile>() },
  /**
   * A session's values as data: its readings as CSV, the dictionary of that CSV, or the whole record as JSON. It is health data of
   * the participant; the file goes where the person saves it and nowhere else.
   */
  'record.data': { input: z.object({ session: z.string().regex(/^[a-z0-9-]{6,60}$/), as: z.enum(['readings', 'dictionary', 'json']) }), result: result<ExportedFile>() },
} as const;
