/** The station profile: what is refused and how it is said, the nearest setting of a machine, and the guide held to the schema. */
import { readFileSync } from 'node:fs';
import { assert, integer, property } from 'fast-check';
import { describe, expect, it } from 'vitest';
import { exampleProfile } from '../../core/profile/example.ts';
import { loadProfile, profileProblemText, publishedProfileShape } from '../../core/profile/load.ts';
import { machineFor, nearestSettable, nearestValue } from '../../core/profile/machine.ts';
import { rpeWording } from '../../core/profile/scale.ts';
import type { ShapeNode } from '../../core/sheet/published.ts';

const folder = new URL('../../lab-sheets/', import.meta.url);
const guide = readFileSync(new URL('station-profile.md', folder), 'utf8');
const profileOf = (text: string) => {
  const loaded = loadProfile(text);
  if (!loaded.ok) throw new Error(loaded.problems.map(profileProblemText).join('\n'));
  return loaded.profile;
};
const problems = (text: string): readonly string[] => {
  const loaded = loadProfile(text);
  return loaded.ok ? [] : loaded.problems.map(profileProblemText);
};
const head = 'schema: stagecall-station-profile/1\n';

describe('the guide and the published schema', () => {
  it('the schema file is up to date', () => {
    const file: unknown = JSON.parse(readFileSync(new URL('station-profile.schema.json', folder), 'utf8'));
    expect(file, 'run: npm exec -- node lab-sheets/publish-schema.ts').toEqual(JSON.parse(JSON.stringify(publishedProfileShape())));
  });
  it('the example of the guide is the one that the page begins with, and it is sound', () => {
    expect(/```yaml\n([\s\S]*?)```/.exec(guide)?.[1]).toBe(exampleProfile);
    expect(profileOf(exampleProfile).courses[0]?.groups).toContain('Thursday');
  });
  it('names every key and every word', () => {
    const words = new Set<string>();
    const walk = (node: ShapeNode | undefined): void => {
      if (!node) return;
      for (const key of Object.keys(node.properties ?? {})) words.add(key);
      for (const word of node.enum ?? []) words.add(String(word));
      for (const inner of [...Object.values(node.properties ?? {}), node.items, ...(node.anyOf ?? []), typeof node.additionalProperties === 'object' ? node.additionalProperties : undefined]) walk(inner);
    };
    walk(publishedProfileShape());
    expect([...words].filter((word) => !guide.includes(`\`${word}\``))).toEqual([]);
  });
});

describe('a faulty profile is refused with line, field and remedy', () => {
  it.each([
    ['a misspelt key', `${head}unit:\n  speed: mph\n`, 'Line 2: unit: "unit" is not a key here; did you mean "units"?.'],
    ['a unit word that is none', `${head}units:\n  speed: knots\n`, "Line 3: units → speed: 'knots' is not one of the words for \"speed\"; use km/h or mph."],
    ['a unit of another quantity', `${head}machines:\n  - name: A\n    mode: treadmill\n    speed: { unit: "%", step: 1, from: 0, to: 9 }\n`, 'Line 5: machines → 1 → speed → unit: "%" is not a unit of speed here; use km/h, mph, m/min, m/s.'],
    ['a range the wrong way round', `${head}machines:\n  - name: A\n    mode: cycle\n    load: { unit: W, step: 5, from: 300, to: 25 }\n`, 'Line 5: machines → 1 → load → to: "to" (25) is not above "from" (300); write the lowest setting under "from" and the highest under "to".'],
    ['settings that go down', `${head}machines:\n  - name: A\n    mode: cycle\n    load: { unit: W, values: [25, 50, 40] }\n`, 'Line 5: machines → 1 → load → values → 3: 40 comes after 50; write the settings from the lowest up, each once.'],
    ['two machines of one name', `${head}machines:\n  - { name: A, mode: cycle, load: { unit: W, values: [25] } }\n  - { name: a, mode: cycle, load: { unit: W, values: [25] } }\n`, 'Line 4: machines → 2 → name: "a" is there twice; give each machine its own name.'],
    ['wording without its licence', `${head}scales:\n  rpe:\n    words: { "6": none }\n`, 'Line 3: scales → rpe → licence: "licence" is missing; add "licence:" with by which right the lab shows this wording: the licence, its holder and number.'],
    ['a limit beyond reason', `${head}limits:\n  systolic: 400\n  source: ours\n`, 'Line 3: limits → systolic: 400 is too large for "systolic"; at most 280.'],
    ['a limit without a source', `${head}limits:\n  systolic: 220\n`, 'Line 2: limits → source: "source" is missing; add "source:" with the policy that sets them, like "Department safety rules 2026, section 4".'],
    ['a tab', `${head}units:\n\tspeed: mph\n`, 'Line 3: a tab stands at the beginning of the line; use spaces there, two for each level.'],
  ])('%s', (_name, text, said) => expect(problems(text)[0]).toBe(said));
  it.each([
    ['another kind of file', 'schema: stagecall-lab-sheet/1\ntitle: x\n'],
    ['a newer form', 'schema: stagecall-station-profile/2\n'],
    ['not a group of keys', '- a\n- b\n'],
    ['an anchor', `${head}station: &x one\n`],
    ['a table', 'a,b,c\n1,2,3\n'],
    ['bytes', '\u0000\u0001PNG'],
    ['empty', ''],
  ])('%s: said in words, never thrown', (_name, text) => {
    expect(problems(text).length).toBeGreaterThan(0);
    expect(problems(text).join(' ')).not.toMatch(/lab sheet/);
  });
});

