import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { constants } from '../../core/rehearsal/constants.ts';
import { demandOf, withHandrail, type Course, type Segment } from '../../core/rehearsal/course.ts';
import { measure } from '../../core/rehearsal/measure.ts';
import { rehearsalParticipants, type Participant } from '../../core/rehearsal/participant.ts';
import { bodyOf, follow, onTheDay } from '../../core/rehearsal/physiology.ts';
import { readingLimits } from '../../core/session/plausible.ts';
import { readingQuantities, type Posture, type ReadingQuantity } from '../../core/vocabulary.ts';

const person = fc.constantFrom(...rehearsalParticipants);
const seed = fc.integer({ min: 0, max: 1_000_000 });
const MINUTE = 60_000;

/** Stages of three minutes with these demands from time 0, then recovery in one posture. */
function course(demands: readonly number[], stop?: number, posture: Posture = 'sitting'): Course {
  const segments: Segment[] = [{ at: -Infinity, phase: 'rest', demand: 3.5, rise: 0, posture: 'standing' }];
  for (const [index, demand] of demands.entries()) segments.push({ at: index * 3 * MINUTE, phase: 'exercise', demand, rise: 0, posture: 'walking' });
  if (stop !== undefined) segments.push({ at: stop, phase: 'recovery', demand: posture === 'walking' ? 8 : 3.5, rise: 0, posture });
  return { segments, exercise: 0, ...(stop === undefined ? {} : { stop }) };
}

const bruce = (participant: Participant): number[] =>
  ([[1.7, 10], [2.5, 12], [3.4, 14], [4.2, 16], [5, 18], [5.5, 20]] as const).map(([mph, grade]) =>
    demandOf('treadmill', { speed: { value: mph * 1.609344, typed: String(mph), unit: '[mi_i]/h' }, grade: { value: grade, typed: String(grade), unit: '%' } }, participant),
  );

describe('what the work asks for', () => {
  const [model] = rehearsalParticipants;
  if (!model) throw new Error('no participant');
  const average = { ...model, economy: 1 };
  const setting = (value: number, unit: 'km/h' | '%' | 'W' | '/min' | 'cm') => ({ value, typed: String(value), unit });

  // Published worked answers of the ACSM equations; 0.1 because the sources round each step.
  it.each([
    ['walk 3.5 mph, 10 % (E1, lecture slides)', 'treadmill', { speed: setting(3.5 * 1.609344, 'km/h'), grade: setting(10, '%') }, 70, 29.76],
    ['run 7 mph, 3 % (E10, WWU)', 'treadmill', { speed: setting(7 * 1.609344, 'km/h'), grade: setting(3, '%') }, 90, 46.06],
    ['step 12 in, 30 cycles a minute (E21)', 'step', { 'step-rate': setting(30, '/min'), 'step-height': setting(30.48, 'cm') }, 70, 31.4],
    ['leg cycle 150 W, 75 kg (recomputed beside Kokkinos 2018)', 'cycle', { load: setting(150, 'W') }, 75, 28.6],
  ] as const)('%s', (_name, mode, settings, mass, expected) => {
    expect(Math.abs(demandOf(mode, settings, { ...average, mass }) - expected)).toBeLessThan(0.1);
  });

  it('spends more or less by the participant’s economy, rest apart', () => {
    const settings = { load: setting(150, 'W') };
    const usual = demandOf('cycle', settings, average);
    expect(demandOf('cycle', settings, { ...average, economy: 1.05 })).toBeCloseTo(3.5 + 1.05 * (usual - 3.5), 9);
  });

  it('asks for less with a hand on the rail, and never for more', () => {
    fc.assert(fc.property(fc.double({ min: 3.5, max: 90, noNaN: true }), (demand) => {
      expect(withHandrail(demand)).toBeLessThanOrEqual(demand);
    }));
    // Foster 1996 at an ACSM cost of 40: (0.694·40 + 3.33)/(0.869·40 − 0.07) = 31.09/34.69.
    expect(withHandrail(40)).toBeCloseTo((40 * 31.09) / 34.69, 9);
  });
});

