/** Going back to a copy: from the window, by choice or because the record is damaged; and killed half way. */
import { copyFileSync, cpSync, existsSync, mkdirSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { backUp, backupsIn, DATABASE_NAME } from '../../electron/store/backups.ts';
import { copiesIn, isSound } from '../../electron/store/copies.ts';
import { finishRestore, lastRestore, restoreFrom } from '../../electron/store/restoring.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { good, Pair } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';
import { testStation } from './test-station.ts';

const { folder, remove } = tempFolder();
afterAll(remove);
let folders = 0;
const cleanUp: (() => unknown)[] = [];
afterEach(async () => {
  for (const undo of cleanUp.splice(0).reverse()) await undo();
});

const NOON = Date.parse('2026-03-02T12:00:00Z');

/** A record of one session with 50 notes, a copy of it, and 20 notes more. */
async function withCopy(): Promise<{ data: string; file: string; session: string }> {
  const data = path.join(folder, String(++folders));
  mkdirSync(data);
  const file = path.join(data, DATABASE_NAME);
  const station = testStation({ file });
  const pair = await new Pair(station.api).open();
  const notes = (count: number) => pair.add(...Array.from({ length: count }, (_, at) => ({ kind: 'note-added', data: { text: `note ${at}` } })));
  await notes(50);
  await good(backUp(station.store, data, NOON, 'closed'));
  await notes(20);
  station.stop();
  return { data, file, session: pair.session };
}

async function lengthOf(file: string, session: string): Promise<number> {
  const store = await good(openStore(file));
  const events = await good(store.read(session, 0));
  store.close();
  return events.length;
}

async function started(data: string) {
  const supervisor = new Supervisor({ folder: data });
  cleanUp.push(() => supervisor.end());
  const address = await supervisor.start();
  if (address.kind !== 'ready') throw new Error('another station runs');
  const client = loopbackClient({ address: `http://127.0.0.1:${address.port}`, token: address.token });
  cleanUp.push(() => client.close());
  return { client, fault: address.fault };
}

describe('from the window', () => {
  it('by choice: says what the copy lacks, keeps the present record, starts again, and can be undone the same way', { timeout: 30_000 }, async () => {
    const { data, file, session } = await withCopy();
    const { client } = await started(data);
    const listed = await good(client.call('backups.list', {}));
    expect(listed).toMatchObject({ present: true, copies: [{ kind: 'backup', made: '2026-03-02T12:00:00.000Z', holds: { sessions: 1, worksheets: 0, entries: 51 }, lacks: { sessions: 0, worksheets: 0, entries: 20 } }] });
    const { restored: before } = await good(client.call('station.about', {}));
    const command = 'go-back-once';
    const name = listed.copies[0]?.name ?? '';
    const pair = await new Pair(client, 'AB').open();
    await pair.exercise();
    expect(await client.call('backup.restore', { command, name })).toMatchObject({ ok: false, error: { code: 'test-running' } });
    await pair.finish();

    const done = await good(client.call('backup.restore', { command, name }));
    expect(done.made).toBe('2026-03-02T12:00:00.000Z');
    // The next answer comes from the process that was started again; the command, sent once more, is answered and not done twice.
    const about = await good(client.call('station.about', {}));
    expect(about.restored).not.toBe(before);
    expect(about.notices.map(({ text }) => text).join()).toContain('went back to the copy of 2026-03-02, 12:00');
    expect(await good(client.call('backup.restore', { command, name }))).toEqual(done);
    expect((await good(client.call('sessions.list', {}))).map(({ id, events }) => [id, events])).toEqual([[session, 51]]);

    // Back to what was set aside: both sessions, all entries.
    const aside = (await good(client.call('backups.list', {}))).copies.find(({ kind }) => kind === 'set-aside');
    expect(aside?.holds?.sessions).toBe(2);
    await good(client.call('backup.restore', { command: 'undo-going-back', name: aside?.name ?? '' }));
    await good(client.call('station.about', {}));
    expect((await good(client.call('sessions.list', {}))).map(({ id }) => id)).toEqual([pair.session, session]);
    expect((await good(client.call('record.read', { record: session }))).events).toHaveLength(71);
    expect(existsSync(file)).toBe(true);
  });

  it('where the record is damaged: the copies are listed all the same, and the damaged one is kept', { timeout: 30_000 }, async () => {
    const { data, file, session } = await withCopy();
    const bytes = readFileSync(file);
    bytes.fill('x', 0, 100);
    writeFileSync(file, bytes);
    writeFileSync(path.join(data, 'backups', 'stagecall-20260302T130000000Z.sqlite'), 'damaged as well');
    const { client, fault } = await started(data);
    expect(fault).toContain('is damaged');
    expect(await client.call('sessions.list', {})).toMatchObject({ ok: false, error: { code: 'database-damaged' } });
    const { present, copies } = await good(client.call('backups.list', {}));
    expect(present).toBe(false);
    expect(copies.map(({ holds }) => holds?.entries)).toEqual([undefined, 51]);
    expect(copies[1]?.lacks).toBeUndefined();
    expect(await client.call('backup.restore', { command: 'a-damaged-one', name: copies[0]?.name ?? '' })).toMatchObject({ ok: false, error: { code: 'copy-damaged' } });
    expect(await client.call('backup.restore', { command: 'none-of-ours', name: '../elsewhere.sqlite' })).toMatchObject({ ok: false, error: { code: 'no-such-copy' } });
    const { kept } = await good(client.call('backup.restore', { command: 'the-good-one', name: copies[1]?.name ?? '' }));
    await good(client.call('station.about', {}));
    expect((await good(client.call('sessions.list', {}))).map(({ id, events }) => [id, events])).toEqual([[session, 51]]);
    expect(readFileSync(path.join(data, kept, DATABASE_NAME)).equals(bytes)).toBe(true);
  });
});

describe('killed half way', () => {
  /** The folder as a kill between two steps leaves it: the steps are those of `finish` in restoring.ts. */
  async function half(steps: number): Promise<{ data: string; file: string; session: string; kept: string }> {
    const made = await withCopy();
    const [copy] = backupsIn(made.data);
    if (!copy) throw new Error('no copy');
    const kept = path.join(made.data, 'replaced-20260302T150000000');
    mkdirSync(kept);
    copyFileSync(copy.file, path.join(kept, 'restoring.sqlite'));
    if (steps >= 1) writeFileSync(path.join(made.data, 'restoring.json'), JSON.stringify({ at: '2026-03-02T15:00:00.000Z', name: copy.name, made: copy.made.toISOString(), kept: path.basename(kept) }));
    if (steps >= 2) renameSync(made.file, path.join(kept, DATABASE_NAME));
    if (steps >= 3) renameSync(path.join(kept, 'restoring.sqlite'), made.file);
    return { ...made, kept };
  }

  it.each([1, 2, 3])('after step %i it is finished at the next start', async (steps) => {
    const { data, file, session, kept } = await half(steps);
    await good(finishRestore(data));
    expect(await lengthOf(file, session)).toBe(51);
    expect(await lengthOf(path.join(kept, DATABASE_NAME), session)).toBe(71);
    expect(existsSync(path.join(data, 'restoring.json'))).toBe(false);
    expect(lastRestore(data)?.made).toBe('2026-03-02T12:00:00.000Z');
  });

  it('before anything was decided, the record is as it was', async () => {
    const { data, file, session } = await half(0);
    await good(finishRestore(data));
    expect(await lengthOf(file, session)).toBe(71);
    expect(copiesIn(data)).toHaveLength(1);
  });
});

describe('a copy', () => {
  it('of a record with a write-ahead log beside it is gone back to with what is in the log', async () => {
    const { data, file, session } = await withCopy();
    const aside = path.join(data, 'damaged-20260301T090000000');
    mkdirSync(aside);
    const store = await good(openStore(file));
    await good(store.append({ record: session, command: 'late-entry', author: 'TN', entered: 9_999_999, said: '', facts: [{ kind: 'note-added', version: 1, data: { text: 'only in the log' } }] }));
    for (const suffix of ['', '-wal']) cpSync(file + suffix, path.join(aside, DATABASE_NAME + suffix));
    store.close();
    const copy = copiesIn(data).find(({ kind }) => kind === 'set-aside');
    if (!copy) throw new Error('the record that was set aside is not listed');
    expect(isSound(copy.file)).toBe(true);
    await good(restoreFrom(data, copy, NOON));
    expect(await lengthOf(file, session)).toBe(72);
  });
});
