/**
 * The book of a test: every value that a question may ask for or build on, by its path (`peak.vo2-rel`, `stage.2.speed`).
 * The results fill it from the record; marking only reads it, so that nothing written in a handed-in file is ever taken as a key.
 */
import type { UnitCode } from '../units/units.ts';

export type BookEntry =
  | {
      readonly known: true;
      readonly value: number | string;
      readonly unit: UnitCode;
      readonly label: string;
      readonly working?: string;
      readonly source?: string;
    }
  /** The value does not exist on this record; `reason` says why, and voids what asks for it. */
  | { readonly known: false; readonly label: string; readonly reason: string };

export type Book = ReadonlyMap<string, BookEntry>;

/** Names under which a lab sheet may ask for a value that the book holds under its own. */
const otherNames: Readonly<Record<string, string>> = {
  'peak.vo2-per-kg': 'peak.vo2-rel',
  'peak.mets': 'peak.met',
  'rest.vo2-per-kg': 'rest.vo2-rel',
  'recovery.heart-rate-1': 'recovery.m1.heart-rate',
  'recovery.heart-rate-2': 'recovery.m2.heart-rate',
  'recovery.systolic-3': 'recovery.m3.systolic',
};

/** Looks a path up; a path that the book does not hold at all is an unknown value too, with that as its reason. */
export function lookUp(book: Book, path: string): BookEntry {
  const entry = book.get(path) ?? book.get(otherNames[path] ?? path.replace(/^(stage\.\d+\.)vo2-per-kg$/, '$1vo2-rel'));
  return entry ?? { known: false, label: path, reason: `the results of this test have no "${path}"` };
}

/** A known number in the book, in the unit that the book gives. */
export function knownNumber(book: Book, path: string): { readonly value: number; readonly unit: UnitCode } | undefined {
  const entry = book.get(path);
  return entry?.known && typeof entry.value === 'number' ? { value: entry.value, unit: entry.unit } : undefined;
}

/** Body mass in kilograms, where the record has it: the only bridge between absolute and relative oxygen uptake. */
export function massOf(book: Book): number | undefined {
  return knownNumber(book, 'participant.mass')?.value;
}
