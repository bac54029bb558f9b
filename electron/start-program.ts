/** Takes Electron where its binary is there, else an installed browser, and says in one line which and why. */
import os from 'node:os';
import path from 'node:path';
import { electronBinary } from './electron-binary.ts';
import { startLoopback } from './loopback/start.ts';
import { startElectron } from './shell/start-electron.ts';
import { startOptions } from './start-options.ts';
import { DATABASE_NAME, restoreNewest } from './store/backups.ts';
import { lockFolder } from './store/folder-lock.ts';
import { dataFolder, readyFolder } from './store/folder.ts';
import { programRoot } from './program-root.ts';
import { say } from './say.ts';

/** @returns the exit code. */
export async function start(args: readonly string[]): Promise<number> {
  const options = startOptions(args);
  if (!options.ok) return refuse(options.error.message, 2);
  const folder = dataFolder(options.value.data, process.env, process.platform, os.homedir());
  if (options.value.restore) {
    const restored = restore(folder);
    if (!restored.ok) return refuse(restored.error.message, 1);
  }
  const { shell, noWindow } = options.value;
  let why = shell === 'browser' ? 'as asked' : noWindow ? 'no window was asked for' : undefined;
  if (why === undefined) {
    const electron = await electronBinary(programRoot, process.env);
    if (electron.ok) return startElectron(electron.value, folder);
    if (shell === 'electron') return refuse(electron.error.message, 1);
    why = electron.error.message;
  }
  return startLoopback({ folder, why, noWindow, built: process.env['STAGECALL_BUILT'] === 'yes' });
}

function refuse(message: string, exitCode: number): number {
  say(message);
  return exitCode;
}

function restore(folder: string): ReturnType<typeof restoreNewest> {
  const ready = readyFolder(folder);
  if (!ready.ok) return ready;
  const lock = lockFolder(folder, 'station');
  if (!lock.ok) return lock;
  const restored = restoreNewest(folder, Date.now());
  lock.value.release();
  if (restored.ok)
    say(
      `went back to the copy of ${restored.value.from.toLocaleString()}. What was entered after it is only in the damaged file, kept as ${path.join(restored.value.kept, DATABASE_NAME)}.`,
    );
  return restored;
}
