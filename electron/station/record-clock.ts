/**
 * A record's own time, from the machine's clocks. Pure arithmetic.
 *
 * Within one start of the machine only the monotonic clock (and the time slept) counts, so whatever is done to the wall
 * clock moves nothing. Over a reboot there is no such clock, and the wall clock bridges the gap.
 */
import type { StoredClock } from '../store/store.ts';
import { SLEEP_GRAIN_MS, type Clock } from './clock.ts';

/** A rehearsal does not run on while nobody is there: a gap longer than this is left out of it. Common practice of this program. */
export const REHEARSAL_PAUSES_AFTER_MS = 60_000;

/** A reading of all clocks at once. */
export interface Moment {
  readonly monotonic: bigint;
  readonly slept: number;
  readonly wall: number;
  readonly boot: string | undefined;
}

export function momentOf(clock: Clock): Moment {
  return { monotonic: clock.monotonicNs(), slept: clock.sleptMs() ?? 0, wall: clock.wallMs(), boot: clock.bootId() };
}

/** A clock that starts, or starts again at another rate, at record time `at` (ms). */
export function clockFrom(at: number, moment: Moment, rate: number): StoredClock {
  return { at, ...moment, rate, seenAt: at, seenWall: moment.wall };
}

/** Real milliseconds since a clock was set, by the counters of the same start of the machine. */
export function elapsedSince(from: { readonly monotonic: bigint; readonly slept: number }, moment: Moment): number {
  const slept = moment.slept - from.slept;
  return Number(moment.monotonic - from.monotonic) / 1e6 + (slept > SLEEP_GRAIN_MS ? slept : 0);
}

/** The record's time at a moment of the same start of the machine, in ms (not yet whole). */
export function recordTime(clock: StoredClock, moment: Moment): number {
  return clock.at + elapsedSince(clock, moment) * clock.rate;
}

export interface Bridge {
  readonly clock: StoredClock;
  readonly why: 'restart' | 'reboot';
  readonly bridge: 'monotonic' | 'wall';
  /** Record milliseconds between when the station last saw the clock run and now. */
  readonly gap: number;
  /** Set where the clock could not simply go on: in words. */
  readonly remark?: string;
}

/**
 * Carries a record's clock into a new station process.
 * @param last record time of the last event, which the clock never falls behind.
 * @param pauses whether a long gap is left out (a rehearsal), instead of counted (a person on a treadmill).
 */
export function bridge(stored: StoredClock, moment: Moment, last: number, pauses: boolean): Bridge {
  const seen = Math.max(stored.seenAt, last);
  const sameBoot = stored.boot !== undefined && stored.boot === moment.boot && moment.monotonic >= stored.monotonic;
  if (sameBoot) {
    const now = recordTime(stored, moment);
    if (pauses && (now - seen) / Math.max(stored.rate, 1) > REHEARSAL_PAUSES_AFTER_MS)
      return { clock: clockFrom(seen, moment, stored.rate), why: 'restart', bridge: 'monotonic', gap: 0 };
    // The same anchor goes on, so that nothing is rounded away however often the station is restarted.
    const clock = now >= seen ? { ...stored, seenAt: now, seenWall: moment.wall } : clockFrom(seen, moment, stored.rate);
    return { clock, why: 'restart', bridge: 'monotonic', gap: Math.max(0, now - seen) };
  }
  const away = (moment.wall - stored.seenWall) * stored.rate;
  if (pauses) return { clock: clockFrom(seen, moment, stored.rate), why: 'reboot', bridge: 'wall', gap: 0 };
  if (away < 0) {
    return {
      clock: clockFrom(seen, moment, stored.rate),
      why: 'reboot',
      bridge: 'wall',
      gap: 0,
      remark:
        'The computer was started anew and its clock now shows an earlier time than before, so how long it was away is not known. The session’s clock goes on from its last entry; note the real time of what follows.',
    };
  }
  const now = Math.max(seen, stored.seenAt + away);
  return { clock: clockFrom(now, moment, stored.rate), why: 'reboot', bridge: 'wall', gap: now - seen };
}