describe('first-order response', () => {
  it('gives the worked onset example', () => {
    // Common practice [C], recomputed outside this program: B 0.8, A 1.2 L/min, delay 15 s, τ 30 s.
    const pieces = [{ at: -Infinity, target: 0.8, rise: 0, timeConstant: 30 }, { at: 0, target: 2, rise: 0, timeConstant: 30 }];
    expect(follow(pieces, 10_000, 15_000)).toBe(0.8);
    expect(follow(pieces, 45_000, 15_000)).toBeCloseTo(1.55854, 5);
    expect(follow(pieces, 60_000, 15_000)).toBeCloseTo(1.73224, 5);
  });

  it('follows steps and ramps as small steps in time do', () => {
    const pieces = [
      { at: -Infinity, target: 1, rise: 0, timeConstant: 30 },
      { at: 0, target: 2, rise: 0.01, timeConstant: 40 },
      { at: 90_000, target: 5, rise: 0, timeConstant: 20 },
      { at: 150_000, target: 1, rise: 0, timeConstant: 60 },
    ];
    let value = 1;
    let furthest = 0;
    const small = 0.01;
    for (let second = 0; second < 240; second += small) {
      const piece = pieces.findLast(({ at }) => at <= second * 1000);
      if (!piece) throw new Error('no piece');
      const target = piece.target + (piece.at === -Infinity ? 0 : piece.rise * (second - piece.at / 1000));
      value += (small * (target - value)) / piece.timeConstant;
      furthest = Math.max(furthest, Math.abs(follow(pieces, (second + small) * 1000) - value));
    }
    // Euler steps of 0.01 s err by about half a step's change: below 0.002 here.
    expect(furthest).toBeLessThan(0.002);
  });
});

describe('the body at work', () => {
  it('heart rate, uptake, output, ventilation and exertion rise from stage to stage, to the maximum and not beyond', () => {
    fc.assert(fc.property(person, seed, (participant, day) => {
      const today = onTheDay(participant, day);
      const body = bodyOf(today, day, course(bruce(today)));
      for (const value of [body.heartRate, body.vo2, body.vco2, body.ve, body.rpe, body.systolic]) {
        const ends = [1, 2, 3, 4, 5].map((stage) => value(stage * 3 * MINUTE));
        // A falling pressure is what a faint is about; it is looked at on its own.
        if (participant.behaviour === 'faint' && value === body.systolic) continue;
        for (let index = 1; index < ends.length; index += 1) expect(ends[index]).toBeGreaterThanOrEqual((ends[index - 1] ?? 0) - 1e-9);
      }
      const maximum = (today.vo2max * today.mass) / 1000;
      for (let at = 0; at <= 18 * MINUTE; at += 10_000) {
        expect(body.vo2(at)).toBeLessThanOrEqual(maximum + 1e-9);
        expect(body.heartRate(at)).toBeLessThanOrEqual(today.heartRateMax);
      }
      // After three minutes uptake has come to within 2 % of what stage 6 asks for, or of the maximum where that is less.
      const asked = ((bruce(today)[5] ?? 0) * today.mass) / 1000;
      expect(body.vo2(18 * MINUTE)).toBeGreaterThan(0.98 * Math.min(asked, maximum));
    }), { numRuns: 40 });
  });

  it('a nervous start is above calm rest and settles', () => {
    const nervous = rehearsalParticipants.find(({ code }) => code === 'R-03');
    if (!nervous) throw new Error('no R-03');
    const light = course([8, 8, 8, 8]);
    const body = bodyOf(nervous, 1, light);
    const calm = bodyOf({ ...nervous, nervous: 0 }, 1, light);
    expect(body.heartRate(-1) - calm.heartRate(-1)).toBeCloseTo(nervous.nervous, 6);
    expect(body.heartRate(10 * MINUTE) - calm.heartRate(10 * MINUTE)).toBeLessThan(0.5);
  });

  it('fatigue ends it when the reserve is used up, also on a ramp', () => {
    fc.assert(fc.property(person, fc.oneof(fc.constant(0), fc.double({ min: 0.005, max: 0.2, noNaN: true })), fc.double({ min: 0.3, max: 1.3, noNaN: true }), (participant, rise, share) => {
      const segments: Segment[] = [
        { at: -Infinity, phase: 'rest', demand: 3.5, rise: 0, posture: 'standing' },
        { at: 0, phase: 'exercise', demand: share * participant.vo2max, rise, posture: 'walking' },
      ];
      const body = bodyOf(participant, 1, { segments, exercise: 0 });
      if (body.exhausted === Infinity) {
        expect(rise).toBe(0);
        expect(share).toBeLessThanOrEqual(constants.criticalFraction.value);
        return;
      }
      expect(body.fatigue(body.exhausted + 1)).toBeGreaterThan(1 - 1e-4);
      expect(body.fatigue(body.exhausted - 1000)).toBeLessThan(1);
    }), { numRuns: 60 });
  });
});

