/** Shows the window in an installed browser of the Chromium family: a window of its own, with a profile of its own. */
import { spawn } from 'node:child_process';
import { mkdirSync, rmSync } from 'node:fs';
import path from 'node:path';

export interface BrowserWindow {
  /** Resolves when the browser has ended: true when it had shown the window, false when it never could. */
  readonly ended: Promise<boolean>;
  /** Ends the browser. */
  close(): void;
}

/**
 * The browser's arguments.
 * @param profile a folder of its own, so that neither the person's extensions nor their open windows come in between.
 * @param root whether it runs as root, where Chromium's own sandbox cannot.
 */
export function browserArguments(address: string, profile: string, root: boolean): string[] {
  return [
    `--app=${address}`,
    `--user-data-dir=${profile}`,
    '--window-size=1366,768',
    '--no-first-run',
    '--no-default-browser-check',
    '--disable-extensions',
    '--disable-sync',
    '--disable-translate',
    // A covered window must go on counting and calling.
    '--disable-background-timer-throttling',
    '--disable-renderer-backgrounding',
    '--disable-backgrounding-occluded-windows',
    // Off by default on Linux; the heart-rate strap needs it (Chromium’s name of the feature).
    '--enable-features=WebBluetooth',
    // A killed browser must come back with our window and no question.
    '--hide-crash-restore-bubble',
    '--disable-session-crashed-bubble',
    ...(root ? ['--no-sandbox', '--test-type'] : []),
  ];
}

/** A browser that ends sooner than this with an error never showed a window. */
const NEVER_SHOWN_MS = 5_000;

export function openBrowserWindow(browser: string, address: string, profile: string): BrowserWindow {
  mkdirSync(profile, { recursive: true, mode: 0o700 });
  const began = Date.now();
  const child = spawn(browser, browserArguments(address, profile, process.getuid?.() === 0), { stdio: 'ignore' });
  const ended = new Promise<boolean>((resolve) => {
    child.once('error', () => resolve(false));
    child.once('exit', (code) => resolve(code === 0 || Date.now() - began > NEVER_SHOWN_MS));
  });
  return { ended, close: () => void child.kill() };
}

/** A profile's lock is left behind when the machine goes down; the browser would then ask on another screen. */
export function forgetStaleProfileLock(profile: string): void {
  for (const name of ['SingletonLock', 'SingletonCookie', 'SingletonSocket']) rmSync(path.join(profile, name), { force: true });
}
