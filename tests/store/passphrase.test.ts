/** The instructor's passphrase: a slow salted hash, a wait after wrong tries, and what it guards. */
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, describe, expect, it } from 'vitest';
import { InstructorLock } from '../../electron/station/passphrase.ts';
import { good, Pair } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';
import { MovedClock, testStation } from './test-station.ts';

/** The cheapest hash that scrypt allows, so that a test costs nothing; the default's cost is looked at once below. */
const cheap = { N: 2, r: 8, p: 1 };
const WORDS = 'brass kettle, nine';

const made: { remove(): void }[] = [];
afterEach(() => made.splice(0).forEach((folder) => folder.remove()));
function temporaryFolder(): string {
  const folder = tempFolder();
  made.push(folder);
  return folder.folder;
}

function lockOn(folder?: string, clock = new MovedClock()): { lock: InstructorLock; clock: MovedClock } {
  return { lock: new InstructorLock({ clock, cost: cheap, ...(folder === undefined ? {} : { folder }) }), clock };
}

describe('the instructor’s passphrase', () => {
  it('asks for nothing where none is set', async () => {
    const { lock } = lockOn();
    expect(lock.status()).toMatchObject({ ok: true, value: { set: false } });
    expect(await lock.passphraseAllows(undefined)).toMatchObject({ ok: true });
    expect(await lock.check('anything', 'action')).toEqual({ ok: true, value: {} });
    expect(lock.unlocks(undefined, 'action', 'Erasing')).toMatchObject({ ok: true });
  });

  it('is kept as a salted scrypt hash that only this account may read, and survives a restart', async () => {
    const folder = temporaryFolder();
    const lock = new InstructorLock({ clock: new MovedClock(), folder });
    expect(await lock.set(WORDS, undefined)).toMatchObject({ ok: true, value: { set: true } });
    const file = path.join(folder, 'instructor-passphrase.json');
    const text = readFileSync(file, 'utf8');
    expect(text).not.toContain('kettle');
    expect(JSON.parse(text)).toMatchObject({ N: 65536, r: 8, p: 1 });
    expect(readdirSync(folder)).toEqual(['instructor-passphrase.json']);
    if (process.platform !== 'win32') expect(statSync(file).mode & 0o777).toBe(0o600);
    const again = new InstructorLock({ clock: new MovedClock(), folder });
    expect(await again.passphraseAllows(WORDS)).toMatchObject({ ok: true });
    expect(await again.passphraseAllows(`${WORDS}!`)).toMatchObject({ ok: false, error: { code: 'passphrase-wrong' } });
    expect(await again.passphraseAllows(undefined)).toMatchObject({ ok: false, error: { code: 'passphrase-needed' } });
    await again.set(WORDS, WORDS);
    expect(JSON.parse(readFileSync(file, 'utf8')).salt).not.toBe(JSON.parse(text).salt);
  });

  it('is changed and taken away only with the old one, and is not set to next to nothing', async () => {
    const { lock } = lockOn();
    expect(await lock.set('short', undefined)).toMatchObject({ ok: false, error: { code: 'passphrase-short' } });
    expect(await lock.set('        x', undefined)).toMatchObject({ ok: false, error: { code: 'passphrase-short' } });
    await lock.set(WORDS, undefined);
    expect(await lock.set('another one of them', undefined)).toMatchObject({ ok: false, error: { code: 'passphrase-needed' } });
    expect(await lock.set('another one of them', 'a wrong guess')).toMatchObject({ ok: false, error: { code: 'passphrase-wrong' } });
    expect(await lock.set(null, 'a wrong guess')).toMatchObject({ ok: false });
    expect(await lock.passphraseAllows(WORDS)).toMatchObject({ ok: true });
    expect(await lock.set(null, WORDS)).toMatchObject({ ok: true, value: { set: false } });
    expect(await lock.passphraseAllows(undefined)).toMatchObject({ ok: true });
  });

  it('is the same passphrase however the keyboard puts an accent together', async () => {
    const { lock } = lockOn();
    await lock.set('caf\u00e9 at nine', undefined);
    expect(await lock.passphraseAllows('cafe\u0301 at nine')).toMatchObject({ ok: true });
  });

  it('waits after three wrong tries, longer each time, also for the right one', async () => {
    const { lock, clock } = lockOn();
    await lock.set(WORDS, undefined);
    // Sent at once: they are still taken one after the other.
    const many = await Promise.all(Array.from({ length: 10 }, (_, index) => lock.passphraseAllows(`guess number ${index}`)));
    expect(many.map((answer) => (answer.ok ? 'ok' : answer.error.code))).toEqual([...Array(3).fill('passphrase-wrong'), ...Array(7).fill('passphrase-wait')]);
    expect(await lock.passphraseAllows(WORDS)).toMatchObject({ ok: false, error: { code: 'passphrase-wait' } });
    expect(lock.status()).toMatchObject({ value: { waitSeconds: 5 } });
    clock.setWall(3_600_000);
    expect(await lock.passphraseAllows(WORDS)).toMatchObject({ ok: false, error: { code: 'passphrase-wait' } });
    clock.pass(5_000);
    await lock.passphraseAllows('guess number 11');
    expect(lock.status()).toMatchObject({ value: { waitSeconds: 10 } });
    clock.pass(10_000);
    expect(await lock.passphraseAllows(WORDS)).toMatchObject({ ok: true });
    expect(await lock.passphraseAllows('guess number 12')).toMatchObject({ ok: false, error: { code: 'passphrase-wrong' } });
    expect(lock.status()).toMatchObject({ value: { waitSeconds: 0 } });
  });

  it('stays shut, and says what to do, where its file cannot be understood', async () => {
    const folder = temporaryFolder();
    const { lock } = lockOn(folder);
    await lock.set(WORDS, undefined);
    const file = path.join(folder, 'instructor-passphrase.json');
    const sound = JSON.parse(readFileSync(file, 'utf8'));
    for (const text of ['', '{}', '{"salt":"', JSON.stringify({ ...sound, N: 2 ** 30 }), JSON.stringify({ ...sound, hash: 'AAAA' })]) {
      writeFileSync(file, text);
      expect(await lock.passphraseAllows(WORDS)).toMatchObject({ ok: false, error: { code: 'passphrase-unreadable' } });
      expect(lock.unlocks(undefined, 'action', 'Erasing')).toMatchObject({ ok: false, error: { code: 'passphrase-unreadable' } });
    }
  });

  it('gives a proof that is good once, for five minutes and for its purpose', async () => {
    const { lock, clock } = lockOn();
    await lock.set(WORDS, undefined);
    const proof = async (purpose: 'action' | 'desk') => (await good(lock.check(WORDS, purpose))).unlock;
    const first = await proof('action');
    expect(first).toMatch(/^[\w-]{32}$/);
    expect(lock.unlocks(first, 'desk', 'The desk')).toMatchObject({ ok: false });
    expect(lock.unlocks(first, 'action', 'Erasing')).toMatchObject({ ok: true });
    lock.spend(first);
    expect(lock.unlocks(first, 'action', 'Erasing')).toMatchObject({ ok: false, error: { message: expect.stringContaining('Erasing needs the instructor’s passphrase') } });
    const late = await proof('action');
    clock.pass(301_000);
    expect(lock.unlocks(late, 'action', 'Erasing')).toMatchObject({ ok: false });
    const desk = await proof('desk');
    for (const minutes of [50, 50, 50]) {
      clock.pass(minutes * 60_000);
      expect(lock.unlocks(desk, 'desk', 'The desk')).toMatchObject({ ok: true });
    }
    clock.pass(61 * 60_000);
    expect(lock.unlocks(desk, 'desk', 'The desk')).toMatchObject({ ok: false });
  });
});

