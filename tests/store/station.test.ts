/** What the station decides beside core's rules: who may be in Exercise, whose moment counts, what is signed, what is copied. */
import { afterEach, describe, expect, it } from 'vitest';
import { chainHash } from '../../core/record/chain.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
// The driver loads it when a rehearsal has stopped; here before, so that no loading outlasts the tests.
import '../../core/rehearsal/breath-file.ts';
import { rehearsalNext } from '../../core/rehearsal/driver.ts';
import { isSealOf, passingKey } from '../../electron/station/key.ts';
import { RehearsalDriver } from '../../electron/station/rehearsals.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { isoWithOffset, newRecordId } from '../../electron/station/ids.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import type { Store } from '../../electron/store/store.ts';
import { failure } from '../../core/result.ts';
import { good, Pair, sheetText } from '../shells/pair.ts';
import { MovedClock, testStation, type TestStation, type TestStationOptions } from './test-station.ts';

const stations: TestStation[] = [];
afterEach(() => {
  for (const made of stations.splice(0)) made.stop();
});
function station(options: TestStationOptions = {}): TestStation {
  const made = testStation(options);
  stations.push(made);
  return made;
}

describe('exercise', () => {
  it('is for one session at a time on an ergometer, and says whose', async () => {
    const { api } = station();
    const first = await (await new Pair(api, 'TN').open()).exercise({ 'participant-code': 'R-07' });
    const second = await new Pair(api, 'AB').open();
    await expect(second.exercise({ 'participant-code': 'R-11' })).rejects.toThrow(/ergometer-busy.*R-07/);
    expect((await second.state()).phase).toBe('rest');
    const elsewhere = await new Pair(api, 'CD').open();
    await elsewhere.exercise({ ergometer: 'T2' });
    expect((await elsewhere.state()).phase).toBe('exercise');
    await first.add({ kind: 'test-stopped', data: {} });
    await second.add({ kind: 'exercise-started', data: {} });
    expect((await second.state()).phase).toBe('exercise');
    // Taking the stop back would put two on one treadmill.
    expect(await first.try({ kind: 'stop-taken-back', data: {} })).toMatchObject({ ok: false, error: { code: 'ergometer-busy' } });
    expect((await first.state()).phase).toBe('recovery');
  });

  it('is not held up by a rehearsal or a paper sheet', async () => {
    const { api } = station();
    await (await new Pair(api, 'TN').open('rehearsal', { participant: 'R-01', seed: 1, rate: 1, records: false })).exercise();
    const live = await (await new Pair(api, 'AB').open()).exercise();
    expect((await live.state()).phase).toBe('exercise');
  });
});

describe('time', () => {
  it('is stamped by the station; a moment noted afterwards counts, one in the future or too long ago does not', async () => {
    const clock = new MovedClock();
    const { api } = station({ clock });
    const pair = await (await new Pair(api).open()).exercise();
    clock.pass(200_000.9);
    await pair.add(pair.reading('147'));
    await pair.add({ ...pair.reading('149', 'm2'), taken: 180_000 });
    await pair.add({ ...pair.reading('151', 'm3'), taken: 999_000 });
    expect((await pair.events()).slice(-3).map(({ taken, entered }) => [taken, entered])).toEqual([
      [200_000, 200_000],
      [180_000, 200_000],
      [200_000, 200_000],
    ]);
    clock.pass(20 * 60_000);
    expect(await pair.try({ ...pair.reading('120', 'm4'), taken: 200_000 })).toMatchObject({ ok: false, error: { code: 'too-long-ago' } });
  });

  it('takes what was typed as it was typed', async () => {
    const { api } = station();
    const pair = await (await new Pair(api).open()).exercise();
    await pair.add({ kind: 'detail-given', data: { detail: 'mass', typed: '135,4 lb', unit: '[lb_av]' } });
    expect((await pair.events()).at(-1)?.data).toEqual({ detail: 'mass', typed: '135,4 lb', unit: '[lb_av]' });
  });
});

