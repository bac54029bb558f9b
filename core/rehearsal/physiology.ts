/**
 * The simulated body: heart rate, pressure, exertion and gas exchange as functions of time, for one participant on one day and
 * one course of work. No noise of measurement here (see `measure.ts`). The shared numbers and their sources are in `constants.ts`.
 *
 * Oxygen uptake follows the demand of the work, up to the maximum, as one exponential with a delay (onset model,
 * Bell 2001). Heart rate has the same share of its reserve as uptake has of its own at steady state
 * (%HRR ≈ %VO2R, from memory of ACSM's Guidelines) and its own time constant (Hunt 2015); in recovery it falls in two parts, a fast
 * one by posture and a slow one (Barak 2011). Carbon dioxide and ventilation are read off uptake by straight lines that break at
 * the thresholds.
 */
import { normal, secondsBetween } from './chance.ts';
import { alongLine, constants, heartRateOff, perceivedExertion } from './constants.ts';
import type { Course, Segment } from './course.ts';
import { gasMap, type GasMap } from './gas-map.ts';
import type { Participant } from './participant.ts';

const REST = constants.restingVo2.value;

/** All moments are session time in ms; values in the vocabulary's units (/min, mmHg, L/min). */
export interface Body {
  readonly participant: Participant;
  readonly course: Course;
  readonly gas: GasMap;
  heartRate(at: number): number;
  systolic(at: number): number;
  diastolic(at: number): number;
  /** 6 to 20, not rounded. */
  rpe(at: number): number;
  vo2(at: number): number;
  vco2(at: number): number;
  rer(at: number): number;
  ve(at: number): number;
  /** Breaths a minute and litres a breath. */
  breathing(at: number): { readonly rate: number; readonly tidal: number };
  /** Oxygen uptake as a share of the maximum. */
  share(at: number): number;
  /** 0 to 1: how much of the reserve above the critical work is used up. */
  fatigue(at: number): number;
  /** When fatigue ends the test if the work goes on as it is now; Infinity if it never does. */
  readonly exhausted: number;
  /** When this participant asks to stop or becomes light-headed; Infinity if never. */
  readonly turns: number;
}

/** The participant as on the day of a seed: a little fitter or less fit, a little calmer or not. */
export function onTheDay(participant: Participant, seed: number): Participant {
  return {
    ...participant,
    vo2max: participant.vo2max * (1 + constants.daySpread.value * normal(seed, 'day/vo2max')),
    heartRateRest: participant.heartRateRest + 2 * normal(seed, 'day/heart-rate-rest'),
    systolicRest: participant.systolicRest + 3 * normal(seed, 'day/systolic-rest'),
    diastolicRest: participant.diastolicRest + 2 * normal(seed, 'day/diastolic-rest'),
  };
}

export interface Piece {
  readonly at: number;
  readonly target: number;
  /** Change of the target each second. */
  readonly rise: number;
  readonly timeConstant: number;
}

/** First-order response to a chain of steps and ramps, delayed by `delay` ms. */
export function follow(pieces: readonly Piece[], at: number, delay = 0): number {
  let value = pieces[0]?.target ?? Number.NaN;
  for (const [index, piece] of pieces.entries()) {
    const begins = piece.at + delay;
    if (begins === -Infinity) continue;
    if (at <= begins) break;
    const ends = (pieces[index + 1]?.at ?? Infinity) + delay;
    const seconds = (Math.min(at, ends) - begins) / 1000;
    const { target, rise, timeConstant: tau } = piece;
    value = target + rise * (seconds - tau) + (value - target + rise * tau) * Math.exp(-seconds / tau);
  }
  return value;
}

/** The demand as far as the body can answer it: cut at the maximum, also in the middle of a ramp. */
function limited(segments: readonly Segment[], maximum: number): readonly Segment[] {
  return segments.flatMap((segment, index) => {
    const ends = segments[index + 1]?.at ?? Infinity;
    if (segment.demand >= maximum) return [{ ...segment, demand: maximum, rise: 0 }];
    const full = segment.at + ((maximum - segment.demand) / segment.rise) * 1000;
    return segment.rise > 0 && full < ends ? [segment, { ...segment, at: full, demand: maximum, rise: 0 }] : [segment];
  });
}

