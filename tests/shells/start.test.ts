/** `npm start` from outside: what it says, what it shows, and what happens when a part of it goes away. */
import { spawn, type ChildProcess } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { binaryIn, electronBinary } from '../../electron/electron-binary.ts';
import { browserArguments } from '../../electron/loopback/browser-window.ts';
import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { startOptions } from '../../electron/start-options.ts';
import { DATABASE_NAME } from '../../electron/store/backups.ts';
import { lockFolder } from '../../electron/store/folder-lock.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { good, Pair } from './pair.ts';
import { tempFolder } from './temp-folder.ts';
import { until } from './until.ts';

const root = path.resolve(import.meta.dirname, '..', '..');
const cleanUp: (() => void)[] = [];
afterEach(() => {
  for (const clean of cleanUp.splice(0).reverse()) clean();
});

function newFolder(): string {
  const { folder, remove } = tempFolder();
  cleanUp.push(remove);
  return folder;
}

class Started {
  readonly process: ChildProcess;
  readonly lines: string[] = [];
  readonly exit: Promise<number | null>;
  constructor(args: readonly string[], env: NodeJS.ProcessEnv = {}) {
    const started = spawn(process.execPath, [path.join(root, 'electron', 'start.ts'), '--shell', 'browser', ...args], {
      cwd: root,
      env: { ...process.env, ...env },
      stdio: ['ignore', 'pipe', 'pipe'],
    });
    this.process = started;
    let rest = '';
    const take = (text: Buffer): void => {
      const parts = (rest + String(text)).split('\n');
      rest = parts.pop() ?? '';
      this.lines.push(...parts);
    };
    started.stdout.on('data', take);
    started.stderr.on('data', take);
    this.exit = new Promise((resolve) => started.once('close', resolve));
    cleanUp.push(() => started.kill('SIGKILL'));
  }
  async line(pattern: RegExp): Promise<string> {
    await until(`${pattern} among: ${this.lines.join(' | ')}`, () => this.lines.some((line) => pattern.test(line)));
    return this.lines.find((line) => pattern.test(line)) ?? '';
  }
  async address(): Promise<string> {
    return /http:\S+/.exec(await this.line(/http:\/\/127\.0\.0\.1:\d+\/#token=/))?.[0] ?? '';
  }
}

function clientOf(address: string): ReturnType<typeof loopbackClient> {
  const { origin, hash } = new URL(address);
  const client = loopbackClient({ address: origin, token: hash.replace('#token=', '') });
  cleanUp.push(() => client.close());
  return client;
}

describe('npm start without a window', () => {
  it('says in one line which shell, why, and where; answers there; ends when it is told to', async () => {
    const data = newFolder();
    const first = new Started(['--no-window', '--data', data]);
    const address = await first.address();
    expect(first.lines).toEqual([`stagecall: runs in a browser (as asked): open ${address}`]);
    const about = await good(clientOf(address).call('station.about', {}));
    expect(about).toMatchObject({ shell: 'loopback', why: 'in the browser: as asked', capabilities: { save: 'download' } });
    first.process.kill('SIGTERM');
    expect(await first.exit).toBe(0);
    await expect(fetch(address)).rejects.toThrow('fetch failed');
    if (process.platform !== 'win32') expect(statSync(path.join(data, 'loopback.json')).mode & 0o777).toBe(0o600);

    // The same address again, so that a window that was left open finds it.
    const second = new Started(['--no-window', '--data', data]);
    expect(await second.address()).toBe(address);
  });

  it('shows the first where it is started a second time', async () => {
    const data = newFolder();
    const first = new Started(['--no-window', '--data', data]);
    const address = await first.address();
    const second = new Started(['--no-window', '--data', data]);
    expect(await second.exit).toBe(0);
    expect(second.lines).toEqual([`stagecall: is already running with the data folder ${data}: open ${address}`]);
    await good(clientOf(address).call('station.about', {}));
  });

  it('takes another port where another program has its own, and two folders run side by side', async () => {
    const [one, two] = [new Started(['--no-window', '--data', newFolder()]), new Started(['--no-window', '--data', newFolder()])];
    const [first, second] = await Promise.all([one.address(), two.address()]);
    expect(new URL(first).port).not.toBe(new URL(second).port);
  });

  it('starts a killed station again at the same address, says so, and keeps what was acknowledged', async () => {
    const started = new Started(['--no-window', '--data', newFolder()]);
    const address = await started.address();
    const pair = await new Pair(clientOf(address)).open();
    const station = childrenOf(started.process.pid ?? 0);
    expect(station).toHaveLength(1);
    process.kill(station[0] ?? 0, 'SIGKILL');
    await started.line(/had ended \(SIGKILL\) and runs again; nothing acknowledged was lost/);
    await pair.add({ kind: 'note-added', data: { text: 'after it' } });
    expect(await pair.events()).toHaveLength(2);
    expect(started.lines).toHaveLength(2);
  });

  it('leaves no station behind when it is killed itself', async () => {
    const data = newFolder();
    const started = new Started(['--no-window', '--data', data]);
    await started.address();
    started.process.kill('SIGKILL');
    await started.exit;
    await until('the folder is free', () => {
      const lock = lockFolder(data, 'station');
      if (lock.ok) lock.value.release();
      return lock.ok;
    });
    expect(lockFolder(data, 'station').ok).toBe(true);
  });
});

describe('npm start on a record that cannot be used', () => {
  it('says what happened, what was kept and what to do, with no stack trace, and ends with 1', async () => {
    const data = newFolder();
    writeFileSync(path.join(data, DATABASE_NAME), 'not a database '.repeat(100));
    const started = new Started(['--no-window', '--data', data]);
    expect(await started.exit).toBe(1);
    expect(started.lines).toEqual([
      expect.stringMatching(/^stagecall: The record .* is damaged .* It was left as it is.*--restore/) as string,
    ]);
  });

  it('shows the same in the window, if it has one', async () => {
    const data = newFolder();
    writeFileSync(path.join(data, DATABASE_NAME), 'not a database '.repeat(100));
    const { env } = browserDouble();
    const started = new Started(['--data', data], env);
    await started.line(/is damaged/);
    const about = await clientOf(await started.address()).call('station.about', {});
    expect(about).toMatchObject({ ok: false, error: { code: 'database-damaged' } });
  });

  it('says so when the station’s key cannot be read', async () => {
    const data = newFolder();
    writeFileSync(path.join(data, 'station-key.pem'), 'not a key');
    const started = new Started(['--no-window', '--data', data]);
    expect(await started.exit).toBe(1);
    expect(started.lines).toEqual([
      expect.stringMatching(/^stagecall: The station’s key .* cannot be read .* Move the file away and start again/) as string,
    ]);
    expect(readFileSync(path.join(data, 'station-key.pem'), 'utf8')).toBe('not a key');
  });

  it('gives up at once on a station that cannot even start', async () => {
    const options = process.env['NODE_OPTIONS'];
    cleanUp.push(() => (options === undefined ? delete process.env['NODE_OPTIONS'] : (process.env['NODE_OPTIONS'] = options)));
    process.env['NODE_OPTIONS'] = '--no-such-option-of-node';
    await expect(new Supervisor({ folder: newFolder() }).start()).rejects.toThrow(/ended at once \(exit code 9\)/);
  });

  it('goes back to the newest good copy when it is asked to', async () => {
    const data = newFolder();
    writeFileSync(path.join(data, DATABASE_NAME), 'not a database '.repeat(100));
    const refused = new Started(['--no-window', '--data', data, '--restore']);
    expect(await refused.exit).toBe(1);
    expect(refused.lines).toEqual([expect.stringContaining('There is no sound copy') as string]);
    expect(readFileSync(path.join(data, DATABASE_NAME), 'utf8')).toContain('not a database');
  });

  it('explains an option that it does not know', async () => {
    const started = new Started(['--dta', 'x']);
    expect(await started.exit).toBe(2);
    expect(started.lines).toEqual([expect.stringContaining('"--dta" is not understood. npm start') as string]);
    expect(startOptions(['--data=/x y', '--no-window'])).toEqual({ ok: true, value: { data: '/x y', noWindow: true, restore: false } });
    expect(startOptions(['--data'])).toMatchObject({ ok: false });
    expect(startOptions(['--shell', 'elsewhere'])).toMatchObject({ ok: false });
  });
});

interface BrowserStart {
  readonly pid: number;
  readonly args: readonly string[];
}

/** An installed browser that writes down how it was started. */
function browserDouble(fails = false): { readonly env: NodeJS.ProcessEnv; starts(): readonly BrowserStart[] } {
  const log = path.join(newFolder(), 'starts');
  // A window outlives a killed program; not in a test.
  cleanUp.push(() => starts().forEach(({ pid }) => endQuietly(pid)));
  const starts = (): BrowserStart[] =>
    existsSync(log)
      ? readFileSync(log, 'utf8')
          .split('\n')
          .filter(Boolean)
          .map((line) => JSON.parse(line) as BrowserStart)
      : [];
  return {
    env: {
      STAGECALL_BROWSER: path.join(import.meta.dirname, 'browser-double.mjs'),
      BROWSER_DOUBLE_LOG: log,
      BROWSER_DOUBLE_FAILS: fails ? 'yes' : 'no',
    },
    starts,
  };
}

function isRunning(pid: number): boolean {
  try {
    return process.kill(pid, 0);
  } catch {
    return false;
  }
}

function endQuietly(pid: number): void {
  try {
    process.kill(pid, 'SIGKILL');
  } catch {
    // it has ended already
  }
}

describe.skipIf(process.platform === 'win32')('npm start with a window', () => {
  it('opens it in the browser, in a profile of its own, and ends when it is closed', async () => {
    const data = newFolder();
    const { env, starts } = browserDouble();
    const started = new Started(['--data', data], env);
    const address = await started.address();
    expect(started.lines).toEqual([`stagecall: runs in its own window of browser-double.mjs (as asked): ${address}`]);
    await until('the browser was started', () => starts().length === 1);
    const [window] = starts();
    expect(window?.args).toEqual(
      expect.arrayContaining([
        `--app=${address}`,
        `--user-data-dir=${path.join(data, 'browser')}`,
        '--disable-background-timer-throttling',
      ]),
    );
    process.kill(window?.pid ?? 0, 'SIGUSR2');
    expect(await started.exit).toBe(0);
  });

  it('opens it again when it is closed in the middle of a test, and not afterwards', async () => {
    const { env, starts } = browserDouble();
    const started = new Started(['--data', newFolder()], env);
    const pair = await (await new Pair(clientOf(await started.address())).open()).exercise();
    await until('the browser was started', () => starts().length === 1);
    process.kill(starts()[0]?.pid ?? 0, 'SIGUSR2');
    await started.line(/was closed during a test or a recovery; it was opened again/);
    await until('the browser was started again', () => starts().length === 2);
    await pair.finish();
    pair.api.call('station.about', {}).catch(() => {});
    process.kill(starts()[1]?.pid ?? 0, 'SIGUSR2');
    expect(await started.exit).toBe(0);
    expect(starts()).toHaveLength(2);
  });

  it('takes its window with it when it is told to end', async () => {
    const { env, starts } = browserDouble();
    const started = new Started(['--data', newFolder()], env);
    await started.address();
    await until('the browser was started', () => starts().length === 1);
    started.process.kill('SIGTERM');
    expect(await started.exit).toBe(0);
    await until('the browser has ended', () => !isRunning(starts()[0]?.pid ?? 0));
    expect(starts()).toHaveLength(1);
  });

  it('prints the address where the window cannot be opened, and goes on', async () => {
    const { env } = browserDouble(true);
    const started = new Started(['--data', newFolder()], env);
    const address = await started.address();
    expect(await started.line(/could not be opened/)).toContain(address);
    await good(clientOf(address).call('station.about', {}));
  });

  it('goes on for another browser that has the address open', async () => {
    const { env, starts } = browserDouble();
    const started = new Started(['--data', newFolder()], env);
    const client = clientOf(await started.address());
    const states: boolean[] = [];
    client.subscribe({ changed: () => {}, connected: (state) => states.push(state) });
    await until('the browser was started', () => starts().length === 1 && states.length === 1);
    process.kill(starts()[0]?.pid ?? 0, 'SIGUSR2');
    await started.line(/goes on for the other one/);
    expect(await client.call('station.about', {})).toMatchObject({ ok: true });
    client.close();
    expect(await started.exit, 'and ends with the last').toBe(0);
  });

  it('starts browsers without their sandbox for root alone, and never throttled', () => {
    expect(browserArguments('http://x/', '/p', false)).not.toContain('--no-sandbox');
    expect(browserArguments('http://x/', '/p', true)).toContain('--no-sandbox');
    expect(browserArguments('http://x/', '/p', false)).toEqual(
      expect.arrayContaining([
        '--disable-renderer-backgrounding',
        '--disable-backgrounding-occluded-windows',
        '--enable-features=WebBluetooth,WebBluetoothNewPermissionsBackend',
      ]),
    );
  });
});

describe('Electron’s binary', () => {
  const installed = (files: Readonly<Record<string, string>>): string => {
    const top = newFolder();
    for (const [name, text] of Object.entries(files)) {
      const file = path.join(top, 'node_modules', 'electron', name);
      mkdirSync(path.dirname(file), { recursive: true });
      writeFileSync(file, text);
    }
    return top;
  };
  const justThePackage = { 'package.json': '{"version":"45.4.1"}' };

  it('is taken where it is, or where ELECTRON_OVERRIDE_DIST_PATH says', async () => {
    const top = installed({ ...justThePackage, 'path.txt': 'electron', 'dist/electron': '' });
    const never = async (): Promise<boolean> => {
      throw new Error('asked the network');
    };
    expect(await electronBinary(top, {}, never)).toEqual({
      ok: true,
      value: path.join(top, 'node_modules', 'electron', 'dist', 'electron'),
    });
    const elsewhere = path.join(top, 'node_modules', 'electron', 'dist');
    const bare = installed(justThePackage);
    expect(binaryIn(path.join(bare, 'node_modules', 'electron'), { ELECTRON_OVERRIDE_DIST_PATH: elsewhere })).toBe(
      path.join(elsewhere, process.platform === 'win32' ? 'electron.exe' : 'electron'),
    );
  });

  it('is fetched once, and not tried again the same day where that failed', async () => {
    const top = installed(justThePackage);
    let fetches = 0;
    const failing = async (): Promise<boolean> => {
      fetches++;
      return false;
    };
    expect(await electronBinary(top, {}, failing)).toMatchObject({
      ok: false,
      error: { message: 'Electron’s program could not be fetched' },
    });
    expect(await electronBinary(top, {}, failing)).toMatchObject({ ok: false });
    expect(fetches).toBe(1);
    const fetched = installed(justThePackage);
    const fetching = async (folder: string): Promise<boolean> => {
      mkdirSync(path.join(folder, 'dist'));
      writeFileSync(path.join(folder, 'dist', 'electron'), '');
      writeFileSync(path.join(folder, 'path.txt'), 'electron');
      return true;
    };
    expect(await electronBinary(fetched, {}, fetching)).toMatchObject({ ok: true });
  });

  it('is not missed where the package itself is not installed', async () => {
    expect(await electronBinary(newFolder(), {})).toMatchObject({ ok: false, error: { message: 'Electron is not installed' } });
  });
});

function childrenOf(pid: number): readonly number[] {
  return readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8').trim().split(' ').filter(Boolean).map(Number);
}
