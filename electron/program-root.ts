/** The program's own folder, whether it runs from its TypeScript or from a built file in `dist/`. */
import { existsSync, readFileSync } from 'node:fs';
import path from 'node:path';

export const programRoot: string = above(import.meta.dirname);

function above(folder: string): string {
  if (existsSync(path.join(folder, 'package.json'))) return folder;
  const parent = path.dirname(folder);
  if (parent === folder) throw new Error(`no package.json above ${import.meta.dirname}`);
  return above(parent);
}

/** The program's version, as its package says it. */
export function programVersion(): string {
  return (JSON.parse(readFileSync(path.join(programRoot, 'package.json'), 'utf8')) as { version: string }).version;
}
