/**
 * From the strap's packets to what it offers as a reading: the median over the reading's window. What counts is
 * common practice [C]: about a packet a second; 0, more than 240 and a stuck value are missing;
 * the stage's value is the median of the window.
 */
import { readingLimits } from '../session/plausible.ts';
import type { StrapPacket } from './packet.ts';

export interface StrapSample {
  /** Session time at which the packet came, ms. */
  readonly at: number;
  readonly packet: StrapPacket;
}

/** Silent for longer than this, the strap has dropped out: packets come about once a second [C]. */
export const SILENT_AFTER = 5_000;
/** A packet that comes again and again with the same beat-to-beat times for longer than this is stuck: no heart repeats to 1/1024 s. */
const STUCK_AFTER = 5_000;
/** Fewer packets than this are no median of anything; made for this program. */
const FEWEST = 3;
/** A window that is longer than this is looked at in its last part: what is wanted is the rate at its end; made for this program, ms. */
const LONGEST_WINDOW = 15_000;

/** The packet's rate where it may count, /min; undefined for no contact, 0, or outside the hard limits of a heart rate (25 to 240). */
export function usableRate(packet: StrapPacket): number | undefined {
  const [low, high] = readingLimits['heart-rate'].hard;
  return packet.contact === 'lost' || packet.heartRate < low || packet.heartRate > high ? undefined : packet.heartRate;
}

/** Leaves out what may not count: unusable packets, and all of a stuck run after its first five seconds. */
export function usableSamples(samples: readonly StrapSample[]): readonly { readonly at: number; readonly rate: number }[] {
  const usable: { at: number; rate: number }[] = [];
  let run: StrapSample | undefined;
  for (const sample of samples) {
    if (!run || !isSameBeat(run.packet, sample.packet)) run = sample;
    const rate = usableRate(sample.packet);
    if (rate !== undefined && sample.at - run.at <= STUCK_AFTER) usable.push({ at: sample.at, rate });
  }
  return usable;
}

/** Only packets with beat-to-beat times can be told apart from a steady heart. */
function isSameBeat(one: StrapPacket, other: StrapPacket): boolean {
  return one.intervals.length > 0 && one.heartRate === other.heartRate && one.intervals.length === other.intervals.length && one.intervals.every((interval, index) => interval === other.intervals[index]);
}

/** The middle value; of an even number the mean of the middle two, rounded half up, since a heart rate is a whole number. */
export function medianRate(rates: readonly number[]): number | undefined {
  if (rates.length === 0) return undefined;
  const sorted = rates.toSorted((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  const upper = sorted[middle] ?? 0;
  return sorted.length % 2 === 1 ? upper : Math.round(((sorted[middle - 1] ?? 0) + upper) / 2);
}

export interface StrapOffer {
  /** /min. */
  readonly rate: number;
  /** How many packets the median is of. */
  readonly packets: number;
  /** First and last of them, session time, ms. */
  readonly from: number;
  readonly to: number;
}

/**
 * What the strap offers for a reading.
 * @param opens when the reading's window opens, and @param due when it is due, session time, ms; a window without an end (Rest) gives its last 15 s.
 * @param now session time: a window that is still running gives the median so far.
 * @returns undefined where fewer than three packets of the window count.
 */
export function strapOffer(samples: readonly StrapSample[], opens: number, due: number, now: number): StrapOffer | undefined {
  const to = Math.min(now, due > opens ? due : now);
  const from = Math.max(opens, to - LONGEST_WINDOW);
  const inside = usableSamples(samples).filter(({ at }) => at >= from && at <= to);
  const [first, last] = [inside[0], inside.at(-1)];
  const rate = medianRate(inside.map((sample) => sample.rate));
  if (!first || !last || rate === undefined || inside.length < FEWEST) return undefined;
  return { rate, packets: inside.length, from: first.at, to: last.at };
}