/** @param participant already as on the day (`onTheDay`). */
export function bodyOf(participant: Participant, seed: number, course: Course): Body {
  const { vo2max, heartRateMax, heartRateRest, mass } = participant;
  const gas = gasMap(participant);
  const pieces = limited(course.segments, vo2max);
  const started = course.exercise ?? Infinity;
  const stopped = course.stop ?? Infinity;

  const uptake = (slower: number): readonly Piece[] =>
    pieces.map(({ at, demand, rise, phase }) => ({ at, target: demand, rise, timeConstant: slower * (phase === 'exercise' ? participant.vo2TimeConstant : constants.vo2OffTimeConstant.value) }));
  const delay = constants.vo2Delay.value * 1000;
  const uptakePieces = uptake(1);
  const slowerPieces = uptake(constants.carbonDioxideSlower.value);
  const relative = (at: number): number => follow(uptakePieces, at, delay);
  const share = (at: number): number => relative(at) / vo2max;
  const vo2 = (at: number): number => (relative(at) * mass) / 1000;
  const vco2 = (at: number): number => gas.vco2((follow(slowerPieces, at, delay) * mass) / 1000);
  const ve = (at: number): number => gas.ve(vco2(at));

  const reserveShare = (demand: number): number => (demand - REST) / (vo2max - REST);
  const heart = (part: (segment: Segment) => number): readonly Piece[] =>
    pieces.map((segment) => ({
      at: segment.at,
      target: heartRateRest + (heartRateMax - heartRateRest) * reserveShare(segment.demand),
      rise: ((heartRateMax - heartRateRest) * segment.rise) / (vo2max - REST),
      timeConstant: part(segment),
    }));
  const heartOn = heart(() => participant.heartRateTimeConstant);
  /** Nervousness before the start; it is gone once exercise has run a while or has become hard. */
  const nervous = (at: number): number => (at >= stopped ? 0 : participant.nervous * Math.exp(-Math.max(0, at - started) / (constants.nervousSettles.value * 1000)) * (1 - Math.max(0, reserveShare(relative(at)))));
  const heartWorking = (at: number): number => {
    const drift = at > started ? (participant.drift * ((at - started) / 600_000)) * Math.max(0, reserveShare(relative(at))) : 0;
    return Math.min(heartRateMax, follow(heartOn, at) + drift + nervous(at));
  };
  const heartRate = (at: number): number => {
    if (at <= stopped) return heartWorking(at);
    const peak = heartWorking(stopped);
    const slow = constants.slowShare.value * Math.max(0, peak - heartRateRest);
    // Between light and maximal effort the slowing grows evenly with heart-rate reserve.
    const slower = 1 + (constants.slowerAfterMaximal.value - 1) * Math.max(0, Math.min(1, (peak - heartRateRest) / (heartRateMax - heartRateRest)));
    const fast = heart((segment) => slower * heartRateOff[segment.posture][participant.trained ? 'athlete' : 'student']).filter((piece) => piece.at >= stopped);
    const falling = follow([{ at: -Infinity, target: peak - slow, rise: 0, timeConstant: 1 }, ...fast], at);
    return falling + slow * Math.exp(-(at - stopped) / (constants.slowTimeConstant.value * 1000));
  };

  const fatigue = (at: number): number => Math.min(1, usedReserve(course, participant, Math.min(at, stopped)) / participant.reserve);
  const exhausted = exhaustion(course, participant);
  const turns = ((): number => {
    if (started === Infinity) return Infinity;
    // Four minutes into the last setting everything has settled; what was not reached by then never is.
    const settled = Math.min(stopped, (course.segments.at(-1)?.at ?? started) + 240_000);
    if (participant.turnsAt !== undefined) return started + firstAbove(share, participant.turnsAt, started, settled);
    return participant.faints === 'recovery' && stopped < Infinity ? stopped + secondsBetween(seed, 'faint/recovery', 85, 120) : Infinity;
  })();

  const systolicPieces: readonly Piece[] = pieces.map(({ at, demand, rise, phase }) => ({
    at,
    target: (participant.systolicPerMet * (demand - REST)) / REST - (phase === 'recovery' ? constants.afterFall.value : 0),
    rise: (participant.systolicPerMet * rise) / REST,
    timeConstant: phase === 'exercise' ? constants.systolicOn.value : constants.systolicOff.value,
  }));
  const faintness = (at: number): number => (participant.behaviour === 'faint' ? dip(at - turns) : 0);
  const systolic = (at: number): number => participant.systolicRest + follow(systolicPieces, at) + constants.nervousPressure.value * nervous(at) - 20 * faintness(at);
  const diastolic = (at: number): number => participant.diastolicRest - constants.diastolicFall.value * Math.max(0, reserveShare(relative(at))) + 0.2 * nervous(at) - 6 * faintness(at);

  return {
    participant, course, gas, heartRate, systolic, diastolic, vo2, vco2, ve, share, fatigue, exhausted, turns,
    rpe: (at) => Math.max(6, Math.min(20, alongLine(perceivedExertion, share(at)) + (at > stopped ? 0 : fatigue(at)))),
    rer: (at) => vco2(at) / vo2(at),
    breathing: (at) => gas.breathing(ve(at)),
  };
}

