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

/** Looks a path up; a path that the book does not hold at all is an unknown value too, with that as its reason. */
export function lookUp(book: Book, path: string): BookEntry {
  return book.get(path) ?? { known: false, label: path, reason: `the results of this test have no "${path}"` };
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
