/** The stages as they really ran: real changes, real settings, and which of them ran to their end. */
import { parseQuantity, type UnitCode } from '../units/units.ts';
import type { LabSheet, StageSettings } from '../sheet/schema.ts';
import { amountFor } from '../sheet/stage-plan.ts';
import { isSettingQuantity, settingQuantities, type SettingQuantity, type Sex } from '../vocabulary.ts';
import type { Facts } from './facts.ts';
import { isFinished, plannedStart, stageEnd, stageLength } from './schedule.ts';
import type { NextStage, Settings, StageState } from './state.ts';
import { chooseNext, heartRateCap, holdStage, type HeldStage } from './steady.ts';
import { settingValue } from './values.ts';

/**
 * A stage's settings as the lab sheet writes them, in the vocabulary's units. The loader has checked the units.
 * @param sex where the sheet sets men and women differently; without it such a setting is left open.
 */
export function plannedSettings(settings: StageSettings | undefined, sex?: Sex): Settings {
  const planned: Settings = {};
  for (const [name, given] of Object.entries(settings ?? {})) {
    const amount = amountFor(given, sex);
    if (!isSettingQuantity(name) || amount === undefined) continue;
    const { unit: own } = settingQuantities[name];
    const parsed = parseQuantity(amount, { defaultUnit: own });
    if (!parsed.ok) continue;
    const value = settingValue(name, String(parsed.value), parsed.unit);
    if (value !== undefined) planned[name] = { value, typed: String(parsed.value), unit: parsed.unit };
  }
  return planned;
}

/** Two settings are the same when a person at the machine would call them so: within 0.05 km/h, 0.1 % grade, 1 W, 1 /min. */
const SAME: Readonly<Record<SettingQuantity, number>> = { speed: 0.05, grade: 0.1, load: 1, cadence: 1, 'step-rate': 0.5, 'step-height': 0.5 };

/** How much later than plan a change may be and still be on time. */
const ON_TIME = 5_000;

/** The standing value of a place, by its key; only sheets with steady-state or branching rules ask for it. */
export type StandingValue = (key: string) => number | undefined;

export interface GatheredStages {
  readonly stages: readonly StageState[];
  readonly next?: NextStage;
}

interface Draft {
  number: number;
  changed: number;
  assumed: boolean;
  changes: { readonly event: Facts['settingEvents'][number] }[];
}

/** The stages that were set, in order, and the one that the sheet sets next. */
export function gatherStages(sheet: LabSheet, facts: Facts, standing: StandingValue): GatheredStages {
  const start = facts.starts.exercise;
  if (start === undefined) return { stages: [] };
  const drafts: Draft[] = [];
  for (const event of facts.settingEvents) {
    const number = event.kind === 'exercise-started' ? 1 : event.data.stage;
    let draft = drafts.find((known) => known.number === number);
    if (!draft) {
      if (event.kind === 'setting-recorded') continue;
      draft = { number, changed: event.taken, assumed: event.kind === 'stage-changed' && event.data.assumed === true, changes: [] };
      drafts.push(draft);
    } else if (event.kind === 'stage-changed') {
      draft.changed = event.taken; // the same change marked again: the later word stands
    }
    draft.changes.push({ event });
  }
  drafts.sort((a, b) => a.number - b.number);

  const rule = sheet.stages['steady-state'];
  const cap = rule && heartRateCap(sheet, facts.age, standing('rest/rest/heart-rate'));
  const plannedMinutes = Math.round(stageLength(sheet) / 60_000);
  const stages: StageState[] = [];
  let branchedOn: readonly [number, number] | undefined;
  const minute = (stage: number, number: number): number | undefined => standing(`exercise/s${stage}/m${number}/heart-rate`);
  for (const [index, draft] of drafts.entries()) {
    const held = rule && holdStage(rule, plannedMinutes, (number) => minute(draft.number, number), cap);
    const chosen = draft.number === 1 ? { settings: sheet.stages.list[0] } : chooseNext(sheet, draft.number - 1, branchedOn, facts.sex);
    stages.push(stageState(sheet, facts, { draft, next: drafts[index + 1], planned: plannedSettings(chosen?.settings, facts.sex), ...(sheet.stages.branch?.after === draft.number - 1 && chosen !== undefined && 'says' in chosen && chosen.says !== undefined ? { chosen: chosen.says } : {}), ...(held === undefined ? {} : { held }) }));
    if (sheet.stages.branch?.after === draft.number) {
      const last = plannedMinutes + (held?.repeats ?? 0);
      const pair = [minute(draft.number, last - 1), minute(draft.number, last)] as const;
      branchedOn = pair[0] === undefined || pair[1] === undefined ? undefined : [pair[0], pair[1]];
    }
  }
  const present = stages.at(-1);
  const after = present && chooseNext(sheet, present.number, branchedOn, facts.sex);
  if (!present || !after) return { stages };
  return { stages, next: { number: present.number + 1, ...(after.settings === undefined ? {} : { settings: plannedSettings(after.settings, facts.sex) }), ...(after.says === undefined ? {} : { says: after.says }) } };
}

interface StageOf {
  readonly draft: Draft;
  readonly next: Draft | undefined;
  readonly planned: Settings;
  readonly chosen?: string;
  readonly held?: HeldStage;
}

function stageState(sheet: LabSheet, facts: Facts, { draft, next, planned, chosen, held }: StageOf): StageState {
  const start = facts.starts.exercise ?? 0;
  const stopped = facts.stop?.taken;
  const repeats = held?.repeats ?? 0;
  const ends = stageEnd(sheet, start, draft.number, draft.changed) + repeats * 60_000;
  const ended = next?.changed ?? stopped;
  const until = ended ?? Infinity;
  const actual: Settings = { ...planned };
  for (const { event } of draft.changes) {
    for (const [name, given] of Object.entries(event.data.settings ?? {})) {
      if (!isSettingQuantity(name) || given === undefined) continue;
      const value = settingValue(name, given.typed, given.unit);
      if (value !== undefined) actual[name] = { value, typed: given.typed, unit: given.unit as UnitCode };
    }
  }
  const names = new Set([...Object.keys(planned), ...Object.keys(actual)]) as Set<SettingQuantity>;
  const differs = [...names].some((name) => (planned[name] === undefined) !== (actual[name] === undefined) || Math.abs((planned[name]?.value ?? 0) - (actual[name]?.value ?? 0)) > SAME[name]);
  const gait = facts.gaits.filter((seen) => seen.taken < until || seen.taken === draft.changed || (next === undefined && seen.taken === until)).at(-1)?.gait;
  const railBefore = facts.handrail.filter((seen) => seen.taken <= draft.changed).at(-1)?.held ?? false;
  const railDuring = facts.handrail.some((seen) => seen.held && seen.taken > draft.changed && seen.taken < until);
  const late = draft.changed - (start + plannedStart(sheet, draft.number));
  return {
    number: draft.number,
    changed: draft.changed,
    changedAt: draft.changed - start,
    ends,
    ...(ended === undefined ? {} : { ended }),
    completed: next !== undefined || (stopped !== undefined && isFinished(sheet, ends, stopped)),
    planned,
    actual,
    differsFromPlan: differs,
    ...(gait === undefined ? {} : { gait }),
    handrail: railBefore || railDuring,
    assumed: draft.assumed,
    lateBy: sheet.stages.timing === 'on-plan' && late > ON_TIME ? late : 0,
    repeats,
    ...(chosen === undefined ? {} : { chosen }),
    ...(held === undefined ? {} : { steady: held.steady }),
  };
}
