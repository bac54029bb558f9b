/** An erased session is gone from the bytes of every file in the data folder, whatever happens on the way, and stays gone. */
import { spawn, spawnSync } from 'node:child_process';
import { chmodSync, chownSync, copyFileSync, cpSync, existsSync, mkdirSync, readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import type { StationApi } from '../../core/contract/contract.ts';
import { dispatch } from '../../electron/station/dispatch.ts';
import { openStation, type OpenStation } from '../../electron/station/open-station.ts';
import { backUp, backupsIn, DATABASE_NAME } from '../../electron/store/backups.ts';
import { copiesIn, isSound } from '../../electron/store/copies.ts';
import { burialOf, bury } from '../../electron/store/erasing.ts';
import { intendErasure } from '../../electron/store/erasing-copies.ts';
import { openDatabase } from '../../electron/store/database.ts';
import { restoreFrom } from '../../electron/store/restoring.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import { good, Pair, SHEET } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';
import { insist } from '../shells/until.ts';
import { testStation } from './test-station.ts';

const { folder, remove } = tempFolder();
const open: OpenStation[] = [];
afterEach(() => {
  for (const running of open.splice(0)) running.stop();
});
afterAll(remove);
let folders = 0;

/** Written nowhere but in the session that is to go: in a detail, a reading, a note, an answer, an author and a command id. */
const PLANTED = ['R-PLANTED-77', '173.25', 'note-only-of-r77', 'answer-only-of-r77', 'QZ7', 'command-of-r77'];

async function station(data: string): Promise<{ api: StationApi; running: OpenStation }> {
  const running = await good(openStation({ folder: data, shell: 'test', capabilities: { save: 'download', strap: false, secondWindow: false } }));
  open.push(running);
  return { api: { call: (name: string, input: unknown) => dispatch(running.station.handlers, name, input) } as unknown as StationApi, running };
}

/** Everything in the data folder that still holds a planted text: `file: text`. */
function found(data: string): readonly string[] {
  return readdirSync(data, { recursive: true, encoding: 'utf8' }).flatMap((name) => {
    const file = path.join(data, name);
    if (!statSync(file).isFile()) return [];
    const bytes = readFileSync(file);
    return PLANTED.filter((text) => bytes.includes(text)).map((text) => `${name}: ${text}`);
  });
}

interface Planted {
  readonly data: string;
  readonly session: string;
  /** Another pair's session, which has to come through unharmed. */
  readonly other: string;
  readonly opening: { readonly command: string; readonly author: string; readonly sheet: string; readonly way: 'live' };
}
let planted: Planted;

/** A data folder with the session in the record, in its log, in two backups, in a damaged one, in a half-made one and in a record set aside. */
beforeAll(async () => {
  const data = path.join(folder, 'planted');
  mkdirSync(data);
  const { api } = await station(data);
  const opening = { command: 'command-of-r77-opening', author: 'QZ7', sheet: SHEET, way: 'live' } as const;
  const pair = new Pair(api, 'QZ7');
  pair.session = (await good(api.call('session.open', opening))).session;
  const other = await (await new Pair(api, 'AB').open()).exercise({ 'participant-code': 'R-08', ergometer: 'T2' });
  for (let round = 0; round < 10; round++) {
    await other.add(...Array.from({ length: 100 }, (_, index) => ({ kind: 'note-added', data: { text: `of the others ${round} ${index}` } })));
    await pair.add(...Array.from({ length: 100 }, (_, index) => ({ kind: 'note-added', data: { text: `note-only-of-r77 ${round} ${index} ${'long '.repeat(round * 3)}` } })));
  }
  await pair.exercise({ 'participant-code': 'R-PLANTED-77' });
  await pair.add(pair.reading('173.25'));
  await pair.finish();
  const { worksheet } = await good(api.call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-114' }));
  await good(api.call('record.append', { record: worksheet, command: 'command-of-r77-answer', author: 'k-114', drafts: [{ kind: 'answer-given', data: { question: 'hr-max', typed: 'answer-only-of-r77' } }] }));
  const file = path.join(data, DATABASE_NAME);
  // Set aside as after a crash: much of it in the log.
  const aside = path.join(data, 'replaced-20260302T150000000', DATABASE_NAME);
  mkdirSync(path.dirname(aside));
  for (const suffix of ['', '-wal']) copyFileSync(file + suffix, aside + suffix);
  for (const running of open.splice(0)) running.stop();
  const store = await good(openStore(file));
  for (let copy = 0; copy < 2; copy++) await good(backUp(store, data, Date.parse('2026-03-02T12:00:00Z') + copy * 60_000, 'closed'));
  store.close();
  const damaged = readFileSync(file);
  damaged.fill(0xff, 4096, 8192);
  writeFileSync(path.join(data, 'backups', 'stagecall-20260302T130000000Z.sqlite'), damaged);
  copyFileSync(file, path.join(data, 'backups', 'stagecall-20260302T140000000Z.sqlite.partial'));
  planted = { data, session: pair.session, other: other.session, opening };
  insist(found(data).length > 20, 'the session is planted in every file');
}, 30_000);

function copied(): Planted {
  const data = path.join(folder, String(++folders));
  cpSync(planted.data, data, { recursive: true });
  return { ...planted, data };
}

async function isUnharmed(api: StationApi, id: string): Promise<void> {
  const pair = new Pair(api, 'AB');
  pair.session = id;
  // Throws where the chain is broken.
  expect((await pair.events()).filter(({ kind }) => kind === 'note-added')).toHaveLength(1_000);
}

describe('erasing a session', () => {
  it('leaves no byte of it in record, log or any copy; a tombstone stays, and the others are unharmed', async () => {
    const { data, session, other, opening } = copied();
    const { api } = await station(data);
    // Something of it in the write-ahead log of this process, too.
    await good(api.call('worksheet.open', { command: 'command-of-r77-second', session, student: 'note-only-of-r77' }));
    expect(found(data).some((line) => line.startsWith(`${DATABASE_NAME}-wal`))).toBe(true);
    const done = await good(api.call('session.erase', { session, by: 'KL', reason: 'consent withdrawn' }));
    expect(done).toMatchObject({ worksheets: 2, copiesCleaned: 3, copiesDeleted: 1 });
    expect(found(data)).toEqual([]);
    expect(await good(api.call('sessions.erased', {}))).toEqual([{ session, by: 'KL', reason: 'consent withdrawn', worksheets: 2, erased: done.erased }]);
    expect((await good(api.call('sessions.list', {}))).map(({ id }) => id)).toEqual([other]);
    await isUnharmed(api, other);
    expect(await api.call('session.open', opening)).toMatchObject({ ok: false, error: { code: 'erased' } });
    for (const running of open.splice(0)) running.stop();
    expect(found(data)).toEqual([]);

    // The copies are whole, hold the others, and bring nothing back.
    expect(backupsIn(data)).toHaveLength(2);
    const [newest] = backupsIn(data);
    if (newest) await good(restoreFrom(data, newest, Date.now()));
    const again = await station(data);
    expect(await again.api.call('record.read', { record: session })).toMatchObject({ ok: false, error: { code: 'erased' } });
    expect(await again.api.call('session.open', opening)).toMatchObject({ ok: false, error: { code: 'erased' } });
    await isUnharmed(again.api, other);
    expect(found(data)).toEqual([]);
  });

  it('goes back to no copy with the session in it, even one that was put into the folder afterwards', async () => {
    const { data, session } = copied();
    const { api } = await station(data);
    await good(api.call('session.erase', { session, by: 'KL', reason: 'end of term' }));
    for (const running of open.splice(0)) running.stop();
    const foreign = path.join(data, 'backups', 'stagecall-20260303T120000000Z.sqlite');
    copyFileSync(path.join(planted.data, DATABASE_NAME), foreign);
    const copy = backupsIn(data).find(({ file }) => file === foreign);
    if (copy) await good(restoreFrom(data, copy, Date.now()));
    const again = await station(data);
    expect((await good(again.api.call('sessions.list', {}))).some(({ id }) => id === session)).toBe(false);
    expect(await again.api.call('record.read', { record: session })).toMatchObject({ ok: false, error: { code: 'erased' } });
  });

  it('takes the gas exchange files with it, but not one that another session has too', async () => {
    const data = path.join(folder, String(++folders));
    mkdirSync(data);
    const file = path.join(data, DATABASE_NAME);
    const { api, store, stop } = testStation({ file });
    const [gone, kept] = [await new Pair(api).open(), await new Pair(api, 'AB').open()];
    const series = async (text: string, ...sessions: Pair[]): Promise<string> => {
      const hash = await good(store.putSeries(text, Date.parse('2026-03-02T12:00:00Z')));
      for (const { session } of sessions)
        await good(store.append({ record: session, command: `attach-${hash.slice(0, 8)}-${session}`, author: 'TN', entered: 9_999, said: '', facts: [{ kind: 'series-attached', version: 1, data: { hash } }] }));
      return hash;
    };
    const own = await series('answer-only-of-r77 '.repeat(2_000), gone);
    const shared = await series('of both', gone, kept);
    const others = await series('of the others', kept);
    const unnamed = await series('note-only-of-r77: an import that was given up');
    await good(api.call('session.erase', { session: gone.session, by: 'KL', reason: 'consent withdrawn' }));
    expect(await Promise.all([own, shared, others, unnamed].map((hash) => good(store.series(hash))))).toEqual([undefined, 'of both', 'of the others', undefined]);
    expect(found(data)).toEqual([]);
    await good(api.call('session.erase', { session: kept.session, by: 'KL', reason: 'consent withdrawn' }));
    expect(await Promise.all([shared, others].map((hash) => good(store.series(hash))))).toEqual([undefined, undefined]);
    stop();
  });

  it('needs the passphrase where one is set', async () => {
    const { data, session } = copied();
    const { api } = await station(data);
    await good(api.call('passphrase.set', { passphrase: 'four plain words here' }));
    const erase = { session, by: 'KL', reason: 'consent withdrawn' };
    expect(await api.call('session.erase', erase)).toMatchObject({ ok: false, error: { code: 'passphrase-needed' } });
    expect(await api.call('session.erase', { ...erase, passphrase: 'some other words' })).toMatchObject({ ok: false, error: { code: 'passphrase-wrong' } });
    expect(found(data)).not.toEqual([]);
    await good(api.call('session.erase', { ...erase, passphrase: 'four plain words here' }));
    expect(found(data)).toEqual([]);
  });

  it.skipIf(process.platform === 'win32')('says so where a copy cannot be written (as an unprivileged user), and is finished when it is asked for again', async () => {
    const { data, session, other } = copied();
    const asRoot = process.getuid?.() === 0;
    const nobody = asRoot ? { uid: 65_534, gid: 65_534 } : {};
    chmodSync(folder, 0o755);
    if (asRoot) for (const name of ['.', ...readdirSync(data, { recursive: true, encoding: 'utf8' })]) chownSync(path.join(data, name), 65_534, 65_534);
    const closed = backupsIn(data).find(({ file }) => isSound(file));
    chmodSync(closed?.file ?? '', 0o444);
    const asked = (): { ok: boolean; error?: { code: string; message: string } } => {
      const ran = spawnSync(process.execPath, [path.join(import.meta.dirname, 'fault-child.ts'), data, `erase ${session}`], { encoding: 'utf8', ...nobody });
      return JSON.parse(ran.stdout.trim().split('\n').at(-1) ?? '') as ReturnType<typeof asked>;
    };
    const refused = asked();
    expect(refused).toMatchObject({ ok: false, error: { code: 'erasure-unfinished' } });
    expect(refused.error?.message).toMatch(/^The erasure is not finished: .*may not be written to.*Ask for it again/);
    expect(found(data).every((line) => line.startsWith(`backups/${path.basename(closed?.file ?? '')}:`))).toBe(true);
    chmodSync(closed?.file ?? '', 0o644);
    expect(asked().ok).toBe(true);
    expect(found(data)).toEqual([]);
    await isUnharmed((await station(data)).api, other);
  });

  it.each([
    ['it was only written down', () => undefined],
    [
      'its rows were gone, their bytes not yet',
      (data: string, burial: ReturnType<typeof burialOf>) => {
        const database = openDatabase(path.join(data, DATABASE_NAME));
        if (!database.ok) throw new Error(database.error.message);
        bury(database.value, burial);
        database.value.close();
      },
    ],
  ])('is finished at the next start where the process ended when %s', async (_, half) => {
    const { data, session, other } = copied();
    const burial = burialOf({ session, erased: '2026-03-03T09:00:00+00:00', by: 'KL', reason: 'consent withdrawn', worksheets: 1 }, 'command-of-r77-opening');
    await good(intendErasure(data, burial));
    half(data, burial);
    expect(found(data)).not.toEqual([]);
    const { api } = await station(data);
    expect(found(data)).toEqual([]);
    expect(await good(api.call('sessions.erased', {}))).toEqual([{ session, by: 'KL', reason: 'consent withdrawn', worksheets: 1, erased: burial.erased }]);
    const { notices } = await good(api.call('station.about', {}));
    expect(notices).toContainEqual(expect.objectContaining({ text: expect.stringContaining('An erasure that was interrupted was finished') as string }));
    await isUnharmed(api, other);
    expect(existsSync(path.join(data, 'erasing.json'))).toBe(false);
  });

  const KILLS = Number(process.env['STAGECALL_ERASURE_KILLS'] ?? 3);
  it(`killed at any instant is either not begun or finished after the restart (${KILLS} kills)`, { timeout: 20_000 + KILLS * 3_000 }, async () => {
    const ends = { whole: 0, gone: 0 };
    for (let kill = 0; kill < KILLS; kill++) {
      const { data, session, other } = copied();
      const child = spawn(process.execPath, [path.join(import.meta.dirname, 'fault-child.ts'), data, `erase ${session}`], { stdio: ['ignore', 'pipe', 'inherit'] });
      const ended = new Promise((resolve) => child.once('exit', resolve));
      await new Promise((resolve) => child.stdout.once('data', resolve));
      // Spread over the whole of it (about 150 ms on the machine where this was written), not drawn, so that no run is all at one end.
      await new Promise((resolve) => setTimeout(resolve, (kill * 150) / KILLS));
      child.kill('SIGKILL');
      await ended;
      const intended = existsSync(path.join(data, 'erasing.json'));
      const { api } = await station(data);
      const listed = (await good(api.call('sessions.list', {}))).some(({ id }) => id === session);
      const tombstones = await good(api.call('sessions.erased', {}));
      if (listed) {
        const pair = new Pair(api, 'QZ7');
        pair.session = session;
        expect((await pair.events()).filter(({ kind }) => kind === 'note-added')).toHaveLength(1_000);
        expect({ intended, tombstones: tombstones.length, copies: copiesIn(data).length }).toEqual({ intended: false, tombstones: 0, copies: 4 });
        ends.whole += 1;
      } else {
        expect(found(data)).toEqual([]);
        expect(tombstones.map((tombstone) => tombstone.session)).toEqual([session]);
        ends.gone += 1;
      }
      await isUnharmed(api, other);
      for (const running of open.splice(0)) running.stop();
    }
    expect(ends.whole + ends.gone).toBe(KILLS);
    console.log(`erasure killed ${KILLS} times: ${ends.gone} gone, ${ends.whole} whole`);
  });
});
