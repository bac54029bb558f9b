/** Entries of the book that submaximal, step, field and bag sheets ask for. */
import { recoverySeries } from '../recovery/tracker.ts';
import type { SessionState } from '../session/state.ts';
import { distanceOf } from '../sheet/stage-plan.ts';
import { settingQuantities } from '../vocabulary.ts';
import { gasEntries } from './gas-entries.ts';
import { loadAsSet, type Measured, type Put } from './book-entries.ts';
import { LEAST_STAGES } from './slopes.ts';
import type { StageResult } from './stages.ts';

/** Values of submaximal, step and field sheets. */
export function submaximalEntries(state: SessionState, results: Measured, put: Put): void {
  const last = results.stages.findLast((row) => row.stage.completed);
  const none = 'no stage was finished';
  const load = loadAsSet(last);
  put('last.load', 'Load of the last finished stage', load?.value, load?.unit ?? 'W', last ? 'the ergometer has no load' : none);
  for (const [name, label] of [['step-rate', 'Step cycles'], ['step-height', 'Step height']] as const) put(`last.${name}`, `${label} of the last finished stage`, last?.stage.actual[name]?.value, settingQuantities[name].unit, last ? 'no step is set here' : none);
  put('last.heart-rate', last?.steadyHeartRate === undefined ? 'Heart rate of the last finished stage' : 'Steady heart rate of the last finished stage', last?.steadyHeartRate ?? last?.heartRate, '/min', last ? 'heart rate was not taken' : none);
  put('last.vo2', 'Oxygen uptake of the last finished stage', last?.vo2, 'L/min', last ? 'oxygen uptake was not taken' : none);
  put('last.predicted-vo2-rel', 'Predicted oxygen uptake of the last finished stage', last?.predicted?.relative, 'mL/kg/min', last?.why ?? none);
  put('stop.heart-rate', 'Heart rate at the stop', heartRateAtStop(state), '/min', 'heart rate was not taken at the stop');
  countEntries(state, last, put);
  fieldEntries(state, results, put);
  gasEntries(results.gas, put);
  for (const id of ['ve-vco2', 'vo2-load'] as const) {
    const slope = results.slopes.find((one) => one.id === id);
    put(`slope.${id}`, slope?.label ?? `Slope, ${id}`, slope?.slope, id === 'vo2-load' ? 'mL/min/W' : '1', `fewer than ${LEAST_STAGES} finished stages with a load have the values for it`, slope && { working: slope.working });
  }
  if (!state.sheet.results.line) return;
  const { line } = results;
  const why = line?.reason ?? 'there is no line';
  for (const [which, word] of [['first', 'first'], ['second', 'second']] as const) {
    const point = line?.[which];
    const set = loadAsSet(results.stages.find((row) => row.stage.number === point?.stage));
    put(`line.${which}-stage`, `Number of the ${word} stage of the line`, point?.stage, '1', why);
    put(`line.${which}-heart-rate`, `Heart rate, ${word} stage of the line`, point?.heartRate, '/min', why);
    put(`line.${which}-vo2`, `Oxygen uptake, ${word} stage of the line`, point?.uptake, 'mL/kg/min', why);
    put(`line.${which}-load`, `Load, ${word} stage of the line`, set?.value, set?.unit ?? 'W', point ? 'the ergometer has no load' : why);
  }
  put('line.stages', 'Stages of the line', line?.first && line.second ? `stages-${line.first.stage}-${line.second.stage}` : undefined, '1', why);
  put('line.vo2max', 'Uptake at the predicted maximal heart rate', line?.vo2max, 'mL/kg/min', why, line?.working === undefined ? {} : { working: line.working, source: line.source });
}

/** A pulse taken so near the stop still is that of the stop. Choice of this program. */
const AT_STOP = 30_000;

