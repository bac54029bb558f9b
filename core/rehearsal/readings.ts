/** The readings that the simulated pair takes: their moments from `pair.ts`, their values from the body. */
import type { SessionDraft } from '../session/events.ts';
import { judgeReading } from '../session/plausible.ts';
import type { SessionState, SlotState } from '../session/state.ts';
import { readingQuantities } from '../vocabulary.ts';
import { measure, typedReading } from './measure.ts';
import { openGroups, planOf, type Action, type Cast, type Group, type Plan } from './pair.ts';
import type { Body } from './physiology.ts';

export function readingActions(state: SessionState, cast: Cast, body: Body): Action[] {
  return openGroups(state)
    .map((group) => ({ group, plan: planOf(state, group, cast) }))
    .filter(({ plan }) => plan.does !== 'leave')
    .map(({ group, plan }) => ({ at: plan.at, get drafts() { return readingDrafts(state, cast, body, group, plan); } }));
}

/** What a group of readings gives at its moment: shared by the driver, which writes it, and by what the recorder hears. */
export interface Answer {
  readonly slot: SlotState;
  readonly typed: string;
  readonly value: number;
}

export function answersOf(state: SessionState, cast: Cast, body: Body, group: Group, plan: Plan): readonly Answer[] {
  return group.slots.map((slot) => {
    const { quantity, mark, stage: number, phase } = slot.slot;
    let moment = plan.at;
    const stage = state.stages.find((known) => known.number === number);
    // A mean stands for the time before its mark, a value at the stop for the stop itself, whenever it is written down.
    if (mark === 'stop') moment = state.stop?.taken ?? moment;
    else if (group.kind === 'gas' && phase === 'exercise' && mark === 'end') moment = stage?.ends ?? moment;
    else if (group.kind === 'gas') moment = Math.min(moment, group.scheduled.due);
    return { slot, typed: typedReading(body, cast.seed, quantity, moment, plan.counted), value: measure(body, cast.seed, quantity, moment, plan.counted) };
  });
}

function readingDrafts(state: SessionState, cast: Cast, body: Body, group: Group, plan: Plan): SessionDraft[] {
  const taken = plan.at;
  if (plan.does === 'miss') return group.slots.map(({ slot }) => ({ kind: 'reading-not-taken', taken, data: { slot, reason: plan.why ?? 'not taken' } }));
  const answers = answersOf(state, cast, body, group, plan);
  const heard = heardTogether(group, answers);
  return answers.map(({ slot: { slot }, typed }) => {
    const { unit } = readingQuantities[slot.quantity];
    const asked = judgeReading(state, slot, slot.quantity, typed, unit).level === 'ask';
    return {
      kind: 'reading-taken',
      taken,
      data: { slot, typed, unit, source: 'simulated', ...(heard === undefined ? {} : { heard }), ...(asked ? { confirmed: true } : {}), ...(plan.why === undefined ? {} : { note: plan.why }) },
    };
  });
}

/** Two pressures are heard as one utterance. */
export function heardTogether(group: Group, answers: readonly Answer[]): string | undefined {
  if (group.kind !== 'pressure' || answers.length < 2) return undefined;
  const of = (quantity: string): string | undefined => answers.find(({ slot }) => slot.slot.quantity === quantity)?.typed;
  return `${of('systolic')}/${of('diastolic')}`;
}