describe('closing', () => {
  it('signs the closing hash, tells that a copy is due, and the exported file carries the signature', async () => {
    const key = passingKey();
    const closed: string[] = [];
    const { api, store } = station({ key, closed: (session) => closed.push(session) });
    const pair = await (await (await new Pair(api).open()).exercise()).finish();
    expect(closed).toEqual([pair.session]);
    const seal = await good(store.signature(pair.session));
    const events = (await pair.read()).events;
    expect(seal?.head).toBe(events.at(-1)?.hash);
    expect(seal?.head).toBe(chainHash(events.at(-2)?.hash ?? '', events.at(-1)?.body ?? ''));
    expect(seal && isSealOf(seal)).toBe(true);
    const { worksheet } = await good(api.call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-114' }));
    const exported = await good(api.call('worksheet.export', { worksheet, as: 'json' }));
    const file = await good(readWorksheetFile(Buffer.from(exported.base64, 'base64').toString('utf8')));
    expect(file.file.session.signature).toEqual({ key: key.publicKey, algorithm: 'ed25519', signature: seal?.signature });
    expect(exported.name).toBe(`worksheet-k-114-${pair.session}.json`);
  });

  it('opens one worksheet for a student, who goes on with it after handing in; questions are the sheet’s', async () => {
    const { api } = station();
    const pair = await (await (await new Pair(api).open()).exercise()).finish();
    const open = async (student: string): Promise<string> =>
      (await good(api.call('worksheet.open', { command: pair.command(), session: pair.session, student }))).worksheet;
    const first = await open('k-114');
    const write = (kind: string, data: unknown) =>
      api.call('record.append', { record: first, command: pair.command(), author: 'k-114', drafts: [{ kind, data }] });
    await good(write('answer-given', { question: 'hr-max', typed: '193', unit: '/min' }));
    expect(await write('answer-given', { question: 'no-such-question', typed: '1' })).toMatchObject({
      ok: false,
      error: { code: 'unknown-question' },
    });
    // The station stamps it: a student's clock that is a year behind changes nothing.
    const handed = await good(write('worksheet-handed-in', { wall: '2025-03-02T10:00:00Z' }));
    const { wall } = JSON.parse(handed.events.at(-1)?.body ?? '{}').data as { wall: string };
    expect(Math.abs(Date.parse(wall) - Date.now())).toBeLessThan(60_000); // the station's clock is this machine's; a minute is ample for a slow one
    expect(await open('k-114')).toBe(first);
    expect(await open('k-115')).not.toBe(first);
  });
});

describe('a rehearsal', () => {
  it('is filled by the simulated pair from Prepare to the end, at 120 times, each fact once', async () => {
    const clock = new MovedClock();
    const { api, station: running } = station({ clock });
    const pair = await new Pair(api).open('rehearsal', { participant: 'R-01', seed: 7, rate: 120, records: true });
    const driver = new RehearsalDriver(running, Promise.resolve(rehearsalNext));
    await Promise.resolve();
    for (let look = 0; look < 2_000 && (await pair.state()).phase !== 'worksheet'; look++) {
      clock.pass(100);
      driver.look();
      driver.look(); // asked twice at one moment, it writes nothing twice
    }
    driver.stop();
    const state = await pair.state();
    expect(state).toMatchObject({ phase: 'worksheet', way: 'rehearsal' });
    expect(state.carried).toEqual([]);
    const written = await pair.events();
    expect(new Set(written.slice(1).map(({ author }) => author))).toEqual(new Set(['rehearsal']));
    expect(written.length).toBeGreaterThan(60);
    expect(running.notices.list()).toEqual([]);
  });

  it('whose next fact is refused is not asked again before something else was written', async () => {
    const clock = new MovedClock();
    const { api, station: running } = station({ clock });
    const pair = await new Pair(api).open('rehearsal', { participant: 'R-01', seed: 7, rate: 10, records: true });
    let asked = 0;
    const driver = new RehearsalDriver(
      running,
      Promise.resolve(() => {
        asked++;
        return [{ kind: 'stop-taken-back', data: {} }] as const;
      }),
    );
    await Promise.resolve();
    for (let look = 0; look < 5; look++) driver.look();
    expect(asked).toBe(1);
    await pair.add({ kind: 'note-added', data: { text: 'a hand in the works' } });
    driver.look();
    driver.stop();
    expect(asked).toBe(2);
    expect(running.notices.list()).toEqual([expect.objectContaining({ text: expect.stringContaining('could not go on') as string })]);
  });

  it('needs a participant that the program knows', async () => {
    const { api } = station();
    const input = { command: 'command-1', author: 'TN', sheet: 'treadmill-maximal-bruce', way: 'rehearsal' as const };
    expect(await api.call('session.open', input)).toMatchObject({ ok: false, error: { code: 'bad-input' } });
    expect(await api.call('session.open', { ...input, rehearsal: { participant: 'R-99', seed: 1, rate: 1, records: true } })).toMatchObject(
      { ok: false, error: { code: 'no-such-participant' } },
    );
  });
});

describe('a write that fails', () => {
  it('leaves the state as it is on disk, and the same entry can be sent again', async () => {
    const store = await good(openStore(':memory:'));
    let full = false;
    const failing: Store = Object.assign(Object.create(store) as Store, {
      append: (input: Parameters<Store['append']>[0]) => (full ? failure('disk-full', 'The disk is full.') : store.append(input)),
    });
    for (const name of ['records', 'record', 'answered', 'create', 'read', 'clock', 'setClock', 'signature', 'close'] as const)
      Object.assign(failing, { [name]: (store[name] as (...args: never[]) => unknown).bind(store) });
    const { api } = station({ store: failing });
    const pair = await (await new Pair(api).open()).exercise();
    const before = await pair.events();
    full = true;
    const input = {
      record: pair.session,
      command: pair.command(),
      author: 'TN',
      drafts: [
        { kind: 'test-stopped', data: {} },
        { kind: 'stop-reason-given', data: { reason: 'fatigue', symptom: false } },
      ],
    };
    expect(await api.call('record.append', input)).toMatchObject({ ok: false, error: { code: 'disk-full' } });
    expect(await pair.events()).toEqual(before);
    expect((await good(api.call('sessions.list', {})))[0]?.phase).toBe('exercise');
    full = false;
    expect(await good(api.call('record.append', input))).toMatchObject({ repeated: false });
    expect((await pair.state()).phase).toBe('recovery');
  });
});

describe('lab sheets', () => {
  it('that are refused are listed with what is wrong, and no session opens on them', async () => {
    const shelf = sheetTexts({
      'good.yaml': sheetText,
      'broken.yaml': sheetText.replace('schema: stagecall-lab-sheet/1', 'schema: stagecall-lab-sheet/99'),
    });
    const { api } = station({ sheets: shelf });
    const listed = await good(api.call('sheets.list', {}));
    expect(listed.map(({ id, problems }) => [id, problems.length])).toEqual([
      ['treadmill-maximal-bruce', 0],
      ['broken', 1],
    ]);
    expect(listed[1]?.problems[0]).toMatch(/^broken\.yaml:\d+: /);
    expect(await api.call('session.open', { command: 'command-1', author: 'TN', sheet: 'broken', way: 'live' })).toMatchObject({
      ok: false,
      error: { code: 'sheet-refused' },
    });
  });
});

describe('names', () => {
  it('of records fit the contract and never meet', () => {
    const ids = Array.from({ length: 2_000 }, () => newRecordId('session'));
    expect(new Set(ids).size).toBe(ids.length);
    for (const id of ids) expect(id).toMatch(/^s-[a-z2-9]{12}$/);
  });

  it.each([
    ['Asia/Kolkata', '2026-03-02T14:30:00+05:30'],
    ['America/St_Johns', '2026-03-02T05:30:00-03:30'],
    ['UTC', '2026-03-02T09:00:00+00:00'],
  ])('of moments carry the zone %s', (zone, expected) => {
    const before = process.env['TZ'];
    try {
      process.env['TZ'] = zone;
      expect(isoWithOffset(Date.parse('2026-03-02T09:00:00Z'))).toBe(expected);
    } finally {
      process.env['TZ'] = before;
    }
  });
});
