/** Session time against everything that can be done to a machine's clocks. The clocks are moved by hand, never the machine's own. */
import path from 'node:path';
import { afterAll, describe, expect, it } from 'vitest';
import { bridge, clockFrom, recordTime } from '../../electron/station/record-clock.ts';
import { systemClock } from '../../electron/station/clock.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import { Pair } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';
import { MovedClock, testStation, type TestStation } from './test-station.ts';

const { folder, remove } = tempFolder();
afterAll(remove);
let files = 0;

/** A live session in Exercise, 100 s after it was opened. */
async function running(
  way: 'live' | 'rehearsal' = 'live',
  rate = 1,
): Promise<{ clock: MovedClock; pair: Pair; station: TestStation; file: string }> {
  const file = path.join(folder, `${++files}.sqlite`);
  const clock = new MovedClock();
  const station = testStation({ file, clock });
  const pair = await new Pair(station.api).open(
    way,
    way === 'rehearsal' ? { participant: 'R-01', seed: 1, rate, records: false } : undefined,
  );
  await pair.exercise();
  for (let second = 1; second <= 100; second++) {
    clock.pass(1_000);
    station.station.tick(second);
  }
  return { clock, pair, station, file };
}

/** The station's process ends without a word, and another one takes over. */
function restarted(before: { station: TestStation; pair: Pair; clock: MovedClock; file: string }): { station: TestStation; pair: Pair } {
  before.station.stop();
  const station = testStation({ file: before.file, clock: before.clock });
  const pair = new Pair(station.api, 'TN-2');
  pair.session = before.pair.session;
  return { station, pair };
}

const now = async (pair: Pair): Promise<number> => (await pair.read()).clock.now;
const carried = (events: readonly RecordEvent[]): unknown[] =>
  events.filter(({ kind }) => kind === 'clock-carried').map(({ data }) => data);

describe('while the station runs', () => {
  it.each([
    ['set back an hour', -3_600_000],
    ['set forward a day', 86_400_000],
    ['set back ten years', -315_576_000_000],
  ])('a wall clock %s moves nothing', async (_, by) => {
    const { clock, pair, station } = await running();
    clock.setWall(by);
    station.station.tick(11);
    expect(await now(pair)).toBe(100_000);
    clock.pass(5_000);
    station.station.tick(12);
    await pair.add(pair.reading('147'));
    expect((await pair.events()).at(-1)).toMatchObject({ kind: 'reading-taken', taken: 105_000, entered: 105_000 });
    expect(carried(await pair.events())).toEqual([]);
    expect(station.station.notices.list()).toEqual([
      expect.objectContaining({ level: 'info', text: expect.stringContaining('Session times are not moved') as string }),
    ]);
  });

  it('another time zone moves nothing', async () => {
    const { clock, pair } = await running();
    const zone = process.env['TZ'];
    try {
      process.env['TZ'] = 'Pacific/Auckland';
      clock.pass(1_000);
      expect(await now(pair)).toBe(101_000);
      const other = await new Pair(pair.api, 'AB').open();
      expect((await other.state()).openedWall).toMatch(/^2026-03-02T22:01:41\+13:00$/);
    } finally {
      process.env['TZ'] = zone;
    }
  });

  it('a machine that slept is noticed, and its sleep counts', async () => {
    const { clock, pair, station } = await running();
    clock.sleep(90_000);
    clock.pass(1_000);
    station.station.tick(11);
    expect(await now(pair)).toBe(191_000);
    expect(carried(await pair.events())).toEqual([{ why: 'sleep', bridge: 'monotonic', gap: 90_000 }]);
    expect(station.station.notices.list()).toEqual([
      expect.objectContaining({ level: 'warning', text: expect.stringContaining('slept for 90 s') as string }),
    ]);
    clock.pass(1_000);
    station.station.tick(12);
    expect(await now(pair)).toBe(192_000);
    expect(carried(await pair.events())).toHaveLength(1);
  });

  it('a reading right after waking, before the tick, has its real time', async () => {
    const { clock, pair } = await running();
    clock.sleep(60_000);
    await pair.add(pair.reading('147'));
    expect((await pair.events()).at(-1)).toMatchObject({ taken: 160_000 });
  });

  it('a program that was halted is noticed where the monotonic clock goes on (macOS, Windows, a stopped process)', async () => {
    const { clock, pair, station } = await running();
    clock.pass(45_000);
    station.station.tick(11);
    expect(await now(pair)).toBe(145_000);
    expect(carried(await pair.events())).toEqual([{ why: 'sleep', bridge: 'monotonic', gap: 45_000 }]);
  });

  it('a busy second is no sleep', async () => {
    const { clock, pair, station } = await running();
    clock.pass(9_000);
    station.station.tick(11);
    expect(carried(await pair.events())).toEqual([]);
    expect(station.station.notices.list()).toEqual([]);
  });

  it('where sleep cannot be told from a set clock, nothing is moved and both are named', async () => {
    const { clock, pair, station } = await running();
    clock.slept = undefined;
    clock.sleep(90_000);
    clock.pass(1_000);
    station.station.tick(11);
    expect(await now(pair)).toBe(101_000);
    expect(station.station.notices.list()).toEqual([
      expect.objectContaining({ text: expect.stringContaining('If the computer slept') as string }),
    ]);
  });

  it('a rehearsal sleeps with the machine', async () => {
    const { clock, pair, station } = await running('rehearsal', 10);
    const before = await now(pair);
    clock.sleep(3_600_000);
    clock.pass(1_000);
    station.station.tick(11);
    expect(await now(pair)).toBe(before + 10_000);
  });
});