function heartRateAtStop(state: SessionState): number | undefined {
  const stop = state.stop?.taken;
  if (stop === undefined) return undefined;
  const taken = [...state.slots.values()].filter(({ slot, current }) => slot.phase === 'exercise' && slot.quantity === 'heart-rate' && current?.value !== undefined);
  const own = taken.find(({ slot }) => slot.mark === 'stop');
  return (own ?? taken.findLast(({ current }) => Math.abs((current?.taken ?? 0) - stop) <= AT_STOP))?.current?.value;
}

/** The pulse count of a step test. It is the test's only when the stepping before it was done to its end. */
function countEntries(state: SessionState, last: StageResult | undefined, put: Put): void {
  const rule = state.sheet['pulse-count'];
  const count = last === undefined ? undefined : recoverySeries(state, 'pulse-count')[0]?.value;
  const why = last === undefined ? 'the exercise before the count was not finished' : 'the pulse was not counted';
  put('recovery.pulse-count', 'Pulse count after the stop', count, '1', why);
  put('recovery.count-time', 'For how long the pulse is counted', rule?.seconds, 's', 'the lab sheet has no pulse count');
  put('recovery.counted-heart-rate', 'Heart rate from the count', count === undefined || rule === undefined ? undefined : (count * 60) / rule.seconds, '/min', why, count === undefined || rule === undefined ? {} : { working: `${count} × 60 / ${rule.seconds}`, source: rule.source });
}

/** Time, distance and speed. In a test over a distance the time counts only when the distance was covered. */
function fieldEntries(state: SessionState, results: Measured, put: Put): void {
  const metres = distanceOf(state.sheet);
  const short = metres !== undefined && !isCovered(state);
  const reason = results.symptomLimited ? 'the test was stopped for a symptom' : results.exerciseMinutes === undefined ? 'the test was not stopped' : short ? 'the distance was not covered' : undefined;
  const minutes = reason === undefined ? results.exerciseMinutes : undefined;
  put('exercise.time', 'Time from the start of exercise to the stop', minutes === undefined ? undefined : minutes * 60, 's', reason ?? '');
  put('exercise.distance', 'Distance', metres, 'm', 'this test has no distance');
  put('exercise.speed', 'Mean speed', minutes === undefined || metres === undefined ? undefined : metres / minutes, 'm/min', metres === undefined ? 'this test has no distance' : (reason ?? ''));
}

/** The stop was given the sheet's reason for a distance that was covered (with a remark in brackets or not). */
function isCovered(state: SessionState): boolean {
  const said = state.stop?.reason ?? '';
  return state.sheet.stop.reasons.some((reason) => reason.finished === true && (said === reason.text || said.startsWith(`${reason.text} (`)));
}

/** Every step of every bag; where no bag was collected, that is the reason. */
export function bagEntries(state: SessionState, results: Measured, put: Put): void {
  if (!state.sheet.bag) return;
  const places = [{ path: 'rest.bag', bag: results.bags.find((bag) => bag.stage === undefined) }, ...results.stages.map((row) => ({ path: `stage.${row.stage.number}.bag`, bag: results.bags.find((bag) => bag.stage === row.stage.number) }))];
  for (const { path, bag } of places) {
    for (const id of bagSteps) {
      const step = bag?.steps.find((one) => one.id === id);
      put(`${path}.${id}`, step?.label ?? id, step?.value, step?.unit ?? '1', bag === undefined ? 'no bag was collected' : (bag.reason ?? bag.warnings.at(-1) ?? 'it could not be worked out'), step && { working: step.working, source: step.source });
    }
    for (const [name, unit] of [['volume', 'L'], ['time', 's'], ['temperature', 'Cel'], ['feo2', '%'], ['feco2', '%']] as const) {
      const input = bag?.inputs.find(([of]) => of === name);
      put(`${path}.${name}`, name, input?.[1], unit, bag === undefined ? 'no bag was collected' : `${name} was not taken`);
    }
  }
}

const bagSteps = ['ve-atps', 'vapour-pressure', 'factor', 've-stpd', 've-btps', 'vi', 'vo2', 'vco2', 'rer', 'energy'] as const;
