/** The marking desk's work: many handed-in files in, one result for each, in their order. One file's failure never stops the rest. */
import type { MarkedDeskFile, MarkOptions } from './mark-one.ts';
import { markInPool, usualLimits, type Limits } from './pool.ts';

export type { MarkedDeskFile } from './mark-one.ts';

export interface HandedInFile {
  readonly name: string;
  readonly bytes: Uint8Array;
}

export interface MarkFilesOptions {
  readonly knownKeys?: MarkOptions['knownKeys'];
  readonly limits?: Limits;
  /** Called after every file. */
  readonly progress?: (done: number, of: number) => void;
  /** Stops what has not begun; what is done is kept. */
  readonly signal?: AbortSignal;
}

/**
 * Opens, checks and marks each file in a process of its own, within limits.
 * @param sheet the instructor's lab sheet; without it every file is marked by its own copy, and says "unverified key".
 */
export async function markFiles(files: readonly HandedInFile[], sheet?: string, options: MarkFilesOptions = {}): Promise<readonly MarkedDeskFile[]> {
  const { knownKeys, limits = usualLimits, progress, signal } = options;
  let done = 0;
  return Promise.all(
    files.map(async ({ name, bytes }) => {
      const result = await markInPool(name, bytes, { sheet, knownKeys }, limits, signal);
      done += 1;
      progress?.(done, files.length);
      return result;
    }),
  );
}
