/** Builds Electron's files by the program's own rules into a folder of the test's own. */
import { mkdirSync, rmSync } from 'node:fs';
import path from 'node:path';
import { buildForElectron, electronFiles } from '../../electron/build-for-electron.ts';
import { programRoot } from '../../electron/program-root.ts';

/** Inside the checkout, so that the built files find its packages and its lab sheets. */
export async function builtForElectron(...names: readonly string[]): Promise<{ readonly folder: string; remove(): void }> {
  const folder = path.join(programRoot, 'dist', `under-test-${process.pid}`);
  mkdirSync(folder, { recursive: true });
  for (const file of electronFiles) if (names.includes(file.output)) await buildForElectron(file, folder);
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true }) };
}
