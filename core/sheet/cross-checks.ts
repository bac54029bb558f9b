/** What no schema can say about a lab sheet: ids that exist, units, sums, orders and references. */
import { formatClock, parseClock } from '../clock-text.ts';
import { parseQuantity, units, type Dimension, type UnitCode } from '../units/units.ts';
import { detailQuantities, isDetailId, readingQuantities } from '../vocabulary.ts';
import { listed, oneOf } from './nearest.ts';
import { checkFormula } from './input-checks.ts';
import { checkQuestions } from './question-checks.ts';
import { checkResults } from './result-checks.ts';
import { readUnit, uniqueIds, type Report, type Reports } from './check-tools.ts';
import type { BandEdge, LabSheet, ReadingRule, StageSettings } from './schema.ts';
import { settingsHangOnSex } from './stage-plan.ts';
import { shown } from './shape-problems.ts';
import type { Path } from './yaml-text.ts';

interface SettingForm {
  readonly dimension: Dimension;
  readonly example: string;
  readonly word: string;
}
const settingForms: Readonly<Record<string, SettingForm>> = {
  speed: { dimension: 'speed', word: 'a speed', example: "'3.4 mph' or '5.5 km/h'" },
  grade: { dimension: 'fraction', word: 'a grade', example: "'10 %'" },
  load: { dimension: 'power', word: 'a load', example: "'50 W' or '300 kg·m/min'" },
  cadence: { dimension: 'rate', word: 'a cadence', example: "'50 rpm'" },
  'step-rate': { dimension: 'rate', word: 'a step rate (whole cycles)', example: "'24 /min'" },
  'step-height': { dimension: 'length', word: 'a step height', example: "'30 cm' or '12 in'" },
};

/** Which settings each stage of a mode needs. */
const needed: Readonly<Record<LabSheet['mode'], readonly (keyof LabSheet['stages']['list'][number])[]>> = {
  treadmill: ['speed', 'grade'],
  cycle: ['load'],
  'arm-crank': ['load'],
  step: ['step-rate', 'step-height'],
  field: [],
};

/** Runs every check. The sheet has the right shape. */
export function crossCheck(sheet: LabSheet, reports: Reports): void {
  checkDetails(sheet, reports);
  checkChecks(sheet, reports);
  checkStages(sheet, reports);
  checkRules(sheet.rest.readings, 'rest', reports);
  checkRules(sheet.exercise.readings, 'exercise', reports);
  checkRules(sheet.recovery.readings, 'recovery', reports);
  checkRecovery(sheet, reports);
  checkStop(sheet, reports);
  checkResults(sheet, reports);
  checkQuestions(sheet, reports);
}

function checkDetails(sheet: LabSheet, { problem }: Reports): void {
  for (const list of ['required', 'asked'] as const) {
    for (const [index, detail] of sheet.details[list].entries()) {
      const path = ['details', list, index];
      if (!isDetailId(detail)) problem(path, `${shown(detail)} is not a detail that can be given`, oneOf(detail, Object.keys(detailQuantities)));
      else if (sheet.details[list].indexOf(detail) !== index || (list === 'asked' && sheet.details.required.includes(detail))) problem(path, `${shown(detail)} is asked for twice`, 'keep one of the two');
    }
  }
  if (!sheet.details.required.includes('participant-code')) problem(['details', 'required'], '"participant-code" is not required', 'add it: a record without it cannot be told from another');
}

function checkChecks(sheet: LabSheet, { problem, warning }: Reports): void {
  uniqueIds(sheet.checks, ['checks'], problem);
  for (const [index, check] of sheet.checks.entries()) {
    const { value } = check;
    if (value === undefined) continue;
    const path = ['checks', index, 'value'];
    if (readUnit(value.unit) === undefined) problem([...path, 'unit'], `${shown(value.unit)} is not a unit that this program knows`, 'write for example L, %, mmHg or °C');
    if (value.min > value.max) problem([...path, 'min'], `the smallest allowed value (${value.min}) is above the largest (${value.max})`, 'exchange the two');
  }
  if (sheet.kind === 'maximal' && !sheet.checks.some((check) => /emergency/i.test(check.text))) warning(['checks'], 'no check mentions the emergency plan', 'a maximal test in a teaching lab is run with one; add a check that it is posted and understood');
}

