/** Entries of the book that are worked out from it: norms and prescription. */
import type { SessionState } from '../session/state.ts';
import type { BookEntry } from '../worksheet/book.ts';
import { categoryId } from './book.ts';
import { putInto } from './book-entries.ts';
import { medianOf } from './maximum.ts';
import type { Results } from './results.ts';

/** What is worked out from the book itself: norms and prescription. */
export function laterEntries(state: SessionState, book: Map<string, BookEntry>, results: Pick<Results, 'norms' | 'prescription' | 'symptomLimited'>): void {
  const put = putInto(book);
  const needsMaximum = results.symptomLimited ? 'the test was stopped for a symptom' : undefined;
  for (const { id, result } of results.norms) {
    const reason = result.ok ? 'the table does not tell the category there' : result.error.message;
    put(`category.${id}`, `Fitness category, ${id}`, needsMaximum === undefined && result.ok && result.category !== undefined ? categoryId(result.category) : undefined, '1', needsMaximum ?? reason, result.ok ? { source: result.source.citation } : {});
    put(`percentile.${id}`, `Percentile, ${id}`, result.ok ? result.percentile : undefined, '%', reason);
  }
  const [first] = results.norms;
  const category = first && book.get(`category.${first.id}`);
  book.set('category', category ?? { known: false, label: 'Fitness category', reason: 'the lab sheet names no table of norms' });
  const median = first ? medianOf(state, first.id) : { reason: 'the lab sheet names no table of norms' };
  put('norm.median', 'Median for age and sex', 'value' in median ? median.value : undefined, 'mL/kg/min', 'reason' in median ? median.reason : '', 'source' in median ? { source: median.source } : {});
  const { prescription } = results;
  if (!prescription) return;
  put('prescription.heart-rate', 'Target heart rate', prescription.heartRate, '/min', prescription.reason ?? '', { ...(prescription.working === undefined ? {} : { working: prescription.working }), ...(prescription.source === undefined ? {} : { source: prescription.source }) });
  const { exercise } = prescription;
  const why = exercise?.reason ?? 'the lab sheet does not say how the exercise is done';
  put('prescription.vo2', 'Target oxygen uptake', exercise?.vo2, 'mL/kg/min', why);
  put('prescription.load', 'Load of the prescription', exercise?.load?.value, exercise?.load?.unit ?? 'W', exercise?.noLoad ?? why, exercise?.load && { working: exercise.load.working });
  put('prescription.energy-week', 'Energy in a week', exercise?.kcalPerWeek?.gross, 'kcal/wk', why);
  put('prescription.met-minutes', 'MET-minutes in a week', exercise?.metMinutesPerWeek, '[MET].min/wk', why);
  put('prescription.own-heart-rate', 'Heart rate at that uptake by the own line', exercise?.ownLine?.heartRate, '/min', exercise?.reason ?? 'fewer than three finished stages have an uptake and a heart rate');
}
