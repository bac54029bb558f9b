/** What the instructor's windows ask of a marking set besides the set itself: its class, and its key as text. */
import { z } from 'zod';
import type { ClassWorksheet } from '../class/gather.ts';
import type { ExportedFile } from './contract.ts';

export interface SetClass {
  readonly set: string;
  readonly title: string;
  /**
   * Every worksheet whose record is sound and marked, small enough that thousands cross at once; `key` is the file's id in the
   * set. Nothing of blood pressure, screening or symptoms is in it.
   */
  readonly worksheets: readonly ClassWorksheet[];
  /** Files that wait for their marks and are not here yet. */
  readonly waiting: number;
}

/** The present key, as it was adopted. */
export interface SetKeyText {
  readonly sheet: string;
  readonly key?: string;
}

const set = z.string().regex(/^[a-z0-9-]{6,60}$/);

export const setClassContract = {
  'set.class': { input: z.object({ set }), result: {} as { readonly type?: SetClass } },
  /** The text of the present lab sheet and answer key; failure where the set has none. */
  'set.key': { input: z.object({ set }), result: {} as { readonly type?: SetKeyText } },
  /**
   * One worksheet's feedback as a PDF, under the name and in the folder in which the file came. It is written outside the process
   * that serves a live session; with `own` the class's figures are in it, this student's test set apart.
   */
  'set.feedback': {
    input: z.object({ set, file: z.string().regex(/^f-[0-9a-f]{20}$/), paper: z.enum(['A4', 'Letter']).default('A4'), own: z.boolean().default(false) }),
    result: {} as { readonly type?: ExportedFile },
  },
} as const;
