/**
 * May this fact be written now? The station asks before it appends; a window may ask first to grey things out.
 * Readings and observations are never refused for their moment, only for what they are.
 */
import { failure, success, type Result } from '../result.ts';
import { shapeWords } from '../shape-words.ts';
import { mostStages } from '../sheet/stage-plan.ts';
import { isReadingQuantity } from '../vocabulary.ts';
import { sessionKinds, type SessionDraft, type SessionKind } from './events.ts';
import { openHolds } from './holds.ts';
import { judgeReading } from './plausible.ts';
import { recoveryAt } from '../recovery/tracker.ts';
import { isAddendum, refuseSeries } from './series.ts';
import type { SessionState } from './state.ts';

/** For this long a stop can be taken back (issue: ten seconds; the clock has not stopped meanwhile). */
export const STOP_CAN_BE_TAKEN_BACK = 10_000;
/** A moment noted afterwards ("changed 20 s ago") may lie this far back in a live session. */
const LIVE_LOOK_BACK = 10 * 60_000;

export interface DecideContext {
  /** Session time now. */
  readonly now: number;
  readonly author: string;
  /** Participant code of another open session in Exercise on the same ergometer, where there is one. */
  readonly otherInExercise?: string;
}

/**
 * Checks a draft against the state, without changing anything.
 * @returns the draft, its data parsed and its `taken` settled, or why it cannot be written.
 */
export function decideSession(state: SessionState, draft: { readonly kind: string; readonly data: unknown; readonly taken?: number }, context: DecideContext): Result<SessionDraft & { readonly taken: number }> {
  if (state.readOnly !== undefined && !(state.onlyClosed === true && isAddendum(state, draft))) return failure('read-only', state.readOnly);
  if (!Object.hasOwn(sessionKinds, draft.kind)) return failure('unknown-kind', `This program cannot write "${draft.kind}".`);
  const kind = draft.kind as SessionKind;
  const parsed = sessionKinds[kind].safeParse(draft.data);
  if (!parsed.success) {
    return failure('bad-data', `${kind} cannot be written: ${shapeWords(parsed.error, 'its data')}.`);
  }
  const taken = settleTaken(state, draft.taken, context.now);
  if (!taken.ok) return taken;
  const checked = { kind, data: parsed.data, taken: taken.value } as SessionDraft & { readonly taken: number };
  const refusal = refuse(state, checked, context);
  return refusal ?? success(checked);
}

function settleTaken(state: SessionState, taken: number | undefined, now: number): Result<number> {
  if (taken === undefined) return success(now);
  if (!Number.isSafeInteger(taken) || taken < 0) return failure('bad-time', 'A moment is a whole number of milliseconds of the session, 0 or more.');
  if (state.way === 'paper') return success(taken);
  if (taken > now) return success(now); // a window's clock may run a moment ahead of the station's
  if (state.way === 'live' && now - taken > LIVE_LOOK_BACK) return failure('too-long-ago', 'In a live session a moment can be noted up to ten minutes afterwards. Add a note instead.');
  return success(taken);
}

function refuse(state: SessionState, draft: SessionDraft & { readonly taken: number }, context: DecideContext): Result<never> | undefined {
  const { phase } = state;
  switch (draft.kind) {
    case 'session-opened':
    case 'clock-carried':
      return failure('not-yours', `Only the station writes ${draft.kind}.`);
    case 'screening-done':
      // A "no" stands for the day: contraindications are never set aside.
      return state.screening?.outcome === 'no-test-today' && draft.data.outcome !== 'no-test-today'
        ? failure('no-test-today', 'Screening said: no test today. That is not set aside; open a new session on another day.')
        : undefined;
    case 'rest-started':
      return phase === 'prepare' ? undefined : failure('wrong-phase', 'Rest has already begun.');
    case 'exercise-started': {
      if (phase !== 'rest') return failure('wrong-phase', phase === 'prepare' ? 'Rest comes before exercise.' : 'Exercise has already begun.');
      const holds = openHolds(state);
      if (holds.length > 0) return failure('held', `Exercise cannot start yet: ${holds.map((hold) => hold.text).join('; ')}.`, holds.map((hold) => hold.id));
      if (context.otherInExercise !== undefined) return failure('ergometer-busy', `This ergometer is in use: ${context.otherInExercise} is in Exercise. Wait until that test has stopped.`);
      return undefined;
    }
    case 'exercise-struck':
      return phase === 'exercise' ? undefined : failure('wrong-phase', 'There is no running exercise to strike.');
    case 'stage-changed': {
      if (phase !== 'exercise' && state.way !== 'paper') return failure('wrong-phase', 'The stage changes only during exercise.');
      if (draft.data.stage > mostStages(state.sheet)) return failure('no-such-stage', `The lab sheet has ${mostStages(state.sheet)} stages.`);
      const last = state.stages.at(-1)?.number ?? 0;
      return draft.data.stage > last + 1 ? failure('stage-skipped', `Stage ${last + 1} has not been set yet.`) : undefined;
    }
    case 'setting-recorded':
      return state.stages.some((stage) => stage.number === draft.data.stage) ? undefined : failure('no-such-stage', `Stage ${draft.data.stage} has not been set.`);
    case 'reading-taken': {
      const { slot, typed, unit } = draft.data;
      if (!isReadingQuantity(slot.quantity)) return failure('unknown-quantity', `"${slot.quantity}" is not a reading of this program.`);
      const judged = judgeReading(state, slot, slot.quantity, typed, unit);
      return judged.level === 'refuse' ? failure('implausible', judged.message) : undefined;
    }
    case 'event-struck':
      if (draft.data.target >= state.length) return failure('no-such-event', 'There is nothing at that place to strike.');
      return draft.data.target === 0 ? failure('not-that', 'The opening of a session cannot be struck.') : undefined;
    case 'test-stopped':
      return phase === 'exercise' ? undefined : failure('wrong-phase', phase === 'recovery' ? 'The test has already been stopped.' : 'No test is running.');
    case 'stop-taken-back':
      if (!state.stop) return failure('wrong-phase', 'The test has not been stopped.');
      return context.now - state.stop.taken > STOP_CAN_BE_TAKEN_BACK ? failure('too-late', 'A stop can be taken back for ten seconds only. Recovery goes on.') : undefined;
    case 'stop-reason-given':
      return state.stop ? undefined : failure('wrong-phase', 'The test has not been stopped.');
    case 'criterion-seen':
      return phase === 'recovery' ? undefined : failure('wrong-phase', 'The leaving criteria are looked at in recovery.');
    case 'hold-overridden':
      return /^(check-|detail-|rest-)/.test(draft.data.hold) || state.way === 'paper' ? undefined : failure('never', 'This hold cannot be set aside by anyone.');
    case 'session-closed': {
      if (draft.data.outcome === 'abandoned') return phase === 'prepare' || phase === 'rest' || state.way === 'paper' ? undefined : failure('wrong-phase', 'A test that has begun is closed through recovery.');
      if (phase !== 'recovery') return failure('wrong-phase', 'A session is closed from recovery.');
      if (state.way === 'paper') return undefined;
      const recovery = recoveryAt(state, context.now);
      if (recovery.mayLeave || draft.data.early !== undefined || draft.data.outcome === 'handed-over') return undefined;
      return failure('not-yet', `Not yet met: ${recovery.criteria.filter((criterion) => criterion.state !== 'met').map((criterion) => criterion.text).join('; ')}. Leaving early needs an instructor's initials and a reason.`);
    }
    case 'series-attached':
    case 'threshold-placed':
      return refuseSeries(state, draft);
    default:
      return undefined;
  }
}
