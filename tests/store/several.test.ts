/** Several sessions on one station, and several windows on one session. */
import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import type { RecordChange, StationApi } from '../../core/contract/contract.ts';
import { sheetRows } from '../../core/session/rows.ts';
import { slotKey } from '../../core/session/events.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import { ergometerOf } from '../../electron/station/ergometer.ts';
import { ProfileFile } from '../../electron/station/profile.ts';
import { good, Pair } from '../shells/pair.ts';
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

describe('several sessions', () => {
  it('one pair recovers while the next prepares, rests and starts on the same treadmill; each has its own clock', async () => {
    const clock = new MovedClock();
    const { api } = station({ clock });
    const first = await (await new Pair(api, 'TN').open()).exercise({ 'participant-code': 'R-07' });
    clock.pass(420_000);
    const second = await new Pair(api, 'AB').open();
    await second.prepare({ 'participant-code': 'R-08' });
    await first.add({ kind: 'test-stopped', data: {} }, { kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: false } });
    clock.pass(60_000);
    await second.rest();
    await second.add({ kind: 'exercise-started', data: {} });
    clock.pass(30_000);
    const recovering = [...(await first.state()).slots.values()].find(({ slot }) => slot.phase === 'recovery' && slot.quantity === 'heart-rate');
    await first.add({ kind: 'reading-taken', data: { slot: recovering?.slot, typed: '131', unit: '/min', confirmed: true } });
    await second.add(second.reading('112'));
    const [one, other] = [await first.state(), await second.state()];
    expect([one.phase, other.phase]).toEqual(['recovery', 'exercise']);
    expect(one.slots.get(slotKey(recovering?.slot as never))?.current).toMatchObject({ typed: '131', taken: 510_000 });
    expect((await second.events()).at(-1)).toMatchObject({ taken: 90_000 });
    expect((await good(api.call('sessions.list', {}))).map(({ participant, phase }) => [participant, phase])).toEqual([
      ['R-08', 'exercise'],
      ['R-07', 'recovery'],
    ]);
    // A third waits for the second, and hears whose test it is.
    const third = await new Pair(api, 'CD').open();
    await expect(third.exercise({ 'participant-code': 'R-09' })).rejects.toThrow(/ergometer-busy.*R-08/);
    await second.add({ kind: 'test-stopped', data: {} });
    await third.add({ kind: 'exercise-started', data: {} });
    expect((await third.state()).phase).toBe('exercise');
  });

  it('the same name is the same ergometer, however it is written', async () => {
    const { api } = station();
    await (await new Pair(api, 'TN').open()).exercise({ 'participant-code': 'R-07', ergometer: 'Treadmill 2' });
    await expect((await new Pair(api, 'AB').open()).exercise({ ergometer: ' treadmill  2' })).rejects.toThrow(/ergometer-busy.*R-07/);
    await (await new Pair(api, 'CD').open()).exercise({ ergometer: 'Treadmill 3' });
  });

  it('where the station profile has one machine of the mode, a session that names none is on it', async () => {
    const profile = new ProfileFile();
    await good(profile.save('schema: stagecall-station-profile/1\nmachines:\n  - name: Treadmill 2\n    mode: treadmill\n    grade: { unit: "%", step: 0.5, from: 0, to: 25 }\n'));
    const { api } = station({ profile });
    await (await new Pair(api, 'TN').open()).exercise({ 'participant-code': 'R-07', ergometer: 'treadmill 2' });
    await expect((await new Pair(api, 'AB').open()).exercise()).rejects.toThrow(/ergometer-busy.*R-07/);
  });

  it('a field test is on no ergometer, and two modes are on two', () => {
    const text = (name: string): string => readFileSync(new URL(`../../lab-sheets/${name}.yaml`, import.meta.url), 'utf8');
    const of = (name: string, typed?: string): string | undefined => {
      const loaded = loadSheet(text(name), name);
      if (!loaded.ok) throw new Error(name);
      return ergometerOf({ sheet: loaded.sheet, details: typed === undefined ? {} : { ergometer: { typed } as never } }, undefined);
    };
    expect(of('field-walk-one-mile')).toBeUndefined();
    expect(of('field-walk-one-mile', 'the track')).toBeUndefined();
    expect(of('cycle-ramp-maximal')).not.toBe(of('treadmill-maximal-bruce'));
    expect(of('cycle-ramp-maximal')).toBe(of('cycle-submaximal-branching'));
  });
});

