import Database from 'better-sqlite3';
import * as fc from 'fast-check';
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, afterEach, describe, expect, it } from 'vitest';
import { checkChain } from '../../core/record/chain.ts';
import { openDatabase } from '../../electron/store/database.ts';
import { APPLICATION_ID, migrate, migrations } from '../../electron/store/migrations.ts';
import { checkNodeVersion } from '../../electron/store/node-version.ts';
import { notPlain } from '../../electron/store/plain.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import type { Append, Create, Store } from '../../electron/store/store.ts';
import { canLoadTheDatabase } from '../../electron/first-run/node.mjs';
import { good } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';

const { folder, remove } = tempFolder();
let file = '';
let files = 0;
const stores: Store[] = [];
afterEach(() => {
  for (const opened of stores.splice(0)) opened.close();
});
afterAll(remove);

async function store(at: string = (file = path.join(folder, `${++files}.sqlite`))): Promise<Store> {
  const opened = await good(openStore(at));
  stores.push(opened);
  return opened;
}

const clock = {
  at: 0,
  monotonic: 9_007_199_254_740_993n,
  slept: 0,
  boot: 'boot-1',
  wall: 1_772_442_000_000,
  rate: 1,
  seenAt: 0,
  seenWall: 1_772_442_000_000,
};
let commands = 0;
const append = (changes: Partial<Append> = {}): Append => {
  const command = changes.command ?? `command-${++commands}`;
  return {
    record: 's-one',
    author: 'TN',
    entered: 1_000,
    facts: [{ kind: 'note-added', version: 1, data: { text: 'a' } }],
    said: command,
    ...changes,
    command,
  };
};
const create = (changes: Partial<Create> = {}): Create => ({
  ...append({ facts: [{ kind: 'session-opened', version: 1, data: { way: 'live' } }], entered: 0 }),
  kind: 'session',
  opened: '2026-03-02T09:00:00+00:00',
  clock,
  ...changes,
});

describe('the store', () => {
  it('keeps events as the exact text over which the chain was made', async () => {
    const kept = await store();
    await good(kept.create(create()));
    const written = await good(
      kept.append(
        append({
          facts: [
            { kind: 'note-added', version: 1, data: { text: 'VO₂ ≥ 3,5' }, taken: 400 },
            { kind: 'note-added', version: 2, data: {} },
          ],
        }),
      ),
    );
    expect(written.events.map(({ seq, taken, entered, version }) => [seq, taken, entered, version])).toEqual([
      [1, 400, 1_000, 1],
      [2, 1_000, 1_000, 2],
    ]);
    const again = await good(openStore(file));
    stores.push(again);
    const stored = await good(again.read('s-one', 0));
    expect(checkChain(stored, 's-one')).toMatchObject({ ok: true, head: written.head });
    expect(stored.slice(1)).toEqual(written.stored);
    expect(await good(again.read('s-one', 2))).toHaveLength(1);
    expect(await good(again.clock('s-one'))).toEqual(clock);
    expect(await good(again.records())).toEqual([{ id: 's-one', kind: 'session', opened: '2026-03-02T09:00:00+00:00' }]);
  });

  it('answers a repeated command and records it once; the same id for something else is refused', async () => {
    const kept = await store();
    await good(kept.create(create({ command: 'open-once', said: 'open-once' })));
    const again = await good(kept.create(create({ command: 'open-once', said: 'open-once', record: 's-other' })));
    expect(again).toMatchObject({ record: 's-one', repeated: true });
    const input = append({ facts: [{ kind: 'note-added', version: 1, data: { text: 'x' } }] });
    const first = await good(kept.append(input));
    await good(kept.append(append()));
    expect(await good(kept.append({ ...input, entered: 5_000 }))).toEqual({ ...first, repeated: true });
    expect(await good(kept.answered('s-one', input.command, input.said))).toEqual({ ...first, repeated: true });
    expect(kept.append({ ...input, said: 'something else' })).toMatchObject({ ok: false, error: { code: 'command-used' } });
    expect(await good(kept.read('s-one', 0))).toHaveLength(3);
  });

  it('writes all facts of a command or none', async () => {
    const kept = await store();
    await good(kept.create(create()));
    const rival = append({ record: 's-not-there' });
    expect(() => kept.append(rival)).toThrow(/FOREIGN KEY/); // a bug of the caller, and nothing half written
    expect(await good(kept.answered('s-not-there', rival.command, rival.said))).toBeUndefined();
    expect(await good(kept.read('s-not-there', 0))).toEqual([]);
  });

  it('never changes an event, not even for a tool that asks the database directly', async () => {
    const kept = await store();
    await good(kept.create(create()));
    const database = new Database(file);
    expect(() => database.exec("UPDATE events SET body = '{}'")).toThrow('an event is never changed');
    database.close();
  });

  it('asks for the signature of the hash that it ends with, in the same transaction', async () => {
    const kept = await store();
    await good(kept.create(create()));
    const sealed = await good(kept.append(append({ seal: (head) => ({ head, publicKey: 'key', signature: `of ${head}` }) })));
    expect(await good(kept.signature('s-one'))).toEqual({ head: sealed.head, publicKey: 'key', signature: `of ${sealed.head}` });
    const failing = append({
      seal: () => {
        throw new Error('no key');
      },
    });
    expect(() => kept.append(failing)).toThrow('no key');
    expect(await good(kept.read('s-one', 0))).toHaveLength(2);
  });

  it.each([
    ['NaN', Number.NaN],
    ['infinity', Number.POSITIVE_INFINITY],
    ['a big integer', 1n],
    ['a Map', new Map()],
    ['a Date', new Date(0)],
    ['a function', () => 1],
    ['a hole', [1, undefined]],
  ])('refuses %s at the door', async (_, value) => {
    const kept = await store();
    await good(kept.create(create()));
    expect(kept.append(append({ facts: [{ kind: 'note-added', version: 1, data: { deep: [{ value }] } }] }))).toMatchObject({
      ok: false,
      error: { code: 'not-plain' },
    });
    expect(kept.append(append({ entered: Number.NaN }))).toMatchObject({ ok: false, error: { code: 'not-plain' } });
    expect(kept.append(append({ facts: [{ kind: 'note-added', version: 1, data: {}, taken: 0.5 }] }))).toMatchObject({
      ok: false,
      error: { code: 'not-plain' },
    });
    expect(await good(kept.read('s-one', 0))).toHaveLength(1);
  });

  it('lets everything through that JSON keeps', () => {
    fc.assert(fc.property(fc.jsonValue(), (value) => notPlain(value) === undefined));
  });

  it('is flushed at every commit, also after it was opened again', async () => {
    await store();
    const again = await good(openDatabase(file));
    // A fresh connection shows the trap: a WAL database that is opened again is NORMAL by itself…
    again.pragma('journal_mode = WAL');
    expect(again.pragma('synchronous', { simple: true })).toBe(1);
    again.close();
    // …and the store sets and asserts FULL each time (tests/store/flush.test.ts watches the system calls).
    await store(file);
  });
});

