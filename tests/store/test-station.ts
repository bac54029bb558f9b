/** A station in this process, over a real store, with clocks that the test moves. */
import type { Answering } from '../../electron/loopback/app.ts';
import { systemClock, type Clock } from '../../electron/station/clock.ts';
import { passingKey } from '../../electron/station/key.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { Station, type StationOptions } from '../../electron/station/station.ts';
import { dispatch } from '../../electron/station/dispatch.ts';
import { openStore } from '../../electron/store/sqlite-store.ts';
import type { Store } from '../../electron/store/store.ts';
import type { StationApi } from '../../core/contract/contract.ts';
import type { Result } from '../../core/result.ts';
import { sheetText } from '../shells/pair.ts';

export interface TestStation {
  readonly station: Station;
  readonly store: Store;
  /** Its commands, through the same border as from a window. */
  readonly api: StationApi;
  /** The same, as the loopback server takes it. */
  readonly answering: Answering;
  stop(): void;
}

export interface TestStationOptions extends Partial<Omit<StationOptions, 'store'>> {
  readonly file?: string;
  readonly store?: Store;
}

export function testStation({ file = ':memory:', store, ...options }: TestStationOptions = {}): TestStation {
  const opened: Result<Store> = store ? { ok: true, value: store } : openStore(file);
  if (!opened.ok) throw new Error(opened.error.message);
  const station = new Station({
    store: opened.value,
    clock: systemClock(),
    key: passingKey(),
    sheets: sheetTexts({ 'treadmill-maximal-bruce.yaml': sheetText }),
    version: '0.0.0',
    shell: 'test',
    capabilities: { save: 'download', strap: false, secondWindow: false },
    ...options,
  });
  const started = station.start();
  if (!started.ok) throw new Error(started.error.message);
  const answering: Answering = {
    call: (name, input) => dispatch(station.handlers, name, input),
    subscribe: (listener) => station.subscribe(listener),
  };
  const api = {
    call: answering.call,
    subscribe: (listener: Parameters<StationApi['subscribe']>[0]) => {
      queueMicrotask(() => listener.connected(true));
      return station.subscribe(listener.changed.bind(listener));
    },
  } as StationApi;
  return { station, store: opened.value, api, answering, stop: () => opened.value.close() };
}

/** The machine's clocks, moved by hand. */
export class MovedClock implements Clock {
  monotonic = 1_000_000_000_000n;
  wall = Date.parse('2026-03-02T09:00:00Z');
  boot: string | undefined = 'boot-1';
  slept: number | undefined = 0;
  monotonicNs = (): bigint => this.monotonic;
  wallMs = (): number => this.wall;
  bootId = (): string | undefined => this.boot;
  sleptMs = (): number | undefined => this.slept;

  /** Time passes, on all clocks. */
  pass(milliseconds: number): void {
    this.monotonic += BigInt(Math.round(milliseconds * 1e6));
    this.wall += milliseconds;
  }
  /** Somebody sets the wall clock. */
  setWall(by: number): void {
    this.wall += by;
  }
  /** The machine sleeps: Linux's monotonic clock stands still meanwhile. */
  sleep(milliseconds: number): void {
    this.wall += milliseconds;
    if (this.slept !== undefined) this.slept += milliseconds;
  }
  /** The machine is started anew: its monotonic clock begins again. */
  reboot(away: number): void {
    this.wall += away;
    this.monotonic = 20_000_000_000n;
    this.slept = 0;
    this.boot = 'boot-2';
  }
}
