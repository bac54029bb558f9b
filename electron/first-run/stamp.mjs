/** Stamps: small files, written last, that say what a finished piece of work was made from. */
import { createHash } from 'node:crypto';
import { readFileSync, readdirSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';

/** @param {string} file @returns {string | undefined} the stamp's text; undefined when there is none */
export function readStamp(file) {
  try {
    return readFileSync(file, 'utf8');
  } catch {
    return undefined;
  }
}

/** Writes a stamp whole or not at all. @param {string} file @param {string} text */
export function writeStamp(file, text) {
  const half = `${file}.${process.pid}`;
  writeFileSync(half, text);
  renameSync(half, file);
}

/**
 * What an installation was made from: the lock file's content, and the machine whose binaries it holds.
 *
 * @param {string | Buffer} lockfile the content of package-lock.json
 * @param {string} platform as `process.platform`
 * @param {string} arch as `process.arch`
 */
export function installStamp(lockfile, platform, arch) {
  const hash = createHash('sha256').update(lockfile).digest('hex');
  return `${JSON.stringify({ form: 1, lockfile: hash, machine: `${platform}-${arch}` })}\n`;
}

/**
 * What a build was made from: every file below the given folders, by path and content, and the given files.
 * Content and not dates, so that a fresh checkout of the same sources counts as the same.
 *
 * @param {string} root
 * @param {readonly string[]} places folders and files, relative to root; a missing one counts as empty
 */
export function sourcesStamp(root, places) {
  const hash = createHash('sha256');
  for (const file of places.flatMap((place) => filesBelow(root, place)).sort()) {
    hash
      .update(`${file}\0`)
      .update(readFileSync(path.join(root, file)))
      .update('\0');
  }
  return `${JSON.stringify({ form: 1, sources: hash.digest('hex') })}\n`;
}

/** @param {string} root @param {string} place @returns {string[]} files, relative to root, with `/` */
function filesBelow(root, place) {
  let entries;
  try {
    entries = readdirSync(path.join(root, place), { withFileTypes: true });
  } catch (error) {
    const { code } = /** @type {NodeJS.ErrnoException} */ (error);
    if (code === 'ENOTDIR') return [place];
    if (code === 'ENOENT') return [];
    throw error;
  }
  return entries.flatMap((entry) => {
    const inside = `${place}/${entry.name}`;
    if (entry.isDirectory()) return filesBelow(root, inside);
    return entry.isFile() ? [inside] : [];
  });
}
