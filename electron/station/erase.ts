/** Erasing a session: who may, when, and what the rest of the station has to forget. */
import type { Handlers } from '../../core/contract/contract.ts';
import { failure, success, type Result } from '../../core/result.ts';
import type { Burial } from '../store/erasing.ts';
import type { Cleaned } from '../store/erasing-copies.ts';
import type { Store } from '../store/store.ts';
import type { Keeper } from './keeper.ts';
import type { InstructorLock } from './passphrase.ts';
import type { OpenRecord } from './records.ts';

export interface ErasingStation {
  readonly store: Store;
  readonly lock: InstructorLock;
  /** Absent where the store is not in a data folder: then there are no copies. */
  readonly keeper?: Keeper;
  /** The moment, ISO 8601 with the machine's offset. */
  now(): string;
  record(id: string): Result<OpenRecord>;
  /** Lets go of everything that is held in memory of these records, and tells the windows. */
  forget(records: readonly string[]): void;
}

/** @param of asked at each command, since the handlers are made before the station is. */
export function eraseHandlers(of: () => ErasingStation): Pick<Handlers, 'session.erase' | 'sessions.erased'> {
  return {
    'sessions.erased': async () => {
      const tombstones = of().store.tombstones();
      return tombstones.ok ? success([...tombstones.value].reverse()) : tombstones;
    },
    'session.erase': async ({ session, by, reason, passphrase }) => {
      const station = of();
      const { store, lock, keeper } = station;
      const allowed = await lock.passphraseAllows(passphrase);
      if (!allowed.ok) return allowed;
      const mayGo = erasable(station, session);
      if (!mayGo.ok) return mayGo;
      const burial = store.burialOf(session, { erased: station.now(), by, reason });
      if (!burial.ok) return burial;
      const rows = store.records();
      if (!rows.ok) return rows;
      const records = rows.value.filter((row) => row.id === session || row.session === session).map(({ id }) => id);
      const gone = (): void => station.forget([session, ...records]);
      const done = keeper ? await keeper.erase(burial.value, gone) : withoutCopies(store, burial.value, gone);
      if (!done.ok) return done;
      const { erased, by: instructor, reason: why, worksheets } = burial.value;
      return success({ session, erased, by: instructor, reason: why, worksheets, copiesCleaned: done.value.cleaned, copiesDeleted: done.value.deleted });
    },
  };
}

function withoutCopies(store: Store, burial: Burial, gone: () => void): Result<Cleaned> {
  const erased = store.erase(burial);
  gone();
  return erased.ok ? success({ cleaned: 0, deleted: 0 }) : erased;
}

/** A session that was erased before may be asked for again: an erasure that was not finished is finished so. */
function erasable({ store, record }: ErasingStation, session: string): Result<void> {
  const tombstones = store.tombstones();
  if (!tombstones.ok) return tombstones;
  if (tombstones.value.some((tombstone) => tombstone.session === session)) return success(undefined);
  const found = record(session);
  if (!found.ok) return found;
  if (found.value.kind !== 'session') return failure('not-a-session', 'A worksheet goes with its session: erase the session. Nothing was changed.');
  const running = runningPhase(found.value);
  if (running === undefined) return success(undefined);
  return failure(
    'session-running',
    `The session is in ${running}, and a running test is not erased. Stop it, close it from Recovery, then erase it. Nothing was changed.`,
  );
}

/** A record that cannot be continued, and a sheet that is keyed in from paper, run no test whatever phase they stand in. */
function runningPhase(record: OpenRecord): string | undefined {
  if (record.damaged !== undefined) return undefined;
  try {
    const { phase, way, readOnly } = record.sessionState();
    if (way === 'paper' || readOnly !== undefined) return undefined;
    return phase === 'exercise' ? 'Exercise' : phase === 'recovery' ? 'Recovery' : undefined;
  } catch {
    return undefined;
  }
}
