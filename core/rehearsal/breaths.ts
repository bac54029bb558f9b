/**
 * Breath-by-breath gas exchange of a simulated participant, with thresholds that are known: material for learning and for
 * testing threshold methods.
 *
 * The form of the noise is published: from breath to breath uncorrelated, Gaussian, and with a spread that hardly depends on
 * the metabolic rate (Lamarra N, Whipp BJ, Ward SA, Wasserman K. J Appl Physiol 1987;62:2003: five people, 0 to 100 W; the abstract
 * was seen). Its size, 0.10 L/min for both gases and 3 L/min for ventilation, and the shared part are choices of this program
 * (`constants.ts`); nobody's figure is claimed for them. `noise` scales all of it.
 */
import { uniform, normal } from './chance.ts';
import { constants } from './constants.ts';
import { demandOf, type Course, type Segment } from './course.ts';
import type { Participant } from './participant.ts';
import { bodyOf, onTheDay, type Body } from './physiology.ts';

export interface Breath {
  /** Seconds from the start of the course, at the end of the breath. */
  readonly time: number;
  /** L/min. */
  readonly vo2: number;
  readonly vco2: number;
  /** L/min, BTPS. */
  readonly ve: number;
  /** Breaths a minute. */
  readonly rate: number;
  /** Litres. */
  readonly tidal: number;
  /** /min. */
  readonly heartRate: number;
}

export interface BreathTest {
  readonly breaths: readonly Breath[];
  /** What a perfect method would find: oxygen uptake in L/min, and the two slopes. */
  readonly truth: { readonly first: number; readonly second: number; readonly maximum: number; readonly slopes: { readonly below: number; readonly above: number } };
  /** Seconds at which the work began to rise, and at which the test ended. */
  readonly rampFrom: number;
  readonly ends: number;
}

export interface BreathOptions {
  readonly seed: number;
  /** Multiplies the noise: 1 as stated above, 0.5 half, 2 twice, 0 none. */
  readonly noise?: number;
  /** W/min. Without it the rule for a test of ten minutes: (VO2peak − VO2unloaded)/100, with 150 + 6·kg mL/min unloaded (Wasserman, clinical reference page). */
  readonly wattsPerMinute?: number;
  /** Seconds of rest and of unloaded pedalling before the ramp. */
  readonly rest?: number;
  readonly unloaded?: number;
}

/** A cycle peak is commonly 10 to 20 % below a treadmill peak (summary of the 2017 registry paper); 0.9 is used. */
const CYCLE_PEAK = 0.9;

/**
 * A ramp to exhaustion on the cycle, breath by breath. Carbon dioxide output is read off the same moment's oxygen uptake, without
 * the lag of the body's stores, so that the break lies exactly at the stated threshold.
 * @returns breaths in the order of time, at most about 900.
 */
export function breaths(participant: Participant, options: BreathOptions): BreathTest {
  const { seed, noise = 1, rest = 120, unloaded = 180 } = options;
  const onCycle = onTheDay({ ...participant, vo2max: participant.vo2max * CYCLE_PEAK }, seed);
  const peak = onCycle.vo2max * onCycle.mass;
  const perMinute = options.wattsPerMinute ?? (peak - (150 + 6 * onCycle.mass)) / 100;
  const free = demandOf('cycle', { load: { value: 0, typed: '0', unit: 'W' } }, onCycle);
  const afterOneWatt = demandOf('cycle', { load: { value: 1, typed: '1', unit: 'W' } }, onCycle);
  const rise = ((afterOneWatt - free) * perMinute) / 60;
  const segment = (at: number, demand: number, slope: number): Segment => ({ at: at * 1000, phase: 'exercise', demand, rise: slope, posture: 'cycling' });
  const course: Course = {
    segments: [
      { at: -Infinity, phase: 'rest', demand: constants.restingVo2.value, rise: 0, posture: 'cycling' },
      segment(rest, free, 0),
      segment(rest + unloaded, free, rise),
    ],
    exercise: rest * 1000,
  };
  const body = bodyOf(onCycle, seed, course);
  const ends = body.exhausted / 1000;
  const { gas } = body;
  return {
    breaths: breathsOfBody(body, seed, { from: 0, to: ends, noise }),
    truth: { first: gas.first, second: gas.second, maximum: gas.maximum, slopes: gas.slopes },
    rampFrom: rest + unloaded,
    ends,
  };
}

export interface BreathSpan {
  /** Seconds, on the clock of the body's course. */
  readonly from: number;
  readonly to: number;
  /** As in `BreathOptions`. */
  readonly noise: number;
}

/** The breaths of a body between two moments; times count on the body's own clock. */
export function breathsOfBody(body: Body, seed: number, { from, to, noise }: BreathSpan): readonly Breath[] {
  const { gas } = body;
  const shared = constants.breathNoiseShared.value;
  const list: Breath[] = [];
  let time = from + uniform(seed, 'breath/first') * 3;
  for (let index = 0; time < to; index += 1) {
    const moment = time * 1000;
    const vo2 = body.vo2(moment);
    const vco2 = gas.vco2(vo2);
    const ve = gas.ve(vco2);
    const { rate } = gas.breathing(ve);
    const joint = normal(seed, 'breath/shared', index);
    const spread = (what: string, size: number): number => noise * size * (Math.sqrt(shared) * joint + Math.sqrt(1 - shared) * normal(seed, `breath/${what}`, index));
    const length = (60 / rate) * Math.max(0.5, 1 + noise * constants.breathInterval.value * normal(seed, 'breath/length', index));
    // A breath never gives less than a fifth of what it should: at rest the stated spread would otherwise reach below nothing.
    const least = (value: number, spreadOf: number): number => Math.max(0.2 * value, value + spreadOf);
    const ventilation = least(ve, spread('ve', constants.breathNoiseVentilation.value));
    time += length;
    if (time > to) break;
    list.push({
      time,
      vo2: least(vo2, spread('vo2', constants.breathNoise.value)),
      vco2: least(vco2, spread('vco2', constants.breathNoise.value)),
      ve: ventilation,
      rate: 60 / length,
      tidal: (ventilation * length) / 60,
      heartRate: Math.round(body.heartRate(moment) + noise * normal(seed, 'breath/heart-rate', index)),
    });
  }
  return list;
}
