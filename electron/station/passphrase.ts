/**
 * The instructor's passphrase on this machine. Only a salted scrypt hash lies in the data folder; the passphrase itself is
 * never kept, never part of a record and never logged. A lock on the screen, not encryption: see DEVELOPERS.md.
 */
import { randomBytes, scrypt, timingSafeEqual } from 'node:crypto';
import { chmodSync, closeSync, fsyncSync, openSync, readFileSync, renameSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';
import type { Handlers } from '../../core/contract/contract.ts';
import { PASSPHRASE_SHORTEST, type PassphraseStatus, type Unlocked } from '../../core/contract/passphrase.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { faultOf } from '../store/faults.ts';

export type Purpose = 'action' | 'desk';

const FILE = 'instructor-passphrase.json';
/**
 * RFC 7914's scrypt with N = 2^16, r = 8, p = 1: 64 MiB and about a fifth of a second a try on a teaching-laboratory
 * computer (this program's own choice: bearable at the bench, slow for guessing).
 */
const COST = { N: 2 ** 16, r: 8, p: 1, maxmem: 80 * 1024 * 1024 } as const;
const HASH_BYTES = 32;
/** Wrong tries without a wait; from then on 5 s, doubled each time, five minutes at most (own choice). */
const FREE_TRIES = 3;
const FIRST_WAIT_MS = 5_000;
const LONGEST_WAIT_MS = 5 * 60_000;
const ACTION_MS = 5 * 60_000;
const DESK_IDLE_MS = 60 * 60_000;

interface Kept {
  readonly salt: string;
  readonly hash: string;
  readonly N: number;
  readonly r: number;
  readonly p: number;
}

export interface LockOptions {
  /** Where the hash is kept; undefined keeps it in memory (tests, command line). */
  readonly folder?: string;
  readonly clock: { monotonicNs(): bigint };
  /** Cheaper for tests only. */
  readonly cost?: { readonly N: number; readonly r: number; readonly p: number };
}

/** Checks the passphrase, makes wrong tries wait, and hands out proofs that end by themselves. */
export class InstructorLock {
  readonly #file: string | undefined;
  readonly #clock: LockOptions['clock'];
  readonly #cost: { readonly N: number; readonly r: number; readonly p: number };
  #inMemory: Kept | undefined;
  #wrong = 0;
  #waitUntil = 0;
  /** Tries go one after the other, so that many at once gain nothing. */
  #turn: Promise<unknown> = Promise.resolve();
  readonly #unlocks = new Map<string, { readonly purpose: Purpose; until: number }>();

  constructor({ folder, clock, cost = COST }: LockOptions) {
    this.#file = folder === undefined ? undefined : path.join(folder, FILE);
    this.#clock = clock;
    this.#cost = cost;
  }

  /** @returns failure where the file is there but cannot be read: then the lock stays shut, and the message says what to do. */
  status(): Result<PassphraseStatus> {
    const kept = this.#read();
    if (!kept.ok) return kept;
    return success({ set: kept.value !== undefined, waitSeconds: Math.ceil(Math.max(0, this.#waitUntil - this.#now()) / 1000) });
  }

  /**
   * Whether this passphrase opens the lock; always where none is set. For commands that carry the passphrase themselves.
   * @returns failure `passphrase-needed`, `passphrase-wrong`, `passphrase-wait` or `passphrase-unreadable`.
   */
  async passphraseAllows(passphrase: string | undefined): Promise<Result<void>> {
    const turn = this.#turn.then(() => this.#allows(passphrase));
    this.#turn = turn.catch(() => undefined);
    return turn;
  }

  /** Checks the passphrase and gives out a proof; none is needed, and none given, where no passphrase is set. */
  async check(passphrase: string, purpose: Purpose): Promise<Result<Unlocked>> {
    const allowed = await this.passphraseAllows(passphrase);
    if (!allowed.ok) return allowed;
    const kept = this.#read();
    if (!kept.ok) return kept;
    if (kept.value === undefined) return success({});
    const now = this.#now();
    for (const [known, { until }] of this.#unlocks) if (until < now) this.#unlocks.delete(known);
    const unlock = randomBytes(24).toString('base64url');
    this.#unlocks.set(unlock, { purpose, until: now + (purpose === 'desk' ? DESK_IDLE_MS : ACTION_MS) });
    return success({ unlock });
  }

  /**
   * Whether a proof is good for this purpose now. An `action` proof is not used up here: call `spend` once the action is done.
   * @param what what it is needed for, to say so: "Leaving early".
   */
  unlocks(unlock: string | undefined, purpose: Purpose, what: string): Result<void> {
    const kept = this.#read();
    if (!kept.ok) return kept;
    if (kept.value === undefined) return success(undefined);
    const known = unlock === undefined ? undefined : this.#unlocks.get(unlock);
    const now = this.#now();
    if (!known || known.purpose !== purpose || known.until < now)
      return failure('passphrase-needed', `${what} needs the instructor’s passphrase on this station. Nothing was changed.`);
    if (purpose === 'desk') known.until = now + DESK_IDLE_MS;
    return success(undefined);
  }

  /** A proof is good once. */
  spend(unlock: string | undefined): void {
    if (unlock !== undefined) this.#unlocks.delete(unlock);
  }

  /** Sets, changes or takes away (`null`) the passphrase. All proofs given so far end. */
  async set(passphrase: string | null, old: string | undefined): Promise<Result<PassphraseStatus>> {
    if (passphrase !== null && [...passphrase.trim()].length < PASSPHRASE_SHORTEST)
      return failure('passphrase-short', `Nothing was changed: the passphrase needs at least ${PASSPHRASE_SHORTEST} characters. A few words are easiest to remember.`);
    const allowed = await this.passphraseAllows(old);
    if (!allowed.ok) return allowed;
    const written = passphrase === null ? this.#write(undefined) : this.#write(await this.#hash(passphrase));
    if (!written.ok) return written;
    this.#unlocks.clear();
    return this.status();
  }

  async #allows(passphrase: string | undefined): Promise<Result<void>> {
    const read = this.#read();
    if (!read.ok) return read;
    const kept = read.value;
    if (kept === undefined) return success(undefined);
    if (passphrase === undefined || passphrase === '') return failure('passphrase-needed', 'This needs the instructor’s passphrase. Nothing was changed.');
    const wait = this.#waitUntil - this.#now();
    if (wait > 0) return failure('passphrase-wait', `Too many wrong tries. Wait ${Math.ceil(wait / 1000)} s, then try again. Nothing was changed.`);
    const { salt, hash, N, r, p } = kept;
    const right = timingSafeEqual(await derive(passphrase, Buffer.from(salt, 'base64'), { N, r, p }), Buffer.from(hash, 'base64'));
    if (right) {
      this.#wrong = 0;
      return success(undefined);
    }
    this.#wrong += 1;
    if (this.#wrong >= FREE_TRIES) this.#waitUntil = this.#now() + Math.min(LONGEST_WAIT_MS, FIRST_WAIT_MS * 2 ** (this.#wrong - FREE_TRIES));
    return failure('passphrase-wrong', 'That is not the instructor’s passphrase of this station. Nothing was changed.');
  }

  async #hash(passphrase: string): Promise<Kept> {
    const salt = randomBytes(16);
    const { N, r, p } = this.#cost;
    return { salt: salt.toString('base64'), hash: (await derive(passphrase, salt, { N, r, p })).toString('base64'), N, r, p };
  }

  #read(): Result<Kept | undefined> {
    if (this.#file === undefined) return success(this.#inMemory);
    let text: string;
    try {
      text = readFileSync(this.#file, 'utf8');
    } catch (cause) {
      if ((cause as NodeJS.ErrnoException).code === 'ENOENT') return success(undefined);
      return faultOf(cause, 'reading', this.#file) ?? this.#unreadable();
    }
    return keptOf(text) ?? this.#unreadable();
  }

  #unreadable(): ReturnType<typeof failure> {
    return failure('passphrase-unreadable', `The instructor’s passphrase file ${this.#file} cannot be read, so what it guards stays shut. Readings go on. Delete the file and set the passphrase anew.`);
  }

  #write(kept: Kept | undefined): Result<void> {
    if (this.#file === undefined) {
      this.#inMemory = kept;
      return success(undefined);
    }
    try {
      if (kept === undefined) rmSync(this.#file, { force: true });
      else {
        // Beside it first and on disk, so that a crash in between never leaves half a lock.
        const beside = `${this.#file}.new`;
        const file = openSync(beside, 'w', 0o600);
        writeSync(file, JSON.stringify(kept));
        fsyncSync(file);
        closeSync(file);
        if (process.platform !== 'win32') chmodSync(beside, 0o600);
        renameSync(beside, this.#file);
      }
      return success(undefined);
    } catch (cause) {
      const fault = faultOf(cause, 'opening', this.#file);
      if (fault) return fault;
      throw cause;
    }
  }

  #now(): number {
    return Number(this.#clock.monotonicNs() / 1_000_000n);
  }
}

/** The contract's commands over the lock. */
export function passphraseHandlers(lock: () => InstructorLock): Pick<Handlers, 'passphrase.status' | 'passphrase.set' | 'passphrase.check'> {
  return {
    'passphrase.status': async () => lock().status(),
    'passphrase.set': async ({ passphrase, old }) => lock().set(passphrase, old),
    'passphrase.check': async ({ passphrase, purpose }) => lock().check(passphrase, purpose),
  };
}

/** Composed and decomposed accents are the same passphrase, whichever keyboard made them. */
function derive(passphrase: string, salt: Buffer, { N, r, p }: { readonly N: number; readonly r: number; readonly p: number }): Promise<Buffer> {
  return new Promise((resolve, reject) => {
    scrypt(passphrase.trim().normalize('NFKC'), salt, HASH_BYTES, { N, r, p, maxmem: COST.maxmem }, (cause, hash) => (cause ? reject(cause) : resolve(hash)));
  });
}

function keptOf(text: string): Result<Kept> | undefined {
  try {
    const { salt, hash, N, r, p } = JSON.parse(text) as Kept;
    // A file with other costs than this program writes is not one of ours: no amount of memory is taken on its word.
    const known = [N, r, p].every((part) => Number.isSafeInteger(part) && part > 0) && 128 * N * r <= COST.maxmem && p <= 4;
    if (!known || Buffer.from(hash, 'base64').length !== HASH_BYTES || Buffer.from(salt, 'base64').length < 8) return undefined;
    return success({ salt, hash, N, r, p });
  } catch {
    return undefined;
  }
}
