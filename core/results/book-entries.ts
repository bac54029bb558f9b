/** How entries are written into the book of a test, and what they are written from. */
import type { StageResult } from './stages.ts';
import type { UnitCode } from '../units/units.ts';
import type { BookEntry } from '../worksheet/book.ts';
import type { MaximalHeartRate } from './prescription.ts';
import type { Results } from './results.ts';

/** Writes one entry; without a value it is unknown, for the reason given. */
export type Put = (path: string, label: string, value: number | string | undefined, unit: UnitCode, reason: string, extra?: { working?: string; source?: string }) => void;

export function putInto(book: Map<string, BookEntry>): Put {
  return (path, label, value, unit, reason, extra = {}) => {
    book.set(path, value === undefined ? { known: false, label, reason } : { known: true, label, value, unit, ...extra });
  };
}

/** What the results hold before predictions, norms and prescription, which are worked out from this book. */
export type Measured = Omit<Results, 'book' | 'predictions' | 'maximal' | 'norms' | 'prescription'> & { readonly maximum: MaximalHeartRate };

/** A load in the unit in which it was set: some equations have constants of their own for each unit. */
export function loadAsSet(row: StageResult | undefined): { readonly value: number; readonly unit: UnitCode } | undefined {
  const load = row?.stage.actual.load;
  return load && { value: Number(load.typed.replace(',', '.')), unit: load.unit };
}
