/** The record inside a handed-in file, folded from its events by this window itself. */
import type { DeskFile } from '../../core/contract/contract.ts';
import { eventOf } from '../../core/record/event.ts';
import { resultsOf, type Results } from '../../core/results/results.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { seriesTextOf, worksheetFileSchema } from '../../core/worksheet/file.ts';

export interface DeskRecord {
  readonly state: SessionState;
  readonly results: Results;
}

/** @returns undefined where there is no record, or one that cannot be folded: its findings say why. */
export function recordOf(file: DeskFile | undefined): DeskRecord | undefined {
  const parsed = worksheetFileSchema.safeParse(file?.attachment);
  if (!parsed.success) return undefined;
  try {
    const state = foldSession(parsed.data.session.events.map((event) => eventOf(event.body)));
    return { state, results: resultsOf(state, seriesTextOf(parsed.data)) };
  } catch {
    return undefined;
  }
}

/** Id of the lab sheet that the session in a file ran. */
export function sheetIdOf(file: DeskFile): string | undefined {
  const parsed = worksheetFileSchema.safeParse(file.attachment);
  if (!parsed.success) return undefined;
  try {
    const opened = eventOf(parsed.data.session.events[0]?.body ?? '') as { readonly data?: { readonly sheet?: { readonly id?: unknown } } };
    return typeof opened.data?.sheet?.id === 'string' ? opened.data.sheet.id : undefined;
  } catch {
    return undefined;
  }
}
