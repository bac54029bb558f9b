/** When a tone is due: a call opens, a change is ten seconds away, or a call has become late. */
import type { CallView } from './call-view.ts';
import type { Cue } from './sound.ts';

/** What was sounded last, so that nothing is sounded twice. */
export interface Sounded {
  readonly id: string;
  readonly tone: CallView['tone'];
}

export function cueOf(sounded: Sounded | undefined, present: CallView | undefined): { readonly cue?: Cue; readonly sounded: Sounded | undefined } {
  // What the numbers call for has a tone of its own (`alertCue`).
  if (!present || present.kind === 'alert') return { sounded };
  const now: Sounded = { id: present.id, tone: present.tone };
  const isNew = sounded?.id !== now.id;
  if (present.tone === 'to-come' || (!isNew && sounded?.tone === present.tone)) return { sounded: now };
  return { cue: present.tone === 'late' ? 'late' : present.kind === 'set' ? 'set' : 'take', sounded: now };
}

/** A tone for a call that was not there before; what stood when the window was opened is not sounded again. */
export function alertCue(heard: number | undefined, alerts: readonly { readonly seq: number }[]): { readonly cue?: Cue; readonly heard: number } {
  const newest = Math.max(-1, ...alerts.map((alert) => alert.seq));
  return heard !== undefined && newest > heard ? { cue: 'alert', heard: newest } : { heard: Math.max(newest, heard ?? -1) };
}
