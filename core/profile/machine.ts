/** What a station's machine can really be set to, and the nearest setting to what the sheet asks for. */
import { readUnit } from '../sheet/check-tools.ts';
import { convert, dimensionOf, type UnitCode } from '../units/units.ts';
import { settingQuantities, type SettingQuantity } from '../vocabulary.ts';
import type { Settings } from '../session/state.ts';
import type { Machine, MachineSteps, StationProfile } from './schema.ts';

/** The settings that a machine of a profile may describe. */
export const machineQuantities = ['speed', 'grade', 'load', 'step-height'] as const satisfies readonly SettingQuantity[];

/**
 * The machine that a session runs on: the one whose name was written as the ergometer; else the only one of the sheet's mode.
 * @returns undefined where the profile does not say which one it is.
 */
export function machineFor(profile: StationProfile | undefined, mode: string, ergometer: string | undefined): Machine | undefined {
  const fitting = profile?.machines.filter((machine) => machine.mode === mode) ?? [];
  const named = ergometer?.trim().toLowerCase();
  if (named !== undefined && named !== '') return fitting.find((machine) => machine.name.trim().toLowerCase() === named);
  return fitting.length === 1 ? fitting[0] : undefined;
}

/** What the machine is set to in place of what is planned. */
export interface Settable {
  /** All settings, each at the nearest that the machine has; those that it does not describe are as planned. */
  readonly settings: Settings;
  /** Those that differ from the plan: what the sheet says, and what is recorded at the change. */
  readonly differing: Settings;
}

/** Differences below these are how a unit is written, not another setting: half the last figure that the sheet shows. */
const SAME: Readonly<Record<SettingQuantity, number>> = { speed: 0.05, grade: 0.05, load: 0.5, cadence: 0.5, 'step-rate': 0.5, 'step-height': 0.05 };

/** @param planned a stage's settings, in the vocabulary's units. */
export function nearestSettable(machine: Machine | undefined, planned: Settings): Settable {
  const settings: Settings = { ...planned };
  const differing: Settings = {};
  for (const quantity of machineQuantities) {
    const wanted = planned[quantity];
    const steps = machine?.[quantity];
    if (!wanted || !steps) continue;
    const unit = readUnit(steps.unit, dimensionOf(settingQuantities[quantity].unit));
    if (unit === undefined) continue;
    const value = nearestValue(steps, convert(wanted.value, settingQuantities[quantity].unit, unit));
    const there = convert(value, unit, settingQuantities[quantity].unit);
    if (Math.abs(there - wanted.value) < SAME[quantity]) continue;
    const set = { value: there, typed: String(value), unit: unit as UnitCode };
    settings[quantity] = set;
    differing[quantity] = set;
  }
  return { settings, differing };
}

/** The nearest setting in the machine's own unit; of two that are equally near the lower one, which asks for less. */
export function nearestValue(steps: MachineSteps, wanted: number): number {
  if ('values' in steps) return steps.values.reduce((best, value) => (Math.abs(value - wanted) < Math.abs(best - wanted) - 1e-9 ? value : best));
  const last = Math.floor((steps.to - steps.from) / steps.step + 1e-9);
  const place = Math.min(last, Math.max(0, Math.ceil((wanted - steps.from) / steps.step - 0.5 - 1e-9)));
  // A treadmill of 0.1 mph steps shows 1.7, never 1.7000000000000002.
  return Number((steps.from + place * steps.step).toFixed(6));
}
