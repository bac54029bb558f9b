/** May this fact be written into a worksheet now? Pure: the station appends what is answered here with `ok`. */
import { failure, success, type Result } from '../result.ts';
import { shapeWords } from '../shape-words.ts';
import { isWorksheetKind, worksheetKinds, type WorksheetDraft } from './events.ts';
import type { WorksheetState } from './fold.ts';

/** What a window sent, not yet checked. */
export interface UncheckedDraft {
  readonly kind: string;
  readonly data?: unknown;
  readonly taken?: number;
}

/**
 * Checks a draft against a worksheet as it stands. Answering again after handing in is allowed: every attempt is kept with
 * its time, and the worksheet then waits to be handed in again.
 *
 * @param state undefined for a worksheet that does not exist yet; only its opening event can be written then.
 * @param questions ids of the sheet's questions, where the caller has the sheet at hand.
 */
export function decideWorksheet(state: WorksheetState | undefined, draft: UncheckedDraft, questions?: readonly string[]): Result<WorksheetDraft> {
  if (!isWorksheetKind(draft.kind)) return failure('unknown-kind', `This program cannot write "${draft.kind.slice(0, 40)}". Nothing was saved.`);
  const parsed = worksheetKinds[draft.kind].safeParse(draft.data);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    const where = issue?.path.join('.') ?? '';
    if (issue?.code === 'too_big') return failure('bad-data', `The ${where || 'answer'} is too long. The earlier answer was kept; shorten this one.`);
    return failure('bad-data', `"${draft.kind}" cannot be written: ${shapeWords(parsed.error, 'its data')}. What was there before was kept.`);
  }
  if (draft.kind === 'worksheet-opened') {
    if (state !== undefined) return failure('already-open', 'This worksheet is open already.');
  } else {
    if (state === undefined) return failure('not-open', 'This worksheet has not been opened yet. Open it first.');
    if (state.readOnly !== undefined) return failure('read-only', state.readOnly);
    if (draft.kind === 'answer-given' && questions !== undefined) {
      const { question } = parsed.data as { question: string };
      if (!questions.includes(question)) return failure('unknown-question', `This lab sheet has no question "${question.slice(0, 60)}". Nothing was saved.`);
    }
  }
  return success({ kind: draft.kind, data: parsed.data, ...(draft.taken === undefined ? {} : { taken: draft.taken }) } as WorksheetDraft);
}
