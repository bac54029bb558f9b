/** Which Node runs the program. */
import { existsSync } from 'node:fs';
import path from 'node:path';

/**
 * Where npm puts the pinned Node, if there is one for this machine. The packages are `optionalDependencies`, so npm
 * installs only the one that fits.
 *
 * @param {string} root the checkout
 * @param {string} platform as `process.platform`
 * @param {string} arch as `process.arch`
 */
export function pinnedNodePath(root, platform, arch) {
  const windows = platform === 'win32';
  return path.join(root, 'node_modules', `node-${windows ? 'win' : platform}-${arch}`, 'bin', windows ? 'node.exe' : 'node');
}

/** @param {string} version like `v22.14.0` or `22.14.0` @returns {[major: number, minor: number]} */
function majorAndMinor(version) {
  const [major = 0, minor = 0] = version.replace(/^v/, '').split('.').map(Number);
  return [major, minor];
}

/**
 * Whether the database addon loads in this Node. It is built against Node-API 10, which came with Node 22.14 and with 23.6;
 * in an older Node it crashes without a message, so this is asked before anything loads it.
 *
 * @param {string} version
 */
export function canLoadTheDatabase(version) {
  const [major, minor] = majorAndMinor(version);
  if (major === 22) return minor >= 14;
  if (major === 23) return minor >= 6;
  return major >= 24;
}

/**
 * The flags with which this Node runs TypeScript files as they are. Node does so by itself from 22.18 and 23.6 on.
 *
 * @param {string} version one that `canLoadTheDatabase`
 * @returns {string[]}
 */
export function flagsForTypeScript(version) {
  const [major, minor] = majorAndMinor(version);
  if (major === 22 && minor < 18) return ['--experimental-strip-types', '--disable-warning=ExperimentalWarning'];
  // Until 24.3 Node ran them with a warning at each start.
  if (major === 23 || (major === 24 && minor < 3)) return ['--disable-warning=ExperimentalWarning'];
  return [];
}

/** @typedef {{ path: string, flags: string[] }} ChosenNode a Node, and the flags that run a TypeScript file in it */

/**
 * The pinned Node, else the running one if it is new enough, else none.
 *
 * @param {string} root
 * @param {{ platform: string, arch: string, execPath: string, version: string }} running as `process`
 * @param {(file: string) => boolean} [exists]
 * @returns {ChosenNode | undefined}
 */
export function chooseNode(root, running, exists = existsSync) {
  const pinned = pinnedNodePath(root, running.platform, running.arch);
  // Every pinned version runs TypeScript without flags; a test holds package.json to that.
  if (exists(pinned)) return { path: pinned, flags: [] };
  if (!canLoadTheDatabase(running.version)) return undefined;
  return { path: running.execPath, flags: flagsForTypeScript(running.version) };
}

/** @param {string} version the running Node's */
export function whatToInstall(version) {
  return `this needs Node 24 (at least 22.14) and the Node that runs now is ${version}. Install Node 24 from nodejs.org, then run the same command again.`;
}