describe('recovery', () => {
  const stop = 9 * MINUTE;
  const recovering = (participant: Participant, posture: Posture) => bodyOf(participant, 1, course(bruce(participant).slice(0, 3).concat(), stop, posture));

  it.each(rehearsalParticipants.filter(({ behaviour }) => behaviour !== 'faint'))('$code: heart rate, uptake and pressure fall without a rise', (participant) => {
    const body = recovering(participant, 'sitting');
    for (const value of [body.heartRate, body.vo2, body.ve, body.systolic]) {
      let before = value(stop + 20_000);
      for (let at = stop + 30_000; at <= stop + 30 * MINUTE; at += 10_000) {
        expect(value(at)).toBeLessThanOrEqual(before + 1e-9);
        before = value(at);
      }
    }
    expect(body.heartRate(stop + 30 * MINUTE)).toBeLessThan(participant.heartRateRest + 10);
    expect(body.systolic(stop + 10 * MINUTE)).toBeLessThan(participant.systolicRest + 5);
  });

  it('is fastest lying with legs raised and slowest while walking (order of Barak 2011)', () => {
    for (const participant of rehearsalParticipants) {
      const fall = (posture: Posture): number => {
        const body = recovering(participant, posture);
        return body.heartRate(stop) - body.heartRate(stop + MINUTE);
      };
      expect(fall('lying, legs raised')).toBeGreaterThan(fall('lying'));
      expect(fall('lying')).toBeGreaterThan(fall('sitting'));
      expect(fall('sitting')).toBeGreaterThan(fall('walking'));
    }
  });

  it('falls over two walking minutes as young adults do after a maximal treadmill test', () => {
    // CARDIA (Carnethon): 44 ± 11 /min at two minutes [P]; within two standard deviations.
    for (const participant of rehearsalParticipants) {
      const body = bodyOf(participant, 1, course([...bruce(participant)], 16 * MINUTE, 'walking'));
      const fall = body.heartRate(16 * MINUTE) - body.heartRate(18 * MINUTE);
      expect(fall, participant.code).toBeGreaterThan(44 - 22);
      expect(fall, participant.code).toBeLessThan(44 + 22);
    }
  });

  it('halves uptake in 60 to 90 s after a maximal effort (half time in healthy adults, from memory)', () => {
    for (const participant of rehearsalParticipants) {
      const body = bodyOf(participant, 1, course(bruce(participant), 18 * MINUTE, 'sitting'));
      const peak = body.vo2(18 * MINUTE);
      const half = Array.from({ length: 240 }, (_, second) => second).find((second) => body.vo2(18 * MINUTE + second * 1000) <= peak / 2);
      expect(half, participant.code).toBeGreaterThanOrEqual(60);
      expect(half, participant.code).toBeLessThanOrEqual(90);
    }
  });
});

describe('readings', () => {
  const quantities = Object.keys(readingQuantities) as ReadingQuantity[];

  it('stay inside what can be typed at all, and pressure stays a pressure', () => {
    fc.assert(fc.property(person, seed, fc.integer({ min: -MINUTE, max: 40 * MINUTE }), (participant, day, at) => {
      const today = onTheDay(participant, day);
      const body = bodyOf(today, day, course(bruce(today), 15 * MINUTE, 'sitting'));
      for (const quantity of quantities) {
        const value = measure(body, day, quantity, at);
        const [low, high] = readingLimits[quantity].hard;
        expect(value, quantity).toBeGreaterThanOrEqual(low);
        expect(value, quantity).toBeLessThanOrEqual(high);
      }
      expect(measure(body, day, 'systolic', at) - measure(body, day, 'diastolic', at)).toBeGreaterThan(10);
    }), { numRuns: 60 });
  });

  it('do not hang on the order in which they are asked for', () => {
    fc.assert(fc.property(person, seed, fc.shuffledSubarray([...Array(20).keys()], { minLength: 20 }), (participant, day, order) => {
      const body = bodyOf(participant, day, course(bruce(participant), 15 * MINUTE));
      const values = order.map((minute) => [minute, measure(body, day, 'heart-rate', minute * MINUTE), measure(body, day, 'vo2', minute * MINUTE)] as const);
      const again = bodyOf(participant, day, course(bruce(participant), 15 * MINUTE));
      for (const [minute, heartRate, vo2] of values) {
        expect(measure(again, day, 'heart-rate', minute * MINUTE)).toBe(heartRate);
        expect(measure(again, day, 'vo2', minute * MINUTE)).toBe(vo2);
      }
    }), { numRuns: 20 });
  });

  it('carbon dioxide over oxygen is the exchange ratio', () => {
    const [participant] = rehearsalParticipants;
    if (!participant) throw new Error('no participant');
    const body = bodyOf(participant, 5, course(bruce(participant)));
    for (let at = MINUTE; at < 15 * MINUTE; at += MINUTE) {
      expect(measure(body, 5, 'vco2', at) / measure(body, 5, 'vo2', at)).toBeCloseTo(measure(body, 5, 'rer', at), 9);
    }
  });
});
