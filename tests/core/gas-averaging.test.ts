/** Means, peak, plateau, alignment and stage means, against arithmetic that can be done by hand. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  alignByEvent,
  alignByOffset,
  average,
  checkAlignment,
  gasReadingsFor,
  meanOver,
  peakOf,
  peakSensitivity,
  plateausOf,
  stageMeans,
  stretchInFile,
  toFile,
  toSession,
  usualAveragings,
  valueAt,
  type Averaging,
} from '../../core/gas/gas.ts';
import { at, SessionBuilder } from './session-builder.ts';
import { seriesOf, type TestRows } from './gas-series-maker.ts';

const every = (step: number, count: number): number[] => Array.from({ length: count }, (_, row) => step * (row + 1));
/** A breath every 5 s with VO₂ 1.00, 1.01, 1.02 … L/min. */
const ladder = (count = 60): TestRows =>
  seriesOf(every(5, count), {
    vo2: every(0.01, count).map((value) => 0.99 + value),
    vco2: every(0.012, count).map((value) => 0.8 + value),
  });
const vo2Of = (series: TestRows, averaging: Averaging): (number | undefined)[] => {
  const means = average(series, averaging);
  return Array.from({ length: means.length }, (_, row) => valueAt(means, 'vo2', row));
};

describe('means', () => {
  it('bins of 30 s hold six breaths each; a row belongs to the bin that it ends in', () => {
    const means = average(ladder(13), { kind: 'time-bins', seconds: 30 });
    expect([...means.rows]).toEqual([6, 6, 1]);
    expect([...means.time]).toEqual([30_000, 60_000, 65_000]);
    // (1.00 + … + 1.05)/6 and (1.06 + … + 1.11)/6
    expect(valueAt(means, 'vo2', 0)).toBeCloseTo(1.025, 12);
    expect(valueAt(means, 'vo2', 1)).toBeCloseTo(1.085, 12);
    expect([...means.full]).toEqual([1, 1, 0]);
    expect(means.label).toBe('30-s means');
  });

  it('rolling time looks back', () => {
    const means = average(ladder(8), { kind: 'rolling-time', seconds: 20 });
    expect([...means.rows]).toEqual([1, 2, 3, 4, 4, 4, 4, 4]);
    expect([...means.full]).toEqual([0, 0, 0, 1, 1, 1, 1, 1]);
    expect(valueAt(means, 'vo2', 7)).toBeCloseTo(1.055, 12);
  });

  it('rolling breaths are the last so many', () => {
    const values = vo2Of(ladder(6), { kind: 'rolling-breaths', breaths: 5 });
    expect(values.length).toBe(2);
    expect(values[0]).toBeCloseTo(1.02, 12);
    expect(values[1]).toBeCloseTo(1.03, 12);
  });

  it('middle five of seven leaves out the highest and the lowest uptake', () => {
    const series = seriesOf(every(4, 7), { vo2: [2, 9, 2.1, 2.2, 0.1, 2.3, 2.4], ve: [50, 51, 52, 53, 54, 55, 56] });
    const means = average(series, { kind: 'middle-five-of-seven' });
    expect(means.length).toBe(1);
    expect(valueAt(means, 'vo2', 0)).toBeCloseTo(2.2, 12);
    // The same five breaths for every quantity: (50 + 52 + 53 + 55 + 56)/5
    expect(valueAt(means, 've', 0)).toBeCloseTo(53.2, 12);
  });

  it('RER of a mean is the ratio of the means, and a missing value is left out of its own quantity only', () => {
    const series = seriesOf(every(10, 3), { vo2: [1, 3, undefined], vco2: [0.5, 3, 2], rer: [0.5, 1, undefined] });
    const mean = meanOver(series, { from: 0, to: 30_000 });
    expect(mean?.values.vo2).toBe(2);
    expect(mean?.values.vco2).toBeCloseTo(5.5 / 3, 12);
    expect(mean?.values.rer).toBeCloseTo(5.5 / 3 / 2, 12);
  });

  it('a mean over a gap says that it is not full', () => {
    const series = seriesOf([5, 10, 15, 20, 25, 30, 55, 60, 65, 70, 75, 80, 85, 90], { vo2: every(1, 14) });
    expect([...average(series, { kind: 'time-bins', seconds: 30 }).full]).toEqual([1, 0, 1]);
  });

  it('of a constant are the constant, and lie within the range of what they average', () => {
    fc.assert(
      fc.property(
        fc.array(fc.record({ step: fc.double({ min: 0.8, max: 6, noNaN: true }), vo2: fc.double({ min: 0.2, max: 6, noNaN: true }) }), {
          minLength: 8,
          maxLength: 120,
        }),
        fc.constantFrom(...usualAveragings),
        (breaths, averaging) => {
          let now = 0;
          const seconds = breaths.map(({ step }) => (now += step));
          const constant = average(seriesOf(seconds, { vo2: breaths.map(() => 2.5) }), averaging);
          // Running sums of 120 values keep 12 digits.
          for (let row = 0; row < constant.length; row += 1)
            expect(Math.abs((valueAt(constant, 'vo2', row) ?? 0) - 2.5)).toBeLessThan(1e-11);
          const values = breaths.map(({ vo2 }) => vo2);
          const means = average(seriesOf(seconds, { vo2: values }), averaging);
          for (let row = 0; row < means.length; row += 1) {
            const mean = valueAt(means, 'vo2', row) ?? 0;
            expect(mean).toBeGreaterThan(Math.min(...values) - 1e-11);
            expect(mean).toBeLessThan(Math.max(...values) + 1e-11);
          }
        },
      ),
      { numRuns: 150, seed: 3 },
    );
  });
});

