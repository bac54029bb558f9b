/** The real main-process code and the real preload bundle, with a stand-in for the `electron` module. */
import { mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it, vi } from 'vitest';
import { commandNames } from '../../core/contract/contract.ts';
import { CALL, CONNECTED } from '../../electron/shell/channels.ts';
import { shellClient } from '../../renderer/api/shell-client.ts';
import { builtForElectron } from './built-for-electron.ts';
import { contractSuite } from './contract-suite.ts';
import { channels, double, invokeAs, ourFrame, stationChild } from './electron-double.ts';
import { good, Pair } from './pair.ts';
import { runPreload, shellGlobalOf, type RendererDouble } from './preload-in-vm.ts';
import { tempFolder } from './temp-folder.ts';
import { until } from './until.ts';

vi.mock('electron', async () => (await import('./electron-double.ts')).double);

const data = tempFolder();
let built: Awaited<ReturnType<typeof builtForElectron>>;
let preload: ReturnType<typeof runPreload>;

beforeAll(async () => {
  built = await builtForElectron('preload.cjs', 'station.js', 'mark-child.js');
  mkdirSync(path.join(built.folder, 'renderer', 'assets'), { recursive: true });
  writeFileSync(path.join(built.folder, 'renderer', 'index.html'), '<!doctype html><title>Stagecall</title>');
  writeFileSync(path.join(built.folder, 'secret.html'), 'not for the window');
  double.app.switches.set('data', data.folder);
  const { runApplication } = await import('../../electron/shell/application.ts');
  await runApplication(built.folder);
  const [window] = double.BrowserWindow.all;
  if (!window) throw new Error('no window was opened');
  // The page's end of the bridge: what main sends to the window's contents arrives at ipcRenderer.
  const ipcRenderer: RendererDouble = {
    invoke: (channel, ...args) => invokeAs(ourFrame, channel, ...args),
    on: (channel, listener) => void window.webContents.on(`to ${channel}`, listener),
    off: (channel, listener) => void window.webContents.off(`to ${channel}`, listener),
  };
  window.webContents.on('sent', (channel: string, message: unknown) => window.webContents.emit(`to ${channel}`, {}, message));
  preload = runPreload(path.join(built.folder, 'preload.cjs'), ipcRenderer);
  await until('the station is connected', async () => (await invokeAs(ourFrame, CONNECTED)) === true);
}, 60_000);
afterAll(() => {
  stationChild()?.kill('SIGKILL');
  built.remove();
  data.remove();
});

contractSuite('contract: Electron’s main code and preload bundle, with the electron module replaced', async () => ({
  api: shellClient(shellGlobalOf(preload.exposed)),
  prints: true,
  end: () => {},
}));

describe('the preload', () => {
  it('is one file, asks only for what a sandboxed preload may have, and puts exactly one thing into the page', () => {
    expect(preload.required).toEqual(['electron']);
    expect(Object.keys(preload.exposed)).toEqual(['stagecallShell']);
    expect(Object.keys(shellGlobalOf(preload.exposed)).sort()).toEqual(['call', 'subscribe']);
  });

  it('names every command of the contract', () => {
    const text = readFileSync(path.join(built.folder, 'preload.cjs'), 'utf8');
    for (const name of commandNames) expect(text).toContain(`"${name}"`);
  });
});

describe('who may speak to the main process', () => {
  it('takes messages on the named channels only', () => {
    expect([...channels()].sort()).toEqual([CALL, CONNECTED].sort());
  });

  it.each([
    ['a page that is gone', null],
    ['a detached frame', { ...ourFrame, detached: true }],
    ['a frame inside the page', { ...ourFrame, parent: ourFrame }],
    ['another scheme', { ...ourFrame, url: 'https://app/' }],
    ['another host', { ...ourFrame, url: 'stagecall://app.example/' }],
    ['a look-alike', { ...ourFrame, url: 'stagecall://app@evil.example/' }],
    ['a file', { ...ourFrame, url: 'file:///stagecall://app/' }],
  ])('refuses %s', async (_, frame) => {
    const error = vi.spyOn(process.stderr, 'write').mockReturnValue(true);
    expect(await invokeAs(frame, CALL, 'station.about', {})).toMatchObject({ ok: false, error: { code: 'refused' } });
    expect(error).toHaveBeenCalledOnce();
    error.mockRestore();
  });
});

