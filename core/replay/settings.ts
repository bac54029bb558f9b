/** What the ergometer was set to, and when: the stages of a recorded session as they really ran. */
import { formatClock, parseClock } from '../clock-text.ts';
import type { SessionDraft } from '../session/events.ts';
import { stagesOnPlan } from '../session/schedule.ts';
import { plannedSettings } from '../session/stages.ts';
import type { Settings } from '../session/state.ts';
import { listed } from '../sheet/nearest.ts';
import { listedSettings, mostStages } from '../sheet/stage-plan.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { convert, unitOf } from '../units/units.ts';
import { settingQuantities, type SettingQuantity, type Sex } from '../vocabulary.ts';
import { ReplayError, type SessionRow } from './rows.ts';
import { hasNoUnit, isNotTaken, readNumber, readStage, type TypedNumber } from './values.ts';

/** A fact about the ergometer, at a time within Exercise. */
export interface SettingStep {
  readonly time: number;
  readonly line: number;
  readonly by: string;
  readonly draft: Pick<Extract<SessionDraft, { kind: 'exercise-started' | 'stage-changed' | 'setting-recorded' }>, 'kind' | 'data'>;
}

export interface SettingSteps {
  readonly steps: readonly SettingStep[];
  readonly warnings: readonly { readonly line?: number; readonly text: string }[];
}

/** Data-entry limits of common practice [C]: treadmill 0–30 km/h and −15–30 %, cycle 0–800 W; the others are this program's own. */
const limits: Readonly<Record<SettingQuantity, readonly [number, number]>> = { speed: [0, 30], grade: [-15, 30], load: [0, 800], cadence: [0, 250], 'step-rate': [0, 60], 'step-height': [0, 100] };

type Typed = Partial<Record<SettingQuantity, TypedNumber & { readonly own: number }>>;

/** Rows of one moment: a change of stage, settings, or both. */
interface Moment {
  readonly time: number;
  readonly line: number;
  readonly by: string;
  readonly stage?: number;
  readonly settings: Typed;
}

/**
 * @param rows the `stage`, `speed`, `grade`, `load` … rows of Exercise, in the order of time.
 * @param stopped when the test stopped, within Exercise.
 * @param sex where the sheet sets men and women differently.
 */
export function settingSteps(sheet: LabSheet, rows: readonly SessionRow[], stopped: number, sex: Sex | undefined): SettingSteps {
  const planOf = (stage: number): Settings => (sheet.stages.branch && stage > sheet.stages.branch.after ? {} : plannedSettings(sheet.stages.list[stage - 1], sex));
  const warnings: { line?: number; text: string }[] = [];
  const moments = stagesFromSettings(sheet, gather(sheet, rows, warnings), warnings);
  for (const moment of moments) {
    if (moment.time >= stopped && moment.time > 0) {
      throw new ReplayError(moment.line, `the ergometer is set at ${formatClock(moment.time)}, and the test stopped at ${formatClock(stopped)}`, moment.stage === undefined ? 'give the setting of the cool-down in recovery' : 'correct one of the two times');
    }
  }
  checkOrder(moments);
  const changes = moments.filter((moment) => (moment.stage ?? 1) > 1);
  const length = parseClock(sheet.stages.length) ?? 0;
  const onPlan = changes.length === 0 ? stagesOnPlan(sheet, stopped) : [];
  const assumed = onPlan.length > 0 ? assume(onPlan, planOf, moments, length) : undefined;
  if (assumed) {
    const last = assumed.at(-1)?.stage ?? 1;
    warnings.push({ text: `The file has no row for a stage after the first, and the test went on to ${formatClock(stopped)}: ${last > 2 ? `stages 2 to ${last} are` : 'stage 2 is'} taken to have been set ${assumed.some((moment) => moment.time % length !== 0) ? 'when its settings were written, else ' : ''}on plan, and marked as assumed.` });
  } else warnUnchanged(sheet, changes, length, stopped, warnings);

  const all = [...moments.filter((moment) => !assumed?.some((change) => change.time === moment.time)), ...(assumed ?? [])].toSorted((a, b) => a.time - b.time);
  const steps: SettingStep[] = [];
  let stage = 1;
  const first = all.find((moment) => moment.time === 0 && (moment.stage ?? 1) === 1);
  steps.push({ time: 0, line: first?.line ?? rows[0]?.line ?? 1, by: first?.by ?? '', draft: { kind: 'exercise-started', data: withSettings({}, first?.settings ?? {}, planOf(1)) } });
  for (const moment of all) {
    if (moment === first) continue;
    const place = { time: moment.time, line: moment.line, by: moment.by };
    const next = moment.stage;
    if (next !== undefined && next > 1) {
      stage = next;
      const data = { stage: next, ...(assumed?.includes(moment) ? { assumed: true } : {}) };
      steps.push({ ...place, draft: { kind: 'stage-changed', data: withSettings(data, moment.settings, planOf(next)) } });
    } else if (Object.keys(moment.settings).length > 0) {
      steps.push({ ...place, draft: { kind: 'setting-recorded', data: { stage, settings: plain(moment.settings) } } });
    }
  }
  return { steps, warnings };
}

