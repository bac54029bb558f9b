/** What the class view asks of a marking set. */
import { z } from 'zod';
import type { ClassWorksheet } from '../class/gather.ts';

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

export const setClassContract = {
  'set.class': { input: z.object({ set: z.string().regex(/^[a-z0-9-]{6,60}$/) }), result: {} as { readonly type?: SetClass } },
} as const;
