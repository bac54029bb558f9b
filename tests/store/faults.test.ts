/** Faults that are made to happen: each ends in its message, and nothing that was acknowledged is lost. */
import Database from 'better-sqlite3';
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { chmodSync, chownSync, existsSync, mkdirSync, readdirSync, readFileSync, statSync, truncateSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { checkChain } from '../../core/record/chain.ts';
import { backUp, backupsIn, DATABASE_NAME, KEPT, restoreNewest } from '../../electron/store/backups.ts';
import { lockFolder } from '../../electron/store/folder-lock.ts';
import { dataFolder, freeBytes, mountTypeOf, networkFileSystem, readyFolder } from '../../electron/store/folder.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import { isSealOf, stationKey } from '../../electron/station/key.ts';
import { good, Pair } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';
import { testStation } from './test-station.ts';

const { folder, remove } = tempFolder();
afterAll(remove);
let folders = 0;
const newFolder = (): string => {
  const made = path.join(folder, String(++folders));
  mkdirSync(made);
  return made;
};
/** Root is let through everywhere, so what is tried in a process of its own is tried as nobody in particular. */
const asRoot = process.getuid?.() === 0;
const nobody = asRoot ? { uid: 65_534, gid: 65_534 } : {};
/** A folder that such a process owns. */
const ownFolder = (): string => {
  const made = newFolder();
  chmodSync(folder, 0o755);
  if (asRoot) chownSync(made, 65_534, 65_534);
  return made;
};
const childFile = path.join(import.meta.dirname, 'fault-child.ts');
const children: ChildProcess[] = [];
afterEach(() => {
  for (const child of children.splice(0)) child.kill('SIGKILL');
});

interface Line {
  readonly code?: string;
  readonly message?: string;
  readonly [key: string]: unknown;
}
function lines(child: ChildProcess): () => Promise<Line> {
  children.push(child);
  const reader = createInterface({ input: child.stdout as NodeJS.ReadableStream })[Symbol.asyncIterator]();
  return async () => {
    const { value, done } = (await reader.next()) as { value?: string; done?: boolean };
    if (done || value === undefined) throw new Error('the process ended without a word');
    return JSON.parse(value) as Line;
  };
}

/** A session with some events in a database of its own. */
async function filled(notes = 200): Promise<{ data: string; file: string; session: string }> {
  const data = newFolder();
  const file = path.join(data, DATABASE_NAME);
  const station = testStation({ file });
  const pair = await new Pair(station.api).open();
  for (let index = 0; index < notes; index += 50)
    await pair.add(...Array.from({ length: 50 }, (_, at) => ({ kind: 'note-added', data: { text: `note ${index + at}` } })));
  station.stop();
  return { data, file, session: pair.session };
}

describe('a damaged database', () => {
  it('whose head was overwritten is refused, and left as it is', async () => {
    const { file } = await filled();
    const bytes = readFileSync(file);
    bytes.fill('x', 0, 100);
    writeFileSync(file, bytes);
    const opened = openStore(file);
    expect(opened).toMatchObject({ ok: false, error: { code: 'database-damaged' } });
    if (!opened.ok) expect(opened.error.message).toContain('--restore');
    expect(readFileSync(file).equals(bytes)).toBe(true);
  });

  it('with a page overwritten in the middle is refused', async () => {
    const { file } = await filled(2_000);
    const bytes = readFileSync(file);
    const pages = bytes.length / 4096;
    bytes.fill(0xff, 4096 * Math.floor(pages / 2), 4096 * (Math.floor(pages / 2) + 1));
    writeFileSync(file, bytes);
    expect(openStore(file)).toMatchObject({ ok: false, error: { code: 'database-damaged' } });
  });

  it('that was cut short is refused', async () => {
    const { file } = await filled(2_000);
    truncateSync(file, Math.floor(statSync(file).size / 2));
    expect(openStore(file)).toMatchObject({ ok: false, error: { code: 'database-damaged' } });
  });

  it('that is another kind of file is refused', () => {
    const file = path.join(newFolder(), DATABASE_NAME);
    writeFileSync(file, 'participant;age\n'.repeat(100));
    expect(openStore(file)).toMatchObject({ ok: false, error: { code: 'database-damaged' } });
  });

  it('in which one record was altered: that record opens for reading only and says so; the others go on', async () => {
    const { file, session } = await filled(50);
    const before = testStation({ file });
    const sound = await new Pair(before.api, 'AB').open();
    before.stop();
    const database = new Database(file);
    database.exec('DROP TRIGGER events_are_never_changed');
    database.prepare("UPDATE events SET body = replace(body, 'note 7', 'note 9') WHERE record = ? AND seq = 8").run(session);
    database.close();
    const { api, stop } = testStation({ file });
    const altered = new Pair(api);
    altered.session = session;
    expect((await altered.read()).events).toHaveLength(51);
    const refused = await altered.try({ kind: 'note-added', data: { text: 'more' } });
    expect(refused).toMatchObject({ ok: false, error: { code: 'record-damaged' } });
    if (!refused.ok) expect(refused.error.message).toContain('event 9 does not match its hash');
    const listed = await good(api.call('sessions.list', {}));
    expect(listed.find(({ id }) => id === session)?.readOnly).toContain('does not hold together');
    const other = new Pair(api, 'AB');
    other.session = sound.session;
    await other.add({ kind: 'note-added', data: { text: 'goes on' } });
    stop();
  });

  it('with a kind that this program does not know opens for reading only', async () => {
    const { file, session } = await filled(50);
    const store = await good(openStore(file));
    await good(
      store.append({
        record: session,
        command: 'from-a-newer-one',
        author: 'TN',
        entered: 9_999_999,
        said: '',
        facts: [{ kind: 'lactate-drawn', version: 1, data: {} }],
      }),
    );
    store.close();
    const { api, stop } = testStation({ file });
    const pair = new Pair(api);
    pair.session = session;
    expect(await pair.try({ kind: 'note-added', data: { text: 'more' } })).toMatchObject({ ok: false, error: { code: 'read-only' } });
    expect((await good(api.call('sessions.list', {})))[0]?.readOnly).toContain('lactate-drawn');
    stop();
  });
});

describe('backups', () => {
  it('are whole copies, the newest few are kept, and a fresh one is not made again at start', async () => {
    const { data, file, session } = await filled(100);
    const store = await good(openStore(file));
    const noon = Date.parse('2026-03-02T12:00:00Z');
    expect(await good(backUp(store, data, noon, 'start'))).toMatch(/stagecall-20260302T120000000Z\.sqlite$/);
    expect(await good(backUp(store, data, noon + 60_000, 'start'))).toBeUndefined();
    for (let index = 1; index <= KEPT + 3; index++) await good(backUp(store, data, noon + index * 1_000, 'closed'));
    const kept = backupsIn(data);
    expect(kept.map(({ made }) => made.getTime() - noon)).toEqual(Array.from({ length: KEPT }, (_, index) => (KEPT + 3 - index) * 1_000));
    const copy = await good(openStore(kept[0]?.file ?? ''));
    expect(checkChain(await good(copy.read(session, 0)), session).ok).toBe(true);
    copy.close();
    store.close();
  });

  it('bring back the newest sound one, and keep what was damaged', async () => {
    const { data, file, session } = await filled(100);
    const store = await good(openStore(file));
    const noon = Date.parse('2026-03-02T12:00:00Z');
    await good(backUp(store, data, noon, 'closed'));
    const unsound = await good(backUp(store, data, noon + 1_000, 'closed'));
    store.close();
    writeFileSync(unsound ?? '', 'not a database');
    writeFileSync(file, 'damaged');
    const restored = await good(restoreNewest(data, noon + 2_000));
    expect(restored.from.getTime()).toBe(noon);
    expect(readFileSync(path.join(restored.kept, DATABASE_NAME), 'utf8')).toBe('damaged');
    const again = await good(openStore(file));
    expect(checkChain(await good(again.read(session, 0)), session)).toMatchObject({ ok: true });
    again.close();
    expect(restoreNewest(newFolder(), noon)).toMatchObject({ ok: false, error: { code: 'no-backup' } });
  });
});

describe('a disk that is full', () => {
  /** A small file system in memory, if this machine lets us mount one: in a namespace of its own, so that nothing outside sees it. */
  const mayMount =
    spawnSync('unshare', ['--user', '--map-root-user', '--mount', 'mount', '-t', 'tmpfs', '-o', 'size=64k', 'tmpfs', '/mnt'], nobody).status === 0;

  it.skipIf(!mayMount)('(a real one, 1 MB in memory) refuses the entry, keeps all before it, and goes on when there is room', async () => {
    const disk = ownFolder();
    const script = `mount -t tmpfs -o size=1m tmpfs "${disk}" && exec "${process.execPath}" "${childFile}" "${disk}/data" until-full`;
    // The big file is what is thrown away to make room.
    const child = spawn(
      'unshare',
      [
        '--user',
        '--map-root-user',
        '--mount',
        'sh',
        '-c',
        script.replace('&& exec', `&& head -c 300000 /dev/zero > "${disk}/big" && exec`),
      ],
      { stdio: ['pipe', 'pipe', 'inherit'], ...nobody },
    );
    const next = lines(child);
    expect(await next()).toHaveProperty('session');
    const full = await next();
    expect(full).toMatchObject({ code: 'disk-full' });
    expect(full.message).toMatch(/The disk is full\. This entry was not saved; everything acknowledged before it was\. Free some space/);
    expect(full['kept']).toBe(full['acknowledged']);
    expect(full['acknowledged']).toBeGreaterThan(100);
    expect(spawnSync('nsenter', ['--user', '--preserve-credentials', '--mount', `--target=${child.pid}`, 'rm', `${disk}/big`], nobody).status).toBe(
      0,
    );
    child.stdin.write('go on\n');
    expect(await next()).toEqual({ again: true, events: (full['acknowledged'] as number) + 1, acknowledged: full['acknowledged'] });
  });

  it.skipIf(process.platform === 'win32')(
    '(or that takes no more for another reason: a limit on file sizes) refuses the entry and keeps all before it',
    async () => {
      // 600 blocks of 512 bytes (some shells count in 1024); the signal that would end the process is ignored, as a disk sends none.
      const script = `trap '' XFSZ; ulimit -f 600; exec "${process.execPath}" "${childFile}" "${ownFolder()}" until-full`;
      const next = lines(spawn('sh', ['-c', script], { stdio: ['pipe', 'pipe', 'inherit'], ...nobody }));
      await next();
      const failed = await next();
      expect(failed).toMatchObject({ code: 'disk-error' });
      expect(failed.message).toContain('everything acknowledged before it was');
      expect(failed['kept']).toBe(failed['acknowledged']);
      expect(failed['acknowledged']).toBeGreaterThan(100);
    },
  );
});

describe('a folder that may not be written', () => {
  it.skipIf(process.platform === 'win32')('(as an unprivileged user) is refused with the remedy', async () => {
    const readOnly = newFolder();
    chmodSync(folder, 0o755);
    chmodSync(readOnly, 0o555);
    const next = lines(spawn(process.execPath, [childFile, readOnly], { stdio: ['ignore', 'pipe', 'inherit'], ...nobody }));
    const refused = await next();
    expect(refused).toMatchObject({ code: 'folder-read-only' });
    expect(refused.message).toContain('--data FOLDER');
    expect(readdirSync(readOnly)).toEqual([]);
  });

  it.skipIf(process.platform === 'win32')('(whose database alone is read-only) is refused with the remedy', async () => {
    const { data, file } = await filled(50);
    chmodSync(file, 0o444);
    if (asRoot) for (const name of ['.', ...readdirSync(data)]) chownSync(path.join(data, name), 65_534, 65_534);
    const next = lines(spawn(process.execPath, [childFile, data], { stdio: ['ignore', 'pipe', 'inherit'], ...nobody }));
    expect(await next()).toMatchObject({ code: 'folder-read-only' });
  });

  it('is refused where part of its path is a file', () => {
    const file = path.join(newFolder(), 'a-file');
    writeFileSync(file, '');
    expect(readyFolder(file)).toMatchObject({ ok: false, error: { code: 'folder-unusable' } });
    expect(readyFolder(path.join(file, 'deeper'))).toMatchObject({ ok: false, error: { code: 'folder-unusable' } });
  });
});

describe('a folder on a network', () => {
  it.each([
    ['NFS', 0x6969, undefined, 'NFS'],
    ['CIFS, as a signed number', -0xacb2be, undefined, 'CIFS'],
    ['sshfs', 0x65735546, 'fuse.sshfs', 'fuse.sshfs'],
    ['ext4', 0xef53, 'ext4', undefined],
    ['tmpfs', 0x01021994, 'tmpfs', undefined],
    ['NTFS by FUSE', 0x65735546, 'fuseblk', undefined],
    ['an unknown FUSE', 0x65735546, undefined, undefined],
  ])('%s', (_, magic, mountType, expected) => {
    expect(networkFileSystem(magic, mountType)).toBe(expected);
  });

  it('is refused with the remedy', () => {
    const data = newFolder();
    const refused = readyFolder(data, () => 'NFS');
    expect(refused).toMatchObject({ ok: false, error: { code: 'network-folder' } });
    if (!refused.ok) expect(refused.error.message).toMatch(/NFS.*--data FOLDER/s);
    expect(readdirSync(data)).toEqual([]);
    expect(readyFolder(data)).toEqual({ ok: true, value: undefined });
  });

  it('is found by the longest mount point above it', () => {
    const mounts =
      'rootfs / rootfs rw 0 0\n/dev/sda1 / ext4 rw 0 0\nserver:/x /home/lab\\040one nfs4 rw 0 0\nme@host: /home/lab fuse.sshfs rw 0 0\n';
    expect(mountTypeOf('/home/lab one/data', mounts)).toBe('nfs4');
    expect(mountTypeOf('/home/lab/data', mounts)).toBe('fuse.sshfs');
    expect(mountTypeOf('/home/laboratory', mounts)).toBe('ext4');
  });
});

describe('a folder that another station has', () => {
  it('is refused while that runs, and free when it is killed', async () => {
    const data = ownFolder();
    const child = spawn(process.execPath, [childFile, data, 'hold'], { stdio: ['ignore', 'pipe', 'inherit'], ...nobody });
    const next = lines(child);
    await next();
    expect(await next()).toHaveProperty('holding');
    const second = await lines(spawn(process.execPath, [childFile, data], { stdio: ['ignore', 'pipe', 'inherit'], ...nobody }))();
    expect(second).toMatchObject({ code: 'in-use' });
    expect(second.message).toContain('already running with the data folder');
    expect(lockFolder(data, 'station')).toMatchObject({ ok: false, error: { code: 'in-use' } });
    const gone = new Promise((resolve) => child.once('exit', resolve));
    child.kill('SIGKILL');
    await gone;
    const free = await good(lockFolder(data, 'station'));
    expect(lockFolder(data, 'station')).toMatchObject({ ok: false, error: { code: 'in-use' } });
    expect(lockFolder(data, 'start')).toMatchObject({ ok: true });
    free.release();
  });
});

describe('the data folder', () => {
  it.each([
    [undefined, {}, 'linux', '/home/kl/.local/share/stagecall'],
    [undefined, { XDG_DATA_HOME: '/data' }, 'linux', '/data/stagecall'],
    [undefined, { STAGECALL_DATA: '/srv/lab' }, 'linux', '/srv/lab'],
    ['/asked', { STAGECALL_DATA: '/srv/lab' }, 'linux', '/asked'],
    [undefined, {}, 'darwin', '/home/kl/Library/Application Support/Stagecall'],
    [undefined, { LOCALAPPDATA: 'C:\\Users\\kl\\AppData\\Local' }, 'win32', 'C:\\Users\\kl\\AppData\\Local\\Stagecall'],
  ] as const)('%s %o on %s is %s', (asked, env, platform, expected) => {
    expect(dataFolder(asked, env, platform, '/home/kl')).toBe(expected);
  });

  it('tells how much room there is', () => {
    expect(freeBytes(folder)).toBeGreaterThan(0);
    expect(freeBytes(path.join(folder, 'not-there'))).toBeUndefined();
  });

  it.skipIf(process.platform === 'win32')('keeps the station’s key to this account, and the key signs what it says', async () => {
    const data = newFolder();
    const key = stationKey(data);
    const file = path.join(data, 'station-key.pem');
    expect(statSync(file).mode & 0o777).toBe(0o600);
    chmodSync(file, 0o644);
    expect(stationKey(data).publicKey).toBe(key.publicKey);
    expect(statSync(file).mode & 0o777).toBe(0o600);
    expect(existsSync(`${file}.new`)).toBe(false);
    const seal = key.seal('a'.repeat(64));
    expect(isSealOf(seal)).toBe(true);
    expect(isSealOf({ ...seal, head: 'b'.repeat(64) })).toBe(false);
    expect(isSealOf({ ...seal, publicKey: stationKey(newFolder()).publicKey })).toBe(false);
    expect(isSealOf({ ...seal, publicKey: 'no key', signature: '' })).toBe(false);
  });
});
