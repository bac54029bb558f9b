/**
 * Builds everything that cannot run as it is: the window, the files that Electron loads, and the station of `npm start`.
 *
 *   dist/renderer/    the window
 *   dist/preload.cjs  the preload: one CommonJS file with all it needs, since a sandboxed preload can be nothing else
 *   dist/main.js      Electron's main process, since Electron's own Node is not asked to run TypeScript
 *   dist/station.js   the station's own process under Electron
 *   dist/loopback.js  the station's own process under the loopback shell: `npm start` runs it, since it starts in half the time
 *
 * Everything else (the command line, the rest of the loopback shell, the tests) runs from its TypeScript.
 * The window is built beside the old one and changes places with it at the end, so a build that stops half-way leaves
 * the last one that worked.
 */
import { existsSync, renameSync, rmSync } from 'node:fs';
import path from 'node:path';
import { build } from 'vite';
import { buildForElectron, electronFiles } from './build-for-electron.ts';

const root = path.dirname(import.meta.dirname);
const dist = path.join(root, 'dist');

await buildWindow();
for (const file of electronFiles) await buildForElectron(file, dist);

async function buildWindow(): Promise<void> {
  const next = path.join(dist, `renderer.next-${process.pid}`);
  const last = path.join(dist, `renderer.last-${process.pid}`);
  const current = path.join(dist, 'renderer');
  try {
    await build({ configFile: path.join(root, 'renderer', 'vite.config.ts'), logLevel: 'warn', build: { outDir: next } });
    if (existsSync(current)) renameSync(current, last);
    renameSync(next, current);
  } finally {
    rmSync(next, { recursive: true, force: true });
    rmSync(last, { recursive: true, force: true });
  }
}