describe('the nearest setting of a machine', () => {
  const profile = profileOf(exampleProfile);
  const treadmill = machineFor(profile, 'treadmill', undefined);
  it('is found by the name that was written, else where there is only one of the mode', () => {
    expect(treadmill?.name).toBe('Treadmill 2');
    expect(machineFor(profile, 'cycle', ' cycle 1 ')?.name).toBe('Cycle 1');
    expect(machineFor(profile, 'cycle', 'Cycle 9')).toBeUndefined();
    expect(machineFor(undefined, 'cycle', undefined)).toBeUndefined();
  });
  it('12.5 % at steps of 1 is 12: of two equally near the lower, which asks for less', () => {
    expect(nearestValue({ unit: '%', step: 1, from: 0, to: 15 }, 12.5)).toBe(12);
    expect(nearestValue({ unit: '%', step: 1, from: 0, to: 15 }, 12.51)).toBe(13);
    expect(nearestValue({ unit: 'W', values: [25, 50, 100] }, 75)).toBe(50);
  });
  it('never leaves the machine’s range, always lands on a step, and is never further than half a step', () =>
    assert(
      property(integer({ min: 1, max: 40 }), integer({ min: 0, max: 3000 }), (step, wanted) => {
        const steps = { unit: 'W', step: step / 10, from: 2, to: 250 };
        const value = nearestValue(steps, wanted / 10);
        expect(value).toBeGreaterThanOrEqual(2);
        expect(value).toBeLessThanOrEqual(250);
        const place = (value - 2) / steps.step;
        expect(Math.abs(place - Math.round(place))).toBeLessThan(1e-6); // written with six decimals
        const highest = 2 + Math.floor(248 / steps.step + 1e-9) * steps.step;
        if (wanted / 10 >= 2 && wanted / 10 <= highest) expect(Math.abs(value - wanted / 10)).toBeLessThanOrEqual(steps.step / 2 + 1e-6);
      }),
    ));
  it('a plan that the machine has is left as it is; the others are named in the machine’s own unit', () => {
    const speed = { value: 2.735885, typed: '1.7', unit: '[mi_i]/h' as const }; // 1.7 mph in km/h
    expect(nearestSettable(treadmill, { speed, grade: { value: 10, typed: '10', unit: '%' } }).differing).toEqual({});
    // 300 kg·m/min is 49.03 W by 6.118 kg·m/min to the watt; the cycle has 50 W. Less than half a watt would be the same setting.
    const cycle = machineFor(profile, 'cycle', undefined);
    const { differing } = nearestSettable(cycle, { load: { value: 73.55, typed: '450', unit: 'kgf.m/min' }, cadence: { value: 50, typed: '50', unit: '/min' } });
    expect(differing).toEqual({ load: { value: 75, typed: '75', unit: 'W' } });
    expect(nearestSettable(undefined, { speed }).settings).toEqual({ speed });
  });
});

describe('scale wording', () => {
  it('is what the laboratory typed in, with its licence; without one there is none', () => {
    const profile = profileOf(`${head}scales:\n  rpe:\n    licence: No. 17, for teaching\n    words: { "6": made-up words, "20": more of them }\n`);
    expect(rpeWording(profile)?.at(6)).toBe('made-up words');
    expect(rpeWording(profile)?.at(13)).toBeUndefined();
    expect(rpeWording(profile)?.licence).toBe('No. 17, for teaching');
    expect(rpeWording(profileOf(head))).toBeUndefined();
  });
});