describe('the database’s shape', () => {
  it('is as the snapshot has it (make it anew only together with a new migration)', async () => {
    const database = await good(openDatabase(':memory:'));
    await good(migrate(database, ':memory:'));
    const shape = (
      database.prepare('SELECT sql FROM sqlite_schema WHERE sql IS NOT NULL ORDER BY type DESC, name').all() as { sql: string }[]
    )
      .map(({ sql }) => `${sql};\n`)
      .join('\n');
    const snapshot = new URL('schema.snapshot.sql', import.meta.url);
    if (process.env['STAGECALL_SNAPSHOT'] === 'write') writeFileSync(snapshot, shape);
    expect(shape).toBe(readFileSync(snapshot, 'utf8'));
    for (const { name } of database
      .prepare("SELECT name FROM pragma_table_list WHERE strict = 0 AND schema = 'main' AND name NOT LIKE 'sqlite_%'")
      .all() as { name: string }[]) {
      expect.fail(`${name} is not STRICT`);
    }
    database.close();
  });

  it('runs the steps that are missing, each whole or not at all', async () => {
    const database = new Database(':memory:');
    const steps = ['CREATE TABLE one (a TEXT) STRICT', 'CREATE TABLE two (a TEXT) STRICT'];
    await good(migrate(database, 'x', steps.slice(0, 1)));
    expect(database.pragma('user_version', { simple: true })).toBe(1);
    expect(() => migrate(database, 'x', [...steps, 'CREATE TABLE three (a TEXT) STRICT; CREATE TABLE one (a TEXT) STRICT'])).toThrow(
      /already exists/,
    );
    expect(database.pragma('user_version', { simple: true })).toBe(2);
    expect(database.prepare("SELECT name FROM sqlite_schema WHERE type = 'table' ORDER BY name").pluck().all()).toEqual(['one', 'two']);
    database.close();
  });

  it('refuses a newer program’s database and another program’s, and leaves both as they are', async () => {
    const newer = await store();
    newer.close();
    const database = new Database(file);
    database.pragma(`user_version = ${migrations.length + 1}`);
    database.close();
    const before = readFileSync(file);
    expect(openStore(file)).toMatchObject({ ok: false, error: { code: 'database-newer' } });
    expect(readFileSync(file).equals(before)).toBe(true);

    const foreign = path.join(folder, 'foreign.sqlite');
    const other = new Database(foreign);
    other.exec('CREATE TABLE readings (a)');
    other.close();
    expect(openStore(foreign)).toMatchObject({ ok: false, error: { code: 'not-our-database' } });
    const after = new Database(foreign);
    expect(after.prepare('SELECT count(*) FROM sqlite_schema').pluck().get()).toBe(1);
    expect(after.pragma('application_id', { simple: true })).not.toBe(APPLICATION_ID);
    after.close();
  });
});

describe('the Node version', () => {
  it.each(['20.20.2', '22.12.0', '22.13.1', '22.14.0', '22.23.3', '23.5.0', '23.6.0', '24.0.0', '24.21.0', '26.1.0'])(
    '%s is judged as first-run judges it',
    (version) => {
      expect(checkNodeVersion(version).ok).toBe((canLoadTheDatabase as (version: string) => boolean)(version));
    },
  );

  it('has its floor at 22.14, minor included', () => {
    expect(checkNodeVersion('22.13.9')).toMatchObject({ ok: false, error: { code: 'node-too-old' } });
    expect(checkNodeVersion('22.14.0').ok).toBe(true);
  });
});
