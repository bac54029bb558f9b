/** Files that the command line writes: whole, or not at all. */
import { renameSync, rmSync, writeFileSync } from 'node:fs';
import { LabError } from './lab-error.ts';

/** Written beside its place and moved there, so that nobody finds half a file. @throws {LabError} saying what to do. */
export function writeWhole(file: string, content: string | Uint8Array): void {
  const part = `${file}.${process.pid}.part`;
  try {
    writeFileSync(part, content);
    renameSync(part, file);
  } catch (cause) {
    rmSync(part, { force: true });
    const { code, message } = cause as NodeJS.ErrnoException;
    throw new LabError(code === 'ENOENT' ? `the folder of ${file} does not exist; make it or give another --out` : code === 'EISDIR' ? `${file} is a folder; give a file as --out` : `${file} could not be written (${message}); give another --out`);
  }
}
