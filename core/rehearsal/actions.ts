/**
 * What the simulated pair does next, and when. Every candidate has its own moment, worked out from the record and the seed; the
 * driver takes the earliest. No moment lies before what brings it about, so that one big step and many small ones write the
 * same record.
 */
import type { SessionState } from '../session/state.ts';
import { courseOf } from './course.ts';
import { exerciseActions } from './exercise.ts';
import type { Action, Cast } from './pair.ts';
import { bodyOf, onTheDay, type Body } from './physiology.ts';
import { prepareActions } from './prepare.ts';
import { readingActions } from './readings.ts';
import { recoveryActions } from './recovery.ts';

/** The body of a rehearsal as its record stands. */
export function bodyAt(state: SessionState, cast: Cast): Body {
  const today = onTheDay(cast.participant, cast.seed);
  return bodyOf(today, cast.seed, courseOf(state, today));
}

/** Everything left to do as the record stands, each with its moment; some of it lies in the future. */
export function openActions(state: SessionState, cast: Cast, body: Body): readonly Action[] {
  if (state.phase === 'prepare') return prepareActions(state, cast);
  if (state.phase === 'worksheet') return [];
  const actions = readingActions(state, cast, body);
  if (state.phase === 'rest') actions.push(...prepareActions(state, cast));
  if (state.phase === 'exercise') actions.push(...exerciseActions(state, cast, body));
  if (state.phase === 'recovery') actions.push(...recoveryActions(state, cast, body));
  return actions;
}

/** The earliest thing left to do, or undefined when there is nothing. It may lie in the future. */
export function nextAction(state: SessionState, cast: Cast): Action | undefined {
  let first: Action | undefined;
  for (const action of openActions(state, cast, bodyAt(state, cast))) if (action.at < Infinity && (!first || action.at < first.at)) first = action;
  return first;
}
