/** From the text of a station profile to the profile, or to what is wrong with it: line, field, fault and remedy. Pure. */
import { z } from 'zod';
import { readUnit, unitWord } from '../sheet/check-tools.ts';
import type { ShapeNode } from '../sheet/published.ts';
import { shapeProblems } from '../sheet/shape-problems.ts';
import { readYaml, type Path, type TextProblem } from '../sheet/yaml-text.ts';
import { dimensionOf } from '../units/units.ts';
import { settingQuantities } from '../vocabulary.ts';
import { machineQuantities } from './machine.ts';
import { PROFILE_FORM, profileSchema, type StationProfile } from './schema.ts';

/** For people: `line 12: machines → 1 → speed → step: …`. */
export interface ProfileProblem {
  readonly line: number;
  readonly path: string;
  readonly message: string;
  readonly remedy: string;
}

export type ProfileLoad = { readonly ok: true; readonly profile: StationProfile } | { readonly ok: false; readonly problems: readonly ProfileProblem[] };

/** So many problems are shown at once; this program's own choice. */
const MOST_SHOWN = 20;

/** The profile's shape as JSON Schema, for editors that complete and check as one types. */
export function publishedProfileShape(): ShapeNode {
  return {
    ...(z.toJSONSchema(profileSchema, { io: 'input' }) as ShapeNode),
    $id: 'station-profile.schema.json',
    title: 'Stagecall station profile',
    description: 'Made from core/profile/schema.ts by lab-sheets/publish-schema.ts. Units of machines are checked when the profile is saved or read.',
  };
}

/** Reads and checks a profile. Never throws. */
export function loadProfile(text: string): ProfileLoad {
  const read = readYaml(text);
  if (!read.ok) return { ok: false, problems: told(read.problems) };
  const { data, places } = read;
  if (typeof data !== 'object' || data === null || Array.isArray(data)) {
    return { ok: false, problems: told([{ line: 1, column: 1, path: [], message: 'this is not a station profile', remedy: `a station profile begins with "schema: ${PROFILE_FORM}"` }]) };
  }
  const form = (data as { schema?: unknown }).schema;
  if (typeof form === 'string' && form !== PROFILE_FORM && form.startsWith('stagecall-'))
    return { ok: false, problems: told([{ ...places.value(['schema']), path: ['schema'], message: `"${form.slice(0, 60)}" is another kind of file, or a newer form`, remedy: `this program reads "${PROFILE_FORM}"` }]) };
  const shaped = profileSchema.safeParse(data);
  if (!shaped.success) return { ok: false, problems: told(shapeProblems(shaped.error.issues, data, places, publishedProfileShape())) };
  const problems: TextProblem[] = [];
  crossCheck(shaped.data, (path, message, remedy) => problems.push({ ...places.value(path), path, message, remedy }));
  if (problems.length > 0) return { ok: false, problems: told(problems.sort((a, b) => a.line - b.line)) };
  return { ok: true, profile: shaped.data };
}

/** What no shape can say: units that belong to the setting, a range that is one, names that are there once. */
function crossCheck(profile: StationProfile, problem: (path: Path, message: string, remedy: string) => void): void {
  const names = new Set<string>();
  for (const [index, machine] of profile.machines.entries()) {
    const at = ['machines', index] as const;
    const name = machine.name.trim().toLowerCase();
    if (names.has(name)) problem([...at, 'name'], `"${machine.name}" is there twice`, 'give each machine its own name');
    names.add(name);
    if (machineQuantities.every((quantity) => machine[quantity] === undefined)) problem(at, `"${machine.name}" has no setting`, `add ${machineQuantities.map((quantity) => `"${quantity}:"`).join(', ')} or take the machine out`);
    for (const quantity of machineQuantities) {
      const steps = machine[quantity];
      if (!steps) continue;
      const { accepts, unit: own, label } = settingQuantities[quantity];
      const unit = readUnit(steps.unit, dimensionOf(own));
      if (unit === undefined || !accepts.includes(unit)) problem([...at, quantity, 'unit'], `"${steps.unit}" is not a unit of ${label.toLowerCase()} here`, `use ${accepts.map(unitWord).join(', ')}`);
      if ('step' in steps) {
        if (steps.to <= steps.from) problem([...at, quantity, 'to'], `"to" (${steps.to}) is not above "from" (${steps.from})`, 'write the lowest setting under "from" and the highest under "to"');
        else if (steps.step > steps.to - steps.from) problem([...at, quantity, 'step'], `a step of ${steps.step} does not fit between ${steps.from} and ${steps.to}`, 'write the smallest step that the machine takes');
      } else {
        const fall = steps.values.findIndex((value, place) => place > 0 && value <= (steps.values[place - 1] ?? 0));
        if (fall > 0) problem([...at, quantity, 'values', fall], `${steps.values[fall]} comes after ${steps.values[fall - 1]}`, 'write the settings from the lowest up, each once');
      }
    }
  }
  const courses = new Set<string>();
  for (const [index, { name, groups }] of profile.courses.entries()) {
    if (courses.has(name)) problem(['courses', index, 'name'], `the course "${name}" is there twice`, 'put its groups under one entry');
    courses.add(name);
    const twice = groups.findIndex((group, place) => groups.indexOf(group) !== place);
    if (twice >= 0) problem(['courses', index, 'groups', twice], `the group "${groups[twice]}" is there twice`, 'take one out');
  }
  if (profile.limits && profile.limits.systolic === undefined && profile.limits.diastolic === undefined && profile.limits['heart-rate'] === undefined)
    problem(['limits'], 'there is no limit here, only a source', 'add "systolic:", "diastolic:" or "heart-rate:", or take "limits:" out');
}

/** The reader of YAML speaks of lab sheets; the words for a profile are put in here. */
function told(problems: readonly TextProblem[]): ProfileProblem[] {
  const say = (text: string): string => text.replaceAll('lab-sheets/README.md', 'lab-sheets/station-profile.md').replaceAll('copy one from lab-sheets/', 'copy the one in lab-sheets/station-profile.md').replaceAll('a sheet in lab-sheets/', 'the one in lab-sheets/station-profile.md').replaceAll('lab sheet', 'station profile');
  return problems.slice(0, MOST_SHOWN).map(({ line, path, message, remedy }) => ({ line, path: path.map((step) => (typeof step === 'number' ? String(step + 1) : step)).join(' → '), message: say(message), remedy: say(remedy) }));
}

/** One line for a person. */
export function profileProblemText({ line, path, message, remedy }: ProfileProblem): string {
  return `Line ${line}: ${path === '' ? '' : `${path}: `}${message}; ${remedy}.`;
}