describe('peak', () => {
  // 1.0 L/min, with one breath of 4.0, then 20 s at 2.0.
  const seconds = every(4, 60);
  const series = seriesOf(seconds, { vo2: seconds.map((_, row) => (row === 10 ? 4 : row >= 40 && row < 45 ? 2 : 1)) });

  it('moves with the rule, and each carries its rule in words', () => {
    expect(peakOf(series, { kind: 'none' })?.value).toBe(4);
    expect(peakOf(series, { kind: 'rolling-breaths', breaths: 5 })?.value).toBeCloseTo(2, 12);
    // 20 s hold five breaths: all of the plateau.
    expect(peakOf(series, { kind: 'rolling-time', seconds: 20 })?.value).toBeCloseTo(2, 12);
    // 60 s hold fifteen: (5·2 + 10·1)/15, higher than (4 + 14)/15.
    expect(peakOf(series, { kind: 'rolling-time', seconds: 60 })?.value).toBeCloseTo(20 / 15, 12);
    expect(peakOf(series, { kind: 'middle-five-of-seven' })?.value).toBeCloseTo((4 * 2 + 1) / 5, 12);
    expect(peakOf(series, { kind: 'rolling-time', seconds: 20 })?.rule).toContain('rolling 20-s means');
  });

  it('does not count a mean that is not filled', () => {
    const late = seriesOf(every(5, 7), { vo2: [1, 1, 1, 1, 1, 1, 9] });
    expect(peakOf(late, { kind: 'time-bins', seconds: 30 })?.value).toBe(1);
    expect(peakOf(seriesOf([5, 10], { vo2: [1, 2] }), { kind: 'rolling-time', seconds: 60 })).toBeUndefined();
  });

  it('sensitivity has every rule, differences from the stated one, and reasons where a rule cannot be applied', () => {
    const { table, spread, reference } = peakSensitivity(series);
    expect(reference).toEqual({ kind: 'time-bins', seconds: 30 });
    expect(table.length).toBe(usualAveragings.length);
    const single = table.find((row) => row.averaging.kind === 'none');
    const thirty = table.find((row) => row.averaging.kind === 'time-bins' && row.averaging.seconds === 30);
    expect(thirty?.difference).toBe(0);
    expect(single?.difference).toBeCloseTo(100 * (4 / (thirty?.peak?.value ?? 0) - 1), 9);
    expect(spread).toBeGreaterThan(0.5);
    const means = peakSensitivity(seriesOf(every(30, 20), { vo2: every(0.1, 20) }, { kind: 'averaged', seconds: 30, stamped: 'end' }));
    expect(means.table.find((row) => row.averaging.kind === 'rolling-breaths')?.reason).toContain('means, not breaths');
    expect(means.table.find((row) => row.averaging.kind === 'time-bins' && row.averaging.seconds === 15)?.reason).toContain('30 s');
    expect(means.table.find((row) => row.averaging.kind === 'time-bins' && row.averaging.seconds === 60)?.peak?.value).toBeCloseTo(
      1.95,
      12,
    );
  });
});

