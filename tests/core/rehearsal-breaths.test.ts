import { linearRegression, mean, sampleCorrelation, standardDeviation } from 'simple-statistics';
import { describe, expect, it } from 'vitest';
import { breaths, type Breath } from '../../core/rehearsal/breaths.ts';
import { constants } from '../../core/rehearsal/constants.ts';
import { rehearsalParticipants } from '../../core/rehearsal/participant.ts';

const seeds = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10];

describe('breath by breath', () => {
  it('is the same for the same seed and another for another', () => {
    const [participant] = rehearsalParticipants;
    if (!participant) throw new Error('no participant');
    expect(breaths(participant, { seed: 3 })).toEqual(breaths(participant, { seed: 3 }));
    expect(breaths(participant, { seed: 3 }).breaths).not.toEqual(breaths(participant, { seed: 4 }).breaths);
  });

  it.each(rehearsalParticipants)('$code without noise: two straight lines that meet exactly at the stated threshold', (participant) => {
    const test = breaths(participant, { seed: 1, noise: 0 });
    const points = (part: (breath: Breath) => boolean) => linearRegression(test.breaths.filter(part).map(({ vo2, vco2 }) => [vo2, vco2]));
    const below = points(({ vo2, time }) => time > test.rampFrom && vo2 < test.truth.first);
    const above = points(({ vo2 }) => vo2 > test.truth.first);
    expect(below.m).toBeCloseTo(test.truth.slopes.below, 6);
    expect(above.m).toBeCloseTo(test.truth.slopes.above, 6);
    // Intersection as the V-slope method has it: (i2 − i1)/(s1 − s2).
    expect((above.b - below.b) / (below.m - above.m)).toBeCloseTo(test.truth.first, 6);
    // Ventilatory equivalent for carbon dioxide falls to the second threshold and rises after it.
    const lowest = test.breaths.reduce((a, b) => (b.ve / b.vco2 < a.ve / a.vco2 ? b : a));
    // One breath on the ramp moves uptake by about 1 %; two of them.
    expect(Math.abs(lowest.vo2 / test.truth.second - 1)).toBeLessThan(0.02);
    expect(Math.max(...test.breaths.map(({ vo2 }) => vo2))).toBeLessThanOrEqual(test.truth.maximum + 1e-9);
    // Fatigue ends a ramp before uptake has quite reached the maximum.
    expect(Math.max(...test.breaths.map(({ vo2 }) => vo2))).toBeGreaterThan(0.95 * test.truth.maximum);
  });

  it.each(rehearsalParticipants)('$code: a ramp of 8 to 17 minutes, one breath after the other', (participant) => {
    for (const seed of seeds.slice(0, 3)) {
      const test = breaths(participant, { seed });
      const minutes = (test.ends - test.rampFrom) / 60;
      // The rule aims at 8 to 12 min for sedentary people; trained ones go on longer.
      expect(minutes).toBeGreaterThan(8);
      expect(minutes).toBeLessThan(17);
      for (const [index, breath] of test.breaths.entries()) {
        expect(breath.time).toBeGreaterThan(test.breaths[index - 1]?.time ?? 0);
        expect(breath.tidal * breath.rate).toBeCloseTo(breath.ve, 9);
        expect(breath.vo2).toBeGreaterThan(0);
        expect(breath.vco2).toBeGreaterThan(0);
        // Data-entry limits of common practice: 4 to 90 breaths a minute, 0.2 to 6 L, hard. A noisy quiet breath may be smaller.
        expect(breath.rate).toBeGreaterThan(4);
        expect(breath.rate).toBeLessThan(90);
        expect(breath.tidal).toBeLessThan(6);
      }
    }
  });

  it('has the noise that it states: its size, the same at low and high work, unrelated from breath to breath', () => {
    const low: number[] = [];
    const high: number[] = [];
    const pairs: [number, number][] = [];
    const joint: [number, number][] = [];
    const [participant] = rehearsalParticipants;
    if (!participant) throw new Error('no participant');
    for (const seed of Array.from({ length: 40 }, (_, index) => index)) {
      // Local lines over 21 breaths stand for the true course: they take 2/21 of the variance away.
      const { breaths: list, rampFrom } = breaths(participant, { seed });
      const working = list.filter(({ time }) => time > rampFrom + 60);
      for (let from = 0; from + 21 <= working.length; from += 21) {
        const part = working.slice(from, from + 21);
        const residuals = (of: (breath: Breath) => number): number[] => {
          const line = linearRegression(part.map((breath) => [breath.time, of(breath)]));
          return part.map((breath) => of(breath) - line.m * breath.time - line.b);
        };
        const oxygen = residuals(({ vo2 }) => vo2);
        const carbonDioxide = residuals(({ vco2 }) => vco2);
        ((part[0]?.vo2 ?? 0) < 1.3 ? low : high).push(...oxygen);
        for (const [index, value] of oxygen.entries()) {
          joint.push([value, carbonDioxide[index] ?? 0]);
          if (index > 0) pairs.push([oxygen[index - 1] ?? 0, value]);
        }
      }
    }
    const stated = constants.breathNoise.value * Math.sqrt(19 / 21);
    // More than 3,000 breaths each: five standard errors of a spread are 7 %.
    expect(low.length).toBeGreaterThan(3000);
    expect(high.length).toBeGreaterThan(3000);
    expect(Math.abs(standardDeviation(low) / stated - 1)).toBeLessThan(0.07);
    expect(Math.abs(standardDeviation(high) / stated - 1)).toBeLessThan(0.07);
    expect(Math.abs(mean([...low, ...high]))).toBeLessThan(0.005);
    // Fitting a line over 21 breaths makes neighbours look related by about −2/21; a real relation would go beyond ±0.15.
    expect(Math.abs(sampleCorrelation(pairs.map(([a]) => a), pairs.map(([, b]) => b)))).toBeLessThan(0.15);
    expect(Math.abs(sampleCorrelation(joint.map(([a]) => a), joint.map(([, b]) => b)) - constants.breathNoiseShared.value)).toBeLessThan(0.03);
  });

  it('scales its noise', () => {
    const [participant] = rehearsalParticipants;
    if (!participant) throw new Error('no participant');
    const spread = (noise: number): number => {
      const resting = breaths(participant, { seed: 5, noise }).breaths.filter(({ time }) => time > 200 && time < 290);
      return standardDeviation(resting.map(({ vo2 }) => vo2));
    };
    expect(spread(0)).toBeLessThan(0.01);
    expect(spread(2) / spread(1)).toBeGreaterThan(1.5);
    expect(spread(0.5) / spread(1)).toBeLessThan(0.7);
  });
});
