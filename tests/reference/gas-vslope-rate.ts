/** Shared by the test and the benchmark of the V-slope: seeded tests with known thresholds, and how often the method is right. */
import { findVSlope } from '../../core/gas/v-slope.ts';
import { breaths } from '../../core/rehearsal/breaths.ts';
import { uniform } from '../../core/rehearsal/chance.ts';
import { rehearsalParticipants, type Participant } from '../../core/rehearsal/participant.ts';
import { seriesOfBreaths } from '../core/gas-series-maker.ts';

/**
 * The rehearsal's participants in turn, each with thresholds and a peak ratio drawn anew: the first at 45 to 75 % of maximum, the
 * second above it, the ratio 1.08 to 1.20. So the method cannot live on six people's values.
 */
export function variedParticipant(seed: number): Participant {
  const base = rehearsalParticipants[seed % rehearsalParticipants.length] as Participant;
  const first = 0.45 + 0.3 * uniform(seed, 'first');
  const second = Math.min(0.93, Math.max(first + 0.15, 0.8 + 0.12 * uniform(seed, 'second')));
  return { ...base, thresholds: { first, second }, peakRer: 1.08 + 0.12 * uniform(seed, 'ratio') };
}

export interface Rate {
  readonly right: number;
  readonly wrong: number;
  readonly cannotTell: number;
  readonly says: string;
}

/** @param noise times the generator's stated noise. */
export function rateOfVSlope(tests: number, noise: number): Rate {
  let right = 0;
  let wrong = 0;
  let cannotTell = 0;
  let bias = 0;
  for (let seed = 0; seed < tests; seed += 1) {
    const test = breaths(variedParticipant(seed), { seed, noise });
    const found = findVSlope(seriesOfBreaths(test), { from: test.rampFrom * 1000, to: test.ends * 1000 });
    if (found.outcome === 'cannot tell' || !found.at) {
      cannotTell += 1;
      continue;
    }
    const error = (found.at.vo2 - test.truth.first) / test.truth.maximum;
    bias += error;
    if (Math.abs(error) <= 0.05) right += 1;
    else wrong += 1;
  }
  const share = (count: number): string => `${((100 * count) / tests).toFixed(1)} %`;
  const mean = (100 * bias) / Math.max(1, right + wrong);
  return {
    right,
    wrong,
    cannotTell,
    says: `${share(right)} within 5 % of maximum, ${share(wrong)} further off, ${share(cannotTell)} cannot tell; mean error ${mean.toFixed(2)} % (${tests} tests)`,
  };
}