function gather(sheet: LabSheet, rows: readonly SessionRow[], warnings: { line?: number; text: string }[]): readonly Moment[] {
  const moments = new Map<number, { time: number; line: number; by: string; stage?: number; settings: Typed }>();
  let stage = 1;
  for (const row of rows.toSorted((a, b) => a.time - b.time || rank(a) - rank(b) || a.line - b.line)) {
    if (isNotTaken(row)) continue;
    const moment = moments.get(row.time) ?? { time: row.time, line: row.line, by: row.by, settings: {} };
    moments.set(row.time, moment);
    if (row.quantity.kind === 'stage') {
      stage = readStage(row, mostStages(sheet));
      Object.assign(moment, { stage, line: row.line, by: row.by === '' ? moment.by : row.by });
    } else if (row.quantity.kind === 'setting') moment.settings[row.quantity.setting] = readSetting(sheet, row, row.quantity.setting, stage, warnings);
  }
  return [...moments.values()].toSorted((a, b) => a.time - b.time);
}

/**
 * Where stages count from the real change and nobody numbered them, each new setting is the next stage: it was written down when
 * it was set, and no plan says when it had to be.
 */
function stagesFromSettings(sheet: LabSheet, moments: readonly Moment[], warnings: { line?: number; text: string }[]): readonly Moment[] {
  if (sheet.stages.timing !== 'from-change' || moments.some((moment) => (moment.stage ?? 1) > 1)) return moments;
  let stage = 1;
  const numbered = moments.map((moment) => (moment.time > 0 && Object.keys(moment.settings).length > 0 && stage < mostStages(sheet) ? { ...moment, stage: (stage += 1) } : moment));
  if (stage > 1) warnings.push({ text: `The file has no row for a stage after the first: each new setting is taken as the next stage, up to stage ${stage}.` });
  return numbered;
}

const rank = (row: SessionRow): number => (row.quantity.kind === 'stage' ? 0 : 1);

function readSetting(sheet: LabSheet, row: SessionRow, name: SettingQuantity, stage: number, warnings: { line?: number; text: string }[]): TypedNumber & { readonly own: number } {
  const { label, accepts, unit: own } = settingQuantities[name];
  // Where men and women are set differently, the unit is the same for both.
  const planned = plannedSettings(listedSettings(sheet, stage), 'female')[name]?.unit;
  const number = readNumber(row, label, accepts, planned ?? own);
  if (hasNoUnit(row) && accepts.length > 1) warnings.push({ line: row.line, text: `${label} ${row.value} has no unit; it is taken as ${unitOf(number.unit).label}, as on the lab sheet.` });
  const value = convert(number.value, number.unit, own);
  const [low, high] = limits[name];
  if (value < low || value > high) throw new ReplayError(row.line, `${label.toLowerCase()} ${row.value} ${unitOf(number.unit).label} is not possible`, `${low} to ${high} ${unitOf(own).label} can be written`);
  return { ...number, own: value };
}

