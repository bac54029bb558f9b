/** Gets the browser that the journeys run in: one that is installed, else one that is fetched, else Debian's. */
import { spawnSync } from 'node:child_process';
import { existsSync } from 'node:fs';
import path from 'node:path';
import { chromium } from '@playwright/test';
import { findBrowser } from '../../electron/find-browser.ts';

export type Browser = { readonly ok: true; readonly path: string; readonly how: string } | { readonly ok: false; readonly message: string };

const FETCH_MS = 5 * 60_000;
const DEBIAN_MS = 8 * 60_000;

export async function obtainBrowser(root: string): Promise<Browser> {
  const installed = findBrowser();
  if (installed && runs(installed)) return { ok: true, path: installed, how: 'installed' };
  const fetchedBefore = fetchedBrowser();
  if (fetchedBefore) return { ok: true, path: fetchedBefore, how: 'fetched before' };

  console.log('no browser of the Chromium family is installed; fetching one');
  const cli = path.join(root, 'node_modules', 'playwright', 'cli.js');
  spawnSync(process.execPath, [cli, 'install', '--no-shell', 'chromium'], { stdio: ['ignore', 'ignore', 'ignore'], timeout: FETCH_MS });
  const fetched = fetchedBrowser();
  if (fetched) return { ok: true, path: fetched, how: 'fetched' };

  if (existsSync('/etc/debian_version') && process.getuid?.() === 0) {
    console.log("it could not be fetched; installing Debian's chromium");
    const apt = (...args: string[]): boolean =>
      spawnSync('apt-get', args, {
        stdio: ['ignore', 'ignore', 'inherit'],
        timeout: DEBIAN_MS,
        env: { ...process.env, DEBIAN_FRONTEND: 'noninteractive' },
      }).status === 0;
    if (apt('update', '-q') && apt('install', '-y', '-q', '--no-install-recommends', 'chromium')) {
      const debians = findBrowser();
      if (debians && runs(debians)) return { ok: true, path: debians, how: 'installed from Debian' };
    }
  }
  return { ok: false, message: 'no browser: install Chromium, Chrome or Edge, or name one in the environment variable STAGECALL_BROWSER' };
}

/** The browser that Playwright keeps for itself, if it is there and runs: a fetched one may lack libraries of the system. */
function fetchedBrowser(): string | undefined {
  const file = chromium.executablePath();
  return existsSync(file) && runs(file) ? file : undefined;
}

/** Asked for its version, a browser on Windows opens a window instead of answering; there, being installed must do. */
function runs(file: string): boolean {
  return process.platform === 'win32' || spawnSync(file, ['--version'], { timeout: 30_000 }).status === 0;
}
