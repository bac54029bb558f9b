/**
 * The record: facts appended one after another, never changed.
 *
 * An event is stored as text (`body`), and everything that is later checked (the chain of hashes, the
 * signature) is checked over that stored text, so that reading and writing it again can never alter it.
 */

/** Every event of every record has this envelope. Times are whole milliseconds of the record's own time. */
export interface RecordEvent<Kind extends string = string, Data = unknown> {
  /** Id of the record that the event belongs to. */
  readonly record: string;
  /** Place in the record, counting from 0 without gaps. */
  readonly seq: number;
  /** What kind of fact it is, in the past tense: `reading-taken`. */
  readonly kind: Kind;
  /** Version of this kind's data. Older versions are upcast when read, never rewritten. */
  readonly version: number;
  /** The moment that the fact describes. */
  readonly taken: number;
  /** The moment at which the station accepted it. */
  readonly entered: number;
  /** Initials or key of the person (or `station`, or `rehearsal`) that stated it. */
  readonly author: string;
  /** The sending window's own id of the command; unique in the store, so that a repeated send is answered once. */
  readonly command: string;
  readonly data: Data;
}

/** An event as it is stored and exported: its exact text, and the hash that ties it to all before it. */
export interface StoredEvent {
  readonly body: string;
  /** SHA-256, hex, of the previous hash, a line feed and the body. */
  readonly hash: string;
}

/** The text that is stored for an event: keys always in this order, no spaces. */
export function bodyOf(event: RecordEvent): string {
  const { record, seq, kind, version, taken, entered, author, command, data } = event;
  return JSON.stringify({ record, seq, kind, version, taken, entered, author, command, data });
}

/**
 * Reads a stored body back.
 * @throws {Error} when the text is not an event; callers that read foreign files catch it and report the event's place.
 */
export function eventOf(body: string): RecordEvent {
  const raw: unknown = JSON.parse(body);
  if (typeof raw !== 'object' || raw === null) throw new Error('an event is not an object');
  const event = raw as Record<string, unknown>;
  for (const key of ['record', 'kind', 'author', 'command'] as const) {
    if (typeof event[key] !== 'string') throw new Error(`an event has no text in "${key}"`);
  }
  for (const key of ['seq', 'version', 'taken', 'entered'] as const) {
    if (!Number.isSafeInteger(event[key])) throw new Error(`an event has no whole number in "${key}"`);
  }
  return raw as RecordEvent;
}
