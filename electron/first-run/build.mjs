/** Builds the window and Electron's own files when their sources have changed. */
import path from 'node:path';
import { runCommand, say } from './command.mjs';
import { firstRunLock } from './install.mjs';
import { withLock } from './lock.mjs';
import { readStamp, sourcesStamp, writeStamp } from './stamp.mjs';

/** Everything that ends up in `dist/`. */
const sources = ['core', 'renderer', 'electron', 'package-lock.json', 'tsconfig.json'];

/**
 * @param {string} root the checkout, with its packages installed
 * @param {import('./node.mjs').ChosenNode} node
 * @returns {Promise<number>} 0, or the exit code of a build that failed
 */
export async function buildWhenStale(root, node) {
  const stampFile = path.join(root, 'dist', '.built');
  const isBuilt = () => readStamp(stampFile) === sourcesStamp(root, sources);
  if (isBuilt()) return 0;
  return withLock(firstRunLock(root), build, { waiting: () => say('another command is building; waiting for it.') });

  /** @param {(pid: number) => void} alsoRunning */
  async function build(alsoRunning) {
    if (isBuilt()) return 0;
    say('building the window, since its sources have changed.');
    // Taken before the build: a file that changes meanwhile makes the stamp stale, as it should.
    const stamp = sourcesStamp(root, sources);
    const exitCode = await runCommand(
      node.path,
      [...node.flags, path.join(root, 'electron', 'build.ts')],
      { cwd: root, stdio: ['ignore', 2, 2] },
      alsoRunning,
    );
    if (exitCode === 0) writeStamp(stampFile, stamp);
    else say(`the build ended with ${exitCode}; the last one that worked was kept.`);
    return exitCode;
  }
}
