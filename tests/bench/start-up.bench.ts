/**
 * From the start of the process to the first screen that a person can use: program, station, browser and all, as
 * `npm start` runs them; against a blank page that the least possible shell opens in the same browser in the same way.
 * Turn by turn. Design: within 1.5×, and at most 350 kB of compressed script for the first screen.
 */
import { chromium, type Page } from '@playwright/test';
import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, readlinkSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { findBrowser } from '../../electron/find-browser.ts';
import { programRoot } from '../../electron/program-root.ts';
import { until } from '../shells/until.ts';
import { median, ratioLine } from './statistics.ts';

const TURNS = 9;
const BUDGET = 1.5;
const SCRIPT_BUDGET_KB = 350;

interface Shell {
  readonly args: readonly string[];
  /** The browser's own folder, kept from start to start as the program keeps it. */
  readonly profile: string;
}

export async function run(): Promise<void> {
  const browser = findBrowser();
  if (browser === undefined) return console.log('  not measured: no browser of the Chromium family was found');
  const data = mkdtempSync(path.join(os.tmpdir(), 'stagecall-start-'));
  const ours: Shell = {
    args: [path.join(programRoot, 'electron', 'start.ts'), '--shell', 'browser', '--data', path.join(data, 'records')],
    profile: path.join(data, 'records', 'browser'),
  };
  const theirs: Shell = {
    args: [path.join(import.meta.dirname, 'blank-shell.ts'), path.join(data, 'blank')],
    profile: path.join(data, 'blank'),
  };
  try {
    // Twice each without counting: what a machine does once (compiled code, data folder, profile) is not what starting costs.
    for (let turn = 0; turn < 2; turn++) for (const shell of [ours, theirs]) await start(shell, browser);
    const [program, blank]: [number[], number[]] = [[], []];
    for (let turn = 0; turn < TURNS; turn++) {
      program.push(await start(ours, browser));
      blank.push(await start(theirs, browser));
    }
    console.log(`  ${TURNS} turns, the browser's own start included`);
    console.log(`  first usable screen: median ${median(program).toFixed(0)} ms`);
    console.log(`  blank page: median ${median(blank).toFixed(0)} ms`);
    console.log(ratioLine('start', median(program) / median(blank), BUDGET));
    let script = 0;
    await start(ours, browser, async (page) => {
      script = await compressedScript(page);
    });
    console.log(
      `  first-load script: ${(script / 1000).toFixed(0)} kB compressed (budget ${SCRIPT_BUDGET_KB} kB)${script / 1000 <= SCRIPT_BUDGET_KB ? '' : '  OVER'}`,
    );
  } finally {
    rmSync(data, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** @returns milliseconds from the start of the process until something in the main part of the page can be pressed. */
async function start({ args, profile }: Shell, browser: string, look: (page: Page) => Promise<void> = async () => {}): Promise<number> {
  const door = path.join(profile, 'DevToolsActivePort');
  rmSync(door, { force: true });
  const env = { ...process.env, STAGECALL_BROWSER: path.join(import.meta.dirname, 'headless-browser.mjs'), BENCH_BROWSER: browser };
  const began = performance.now();
  const shell = spawn(process.execPath, [...args], { cwd: programRoot, env, stdio: ['ignore', 'ignore', 'inherit'] });
  const ended = new Promise((resolve) => shell.once('exit', resolve));
  try {
    let port = '';
    await until('the browser is there', () => (port = portIn(door)) !== '', 60_000);
    const connected = await chromium.connectOverCDP(`http://127.0.0.1:${port}`);
    const page = connected.contexts()[0]?.pages()[0];
    if (!page) throw new Error('the browser shows no page');
    await page.locator('main').getByRole('button').or(page.locator('main').getByRole('link')).first().waitFor({ timeout: 60_000 });
    const milliseconds = performance.now() - began;
    await look(page);
    await connected.close();
    return milliseconds;
  } finally {
    shell.kill('SIGTERM');
    await ended;
    await until('the browser has ended', () => portIn(door) === '' || !isHeld(profile), 20_000);
  }
}

/** The browser's door, once it is written. */
function portIn(door: string): string {
  try {
    return readFileSync(door, 'utf8').split('\n')[0] ?? '';
  } catch {
    return '';
  }
}

function isHeld(profile: string): boolean {
  try {
    process.kill(Number(readlinkSync(path.join(profile, 'SingletonLock')).split('-').at(-1)), 0);
    return true;
  } catch {
    return false;
  }
}

/** Of all scripts that the page has loaded, gzip-compressed, in bytes. */
async function compressedScript(page: Page): Promise<number> {
  const texts = await page.evaluate(() => {
    const scripts = performance.getEntriesByType('resource').filter(({ name }) => /\.js$/.test(new URL(name).pathname));
    return Promise.all(scripts.map(({ name }) => fetch(name).then((answer) => answer.text())));
  });
  return texts.reduce((sum, text) => sum + gzipSync(text).length, 0);
}
