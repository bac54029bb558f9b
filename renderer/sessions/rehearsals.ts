/** Which simulated participant a rehearsal begins with, and how fast it runs. */
import type { InputOf } from '../../core/contract/contract.ts';
import { rehearsalParticipants, USUAL_REHEARSAL_RATE } from '../../core/rehearsal/participant.ts';

export type Rehearsal = NonNullable<InputOf<'session.open'>['rehearsal']>;

/** Any number: the same one gives the same readings again. */
const SEED = 7;

/**
 * `rehearsal` shows the whole job: the program also records, and the clock runs so fast that a newcomer sees it in about two
 * minutes. `practice` leaves the recording to the person, at the speed of a real test.
 */
export function rehearsalOf(way: string, participant: string = rehearsalParticipants[0]?.code ?? ''): Rehearsal | undefined {
  if (way === 'rehearsal') return { participant, seed: SEED, rate: USUAL_REHEARSAL_RATE, records: true };
  if (way === 'practice') return { participant, seed: SEED, rate: 1, records: false };
  return undefined;
}
