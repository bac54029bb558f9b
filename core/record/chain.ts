/** The hash chain over a record's stored text. What it proves, and what it does not, is said in DEVELOPERS.md. */
import { sha256 } from '@noble/hashes/sha2.js';
import { bytesToHex, utf8ToBytes } from '@noble/hashes/utils.js';
import { eventOf, type RecordEvent, type StoredEvent } from './event.ts';

/** The hash before the first event. */
export const CHAIN_START = '0'.repeat(64);

/** SHA-256, hex, of a text's UTF-8 bytes (FIPS 180-4). */
export function sha256Hex(text: string): string {
  return bytesToHex(sha256(utf8ToBytes(text)));
}

/** The hash of an event's stored body, given the hash before it. */
export function chainHash(previous: string, body: string): string {
  return sha256Hex(`${previous}\n${body}`);
}

export type ChainCheck =
  | { readonly ok: true; readonly head: string; readonly events: readonly RecordEvent[] }
  | { readonly ok: false; readonly at: number; readonly message: string };

/**
 * Checks that stored events are one unbroken record: each hash follows from the one before, places count up
 * from 0, and all belong to the same record.
 */
export function checkChain(stored: readonly StoredEvent[], record?: string): ChainCheck {
  let head = CHAIN_START;
  const events: RecordEvent[] = [];
  for (const [at, item] of stored.entries()) {
    const expected = chainHash(head, item.body);
    if (expected !== item.hash) {
      return { ok: false, at, message: `event ${at + 1} does not match its hash: the record was changed after it was written` };
    }
    let event: RecordEvent;
    try {
      event = eventOf(item.body);
    } catch (cause) {
      return { ok: false, at, message: `event ${at + 1} cannot be read: ${(cause as Error).message}` };
    }
    if (event.seq !== at) return { ok: false, at, message: `event ${at + 1} is out of its place: an event is missing or doubled` };
    if (event.record !== (record ?? events[0]?.record ?? event.record)) {
      return { ok: false, at, message: `event ${at + 1} belongs to another record` };
    }
    head = item.hash;
    events.push(event);
  }
  return { ok: true, head, events };
}
