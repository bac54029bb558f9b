/** Files that the command line reads: texts in any of the usual encodings, and lab sheets by path or id. */
import { existsSync, readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import { loadSheet, problemText, type Problem } from '../../core/sheet/load.ts';
import { listed, nearest } from '../../core/sheet/nearest.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { programRoot } from '../program-root.ts';
import { LabError, type Terminal } from './lab-error.ts';

const LARGEST = 20 * 1024 * 1024;

/** The text of a file, with what was wrong said as one line. */
export function readText(file: string, terminal: Terminal): string {
  const full = path.resolve(terminal.folder, file);
  let bytes: Buffer;
  try {
    const { size } = statSync(full);
    if (size > LARGEST) throw new LabError(`${file} is ${Math.round(size / 1024 / 1024)} MB, far too large for this; give the right file`);
    bytes = readFileSync(full);
  } catch (cause) {
    if (cause instanceof LabError) throw cause;
    throw new LabError(cannotRead(file, cause));
  }
  return decode(bytes, file, terminal);
}

export function cannotRead(file: string, cause: unknown): string {
  const { code, message } = cause as NodeJS.ErrnoException;
  if (code === 'ENOENT') return `there is no file ${file}; check the name, it is meant from the folder where you stand`;
  if (code === 'EISDIR') return `${file} is a folder; give a file`;
  if (code === 'EACCES' || code === 'EPERM') return `${file} may not be read by this account; change its permissions or copy it`;
  return `${file} cannot be read (${message}); check that the disk and the file are sound`;
}

/** UTF-8 as it should be; UTF-16 and the Windows code page as spreadsheets write them. */
export function decode(bytes: Uint8Array, file: string, terminal: Terminal): string {
  if ((bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)) return new TextDecoder(bytes[0] === 0xff ? 'utf-16le' : 'utf-16be').decode(bytes);
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes);
  } catch {
    terminal.say(`${file} is not UTF-8; it is read in the Windows code page (save it as "CSV UTF-8" to be sure of letters like °)`);
    return new TextDecoder('windows-1252').decode(bytes);
  }
}

export interface NamedSheet {
  readonly sheet: LabSheet;
  readonly text: string;
  /** As it is named in messages. */
  readonly file: string;
  readonly warnings: readonly Problem[];
}

/** Where the shipped lab sheets are. */
export const sheetsFolder = path.join(programRoot, 'lab-sheets');

export function shippedIds(): readonly string[] {
  return readdirSync(sheetsFolder).filter((name) => /\.ya?ml$/.test(name)).map((name) => name.replace(/\.ya?ml$/, ''));
}

/** The file that a LAB-SHEET names: a path, or a shipped id. */
export function sheetFile(named: string, terminal: Terminal): string {
  const full = path.resolve(terminal.folder, named);
  if (existsSync(full)) return full;
  const id = named.replace(/\.ya?ml$/, '');
  if (/^[a-z0-9-]+$/.test(id) && shippedIds().includes(id)) return path.join(sheetsFolder, `${id}.yaml`);
  const near = nearest(path.basename(id), shippedIds());
  throw new LabError(`there is no lab sheet ${named}; ${near === undefined ? `give a file, or one of ${listed(shippedIds())}` : `did you mean "${near}"?`}`);
}

/** Reads and checks a lab sheet. @throws {LabError} naming the first problem with its line, and how many more there are. */
export function findSheet(named: string, terminal: Terminal): NamedSheet {
  const full = sheetFile(named, terminal);
  const file = path.basename(full);
  const text = readText(full, terminal);
  const loaded = loadSheet(text, file);
  if (loaded.ok) return { sheet: loaded.sheet, text, file, warnings: loaded.warnings };
  const [first, ...others] = loaded.problems;
  throw new LabError(`${first ? problemText(first) : `${file} is refused`}${others.length > 0 ? ` (and ${others.length} more: npm run -s lab -- check ${named})` : ''}`);
}
