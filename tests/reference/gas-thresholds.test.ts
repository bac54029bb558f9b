/** Threshold and slope methods on lines whose answer is known beforehand. */
import { describe, expect, it } from 'vitest';
import {
  analyseThresholds,
  findLowestEquivalent,
  findOues,
  findVentilatorySlope,
  findVSlope,
  withChoice,
  type Stretch,
} from '../../core/gas/gas.ts';
import { fitBrokenStick } from '../../core/gas/broken-stick.ts';
import { findCompensation } from '../../core/gas/v-slope.ts';
import { seriesOf, type TestRows } from '../core/gas-series-maker.ts';
import { expectWithin } from './check.ts';

/** A ramp of ten minutes, a point every 3 s, VO₂ rising evenly from 0.6 to 3.4 L/min. */
const seconds = Array.from({ length: 200 }, (_, row) => 3 * (row + 1));
const ramp: Stretch = { from: 0, to: 600_000 };
const uptake = seconds.map((second) => 0.6 + (2.8 * second) / 600);
const onLines = (vo2: number): number => (vo2 <= 2 ? 0.92 * vo2 + 0.02 : 1.28 * vo2 - 0.7);

function ladder(vco2: readonly number[], ve: readonly number[]): TestRows {
  return seriesOf(seconds, { vo2: uptake, vco2, ve });
}

describe('V-slope, worked example', () => {
  // Constructed example of the project's reference notes: y = 0.92x + 0.02 and y = 1.28x − 0.70 cross at (−0.70 − 0.02)/(0.92 − 1.28).
  const output = uptake.map(onLines);
  const series = ladder(
    output,
    output.map((value) => 4 + 25 * value),
  );

  it('two lines cross at VO₂ 2.000, VCO₂ 1.860', () => {
    const fit = fitBrokenStick(uptake, output);
    if (!fit) throw new Error('no fit');
    const why = 'exact lines; the search for the break ends within a millionth';
    expectWithin(fit.at, 2, 1e-6, why);
    expectWithin(fit.height, 1.86, 1e-6, why);
    expectWithin(fit.below.slope, 0.92, 1e-6, why);
    expectWithin(fit.below.intercept, 0.02, 1e-6, why);
    expectWithin(fit.above.slope, 1.28, 1e-6, why);
    expectWithin(fit.above.intercept, -0.7, 1e-6, why);
  });

  it('the whole method finds it without smoothing, and with smoothing within the width of the smoothed corner', () => {
    const exact = findVSlope(series, ramp, { smoothing: 1 });
    expect(exact.outcome).toBe('found');
    expectWithin(exact.at?.vo2 ?? 0, 2, 1e-6, 'exact lines');
    const smoothed = findVSlope(series, ramp);
    expect(smoothed.outcome).toBe('found');
    expectWithin(smoothed.at?.vo2 ?? 0, 2, 0.01, 'a mean of 15 points rounds the corner by at most a few points, 0.014 L/min apart');
  });

  it('no compensation point is seen on one straight line of ventilation', () => {
    expect(findCompensation(series, ramp).outcome).toBe('cannot tell');
  });
});

describe('respiratory compensation', () => {
  it('is found where ventilation turns steeper, and V-slope stops there', () => {
    // VE = 4 + 25·VCO₂ up to VCO₂ 3.0, then 40 L for each L. Above 3.2 L/min VO₂ a third, steeper line of VCO₂ would pull the
    // upper line if the points were not left out.
    const output = uptake.map((vo2) => (vo2 <= 2.95 ? onLines(vo2) : onLines(2.95) + 2.5 * (vo2 - 2.95)));
    const bend = onLines(2.9);
    const ve = output.map((value) => 4 + 25 * value + 15 * Math.max(0, value - bend));
    const series = ladder(output, ve);
    const found = findCompensation(series, ramp, { smoothing: 1 });
    expect(found.outcome).toBe('found');
    expectWithin(found.at?.vco2 ?? 0, bend, 1e-6, 'exact lines');
    const first = findVSlope(series, ramp, { smoothing: 1 });
    expectWithin(first.at?.vo2 ?? 0, 2, 1e-6, 'exact lines below the compensation point');
    const slope = findVentilatorySlope(series, ramp, found);
    expectWithin(slope.slope ?? 0, 25, 1e-9, 'one exact line below compensation, double precision');
    expect(findVentilatorySlope(series, ramp, found, 'end').slope).toBeGreaterThan(26);
  });
});

