/** The lab sheets that this station offers: every `.yaml` file of a folder, read anew when it changes. */
import { readdirSync, readFileSync, renameSync, statSync, writeFileSync } from 'node:fs';
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

interface ReadSheet {
  readonly stamp: string;
  readonly listing: SheetListing;
}

/** Where a station keeps what it found about its sheets: checking one takes longer than opening the database. */
export interface SheetMemory {
  readonly file: string;
  /** Names the program that checked them; what another one found is not believed. */
  readonly program: string;
}

/**
 * Lists a folder's sheets. A file that is refused is listed too, with what is wrong with it. A file that has not changed since
 * the same program checked it is not checked again.
 */
export function sheetFolder(folder: string, memory?: SheetMemory): SheetShelf {
  const read = remembered(memory);
  const list = (): SheetListing[] => {
    let changed = false;
    const listings = namesIn(folder).map((name) => {
      const file = path.join(folder, name);
      const stamp = stampOf(file);
      const known = read.get(name);
      if (known?.stamp === stamp) return known.listing;
      const listing = listingOf(readFileSync(file, 'utf8'), name);
      read.set(name, { stamp, listing });
      changed = true;
      return listing;
    });
    if (changed) remember(memory, read);
    return listings;
  };
  return { list, find: (id) => findIn(list(), id) };
}

/**
 * Names the running program by one of its built files: a build writes them all anew, so it is another whenever any source is.
 * Undefined when it runs from its sources: there the loader may change without this file, so nothing is remembered.
 */
export function builtProgram(): string | undefined {
  return import.meta.filename.endsWith('.ts') ? undefined : stampOf(import.meta.filename);
}

function stampOf(file: string): string {
  const { mtimeMs, size } = statSync(file);
  return `${mtimeMs} ${size}`;
}

/** What was found before; nothing where it cannot be read, for then everything is simply checked again. */
function remembered(memory: SheetMemory | undefined): Map<string, ReadSheet> {
  if (!memory) return new Map();
  try {
    const kept = JSON.parse(readFileSync(memory.file, 'utf8')) as { readonly program: string; readonly sheets: readonly [string, ReadSheet][] };
    return kept.program === memory.program ? new Map(kept.sheets) : new Map();
  } catch {
    return new Map();
  }
}

function remember(memory: SheetMemory | undefined, read: ReadonlyMap<string, ReadSheet>): void {
  if (!memory) return;
  try {
    writeFileSync(`${memory.file}.new`, JSON.stringify({ program: memory.program, sheets: [...read] }));
    renameSync(`${memory.file}.new`, memory.file);
  } catch {
    // Only time is lost. That the folder cannot be written in is said where the record is opened.
  }
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
