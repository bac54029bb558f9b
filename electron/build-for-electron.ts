/** Builds the files that run without their TypeScript: Electron's, and the loopback shell's station. Tests build theirs by the same rules. */
import path from 'node:path';
import { build } from 'vite';

export interface ElectronFile {
  /** Its source, from the top of the checkout. */
  readonly entry: string;
  /** Its name in `dist/`. */
  readonly output: string;
  readonly format: 'cjs' | 'es';
  readonly packages: 'bundled' | 'pure ones bundled' | 'from node_modules';
}

export const electronFiles: readonly ElectronFile[] = [
  { entry: 'electron/preload.ts', output: 'preload.cjs', format: 'cjs', packages: 'bundled' },
  { entry: 'electron/main.ts', output: 'main.js', format: 'es', packages: 'pure ones bundled' },
  { entry: 'electron/shell/station-process.ts', output: 'station.js', format: 'es', packages: 'pure ones bundled' },
  // Started by the station for each class of handed-in files.
  { entry: 'electron/desk/mark-child.ts', output: 'mark-child.js', format: 'es', packages: 'from node_modules' },
  // The station's process under the loopback shell, for `npm start`: in half the time of its TypeScript.
  { entry: 'electron/loopback/child.ts', output: 'loopback.js', format: 'es', packages: 'pure ones bundled' },
];

/** Packages without files of their own beside their code. Most of a start's time went into finding and reading theirs. */
const pure = ['zod', 'yaml', '@noble/hashes', 'simple-statistics'];

export async function buildForElectron({ entry, output, format, packages }: ElectronFile, folder: string): Promise<void> {
  await build({
    configFile: false,
    root: path.dirname(import.meta.dirname),
    logLevel: 'warn',
    build: {
      ssr: entry,
      outDir: folder,
      emptyOutDir: false,
      target: 'node24',
      minify: false,
      rolldownOptions: {
        external: ['electron'],
        // What is loaded only when it is first asked for stays in files of its own; a preload has to be one file.
        output: {
          format,
          entryFileNames: output,
          chunkFileNames: `${path.parse(output).name}-[name].js`,
          codeSplitting: packages !== 'bundled',
        },
      },
    },
    ssr: packages === 'bundled' ? { noExternal: true } : packages === 'pure ones bundled' ? { noExternal: pure } : {},
  });
}
