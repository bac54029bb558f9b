/**
 * What the numbers ask people to do: repeat a reading, or call the instructor. Calls, never decisions; the stop is anyone's.
 * Limits after the general stop list for low-risk adults (ACSM's Guidelines 8th–11th ed., from memory, and McArdle, Katch & Katch
 * 8th ed. table 32.13; practice reference 4.3): systolic down by 10 or more as work rises or below the resting value in the same
 * posture, above 250 systolic or 115 diastolic, heart rate not rising. The sheet's own cap comes from the sheet.
 */
import { formatClock } from '../clock-text.ts';
import { equationValue } from '../formulas/for-age.ts';
import { restingValue } from '../recovery/tracker.ts';
import type { ReadingQuantity } from '../vocabulary.ts';
import { stageLength } from './schedule.ts';
import type { Reading, SessionState, Settings } from './state.ts';
import { heartRateCap } from './steady.ts';

export interface Alert {
  readonly id: 'pressure-falling' | 'pressure-high' | 'heart-rate-cap' | 'heart-rate-not-rising' | 'resting-pressure';
  readonly ask: 'repeat' | 'instructor';
  /** "Systolic 142 after 158 in stage 3: take it again now." */
  readonly text: string;
  /** Session time of the reading that raised it. */
  readonly at: number;
  /** Sequence number of that reading, so that a window can tell a new alert from one that was seen. */
  readonly seq: number;
}

export const PRESSURE_FALL = 10;
export const SYSTOLIC_LIMIT = 250;
export const DIASTOLIC_LIMIT = 115;
/** "Not rising" is not called when the heart rate is already this near its predicted maximum (issue). */
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
  return list.sort((a, b) => a.reading.taken - b.reading.taken);
}

/** Every alert that stands, newest last. */
export function alertsOf(state: SessionState): readonly Alert[] {
  if (state.starts.exercise === undefined) return [];
  const alerts = [...fallingPressure(state), ...highPressure(state), ...heartRateAlerts(state)];
  return alerts.sort((a, b) => a.at - b.at);
}

/** A repeat of the pressure has been asked for and not been taken yet: the next cuff reading is that repeat, not an amendment. */
export function repeatPending(state: SessionState): boolean {
  const last = alertsOf(state).findLast((alert) => alert.id === 'pressure-falling');
  return last?.ask === 'repeat';
}

function fallingPressure(state: SessionState): Alert[] {
  const taken = exerciseReadings(state, 'systolic');
  const rest = restingValue(state, 'systolic');
  const alerts: Alert[] = [];
  let highest: Taken | undefined;
  let asked: Taken | undefined;
  for (const one of taken) {
    // The stop list counts this by itself, whether or not the work is rising (practice reference 4.3, item 2): unloaded pedalling too.
    const below = rest !== undefined && one.value < rest;
    const fell = highest !== undefined && one.stage >= highest.stage && highest.value - one.value >= PRESSURE_FALL;
    if (fell || below) {
      const why = fell ? `after ${highest?.value}` : `below the resting ${rest}`;
      const repeat = asked === undefined;
      alerts.push({ id: 'pressure-falling', ask: repeat ? 'repeat' : 'instructor', text: repeat ? `Systolic ${one.value} ${why}${fell ? ' as work rises' : ''}: take it again now.` : `Systolic ${one.value} again ${why}: call the instructor.`, at: one.reading.taken, seq: one.reading.seq });
      asked = one;
    } else {
      // A repeat that is back where it should be settles the question.
      if (asked) alerts.splice(0, alerts.length, ...alerts.filter((alert) => alert.ask === 'instructor'));
      asked = undefined;
      if (highest === undefined || one.value >= highest.value) highest = one;
    }
  }
  return alerts;
}

function highPressure(state: SessionState): Alert[] {
  const over = (quantity: 'systolic' | 'diastolic', limit: number): Alert[] =>
    exerciseReadings(state, quantity)
      .filter((one) => one.value > limit)
      .map((one) => ({ id: 'pressure-high' as const, ask: 'instructor' as const, text: `${quantity === 'systolic' ? 'Systolic' : 'Diastolic'} ${one.value}, above ${limit}: call the instructor.`, at: one.reading.taken, seq: one.reading.seq }));
  return [...over('systolic', SYSTOLIC_LIMIT), ...over('diastolic', DIASTOLIC_LIMIT)];
}

/** Whether a setting asks for more work than another: something is higher and nothing that sets the work is lower. */
function isHarder(now: Settings, before: Settings): boolean {
  const changes = (['speed', 'grade', 'load', 'step-rate', 'step-height'] as const).map((name) => (now[name]?.value ?? 0) - (before[name]?.value ?? 0));
  return changes.some((change) => change > 0) && changes.every((change) => change >= 0);
}

function heartRateAlerts(state: SessionState): Alert[] {
  const alerts: Alert[] = [];
  const taken = exerciseReadings(state, 'heart-rate');
  const cap = heartRateCap(state.sheet, state.age, restingValue(state, 'heart-rate'));
  const first = cap === undefined ? undefined : taken.find((one) => one.value >= cap);
  if (first && cap !== undefined) alerts.push({ id: 'heart-rate-cap', ask: 'instructor', text: `Heart rate ${first.value} has reached the sheet's cap of ${Math.round(cap)}: end-point; call the instructor.`, at: first.reading.taken, seq: first.reading.seq });
  const maximum = state.age === undefined ? undefined : equationValue(state.sheet.results['hr-max'][0] ?? '', state.age);
  const lastOf = new Map<number, Taken>();
  for (const one of taken) lastOf.set(one.stage, one);
  // Over the stages of a minute, as in a ramp, one beat of noise is as large as the rise: two minutes are compared.
  const back = Math.max(1, Math.ceil(120_000 / stageLength(state.sheet)));
  for (const [index, stage] of state.stages.entries()) {
    const earlier = state.stages[index - back];
    const [now, before] = [lastOf.get(stage.number), earlier && lastOf.get(earlier.number)];
    // Only where the work rose (not while pedalling unloaded), and on a whole stage: in its first minute the heart rate is still on its way.
    if (!now || !before || !earlier || !isHarder(stage.actual, earlier.actual) || now.reading.taken < stage.ends - 60_000 || now.value > before.value) continue;
    if (maximum !== undefined && now.value >= NEAR_MAXIMUM * maximum) continue;
    const at = formatClock(now.reading.taken - (state.starts.exercise ?? 0));
    alerts.push({ id: 'heart-rate-not-rising', ask: 'instructor', text: `Heart rate ${now.value} at ${at}, ${before.value} ${back === 1 ? 'a stage' : `${back} stages`} before: not rising with work; call the instructor.`, at: now.reading.taken, seq: now.reading.seq });
  }
  return alerts;
}
