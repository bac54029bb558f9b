/** Moments of an invented submaximal cycle test (participant R-12, a man of 24) whose first stage is held, branches and meets its cap. */
import sheetText from '../../../lab-sheets/cycle-submaximal-branching.yaml?raw';
import type { SessionDraft } from '../../../core/session/events.ts';
import { resolveSlot } from '../../../core/session/place.ts';
import type { ReadingQuantity } from '../../../core/vocabulary.ts';
import { StationDouble } from './station-double.ts';

const RECORDER = 'TN';
export const CYCLE_START = 360_000;
const minute = 60_000;

export function cycleRested(): StationDouble {
  const station = new StationDouble();
  station.open({ id: 'cycle-submaximal-branching', version: 1, text: sheetText }, 'live', RECORDER);
  const details = { 'participant-code': 'R-12', sex: 'male', age: '24', height: '180', mass: '78', temperature: '21', pressure: '755', humidity: '44', recorder: RECORDER, tester: 'MO' };
  station.at(1_000, RECORDER, ...Object.entries(details).map(([detail, typed]): SessionDraft => ({ kind: 'detail-given', data: { detail, typed } })), { kind: 'screening-done', data: { outcome: 'go', by: 'JD' } }, { kind: 'consent-noted', data: { given: true } });
  for (const check of station.state().sheet.checks) station.at(2_000, RECORDER, { kind: 'check-done', data: { check: check.id, done: true, ...(check.value ? { typed: String((check.value.min + check.value.max) / 2), unit: check.value.unit } : {}) } });
  station.at(minute, RECORDER, { kind: 'rest-started', data: {} });
  for (const [quantity, typed] of [['heart-rate', '66'], ['systolic', '122'], ['diastolic', '78'], ['rpe', '6']] as const) take(station, 3 * minute, quantity, typed);
  return station;
}

function take(station: StationDouble, at: number, quantity: ReadingQuantity, typed: string): void {
  const unit = quantity === 'heart-rate' ? '/min' : quantity === 'rpe' ? '{score}' : 'mm[Hg]';
  station.at(at, RECORDER, { kind: 'reading-taken', data: { slot: resolveSlot(station.state(), quantity, at), typed, unit, confirmed: true } });
}

/** The first stage's minutes, one heart rate each. */
export function cycled(heartRates: readonly number[]): StationDouble {
  const station = cycleRested();
  station.at(CYCLE_START, RECORDER, { kind: 'exercise-started', data: {} });
  for (const [index, heartRate] of heartRates.entries()) {
    if (index === 2) {
      take(station, CYCLE_START + 150_000, 'systolic', '136');
      take(station, CYCLE_START + 150_000, 'diastolic', '78');
      take(station, CYCLE_START + 160_000, 'rpe', '11');
    }
    take(station, CYCLE_START + (index + 1) * minute, 'heart-rate', String(heartRate));
  }
  return station;
}

/** The second stage runs, chosen by the first. */
export function branched(): StationDouble {
  const station = cycled([88, 95, 97]);
  station.at(CYCLE_START + 182_000, RECORDER, { kind: 'stage-changed', data: { stage: 2 } });
  return station;
}
