/** Installs the packages when they are not there, not whole or not the ones that the lock file names. */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, readFileSync, renameSync, rmSync } from 'node:fs';
import path from 'node:path';
import { runCommand, say } from './command.mjs';
import { withLock } from './lock.mjs';
import { pinnedNodePath } from './node.mjs';
import { installStamp, readStamp, writeStamp } from './stamp.mjs';

/**
 * @param {string} root the checkout
 * @param {NodeJS.ProcessEnv} [env]
 * @returns {Promise<{ ok: true } | { ok: false, exitCode: number }>}
 */
export async function installWhenStale(root, env = process.env) {
  // `npm ci` empties this folder first, the stamp with it: whatever stops it half-way leaves no stamp.
  const stampFile = path.join(root, 'node_modules', '.stagecall-installed');
  const wanted = installStamp(readFileSync(path.join(root, 'package-lock.json')), process.platform, process.arch);
  const isInstalled = () => readStamp(stampFile) === wanted;
  if (isInstalled()) return { ok: true };

  const waiting = () => say('another command is installing the packages; waiting for it.');
  return withLock(firstRunLock(root), install, { waiting });

  /** @param {(pid: number) => void} alsoRunning @returns {Promise<{ ok: true } | { ok: false, exitCode: number }>} */
  async function install(alsoRunning) {
    if (isInstalled()) return { ok: true };
    say('installing the packages that package-lock.json names (npm ci). This happens once, and again when they change.');
    rmSync(stampFile, { force: true });
    setAsideRunningNode(root);
    const npm = npmCommand(env, process.platform);
    // Its output goes to stderr, and it must not eat what was piped to the command.
    const exitCode = await runCommand(
      npm.program,
      [...npm.args, ...installArguments],
      { cwd: root, stdio: ['ignore', 2, 2], shell: npm.shell },
      alsoRunning,
    );
    if (exitCode !== 0) {
      say(`the packages are not installed: npm ended with ${exitCode}. Nothing else was touched; run the same command again.`);
      return { ok: false, exitCode };
    }
    dropPinnedNodeThatCannotRun(root);
    writeStamp(stampFile, wanted);
    return { ok: true };
  }
}

/** The lock of installing and of building, outside `node_modules`, which an install empties. @param {string} root */
export const firstRunLock = (root) => path.join(root, 'dist', 'first-run.lock');

/** Whatever this person's npm is set to leave out, the commands need; no package's install script is needed. */
const installArguments = ['ci', '--include=dev', '--include=optional', '--ignore-scripts', '--no-audit', '--no-fund', '--loglevel=error'];

/**
 * How to call npm: the one that started us, by the Node that it runs in, else the one on the path.
 * Another package manager cannot read package-lock.json, so npm is used when one started us.
 *
 * @param {NodeJS.ProcessEnv} env npm tells where it is in `npm_execpath` and `npm_node_execpath`
 * @param {string} platform
 * @param {string} execPath the running Node
 * @returns {{ program: string, args: string[], shell: boolean }}
 */
export function npmCommand(env, platform, execPath = process.execPath) {
  const script = env['npm_execpath'];
  if (script && /(^|[\\/])npm-cli\.[cm]?js$/.test(script))
    return { program: env['npm_node_execpath'] ?? execPath, args: [script], shell: false };
  return platform === 'win32' ? { program: 'npm.cmd', args: [], shell: true } : { program: 'npm', args: [], shell: false };
}

/**
 * On Windows a program that runs cannot be deleted, but it can be moved. When an old install's Node runs us (npm puts
 * it first on the path), `npm ci` could not empty `node_modules`.
 *
 * @param {string} root
 */
function setAsideRunningNode(root) {
  const modules = path.join(root, 'node_modules') + path.sep;
  if (process.platform !== 'win32' || !process.execPath.startsWith(modules)) return;
  const aside = path.join(root, 'dist', 'old-node');
  try {
    rmSync(aside, { recursive: true, force: true });
  } catch {
    // One of an earlier update that runs still.
  }
  mkdirSync(aside, { recursive: true });
  renameSync(process.execPath, path.join(aside, `node-${process.pid}.exe`));
}

/**
 * The pinned Node is built for the usual C library; where it does not run (Alpine, say), it must be neither chosen
 * nor first on npm's path.
 *
 * @param {string} root
 */
function dropPinnedNodeThatCannotRun(root) {
  const pinned = pinnedNodePath(root, process.platform, process.arch);
  if (!existsSync(pinned) || spawnSync(pinned, ['--version']).status === 0) return;
  rmSync(pinned, { force: true });
  for (const link of ['node', 'node.cmd', 'node.ps1']) rmSync(path.join(root, 'node_modules', '.bin', link), { force: true });
}
