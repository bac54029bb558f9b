/**
 * Builds everything that cannot run as it is: the window, and the files that Electron loads.
 *
 *   dist/renderer/    the window
 *   dist/preload.cjs  the preload: one CommonJS file with all it needs, since a sandboxed preload can be nothing else
 *   dist/main.js      Electron's main process, since Electron's own Node is not asked to run TypeScript
 *   dist/station.js   the station's own process under Electron
 *
 * Everything else (the command line, the loopback shell, the station, the tests) runs from its TypeScript.
 * The window is built beside the old one and changes places with it at the end, so a build that stops half-way leaves
 * the last one that worked.
 */
import { existsSync, renameSync, rmSync } from 'node:fs';
import path from 'node:path';
import { build, type InlineConfig } from 'vite';

const root = path.dirname(import.meta.dirname);
const dist = path.join(root, 'dist');

await buildWindow();
await buildForElectron({ entry: 'electron/preload.ts', output: 'preload.cjs', format: 'cjs', packages: 'bundled' });
await buildForElectron({ entry: 'electron/main.ts', output: 'main.js', format: 'es', packages: 'from node_modules' });
await buildForElectron({ entry: 'electron/shell/station-process.ts', output: 'station.js', format: 'es', packages: 'from node_modules' });

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

interface ElectronFile {
  /** Its source, from the top of the checkout. */
  readonly entry: string;
  /** Its name in `dist/`. */
  readonly output: string;
  readonly format: 'cjs' | 'es';
  readonly packages: 'bundled' | 'from node_modules';
}

async function buildForElectron({ entry, output, format, packages }: ElectronFile): Promise<void> {
  const config: InlineConfig = {
    configFile: false,
    root,
    logLevel: 'warn',
    build: {
      ssr: entry,
      outDir: dist,
      emptyOutDir: false,
      target: 'node24',
      minify: false,
      rolldownOptions: {
        external: ['electron'],
        output: { format, entryFileNames: output, codeSplitting: false },
      },
    },
    ssr: packages === 'bundled' ? { noExternal: true } : {},
  };
  await build(config);
}
