/** The rules about which room may import what: each is shown an import that must fail and one that must pass. */
import { mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { cruise, type ICruiseResult } from 'dependency-cruiser';
import { afterAll, describe, expect, it } from 'vitest';
import rooms from '../rooms.config.mjs';

const top = path.join(import.meta.dirname, '..', '..');
// Below the checkout, so that packages resolve as they do for the rooms themselves.
mkdirSync(path.join(top, 'dist'), { recursive: true });
const scratch = mkdtempSync(path.join(top, 'dist', 'rooms-'));
afterAll(() => rmSync(scratch, { recursive: true, force: true }));

let samples = 0;

/** Writes files into rooms of their own and returns the names of the rules that they break. */
async function brokenRules(files: Record<string, string>): Promise<string[]> {
  samples += 1;
  const base = path.join(scratch, String(samples));
  const all = {
    'core/thing.ts': 'export const thing = 1;',
    'renderer/part.ts': 'export const part = 1;',
    'electron/disk.ts': 'export const disk = 1;',
    ...files,
  };
  for (const [file, text] of Object.entries(all)) {
    mkdirSync(path.dirname(path.join(base, file)), { recursive: true });
    writeFileSync(path.join(base, file), text);
  }
  const { tsConfig: _, ...options } = rooms.options ?? {};
  const folders = [...new Set(Object.keys(all).map((file) => file.split('/')[0] ?? ''))];
  const { output } = await cruise(folders, { ...options, baseDir: base, validate: true, ruleSet: { forbidden: rooms.forbidden ?? [] } });
  const { violations } = (output as ICruiseResult).summary;
  return [...new Set(violations.map(({ rule }) => rule.name))].sort();
}

const cases: readonly { rule: string; fails: Record<string, Record<string, string>>; passes: Record<string, Record<string, string>> }[] = [
  {
    rule: 'core-stands-alone',
    fails: {
      'the disk': { 'core/a.ts': "import { readFileSync } from 'node:fs'; readFileSync('x');" },
      'another room': { 'core/a.ts': "import { disk } from '../electron/disk.ts'; disk.toFixed();" },
      'a type of another room': { 'core/a.ts': "import type { part } from '../renderer/part.ts'; export type A = typeof part;" },
      'a package that draws': { 'core/a.ts': "import { Chart } from 'chart.js'; Chart.register();" },
      'a file that is not there': { 'core/a.ts': "import { gone } from './gone.ts'; gone();" },
    },
    passes: {
      'core and the pure packages': {
        'core/a.ts':
          "import { z } from 'zod'; import { parse } from 'yaml'; import { sha256 } from '@noble/hashes/sha2.js'; import { mean } from 'simple-statistics'; import Papa from 'papaparse'; import { thing } from './thing.ts'; export const all = [z, parse, sha256, mean, Papa, thing];",
      },
    },
  },
  {
    rule: 'renderer-knows-core-only',
    fails: {
      'the disk': { 'renderer/a.ts': "import { readFileSync } from 'node:fs'; readFileSync('x');" },
      'the shells': { 'renderer/a.ts': "import { disk } from '../electron/disk.ts'; disk.toFixed();" },
      'the shells, from a component': {
        'renderer/A.svelte': '<script lang="ts">import { disk } from "../electron/disk.ts";</script><p>{disk}</p>',
      },
      'a package of the station': { 'renderer/a.ts': "import pdfmake from 'pdfmake'; pdfmake.createPdf();" },
    },
    passes: {
      'core, its own files and the packages of the window': {
        'renderer/a.ts':
          "import { mount } from 'svelte'; import { Chart } from 'chart.js'; import { Dialog } from 'bits-ui'; import '@fontsource/dejavu-sans/400.css'; import { thing } from '../core/thing.ts'; import { part } from './part.ts'; import A from './A.svelte'; export const all = [mount, Chart, Dialog, thing, part, A];",
        'renderer/A.svelte': '<script lang="ts">import { thing } from "../core/thing.ts";</script><p>{thing}</p>',
      },
    },
  },
  {
    rule: 'electron-knows-core-only',
    fails: {
      'the window': { 'electron/a.ts': "import { part } from '../renderer/part.ts'; part.toFixed();" },
      'a test': { 'electron/a.ts': "import { help } from '../tests/help.ts'; help.toFixed();", 'tests/help.ts': 'export const help = 1;' },
    },
    passes: {
      'core, Node, Electron and packages': {
        'electron/a.ts':
          "import { app } from 'electron'; import os from 'node:os'; import { create } from 'fontkit'; import { thing } from '../core/thing.ts'; export const all = [app, os, create, thing];",
      },
    },
  },
  {
    rule: 'electron-stays-in-its-room',
    fails: {
      'from a test': { 'tests/a.ts': "import { app } from 'electron'; app.quit();" },
      'a type, from a test': { 'tests/a.ts': "import type { App } from 'electron'; export type A = App;" },
    },
    passes: { 'from its room': { 'electron/main.ts': "import { app } from 'electron'; app.quit();" } },
  },
  {
    rule: 'database-stays-in-the-store',
    fails: { 'from a shell': { 'electron/main.ts': "import Database from 'better-sqlite3'; new Database('x');" } },
    passes: {
      'from the store': { 'electron/store/open.ts': "import Database from 'better-sqlite3'; new Database('x');" },
      'from a test': { 'tests/store/damage.ts': "import Database from 'better-sqlite3'; new Database('x');" },
    },
  },
];

describe.each(cases)('$rule', ({ rule, fails, passes }) => {
  it.each(Object.entries(fails))('refuses %s', async (_, files) => {
    expect(await brokenRules(files)).toContain(rule);
  });

  it.each(Object.entries(passes))('allows %s', async (_, files) => {
    expect(await brokenRules(files)).toEqual([]);
  });
});

it('has a case here for every rule', () => {
  expect(cases.map(({ rule }) => rule).sort()).toEqual((rooms.forbidden ?? []).map(({ name }) => name).sort());
});

// The linter bars `Date.now` and the like from core; a date made of nothing is the one way to the clock that it cannot see.
const readsTheClock = /\bnew Date\(\s*\)|\bDate\(\s*\)/;

it('finds a reading of the clock', () => {
  expect('const now = new Date();').toMatch(readsTheClock);
  expect('const then = new Date(milliseconds);').not.toMatch(readsTheClock);
});

it('core reads no clock', () => {
  const core = path.join(top, 'core');
  const files = readdirSync(core, { recursive: true, encoding: 'utf8' }).filter((file) => file.endsWith('.ts'));
  expect(files.length).toBeGreaterThan(0);
  expect(files.filter((file) => readsTheClock.test(readFileSync(path.join(core, file), 'utf8')))).toEqual([]);
});
