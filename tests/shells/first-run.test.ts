/** What runs before every command: the parts by themselves, then the whole with an npm of the test's own in a folder of its own. */
import { spawn, type ChildProcessByStdio } from 'node:child_process';
import { cpSync, existsSync, mkdirSync, mkdtempSync, readFileSync, readdirSync, rmSync, utimesSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import type { Readable } from 'node:stream';
import { setTimeout as pause } from 'node:timers/promises';
import { afterAll, beforeEach, describe, expect, it } from 'vitest';
import { npmCommand } from '../../electron/first-run/install.mjs';
import { withLock } from '../../electron/first-run/lock.mjs';
import { canLoadTheDatabase, chooseNode, flagsForTypeScript, pinnedNodePath, whatToInstall } from '../../electron/first-run/node.mjs';
import { installStamp, readStamp, sourcesStamp, writeStamp } from '../../electron/first-run/stamp.mjs';

const top = path.join(import.meta.dirname, '..', '..');
const scratch = mkdtempSync(path.join(os.tmpdir(), 'first-run-'));
afterAll(() => rmSync(scratch, { recursive: true, force: true, maxRetries: 5 }));

let folder: string;
let folders = 0;
beforeEach(() => {
  folder = path.join(scratch, String((folders += 1)));
  mkdirSync(folder);
});

function write(file: string, text: string): void {
  mkdirSync(path.dirname(path.join(folder, file)), { recursive: true });
  writeFileSync(path.join(folder, file), text);
}

describe('stamps', () => {
  it('tell the lock file and the machine apart', () => {
    const stamp = installStamp('{"a":1}', 'linux', 'x64');
    expect(installStamp(Buffer.from('{"a":1}'), 'linux', 'x64')).toBe(stamp);
    const others = [
      installStamp('{"a":2}', 'linux', 'x64'),
      installStamp('{"a":1}', 'darwin', 'x64'),
      installStamp('{"a":1}', 'linux', 'arm64'),
    ];
    expect(new Set([stamp, ...others]).size).toBe(4);
  });

  it('of sources change with content and with names, not with dates', () => {
    write('core/a.ts', 'one');
    write('core/deep/b.ts', 'two');
    const places = ['core', 'package-lock.json', 'not-there'];
    const stamp = sourcesStamp(folder, places);

    utimesSync(path.join(folder, 'core/a.ts'), 0, 0);
    write('elsewhere/c.ts', 'three');
    expect(sourcesStamp(folder, places)).toBe(stamp);

    write('core/deep/b.ts', 'TWO');
    const changed = sourcesStamp(folder, places);
    expect(changed).not.toBe(stamp);

    write('package-lock.json', '{}');
    expect(sourcesStamp(folder, places)).not.toBe(changed);
  });

  it('are read as written, and a missing one as none', () => {
    const file = path.join(folder, 'stamp');
    expect(readStamp(file)).toBeUndefined();
    writeStamp(file, 'text\n');
    expect(readStamp(file)).toBe('text\n');
    expect(readdirSync(folder)).toEqual(['stamp']);
  });
});

describe('the Node that runs', () => {
  // Node-API 10, which the database addon is built against, came with 22.14 and 23.6 (nodejs.org, "Node-API version matrix").
  it.each([
    ['v18.20.8', false],
    ['v20.19.0', false],
    ['v22.9.0', false],
    ['v22.13.1', false],
    ['v22.14.0', true],
    ['22.14.0', true],
    ['v22.22.2', true],
    ['v23.0.0', false],
    ['v23.5.0', false],
    ['v23.6.0', true],
    ['v24.0.0', true],
    ['v26.1.0', true],
  ])('%s can load the database: %s', (version, can) => {
    expect(canLoadTheDatabase(version)).toBe(can);
  });

  it.each([
    ['v22.14.0', ['--experimental-strip-types', '--disable-warning=ExperimentalWarning']],
    ['v22.18.0', []],
    ['v23.6.0', ['--disable-warning=ExperimentalWarning']],
    ['v24.2.0', ['--disable-warning=ExperimentalWarning']],
    ['v24.21.0', []],
    ['v26.1.0', []],
  ])('%s runs TypeScript with %j', (version, flags) => {
    expect(flagsForTypeScript(version)).toEqual(flags);
  });

  const old = { platform: 'linux', arch: 'x64', execPath: '/usr/bin/node', version: 'v22.13.1' };

  it('is the pinned one before any other', () => {
    expect(chooseNode('/here', old, () => true)).toEqual({ path: pinnedNodePath('/here', 'linux', 'x64'), flags: [] });
  });

  it('is the running one where there is none pinned and it is new enough', () => {
    expect(chooseNode('/here', { ...old, version: 'v22.14.0' }, () => false)).toEqual({
      path: '/usr/bin/node',
      flags: ['--experimental-strip-types', '--disable-warning=ExperimentalWarning'],
    });
  });

  it('is none where neither will do, and then one line says what to install', () => {
    expect(chooseNode('/here', old, () => false)).toBeUndefined();
    expect(whatToInstall('v22.13.1')).toMatch(/^this needs Node 24.*v22\.13\.1.*Install Node 24.*$/);
  });

  it('is looked for where npm puts the packages that package.json pins, all of which run TypeScript without flags', () => {
    const { optionalDependencies } = JSON.parse(readFileSync(path.join(top, 'package.json'), 'utf8')) as {
      optionalDependencies: Record<string, string>;
    };
    const machines = [
      ['linux', 'x64'],
      ['linux', 'arm64'],
      ['darwin', 'x64'],
      ['win32', 'x64'],
    ] as const;
    const places = machines.map(
      ([platform, arch]) => path.relative(path.join('/here', 'node_modules'), pinnedNodePath('/here', platform, arch)).split(path.sep)[0],
    );
    expect(places.sort()).toEqual(Object.keys(optionalDependencies).sort());
    for (const version of Object.values(optionalDependencies)) {
      expect(version).toMatch(/^24\.\d+\.\d+$/);
      expect(flagsForTypeScript(version)).toEqual([]);
    }
  });
});

describe('npm', () => {
  it('is the one that started us, by the Node that it runs in', () => {
    const env = { npm_execpath: '/opt/npm/bin/npm-cli.js', npm_node_execpath: '/usr/bin/node' };
    expect(npmCommand(env, 'linux', '/other/node')).toEqual({ program: '/usr/bin/node', args: ['/opt/npm/bin/npm-cli.js'], shell: false });
    expect(npmCommand({ npm_execpath: 'C:\\npm\\bin\\npm-cli.js' }, 'win32', 'C:\\node.exe')).toEqual({
      program: 'C:\\node.exe',
      args: ['C:\\npm\\bin\\npm-cli.js'],
      shell: false,
    });
  });

  it('is the one on the path where none, or another package manager, started us', () => {
    expect(npmCommand({}, 'linux')).toEqual({ program: 'npm', args: [], shell: false });
    expect(npmCommand({}, 'win32')).toEqual({ program: 'npm.cmd', args: [], shell: true });
    expect(npmCommand({ npm_execpath: '/opt/other/other.cjs' }, 'linux')).toEqual({ program: 'npm', args: [], shell: false });
  });
});

describe('the lock', () => {
  const lockHeldBy = (...processes: number[]): string => {
    const lock = path.join(folder, 'dist', 'lock');
    mkdirSync(lock, { recursive: true });
    writeFileSync(path.join(lock, 'owner.json'), JSON.stringify({ mark: 'earlier', processes }));
    return lock;
  };
  const fast = { pollMs: 5 };

  it('is held during the work and gone after it, whether it succeeds or fails', async () => {
    const lock = path.join(folder, 'dist', 'lock');
    expect(await withLock(lock, async () => existsSync(lock))).toBe(true);
    await expect(withLock(lock, () => Promise.reject(new Error('no')))).rejects.toThrow('no');
    expect(readdirSync(path.dirname(lock))).toEqual([]);
  });

  it('of an owner that lives is waited for', async () => {
    const lock = lockHeldBy(101);
    let told = 0;
    let worked = false;
    const work = withLock(lock, async () => void (worked = true), { ...fast, isAlive: () => true, waiting: () => (told += 1) });
    await pause(60);
    expect({ told, worked }).toEqual({ told: 1, worked: false });
    rmSync(lock, { recursive: true });
    await work;
    expect(worked).toBe(true);
  });

  it('of an owner that was killed is waited for while its npm still runs', async () => {
    const lock = lockHeldBy(101, 202);
    const running = new Set([202]);
    let worked = false;
    const work = withLock(lock, async () => void (worked = true), { ...fast, isAlive: (pid) => running.has(pid) });
    await pause(60);
    expect(worked).toBe(false);
    running.clear();
    await work;
    expect(worked).toBe(true);
  });

  it.each([
    ['dead', (): string => lockHeldBy(101)],
    [
      'silent for so long that its process id must be another program by now',
      (): string => {
        const lock = lockHeldBy(1);
        utimesSync(path.join(lock, 'owner.json'), 0, 0);
        return lock;
      },
    ],
    [
      'unknown, its note being empty',
      (): string => {
        const lock = lockHeldBy();
        writeFileSync(path.join(lock, 'owner.json'), '');
        return lock;
      },
    ],
    ['ourselves by number, in an earlier life', (): string => lockHeldBy(process.pid)],
  ])('of an owner that is %s is taken over', async (_, held) => {
    const lock = held();
    const isAlive = (pid: number): boolean => pid !== 101;
    expect(await withLock(lock, async () => 'worked', { ...fast, isAlive })).toBe('worked');
    expect(existsSync(lock)).toBe(false);
  });

  it('is held by one process at a time, also when all of them find a dead owner', async () => {
    const lock = lockHeldBy(2 ** 22 + 1); // above the highest process id that Linux gives
    const log = path.join(folder, 'log');
    write(
      'hold.mjs',
      `
      import { appendFileSync } from 'node:fs';
      import { withLock } from ${JSON.stringify(path.join(top, 'electron/first-run/lock.mjs'))};
      await withLock(${JSON.stringify(lock)}, async () => {
        appendFileSync(${JSON.stringify(log)}, 'in ' + process.pid + '\\n');
        await new Promise((resolve) => setTimeout(resolve, 15));
        appendFileSync(${JSON.stringify(log)}, 'out ' + process.pid + '\\n');
      }, { pollMs: 3 });
    `,
    );
    const ended = await Promise.all(
      Array.from({ length: 6 }, () => end(spawn(process.execPath, [path.join(folder, 'hold.mjs')], { stdio: ['ignore', 'pipe', 'pipe'] }))),
    );
    expect(ended.map(({ code }) => code)).toEqual([0, 0, 0, 0, 0, 0]);
    const lines = readFileSync(log, 'utf8').trim().split('\n');
    expect(lines).toHaveLength(12);
    for (let i = 0; i < 12; i += 2) expect(lines[i + 1]).toBe(lines[i]?.replace('in', 'out'));
  });
});

type Running = ChildProcessByStdio<null, Readable, Readable>;

interface Ended {
  readonly code: number | null;
  readonly stdout: string;
  readonly stderr: string;
}

function end(child: Running): Promise<Ended> {
  let stdout = '';
  let stderr = '';
  child.stdout.setEncoding('utf8').on('data', (text: string) => (stdout += text));
  child.stderr.setEncoding('utf8').on('data', (text: string) => (stderr += text));
  return new Promise((resolve) => child.once('close', (code) => resolve({ code, stdout, stderr })));
}

/** Waits for something that another process does, for at most ten seconds. */
async function until(happened: () => boolean): Promise<void> {
  for (let tries = 0; tries < 500; tries += 1) {
    if (happened()) return;
    await pause(20);
  }
  throw new Error('it did not happen within ten seconds');
}

describe('a first run', () => {
  beforeEach(() => {
    cpSync(path.join(top, 'electron/first-run.mjs'), path.join(folder, 'electron/first-run.mjs'));
    cpSync(path.join(top, 'electron/first-run'), path.join(folder, 'electron/first-run'), { recursive: true });
    write('package.json', '{"type":"module"}');
    write('package-lock.json', '{"first":true}');
    // Says what it was given; `fail` ends it with 3, `stay` keeps it until a signal comes.
    write(
      'electron/lab.ts',
      `
      const args: string[] = process.argv.slice(2);
      if (args[0] === 'fail') process.exitCode = 3;
      if (args[0] === 'stay') {
        process.on('SIGTERM', () => { console.log('told to stop'); process.exit(5); });
        setInterval(() => {}, 1000);
      }
      // Last, since the test sends its signal when it has heard this.
      console.log(JSON.stringify(args));
    `,
    );
    // As npm does it: empties the folder, fills it bit by bit. Waits half-way while a file called "hold" is there.
    write(
      'npm/npm-cli.js',
      `
      import { appendFileSync, existsSync, mkdirSync, rmSync, writeFileSync } from 'node:fs';
      appendFileSync('calls', process.argv.slice(2).join(' ') + '\\n');
      console.log('npm talks');
      rmSync('node_modules', { recursive: true, force: true });
      mkdirSync('node_modules/half', { recursive: true });
      writeFileSync('half-way', String(process.pid));
      while (existsSync('hold')) await new Promise((resolve) => setTimeout(resolve, 10));
      rmSync('half-way');
      if (existsSync('broken')) process.exit(7);
      writeFileSync('node_modules/whole', '');
    `,
    );
  });

  const start = (...args: string[]): Running =>
    spawn(process.execPath, [path.join(folder, 'electron/first-run.mjs'), 'lab', ...args], {
      cwd: folder,
      stdio: ['ignore', 'pipe', 'pipe'],
      env: { ...process.env, npm_execpath: path.join(folder, 'npm/npm-cli.js'), npm_node_execpath: process.execPath },
    });
  const run = (...args: string[]): Promise<Ended> => end(start(...args));
  const installs = (): number =>
    existsSync(path.join(folder, 'calls')) ? readFileSync(path.join(folder, 'calls'), 'utf8').trim().split('\n').length : 0;
  const isThere = (file: string): boolean => existsSync(path.join(folder, file));
  const halfWay = (): boolean => isThere('half-way') && readFileSync(path.join(folder, 'half-way'), 'utf8') !== '';

  it('installs once, keeps the standard output for the command, and hands on its arguments', async () => {
    const first = await run('replay', 'a b', '--json');
    expect(first).toMatchObject({ code: 0, stdout: '["replay","a b","--json"]\n' });
    expect(first.stderr).toMatch(/^stagecall: installing the packages/);
    expect(first.stderr).toContain('npm talks');
    expect(readFileSync(path.join(folder, 'calls'), 'utf8')).toMatch(/^ci --include=dev --include=optional --ignore-scripts /);

    expect(await run('again')).toEqual({ code: 0, stdout: '["again"]\n', stderr: '' });
    expect(installs()).toBe(1);
  });

  it('installs again when the lock file has changed', async () => {
    await run();
    write('package-lock.json', '{"first":false}');
    expect(await run()).toMatchObject({ code: 0 });
    expect(installs()).toBe(2);
  });

  it('repairs an install that was killed half-way', async () => {
    write('hold', '');
    const first = start();
    await until(halfWay);
    // Both, as when the machine is switched off.
    first.kill('SIGKILL');
    process.kill(Number(readFileSync(path.join(folder, 'half-way'), 'utf8')), 'SIGKILL');
    await end(first);
    expect(isThere('node_modules/half')).toBe(true);
    expect(isThere('node_modules/whole')).toBe(false);

    rmSync(path.join(folder, 'hold'));
    expect(await run('works')).toMatchObject({ code: 0, stdout: '["works"]\n' });
    expect(isThere('node_modules/whole')).toBe(true);
    expect(installs()).toBe(2);
  });

  it('waits for the npm of a first run that was killed, and then installs for itself', async () => {
    write('hold', '');
    const first = start();
    await until(halfWay);
    first.kill('SIGKILL');
    const second = start('works');
    const ended = end(second);
    let heard = '';
    second.stderr.on('data', (text: string) => (heard += text));
    await until(() => heard.includes('waiting for it'));
    expect(installs()).toBe(1);
    rmSync(path.join(folder, 'hold'));
    expect(await ended).toMatchObject({ code: 0, stdout: '["works"]\n' });
    expect(installs()).toBe(2);
  });

  it('that comes second lets the first install, and uses what it installed', async () => {
    write('hold', '');
    const first = run('one');
    await until(halfWay);
    const second = run('two');
    await pause(150);
    rmSync(path.join(folder, 'hold'));
    expect(await first).toMatchObject({ code: 0, stdout: '["one"]\n' });
    expect(await second).toMatchObject({ code: 0, stdout: '["two"]\n' });
    expect(installs()).toBe(1);
  });

  it('says so when npm fails, does not start the command, and tries again the next time', async () => {
    write('broken', '');
    const failed = await run('never');
    expect(failed).toMatchObject({ code: 7, stdout: '' });
    expect(failed.stderr).toContain('the packages are not installed: npm ended with 7');
    rmSync(path.join(folder, 'broken'));
    expect(await run('now')).toMatchObject({ code: 0, stdout: '["now"]\n' });
  });

  it("ends with the command's own exit code", async () => {
    expect(await run('fail')).toMatchObject({ code: 3 });
  });

  it.skipIf(process.platform === 'win32')('passes a signal on to the command and waits for its end', async () => {
    const first = start('stay');
    const ended = end(first);
    let heard = '';
    first.stdout.on('data', (text: string) => (heard += text));
    await until(() => heard.includes('stay'));
    first.kill('SIGTERM');
    expect(await ended).toMatchObject({ code: 5, stdout: '["stay"]\ntold to stop\n' });
  });

  it('knows its commands', async () => {
    const child = spawn(process.execPath, [path.join(folder, 'electron/first-run.mjs'), 'toString'], { stdio: ['ignore', 'pipe', 'pipe'] });
    expect(await end(child)).toEqual({
      code: 2,
      stdout: '',
      stderr: 'stagecall: there is no command "toString". Commands: start, test, bench, lab.\n',
    });
    expect(installs()).toBe(0);
  });

  it('says what is wrong, without a stack, in a folder that is not whole', async () => {
    rmSync(path.join(folder, 'package-lock.json'));
    const ended = await run();
    expect(ended.code).toBe(1);
    expect(ended.stderr).toMatch(/^stagecall: ENOENT.*package-lock\.json.*\n$/);
  });
});
