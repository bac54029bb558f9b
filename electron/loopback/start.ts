/** The loopback shell, from start to end: station, window, and what happens when either goes away. */
import path from 'node:path';
import { findBrowser } from '../find-browser.ts';
import { programRoot } from '../program-root.ts';
import { say } from '../say.ts';
import { lockFolder, type FolderLock } from '../store/folder-lock.ts';
import { readyFolder } from '../store/folder.ts';
import { rememberedAddress, windowAddress, type Address } from './address-file.ts';
import { forgetStaleProfileLock, openBrowserWindow, type BrowserWindow } from './browser-window.ts';
import { Supervisor, type Started } from './supervisor.ts';

export interface LoopbackStart {
  readonly folder: string;
  /** Why this shell and not Electron. */
  readonly why: string;
  readonly noWindow: boolean;
  /** Whether `dist/` is known to be up to date. */
  readonly built: boolean;
}

/** Windows that were closed during a test are opened again, but not for ever where they close at once. */
const MOST_REOPENED = 5;
const REOPENED_WITHIN_MS = 60_000;

/** @returns the exit code, when the person has closed the window or ended the program. */
export async function startLoopback({ folder, why, noWindow, built }: LoopbackStart): Promise<number> {
  const browser = noWindow ? undefined : findBrowser();
  const profile = path.join(folder, 'browser');
  let window: BrowserWindow | undefined;
  process.once('exit', () => window?.close());
  const show = (address: Required<Address>): BrowserWindow => (window = openBrowserWindow(browser ?? '', windowAddress(address), profile));
  const supervisor = new Supervisor({
    folder,
    ...(built ? { built: path.join(programRoot, 'dist') } : {}),
    why: `in the browser: ${why}`,
    listening(address) {
      if (browser === undefined) return;
      forgetStaleProfileLock(profile);
      show(address);
    },
    restarted: (how) => say(`the station's process had ended (${how}) and runs again; nothing acknowledged was lost.`),
    gaveUp: (how) =>
      say(
        `the station's process ends again and again (${how}). Stop with Ctrl-C and start anew; everything acknowledged is on disk. Carry on on paper meanwhile.`,
      ),
  });
  supervisor.prepare();
  const lock = startLock(folder);
  if (lock === 'in-use') {
    await supervisor.end();
    return showTheFirst(folder, noWindow);
  }
  let started: Started;
  try {
    started = await supervisor.start();
  } catch (cause) {
    window?.close();
    await supervisor.end();
    lock?.release();
    say(
      `could not start: ${(cause as Error).message}. Nothing was changed in ${folder}. Start again; if it stays so, install anew (delete the folder node_modules, then npm start).`,
    );
    return 1;
  }
  if (started.kind === 'in-use') {
    window?.close();
    lock?.release();
    return showTheFirst(folder, noWindow);
  }
  if (started.fault !== undefined) say(started.fault);
  if (started.fault !== undefined && browser === undefined) {
    await supervisor.end();
    lock?.release();
    return 1;
  }
  const end = endOf(supervisor, lock);
  const address = windowAddress(started);
  if (browser === undefined) say(`runs in a browser (${why}${noWindow ? '' : '; no Chrome, Chromium or Edge was found'}): open ${address}`);
  else say(`runs in its own window of ${path.basename(browser)} (${why}): ${address}`);
  if (window !== undefined) void keepWindow({ window, show: () => show(started), address, supervisor, end });
  const exitCode = await end.exitCode;
  // The browser's process would keep this one waiting.
  window?.close();
  return exitCode;
}

/** Undefined where the folder cannot even be locked; the station then says why. */
function startLock(folder: string): FolderLock | 'in-use' | undefined {
  if (!readyFolder(folder).ok) return undefined;
  const lock = lockFolder(folder, 'start');
  if (lock.ok) return lock.value;
  return lock.error.code === 'in-use' ? 'in-use' : undefined;
}

/** A second start shows the first: one more window on the running station. */
function showTheFirst(folder: string, noWindow: boolean): number {
  const { port, token } = rememberedAddress(folder);
  if (port === undefined) {
    say(`is already running with the data folder ${folder}, in its own window.`);
    return 0;
  }
  const address = windowAddress({ port, token });
  const browser = noWindow ? undefined : findBrowser();
  say(`is already running with the data folder ${folder}: ${browser === undefined ? `open ${address}` : 'opened a window on it.'}`);
  if (browser !== undefined) {
    const window = openBrowserWindow(browser, address, path.join(folder, 'browser'));
    void window;
  }
  return 0;
}

interface End {
  readonly exitCode: Promise<number>;
  now(exitCode: number): void;
  readonly ended: () => boolean;
}

function endOf(supervisor: Supervisor, lock: FolderLock | undefined): End {
  let ended = false;
  let resolve: (exitCode: number) => void = () => {};
  const exitCode = new Promise<number>((given) => (resolve = given));
  const endAll = async (code: number): Promise<void> => {
    await supervisor.end();
    lock?.release();
    resolve(code);
  };
  const now = (code: number): void => {
    if (ended) return;
    ended = true;
    void endAll(code);
  };
  process.on('SIGINT', () => now(0));
  process.on('SIGTERM', () => now(0));
  process.on('SIGHUP', () => now(0));
  return { exitCode, now, ended: () => ended };
}

interface Keep {
  readonly window: BrowserWindow;
  readonly show: () => BrowserWindow;
  readonly address: string;
  readonly supervisor: Supervisor;
  readonly end: End;
}

/** Shows the window again when it is closed in the middle of a test. Closing it otherwise ends the program. */
async function keepWindow({ window, show, address, supervisor, end }: Keep): Promise<void> {
  const opened: number[] = [];
  let present = window;
  while (!end.ended()) {
    const how = await present.ended;
    if (end.ended()) return;
    if (how === 'never-shown')
      return say(`the window could not be opened; open ${address} in a browser on this machine. Ctrl-C ends the program.`);
    const running = await whenNoWindowIsLeft(supervisor, end, how === 'handed-over');
    if (end.ended()) return;
    if (running === 0) return end.now(0);
    opened.push(Date.now());
    if (opened.filter((when) => Date.now() - when < REOPENED_WITHIN_MS).length > MOST_REOPENED) {
      return say(`the window keeps closing during a test; open ${address} in a browser on this machine. Ctrl-C ends the program.`);
    }
    present = show();
    say('the window was closed during a test or a recovery; it was opened again.');
  }
}

/** A browser that was handed the window needs a moment to load it; a page that is loaded again is away for a moment. */
const LOADS_WITHIN_MS = 5_000;
const AWAY_MS = 3_000;

/**
 * Waits until nobody listens any more: the window may have gone to a browser that ran already, or another one may have the
 * address open.
 * @returns how many tests and recoveries are going on.
 */
async function whenNoWindowIsLeft(supervisor: Supervisor, end: End, handedOver: boolean): Promise<number> {
  const began = Date.now();
  let lastSeen = 0;
  let told = false;
  while (!end.ended()) {
    await new Promise((resolve) => setTimeout(resolve, 200));
    const needed = await supervisor.needed();
    if (needed === undefined) continue; // it is being started again
    if (needed.windows > 0) {
      lastSeen = Date.now();
      if (!told && !handedOver) say('its window was closed; it goes on for the other one. Ctrl-C ends the program.');
      told = true;
    } else if (Date.now() - lastSeen > AWAY_MS && (told || !handedOver || Date.now() - began > LOADS_WITHIN_MS)) {
      return needed.running;
    }
  }
  return 0;
}
