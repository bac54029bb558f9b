/**
 * Named sets of stages of published protocols, for lab sheets. A setting is kept in the unit in which the protocol is published.
 * What a machine cannot set exactly is recorded as it was set; nothing here is rounded.
 */
import type { Provenance, Source } from './formula.ts';
import { stepStageSets } from './stage-sets-step.ts';
import { cycleStageSets } from './stage-sets-cycle.ts';
import { treadmillStageSets } from './stage-sets-treadmill.ts';

export interface StageSetting {
  readonly value: number;
  readonly unit: '[mi_i]/h' | '%' | 'W' | 'kgf.m/min' | '/min' | '[in_i]';
}

export interface Stage {
  /** as the protocol names it: "1", "½", "minute 3" */
  readonly name: string;
  readonly minutes: number;
  readonly speed?: StageSetting;
  readonly grade?: StageSetting;
  readonly load?: StageSetting;
  readonly cadence?: StageSetting;
  /** step cycles a minute: four beats of the metronome */
  readonly stepRate?: StageSetting;
  readonly stepHeight?: StageSetting;
  /** where one stage is less certain than its set */
  readonly provenance?: Provenance;
}

/** Stages that depend on the heart rate at the end of the first. */
export interface StageBranch {
  readonly afterStage: number;
  /** from the lowest up; each holds from `from` up to, not including, `below` */
  readonly bands: readonly { readonly from: number; readonly below: number; readonly stages: readonly Stage[] }[];
}

export interface StageSet {
  readonly id: string;
  readonly title: string;
  readonly mode: 'treadmill' | 'cycle' | 'step';
  readonly effort: 'maximal' | 'submaximal';
  readonly stages: readonly Stage[];
  readonly branch?: StageBranch;
  /** what the stages do not say: rules, counts, choices by fitness */
  readonly rules: readonly string[];
  readonly source: Source;
}

export const stageSets: readonly StageSet[] = [...treadmillStageSets, ...cycleStageSets, ...stepStageSets];

/** The set with this id, or undefined. */
export function stageSetById(id: string): StageSet | undefined {
  return stageSets.find((set) => set.id === id);
}

/** Start of a stage in minutes from the start of the first; undefined beyond the set. */
export function stageStart(set: StageSet, index: number): number | undefined {
  if (index < 0 || index >= set.stages.length) return undefined;
  return set.stages.slice(0, index).reduce((total, stage) => total + stage.minutes, 0);
}

const labels: Readonly<Record<StageSetting['unit'], string>> = {
  '[mi_i]/h': 'mph',
  '%': '%',
  W: 'W',
  'kgf.m/min': 'kg·m/min',
  '/min': '/min',
  '[in_i]': 'in',
};

/** A setting as a lab sheet writes it: "1.7 mph", "10 %". */
export const settingText = (setting: StageSetting): string => `${setting.value} ${labels[setting.unit]}`;

/** The settings of a stage in the words of a lab sheet's list of stages. */
export function sheetSettings(stage: Stage): Readonly<Record<string, string>> {
  const named = {
    speed: stage.speed,
    grade: stage.grade,
    load: stage.load,
    cadence: stage.cadence,
    'step-rate': stage.stepRate,
    'step-height': stage.stepHeight,
  };
  return Object.fromEntries(Object.entries(named).flatMap(([name, setting]) => (setting ? [[name, settingText(setting)]] : [])));
}
