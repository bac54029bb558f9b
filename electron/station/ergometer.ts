/** What names an ergometer, so that at most one session at a time is in Exercise on it. */
import { machineFor } from '../../core/profile/machine.ts';
import type { StationProfile } from '../../core/profile/schema.ts';
import type { SessionState } from '../../core/session/state.ts';

/**
 * The ergometer as the pair named it, however it was spaced and capitalised. Where nobody named it: the only machine of the
 * sheet's mode in the station profile; else "the treadmill", "the cycle"… for all sessions of that mode that name none.
 * @returns undefined for a field test, which is on no ergometer: many may walk at once.
 */
export function ergometerOf(state: Pick<SessionState, 'details' | 'sheet'>, profile: StationProfile | undefined): string | undefined {
  const { mode } = state.sheet;
  if (mode === 'field') return undefined;
  const typed = plain(state.details.ergometer?.typed ?? '');
  return typed === '' ? plain(machineFor(profile, mode, undefined)?.name ?? `the ${mode}`) : typed;
}

const plain = (name: string): string => name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLowerCase();
