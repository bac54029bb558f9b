/**
 * What the numbers ask people to do: repeat a reading, or call the instructor. Calls, never decisions; the stop is anyone's.
 * Limits after the general stop list for low-risk adults (ACSM's Guidelines 8th–11th ed., from memory, and McArdle, Katch & Katch
 * 8th ed. table 32.13): systolic down by 10 or more as work rises or below the resting value in the same
 * posture, above 250 systolic or 115 diastolic, heart rate not rising. That a low pressure is first taken again, and at once, is
 * common practice, from memory of ACSM's Guidelines. The sheet's own cap comes from the sheet; a laboratory may set limits of its own in its station profile.
 */
import { formatClock } from '../clock-text.ts';
import { equationValue } from '../formulas/for-age.ts';
import { restingValue } from '../recovery/tracker.ts';
import type { ReadingQuantity } from '../vocabulary.ts';
import { stageLength } from './schedule.ts';
import type { Reading, SessionState, Settings } from './state.ts';
import { heartRateCap } from './steady.ts';

export interface Alert {
  readonly id: 'pressure-falling' | 'pressure-high' | 'heart-rate-cap' | 'heart-rate-not-rising';
  readonly ask: 'repeat' | 'instructor';
  /** "Systolic 142 after 158 as work rises: take it again now." */
  readonly text: string;
  /** Session time of the reading that raised it. */
  readonly at: number;
  /** Sequence number of that reading, so that a window can tell a new alert from one that was seen. */
  readonly seq: number;
}

/** The laboratory's own limits, from its station profile; they take the place of the published ones. */
export interface LabLimits {
  readonly systolic?: number | undefined;
  readonly diastolic?: number | undefined;
  /** From this heart rate on, /min; the lower of this and the sheet's cap holds. */
  readonly 'heart-rate'?: number | undefined;
}

/** mmHg; source at the head of this file, as of the two limits below. */
export const PRESSURE_FALL = 10;
export const SYSTOLIC_LIMIT = 250;
export const DIASTOLIC_LIMIT = 115;
/** "Not rising" is not called when the heart rate is already this near its predicted maximum; rule of this program. */
export const NEAR_MAXIMUM = 0.95;

interface Taken {
  readonly value: number;
  readonly reading: Reading;
  readonly stage: number;
}

/** Standing exercise readings of one quantity, in the order of time. */
function exerciseReadings(state: SessionState, quantity: ReadingQuantity): readonly Taken[] {
  const list: Taken[] = [];
  for (const slot of state.slots.values()) {
    if (slot.slot.phase !== 'exercise' || slot.slot.quantity !== quantity || slot.current?.value === undefined) continue;
    list.push({ value: slot.current.value, reading: slot.current, stage: slot.slot.stage ?? 1 });
  }
  return list.sort((a, b) => a.reading.taken - b.reading.taken || a.reading.seq - b.reading.seq);
}

/** Every alert that the record holds, newest last. @param limits this laboratory's own. */
export function alertsOf(state: SessionState, limits: LabLimits = {}): readonly Alert[] {
  if (state.starts.exercise === undefined) return [];
  const alerts = [...fallingPressure(state), ...highPressure(state, limits), ...heartRateAlerts(state, limits)];
  return alerts.sort((a, b) => a.at - b.at || a.seq - b.seq);
}

/**
 * The alerts that nobody has answered yet, newest last. An instructor who was told is written down as a note that names the
 * reading; a low pressure that has been taken again is answered by the repeat.
 */
export function standingAlerts(state: SessionState, limits: LabLimits = {}): readonly Alert[] {
  const answered = new Set(state.notes.filter((note) => note.struck !== true).map((note) => note.answers));
  const alerts = alertsOf(state, limits);
  const newestFall = alerts.findLast((alert) => alert.id === 'pressure-falling');
  return alerts.filter((alert) => !answered.has(alert.seq) && (alert.ask === 'instructor' || alert === newestFall));
}

/** A repeat of the pressure has been asked for and not been taken yet: the next cuff reading is that repeat, not an amendment. */
export function repeatPending(state: SessionState): boolean {
  const last = alertsOf(state).findLast((alert) => alert.id === 'pressure-falling');
  return last?.ask === 'repeat';
}

/** As people read it: 117, and 117.5 where it was measured in kPa. */
const shown = (value: number): string => String(Math.round(value * 10) / 10);

function fallingPressure(state: SessionState): Alert[] {
  const rest = restingValue(state, 'systolic');
  const alerts: Alert[] = [];
  const sound: Taken[] = [];
  let asked: Taken | undefined;
  for (const one of exerciseReadings(state, 'systolic')) {
    // The stop list counts this by itself, whether or not the work is rising (ACSM's Guidelines, from memory): unloaded pedalling too.
    const below = rest !== undefined && one.value < rest;
    const highest = highestAtLessWork(state, sound, one);
    const fell = highest !== undefined && highest.value - one.value >= PRESSURE_FALL;
    if (fell || below) {
      const why = fell ? `after ${shown(highest.value)}` : `below the resting ${shown(rest ?? 0)}`;
      const repeat = asked === undefined;
      alerts.push({ id: 'pressure-falling', ask: repeat ? 'repeat' : 'instructor', text: repeat ? `Systolic ${shown(one.value)} ${why}${fell ? ' as work rises' : ''}: take it again now.` : `Systolic ${shown(one.value)} again ${why}: call the instructor.`, at: one.reading.taken, seq: one.reading.seq });
      asked = one;
    } else {
      // A repeat that is back where it should be settles the question.
      if (asked) alerts.splice(0, alerts.length, ...alerts.filter((alert) => alert.ask === 'instructor'));
      asked = undefined;
      sound.push(one);
    }
  }
  return alerts;
}

