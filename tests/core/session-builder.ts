/** Builds session records for tests the way a station does: decide first, then append with a hash chain. */
import { readFileSync } from 'node:fs';
import { chainHash, CHAIN_START, sha256Hex } from '../../core/record/chain.ts';
import { bodyOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { decideSession } from '../../core/session/decide.ts';
import type { SessionDraft, Slot } from '../../core/session/events.ts';
import { SessionFold } from '../../core/session/fold.ts';
import { resolveSlot } from '../../core/session/place.ts';
import type { SessionState } from '../../core/session/state.ts';
import { readingQuantities, type ReadingQuantity } from '../../core/vocabulary.ts';

export const bruceText = readFileSync(new URL('../../lab-sheets/treadmill-maximal-bruce.yaml', import.meta.url), 'utf8');

/** `m:ss` or minutes to milliseconds, for readable tests. */
export const at = (text: string): number => {
  const [minutes = '0', seconds = '0'] = text.split(':');
  return (Number(minutes) * 60 + Number(seconds)) * 1000;
};

export class SessionBuilder {
  readonly events: RecordEvent[] = [];
  readonly stored: StoredEvent[] = [];
  readonly #fold = new SessionFold();
  #now = 0;
  readonly id: string;

  constructor(way: 'live' | 'paper' | 'rehearsal' = 'live', text: string = bruceText, id = 'session-under-test') {
    this.id = id;
    this.#append('session-opened', { way, sheet: { id: 'sheet', version: 1, hash: sha256Hex(text), text }, wall: '2026-03-02T09:00:00+00:00' }, 0, 'TN');
  }

  get state(): SessionState {
    return this.#fold.state();
  }
  get now(): number {
    return this.#now;
  }

  /** Moves the station's clock to a moment of session time. */
  clock(now: number): this {
    this.#now = now;
    return this;
  }

  #append(kind: string, data: unknown, taken: number, author: string): void {
    const seq = this.events.length;
    const event: RecordEvent = { record: this.id, seq, kind, version: 1, taken, entered: Math.max(this.#now, taken), author, command: `command-${seq}`, data };
    const body = bodyOf(event);
    this.stored.push({ body, hash: chainHash(this.stored.at(-1)?.hash ?? CHAIN_START, body) });
    this.events.push(event);
    this.#fold.add(event);
  }

  /** Appends a draft that has to be allowed. */
  add<Kind extends SessionDraft['kind']>(kind: Kind, data: Extract<SessionDraft, { kind: Kind }>['data'], author = 'TN', taken?: number): this {
    const decided = this.try(kind, data, author, taken);
    if (!decided.ok) throw new Error(`${kind}: ${decided.error.message}`);
    return this;
  }

  /** Tries a draft; appends it when it is allowed. */
  try(kind: string, data: unknown, author = 'TN', taken?: number): ReturnType<typeof decideSession> {
    const decided = decideSession(this.state, { kind, data, ...(taken === undefined ? {} : { taken }) }, { now: this.#now, author });
    if (decided.ok) this.#append(decided.value.kind, decided.value.data, decided.value.taken, author);
    return decided;
  }

  /** A reading at a moment, placed as the live sheet would place it. */
  reading(quantity: ReadingQuantity, typed: string, moment: number, options: { author?: string; unit?: string; slot?: Slot } = {}): this {
    this.#now = Math.max(this.#now, moment);
    const slot = options.slot ?? resolveSlot(this.state, quantity, moment);
    return this.add('reading-taken', { slot, typed, unit: options.unit ?? readingQuantities[quantity].unit, confirmed: true }, options.author ?? 'TN', moment);
  }

  /** Everything that Prepare asks for, so that exercise may start. */
  prepared(details: Record<string, string> = {}): this {
    const given = { 'participant-code': 'R-07', sex: 'female', age: '22', height: '168', mass: '61.4', temperature: '21', pressure: '752', humidity: '45', recorder: 'TN', tester: 'MO', ...details };
    for (const [detail, typed] of Object.entries(given)) if (typed !== '') this.add('detail-given', { detail, typed });
    this.add('screening-done', { outcome: 'go', by: 'KL' }).add('consent-noted', { given: true });
    for (const check of this.state.sheet.checks) {
      const middle = check.value && (check.value.min + check.value.max) / 2;
      this.add('check-done', { check: check.id, done: true, ...(middle === undefined ? {} : { typed: String(middle), unit: check.value?.unit ?? '' }) });
    }
    return this;
  }

  /** Prepared, with resting readings, and exercise started at `start`. */
  exercising(start: number = at('20:00'), details: Record<string, string> = {}): this {
    this.prepared(details).clock(at('10:00')).add('rest-started', {});
    const rest = at('12:00');
    this.reading('heart-rate', '74', rest).reading('systolic', '118', rest).reading('diastolic', '76', rest).reading('rpe', '6', rest);
    for (const slot of this.state.slots.values()) if (slot.slot.phase === 'rest' && !slot.current && slot.scheduled?.optional === false) this.add('reading-not-taken', { slot: slot.slot, reason: 'not asked here' });
    return this.clock(start).add('exercise-started', {});
  }
}
