/** Puts a station together on a data folder: lock, store, key, sheets, timers, backups. Every shell starts here. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { success, type Result } from '../../core/result.ts';
import { programRoot } from '../program-root.ts';
import { DATABASE_NAME } from '../store/backups.ts';
import { freeBytes, readyFolder } from '../store/folder.ts';
import { lockFolder } from '../store/folder-lock.ts';
import { finishRestore, lastRestore } from '../store/restoring.ts';
import { openStore } from '../store/sqlite-store.ts';
import { systemClock, type Clock } from './clock.ts';
import { finishErasures, Keeper } from './keeper.ts';
import { isoWithOffset } from './ids.ts';
import { readStationKey } from './key.ts';
import { MarkingSets } from './marking-sets.ts';
import { Notices } from './notices.ts';
import { InstructorLock } from './passphrase.ts';
import { ProfileFile } from './profile.ts';
import { RehearsalDriver } from './rehearsals.ts';
import { builtProgram, sheetFolder } from './sheets.ts';
import { Station, type StationOptions } from './station.ts';
import { writers } from './writers.ts';

export interface OpenOptions extends Pick<StationOptions, 'shell' | 'why' | 'capabilities' | 'saveFile'> {
  readonly folder: string;
  readonly clock?: Clock;
  /** Starts the station's process again, where the shell can; after a copy took the place of the record. */
  readonly again?: () => void;
}

export interface OpenStation {
  readonly station: Station;
  /** Stops timers, flushes and lets go of the folder. */
  stop(): void;
}

const TICK_MS = 1_000;
const LOW_DISK_BYTES = 200 * 1024 * 1024;

/** @returns the running station, or why the folder cannot be used, in words for a person. */
export function openStation(options: OpenOptions): Result<OpenStation> {
  const { folder } = options;
  const clock = options.clock ?? systemClock();
  const ready = readyFolder(folder);
  if (!ready.ok) return ready;
  const lock = lockFolder(folder, 'station');
  if (!lock.ok) return lock;
  const key = readStationKey(folder);
  if (!key.ok) {
    lock.value.release();
    return key;
  }
  const settled = finishRestore(folder);
  const opened = settled.ok ? openStore(path.join(folder, DATABASE_NAME)) : settled;
  if (!opened.ok) {
    lock.value.release();
    return opened;
  }
  const store = opened.value;
  const notices = new Notices();
  tellWhatWasSettled(folder, finishErasures(folder, store), clock, notices);
  const keeper = new Keeper(folder, store);
  const instructor = new InstructorLock({ folder, clock });
  const copy = (why: 'start' | 'closed'): void => {
    keeper.backUp(clock.wallMs(), why).then(
      (made) =>
        made.ok ? notices.remove('backup') : notices.add('backup', 'warning', `No copy of the record could be made: ${made.error.message}`),
      (cause: unknown) => notices.add('backup', 'warning', `No copy of the record could be made (${(cause as Error).message}).`),
    );
  };
  const program = builtProgram();
  const sheets = sheetFolder(path.join(programRoot, 'lab-sheets'), program === undefined ? undefined : { file: path.join(folder, 'lab-sheets-read.json'), program });
  const markingSets = new MarkingSets({ folder, clock, sheets });
  const station: Station = new Station({
    markingSets,
    store,
    clock,
    key: key.value,
    sheets,
    version: programVersion(),
    notices,
    lock: instructor,
    profile: new ProfileFile(folder),
    closed: () => copy('closed'),
    keeper,
    restoring: {
      folder,
      clock,
      lock: instructor,
      running: () => station.running().length > 0,
      async close() {
        await keeper.quiet();
        stopWork();
        station.answerNoMore();
        store.close();
        return success(undefined);
      },
      ...(options.again ? { again: options.again } : {}),
    },
    ...restoredAt(folder),
    ...writers,
    ...options,
  });
  const started = station.start();
  if (!started.ok) {
    store.close();
    lock.value.release();
    return started;
  }
  // The first screen asks for the lab sheets; they are read while the browser still starts.
  const firstLook = setImmediate(() => sheets.list());
  const driver = new RehearsalDriver(station);
  let count = 0;
  const tick = setInterval(() => {
    station.tick(++count);
    if (count % 60 === 1) watchDisk(folder, notices);
  }, TICK_MS);
  // Not at once: the window comes first.
  const firstCopy = setTimeout(() => copy('start'), 5_000);
  const stopWork = (): void => {
    clearInterval(tick);
    clearTimeout(firstCopy);
    clearImmediate(firstLook);
    driver.stop();
  };
  return success({
    station,
    stop() {
      stopWork();
      markingSets.close();
      store.close();
      lock.value.release();
    },
  });
}

/** For so long after it a start says that the station has gone back to a copy. */
const SAID_FOR_MS = 12 * 3_600_000;

function tellWhatWasSettled(folder: string, erasures: Result<number>, clock: Clock, notices: Notices): void {
  const last = lastRestore(folder);
  if (last && Math.abs(clock.wallMs() - Date.parse(last.at)) < SAID_FOR_MS)
    notices.add(
      'restored',
      'info',
      `This station went back to the copy of ${isoWithOffset(Date.parse(last.made)).slice(0, 16).replace('T', ', ')}. The record from before is kept in the folder ${path.join(folder, last.kept)}.`,
    );
  if (!erasures.ok) notices.add('erasure', 'warning', `An erasure that was begun before is not finished: ${erasures.error.message}`);
  else if (erasures.value > 0)
    notices.add('erasure', 'info', 'An erasure that was interrupted was finished at this start. Nothing of the session is left on this station.');
}

function restoredAt(folder: string): { readonly restored?: string } {
  const last = lastRestore(folder);
  return last ? { restored: last.at } : {};
}

function watchDisk(folder: string, notices: Notices): void {
  const free = freeBytes(folder);
  if (free === undefined) return;
  if (free < LOW_DISK_BYTES)
    notices.add(
      'disk',
      'warning',
      `The disk is nearly full: ${Math.floor(free / 1024 / 1024)} MB are left. Free some space before the next test.`,
    );
  else notices.remove('disk');
}

function programVersion(): string {
  const { version } = JSON.parse(readFileSync(path.join(programRoot, 'package.json'), 'utf8')) as { version: string };
  return version;
}