describe('the window', () => {
  it('is sandboxed, isolated and served from its own scheme', () => {
    const [window] = double.BrowserWindow.all;
    expect(window).toMatchObject({
      address: 'stagecall://app/',
      shown: true,
      options: { webPreferences: { sandbox: true, contextIsolation: true, nodeIntegration: false, webSecurity: true } },
    });
    expect(double.app.sandboxed).toBe(true);
    expect(double.protocol.privileged).toEqual([expect.objectContaining({ scheme: 'stagecall' })]);
    expect(double.app.paths.get('userData')).toBe(path.join(data.folder, 'electron'));
  });

  it('gets its files with a content policy, and nothing from outside their folder', async () => {
    const serve = double.protocol.handlers.get('stagecall');
    const get = (address: string) => serve?.(new Request(address));
    const page = await get('stagecall://app/');
    expect(page?.status).toBe(200);
    expect(page?.headers.get('content-security-policy')).toMatch(/^default-src 'none'; script-src 'self'; /);
    for (const address of [
      'stagecall://app/../secret.html',
      'stagecall://app/%2e%2e/secret.html',
      'stagecall://app/..%2fsecret.html',
      'stagecall://other/index.html',
      'stagecall://app/none.html',
    ]) {
      expect((await get(address))?.status, address).toBe(404);
    }
  });

  it('goes nowhere else and opens nothing', () => {
    const contents = double.BrowserWindow.all[0]?.webContents;
    const refused = (event: string, url: string): boolean => {
      let prevented = false;
      contents?.emit(event, { url, preventDefault: () => (prevented = true) });
      return prevented;
    };
    expect(refused('will-navigate', 'https://example.org/')).toBe(true);
    expect(refused('will-navigate', 'stagecall://app.example/')).toBe(true);
    expect(refused('will-redirect', 'http://127.0.0.1:27843/')).toBe(true);
    expect(refused('will-navigate', 'stagecall://app/')).toBe(false);
    expect(refused('will-attach-webview', '')).toBe(true);
    expect(contents?.openHandler?.({ url: 'https://example.org/' })).toEqual({ action: 'deny' });
  });

  it('gets no permission but keeping the screen awake and copying', () => {
    const { request, check, device } = double.session.defaultSession;
    const asked = (permission: string, requestingUrl = 'stagecall://app/'): boolean => {
      let answer = true;
      request?.(null, permission, (granted) => (answer = granted), { requestingUrl });
      expect(check?.(null, permission, new URL(requestingUrl).origin, { requestingUrl })).toBe(answer);
      return answer;
    };
    for (const permission of ['media', 'geolocation', 'notifications', 'openExternal', 'midi', 'fullscreen', 'clipboard-read', 'unknown'])
      expect(asked(permission), permission).toBe(false);
    expect(asked('screen-wake-lock')).toBe(true);
    expect(asked('screen-wake-lock', 'https://example.org/')).toBe(false);
    expect(device?.({ deviceType: 'usb', origin: 'stagecall://app' })).toBe(false);
    expect(device?.({ deviceType: 'bluetooth', origin: 'stagecall://app' })).toBe(true);
  });
});

const walls = () => double.BrowserWindow.all.filter(({ address }) => address.includes('#/wall/'));

describe('when something goes away', () => {
  // The contract suite has opened it.
  beforeAll(() => walls()[0]?.close());

  it('starts a killed station again, tells the window, and answers what was under way', async () => {
    const api = shellClient(shellGlobalOf(preload.exposed));
    const states: boolean[] = [];
    const leave = api.subscribe({ changed: () => {}, connected: (state) => states.push(state) });
    await expect.poll(() => states).toEqual([true]);
    const pair = await new Pair(api).open();
    stationChild()?.kill('SIGKILL');
    const entered = pair.add({ kind: 'note-added', data: { text: 'while it was away' } });
    await entered;
    expect((await pair.events()).map(({ kind }) => kind)).toEqual(['session-opened', 'note-added']);
    expect(states).toEqual([true, false, true]);
    leave();
  });

  it('keeps the screen awake during a test, opens a closed window again, and ends when there is no test', async () => {
    const api = shellClient(shellGlobalOf(preload.exposed));
    expect(double.powerSaveBlocker.active.size).toBe(0);
    const pair = await (await new Pair(api).open()).exercise();
    await expect.poll(() => double.powerSaveBlocker.active.size).toBe(1);
    const [first] = double.BrowserWindow.all;
    first?.close();
    expect(double.BrowserWindow.all).toHaveLength(1);
    expect(double.BrowserWindow.all[0]).not.toBe(first);
    expect(double.app.quits).toBe(0);
    await pair.finish();
    await expect.poll(() => double.powerSaveBlocker.active.size).toBe(0);
  });

  it('saves a file where the person says, whole or not at all', async () => {
    const api = shellClient(shellGlobalOf(preload.exposed));
    const file = { name: '../worksheet.json', base64: Buffer.from('{}').toString('base64') };
    expect(await good(api.call('file.save', file))).toEqual({ saved: false });
    double.dialog.saveTo = path.join(data.folder, 'saved.json');
    expect(await good(api.call('file.save', file))).toEqual({ saved: true, where: double.dialog.saveTo });
    expect(readFileSync(double.dialog.saveTo, 'utf8')).toBe('{}');
    double.dialog.saveTo = path.join(data.folder, 'no-such-folder', 'saved.json');
    expect(await api.call('file.save', file)).toMatchObject({ ok: false, error: { code: 'not-saved' } });
    expect(await api.call('file.save', { name: 'x' } as never)).toMatchObject({ ok: false, error: { code: 'bad-input' } });
  });
});

