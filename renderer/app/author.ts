/** Whose initials an entry of this window carries. */
import type { SessionState } from '../../core/session/state.ts';
import type { Person } from './person.svelte.ts';

/** The person at this window, else the session's recorder. A rehearsal may be watched by someone who gave no initials. */
export function authorOf(person: Person, state: SessionState | undefined): string {
  if (person.initials !== '') return person.initials;
  return state?.people.recorder ?? 'guest';
}
