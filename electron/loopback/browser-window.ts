/** Shows the window in an installed browser of the Chromium family: a window of its own, with a profile of its own. */
import { spawn } from 'node:child_process';
import { mkdirSync, readlinkSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';

export interface BrowserWindow {
  /**
   * Resolves when the browser's process has ended: `closed` by the person, `handed-over` at once to a browser that runs
   * already with this profile and shows the window there, or `never-shown`.
   */
  readonly ended: Promise<'closed' | 'handed-over' | 'never-shown'>;
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
    // Off by default on Linux; the heart-rate strap needs it, and the second to hold its strap when a window is loaded again
    // (Chromium’s names of the features).
    '--enable-features=WebBluetooth,WebBluetoothNewPermissionsBackend',
    // A killed browser must come back with our window and no question.
    '--hide-crash-restore-bubble',
    '--disable-session-crashed-bubble',
    ...(root ? ['--no-sandbox', '--test-type'] : []),
  ];
}

/** A browser that ends sooner than this showed no window of its own. */
const NO_WINDOW_MS = 5_000;

/** Starts a browser of the Chromium family on the address, with a profile of its own. @param profile a folder that is made where it is missing. */
export function openBrowserWindow(browser: string, address: string, profile: string): BrowserWindow {
  mkdirSync(profile, { recursive: true, mode: 0o700 });
  const began = Date.now();
  const child = spawn(browser, browserArguments(address, profile, process.getuid?.() === 0), { stdio: 'ignore' });
  const ended: BrowserWindow['ended'] = new Promise((resolve) => {
    child.once('error', () => resolve('never-shown'));
    child.once('exit', (code) => {
      const soon = Date.now() - began < NO_WINDOW_MS;
      if (soon && code !== 0) resolve('never-shown');
      else resolve((isHeld(profile) ?? (process.platform === 'win32' && soon)) ? 'handed-over' : 'closed');
    });
  });
  return { ended, close: () => void child.kill() };
}

/**
 * A profile's lock is left behind when the machine goes down; the browser would then ask on another screen. One that a
 * living browser holds is left alone: a window that outlived its program shows the new one.
 */
export function forgetStaleProfileLock(profile: string): void {
  if (isHeld(profile) === false)
    for (const name of ['SingletonLock', 'SingletonCookie', 'SingletonSocket']) rmSync(path.join(profile, name), { force: true });
}

/** Whether a living browser has the profile; undefined on Windows, where the lock is of another kind, and where there is none. */
function isHeld(profile: string): boolean | undefined {
  if (process.platform === 'win32') return undefined;
  try {
    // A link to "HOST-PID".
    const holder = /^(.*)-(\d+)$/.exec(readlinkSync(path.join(profile, 'SingletonLock')));
    return holder !== null && holder[1] === os.hostname() && isAlive(Number(holder[2]));
  } catch {
    return undefined;
  }
}

function isAlive(pid: number): boolean {
  try {
    process.kill(pid, 0);
    return true;
  } catch (cause) {
    return (cause as NodeJS.ErrnoException).code === 'EPERM';
  }
}
