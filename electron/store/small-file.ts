/** Small files that say what is under way in the data folder, so that a process that is killed leaves word for the next one. */
import { closeSync, fsyncSync, openSync, readFileSync, renameSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';

/** On disk, whole, when this returns. @throws the system's error */
export function writeDurably(file: string, text: string): void {
  const beside = `${file}.new`;
  const opened = openSync(beside, 'w', 0o600);
  try {
    writeSync(opened, text);
    fsyncSync(opened);
  } finally {
    closeSync(opened);
  }
  renameSync(beside, file);
  flushFolder(path.dirname(file));
}

/** @throws the system's error */
export function removeDurably(file: string): void {
  rmSync(file, { force: true });
  flushFolder(path.dirname(file));
}

/** A new name is on disk only once its folder is. Windows flushes names with the file and cannot open a folder. */
export function flushFolder(folder: string): void {
  if (process.platform === 'win32') return;
  const opened = openSync(folder, 'r');
  try {
    fsyncSync(opened);
  } finally {
    closeSync(opened);
  }
}

/** What such a file says; undefined where there is none, or none that can be read. */
export function readSaid<Value>(file: string): Value | undefined {
  try {
    return JSON.parse(readFileSync(file, 'utf8')) as Value;
  } catch {
    return undefined;
  }
}
