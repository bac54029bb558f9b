/** The window in Electron itself. Its program is fetched at first start and may be missing; then this says so, by name. */
import { _electron, expect, test } from '@playwright/test';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { binaryIn } from '../../electron/electron-binary.ts';
import { programRoot } from '../../electron/program-root.ts';

const program = binaryIn(path.join(programRoot, 'node_modules', 'electron'), process.env);

test('Electron: the window opens, is walled in, records, and its record is there after a restart', async () => {
  test.skip(program === undefined, 'Electron’s program is not on this machine (node_modules/electron/dist)');
  const data = mkdtempSync(path.join(os.tmpdir(), 'stagecall-electron-'));
  const launch = (): ReturnType<typeof _electron.launch> =>
    _electron.launch({
      ...(program === undefined ? {} : { executablePath: program }),
      args: [...(process.getuid?.() === 0 ? ['--no-sandbox'] : []), path.join(programRoot, 'dist', 'main.js'), `--data=${data}`],
      timeout: 60_000,
    });
  type Shell = { call(name: string, input: unknown): Promise<{ ok: boolean; value: { session: string; shell: string; events: unknown[] } }> };
  try {
    let running = await launch();
    let page = await running.firstWindow();
    await expect(page).toHaveTitle('Stagecall');
    expect(page.url()).toMatch(/^stagecall:\/\/app\//);
    // Nothing of Node or Electron is in the page, and one thing of ours.
    expect(await page.evaluate(() => ['require', 'process', 'module', 'ipcRenderer'].filter((name) => name in globalThis))).toEqual([]);
    const ask = (name: string, input: unknown): ReturnType<Shell['call']> => page.evaluate(([asked, given]) => (globalThis as unknown as { stagecallShell: Shell }).stagecallShell.call(asked as string, given), [name, input] as const);
    expect((await ask('station.about', {})).value.shell).toBe('electron');
    const opened = await ask('session.open', { command: 'electron-journey-1', author: 'TN', sheet: 'treadmill-maximal-bruce', way: 'live' });
    expect(opened.ok).toBe(true);
    expect((await ask('record.append', { record: opened.value.session, command: 'electron-journey-2', author: 'TN', drafts: [{ kind: 'note-added', data: { text: 'kept?' } }] })).ok).toBe(true);
    // It goes nowhere and opens nothing.
    await page.evaluate(() => void (location.href = 'https://example.org/'));
    expect(await page.evaluate(() => open('https://example.org/') === null)).toBe(true);
    expect(page.url()).toMatch(/^stagecall:\/\/app\//);
    // A script from elsewhere is not run.
    expect(
      await page.evaluate(() => new Promise((resolve) => {
        const script = document.createElement('script');
        script.textContent = 'globalThis.injected = true';
        document.head.append(script);
        setTimeout(() => resolve('injected' in globalThis), 100);
      })),
    ).toBe(false);
    await running.close();

    running = await launch();
    page = await running.firstWindow();
    await expect(page).toHaveTitle('Stagecall');
    expect((await ask('record.read', { record: opened.value.session })).value.events).toHaveLength(2);
    await running.close();
  } finally {
    rmSync(data, { recursive: true, force: true, maxRetries: 5 });
  }
});
