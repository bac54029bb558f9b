/**
 * One at a time: a lock that two first runs on the same checkout share.
 *
 * The lock is a folder that appears in one step, by renaming, with its owner's note already in it. An owner that died is
 * recognised by its process ids. Its lock is moved to a name made from the owner's own mark, so that of two that found it
 * dead only one can move it, and neither can take away a lock that a third has made since.
 */
import { randomUUID } from 'node:crypto';
import { existsSync, mkdirSync, readFileSync, readdirSync, renameSync, rmSync, statSync, utimesSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { setTimeout as pause } from 'node:timers/promises';

/** @typedef {{ mark: string, processes: number[] }} Owner `processes`: our own, and the installer's, which outlives us when we are killed */

/** How often a live owner shows that it lives, and after how long without that its process ids are taken to be other programs'. */
const BEAT_MS = 10_000;
const SILENT_MS = 15 * 60_000;

/**
 * Runs `work` while holding the lock, after waiting for whoever holds it now.
 *
 * @template T
 * @param {string} folder the lock's path; its parent is made if need be
 * @param {(alsoRunning: (pid: number) => void) => Promise<T>} work may name a child process that counts as the owner too
 * @param {{ waiting?: () => void, isAlive?: (pid: number) => boolean, pollMs?: number }} [options] `waiting` is called once, when there is a wait
 * @returns {Promise<T>}
 */
export async function withLock(folder, work, { waiting = () => {}, isAlive = isAliveHere, pollMs = 200 } = {}) {
  mkdirSync(path.dirname(folder), { recursive: true });
  /** @type {Owner} */
  const owner = { mark: randomUUID(), processes: [process.pid] };
  let toldOfTheWait = false;
  while (!tryToTake(folder, owner)) {
    if (clearIfAbandoned(folder, isAlive)) continue;
    if (!toldOfTheWait) waiting();
    toldOfTheWait = true;
    await pause(pollMs);
  }
  const beat = setInterval(() => utimesSync(noteIn(folder), new Date(), new Date()), BEAT_MS);
  beat.unref();
  try {
    return await work((pid) => {
      owner.processes.push(pid);
      writeNote(folder, owner);
    });
  } finally {
    clearInterval(beat);
    // Moved first: were we killed while deleting, an empty folder would be left under the lock's own name.
    const done = `${folder}.done-${owner.mark}`;
    renameSync(folder, done);
    rmSync(done, { recursive: true, force: true });
    removeLeavings(folder);
  }
}

/** @param {string} folder @param {Owner} owner */
function tryToTake(folder, owner) {
  if (existsSync(folder)) return false;
  const prepared = `${folder}.next-${owner.mark}`;
  mkdirSync(prepared, { recursive: true });
  writeNote(prepared, owner);
  try {
    // Renaming onto a folder that is not empty fails on every system, and a lock is never empty.
    renameSync(prepared, folder);
    return true;
  } catch (error) {
    rmSync(prepared, { recursive: true, force: true });
    if (['ENOTEMPTY', 'EEXIST', 'EPERM', 'EACCES'].includes(codeOf(error))) return false;
    throw error;
  }
}

/** @param {string} folder @param {(pid: number) => boolean} isAlive @returns {boolean} whether the lock is gone now */
function clearIfAbandoned(folder, isAlive) {
  let text;
  let changed;
  try {
    changed = statSync(noteIn(folder)).mtimeMs;
    text = readFileSync(noteIn(folder), 'utf8');
  } catch {
    return false; // Released this very moment: the next look will tell.
  }
  const owner = parseOwner(text) ?? { mark: `unreadable-${Math.round(changed)}`, processes: [] };
  // Our own process id in another's note means that it was given out again since, as in a container that was started anew.
  const lives = owner.processes.some((pid) => pid !== process.pid && isAlive(pid));
  if (lives && Date.now() - changed < SILENT_MS) return false;
  try {
    renameSync(folder, `${folder}.dead-${owner.mark}`);
    return true;
  } catch {
    return false; // Another has just cleared it.
  }
}

/** @param {string} text @returns {Owner | undefined} undefined for a note that a power cut left empty */
function parseOwner(text) {
  try {
    return JSON.parse(text);
  } catch {
    return undefined;
  }
}

/** Removes what earlier owners left; only what is old, since a young one may still be in use to tell two clearers apart. @param {string} folder */
function removeLeavings(folder) {
  const parent = path.dirname(folder);
  for (const name of readdirSync(parent)) {
    if (!name.startsWith(`${path.basename(folder)}.`)) continue;
    const leaving = path.join(parent, name);
    try {
      if (Date.now() - statSync(leaving).mtimeMs > SILENT_MS) rmSync(leaving, { recursive: true, force: true });
    } catch {
      // Another removed it first.
    }
  }
}

/** @param {string} folder */
const noteIn = (folder) => path.join(folder, 'owner.json');

/** @param {string} folder @param {Owner} owner */
function writeNote(folder, owner) {
  const half = path.join(folder, 'owner.half');
  writeFileSync(half, JSON.stringify(owner));
  renameSync(half, noteIn(folder));
}

/** @param {unknown} error */
const codeOf = (error) => /** @type {NodeJS.ErrnoException} */ (error).code ?? '';

/** @param {number} pid */
function isAliveHere(pid) {
  try {
    process.kill(pid, 0);
  } catch (error) {
    return codeOf(error) === 'EPERM';
  }
  return !hasEndedUnnoticed(pid);
}

/** A process that was killed keeps its number until its parent takes note, which in a container may be never. @param {number} pid */
function hasEndedUnnoticed(pid) {
  try {
    // "PID (name) STATE …"; the name may hold anything, brackets too.
    return /\) Z [^)]*$/.test(readFileSync(`/proc/${pid}/stat`, 'utf8'));
  } catch {
    return false; // Only Linux has this file.
  }
}
