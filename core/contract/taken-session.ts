/** A session that was recorded on another machine and came as its exported file, to be answered here. */
import { z } from 'zod';

export interface TakenSession {
  readonly session: string;
  /** The worksheet that came with it, where it was not here before. */
  readonly worksheet: string;
  readonly student: string;
  /** The session was here already; nothing was changed. */
  readonly known: boolean;
}

export const takenSessionContract = {
  /**
   * Takes in the session and the worksheet of an exported file (`.json` or PDF), as they were written: the same ids, the same chain,
   * the same signature. A record that was altered, is not closed, or was erased here is refused.
   */
  'session.take': { input: z.object({ base64: z.string().min(1).max(90_000_000) }), result: {} as { readonly type?: TakenSession } },
} as const;
