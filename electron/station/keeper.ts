/** What is done to the data folder as a whole: backups, erasures, going back to a copy. One after the other, never two at once. */
import path from 'node:path';
import type { BackupList } from '../../core/contract/backups.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { backUp } from '../store/backups.ts';
import { copiesIn, DATABASE_NAME, holdingsOf, type Holdings } from '../store/copies.ts';
import type { Burial } from '../store/erasing.ts';
import { eraseFromCopies, eraseFromCopy, finishedErasures, intendedErasures, intendErasure, removeUnfinished, type Cleaned } from '../store/erasing-copies.ts';
import type { Store } from '../store/store.ts';

/** The copies of the record: made, listed and erased from one after the other, never at once. */
export class Keeper {
  readonly folder: string;
  readonly #store: Store;
  #turn: Promise<unknown> = Promise.resolve();

  constructor(folder: string, store: Store) {
    this.folder = folder;
    this.#store = store;
  }

  backUp(wallMs: number, why: 'start' | 'closed'): Promise<Result<string | undefined>> {
    return this.#inTurn(() => backUp(this.#store, this.folder, wallMs, why));
  }

  /** Erases a session from the record and from every copy. @param gone told when the record no longer has it. */
  erase(burial: Burial, gone: () => void): Promise<Result<Cleaned>> {
    return this.#inTurn(async () => {
      const intended = intendErasure(this.folder, burial);
      if (!intended.ok) return intended;
      const erased = this.#store.erase(burial);
      gone();
      if (!erased.ok) return unfinished(erased.error.message);
      removeUnfinished(this.folder);
      // A reading that comes meanwhile is taken between two copies.
      const cleaned = await eraseFromCopies(this.folder, intendedErasures(this.folder), () => new Promise((resolve) => setImmediate(resolve)));
      if (!cleaned.ok) return unfinished(cleaned.error.message);
      const finished = finishedErasures(this.folder);
      return finished.ok ? cleaned : unfinished(finished.error.message);
    });
  }

  /** Waits until nothing is under way. */
  async quiet(): Promise<void> {
    await this.#turn;
  }

  #inTurn<Value>(work: () => Promise<Value>): Promise<Value> {
    const turn = this.#turn.then(work);
    this.#turn = turn.catch(() => undefined);
    return turn;
  }
}

function unfinished(why: string): ReturnType<typeof failure> {
  return failure('erasure-unfinished', `The erasure is not finished: ${why} Ask for it again when that is put right; it is also tried at each start.`);
}

/**
 * Finishes what a process that was killed had begun, before anything is served. The caller holds the folder's lock.
 * @returns how many erasures were finished.
 */
export function finishErasures(folder: string, store: Store): Result<number> {
  removeUnfinished(folder);
  const burials = intendedErasures(folder);
  if (burials.length === 0) return success(0);
  for (const burial of burials) {
    const erased = store.erase(burial);
    if (!erased.ok) return erased;
  }
  const failed = copiesIn(folder).map((copy) => eraseFromCopy(copy, burials)).find((done) => !done.ok);
  if (failed && !failed.ok) return failed;
  const finished = finishedErasures(folder);
  return finished.ok ? success(burials.length) : finished;
}

/** The copies in a data folder against the present record. */
export function listCopies(folder: string): BackupList {
  const present = holdingsOf(path.join(folder, DATABASE_NAME));
  return {
    present: present !== undefined,
    copies: copiesIn(folder).map(({ name, file, kind, made }) => {
      const held = holdingsOf(file);
      return {
        name,
        kind,
        made: made.toISOString(),
        ...(held === undefined ? {} : { holds: { sessions: held.sessions.size, worksheets: held.worksheets.size, entries: entriesOf(held) } }),
        ...(held === undefined || present === undefined ? {} : { lacks: lackOf(present, held) }),
      };
    }),
  };
}

const sum = (numbers: Iterable<number>): number => [...numbers].reduce((total, number) => total + number, 0);
const entriesOf = ({ sessions, worksheets }: Holdings): number => sum(sessions.values()) + sum(worksheets.values());

function lackOf(present: Holdings, copy: Holdings): { sessions: number; worksheets: number; entries: number } {
  const missing = (kind: 'sessions' | 'worksheets'): number => [...present[kind].keys()].filter((id) => !copy[kind].has(id)).length;
  const entries = (kind: 'sessions' | 'worksheets'): number =>
    sum([...present[kind]].map(([id, count]) => Math.max(0, count - (copy[kind].get(id) ?? 0))));
  return { sessions: missing('sessions'), worksheets: missing('worksheets'), entries: entries('sessions') + entries('worksheets') };
}
