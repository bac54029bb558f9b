/**
 * Five hundred hostile files, each ending in a clear refusal or a correct read. Ten thousand are in the benches
 * (`npm run bench -- hostile`), with the limits measured.
 */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { endPool } from '../../electron/desk/pool.ts';
import { hostileFile, type Hostile } from './hostile-maker.ts';
import { faultsOf, openHostile, soundFiles } from './hostile-run.ts';

const SEED = 5;
const FILES = 500;
let files: readonly Hostile[];
beforeAll(async () => {
  const sound = await soundFiles();
  files = Array.from({ length: FILES }, (_, index) => hostileFile(sound, SEED, index, 24));
}, 120_000);
afterAll(() => endPool());

it(`${FILES} files: PDFs, records, packed folders, tables and YAML`, { timeout: 300_000 }, async () => {
  const faults: string[] = [];
  const read: Record<string, number> = {};
  await Promise.all(
    files.map(async (file, index) => {
      const name = `file ${index} of seed ${SEED} (${file.kind}, ${file.how.slice(0, 200)})`;
      try {
        const opened = await openHostile(file, Math.floor(index / 5));
        if (opened.read) read[file.kind] = (read[file.kind] ?? 0) + 1;
        faults.push(...faultsOf(opened).map((fault) => `${name}: ${fault}`));
      } catch (cause) {
        faults.push(`${name}: threw ${String(cause)}`);
      }
    }),
  );
  expect(faults).toEqual([]);
  // Some damage harms nothing, and then the file is read; most is refused. All read or none read would be a broken test.
  for (const kind of ['pdf', 'json', 'csv'] as const) {
    expect(read[kind] ?? 0, kind).toBeGreaterThan(0);
    expect(read[kind] ?? 0, kind).toBeLessThan(90);
  }
});

it('a fault is found when there is one', () => {
  expect(faultsOf({ read: false, words: [''] })).toHaveLength(1);
  expect(faultsOf({ read: false, words: ['TypeError: Cannot read properties of undefined (reading "x")\n    at open (mark-one.ts:3:1)'] })).toHaveLength(1);
  expect(faultsOf({ read: false, words: ['x'.repeat(5000)] })).toHaveLength(1);
  expect(faultsOf({ read: true, words: [] })).toEqual([]);
});
