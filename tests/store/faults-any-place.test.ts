/** Faults that come anywhere: bytes overwritten at random places, a folder closed in the middle of a test, far too much pasted. */
import { spawn, spawnSync } from 'node:child_process';
import { chmodSync, chownSync, cpSync, mkdirSync, readdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { createInterface } from 'node:readline';
import { isDeepStrictEqual } from 'node:util';
import * as fc from 'fast-check';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { StationApi } from '../../core/contract/contract.ts';
import { checkChain } from '../../core/record/chain.ts';
import type { StoredEvent } from '../../core/record/event.ts';
import { dispatch } from '../../electron/station/dispatch.ts';
import { openStation } from '../../electron/station/open-station.ts';
import { backUp, backupsIn, DATABASE_NAME, restoreNewest } from '../../electron/store/backups.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import { good, Pair, sheetText } from '../shells/pair.ts';
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
const asRoot = process.getuid?.() === 0;
const nobody = asRoot ? { uid: 65_534, gid: 65_534 } : {};
const root = path.join(import.meta.dirname, '../..');

describe('bytes overwritten at random places', () => {
  const data = path.join(folder, 'sound');
  const records = new Map<string, readonly StoredEvent[]>();
  beforeAll(async () => {
    mkdirSync(data);
    const station = testStation({ file: path.join(data, DATABASE_NAME) });
    for (const author of ['TN', 'AB', 'CD']) {
      const pair = await (await new Pair(station.api, author).open()).exercise({ ergometer: author });
      for (let index = 0; index < 60; index++) await pair.add(pair.reading(String(100 + index)));
      await pair.finish();
      records.set(pair.session, (await pair.read()).events);
    }
    await good(backUp(station.store, data, Date.parse('2026-03-02T12:00:00Z'), 'closed'));
    station.stop();
  });

  /** As a window reads them: undefined where it was told, in words, that it cannot. */
  async function readBack(copy: string): Promise<Map<string, readonly StoredEvent[] | undefined> | string> {
    const opened = openStation({ folder: copy, shell: 'test', capabilities: { save: 'download', strap: false, secondWindow: false } });
    if (!opened.ok) return opened.error.message;
    const bugs: unknown[] = [];
    const call = (name: string, input: unknown) => dispatch(opened.value.station.handlers, name, input, (cause) => bugs.push(cause));
    const found = new Map<string, readonly StoredEvent[] | undefined>();
    try {
      const listed = await call('sessions.list', {});
      const lines = listed.ok ? (listed.value as readonly { readonly id: string; readonly phase: string; readonly readOnly?: string }[]) : [];
      for (const id of records.keys()) {
        const read = await call('record.read', { record: id });
        const events = read.ok ? (read.value as { events: readonly StoredEvent[] }).events : undefined;
        // A closed session is read-only too; one that does not hold together cannot tell its phase.
        const line = lines.find((one) => one.id === id);
        const flagged = line?.readOnly !== undefined && line.phase !== 'worksheet';
        found.set(id, events && !flagged ? events : undefined);
        if (events && !flagged) expect(checkChain(events, id).ok).toBe(true);
        if (!listed.ok || !read.ok) expect((listed.ok ? (read as { error: { message: string } }) : listed).error.message.length).toBeGreaterThan(30);
      }
    } finally {
      opened.value.stop();
    }
    expect(bugs).toEqual([]);
    return found;
  }

  it('are told, or harm no record; never a reading that is other than it was, never an error without words; and a copy brings all back', { timeout: 60_000 }, async () => {
    const ends = { refused: 0, flagged: 0, unharmed: 0 };
    const size = readFileSync(path.join(data, DATABASE_NAME)).length;
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.record({ at: fc.nat(size - 1), bytes: fc.uint8Array({ minLength: 1, maxLength: 64 }) }), { minLength: 1, maxLength: 4 }),
        async (places) => {
          const copy = newFolder();
          cpSync(data, copy, { recursive: true });
          const file = path.join(copy, DATABASE_NAME);
          const bytes = readFileSync(file);
          for (const { at, bytes: other } of places) bytes.set(other.subarray(0, bytes.length - at), at);
          writeFileSync(file, bytes);
          const found = await readBack(copy);
          if (typeof found === 'string') {
            ends.refused += 1;
            expect(found).toMatch(/is damaged .* left as it is|another program|newer Stagecall/s);
            expect(readFileSync(file).equals(bytes)).toBe(true);
          } else {
            const flagged = [...found.values()].some((events) => events === undefined);
            ends[flagged ? 'flagged' : 'unharmed'] += 1;
            for (const [id, events] of found) if (events) expect(isDeepStrictEqual(events, records.get(id)), id).toBe(true);
          }
          if (typeof found === 'string' || [...found.values()].includes(undefined)) {
            await good(restoreNewest(copy, Date.parse('2026-03-02T13:00:00Z')));
            const again = await readBack(copy);
            expect(typeof again === 'string' ? again : isDeepStrictEqual(again, records)).toBe(true);
          }
        },
      ),
      { numRuns: Number(process.env['STAGECALL_DAMAGES'] ?? 25), seed: 7 },
    );
    expect(ends.refused + ends.flagged).toBeGreaterThan(5);
    console.log(`damaged at random: ${ends.refused} refused, ${ends.flagged} with a record read-only or unreadable and told, ${ends.unharmed} unharmed`);
  });
});

