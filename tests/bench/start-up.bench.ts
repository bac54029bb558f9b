/**
 * From the start of the process to the first screen that a person can use: program, station, browser and all; against a
 * blank page served by the least that a loopback shell can be, with the same browser. Turn by turn. Design: within 1.5×,
 * and at most 350 kB of compressed script for the first screen.
 */
import { chromium } from '@playwright/test';
import { spawn } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { gzipSync } from 'node:zlib';
import { findBrowser } from '../../electron/find-browser.ts';
import { programRoot } from '../../electron/program-root.ts';
import { median, ratioLine } from './statistics.ts';

const TURNS = 9;
const BUDGET = 1.5;
const SCRIPT_BUDGET_KB = 350;

interface Start {
  readonly milliseconds: number;
  /** Until the shell said where it is. */
  readonly shell: number;
  /** Compressed script loaded by then, kB. */
  readonly scriptKb: number;
}

export async function run(): Promise<void> {
  const data = mkdtempSync(path.join(os.tmpdir(), 'stagecall-start-'));
  const ours = [path.join(programRoot, 'electron', 'start.ts'), '--shell', 'browser', '--no-window', '--data', data];
  const theirs = [path.join(import.meta.dirname, 'blank-shell.ts')];
  try {
    // Twice each without counting: what a machine does once (compiled code, data folder, profile) is not what starting costs.
    const startOurs = (): Promise<Start> => start(ours, path.join(data, 'browser'));
    const startTheirs = (): Promise<Start> => start(theirs, path.join(data, 'blank-browser'));
    for (let turn = 0; turn < 2; turn++) {
      await startOurs();
      await startTheirs();
    }
    const [program, blank]: [Start[], Start[]] = [[], []];
    for (let turn = 0; turn < TURNS; turn++) {
      program.push(await startOurs());
      blank.push(await startTheirs());
    }
    const middle = (starts: readonly Start[], of: (start: Start) => number): number => median(starts.map(of));
    const line = (name: string, starts: readonly Start[]): string => `  ${name}: median ${middle(starts, ({ milliseconds }) => milliseconds).toFixed(0)} ms, of which the shell ${middle(starts, ({ shell }) => shell).toFixed(0)} ms`;
    console.log(`  ${TURNS} turns, the browser's own start included`);
    console.log(line('first usable screen', program));
    console.log(line('blank page', blank));
    console.log(ratioLine('start', middle(program, ({ milliseconds }) => milliseconds) / middle(blank, ({ milliseconds }) => milliseconds), BUDGET));
    const script = middle(program, ({ scriptKb }) => scriptKb);
    console.log(`  first-load script: ${script.toFixed(0)} kB compressed (budget ${SCRIPT_BUDGET_KB} kB)${script <= SCRIPT_BUDGET_KB ? '' : '  OVER'}`);
  } finally {
    rmSync(data, { recursive: true, force: true, maxRetries: 5 });
  }
}

/** @param profile the browser's own folder, kept from start to start as the program keeps it. */
async function start(args: readonly string[], profile: string): Promise<Start> {
  const began = performance.now();
  const shell = spawn(process.execPath, [...args], { cwd: programRoot, stdio: ['ignore', 'pipe', 'inherit'] });
  const ended = new Promise((resolve) => shell.once('exit', resolve));
  try {
    const address = await new Promise<string>((resolve, reject) => {
      let said = '';
      shell.stdout.on('data', (text: Buffer) => {
        const found = /http:\/\/127\.0\.0\.1:\d+\/\S*(?=\n)/.exec((said += String(text)))?.[0];
        if (found !== undefined) resolve(found);
      });
      shell.once('exit', (code) => reject(new Error(`the shell ended at once (${code}): ${said}`)));
    });
    const shellReady = performance.now();
    const executablePath = findBrowser();
    const browser = await chromium.launchPersistentContext(profile, {
      ...(executablePath === undefined ? {} : { executablePath }),
      viewport: { width: 1366, height: 768 },
      args: process.getuid?.() === 0 ? ['--no-sandbox'] : [],
    });
    const page = browser.pages()[0] ?? (await browser.newPage());
    const scripts: Promise<number>[] = [];
    page.on('response', (response) => {
      if (response.request().resourceType() === 'script') scripts.push(response.body().then((body) => gzipSync(body).length));
    });
    await page.goto(address, { waitUntil: 'commit' });
    // Usable: something in the main part can be pressed.
    await page.locator('main').getByRole('button').or(page.locator('main').getByRole('link')).first().waitFor();
    const usable = performance.now();
    const bytes = (await Promise.all(scripts)).reduce((sum, size) => sum + size, 0);
    await browser.close();
    return { milliseconds: usable - began, shell: shellReady - began, scriptKb: bytes / 1000 };
  } finally {
    shell.kill('SIGTERM');
    await ended;
  }
}
