/** Which simulated participant a rehearsal begins with, and how fast it runs. */
import type { InputOf } from '../../core/contract/contract.ts';

export type Rehearsal = NonNullable<InputOf<'session.open'>['rehearsal']>;

/**
 * `rehearsal` shows the whole job: the program also records, sixty times as fast, so that a newcomer sees it in about two
 * minutes. `practice` leaves the recording to the person, at the speed of a real test.
 */
export function rehearsalOf(way: string): Rehearsal | undefined {
  if (way === 'rehearsal') return { participant: 'steady', seed: 7, rate: 60, records: true };
  if (way === 'practice') return { participant: 'steady', seed: 7, rate: 1, records: false };
  return undefined;
}
