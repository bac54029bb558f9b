/** When a tone is due: a call opens, a change is ten seconds away, or a call has become late. */
import type { CallView } from './call-view.ts';
import type { Cue } from './sound.ts';

/** What was sounded last, so that nothing is sounded twice. */
export interface Heard {
  readonly id: string;
  readonly tone: CallView['tone'];
}

export function cueOf(heard: Heard | undefined, present: CallView | undefined): { readonly cue?: Cue; readonly heard: Heard | undefined } {
  if (!present) return { heard: undefined };
  const now: Heard = { id: present.id, tone: present.tone };
  const isNew = heard?.id !== now.id;
  if (present.tone === 'to-come' || (!isNew && heard?.tone === present.tone)) return { heard: now };
  return { cue: present.tone === 'late' ? 'late' : present.kind === 'set' ? 'set' : 'take', heard: now };
}
