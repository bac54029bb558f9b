/** The guide for authors is held to the program: every key, word and name is in it, and its example says what it says it says. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { quantityNames } from '../../core/replay/quantities.ts';
import { sessionColumns } from '../../core/replay/replay.ts';
import { publishedShape, type ShapeNode } from '../../core/sheet/published.ts';
import { recordValues, resultValues, stageValues } from '../../core/sheet/references.ts';
import { marksColumns } from '../../core/worksheet/marks-csv.ts';
import { resultsJson } from '../../electron/lab/results-json.ts';
import { replayed, type Replayed } from './replayed.ts';

const guide = readFileSync(new URL('../../lab-sheets/README.md', import.meta.url), 'utf8');
/** Words that the guide sets as code. */
const coded = new Set([...guide.matchAll(/`([^`\n]+)`/g)].map((match) => match[1]));
const csv = /```csv\n([\s\S]*?)```/.exec(guide)?.[1] ?? '';

function keysOf(node: ShapeNode | undefined, found = new Set<string>()): Set<string> {
  if (!node) return found;
  for (const [key, inner] of Object.entries(node.properties ?? {})) {
    found.add(key);
    keysOf(inner, found);
  }
  for (const inner of [node.items, ...(node.anyOf ?? []), ...(node.oneOf ?? []), typeof node.additionalProperties === 'object' ? node.additionalProperties : undefined]) keysOf(inner, found);
  return found;
}

/** Words of every choice between words in the shape. */
function wordsOf(node: ShapeNode | undefined, found = new Set<string>()): Set<string> {
  if (!node) return found;
  for (const word of node.enum ?? []) found.add(String(word));
  if (node.const !== undefined) found.add(String(node.const));
  for (const inner of [...Object.values(node.properties ?? {}), node.items, ...(node.anyOf ?? []), ...(node.oneOf ?? [])]) wordsOf(inner, found);
  return found;
}

function jsonKeys(value: unknown, found = new Set<string>()): Set<string> {
  if (Array.isArray(value)) for (const item of value) jsonKeys(item, found);
  else if (typeof value === 'object' && value !== null) {
    for (const [key, inner] of Object.entries(value)) {
      found.add(key);
      jsonKeys(inner, found);
    }
  }
  return found;
}

const missing = (words: Iterable<string>): string[] => [...words].filter((word) => !coded.has(word) && ![...coded].some((text) => text?.split(/[^\w:./-]+/).includes(word)));

describe('lab-sheets/README.md', () => {
  it('names every key of a lab sheet', () => expect(missing(keysOf(publishedShape()))).toEqual([]));
  it('names every word that a key may have', () => expect(missing([...wordsOf(publishedShape())].filter((word) => !word.includes(', ')))).toEqual([]));
  it('names every value that a question may refer to', () => expect(missing([...Object.keys(recordValues), ...Object.keys(stageValues), ...Object.keys(resultValues)])).toEqual([]));
  it('names every quantity and column of a recorded session', () => expect(missing([...quantityNames, ...sessionColumns])).toEqual([]));
  it('names every column of the marks', () => expect(guide).toContain(`\`${marksColumns.join(',')}\``));

  describe('its example of a recorded session', () => {
    const { state, results, replay }: Replayed = replayed(csv);
    it('gives what the guide says', () => {
      // 1.18 L/min / 75 kg; 131 − 102; 0.6 × (208 − 0.7 × 24 − 64) + 64 = 140.32
      const said = /stage 1 predicted ([\d.]+) mL\/kg\/min, measured ([\d.]+); heart-rate recovery at 1 minute (\d+) \/min; target heart rate at 60 % of heart-rate reserve (\d+) \/min/.exec(guide);
      const [first] = results.stages;
      expect(said?.slice(1)).toEqual([first?.predicted?.relative.toFixed(1), first?.vo2Relative?.toFixed(1), String(results.recovery[0]?.value), results.prescription?.heartRate?.toFixed(0)]);
      expect(said?.slice(1)).toEqual(['16.3', '15.7', '29', '140']);
      expect(results.prescription?.maximalFrom).toBe('predicted');
    });
    it('shows a stage set late, a reading not taken and a student', () => {
      expect(state.stages[1]?.changedAt).toBe(185_000);
      expect(state.slots.get('exercise/s2/stop/vo2')?.notTaken?.reason).toBe('mask came off');
      expect(replay.worksheets.map(({ student, answers }) => [student, answers.length])).toEqual([['S-114', 2]]);
    });
    it('prints only keys that the guide explains', () => {
      const printed = resultsJson({ state, results, voids: [{ question: 'q', title: 't', row: 'r', reason: 'x', marks: 0 }], outOf: 50, worksheets: [{ student: 'S-114', worksheet: 'w', file: 'f' }], folder: 'x', warnings: replay.warnings });
      expect(missing(jsonKeys(printed))).toEqual([]);
    });
  });
});
