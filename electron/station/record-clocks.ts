/** Every record's running clock: carried into this process when first asked for, watched by the station's tick. */
import type { ClockReading } from '../../core/contract/contract.ts';
import { success, type Result } from '../../core/result.ts';
import type { Store, StoredClock } from '../store/store.ts';
import type { Clock } from './clock.ts';
import {
  bridge,
  clockFrom,
  elapsedSince,
  momentOf,
  recordTime,
  REHEARSAL_PAUSES_AFTER_MS,
  type Bridge,
  type Moment,
} from './record-clock.ts';
import { SLEEP_GRAIN_MS } from './clock.ts';

/** A gap between two looks at the clocks that is longer than this was no busy moment: the machine slept, or the program was halted. */
const HALTED_AFTER_MS = 10_000;
/** Wall clock against monotonic clock between two looks: more than this is a jump and no drift. */
const JUMP_MS = 2_000;

/** What the tick noticed since the last one. */
export interface Watch {
  /** The machine slept (or the program was halted) for so many milliseconds. */
  readonly slept?: number;
  /** The wall clock moved by so many milliseconds more than time passed. */
  readonly jumped?: number;
}

/** A running clock for each open record, and how it is carried over sleep, restart and reboot. */
export class RecordClocks {
  readonly #store: Store;
  readonly #clock: Clock;
  readonly #running = new Map<string, StoredClock>();
  #last: Moment;

  constructor(store: Store, clock: Clock) {
    this.#store = store;
    this.#clock = clock;
    this.#last = momentOf(clock);
  }

  /** A clock for a new record, starting now at 0. */
  begin(rate: number): StoredClock {
    return clockFrom(0, momentOf(this.#clock), rate);
  }

  started(record: string, clock: StoredClock): void {
    this.#running.set(record, clock);
  }

  /** The record is gone. */
  forget(record: string): void {
    this.#running.delete(record);
  }

  /**
   * Carries a record's clock into this process, if that has not been done yet.
   * @param pauses whether a long gap is left out (rehearsals).
   * @returns how it was carried; undefined where it was running here already.
   */
  carry(record: string, lastEntered: number, pauses: boolean): Result<Bridge | undefined> {
    if (this.#running.has(record)) return success(undefined);
    const stored = this.#store.clock(record);
    if (!stored.ok) return stored;
    const moment = momentOf(this.#clock);
    const carried: Bridge = stored.value
      ? bridge(stored.value, moment, lastEntered, pauses)
      : {
          clock: clockFrom(lastEntered, moment, 1),
          why: 'reboot',
          bridge: 'wall',
          gap: 0,
          remark: 'The time of this record is not known any more; it goes on from its last entry.',
        };
    this.#running.set(record, carried.clock);
    return success(carried);
  }

  /** The record's time now, whole milliseconds, and its rate. The record must have been carried or started. */
  read(record: string): ClockReading {
    const clock = this.#running.get(record);
    if (!clock) throw new Error(`the clock of ${record} was not carried into this process`);
    return { now: Math.max(0, Math.floor(recordTime(clock, momentOf(this.#clock)))), rate: clock.rate };
  }

  /** Goes on at another rate from now. */
  setRate(record: string, rate: number): Result<void> {
    const clock = this.#running.get(record);
    if (!clock) throw new Error(`the clock of ${record} was not carried into this process`);
    const moment = momentOf(this.#clock);
    const next = clockFrom(recordTime(clock, moment), moment, rate);
    const written = this.#store.setClock(record, next);
    if (written.ok) this.#running.set(record, next);
    return written;
  }

  /** Writes down that these records' clocks were seen running now, with the wall clock that a reboot would be bridged by. */
  seen(records: readonly string[]): void {
    const moment = momentOf(this.#clock);
    for (const record of records) {
      const clock = this.#running.get(record);
      if (!clock) continue;
      const next = { ...clock, seenAt: recordTime(clock, moment), seenWall: moment.wall };
      this.#running.set(record, next);
      this.#store.setClock(record, next); // best effort: a full disk is told at the next reading
    }
  }

  /** Compares the clocks with how they stood at the last call. */
  watch(): Watch {
    const moment = momentOf(this.#clock);
    const passed = elapsedSince(this.#last, moment);
    const sleep = moment.slept - this.#last.slept;
    const jumped = moment.wall - this.#last.wall - passed;
    this.#last = moment;
    return {
      ...(sleep > Math.max(SLEEP_GRAIN_MS, JUMP_MS) ? { slept: sleep } : passed > HALTED_AFTER_MS ? { slept: passed } : {}),
      ...(Math.abs(jumped) > JUMP_MS ? { jumped } : {}),
    };
  }

  /** Whether a sleep of the machine can be told from a jump of its wall clock. */
  get tellsSleep(): boolean {
    return this.#clock.sleptMs() !== undefined;
  }

  /** A rehearsal does not run on through a long sleep. */
  pauseFor(record: string, gap: number): void {
    const clock = this.#running.get(record);
    if (!clock || gap <= REHEARSAL_PAUSES_AFTER_MS) return;
    const moment = momentOf(this.#clock);
    const next = clockFrom(Math.max(clock.seenAt, recordTime(clock, moment) - gap * clock.rate), moment, clock.rate);
    this.#running.set(record, next);
    this.#store.setClock(record, next);
  }
}