function checkStages(sheet: LabSheet, { problem }: Reports): void {
  if ((parseClock(sheet.stages.length) ?? 0) < 1000) problem(['stages', 'length'], `a stage of ${shown(sheet.stages.length)} is no stage`, 'write for example "3:00"');
  for (const [index, stage] of sheet.stages.list.entries()) checkStage(sheet, stage, index + 1, ['stages', 'list', index], problem);
  checkHolding(sheet, problem);
  if (settingsHangOnSex(sheet) && !sheet.details.required.includes('sex')) problem(['details', 'required'], 'the stages differ by sex, which the sheet does not require', 'add "sex" to the list');
  checkDistance(sheet, problem);
  const predicted = sheet['predicted-vo2'];
  if (!predicted) return;
  if (!('walk' in predicted)) {
    checkFormula(predicted.formula, ['predicted-vo2', 'formula'], problem, 'mL/kg/min');
    return;
  }
  for (const gait of ['walk', 'run'] as const) checkFormula(predicted[gait], ['predicted-vo2', gait], problem, 'mL/kg/min');
}

const edgeOf = (edge: BandEdge | undefined, sex: 'male' | 'female'): number | undefined => (typeof edge === 'object' ? edge[sex] : edge);

/** Held and branching stages: only where later stages count from the real change, with bands that leave no gap. */
function checkHolding(sheet: LabSheet, problem: Report): void {
  const { branch, timing, list } = sheet.stages;
  if (sheet.stages['steady-state'] && timing !== 'from-change') problem(['stages', 'timing'], 'a held stage moves all that follow, but the timing is on-plan', 'write timing: from-change');
  if (!branch) return;
  if (branch.after > list.length) problem(['stages', 'branch', 'after'], `there is no stage ${branch.after} in the list`, `the list has ${list.length}`);
  for (const [index, band] of branch.bands.entries()) {
    const path = ['stages', 'branch', 'bands', index];
    const before = branch.bands[index - 1];
    const ends = (['male', 'female'] as const).map((sex) => [edgeOf(before?.below, sex), edgeOf(band.from, sex)] as const);
    const gap = before && ends.find(([end, begin]) => end !== begin);
    if (gap) problem([...path, 'from'], `the band before ends below ${gap[0] ?? 'nothing'}, and this one begins at ${gap[1]}`, 'let each band begin where the one before ends, so that no heart rate falls between');
    if (index < branch.bands.length - 1 && band.below === undefined) problem(path, 'only the last band may be open', 'add "below:"');
    for (const [place, settings] of band.then.entries()) checkStage(sheet, settings, branch.after + place + 1, [...path, 'then', place], problem);
  }
  if (branch.bands.every((band) => band.then.length === 0)) problem(['stages', 'branch', 'bands'], 'no band has a stage to go on with', 'write at least one under "then"');
}

/** The settings of one stage: possible amounts, and everything that the ergometer needs. */
function checkStage(sheet: LabSheet, stage: StageSettings, number: number, path: Path, problem: Report): void {
  checkSettings(stage, path, problem);
  for (const name of needed[sheet.mode]) {
    if (stage[name] === undefined) problem(path, `stage ${number} has no ${name.replace('-', ' ')}`, `add for example ${name}: ${settingForms[name]?.example.split(' or ')[0]}`);
  }
}

function checkDistance(sheet: LabSheet, problem: Report): void {
  if (sheet.distance === undefined) return;
  checkAmount(sheet.distance, { dimension: 'length', word: 'a distance', example: "'1 mile' or '2400 m'" }, ['distance'], problem);
  if (sheet.mode !== 'field') problem(['distance'], 'only a field test has a distance', 'take it out, or write mode: field');
  if (!sheet.stop.reasons.some((reason) => reason.finished === true)) problem(['stop', 'reasons'], 'no reason says that the distance was covered', 'add one with "finished: true"; only then does the time count');
}

/** Amounts of one stage or one part of recovery: known unit, stated unit, possible value. */
function checkSettings(settings: StageSettings, path: Path, problem: Report): void {
  for (const [name, amount] of Object.entries(settings)) {
    const form = settingForms[name];
    if (!form || amount === undefined) continue;
    if (typeof amount !== 'object') {
      checkAmount(amount, form, [...path, name], problem);
      continue;
    }
    const [male, female] = (['male', 'female'] as const).map((sex) => checkAmount(amount[sex], form, [...path, name, sex], problem));
    if (male !== undefined && female !== undefined && male !== female) problem([...path, name, 'female'], `${shown(String(amount.female))} and ${shown(String(amount.male))} are in different units`, 'write both in the same');
  }
}