describe('over a restart of the station', () => {
  it('on the same boot the monotonic clock goes on, whatever the wall clock did meanwhile', async () => {
    const before = await running();
    before.clock.setWall(-3_600_000);
    before.clock.pass(7_000);
    const { pair } = restarted(before);
    expect(await now(pair)).toBe(107_000);
    expect(carried(await pair.events())).toEqual([{ why: 'restart', bridge: 'monotonic', gap: 7_000 }]);
    expect((await pair.state()).phase).toBe('exercise');
  });

  it.each([
    ['back an hour', (clock: MovedClock) => clock.setWall(-3_600_000), undefined],
    ['forward a day', (clock: MovedClock) => clock.setWall(86_400_000), undefined],
    ['to another time zone', () => {}, 'America/St_Johns'],
  ])('on the same boot a wall clock set %s leaves every elapsed time as it was', async (_, set, zone) => {
    const before = await running();
    await before.pair.add(before.pair.reading('147'));
    before.clock.pass(20_000);
    await before.pair.add({ kind: 'test-stopped', data: {} });
    before.clock.pass(1_000);
    const elapsed = async (pair: Pair) => (await pair.events()).filter(({ kind }) => kind !== 'clock-carried').map(({ kind, taken, entered }) => [kind, taken, entered]);
    const was = await elapsed(before.pair);
    const usual = process.env['TZ'];
    try {
      if (zone !== undefined) process.env['TZ'] = zone;
      set(before.clock);
      before.clock.pass(4_000);
      const { pair, station } = restarted(before);
      expect(await elapsed(pair)).toEqual(was);
      expect(await now(pair)).toBe(125_000);
      station.station.tick(1);
      before.clock.pass(5_000);
      await pair.add({ kind: 'note-added', data: { text: 'after it' } });
      expect((await pair.events()).at(-1)).toMatchObject({ taken: 130_000, entered: 130_000 });
      const state = await pair.state();
      expect(state.starts).toMatchObject({ exercise: 0, recovery: 120_000 });
      // From the last entry, a second before the program ended.
      expect(carried(await pair.events())).toEqual([{ why: 'restart', bridge: 'monotonic', gap: 5_000 }]);
    } finally {
      process.env['TZ'] = usual;
    }
  });

  it('fifty times in a row nothing is rounded away', async () => {
    const before = await running();
    let present: { station: TestStation; pair: Pair } = before;
    for (let restart = 0; restart < 50; restart++) {
      before.clock.pass(333.3);
      present = restarted({ ...before, ...present });
    }
    // 100 s and 50 × 333.3 ms; shown as whole milliseconds, rounded down.
    expect(await now(present.pair)).toBe(116_665);
  });

  it('a sleep while the station was away counts too', async () => {
    const before = await running();
    before.clock.sleep(30_000);
    before.clock.pass(2_000);
    const { pair } = restarted(before);
    expect(await now(pair)).toBe(132_000);
  });

  it('after a reboot the wall clock bridges the gap, and the event says so', async () => {
    const before = await running();
    before.clock.reboot(120_000);
    const { pair, station } = restarted(before);
    expect(await now(pair)).toBe(220_000);
    expect(carried(await pair.events())).toEqual([{ why: 'reboot', bridge: 'wall', gap: 120_000 }]);
    expect(station.station.notices.list()).toEqual([
      expect.objectContaining({ level: 'warning', text: expect.stringContaining('check it against a watch') as string }),
    ]);
    before.clock.pass(3_000);
    await pair.add(pair.reading('150'));
    expect((await pair.events()).at(-1)).toMatchObject({ taken: 223_000 });
  });

  it('after a reboot, a wall clock that was set during the session is not counted twice', async () => {
    const before = await running();
    before.clock.setWall(86_400_000);
    before.station.station.tick(11); // notices the jump and writes down the new wall clock
    before.clock.reboot(60_000);
    const { pair } = restarted(before);
    expect(await now(pair)).toBe(160_000);
  });

  it('after a reboot into an earlier time, the clock goes on from the last entry and says so', async () => {
    const before = await running();
    before.clock.reboot(-3_600_000);
    const { pair, station } = restarted(before);
    expect(await now(pair)).toBe(100_000);
    expect(station.station.notices.list()).toEqual([
      expect.objectContaining({ level: 'warning', text: expect.stringContaining('how long it was away is not known') as string }),
    ]);
  });

  it('where the system does not name its boots, the wall clock bridges', async () => {
    const before = await running();
    before.clock.boot = undefined;
    before.clock.pass(5_000);
    const { pair } = restarted(before);
    expect(await now(pair)).toBe(105_000);
    expect(carried(await pair.events())).toEqual([{ why: 'reboot', bridge: 'wall', gap: 5_000 }]);
  });

  it('a rehearsal that was left for the night goes on where it was', async () => {
    const before = await running('rehearsal', 60);
    const left = await now(before.pair);
    before.clock.pass(8 * 3_600_000);
    const { pair } = restarted(before);
    expect(await now(pair)).toBe(left);
    before.clock.pass(1_000);
    expect(await now(pair)).toBe(left + 60_000);
  });

  it('a rehearsal’s changed speed holds from the moment it was changed', async () => {
    const before = await running('rehearsal', 10);
    const changed = await now(before.pair);
    await before.pair.api.call('rehearsal.rate', { session: before.pair.session, rate: 120 });
    expect(await now(before.pair)).toBe(changed);
    before.clock.pass(500);
    expect(await now(before.pair)).toBe(changed + 60_000);
    const { pair } = restarted(before);
    before.clock.pass(500);
    expect(await now(pair)).toBe(changed + 120_000);
  });

  it('no clock ever falls behind an entry that was accepted', async () => {
    const before = await running();
    before.clock.pass(50_000);
    await before.pair.add(before.pair.reading('151')); // after the last tick
    before.clock.reboot(-100_000);
    const { pair } = restarted(before);
    expect(await now(pair)).toBeGreaterThanOrEqual(150_000);
    await pair.add(pair.reading('152', 'm2'));
    const entered = (await pair.events()).map((event) => event.entered);
    expect(entered).toEqual([...entered].sort((a, b) => a - b));
  });

  it('a session that is not yet in Rest, and one that is closed, get no event', async () => {
    const file = path.join(folder, `${++files}.sqlite`);
    const clock = new MovedClock();
    const station = testStation({ file, clock });
    const open = await new Pair(station.api).open();
    const closed = await (await (await new Pair(station.api, 'AB').open()).exercise({ ergometer: 'T2' })).finish();
    const before = await now(closed);
    clock.pass(10_000);
    const after = restarted({ station, pair: open, clock, file });
    expect(carried(await after.pair.events())).toEqual([]);
    expect(await now(after.pair)).toBe(10_000);
    closed.session = after.pair.session = closed.session;
    expect(carried(await after.pair.events())).toEqual([]);
    expect((await after.pair.read()).clock).toEqual({ now: before, rate: 0 });
  });
});

