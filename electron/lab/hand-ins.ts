/** Finds and reads handed-in files for the command line: files, folders with their subfolders, and packed folders. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import type { MarkedFile } from '../../core/worksheet/marks-csv.ts';
import { unzipWorksheets } from '../desk/zip.ts';
import { cannotRead } from './files.ts';
import { LabError, type Terminal } from './lab-error.ts';

export interface Found {
  /** Full path; none for a file that came out of a packed folder. */
  readonly path?: string;
  /** As it is named in messages and in the table, with the folders in which it came. */
  readonly name: string;
  readonly bytes?: Uint8Array;
  /** Why it was left packed. */
  readonly refused?: string;
}

const MOST_BYTES = 100 * 1024 * 1024;

/**
 * @param not a folder whose files are no hand-ins: feedback of an earlier run may lie beside them.
 * @throws {LabError} where an operand cannot be read, or there is nothing at all.
 */
export async function findFiles(operands: readonly string[], terminal: Terminal, not?: string): Promise<readonly Found[]> {
  const found: Found[] = [];
  for (const operand of operands) {
    const full = path.resolve(terminal.folder, operand);
    try {
      if (!statSync(full).isDirectory()) {
        found.push({ path: full, name: path.basename(full) });
        continue;
      }
      const inside = readdirSync(full, { recursive: true, withFileTypes: true })
        // A replay keeps its store in a folder of its own.
        .filter((entry) => entry.isFile() && /\.(?:pdf|json|zip)$/i.test(entry.name) && !/\.station$/.test(entry.parentPath) && !entry.name.startsWith('.'))
        .map((entry) => path.join(entry.parentPath, entry.name))
        .filter((file) => not === undefined || full === not || !file.startsWith(not + path.sep))
        .toSorted();
      for (const file of inside) found.push({ path: file, name: path.relative(full, file).replaceAll(path.sep, '/') });
      if (inside.length === 0) terminal.say(`${operand} holds no .pdf, no .json and no .zip`);
    } catch (cause) {
      throw new LabError(cannotRead(operand, cause));
    }
  }
  const once = [...new Map(found.map((file) => [file.path, file])).values()];
  if (once.length === 0) throw new LabError('there is nothing to mark; give worksheets as .pdf, .json or .zip, or a folder that holds them');
  const unpacked: Found[] = [];
  for (const file of once) unpacked.push(...(/\.zip$/i.test(file.name) ? await unpack(file) : [file]));
  return unpacked;
}

/** A packed folder's files, under its name as a folder. One that cannot be opened is a row of its own. */
async function unpack(zip: Found): Promise<readonly Found[]> {
  const read = readFound(zip);
  if (!('bytes' in read)) return [{ name: zip.name, refused: read.findings[0]?.text ?? '' }];
  const answer = await unzipWorksheets(read.bytes);
  if (!answer.ok) return [{ name: zip.name, refused: answer.error.message }];
  const folder = zip.name.replace(/\.zip$/i, '');
  const { files, left } = answer.value;
  return [
    ...files.map((file): Found => ({ name: [folder, file.folder, file.name].filter((part) => part !== '').join('/'), bytes: file.bytes })),
    ...left.map((one): Found => ({ name: `${folder}/${one.name}`, refused: one.text })),
  ];
}

/** A file's bytes, or the row that says why there are none. */
export function readFound(file: Found): { readonly name: string; readonly bytes: Uint8Array } | MarkedFile {
  const refused = (text: string): MarkedFile => ({ file: file.name, status: 'refused', findings: [{ code: 'unreadable', level: 'refusal', text }] });
  if (file.refused !== undefined) return refused(file.refused);
  if (file.bytes !== undefined) return { name: file.name, bytes: file.bytes };
  if (file.path === undefined) return refused('The file is gone.');
  try {
    const { size } = statSync(file.path);
    if (size > MOST_BYTES) return refused(`The file has ${Math.round(size / 1024 / 1024)} MB, far more than a worksheet; it was not opened.`);
    return { name: file.name, bytes: readFileSync(file.path) };
  } catch (cause) {
    return refused(`${cannotRead(file.name, cause)}.`);
  }
}
