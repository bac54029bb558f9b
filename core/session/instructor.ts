/** What in a session is the instructor's to do: with initials and a reason, and the station's passphrase where one is set. */
import type { SessionState } from './state.ts';

/**
 * What the passphrase is asked for, as the start of a sentence; undefined where nothing has to be unlocked.
 * Only in a live session: a rehearsal is practice, and a paper sheet is copied from what was signed.
 * A hand-over to others is never locked: nobody waits for a passphrase with a person unwell.
 */
export function instructorsOwn(state: SessionState, draft: { readonly kind: string; readonly data?: unknown }): string | undefined {
  if (state.way !== 'live') return undefined;
  if (draft.kind === 'hold-overridden') return 'Setting a hold aside';
  if (draft.kind === 'session-closed' && (draft.data as { early?: unknown } | null | undefined)?.early !== undefined) return 'Leaving before the criteria are met';
  return undefined;
}
