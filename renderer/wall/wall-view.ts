/** What the second window says at a moment: the clock, the target, what comes next. Nothing measured, nothing about the person. */
import { formatClock } from '../../core/clock-text.ts';
import { callsAt } from '../../core/session/calls.ts';
import type { SessionState } from '../../core/session/state.ts';
import { recoveryAt } from '../../core/recovery/tracker.ts';
import { plannedSettings } from '../../core/session/stages.ts';
import { figuresOf, type Figure, type SpeedUnit } from '../live/settings-text.ts';
import { stageView } from '../live/stage-view.ts';

export interface WallView {
  readonly phase: string;
  readonly clock: string;
  /** "Stage 3 of 7". */
  readonly head?: string;
  readonly target: readonly Figure[];
  /** In words, where there are no settings: "Sit down". */
  readonly says?: string;
  readonly next?: { readonly words: string; readonly count: string; readonly soon: boolean; readonly due: boolean };
  /** How much of the stage is over, 0 to 1. */
  readonly over?: number;
  /** An RPE is called for: the participant points now. */
  readonly points: boolean;
}

/** @param now session time; @param speedUnit the one that the recorder's window shows. */
export function wallView(state: SessionState, now: number, speedUnit: SpeedUnit): WallView {
  const { phase, starts } = state;
  const since = (start: number | undefined): string => formatClock(start === undefined ? 0 : Math.max(0, now - start));
  const points = state.readOnly === undefined && callsAt(state, now).some((call) => call.kind === 'take' && call.status !== 'to-come' && call.slots.some(({ slot }) => slot.quantity === 'rpe'));
  if (phase === 'prepare') return { phase: 'Prepare', clock: '0:00', target: [], says: 'Not yet begun', points: false };
  if (phase === 'rest') {
    const first = plannedSettings(state.sheet.stages.list[0], state.sex);
    return { phase: 'Rest', clock: since(starts.rest), head: 'First stage', target: figuresOf(first, speedUnit), points };
  }
  if (phase === 'exercise') {
    const stage = stageView(state, now, speedUnit);
    const next = stage?.next;
    return {
      phase: 'Exercise',
      clock: since(starts.exercise),
      ...(stage === undefined ? {} : { head: `Stage ${stage.number} of ${stage.of}`, over: stage.over }),
      target: stage?.figures ?? [],
      ...(next === undefined ? {} : { next: { words: next.words, count: next.count, soon: next.soon, due: next.due } }),
      points,
    };
  }
  if (phase === 'recovery') {
    // Why a test stopped is nobody's business in the room, nor is what is done about it.
    const plan = state.stop?.symptom ? undefined : recoveryAt(state, now).plan?.text;
    return { phase: 'Recovery', clock: since(starts.recovery), target: [], ...(plan === undefined ? {} : { says: plan }), points };
  }
  return { phase: 'Closed', clock: starts.recovery === undefined ? '0:00' : formatClock((starts.closed ?? now) - starts.recovery), target: [], says: 'Thank you', points: false };
}
