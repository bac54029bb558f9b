/** How a call is shown: its words, its countdown, and the few that follow it. Pure; drawn from `callsAt`. */
import { formatClock, formatCountdown } from '../../core/clock-text.ts';
import { slotKey } from '../../core/session/events.ts';
import type { Call, TakeCall } from '../../core/session/calls.ts';
import type { SessionState } from '../../core/session/state.ts';
import { gasQuantities, readingQuantities } from '../../core/vocabulary.ts';

export interface CallView {
  /** Stays the same while the call is the same; a change of it is announced and sounded. */
  readonly id: string;
  /** `alert`: what the numbers call for; see alert-view.ts. */
  readonly kind: Call['kind'] | 'alert';
  readonly label: string;
  /** What the value stands for: "mean of the last 30 s of the stage". */
  readonly detail?: string;
  readonly tone: 'to-come' | 'open' | 'late';
  /** "0:38"; nothing where there is no moment to count to. */
  readonly count?: string;
  /** What the count means: "due in", "late in", "late by". */
  readonly counts?: string;
  /** "at 9:00" or "by 9:45", in the phase's own time. */
  readonly when?: string;
  readonly slotKeys: readonly string[];
}

/** @param words a stage's settings in the station's units. */
export function viewOfCall(state: SessionState, call: Call, now: number, words: (settings: Extract<Call, { kind: 'set' }>['settings']) => string): CallView {
  if (call.kind === 'set') {
    const left = call.due - now;
    return {
      id: `set/${call.stage}`,
      kind: 'set',
      ...(Object.keys(call.settings).length === 0 ? { label: 'The load waits', detail: call.says ?? `stage ${call.stage}` } : { label: `Set ${words(call.settings)}`, detail: call.says === undefined ? `stage ${call.stage}` : `stage ${call.stage}, ${call.says}` }),
      tone: call.status,
      ...(left > 0 ? { count: formatCountdown(left), counts: 'set in' } : call.status === 'late' ? { count: formatClock(-left), counts: 'late by' } : { count: 'now' }),
      when: `at ${formatClock(call.due - originOf(state, 'exercise'))}`,
      slotKeys: [],
    };
  }
  const slotKeys = call.slots.map((slot) => slotKey(slot.slot));
  const origin = originOf(state, call.slots[0]?.slot.phase ?? 'exercise');
  const base = { id: `take/${slotKeys[0] ?? ''}`, kind: 'take' as const, ...labelsOf(call), tone: call.status, slotKeys };
  if (!Number.isFinite(call.until)) return base; // Rest: nothing there is ever late
  // What is read from an analyser afterwards has a time by which, not a moment at which.
  const when = call.opens >= call.due ? `by ${formatClock(call.until - origin)}` : `at ${formatClock(call.due - origin)}`;
  if (call.status === 'late') return { ...base, when, count: formatClock(now - call.due), counts: 'late by' };
  if (now < call.due) return { ...base, when, count: formatCountdown(call.due - now), counts: 'due in' };
  return { ...base, when, count: formatCountdown(call.until - now), counts: 'late in' };
}

/** Gas values come after their stage, when the next is running: the call names the stage, and what is still missing of it. */
function labelsOf(call: TakeCall): { readonly label: string; readonly detail?: string } {
  const first = call.slots[0];
  const covers = first?.scheduled?.covers;
  if (!first || !gasQuantities.includes(first.slot.quantity)) return { label: call.label, ...(covers === undefined ? {} : { detail: covers }) };
  const names = (optional: boolean): string => call.slots.filter((slot) => (slot.scheduled?.optional ?? false) === optional).map((slot) => readingQuantities[slot.slot.quantity].short).join(', ');
  const [needed, extra] = [names(false), names(true)];
  const what = needed === '' ? `${extra}, if you have it` : extra === '' ? needed : `${needed} (${extra} if you have it)`;
  const where = first.slot.phase === 'exercise' && first.slot.mark !== 'stop' ? `, stage ${first.slot.stage}` : first.slot.mark === 'stop' ? ' at stop' : '';
  return { label: `Gas${where}`, detail: covers === undefined ? what : `${what}: ${covers}` };
}

export function originOf(state: SessionState, phase: 'rest' | 'exercise' | 'recovery'): number {
  return state.starts[phase] ?? 0;
}
