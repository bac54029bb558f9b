/** The lab sheets that this station offers: every `.yaml` file of a folder, read anew when it changes. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import type { SheetListing } from '../../core/contract/contract.ts';
import { sha256Hex } from '../../core/record/chain.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { loadSheet, type Problem } from '../../core/sheet/load.ts';

/** A lab sheet as a session keeps it. */
export interface SheetCopy {
  readonly id: string;
  readonly version: number;
  readonly hash: string;
  readonly text: string;
}

export interface SheetShelf {
  list(): readonly SheetListing[];
  /** The sheet with this id, or why a session cannot be opened on it. */
  find(id: string): Result<SheetCopy>;
}

/** Lists a folder's sheets. A file that is refused is listed too, with what is wrong with it. */
export function sheetFolder(folder: string): SheetShelf {
  const read = new Map<string, { readonly stamp: string; readonly listing: SheetListing }>();
  const list = (): SheetListing[] => {
    const names = namesIn(folder);
    return names.map((name) => {
      const file = path.join(folder, name);
      const { mtimeMs, size } = statSync(file);
      const stamp = `${mtimeMs} ${size}`;
      const known = read.get(name);
      if (known?.stamp === stamp) return known.listing;
      const listing = listingOf(readFileSync(file, 'utf8'), name);
      read.set(name, { stamp, listing });
      return listing;
    });
  };
  return { list, find: (id) => findIn(list(), id) };
}

/** Sheets handed in as text: for the command line and for tests. */
export function sheetTexts(texts: Readonly<Record<string, string>>): SheetShelf {
  const listings = Object.entries(texts).map(([name, text]) => listingOf(text, name));
  return { list: () => listings, find: (id) => findIn(listings, id) };
}

function findIn(listings: readonly SheetListing[], id: string): Result<SheetCopy> {
  const found = listings.find((sheet) => sheet.id === id && sheet.problems.length === 0) ?? listings.find((sheet) => sheet.id === id);
  if (!found)
    return failure(
      'no-such-sheet',
      `This station has no lab sheet "${id}". Its sheets are: ${listings.map((sheet) => sheet.id).join(', ') || 'none'}.`,
    );
  if (found.problems.length > 0)
    return failure('sheet-refused', `The lab sheet "${id}" cannot be used: ${found.problems[0]}`, found.problems);
  return success({ id: found.id, version: found.version, hash: sha256Hex(found.text), text: found.text });
}

function namesIn(folder: string): string[] {
  try {
    return readdirSync(folder)
      .filter((name) => /\.ya?ml$/i.test(name))
      .sort();
  } catch {
    return [];
  }
}

function listingOf(text: string, name: string): SheetListing {
  const loaded = loadSheet(text, name);
  if (loaded.ok) {
    const { id, title, version, mode } = loaded.sheet;
    return { id, title, version, mode, text, problems: [] };
  }
  const id = name.replace(/\.ya?ml$/i, '');
  return { id, title: name, version: 0, mode: '', text, problems: loaded.problems.map(problemLine) };
}

function problemLine({ file, line, path: place, message, remedy }: Problem): string {
  return `${file}:${line}: ${place === '' ? '' : `${place}: `}${message}; ${remedy}`;
}
