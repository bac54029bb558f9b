/** Erasing a whole session (consent withdrawn, end of term), and what stays of it. */
import { z } from 'zod';

/** What stays of an erased session: when, why and by whom; nothing of what was in it. */
export interface Erased {
  readonly session: string;
  /** Wall clock, ISO 8601. */
  readonly erased: string;
  /** Initials of the instructor. */
  readonly by: string;
  readonly reason: string;
  /** How many worksheets went with it. */
  readonly worksheets: number;
}

export interface ErasureDone extends Erased {
  /** Backup copies from which it was erased; the other sessions in them were kept. */
  readonly copiesCleaned: number;
  /** Damaged copies that were deleted, since what is in them cannot be told. */
  readonly copiesDeleted: number;
}

function result<Value>(): { readonly type?: Value } {
  return {};
}

export const eraseContract = {
  /**
   * Erases a session with its worksheets, series and backup copies. Gone for good when this is answered.
   * Failures: `session-running`, `passphrase-…`, `no-such-record`, `not-a-session`, and the disk's own (`disk-full`…), after
   * which the erasure is finished by asking again or at the next start.
   */
  'session.erase': {
    input: z.object({
      session: z.string().regex(/^[a-z0-9-]{6,60}$/),
      by: z.string().trim().min(1).max(40),
      reason: z.string().trim().min(3).max(200),
      passphrase: z.string().max(200).optional(),
    }),
    result: result<ErasureDone>(),
  },
  /** The newest first. */
  'sessions.erased': { input: z.object({}), result: result<readonly Erased[]>() },
} as const;
