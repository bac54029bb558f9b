/** When a tone is due: a call opens, a change is ten seconds away, or a call has become late. */
import type { CallView } from './call-view.ts';
import type { Cue } from './sound.ts';

/** What was sounded last, so that nothing is sounded twice. */
export interface Sounded {
  readonly id: string;
  readonly tone: CallView['tone'];
}

export function cueOf(sounded: Sounded | undefined, present: CallView | undefined): { readonly cue?: Cue; readonly sounded: Sounded | undefined } {
  if (!present) return { sounded: undefined };
  const now: Sounded = { id: present.id, tone: present.tone };
  const isNew = sounded?.id !== now.id;
  if (present.tone === 'to-come' || (!isNew && sounded?.tone === present.tone)) return { sounded: now };
  return { cue: present.tone === 'late' ? 'late' : present.kind === 'set' ? 'set' : 'take', sounded: now };
}
