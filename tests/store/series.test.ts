/** Gas exchange files in the database: kept by content, given up when nobody names them, and joined by a rehearsal's own pair. */
import { readFileSync } from 'node:fs';
import { afterEach, describe, expect, it } from 'vitest';
import { applyMapping, guessMapping, keepSeries, readGasTable } from '../../core/gas/gas.ts';
import { sha256Hex } from '../../core/record/chain.ts';
import { rehearsalNext } from '../../core/rehearsal/driver.ts';
import { resultsOf } from '../../core/results/results.ts';
import { isSealOf } from '../../electron/station/key.ts';
import { RehearsalDriver } from '../../electron/station/rehearsals.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import { simulatedFile } from '../shells/contract-series.ts';
import { good, Pair } from '../shells/pair.ts';
import { until } from '../shells/until.ts';
import { MovedClock, testStation, type TestStation } from './test-station.ts';

const stations: TestStation[] = [];
afterEach(() => {
  for (const made of stations.splice(0)) made.stop();
});
function station(options: Parameters<typeof testStation>[0]): TestStation {
  const made = testStation(options);
  stations.push(made);
  return made;
}

const HOUR = 3_600_000;

describe('series in the store', () => {
  it('one that no record names is thrown away after an hour, one that is named stays', async () => {
    const store = await good(openStore(':memory:'));
    const clock = new MovedClock();
    const { api } = station({ store, clock });
    const pair = await (await new Pair(api).open()).exercise();
    const table = await good(readGasTable(simulatedFile(60)));
    const { mapping } = guessMapping(table);
    const kept = await good(keepSeries(table, mapping));
    const { length } = await good(applyMapping(table, mapping));
    const { hash } = await good(api.call('series.put', { text: kept.text }));
    await pair.add({ kind: 'series-attached', data: { name: 'a', hash, rows: length, perBreath: true, offset: 0, aligned: 'typed', mapping: kept.mapping } });
    const other = await good(readGasTable(simulatedFile(40)));
    const left = await good(api.call('series.put', { text: (await good(keepSeries(other, guessMapping(other).mapping))).text }));
    clock.pass(HOUR + 1);
    expect(await good(store.series(left.hash))).toBeDefined();
    const third = await good(readGasTable(simulatedFile(50)));
    await good(api.call('series.put', { text: (await good(keepSeries(third, guessMapping(third).mapping))).text }));
    expect(await good(store.series(left.hash))).toBeUndefined();
    expect(await good(store.series(hash))).toBe(kept.text);
  });

  it('what is joined after the closing is signed anew', async () => {
    const { api, store } = station({});
    const pair = await (await (await new Pair(api).open()).exercise()).finish();
    const before = await good(store.signature(pair.session));
    const table = await good(readGasTable(simulatedFile(60)));
    const { mapping } = guessMapping(table);
    const kept = await good(keepSeries(table, mapping));
    const { length } = await good(applyMapping(table, mapping));
    const { hash } = await good(api.call('series.put', { text: kept.text }));
    await pair.add({ kind: 'series-attached', data: { name: 'a', hash, rows: length, perBreath: true, offset: 0, aligned: 'typed', mapping: kept.mapping } });
    const after = await good(store.signature(pair.session));
    expect(after?.head).not.toBe(before?.head);
    expect(after?.head).toBe((await pair.read()).events.at(-1)?.hash);
    expect(after && isSealOf(after)).toBe(true);
  });
});

describe('a rehearsal of the ramp that records by itself', () => {
  it('joins its simulated breaths, from which the thresholds are worked out', async () => {
    const clock = new MovedClock();
    const ramp = readFileSync(new URL('../../lab-sheets/cycle-ramp-maximal.yaml', import.meta.url), 'utf8');
    const { api, station: running, store } = station({ clock, sheets: sheetTexts({ 'cycle-ramp-maximal.yaml': ramp }) });
    const pair = new Pair(api);
    pair.session = (await good(api.call('session.open', { command: pair.command(), author: 'TN', sheet: 'cycle-ramp-maximal', way: 'rehearsal', rehearsal: { participant: 'R-01', seed: 11, rate: 120, records: true } }))).session;
    const driver = new RehearsalDriver(running, Promise.resolve(rehearsalNext));
    await Promise.resolve();
    for (let look = 0; look < 3_000 && (await pair.state()).phase !== 'worksheet'; look += 1) {
      clock.pass(500);
      driver.look();
    }
    await until('the breaths are joined', () => {
      const session = running.session(pair.session);
      return session.ok && session.value.state.series.length === 1;
    });
    driver.stop();
    const state = await pair.state();
    const texts = new Map(await Promise.all(state.series.map(async ({ hash }) => [hash, (await good(store.series(hash))) ?? ''] as const)));
    expect(sha256Hex([...texts.values()][0] ?? '')).toBe(state.series[0]?.hash);
    const { gas } = resultsOf(state, (hash) => texts.get(hash));
    expect(gas?.found?.thresholds.map(({ from }) => from)).toEqual(['program', 'program']);
    expect(running.notices.list()).toEqual([]);
  });
});
