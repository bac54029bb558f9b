/** The stages as they really ran: real changes, real settings, and which of them ran to their end. */
import { parseQuantity, type UnitCode } from '../units/units.ts';
import type { LabSheet, StageSettings } from '../sheet/schema.ts';
import { isSettingQuantity, settingQuantities, type SettingQuantity } from '../vocabulary.ts';
import type { Facts } from './facts.ts';
import { plannedStart, stageEnd } from './schedule.ts';
import type { Settings, StageState } from './state.ts';
import { settingValue } from './values.ts';

/** A stage's settings as the lab sheet writes them, in the vocabulary's units. The loader has checked the units. */
export function plannedSettings(settings: StageSettings | undefined): Settings {
  const planned: Settings = {};
  for (const [name, amount] of Object.entries(settings ?? {})) {
    if (!isSettingQuantity(name) || amount === undefined) continue;
    const { unit: own } = settingQuantities[name];
    const parsed = parseQuantity(String(amount), { defaultUnit: own });
    if (!parsed.ok) continue;
    const value = settingValue(name, String(parsed.value), parsed.unit);
    if (value !== undefined) planned[name] = { value, typed: String(parsed.value), unit: parsed.unit };
  }
  return planned;
}

/** Two settings are the same when a person at the machine would call them so: within 0.05 km/h, 0.1 % grade, 1 W, 1 /min. */
const SAME: Readonly<Record<SettingQuantity, number>> = { speed: 0.05, grade: 0.1, load: 1, cadence: 1 };

/** How much later than plan a change may be and still be on time. */
const ON_TIME = 5_000;

export function gatherStages(sheet: LabSheet, facts: Facts): StageState[] {
  const start = facts.starts.exercise;
  if (start === undefined) return [];
  interface Draft { number: number; changed: number; assumed: boolean; actual: Settings }
  const drafts: Draft[] = [];
  for (const event of facts.settingEvents) {
    const number = event.kind === 'exercise-started' ? 1 : event.data.stage;
    let draft = drafts.find((known) => known.number === number);
    if (!draft) {
      if (event.kind === 'setting-recorded') continue;
      draft = { number, changed: event.taken, assumed: event.kind === 'stage-changed' && event.data.assumed === true, actual: { ...plannedSettings(sheet.stages.list[number - 1]) } };
      drafts.push(draft);
    } else if (event.kind === 'stage-changed') {
      draft.changed = event.taken; // the same change marked again: the later word stands
    }
    for (const [name, given] of Object.entries(event.data.settings ?? {})) {
      if (!isSettingQuantity(name) || given === undefined) continue;
      const value = settingValue(name, given.typed, given.unit);
      if (value !== undefined) draft.actual[name] = { value, typed: given.typed, unit: given.unit as UnitCode };
    }
  }
  drafts.sort((a, b) => a.number - b.number);
  const stopped = facts.stop?.taken;

  return drafts.map((draft, index): StageState => {
    const next = drafts[index + 1];
    const ends = stageEnd(sheet, start, draft.number, draft.changed);
    const ended = next?.changed ?? stopped;
    const until = ended ?? Infinity;
    const planned = plannedSettings(sheet.stages.list[draft.number - 1]);
    const names = new Set([...Object.keys(planned), ...Object.keys(draft.actual)]) as Set<SettingQuantity>;
    const differs = [...names].some((name) => Math.abs((planned[name]?.value ?? NaN) - (draft.actual[name]?.value ?? NaN)) > SAME[name] || (planned[name] === undefined) !== (draft.actual[name] === undefined));
    const gait = facts.gaits.filter((seen) => seen.taken < until || seen.taken === draft.changed).at(-1)?.gait;
    const railBefore = facts.handrail.filter((seen) => seen.taken <= draft.changed).at(-1)?.held ?? false;
    const railDuring = facts.handrail.some((seen) => seen.held && seen.taken > draft.changed && seen.taken < until);
    const late = draft.changed - (start + plannedStart(sheet, draft.number));
    return {
      number: draft.number,
      changed: draft.changed,
      changedAt: draft.changed - start,
      ends,
      ...(ended === undefined ? {} : { ended }),
      completed: next !== undefined || (stopped !== undefined && stopped >= ends),
      planned,
      actual: draft.actual,
      differsFromPlan: differs,
      ...(gait === undefined ? {} : { gait }),
      handrail: railBefore || railDuring,
      assumed: draft.assumed,
      lateBy: sheet.stages.timing === 'on-plan' && late > ON_TIME ? late : 0,
    };
  });
}