/** Light-headedness from half a minute before it is said to some minutes after: 0 to 1. Made for this program. */
function dip(since: number): number {
  if (!Number.isFinite(since) || since < -30_000) return 0;
  if (since < 0) return 1 + since / 30_000;
  return since < 20_000 ? 1 : Math.exp(-(since - 20_000) / 90_000);
}

/** mL/kg of work done above the critical share until `at`. */
function usedReserve(course: Course, participant: Participant, at: number): number {
  let used = 0;
  walkExcess(course, participant, (begins, ends, excess, rise) => {
    const seconds = Math.max(0, Math.min(ends, at) - begins) / 1000;
    used += (excess * seconds + (rise * seconds ** 2) / 2) / 60;
    return at > ends;
  });
  return used;
}

/** The first moment at which the reserve is used up. */
function exhaustion(course: Course, participant: Participant): number {
  let left = participant.reserve * 60;
  let moment = Infinity;
  walkExcess(course, participant, (begins, ends, excess, rise) => {
    const seconds = rise > 0 ? (-excess + Math.sqrt(excess ** 2 + 2 * rise * left)) / rise : left / excess;
    if (begins + seconds * 1000 <= ends) {
      moment = begins + seconds * 1000;
      return false;
    }
    const whole = (ends - begins) / 1000;
    left -= excess * whole + (rise * whole ** 2) / 2;
    return true;
  });
  return moment;
}

/** Calls `visit` for every stretch of exercise that lies above the critical share, in order, until it answers false. */
function walkExcess(course: Course, participant: Participant, visit: (begins: number, ends: number, excess: number, rise: number) => boolean): void {
  const critical = constants.criticalFraction.value * participant.vo2max;
  for (const [index, segment] of course.segments.entries()) {
    if (segment.phase !== 'exercise') continue;
    const ends = course.segments[index + 1]?.at ?? Infinity;
    const excess = segment.demand - critical;
    const begins = excess < 0 && segment.rise > 0 ? segment.at + (-excess / segment.rise) * 1000 : segment.at;
    if ((excess <= 0 && segment.rise <= 0) || begins >= ends) continue;
    if (!visit(begins, ends, Math.max(0, excess), segment.rise)) return;
  }
}

/** ms after `from` at which a value first reaches a level, to the second; Infinity if not before `until`. */
function firstAbove(value: (at: number) => number, level: number, from: number, until: number): number {
  for (let at = from; at <= until; at += 1000) if (value(at) >= level) return at - from;
  return Infinity;
}
