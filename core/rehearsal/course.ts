/**
 * What the body was asked to do, moment by moment: the work of every stage as it was really set, and the postures of
 * recovery. Physiology is worked out from this alone, so it follows a late change, another setting or a hand on the rail.
 */
import { armVo2Acsm, legVo2Acsm } from '../formulas/cost-cycle.ts';
import { stepVo2Acsm, treadmillFoster1996 } from '../formulas/cost-step.ts';
import { runVo2Acsm, walkVo2Acsm } from '../formulas/cost-treadmill.ts';
import { convert } from '../units/units.ts';
import { parseClock } from '../clock-text.ts';
import type { SessionState, Settings, StageState } from '../session/state.ts';
import type { LabSheet, StageSettings } from '../sheet/schema.ts';
import { plannedSettings } from '../session/stages.ts';
import type { Posture } from '../vocabulary.ts';
import { constants } from './constants.ts';
import type { Participant } from './participant.ts';

/** From `at` on, until the next segment. */
export interface Segment {
  /** Session time, ms. */
  readonly at: number;
  readonly phase: 'rest' | 'exercise' | 'recovery';
  /** Oxygen uptake that the work asks for at steady state, mL/kg/min; may lie above the maximum. */
  readonly demand: number;
  /** Rise of the demand, mL/kg/min each second: a ramp. 0 in stages. */
  readonly rise: number;
  readonly posture: Posture;
}

/** Segments in the order of time; the first begins before everything. */
export interface Course {
  readonly segments: readonly Segment[];
  readonly exercise?: number;
  readonly stop?: number;
}

const REST = constants.restingVo2.value;
/** Usual work of a cool-down where the sheet does not say: 1.7 mph level on the belt, 25 W on the cycle [C] (course hand-outs: 1.5 to 2.5 mph, at most 25 to 50 W). */
const COOL_DOWN: StageSettings = { speed: '1.7 mph', grade: '0 %', load: '25 W' };
/** Share of maximum asked for where a sheet sets nothing that an equation knows (a field test at own pace) [O]. */
const OWN_PACE = 0.75;

/**
 * Steady oxygen cost of a setting for a participant, mL/kg/min, gross: the registry's ACSM equations, with the part above rest times
 * the participant's own economy.
 * @param settings in the vocabulary's units: km/h, %, W, step cycles a minute, cm.
 */
export function demandOf(mode: LabSheet['mode'], settings: Settings, participant: Participant): number {
  const { speed, grade, load, 'step-rate': rate, 'step-height': height } = settings;
  const gross = ((): number => {
    if ((mode === 'treadmill' || mode === 'field') && speed) {
      const metresPerMinute = convert(speed.value, 'km/h', 'm/min');
      const equation = metresPerMinute >= participant.runsFrom ? runVo2Acsm : walkVo2Acsm;
      return equation.compute({ speed: metresPerMinute, grade: Math.max(0, grade?.value ?? 0) / 100 });
    }
    if (mode === 'cycle' && load) return legVo2Acsm.compute({ load: load.value, mass: participant.mass });
    if (mode === 'arm-crank' && load) return armVo2Acsm.compute({ load: load.value, mass: participant.mass });
    if (mode === 'step' && rate && height) return stepVo2Acsm.compute({ cycles: rate.value, height: height.value / 100 });
    return REST + OWN_PACE * (participant.vo2max - REST);
  })();
  return REST + (gross - REST) * participant.economy;
}

/**
 * With a hand on the rail less work is done: the ratio of the two lines of Foster 1996 (measured on predicted uptake with and
 * without the rail), never above 1.
 */
export function withHandrail(demand: number): number {
  const free = treadmillFoster1996.compute({ acsm: demand, handrail: 'free' });
  const held = treadmillFoster1996.compute({ acsm: demand, handrail: 'held' });
  return demand * Math.min(1, free > 0 ? held / free : 1);
}

/** Whether this participant runs at a setting; undefined where there is no belt speed. */
export function gaitOf(settings: Settings, participant: Participant): 'walk' | 'run' | undefined {
  if (!settings.speed) return undefined;
  return convert(settings.speed.value, 'km/h', 'm/min') >= participant.runsFrom ? 'run' : 'walk';
}

/** The course of a session as its record has it. */
export function courseOf(state: SessionState, participant: Participant): Course {
  const { mode } = state.sheet;
  const segments: Segment[] = [{ at: -Infinity, phase: 'rest', demand: REST, rise: 0, posture: state.sheet.rest.posture ?? 'standing' }];
  const { exercise } = state.starts;
  const stop = state.stop?.taken;
  const working: Posture = mode === 'cycle' || mode === 'arm-crank' ? 'cycling' : 'walking';
  if (exercise === undefined) return { segments };
  for (const stage of state.stages) {
    const demand = demandOf(mode, stage.actual, participant);
    segments.push(...railed(stage, demand, state).map(({ at, asks }): Segment => ({ at, phase: 'exercise', demand: asks, rise: 0, posture: working })));
  }
  if (stop === undefined) return { segments, exercise };
  return { segments: [...segments.filter((segment) => segment.at < stop), ...recoverySegments(state, participant, stop)], exercise, stop };
}

/** A stage cut at the moments when a hand went to the rail or left it. */
function railed(stage: StageState, demand: number, state: SessionState): { readonly at: number; readonly asks: number }[] {
  const until = stage.ended ?? Infinity;
  const before = state.handrail.findLast((seen) => seen.taken <= stage.changed)?.held ?? false;
  const asks = (held: boolean): number => (held ? withHandrail(demand) : demand);
  return [
    { at: stage.changed, asks: asks(before) },
    ...state.handrail.filter((seen) => seen.taken > stage.changed && seen.taken < until).map((seen) => ({ at: seen.taken, asks: asks(seen.held) })),
  ];
}

/** Recovery by the postures that were recorded; before the first, by the sheet's plan, or standing after a stop for a symptom. */
function recoverySegments(state: SessionState, participant: Participant, stop: number): Segment[] {
  const { plan } = state.sheet.recovery;
  const worked = (posture: Posture): number => {
    if (posture !== 'walking' && posture !== 'cycling') return REST;
    const own = plan.find((part) => part.posture === posture && part.settings)?.settings ?? COOL_DOWN;
    return demandOf(posture === 'cycling' ? 'cycle' : 'treadmill', plannedSettings(own, participant.sex), participant);
  };
  const segment = (at: number, posture: Posture): Segment => ({ at, phase: 'recovery', demand: worked(posture), rise: 0, posture });
  const recorded = state.postures.filter((seen) => seen.taken >= stop);
  const segments: Segment[] = [];
  let begins = stop;
  for (const part of state.stop?.symptom ? [] : plan) {
    if (recorded[0] && begins >= recorded[0].taken) break;
    segments.push(segment(begins, part.posture));
    begins = stop + (parseClock(part.until) ?? 0);
  }
  if (segments.length === 0 && (recorded[0]?.taken ?? Infinity) > stop) segments.push(segment(stop, 'standing'));
  return [...segments, ...recorded.map((seen) => segment(seen.taken, seen.posture))];
}
