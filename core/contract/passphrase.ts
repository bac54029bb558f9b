/**
 * The instructor's passphrase: a lock on the screen that keeps a pair from setting aside a hold, letting someone leave
 * early or erasing a record by themselves. It encrypts nothing, and whoever holds the data folder can take it away.
 */
import { z } from 'zod';

/** At least this many characters: a few words, not a number pad's worth; this program's own choice, as is the longest. */
export const PASSPHRASE_SHORTEST = 8;
const PASSPHRASE_LONGEST = 200;

export interface PassphraseStatus {
  readonly set: boolean;
  /** Whole seconds until another try is taken, after wrong ones; 0 where one may try now. */
  readonly waitSeconds: number;
}

/** Proof that the passphrase was given. Held by one window in memory; never written anywhere. */
export interface Unlocked {
  /** Absent where no passphrase is set: nothing has to be shown then. */
  readonly unlock?: string;
}

const passphrase = z.string().max(PASSPHRASE_LONGEST);
/** The proof, as other commands take it. */
export const unlockSchema = z.string().max(60).optional();
function result<Value>(): { readonly type?: Value } {
  return {};
}

export const passphraseContract = {
  'passphrase.status': { input: z.object({}), result: result<PassphraseStatus>() },
  /** Sets, changes or (with `null`) takes away the passphrase; where one is set, the old one is needed. */
  'passphrase.set': {
    input: z.object({ passphrase: passphrase.nullable(), old: passphrase.optional() }),
    result: result<PassphraseStatus>(),
  },
  /**
   * Asks whether the passphrase is right. `action`: the proof is good for one action within five minutes;
   * `desk`: for the marking desk of this window, until it has lain idle for an hour.
   */
  'passphrase.check': {
    input: z.object({ passphrase, purpose: z.enum(['action', 'desk']).default('action') }),
    result: result<Unlocked>(),
  },
} as const;