describe('a folder that is closed in the middle of a test', () => {
  it.skipIf(process.platform === 'win32')('(as an unprivileged user) loses nothing: what is acknowledged is there, and the copy that could not be made is told', async () => {
    const data = newFolder();
    chmodSync(folder, 0o755);
    if (asRoot) chownSync(data, 65_534, 65_534);
    const child = spawn(process.execPath, [path.join(import.meta.dirname, 'fault-child.ts'), data, 'closed-folder'], { stdio: ['ignore', 'pipe', 'inherit'], ...nobody });
    const said: Record<string, unknown>[] = [];
    for await (const line of createInterface({ input: child.stdout })) said.push(JSON.parse(line) as Record<string, unknown>);
    const [, end] = said;
    expect(end).toMatchObject({ phase: 'worksheet', notice: expect.stringMatching(/^No copy of the record could be made: .*may not be written to/) as string });
    const store = await good(openStore(path.join(data, DATABASE_NAME)));
    expect(await good(store.read(String(said[0]?.['session']), 0))).toHaveLength(end?.['acknowledged'] as number);
    store.close();
    expect(backupsIn(data)).toEqual([]);
  });
});

describe('ten megabytes pasted in a field', () => {
  const huge = '7'.repeat(10 * 1024 * 1024);
  async function afterwards(act: (api: StationApi, pair: Pair, worksheet: string) => Promise<void>): Promise<void> {
    const station = testStation();
    const running = await (await new Pair(station.api).open()).exercise();
    const closed = await (await (await new Pair(station.api, 'AB').open()).exercise({ ergometer: 'T2' })).finish();
    const { worksheet } = await good(station.api.call('worksheet.open', { command: running.command(), session: closed.session, student: 'k-114' }));
    const before = [await running.events(), (await good(station.api.call('record.read', { record: worksheet }))).length];
    await act(station.api, running, worksheet);
    expect([await running.events(), (await good(station.api.call('record.read', { record: worksheet }))).length]).toEqual(before);
    await running.add(running.reading('147'));
    station.stop();
  }

  it.each([
    ['a reading', (pair: Pair) => pair.reading(huge)],
    ['a note', () => ({ kind: 'note-added', data: { text: huge } })],
    ['a detail', () => ({ kind: 'detail-given', data: { detail: 'mass', typed: huge } })],
    ['a reason', () => ({ kind: 'reading-not-taken', data: { slot: { phase: 'exercise', stage: 1, mark: 'm1', quantity: 'heart-rate' }, reason: huge } })],
  ])('as %s is refused in words, and nothing else is touched', async (_, draft) => {
    await afterwards(async (_api, pair) => {
      const refused = await pair.try(draft(pair));
      expect(refused.ok).toBe(false);
      if (!refused.ok) {
        expect(refused.error.code).not.toBe('bug');
        expect(refused.error.message).toMatch(/too (long|big|large)|not understood|cannot be/i);
        expect(refused.error.message.length).toBeLessThan(600);
      }
    });
  });

  it.each(['typed', 'working'])('as an answer’s %s is refused in words', async (field) => {
    await afterwards(async (api, pair, worksheet) => {
      const refused = await api.call('record.append', { record: worksheet, command: pair.command(), author: 'k-114', drafts: [{ kind: 'answer-given', data: { question: 'hr-max', typed: '1', [field]: huge } }] });
      expect(refused.ok).toBe(false);
      if (!refused.ok) expect(refused.error.message.length).toBeLessThan(600);
    });
  });

  it('as a code, a reason for erasing or a name of a student is refused at the border', async () => {
    await afterwards(async (api, pair) => {
      expect(await api.call('session.erase', { session: pair.session, by: 'KL', reason: huge })).toMatchObject({ ok: false, error: { code: 'bad-input' } });
      expect(await api.call('worksheet.open', { command: pair.command(), session: pair.session, student: huge })).toMatchObject({ ok: false, error: { code: 'bad-input' } });
      expect(await api.call('record.append', { record: pair.session, command: pair.command(), author: huge, drafts: [pair.reading('1')] })).toMatchObject({ ok: false, error: { code: 'bad-input' } });
    });
  });
});

