/** Going back to a copy of the record from the window: from a station that works, and from one whose record cannot be opened. */
import { commandNames, type Handlers } from '../../core/contract/contract.ts';
import { failure, success, type Failure, type Result } from '../../core/result.ts';
import { copiesIn, isSound } from '../store/copies.ts';
import { START_AGAIN } from '../loopback/messages.ts';
import { lockFolder } from '../store/folder-lock.ts';
import { lastRestore, restoreFrom } from '../store/restoring.ts';
import type { Clock } from './clock.ts';
import { listCopies } from './keeper.ts';
import { InstructorLock } from './passphrase.ts';

/** Time for the answer to reach the window. If it does not, the window sends the command again and is answered by the next process. */
const ANSWER_MS = 150;

/** Ends this process after its answer has gone out; the shell starts it again. */
export function startAgain(): void {
  setTimeout(() => process.exit(START_AGAIN), ANSWER_MS);
}

export interface RestoringStation {
  readonly folder: string;
  readonly clock: Clock;
  readonly lock: InstructorLock;
  /** Whether a test or a recovery is going on. */
  running(): boolean;
  /** Lets go of the database, and of nothing else. */
  close(): Promise<Result<void>>;
  /** Starts the station again, when this has been answered; a shell that cannot leaves it out. */
  readonly again?: () => void;
}

/** @param of asked at each command; undefined where records are not in a data folder, and have no copies. */
export function restoreHandlers(of: () => RestoringStation | undefined): Pick<Handlers, 'backups.list' | 'backup.restore'> {
  return {
    'backups.list': async () => {
      const station = of();
      return success(station ? listCopies(station.folder) : { present: true, copies: [] });
    },
    'backup.restore': async ({ command, name, passphrase }) => {
      const station = of();
      if (!station) return failure('not-here', 'This station keeps no copies of its record.');
      const { folder, clock, lock, again } = station;
      const last = lastRestore(folder);
      if (last?.command === command) return success({ made: last.made, kept: last.kept });
      if (!again) return failure('not-here', 'This shell cannot start the station again. End the program, and start it with: npm start -- --restore.');
      if (station.running())
        return failure('test-running', 'A test or a recovery is going on. Close that session first; then go back to a copy. Nothing was changed.');
      const allowed = await lock.passphraseAllows(passphrase);
      if (!allowed.ok) return allowed;
      const copy = copiesIn(folder).find((known) => known.name === name);
      if (!copy) return failure('no-such-copy', 'That copy is not in the data folder any more. Nothing was changed. Look at the list again.');
      if (!isSound(copy.file)) return failure('copy-damaged', 'That copy is damaged itself. Nothing was changed. Choose another one.');
      const closed = await station.close();
      if (!closed.ok) return closed;
      const restored = restoreFrom(folder, copy, clock.wallMs(), command);
      again();
      if (!restored.ok) return restored;
      return success({ made: copy.made.toISOString(), kept: lastRestore(folder)?.kept ?? '' });
    },
  };
}

/** Where there is no station: every command is answered with why, and only the copies can be looked at and gone back to. */
export function withoutStation(error: Failure, options: { readonly folder: string; readonly clock: Clock; readonly again?: () => void }): Handlers {
  const refused = Object.fromEntries(commandNames.map((name) => [name, async () => ({ ok: false, error })])) as unknown as Handlers;
  let held: { release(): void } | undefined;
  const lock = new InstructorLock({ folder: options.folder, clock: options.clock });
  const rescue = restoreHandlers(() => ({
    ...options,
    lock,
    running: () => false,
    close: async () => {
      held?.release();
      const taken = lockFolder(options.folder, 'station');
      if (!taken.ok) return taken;
      held = taken.value;
      // What is asked from now on waits for the next process, to which it is sent again.
      Object.assign(handlers, Object.fromEntries(commandNames.map((name) => [name, () => new Promise(() => {})])));
      return success(undefined);
    },
  }));
  const handlers: Handlers = { ...refused, ...rescue };
  return handlers;
}