describe('the second window', () => {
  it('shows the session that was asked for last, with every guard, on the other screen, and never takes the focus', async () => {
    const api = shellClient(shellGlobalOf(preload.exposed));
    walls()[0]?.close();
    double.screen.displays = [double.screen.displays[0]!, { id: 2, workArea: { x: 1366, y: 0, width: 1920, height: 1080 } }];
    expect(await good(api.call('window.wall', { session: 's-first-one' }))).toEqual({ opened: true });
    expect(await good(api.call('window.wall', { session: 's-second-one' }))).toEqual({ opened: true });
    expect(walls()).toHaveLength(1);
    expect(walls()[0]).toMatchObject({
      address: 'stagecall://app/#/wall/s-second-one',
      shown: false,
      shownInactive: true,
      options: { x: 1366, width: 1920, height: 1080, webPreferences: { sandbox: true, contextIsolation: true, nodeIntegration: false, webSecurity: true, backgroundThrottling: false } },
    });
    const recorder = double.BrowserWindow.all.find(({ address }) => address === 'stagecall://app/');
    walls()[0]?.emit('focus');
    expect(recorder?.focused).toBe(1);
    expect(await api.call('window.wall', { session: '../index.html' })).toMatchObject({ ok: false, error: { code: 'bad-input' } });
  });

  it('does not stand in for the recorder: closed in a test that one is opened again, and afterwards both go', async () => {
    const api = shellClient(shellGlobalOf(preload.exposed));
    const pair = await (await new Pair(api).open()).exercise();
    await expect.poll(() => double.powerSaveBlocker.active.size).toBe(1);
    double.BrowserWindow.all.find(({ address }) => address === 'stagecall://app/')?.close();
    expect(double.BrowserWindow.all.map(({ address }) => address).sort()).toEqual(['stagecall://app/', 'stagecall://app/#/wall/s-second-one']);
    expect(double.app.quits).toBe(0);
    await pair.finish();
    await expect.poll(() => double.powerSaveBlocker.active.size).toBe(0);
    walls()[0]?.close();
    expect(walls()).toHaveLength(0);
  });
});

describe('the heart-rate strap', () => {
  const page = () => double.BrowserWindow.all[0]?.webContents;
  /** What Electron does when a page asks for a device: tells what is heard, again and again, until the answer. */
  async function ask(presses: number[], ...heard: { deviceId: string; deviceName: string }[][]): Promise<string> {
    double.dialog.presses = presses;
    double.dialog.asked = [];
    let prevented = 0;
    const answer = new Promise<string>((resolve) => {
      for (const devices of heard) page()?.emit('select-bluetooth-device', { preventDefault: () => prevented++ }, devices, resolve);
    });
    await vi.advanceTimersByTimeAsync(30_000);
    expect(prevented).toBe(heard.length);
    return answer;
  }
  const straps = [
    { deviceId: 'AA:01', deviceName: 'Strap\n one' },
    { deviceId: 'BB:02', deviceName: 'Strap two' },
  ];
  beforeAll(() => void vi.useFakeTimers());
  afterAll(() => void vi.useRealTimers());

  it('is chosen by a person, never taken because it is the first or the only one', async () => {
    expect(await ask([0], straps.slice(0, 1))).toBe('AA:01');
    expect(double.dialog.asked.map(({ buttons }) => buttons)).toEqual([['Strap one', 'Search on', 'No strap']]);
    expect(await ask([1], [], straps.slice(0, 1), straps)).toBe('BB:02');
  });

  it('searches on, and lets it be', async () => {
    expect(await ask([2, 0], straps)).toBe('AA:01');
    expect(double.dialog.asked).toHaveLength(2);
    expect(await ask([3], straps)).toBe('');
  });

  it('gives up without a question where nothing is heard', async () => {
    expect(await ask([], [])).toBe('');
    expect(double.dialog.asked).toEqual([]);
  });

  it('tells straps of one name apart', async () => {
    await ask([0], [{ deviceId: 'AA:01', deviceName: '' }, { deviceId: 'BB:02', deviceName: '' }]);
    expect(double.dialog.asked[0]?.buttons.slice(0, 2)).toEqual(['Strap without a name (AA:01)', 'Strap without a name (BB:02)']);
  });
});

describe('at the end', () => {
  it('ends with its last window', async () => {
    double.BrowserWindow.all[0]?.close();
    expect(double.app.quits).toBe(1);
    await expect.poll(() => stationChild() === undefined, { timeout: 5_000 }).toBe(true);
  });
});
