/**
 * How often V-slope is right: on simulated ramp tests whose first threshold is known, at the generator's stated breath-to-breath
 * noise, at half of it and at twice. "Right" is within 5 % of maximal uptake; "cannot tell" counts as not right.
 */
import { describe, expect, it } from 'vitest';
import { findCompensation, findVSlope } from '../../core/gas/v-slope.ts';
import { breaths } from '../../core/rehearsal/breaths.ts';
import { normal, uniform } from '../../core/rehearsal/chance.ts';
import { constants } from '../../core/rehearsal/constants.ts';
import { seriesOf, seriesOfBreaths } from '../core/gas-series-maker.ts';
import { rateOfVSlope, variedParticipant } from './gas-vslope-rate.ts';

describe('V-slope on simulated breaths', () => {
  it('finds the first threshold in at least 90 % of 1,000 tests at the stated noise', { timeout: 60_000 }, () => {
    const rate = rateOfVSlope(1000, 1);
    console.log(`V-slope, stated noise (${constants.breathNoise.value} L/min a breath): ${rate.says}`);
    expect(rate.right).toBeGreaterThanOrEqual(900);
    expect(rate.wrong).toBeLessThanOrEqual(60);
  });

  it('is surer at half the noise, and at twice says more often that it cannot tell', { timeout: 60_000 }, () => {
    const half = rateOfVSlope(300, 0.5);
    const twice = rateOfVSlope(300, 2);
    console.log(`V-slope, half the noise: ${half.says}\nV-slope, twice the noise: ${twice.says}`);
    expect(half.right).toBeGreaterThanOrEqual(0.98 * 300);
    // Twice the noise doubles the standard error of the bend, to about the 5 % that counts as right: then the method has to be
    // silent rather than wrong. Nine in ten of its answers may not be asked of it, but four in five are.
    expect(twice.cannotTell).toBeGreaterThan(half.cannotTell);
    expect(twice.wrong).toBeLessThanOrEqual(0.2 * (twice.right + twice.wrong));
    expect(twice.wrong).toBeLessThanOrEqual(0.1 * 300);
  });

  it('its 95 % interval holds the truth in nine tests of ten and more', { timeout: 60_000 }, () => {
    let holds = 0;
    for (let seed = 5000; seed < 5200; seed += 1) {
      const test = breaths(variedParticipant(seed), { seed });
      const found = findVSlope(seriesOfBreaths(test), { from: test.rampFrom * 1000, to: test.ends * 1000 });
      if (found.x && found.x.low <= test.truth.first && found.x.high >= test.truth.first) holds += 1;
    }
    // 95 % nominal; 90 % leaves room for the slow onset of uptake, which is not in the model, and for 200 draws (SE 1.5 %).
    expect(holds).toBeGreaterThanOrEqual(180);
  });
});

describe('V-slope says that it cannot tell', () => {
  const test = breaths(variedParticipant(1), { seed: 1 });
  const series = seriesOfBreaths(test);

  it('where there is no bend: one straight line with the stated noise', () => {
    const { breathNoise, breathNoiseShared } = constants;
    let found = 0;
    for (let seed = 0; seed < 100; seed += 1) {
      const rows = Array.from({ length: 220 }, (_, row) => row);
      const spread = (what: string, row: number): number =>
        breathNoise.value *
        (Math.sqrt(breathNoiseShared.value) * normal(seed, 'shared', row) +
          Math.sqrt(1 - breathNoiseShared.value) * normal(seed, what, row));
      const uptake = (row: number): number => 0.6 + (2.2 * row) / 219;
      const straight = seriesOf(
        rows.map((row) => 2.8 * row),
        {
          vo2: rows.map((row) => uptake(row) + spread('vo2', row)),
          vco2: rows.map((row) => 0.97 * uptake(row) - 0.05 + spread('vco2', row)),
        },
      );
      if (findVSlope(straight, { from: 0, to: 620_000 }).outcome === 'found') found += 1;
    }
    // 5 % by the F test alone; the other conditions make it rarer.
    expect(found).toBeLessThanOrEqual(5);
  });

  it('at constant work', () => {
    const rest = findVSlope(series, { from: 0, to: 290_000 }, { leaveOut: 200_000 });
    expect(rest.outcome).toBe('cannot tell');
    const steady = seriesOf(
      Array.from({ length: 200 }, (_, row) => 3 * row),
      {
        vo2: Array.from({ length: 200 }, (_, row) => 1.8 + 0.1 * (uniform(3, 'o', row) - 0.5)),
        vco2: Array.from({ length: 200 }, (_, row) => 1.7 + 0.1 * (uniform(3, 'c', row) - 0.5)),
      },
    );
    const answer = findVSlope(steady, { from: 0, to: 600_000 });
    expect(answer.outcome).toBe('cannot tell');
    expect(answer.reason).toContain('hardly rises');
  });

  it('with too few breaths, and without carbon dioxide', () => {
    const short = findVSlope(series, { from: test.rampFrom * 1000, to: test.rampFrom * 1000 + 120_000 });
    expect(short.outcome).toBe('cannot tell');
    expect(short.reason).toMatch(/Only \d+ breaths/);
    const without = findVSlope(seriesOf([1, 2, 3, 4], { vo2: [1, 1, 2, 2] }), { from: 0, to: 4000 });
    expect(without.outcome).toBe('cannot tell');
    expect(without.reason).toContain('lacks one of them');
  });

  it('where the test stopped below the threshold, more often than not, and never with a bend at the edge', () => {
    let told = 0;
    for (let seed = 0; seed < 60; seed += 1) {
      const full = breaths(variedParticipant(seed), { seed });
      const rows = seriesOfBreaths(full);
      const stop = full.breaths.find((breath) => breath.vo2 > full.truth.first && breath.time > full.rampFrom)?.time ?? full.ends;
      const answer = findVSlope(rows, { from: full.rampFrom * 1000, to: stop * 1000 });
      if (answer.outcome === 'found') told += 1;
    }
    expect(told).toBeLessThanOrEqual(6);
  });

  it('and gives every check with its outcome', () => {
    const answer = findVSlope(
      series,
      { from: test.rampFrom * 1000, to: test.ends * 1000 },
      { compensation: findCompensation(series, { from: test.rampFrom * 1000, to: test.ends * 1000 }) },
    );
    expect(answer.checks.length).toBe(6);
    for (const check of answer.checks) expect(check.says.length).toBeGreaterThan(10);
    expect(answer.checks.every((check) => check.met)).toBe(answer.outcome === 'found');
  });
});