describe('slopes on constructed lines', () => {
  it('VE/VCO₂ slope is the slope, with intercept and no residual', () => {
    const output = uptake.map((vo2) => 0.95 * vo2);
    const series = ladder(
      output,
      output.map((value) => 3.5 + 26.4 * value),
    );
    const slope = findVentilatorySlope(series, ramp, findCompensation(series, ramp));
    expect(slope.outcome).toBe('found');
    expectWithin(slope.slope ?? 0, 26.4, 1e-9, 'exact line, double precision');
    expectWithin(slope.intercept ?? 0, 3.5, 1e-9, 'exact line, double precision');
    expect(slope.residualSd ?? 1).toBeLessThan(1e-9);
    expect(slope.rows).toBe(200);
  });

  it('OUES is a in VO₂ = a·log₁₀ VE + b, in mL/min', () => {
    // VO₂ = 2.9·log₁₀ VE − 2.4 L/min, so VE = 10^((VO₂ + 2.4)/2.9).
    const series = ladder(
      uptake,
      uptake.map((vo2) => 10 ** ((vo2 + 2.4) / 2.9)),
    );
    const oues = findOues(series, ramp);
    expectWithin(oues.slope ?? 0, 2900, 1e-6, 'exact curve, double precision');
    expectWithin(oues.intercept ?? 0, -2400, 1e-6, 'exact curve, double precision');
  });

  it('lowest VE/VCO₂ is the least ratio of means', () => {
    // VE = VCO₂·(24 + (t − 300)²/90 000), lowest 24 at 300 s; a mean over 30 s adds its own variance, at most 15²/90 000.
    const output = uptake.map((vo2) => vo2);
    const series = ladder(
      output,
      output.map((value, row) => value * (24 + ((seconds[row] ?? 0) - 300) ** 2 / 90_000)),
    );
    const lowest = findLowestEquivalent(series, ramp);
    expectWithin(lowest.value ?? 0, 24, 0.0025, 'the mean over 30 s around the lowest point');
    expect(Math.abs(((lowest.from ?? 0) + (lowest.to ?? 0)) / 2 - 300_000)).toBeLessThan(6000);
  });
});

describe('all methods on one test', () => {
  // The same two turns in both figures: VCO₂ as above; ventilation 25 L for each L of VCO₂, 40 above VCO₂ 3.0.
  const output = uptake.map(onLines);
  const ve = output.map((value) => 3 + 25 * value + 15 * Math.max(0, value - 3));
  const series = ladder(output, ve);

  it('agree on exact lines', () => {
    const analysis = analyseThresholds(series, ramp, { smoothing: 1 });
    if (!analysis) throw new Error('no analysis');
    expectWithin(analysis.first.vSlope.at?.vo2 ?? 0, 2, 1e-6, 'exact lines');
    expectWithin(analysis.first.equivalents.at?.vo2 ?? 0, 2, 1e-6, 'ventilation is a line on VCO₂, so it turns on VO₂ where VCO₂ does');
    // The 45° line is 0.08 steeper than the lower points, so it is left later: never earlier, and within a tenth of the range.
    const simplified = analysis.first.simplified.at?.vo2 ?? 0;
    expect(simplified).toBeGreaterThanOrEqual(2);
    expect(simplified).toBeLessThan(2.2);
    expectWithin(analysis.second.equivalents.at?.vco2 ?? 0, 3, 1e-6, 'exact lines');
    expectWithin(analysis.second.equivalents.at?.vo2 ?? 0, (3 + 0.7) / 1.28, 0.0141, 'the moment is a row, and rows are 0.014 L/min apart');
  });

  it('draws the equivalents with the curves of the two lines', () => {
    const { lines, points } = analyseThresholds(series, ramp, { smoothing: 1 })?.first.equivalents ?? { lines: [], points: undefined };
    const [below] = lines;
    if (!below || !points) throw new Error('nothing to draw');
    expect(below.form).toBe('ratio');
    const x = points.x[10] ?? 0;
    expectWithin(below.slope + below.intercept / x, points.y[10] ?? 0, 1e-6, 'the curve goes through exact points');
  });

  it('keeps a student’s choice beside the automatic finding', () => {
    const automatic = findVSlope(series, ramp, { smoothing: 1 });
    const judged = withChoice(series, ramp, automatic, { finding: 'v-slope', x: 1.8, by: 'KL', reason: 'by eye' }, { smoothing: 1 });
    expect(judged.automatic).toBe(automatic);
    expect(judged.chosen?.outcome).toBe('found');
    expect(judged.chosen?.at?.vo2).toBe(1.8);
    expect(judged.chosen?.lines[0]?.to).toBe(1.8);
    expect(judged.chosen?.reason).toContain('KL');
    // A worse place for the bend leaves more residual.
    expect(judged.chosen?.residualSd ?? 0).toBeGreaterThan(automatic.residualSd ?? 0);
    const outside = withChoice(series, ramp, automatic, { finding: 'v-slope', x: 9, by: 'KL' }, { smoothing: 1 });
    expect(outside.chosen?.outcome).toBe('cannot tell');
    expect(withChoice(series, ramp, automatic, { finding: 'oues', x: 1, by: 'KL' }).chosen).toBeUndefined();
  });
});