describe('what the passphrase guards on a station', () => {
  const override = { kind: 'hold-overridden', data: { hold: 'detail-height', initials: 'MK', reason: 'stadiometer is away' } };

  it('a hold set aside: not without it, once with it, and nothing of it in the record', async () => {
    const clock = new MovedClock();
    const lock = new InstructorLock({ clock, cost: cheap });
    const { api, stop } = testStation({ clock, lock });
    const pair = await new Pair(api).open();
    await good(api.call('passphrase.set', { passphrase: WORDS }));
    expect(await pair.try(override)).toMatchObject({ ok: false, error: { code: 'passphrase-needed' } });
    const { unlock } = await good(api.call('passphrase.check', { passphrase: WORDS }));
    const input = { record: pair.session, command: pair.command(), author: 'MK', drafts: [override], ...(unlock === undefined ? {} : { unlock }) };
    expect(await api.call('record.append', input)).toMatchObject({ ok: true });
    // The same command again is answered again; another one needs a proof of its own.
    expect(await api.call('record.append', input)).toMatchObject({ ok: true, value: { repeated: true } });
    expect(await api.call('record.append', { ...input, command: pair.command() })).toMatchObject({ ok: false, error: { code: 'passphrase-needed' } });
    const text = JSON.stringify((await pair.read()).events);
    expect(text).not.toContain('kettle');
    expect(text).not.toContain(unlock ?? '-');
    stop();
  });

  it('leaving early; but never a hand-over, a reading, a stop or a rehearsal', async () => {
    const clock = new MovedClock();
    const lock = new InstructorLock({ clock, cost: cheap });
    const { api, stop } = testStation({ clock, lock });
    const pair = await new Pair(api).open();
    await pair.exercise();
    await good(api.call('passphrase.set', { passphrase: WORDS }));
    await pair.add(pair.reading('147'));
    await pair.add({ kind: 'test-stopped', data: {} });
    const early = { kind: 'session-closed', data: { outcome: 'left', early: { initials: 'MK', reason: 'bus' } } };
    expect(await pair.try(early)).toMatchObject({ ok: false, error: { code: 'passphrase-needed', message: expect.stringContaining('Leaving before') } });
    expect(await pair.try({ kind: 'session-closed', data: { outcome: 'handed-over', to: 'first aid' } })).toMatchObject({ ok: true });
    const rehearsal = await new Pair(api).open('rehearsal', { participant: 'R-01', seed: 1, rate: 1, records: false });
    expect(await rehearsal.try(override)).toMatchObject({ ok: true });
    stop();
  });
});
