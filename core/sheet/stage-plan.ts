/** What a sheet's list of stages and its branch say together: how many stages there can be, and which are planned for whom. */
import { convert, parseQuantity } from '../units/units.ts';
import type { Sex } from '../vocabulary.ts';
import type { LabSheet, StageSettings } from './schema.ts';

/** The most stages that a test on this sheet can have. */
export function mostStages(sheet: LabSheet): number {
  const { list, branch } = sheet.stages;
  return branch ? branch.after + Math.max(...branch.bands.map((band) => band.then.length)) : list.length;
}

/**
 * The settings that a stage has before anything is measured: from the list, or, after a branch, the first of what the bands
 * offer. The second serves for units and names only; which band holds is for `core/session/steady.ts`.
 */
export function listedSettings(sheet: LabSheet, number: number): StageSettings | undefined {
  const { list, branch } = sheet.stages;
  if (!branch || number <= branch.after) return list[number - 1];
  return branch.bands.map((band) => band.then[number - branch.after - 1]).find((settings) => settings !== undefined);
}

/** One amount of a setting for a sex: "24 /min". Undefined where it hangs on the sex and that is not known. */
export function amountFor(amount: StageSettings[keyof StageSettings], sex: Sex | undefined): string | undefined {
  if (amount === undefined) return undefined;
  if (typeof amount !== 'object') return String(amount);
  return sex === undefined ? undefined : String(amount[sex]);
}

/** Whether any stage is set differently for men and women: the sex has then to be known before the start. */
export function settingsHangOnSex(sheet: LabSheet): boolean {
  const all = [...sheet.stages.list, ...(sheet.stages.branch?.bands.flatMap((band) => band.then) ?? [])];
  return all.some((settings) => Object.values(settings).some((amount) => typeof amount === 'object'));
}

/** The distance of a field test in metres. The loader has checked it. */
export function distanceOf(sheet: LabSheet): number | undefined {
  if (sheet.distance === undefined) return undefined;
  const parsed = parseQuantity(String(sheet.distance), { defaultUnit: 'm' });
  return parsed.ok ? convert(parsed.value, parsed.unit, 'm') : undefined;
}
