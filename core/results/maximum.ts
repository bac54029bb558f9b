/** What a sheet takes as the participant's maximal oxygen uptake, and where that stands in the tables of norms. */
import { normTableById, percentileOf, type PercentileResult } from '../norms/norms.ts';
import type { SessionState } from '../session/state.ts';
import { inUnit } from '../worksheet/answer.ts';
import { lookUp, massOf, type Book } from '../worksheet/book.ts';

export interface MaximalUptake {
  readonly from: 'measured' | 'predicted';
  /** "Highest oxygen uptake per kilogram", or the prediction's title. */
  readonly label: string;
  /** mL/kg/min. */
  readonly value?: number;
  readonly reason?: string;
}

/** By the sheet's own word: the measured peak, the end of its line, or one of its predictions. */
export function maximalUptakeOf(state: SessionState, book: Book): MaximalUptake {
  const { maximum } = state.sheet.results;
  const from = maximum === 'peak.vo2-rel' ? ('measured' as const) : ('predicted' as const);
  const entry = lookUp(book, maximum);
  if (!entry.known) return { from, label: entry.label, reason: entry.reason };
  const value = typeof entry.value === 'number' ? inUnit(entry.value, entry.unit, 'mL/kg/min', massOf(book)) : undefined;
  return { from, label: entry.label, ...(value === undefined ? { reason: `${entry.label} cannot be given per kilogram without the body mass` } : { value }) };
}

export interface NormResult {
  readonly id: string;
  readonly result: PercentileResult;
}

export function normsOf(state: SessionState, maximal: MaximalUptake): readonly NormResult[] {
  return state.sheet.results.norms.map((id) => ({ id, result: normOf(state, id, maximal) }));
}

function normOf(state: SessionState, id: string, maximal: MaximalUptake): PercentileResult {
  if (maximal.value === undefined) return { ok: false, error: { code: 'not-a-value', message: maximal.from === 'measured' ? 'Oxygen uptake per kilogram is not known for this test.' : `Maximal oxygen uptake is not known for this test: ${maximal.reason ?? 'it could not be predicted'}.` } };
  const { mode } = state.sheet;
  const result = percentileOf({ table: id, sex: state.sex, ageYears: state.age, vo2: maximal.value, ...(mode === 'treadmill' || mode === 'cycle' ? { testMode: mode } : {}) });
  if (!result.ok || maximal.from === 'measured') return result;
  return { ...result, warnings: [...result.warnings, 'The value is predicted; the table was made from measured ones.'] };
}

/** The 50th percentile for sex and age, mL/kg/min, or why there is none. */
export function medianOf(state: SessionState, id: string): { readonly value: number; readonly source: string } | { readonly reason: string } {
  const table = normTableById(id);
  if (!table) return { reason: `there is no table of norms "${id}"` };
  const { sex, age } = state;
  if (sex === undefined) return { reason: 'the sex used in the equations was not given' };
  if (age === undefined) return { reason: 'the age was not given' };
  const column = table.ages.findIndex((band) => Math.floor(age) >= band.from && Math.floor(age) <= band.to);
  const value = table.rows[sex].find((row) => row.percentile === 50)?.values[column];
  if (value === undefined || value === null) return { reason: `${table.title} covers ${table.ages[0]?.from} to ${table.ages.at(-1)?.to} years; it has no row for ${Math.floor(age)} years` };
  return { value, source: table.source.citation };
}
