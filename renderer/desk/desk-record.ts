/** The record inside a handed-in file, folded from its events by this window itself. */
import { eventOf } from '../../core/record/event.ts';
import type { SeriesText } from '../../core/results/gas.ts';
import { resultsOf, type Results } from '../../core/results/results.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { seriesTextOf, worksheetFileSchema } from '../../core/worksheet/file.ts';
import { foldWorksheet, type WorksheetState } from '../../core/worksheet/fold.ts';

export interface DeskRecord {
  readonly state: SessionState;
  readonly worksheet: WorksheetState;
  readonly results: Results;
  readonly series: SeriesText;
}

/** @returns undefined where there is no record, or one that cannot be folded: its findings say why. */
export function recordOf(file: { readonly attachment?: unknown } | undefined): DeskRecord | undefined {
  const parsed = worksheetFileSchema.safeParse(file?.attachment);
  if (!parsed.success) return undefined;
  try {
    const state = foldSession(parsed.data.session.events.map((event) => eventOf(event.body)));
    const worksheet = foldWorksheet(parsed.data.worksheet.events.map((event) => eventOf(event.body)));
    const series = seriesTextOf(parsed.data);
    return { state, worksheet, series, results: resultsOf(state, series) };
  } catch {
    return undefined;
  }
}