describe('two windows on one session', () => {
  /** A window: it reads on whenever it is told, as the real one does. */
  function windowOn(api: StationApi, author: string, session: string): { pair: Pair; told: RecordChange[] } {
    const pair = new Pair(api, author);
    pair.session = session;
    const told: RecordChange[] = [];
    api.subscribe({ changed: (change) => void (change.record === session && told.push(change)), connected: () => {} });
    return { pair, told };
  }

  it('one author’s second reading amends, from whichever window; two authors’ both stand, and the sheet says that they differ', async () => {
    const { api } = station();
    const session = (await (await new Pair(api, 'TN').open()).exercise({ recorder: 'TN' })).session;
    const [left, right] = [windowOn(api, 'TN', session), windowOn(api, 'TN', session)];
    const other = windowOn(api, 'MO', session);
    const key = slotKey({ phase: 'exercise', stage: 1, mark: 'm1', quantity: 'heart-rate' });
    const readings = async () => (await left.pair.state()).slots.get(key);

    await left.pair.add(left.pair.reading('147'));
    await right.pair.add(right.pair.reading('149'));
    const amended = await readings();
    expect(amended?.readings.map(({ typed, amendedBy }) => [typed, amendedBy !== undefined])).toEqual([
      ['147', true],
      ['149', false],
    ]);
    expect(amended).toMatchObject({ differ: false, current: { typed: '149' } });

    await other.pair.add(other.pair.reading('155'));
    const both = await readings();
    expect(both).toMatchObject({ differ: true, current: { typed: '149', author: 'TN' } });
    expect(both?.readings.filter(({ amendedBy }) => amendedBy === undefined).map(({ typed, author }) => [typed, author])).toEqual([
      ['149', 'TN'],
      ['155', 'MO'],
    ]);
    const cells = sheetRows(await left.pair.state(), 60_000).flatMap(({ cells: row }) => row);
    expect(cells.map(({ differ }) => differ).filter((differ) => differ !== undefined)).toEqual([expect.stringMatching(/149.*TN.*155.*MO/) as string]);
    // Each window was told of all three, and they have one record before them.
    expect([left, right, other].map(({ told }) => told.at(-1)?.length)).toEqual(Array.from({ length: 3 }, () => both && left.told.at(-1)?.length));
    expect((await right.pair.events()).length).toBe(left.told.at(-1)?.length);
  });

  it('that enter at the same instant are both taken, each once, in one order', async () => {
    const { api } = station();
    const session = (await (await new Pair(api, 'TN').open()).exercise()).session;
    const windows = ['TN', 'MO', 'TN'].map((author) => windowOn(api, author, session).pair);
    const answers = await Promise.all(windows.flatMap((pair) => Array.from({ length: 20 }, (_, index) => pair.add({ kind: 'note-added', data: { text: `note ${index}` } }))));
    const places = answers.flatMap(({ events }) => events.map(({ body }) => (JSON.parse(body) as { seq: number }).seq));
    expect(new Set(places).size).toBe(60);
    expect((await windows[0]?.events())?.filter(({ kind }) => kind === 'note-added')).toHaveLength(60);
  });

  it('one that stops and one that enters do not conflict: the reading of a moment before the stop is taken', async () => {
    const clock = new MovedClock();
    const { api } = station({ clock });
    const session = (await (await new Pair(api, 'TN').open()).exercise()).session;
    const [left, right] = [windowOn(api, 'TN', session).pair, windowOn(api, 'MO', session).pair];
    clock.pass(175_000);
    await right.add({ kind: 'test-stopped', data: {} });
    clock.pass(2_000);
    await left.add({ ...left.reading('171'), taken: 174_000 });
    // A second stop from the other window changes nothing that the first one said.
    const again = await left.try({ kind: 'test-stopped', data: {} });
    expect(again.ok).toBe(false);
    expect(await left.state()).toMatchObject({ phase: 'recovery', starts: { recovery: 175_000 } });
  });
});
