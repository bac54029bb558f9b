/** The two shells as a page sees them, in a real Chromium. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it, vi } from 'vitest';
import { windowAddress } from '../../electron/loopback/address-file.ts';
import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { loopbackApp } from '../../electron/loopback/app.ts';
import { listen } from '../../electron/loopback/listen.ts';
import { windowFile } from '../../electron/policy/window-files.ts';
import { CONNECTED } from '../../electron/shell/channels.ts';
import { builtForElectron } from './built-for-electron.ts';
import { contractSuite } from './contract-suite.ts';
import { double, invokeAs, ourFrame, stationChild } from './electron-double.ts';
import { apiOfPage, buildBareWindow, launchChromium, watchPage, type Browser } from './in-chromium.ts';
import { keptSets } from './kept-sets.ts';
import { Pair } from './pair.ts';
import { tempFolder } from './temp-folder.ts';
import { insist, until } from './until.ts';
import { testStation } from '../store/test-station.ts';

vi.mock('electron', async () => (await import('./electron-double.ts')).double);

let browser: Browser;
const window = tempFolder();
beforeAll(async () => {
  [browser] = await Promise.all([launchChromium(), buildBareWindow(window.folder)]);
}, 60_000);
afterAll(async () => {
  await browser?.close();
  window.remove();
});

contractSuite('contract: the loopback shell, from its own page in Chromium', async () => {
  const sets = keptSets();
  const station = testStation({ markingSets: sets.markingSets });
  const token = 'a-token-of-forty-three-letters-and-digits-0';
  const listening = await listen((port) => loopbackApp({ answering: station.answering, token, port, windowFolder: window.folder }), [0]);
  const page = await browser.newPage();
  const faults = watchPage(page);
  await page.goto(windowAddress({ port: listening.port, token }));
  const { api, end } = await apiOfPage(page);
  insist(page.url() === `http://127.0.0.1:${listening.port}/`, 'the token did not leave the address bar');
  await page.reload();
  const again = await apiOfPage(page);
  end();
  void api;
  return {
    api: again.api,
    prints: false,
    async end() {
      again.end();
      insist(faults.length === 0, faults.join('\n'));
      await page.close();
      listening.close();
      station.stop();
      sets.end();
    },
  };
});

contractSuite('contract: Electron’s preload bundle in Chromium, with the electron module replaced', async () => {
  const data = tempFolder();
  const built = await builtForElectron('preload.cjs', 'station.js', 'mark-child.js');
  double.app.switches.set('data', data.folder);
  const { runApplication } = await import('../../electron/shell/application.ts');
  await runApplication(built.folder);
  const page = await browser.newPage();
  const faults = watchPage(page);
  await page.exposeBinding('mainInvoke', (_source, channel: string, args: unknown[]) => invokeAs(ourFrame, channel, ...args));
  // A stand-in for `electron` inside the page; the preload itself is the real bundle.
  await page.addInitScript(`(() => {
    const listeners = new Map();
    const ipcRenderer = {
      invoke: async (channel, ...args) => structuredClone(await globalThis.mainInvoke(channel, structuredClone(args))),
      on: (channel, listener) => listeners.set(channel, [...(listeners.get(channel) ?? []), listener]),
      off: (channel, listener) => listeners.set(channel, (listeners.get(channel) ?? []).filter((one) => one !== listener)),
    };
    globalThis.mainSends = (channel, message) => (listeners.get(channel) ?? []).forEach((listener) => listener({}, message));
    const standIn = { ipcRenderer, contextBridge: { exposeInMainWorld: (name, value) => Object.defineProperty(globalThis, name, { value: Object.freeze(value) }) } };
    const require = (name) => { if (name !== 'electron') throw new Error('not permitted: ' + name); return standIn; };
    (function (require) {
${readFileSync(path.join(built.folder, 'preload.cjs'), 'utf8')}
    })(require);
  })();`);
  const [opened] = double.BrowserWindow.all;
  opened?.webContents.on('sent', (channel: string, message: unknown) => {
    page
      .evaluate(
        ([to, what]) => (globalThis as unknown as { mainSends(channel: string, message: unknown): void }).mainSends(to as string, what),
        [channel, message] as const,
      )
      .catch(() => {});
  });
  // Chromium does not know the program's own scheme; the files and their headers are the program's.
  await page.route('http://app.test/**', async (route) => {
    const { status, headers, body } = await windowFile(window.folder, new URL(route.request().url()).pathname);
    await route.fulfill({ status, headers: { ...headers }, body: Buffer.from(body) });
  });
  await until('the station is connected', async () => (await invokeAs(ourFrame, CONNECTED)) === true);
  await page.goto('http://app.test/');
  insist(await page.evaluate(() => 'stagecallShell' in globalThis), 'the preload did not run');
  const { api, end } = await apiOfPage(page);
  return {
    api,
    prints: true,
    async end() {
      end();
      insist(faults.length === 0, faults.join('\n'));
      await page.close();
      double.BrowserWindow.all[0]?.close(); // and with the last window the station
      await until('the station has ended', () => stationChild() === undefined);
      built.remove();
      data.remove();
    },
  };
});

describe('a page whose station is killed', () => {
  const data = tempFolder();
  const supervisor = new Supervisor({ folder: data.folder });
  afterEach(async () => {
    await supervisor.end();
    data.remove();
  });

  it('waits, finds it again by itself, and its entry is there once', async () => {
    const started = await supervisor.start();
    if (started.kind !== 'ready') throw new Error('another station runs');
    const page = await browser.newPage();
    // The page is the bare window, the station the real one.
    await page.route(`http://127.0.0.1:${started.port}/`, async (route) => {
      const { status, headers, body } = await windowFile(window.folder, '/');
      await route.fulfill({ status, headers: { ...headers }, body: Buffer.from(body) });
    });
    await page.route('**/assets/window.js', async (route) => {
      const { status, headers, body } = await windowFile(window.folder, '/assets/window.js');
      await route.fulfill({ status, headers: { ...headers }, body: Buffer.from(body) });
    });
    await page.goto(windowAddress(started));
    const { api, end } = await apiOfPage(page);
    const states: boolean[] = [];
    api.subscribe({ changed: () => {}, connected: (state) => states.push(state) });
    await expect.poll(() => states).toEqual([true]);
    const pair = await new Pair(api).open();
    process.kill(supervisor.pid ?? 0, 'SIGKILL');
    await pair.add({ kind: 'note-added', data: { text: 'sent to nobody at first' } });
    await expect.poll(() => states).toEqual([true, false, true]);
    expect(await pair.events()).toHaveLength(2);
    end();
    await page.close();
  });
});