describe('plateau', () => {
  const seconds = every(5, 120);
  const exercise = { from: 0, to: 600_000 };
  const outcomes = (vo2: readonly number[]): Record<string, string> =>
    Object.fromEntries(
      plateausOf(seriesOf(seconds, { vo2, ve: seconds.map((second) => second / 6) }), exercise, { massKg: 70 }).map((finding) => [
        finding.id,
        finding.outcome,
      ]),
    );

  it('is not seen on a steady rise of 300 mL/min each minute', () => {
    // 30-s means rise by 150 mL/min: not below 150, which the rule wants; by 2.14 mL/kg/min: not below 2.1.
    expect(outcomes(seconds.map((second) => 0.5 + (0.3 * second) / 60))).toEqual({
      'rise-150': 'no plateau',
      'rise-2.1-per-kg': 'no plateau',
      'no-rise-while-ventilation-rises': 'no plateau',
      'last-minute-50': 'no plateau',
      'half-submaximal-slope': 'no plateau',
    });
  });

  it('is seen by every rule where uptake stands for the last 90 s', () => {
    expect(new Set(Object.values(outcomes(seconds.map((second) => 0.5 + (0.3 * Math.min(second, 510)) / 60))))).toEqual(
      new Set(['plateau']),
    );
  });

  it('rules part where it slows to a third', () => {
    const found = outcomes(seconds.map((second) => 0.5 + (0.3 * Math.min(second, 510) + 0.1 * Math.max(0, second - 510)) / 60));
    expect(found['rise-150']).toBe('plateau');
    expect(found['half-submaximal-slope']).toBe('plateau');
    expect(found['last-minute-50']).toBe('no plateau');
    expect(found['no-rise-while-ventilation-rises']).toBe('no plateau');
  });

  it('says what it lacks', () => {
    const findings = plateausOf(seriesOf(every(5, 5), { vo2: [1, 1, 1, 1, 1] }));
    for (const finding of findings) {
      expect(finding.outcome).toBe('could not be judged');
      expect(finding.says.length).toBeGreaterThan(10);
    }
  });
});

