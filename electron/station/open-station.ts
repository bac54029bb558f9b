/** Puts a station together on a data folder: lock, store, key, sheets, timers, backups. Every shell starts here. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { success, type Result } from '../../core/result.ts';
import { programRoot } from '../program-root.ts';
import { backUp, DATABASE_NAME } from '../store/backups.ts';
import { freeBytes, readyFolder } from '../store/folder.ts';
import { lockFolder } from '../store/folder-lock.ts';
import { openStore } from '../store/sqlite-store.ts';
import { systemClock, type Clock } from './clock.ts';
import { readStationKey } from './key.ts';
import { Notices } from './notices.ts';
import { InstructorLock } from './passphrase.ts';
import { ProfileFile } from './profile.ts';
import { RehearsalDriver } from './rehearsals.ts';
import { sheetFolder } from './sheets.ts';
import { Station, type StationOptions } from './station.ts';
import { writers } from './writers.ts';

export interface OpenOptions extends Pick<StationOptions, 'shell' | 'why' | 'capabilities' | 'saveFile'> {
  readonly folder: string;
  readonly clock?: Clock;
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
  const opened = openStore(path.join(folder, DATABASE_NAME));
  if (!opened.ok) {
    lock.value.release();
    return opened;
  }
  const store = opened.value;
  const notices = new Notices();
  const copy = (why: 'start' | 'closed'): void => {
    backUp(store, folder, clock.wallMs(), why).then(
      (made) =>
        made.ok ? notices.remove('backup') : notices.add('backup', 'warning', `No copy of the record could be made: ${made.error.message}`),
      (cause: unknown) => notices.add('backup', 'warning', `No copy of the record could be made (${(cause as Error).message}).`),
    );
  };
  const sheets = sheetFolder(path.join(programRoot, 'lab-sheets'));
  const station = new Station({
    store,
    clock,
    key: key.value,
    sheets,
    version: programVersion(),
    notices,
    lock: new InstructorLock({ folder, clock }),
    profile: new ProfileFile(folder),
    closed: () => copy('closed'),
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
  return success({
    station,
    stop() {
      clearInterval(tick);
      clearTimeout(firstCopy);
      clearImmediate(firstLook);
      driver.stop();
      store.close();
      lock.value.release();
    },
  });
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
