/** The running stage and the next as the left column shows them. */
import { formatClock, formatCountdown } from '../../core/clock-text.ts';
import { nextStage, SET_OPENS_BEFORE } from '../../core/session/calls.ts';
import { stageLength } from '../../core/session/schedule.ts';
import { plannedSettings } from '../../core/session/stages.ts';
import type { SessionState, Settings } from '../../core/session/state.ts';
import { mostStages } from '../../core/sheet/stage-plan.ts';
import type { Machine } from '../../core/profile/schema.ts';
import { nearestSettable } from '../../core/profile/machine.ts';
import { figuresOf, settingsWords, type Figure, type Shown, type SpeedUnit } from './settings-text.ts';

export interface StageView {
  readonly number: number;
  readonly of: number;
  /** In exercise time, `m:ss`. */
  readonly from: string;
  readonly to: string;
  readonly figures: readonly Figure[];
  /** The plan's settings, where something else was set. */
  readonly planned?: string;
  /** How much of the stage is over, 0 to 1. */
  readonly over: number;
  /** Where in the bar its full minutes lie, 0 to 1, ends left out. */
  readonly minutes: readonly number[];
  readonly seen: readonly string[];
  readonly next?: {
    readonly number: number;
    /** What the machine of this station can be set to, nearest to the plan. */
    readonly figures: readonly Figure[];
    readonly words: string;
    /** What the lab sheet asks for, where the machine has no such setting. */
    readonly asks?: string;
    readonly count: string;
    /** From 30 s before the change the next target is what the tester reads. */
    readonly soon: boolean;
    /** The moment has come and nobody has marked the change. */
    readonly due: boolean;
  };
}

/** @param machine the station's own, where its profile describes it. */
export function stageView(state: SessionState, now: number, speedUnit: SpeedUnit | Shown, machine?: Machine): StageView | undefined {
  const stage = state.stages.at(-1);
  const start = state.starts.exercise;
  if (!stage || start === undefined) return undefined;
  const length = stageLength(state.sheet);
  const begins = stage.ends - length;
  const next = nextStage(state);
  const settable = next && nearestSettable(machine, next.settings);
  return {
    number: stage.number,
    of: mostStages(state.sheet),
    from: formatClock(Math.max(0, begins - start)),
    to: formatClock(stage.ends - start),
    figures: figuresOf(stage.actual, speedUnit),
    ...(stage.differsFromPlan ? { planned: settingsWords(stage.planned, speedUnit) } : {}),
    over: Math.min(1, Math.max(0, (now - begins) / length)),
    minutes: Array.from({ length: Math.max(0, Math.ceil(length / 60_000) - 1) }, (_, index) => ((index + 1) * 60_000) / length),
    seen: [...(stage.gait ? [stage.gait] : []), ...(state.handrail.at(-1)?.held ? ['hand on the rail'] : [])],
    ...(next === undefined || settable === undefined
      ? {}
      : {
          next: {
            number: next.number,
            figures: figuresOf(changing(settable.settings, stage.actual), speedUnit),
            words: settingsWords(changing(settable.settings, stage.actual), speedUnit),
            ...(Object.keys(settable.differing).length === 0 ? {} : { asks: settingsWords(next.settings, speedUnit) }),
            count: now <= next.due ? formatCountdown(next.due - now) : `+${formatClock(now - next.due)}`,
            soon: now >= next.due - SET_OPENS_BEFORE,
            due: now >= next.due,
          },
        }),
  };
}

/** What has to be done at the machine: a cadence that goes on is not set again. All of it where nothing changes. */
function changing(next: Settings, now: Settings): Settings {
  const changed = Object.entries(next).filter(([name, setting]) => Math.abs(setting.value - (now[name as keyof Settings]?.value ?? Number.NaN)) < 1e-6 === false);
  return changed.length === 0 ? next : Object.fromEntries(changed);
}

export interface PlannedStage {
  readonly number: number;
  readonly from: string;
  readonly words: string;
  readonly figures: readonly Figure[];
}

/** The whole plan, for the wait before the start. */
export function planOf(state: SessionState, speedUnit: SpeedUnit | Shown, machine?: Machine): readonly PlannedStage[] {
  return state.sheet.stages.list.map((settings, index) => {
    const planned = nearestSettable(machine, plannedSettings(settings, state.sex)).settings;
    return { number: index + 1, from: formatClock(index * stageLength(state.sheet)), words: settingsWords(planned, speedUnit), figures: figuresOf(planned, speedUnit) };
  });
}