/** One amount; its unit where it can be read. */
function checkAmount(amount: string | number, form: SettingForm, here: Path, problem: Report): UnitCode | undefined {
  const text = String(amount);
  const own = units.find((unit) => unit.dimension === form.dimension)?.code ?? '1';
  const parsed = parseQuantity(text, { defaultUnit: own, decimalMark: text.includes(',') ? ',' : '.' });
  if (!parsed.ok) problem(here, `${shown(text)} is not ${form.word}`, `write for example ${form.example}`);
  else if (/^[\s\d.,+-]+$/.test(text) && parsed.value !== 0) problem(here, `${shown(text)} has no unit`, `write it with the unit, for example ${form.example}`);
  else if (parsed.value < 0 && form.dimension !== 'fraction') problem(here, `${shown(text)} is less than nothing`, `write for example ${form.example}`);
  return parsed.ok ? parsed.unit : undefined;
}

function checkRules(rules: readonly ReadingRule[], phase: 'rest' | 'exercise' | 'recovery', { problem, warning }: Reports): void {
  const allowed: Readonly<Record<typeof phase, readonly ReadingRule['each'][]>> = {
    rest: ['once'],
    exercise: ['minute', 'two-minutes', 'stage', 'stop'],
    recovery: ['minute', 'two-minutes', 'once'],
  };
  const asked = new Map<string, number>();
  for (const [index, rule] of rules.entries()) {
    const path = [phase, 'readings', index];
    if (!allowed[phase].includes(rule.each)) problem([...path, 'each'], `${shown(rule.each)} has no meaning in ${phase}`, `use ${listed(allowed[phase])}`);
    if (rule.from !== undefined && phase !== 'recovery') problem([...path, 'from'], '"from" counts the minutes of recovery', 'take it out here');
    const order = ['open', 'due', 'late', 'missed'] as const;
    for (let step = 1; step < order.length; step += 1) {
      const [before, after] = [order[step - 1] ?? 'open', order[step] ?? 'due'];
      const [first, second] = [parseClock(rule[before]) ?? 0, parseClock(rule[after]) ?? 0];
      if (first > second) problem([...path, after], `${after} (${formatClock(second)}) comes before ${before} (${formatClock(first)})`, 'the order is open, due, late, missed, all counted from the same moment');
    }
    for (const [place, quantity] of rule.take.entries()) {
      const key = `${quantity}/${rule.each}`;
      if (asked.has(key)) problem([...path, 'take', place], `${readingQuantities[quantity].label.toLowerCase()} is asked for twice at the same moments`, 'keep one of the two rules');
      asked.set(key, index);
    }
  }
  if (phase === 'exercise' && !rules.some((rule) => rule.take.includes('heart-rate'))) warning(['exercise', 'readings'], 'heart rate is not read during exercise', 'add a rule for it unless this is meant');
}

function checkRecovery(sheet: LabSheet, { problem }: Reports): void {
  const longest = parseClock(sheet.recovery.longest) ?? 0;
  let before = 0;
  for (const [index, part] of sheet.recovery.plan.entries()) {
    const path = ['recovery', 'plan', index];
    const until = parseClock(part.until) ?? 0;
    if (until <= before) problem([...path, 'until'], `this part ends at ${formatClock(until)}, and the one before it at ${formatClock(before)}`, 'write the parts in the order of time');
    if (until > longest) problem([...path, 'until'], `this part ends at ${formatClock(until)}, after the longest recovery (${formatClock(longest)})`, 'make "longest" longer or this part shorter');
    before = until;
    checkSettings(part.settings ?? {}, [...path, 'settings'], problem);
  }
  uniqueIds(sheet.recovery.criteria, ['recovery', 'criteria'], problem);
  for (const [index, criterion] of sheet.recovery.criteria.entries()) {
    if (criterion.kind === 'shortest' && (parseClock(criterion.time) ?? 0) > longest) problem(['recovery', 'criteria', index, 'time'], 'the shortest observation is longer than the longest recovery', 'make "longest" longer');
  }
}

function checkStop(sheet: LabSheet, { problem }: Reports): void {
  const { reasons } = sheet.stop;
  if (!reasons.some((reason) => reason.symptom)) problem(['stop', 'reasons'], 'no reason is a symptom', 'add at least one with "symptom: true": a stop for a symptom takes another road');
  for (const [index, reason] of reasons.entries()) {
    if (reasons.findIndex((other) => other.text.toLowerCase() === reason.text.toLowerCase()) !== index) problem(['stop', 'reasons', index, 'text'], `${shown(reason.text)} is there twice`, 'keep one of the two');
  }
}
