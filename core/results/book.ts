/** The results as a book of named values, for the questions. Names are those of `core/sheet/references.ts`. */
import type { BookEntry } from '../worksheet/book.ts';
import type { SessionState } from '../session/state.ts';
import { recoverySeries, restingValue } from '../recovery/tracker.ts';
import type { UnitCode } from '../units/units.ts';
import { settingsText } from '../session/rows.ts';
import { settingQuantities, type ReadingQuantity } from '../vocabulary.ts';
import { loadAsSet, putInto, type Measured, type Put } from './book-entries.ts';
import { bagEntries, submaximalEntries } from './book-tests.ts';
import type { StageResult } from './stages.ts';

/** Ids of the effort criteria on the worksheet, in the words of the trade. */
export const effortRowId = { plateau: 'plateau', rer: 'rer', 'heart-rate-within': 'heart-rate', 'heart-rate-percent': 'heart-rate', rpe: 'rpe', lactate: 'lactate' } as const;

const outcomeWord = { met: 'met', 'not met': 'not-met', 'could not be judged': 'cannot-be-judged' } as const;

/** Categories as ids: "Very poor" → `very-poor`. */
export function categoryId(name: string): string {
  return name.toLowerCase().replace(/[^a-z]+/g, '-');
}

/** Every value that a question may refer to, by its name: the value with its unit, or why there is none. */
export function bookOf(state: SessionState, results: Measured): Map<string, BookEntry> {
  const book = new Map<string, BookEntry>();
  const put = putInto(book);
  put('participant.age', 'Age', state.age, 'a', 'the age was not given');
  put('participant.sex', 'Sex used in the equations', state.sex, '1', 'the sex used in the equations was not given');
  put('participant.mass', 'Body mass', state.mass, 'kg', 'the body mass was not given');
  put('participant.height', 'Height', state.height, 'cm', 'the height was not given');
  for (const detail of ['temperature', 'pressure', 'humidity'] as const) {
    put(`room.${detail}`, { temperature: 'Room temperature', pressure: 'Barometric pressure', humidity: 'Relative humidity' }[detail], state.details[detail]?.value, ({ temperature: 'Cel', pressure: 'mm[Hg]', humidity: '%' } as const)[detail], `the room's ${detail} was not written down`);
  }
  const rest = (path: string, label: string, quantity: ReadingQuantity, unit: UnitCode): void => put(path, label, restingValue(state, quantity), unit, `the resting ${label.toLowerCase().replace('resting ', '')} was not taken`);
  rest('rest.heart-rate', 'Resting heart rate', 'heart-rate', '/min');
  rest('rest.systolic', 'Resting systolic pressure', 'systolic', 'mm[Hg]');
  rest('rest.diastolic', 'Resting diastolic pressure', 'diastolic', 'mm[Hg]');
  rest('rest.vo2', 'Resting oxygen uptake', 'vo2', 'L/min');
  const restVo2 = restingValue(state, 'vo2');
  put('rest.vo2-rel', 'Resting oxygen uptake per kilogram', restVo2 === undefined || state.mass === undefined ? undefined : (restVo2 * 1000) / state.mass, 'mL/kg/min', 'resting oxygen uptake or the body mass is not known');

  const { peak } = results;
  const needsMaximum = results.symptomLimited ? 'the test was stopped for a symptom' : undefined;
  put('peak.vo2', `Highest oxygen uptake`, peak.vo2?.value, 'L/min', 'oxygen uptake was not taken');
  put('peak.vo2-rel', 'Highest oxygen uptake per kilogram', peak.vo2Relative, 'mL/kg/min', peak.vo2 === undefined ? 'oxygen uptake was not taken' : 'the body mass was not given');
  put('peak.mets', 'Highest oxygen uptake in METs', peak.mets, '[MET]', peak.vo2 === undefined ? 'oxygen uptake was not taken' : 'the body mass was not given');
  put('peak.heart-rate', 'Highest heart rate in exercise', peak.heartRate?.value, '/min', 'no heart rate was taken in exercise');
  put('peak.rer', 'Highest respiratory exchange ratio', peak.rer?.value, '1', 'neither RER nor VCO₂ was taken');
  put('peak.rpe', 'Highest RPE', peak.rpe?.value, '{score}', 'RPE was not taken');
  put('peak.ve', 'Highest ventilation', peak.ve?.value, 'L/min', 'ventilation was not taken');
  put('peak.systolic', 'Highest systolic pressure in exercise', peak.systolic?.value, 'mm[Hg]', 'blood pressure was not taken in exercise');
  put('peak.diastolic', 'Diastolic pressure taken with it', peak.diastolic, 'mm[Hg]', 'blood pressure was not taken in exercise');

  const recovery = recoverySeries(state, 'heart-rate');
  for (const minute of [1, 2] as const) {
    put(`recovery.heart-rate-${minute}`, `Heart rate ${minute} min after the stop`, recovery.find((point) => point.at === minute * 60_000)?.value, '/min', `heart rate at ${minute} min of recovery was not taken`);
    const known = results.recovery.find((one) => one.minute === minute);
    put(`recovery.hrr-${minute}`, `Heart-rate recovery at ${minute} min`, known?.value, '/min', known?.reason ?? 'there was no recovery');
  }
  put('recovery.systolic-3', 'Systolic pressure 3 min after the stop', recoverySeries(state, 'systolic').find((point) => point.at === 180_000)?.value, 'mm[Hg]', 'systolic pressure at 3 min of recovery was not taken');

  for (const row of results.stages) {
    const name = `Stage ${row.stage.number}`;
    const stage: Put = (path, label, value, unit, reason, extra) => put(`stage.${row.stage.number}.${path}`, `${name}, ${label}`, value, unit, reason, extra);
    stage('completed', 'completed', row.stage.completed ? 'yes' : undefined, '1', 'the stage was not finished');
    stage('speed', 'speed', row.speed, 'm/min', 'the ergometer has no speed');
    stage('grade', 'grade', row.grade, '%', 'the ergometer has no grade');
    setting(row, stage);
    stage('setting', 'as set', settingsText(row.stage.actual), '1', 'no setting is known');
    stage('gait', 'gait', row.predicted?.gait, '1', 'no gait is known');
    stage('gait-recorded', 'gait as recorded', row.stage.gait, '1', 'the gait was not recorded');
    stage('vo2', 'oxygen uptake', row.vo2, 'L/min', 'oxygen uptake was not taken');
    stage('vo2-rel', 'oxygen uptake per kilogram', row.vo2Relative, 'mL/kg/min', 'oxygen uptake or the body mass is not known');
    stage('vco2', 'carbon dioxide output', row.vco2, 'L/min', 'carbon dioxide output was not taken');
    stage('ve', 'ventilation', row.ve, 'L/min', 'ventilation was not taken');
    stage('heart-rate', 'heart rate', row.heartRate, '/min', 'heart rate was not taken');
    stage('steady-heart-rate', 'mean heart rate of the last two minutes', row.steadyHeartRate ?? row.lastTwoMinutes, '/min', 'the heart rates of the last two minutes were not both taken');
    stage('systolic', 'systolic pressure', row.systolic, 'mm[Hg]', 'blood pressure was not taken');
    stage('diastolic', 'diastolic pressure', row.diastolic, 'mm[Hg]', 'blood pressure was not taken');
    stage('rpe', 'RPE', row.rpe, '{score}', 'RPE was not taken');
    stage('rer', 'RER', row.rer, '1', 'neither RER nor VCO₂ was taken');
    const shown = row.predicted && { working: row.predicted.working, source: row.predicted.source };
    stage('predicted-vo2-rel', 'predicted oxygen uptake per kilogram', row.predicted?.relative, 'mL/kg/min', row.why ?? 'there is no equation for it', shown);
    stage('predicted-vo2', 'predicted oxygen uptake', row.predicted?.absolute, 'L/min', row.why ?? 'there is no equation for it', shown);
    if (row.other) stage('other-predicted-vo2-rel', `predicted by the ${row.other.gait === 'walk' ? 'walking' : 'running'} equation`, row.other.relative, 'mL/kg/min', '', { working: row.other.working, source: row.other.source });
  }
  for (const one of [...results.hrMax, ...results.uptake]) {
    const path = results.hrMax.includes(one) ? `hr-max.${one.formula}` : `predicted.${one.formula}`;
    if (one.known) {
      put(path, one.title, one.value, one.unit, '', { working: one.working, source: one.source });
      put(`percent.${one.formula}`, `Measured as per cent of ${one.title}`, one.percent, '%', 'there is no measured value');
    } else put(path, one.title, undefined, '1', one.reason);
  }
  for (const criterion of results.effort?.criteria ?? []) {
    put(`effort.${effortRowId[criterion.criterion.kind]}`, criterion.label, outcomeWord[criterion.outcome], '1', criterion.reason ?? '', { working: criterion.value === undefined ? (criterion.reason ?? '') : `${criterion.value}; the cut is ${criterion.cut}` });
  }
  put('effort.conclusion', 'What the highest uptake is called', results.effort && !results.symptomLimited ? (results.effort.conclusion.met ? 'max' : 'peak') : undefined, '1', needsMaximum ?? 'there was no exercise');
  put('prescription.maximal-heart-rate', `Maximal heart rate for the prescription, ${results.maximum.from ?? 'not known'}`, results.maximum.value, '/min', results.maximum.reason ?? '');
  submaximalEntries(state, results, put);
  bagEntries(state, results, put);
  return book;
}

/** Settings of a stage, as really set. */
function setting(row: StageResult, stage: Put): void {
  const load = loadAsSet(row);
  stage('load', 'load', load?.value, load?.unit ?? 'W', 'the ergometer has no load');
  for (const [name, label] of [['cadence', 'cadence'], ['step-rate', 'step cycles'], ['step-height', 'step height']] as const) {
    stage(name, label, row.stage.actual[name]?.value, settingQuantities[name].unit, `no ${label} is set here`);
  }
}
