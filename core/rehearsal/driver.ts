/** The simulated pair of a rehearsal: what it would write by a moment of session time, given the record so far. */
import type { SessionDraft } from '../session/events.ts';
import type { SessionState } from '../session/state.ts';
import { hash32 } from './chance.ts';
import { nextAction } from './actions.ts';
import type { Action, Cast } from './pair.ts';
import { participantByCode } from './participant.ts';
import { Projection } from './projection.ts';

export { REHEARSAL_AUTHOR } from './pair.ts';

/** No answer is longer than this; what is left comes with the next one. */
const MOST_DRAFTS = 100;

/** Participant and seed of a rehearsal; undefined for a session that is none, or whose participant this program does not know. */
export function castOf(state: SessionState): Cast | undefined {
  if (state.way !== 'rehearsal' || !state.rehearsal) return undefined;
  const participant = participantByCode(state.rehearsal.participant);
  // Two people with the same seed have different days.
  return participant && { participant, seed: hash32(`${participant.code}/${state.rehearsal.seed}`) };
}

/** A state never changes, so what comes next after it does not either; a station that asks four times a second is answered at once. */
const nextOf = new WeakMap<SessionState, { readonly action: Action | undefined }>();

function nextAfter(state: SessionState, cast: Cast): Action | undefined {
  let known = nextOf.get(state);
  if (!known) {
    known = { action: nextAction(state, cast) };
    nextOf.set(state, known);
  }
  return known.action;
}

/**
 * Everything that the simulated pair would have written by `now` and has not, in the order of time and each with its own
 * `taken`. Pure; the same record, seed and moment give the same drafts, and small steps write the same record as big ones.
 * What people have written themselves (a reading, a stage change, the stop) is kept and built upon.
 *
 * With `records: false` the student records: the program writes only the paperwork of the made-up participant in Prepare
 * (details but the recorder's name, screening, consent, checks); rest, readings, stage changes, stop and recovery are the student's,
 * who hears them from `heardAt` and `participantSays`.
 *
 * @param state as folded from the record; anything but an open rehearsal gives nothing.
 * @param now session time, ms.
 * @returns drafts for the author `REHEARSAL_AUTHOR`. They are to be decided and appended in this order, each against the state
 *   after the one before; if one is refused, drop the rest and ask again.
 */
export function rehearsalNext(state: SessionState, now: number): SessionDraft[] {
  const cast = castOf(state);
  if (!cast || state.readOnly !== undefined) return [];
  const paperworkOnly = state.rehearsal?.records === false;
  const drafts: SessionDraft[] = [];
  let present = state;
  let projection: Projection | undefined;
  while (drafts.length < MOST_DRAFTS) {
    if (paperworkOnly && present.phase !== 'prepare') break;
    const action = nextAfter(present, cast);
    if (!action || action.at > now) break;
    if (paperworkOnly && action.drafts.some(({ kind }) => kind === 'rest-started')) break;
    projection ??= new Projection(state);
    for (const draft of action.drafts) {
      drafts.push(draft);
      projection.push({ ...draft, taken: action.at });
    }
    present = projection.state();
  }
  return drafts;
}
