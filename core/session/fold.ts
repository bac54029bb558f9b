/**
 * The fold: a session's events → the session as it stands. Pure, and the only reader of session events.
 * Window, station, command line, printed page and marking all see a session through this file.
 */
import { sheetOfRecord } from '../sheet/of-record.ts';
import type { RecordEvent } from '../record/event.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { gatherFacts, type Facts } from './facts.ts';
import { isSessionKind, sessionVersions, type SessionEvent } from './events.ts';
import { collectReadings, fillSlots, standingReading, type Written } from './slots.ts';
import type { SessionState, SlotState } from './state.ts';
import { gatherStages } from './stages.ts';

/**
 * Adds events one by one and gives the state when asked. Readings are only sorted into their places when someone
 * looks at them, so that a station can take a reading without folding thousands of earlier ones again.
 */
export class SessionFold {
  #other: SessionEvent[] = [];
  #readings: SessionEvent[] = [];
  #length = 0;
  #unknown: string | undefined;
  #sheet: LabSheet | undefined;
  #facts: Facts | undefined;

  /** @param sheet the record's lab sheet where it has been read already; without it, it is read from the opening event. */
  constructor(sheet?: LabSheet) {
    this.#sheet = sheet;
  }

  add(event: RecordEvent): this {
    this.#length = event.seq + 1;
    if (!isSessionKind(event.kind) || event.version > sessionVersions[event.kind]) {
      this.#unknown ??= `This record holds "${event.kind}" (version ${event.version}), which this program does not know. It can be read but not continued; open it with a newer Stagecall.`;
      return this;
    }
    const known = event as SessionEvent;
    if (known.kind === 'session-opened') this.#sheet ??= sheetOfRecord(known.data.sheet.text, known.data.sheet.hash);
    if (known.kind === 'reading-taken' || known.kind === 'reading-not-taken') this.#readings.push(known);
    else {
      this.#other.push(known);
      this.#facts = undefined;
    }
    return this;
  }

  /**
   * The state after all events so far. The slots are worked out on first use.
   * @throws {Error} when the first event, which carries the lab sheet, is missing.
   */
  state(): SessionState {
    const sheet = this.#sheet;
    if (!sheet) throw new Error('a session begins with session-opened, which carries its lab sheet');
    this.#facts ??= gatherFacts(this.#other);
    const facts = this.#facts;
    // The list only grows, so a state needs no copy of it until someone looks at its slots.
    const [readings, count] = [this.#readings, this.#readings.length];
    let collected: ReadonlyMap<string, Written> | undefined;
    const written = (): ReadonlyMap<string, Written> => (collected ??= collectReadings(facts, readings.slice(0, count)));
    // Only sheets with steady-state or branching rules look at readings to know their stages.
    const { stages, next } = gatherStages(sheet, facts, (key) => {
      const place = written().get(key);
      return place && standingReading(place, facts.people.recorder).current?.value;
    });
    let slots: ReadonlyMap<string, SlotState> | undefined;
    const { settingEvents: _unused, struckSeqs: _struck, voidedExercise: _voided, ...visible } = facts;
    const readOnly = this.#unknown ?? (facts.starts.closed === undefined ? undefined : 'This session is closed. Its record can be read and answered, not changed.');
    return {
      ...visible,
      sheet,
      stages,
      ...(next === undefined ? {} : { next }),
      length: this.#length,
      ...(readOnly === undefined ? {} : { readOnly, ...(this.#unknown === undefined ? { onlyClosed: true as const } : {}) }),
      get slots() {
        slots ??= fillSlots(sheet, facts, stages, written());
        return slots;
      },
    };
  }
}

/** The state of a session from all its events, in order. */
export function foldSession(events: readonly RecordEvent[]): SessionState {
  const fold = new SessionFold();
  for (const event of events) fold.add(event);
  return fold.state();
}