/** The highest earlier pressure at less work: only against that one is a lower value a fall "with rising work". */
function highestAtLessWork(state: SessionState, earlier: readonly Taken[], now: Taken): Taken | undefined {
  const settings = (stage: number): Settings | undefined => state.stages.find((known) => known.number === stage)?.actual;
  const present = settings(now.stage);
  return earlier.reduce<Taken | undefined>((highest, one) => {
    const before = settings(one.stage);
    const rose = present && before && Object.keys(present).length > 0 ? isHarder(present, before) : now.stage > one.stage;
    return rose && one.value > (highest?.value ?? -Infinity) ? one : highest;
  }, undefined);
}

function highPressure(state: SessionState, limits: LabLimits): Alert[] {
  const over = (quantity: 'systolic' | 'diastolic', published: number): Alert[] => {
    const own = limits[quantity];
    const limit = own ?? published;
    return exerciseReadings(state, quantity)
      .filter((one) => one.value > limit)
      .map((one) => ({ id: 'pressure-high' as const, ask: 'instructor' as const, text: `${quantity === 'systolic' ? 'Systolic' : 'Diastolic'} ${shown(one.value)}, above ${own === undefined ? limit : `this laboratory's ${limit}`}: call the instructor.`, at: one.reading.taken, seq: one.reading.seq }));
  };
  return [...over('systolic', SYSTOLIC_LIMIT), ...over('diastolic', DIASTOLIC_LIMIT)];
}

/** Whether a setting asks for more work than another: something is higher and nothing that sets the work is lower. */
function isHarder(now: Settings, before: Settings): boolean {
  const changes = (['speed', 'grade', 'load', 'step-rate', 'step-height'] as const).map((name) => (now[name]?.value ?? 0) - (before[name]?.value ?? 0));
  return changes.some((change) => change > 0) && changes.every((change) => change >= 0);
}

/**
 * Which stages a heart rate is compared over. Rule of this program, without a published source: the stop list says that heart
 * rate does not rise with rising intensity and names no span, and over the one-minute stages of a ramp one beat of noise is as large as the rise. So the stage
 * compared with lies at least two minutes back, the interval at which the pressure of a ramp is read (common practice, from memory).
 */
const COMPARED_OVER = 120_000;
/** Rule of this program: in a stage's first minutes the heart rate is still on its way; only its last minute is compared. */
const LAST_MINUTE = 60_000;

function heartRateAlerts(state: SessionState, limits: LabLimits): Alert[] {
  const taken = exerciseReadings(state, 'heart-rate');
  return [...capReached(state, taken, limits), ...notRising(state, taken)];
}

function capReached(state: SessionState, taken: readonly Taken[], limits: LabLimits): Alert[] {
  const sheets = heartRateCap(state.sheet, state.age, restingValue(state, 'heart-rate'));
  const own = limits['heart-rate'];
  const cap = Math.min(sheets ?? Infinity, own ?? Infinity);
  const first = taken.find((one) => one.value >= cap);
  if (!first) return [];
  // A cap of 162.52 is reached by 163: shown upwards, so that the words never contradict the comparison.
  const whose = sheets !== undefined && sheets <= (own ?? Infinity) ? `the sheet's cap of ${Math.ceil(cap)}: end-point; call the instructor.` : `this laboratory's limit of ${cap}: call the instructor.`;
  return [{ id: 'heart-rate-cap', ask: 'instructor', text: `Heart rate ${first.value} has reached ${whose}`, at: first.reading.taken, seq: first.reading.seq }];
}

function notRising(state: SessionState, taken: readonly Taken[]): Alert[] {
  const alerts: Alert[] = [];
  const maximum = state.age === undefined ? undefined : equationValue(state.sheet.results['hr-max'][0] ?? '', state.age);
  const lastOf = new Map<number, Taken>();
  for (const one of taken) lastOf.set(one.stage, one);
  const back = Math.max(1, Math.ceil(COMPARED_OVER / stageLength(state.sheet)));
  for (const [index, stage] of state.stages.entries()) {
    const earlier = state.stages[index - back];
    const [now, before] = [lastOf.get(stage.number), earlier && lastOf.get(earlier.number)];
    // Only where the work rose (not while pedalling unloaded).
    if (!now || !before || !earlier || !isHarder(stage.actual, earlier.actual) || now.reading.taken < stage.ends - LAST_MINUTE || now.value > before.value) continue;
    if (maximum !== undefined && now.value > NEAR_MAXIMUM * maximum) continue;
    const at = formatClock(now.reading.taken - (state.starts.exercise ?? 0));
    alerts.push({ id: 'heart-rate-not-rising', ask: 'instructor', text: `Heart rate ${now.value} at ${at}, ${before.value} ${back === 1 ? 'a stage' : `${back} stages`} before: not rising with work; call the instructor.`, at: now.reading.taken, seq: now.reading.seq });
  }
  return alerts;
}