describe('arithmetic', () => {
  it('holds for a week at nanosecond counters beyond 2^53', () => {
    const moment = { monotonic: 2n ** 60n, slept: 0, wall: 0, boot: 'b' };
    const clock = clockFrom(0, moment, 1);
    // 7 d in ns is 6.048e14, exact in a double; so the time is exact to the microsecond that is printed here.
    expect(recordTime(clock, { ...moment, monotonic: moment.monotonic + 604_800_000_123_000n })).toBeCloseTo(604_800_000.123, 3);
  });

  it('takes a counter that has gone back for a reboot, even under the same name', () => {
    const moment = { monotonic: 10n ** 12n, slept: 0, wall: 1_000_000, boot: 'b' };
    expect(bridge(clockFrom(0, moment, 1), { ...moment, monotonic: 1n, wall: 1_005_000 }, 0, false)).toMatchObject({
      why: 'reboot',
      bridge: 'wall',
      gap: 5_000,
    });
  });

  it('reads this machine’s clocks', () => {
    const clock = systemClock();
    const [first, second] = [clock.monotonicNs(), clock.monotonicNs()];
    expect(second).toBeGreaterThanOrEqual(first);
    expect(Math.abs(clock.wallMs() - Date.now())).toBeLessThan(1_000);
    if (process.platform === 'linux') expect(clock.bootId()).toMatch(/^[0-9a-f-]{36}$/);
  });
});
