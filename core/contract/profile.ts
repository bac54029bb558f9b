/** The station's profile: read by every window, saved from the profile page. One file in the data folder. */
import { z } from 'zod';
import { LONGEST_PROFILE, type StationProfile } from '../profile/schema.ts';
import { unlockSchema } from './passphrase.ts';

export interface ProfileAnswer {
  /** The file's text; empty where there is none. */
  readonly text: string;
  /** Undefined where there is no profile, or none that can be used. */
  readonly profile?: StationProfile;
  /** What is wrong with the file, line by line; the station goes on without it. */
  readonly problems: readonly string[];
}

function result<Value>(): { readonly type?: Value } {
  return {};
}

export const profileContract = {
  'profile.read': { input: z.object({}), result: result<ProfileAnswer>() },
  /**
   * Replaces the profile; an empty text takes it away. A text with a fault is refused (`profile-invalid`, with the lines as
   * `details`) and the one before is kept. Needs the passphrase's proof where one is set.
   */
  'profile.save': { input: z.object({ text: z.string().max(LONGEST_PROFILE), unlock: unlockSchema }), result: result<ProfileAnswer>() },
} as const;