describe('npm run lab', () => {
  // npm says in INIT_CWD where it was called; the tests are called by npm too, from another folder.
  const lab = (cwd: string, ...args: string[]) => spawnSync(process.execPath, [path.join(root, 'electron', 'lab.ts'), ...args], { cwd, encoding: 'utf8', ...nobody, env: { ...process.env, INIT_CWD: cwd } });
  const session = path.join(root, 'tests', 'core', 'fixtures', 'r-07.csv');

  it.skipIf(process.platform === 'win32')('(as an unprivileged user) replaying into a folder that may not be written in says so, and leaves nothing', () => {
    const cwd = newFolder();
    chmodSync(folder, 0o755);
    const closed = path.join(cwd, 'closed');
    mkdirSync(closed);
    chmodSync(closed, 0o555);
    const ran = lab(cwd, 'replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'closed/x');
    expect(ran.stderr).toMatch(/nothing can be written in/);
    expect(ran.stderr).not.toMatch(/\n\s+at /);
    expect(ran.status).toBe(1);
    expect(readdirSync(closed)).toEqual([]);
  });

  it('a CSV of the wrong kind and a broken lab sheet are named, with what is wrong', () => {
    const cwd = newFolder();
    chmodSync(folder, 0o755);
    writeFileSync(path.join(cwd, 'list.csv'), 'name;mark\nA;12\nB;14\n');
    writeFileSync(path.join(cwd, 'broken.yaml'), sheetText.replace(/^stages:/m, 'stages'));
    for (const [args, said] of [
      [['list.csv', '--sheet', 'treadmill-maximal-bruce'], /list\.csv/],
      [[session, '--sheet', 'broken.yaml'], /broken\.yaml, line \d+|broken\.yaml:\d+/],
    ] as const) {
      const ran = lab(cwd, 'replay', ...args, '--out', 'out');
      expect(ran.status).toBe(1);
      expect(ran.stderr).toMatch(said);
      expect(ran.stderr).not.toMatch(/there is no/);
      expect(ran.stderr).not.toMatch(/\n\s+at /);
    }
  });
});