describe('alignment', () => {
  it('by an event is the difference of its two times', () => {
    const alignment = alignByEvent('Start of the first load', 95_000, 720_000);
    expect(alignment.offset).toBe(625_000);
    expect(alignment.says).toContain('1:35 in the file is 12:00 in the session');
    expect(toFile(alignment, toSession(alignment, 33_000))).toBe(33_000);
    expect(stretchInFile(alignment, { from: 720_000, to: 780_000 })).toEqual({ from: 95_000, to: 155_000 });
  });

  it('by a typed offset', () => {
    for (const [typed, offset] of [
      ['+2:05', 125_000],
      ['-0:30', -30_000],
      ['\u22120:30', -30_000],
      ['1:00:00', 3_600_000],
    ] as const) {
      const read = alignByOffset(typed);
      expect(read.ok && read.value.offset).toBe(offset);
    }
    expect(alignByOffset('soon').ok).toBe(false);
    expect(alignByOffset('').ok).toBe(false);
  });

  it('is questioned when the file does not meet the exercise, covers part of it, or a second event disagrees', () => {
    const rows = ladder(120);
    const exercise = { from: 720_000, to: 1_300_000 };
    expect(checkAlignment(rows, { offset: 715_000, by: 'typed offset', says: '' }, exercise)).toMatchObject({ warnings: [] });
    expect(checkAlignment(rows, { offset: 0, by: 'typed offset', says: '' }, exercise).warnings[0]).toContain('do not meet');
    const part = checkAlignment(rows, { offset: 400_000, by: 'typed offset', says: '' }, exercise);
    expect(part.covered).toBeCloseTo((400_000 + 600_000 - 720_000) / 580_000, 12);
    expect(part.warnings.length).toBe(1);
    const second = checkAlignment(rows, { offset: 715_000, by: 'marked event', says: '' }, exercise, {
      event: 'Stop',
      fileTime: 580_000,
      sessionTime: 1_300_000,
    });
    expect(second.warnings[0]).toContain('5.0 s later');
  });
});

describe('stage means', () => {
  const rows = ladder(120);
  const alignment = alignByEvent('Start', 0, 60_000);

  it('are the last 30 or 60 s before the real end of each stage', () => {
    const stages = [
      { stage: 1, from: 60_000, to: 240_000 },
      { stage: 2, from: 240_000, to: 260_000 },
    ];
    const [first, second] = stageMeans(rows, stages, alignment, 30);
    // File time 150 to 180 s: breaths 31 to 36, 1.30 … 1.35
    expect(first?.values.vo2).toBeCloseTo(1.325, 12);
    expect(first?.full).toBe(true);
    expect(first?.says).toContain('6 breaths');
    expect(second?.full).toBe(false);
    expect(second?.says).toContain('all of stage 2');
    expect(stageMeans(rows, stages, alignment, 60)[0]?.values.vo2).toBeCloseTo(1.295, 12);
    expect(stageMeans(rows, [{ stage: 1, from: 9e6, to: 9.1e6 }], alignment)).toEqual([]);
  });

  it('fill the gas places of a session, and leave what stands to a person', () => {
    const session = new SessionBuilder().exercising(at('20:00')).clock(at('23:00')).add('stage-changed', { stage: 2 });
    session.clock(at('23:20')).reading('vo2', '1.4', at('23:20'), { slot: { phase: 'exercise', stage: 1, mark: 'end', quantity: 'vo2' } });
    session.clock(at('25:10')).add('test-stopped', {});
    // The file began with exercise: file 3:00 is the end of stage 1, 5:10 the stop.
    const readings = gasReadingsFor(session.state, rows, alignByEvent('Start', 0, at('20:00')));
    const end = readings.find((reading) => reading.slot.stage === 1 && reading.slot.mark === 'end' && reading.slot.quantity === 'vo2');
    expect(end).toMatchObject({ typed: '1.325', unit: 'L/min', taken: at('23:00'), source: 'file', full: true, standing: '1.4' });
    const stop = readings.find((reading) => reading.slot.mark === 'stop' && reading.slot.quantity === 'vo2');
    // File 4:40 to 5:10: breaths 57 to 62, 1.56 … 1.61
    expect(stop).toMatchObject({ typed: '1.585', taken: at('25:10') });
    expect(stop?.standing).toBeUndefined();
    expect(readings.every((reading) => reading.note.includes('breaths of the file'))).toBe(true);
    // Each can be recorded as it is.
    if (!stop) throw new Error('no reading for the stop');
    session
      .clock(at('26:00'))
      .add(
        'reading-taken',
        { slot: stop.slot, typed: stop.typed, unit: stop.unit, source: stop.source, note: stop.note, confirmed: true },
        'TN',
        stop.taken,
      );
    expect(session.state.slots.get('exercise/s2/stop/vo2')?.current?.value).toBe(1.585);
  });
});