function checkOrder(moments: readonly Moment[]): void {
  let last = 1;
  for (const { stage, line, time } of moments) {
    if (stage === undefined) continue;
    if (stage > last + 1) throw new ReplayError(line, `stage ${stage} comes after stage ${last}`, `add the row for stage ${last + 1}, with the time at which it was really set`);
    if (stage < last) throw new ReplayError(line, `stage ${stage} at ${formatClock(time)} comes after stage ${last}`, 'correct the stage or the time');
    last = stage;
  }
}

/**
 * Changes that nobody wrote down: when settings that are the next stage's were written, else on plan.
 * A stop at the very end of a stage is no change.
 */
function assume(stages: readonly number[], planOf: (stage: number) => Settings, moments: readonly Moment[], length: number): readonly Moment[] {
  return stages.map((stage) => {
    const due = (stage - 1) * length;
    const [planned, before] = [planOf(stage), planOf(stage - 1)];
    const written = moments.find((moment) => moment.time >= due - 60_000 && moment.time < due + length && (moment.time === due || (isPlan(moment.settings, planned) && !isPlan(moment.settings, before))));
    return written ? { ...written, stage } : { time: due, line: moments[0]?.line ?? 1, by: '', stage, settings: {} };
  });
}

/** Whether everything that was written is what the plan says, as a person at the machine would call it. */
function isPlan(settings: Typed, planned: Settings): boolean {
  const names = Object.keys(settings) as SettingQuantity[];
  return names.length > 0 && names.every((name) => Math.abs((settings[name]?.own ?? Infinity) - (planned[name]?.value ?? -Infinity)) <= (name === 'speed' ? 0.05 : 0.1));
}

function warnUnchanged(sheet: LabSheet, changes: readonly Moment[], length: number, stopped: number, warnings: { line?: number; text: string }[]): void {
  const last: { stage?: number; time: number; line?: number } = changes.at(-1) ?? { stage: 1, time: 0 };
  if (last.stage === undefined || last.stage >= mostStages(sheet)) return;
  // A stage may have been held for as long as the sheet allows.
  const due = sheet.stages.timing === 'on-plan' ? last.stage * length : last.time + length + (sheet.stages['steady-state']?.['repeats-at-most'] ?? 0) * 60_000;
  if (stopped > due + 60_000) warnings.push({ ...(last.line === undefined ? {} : { line: last.line }), text: `No row says that stage ${last.stage + 1} was set; stage ${last.stage} is held to the stop at ${formatClock(stopped)}.` });
}

/** Settings are kept only where they are not the plan's own numbers. */
function withSettings<Data extends object>(data: Data, settings: Typed, planned: Settings): Data & { settings?: ReturnType<typeof plain> } {
  const other = Object.fromEntries((Object.entries(settings) as [SettingQuantity, Typed[SettingQuantity]][]).filter(([name, given]) => given !== undefined && Math.abs(given.own - (planned[name]?.value ?? Infinity)) > 1e-9)) as Typed;
  return Object.keys(other).length === 0 ? data : { ...data, settings: plain(other) };
}

function plain(settings: Typed): Partial<Record<SettingQuantity, { typed: string; unit: string }>> {
  return Object.fromEntries(Object.entries(settings).map(([name, given]) => [name, { typed: given.typed, unit: given.unit }]));
}

/** A setting in recovery, in words: there it is part of the cool-down and no stage. */
export function coolDownNote(row: SessionRow): string {
  return `Cool-down: ${row.quantity.id} ${listed([`${row.value}${row.unit === '' ? '' : ` ${row.unit}`}`])}`;
}
