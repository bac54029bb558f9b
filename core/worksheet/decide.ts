/** May this fact be written into a worksheet now? Answering again after handing in is allowed: every attempt is kept. */
import { failure, success, type Result } from '../result.ts';
import { isWorksheetKind, worksheetKinds, type WorksheetDraft } from './events.ts';

/** Checks a draft's kind and data, without changing anything. */
export function decideWorksheet(draft: { readonly kind: string; readonly data: unknown }): Result<WorksheetDraft> {
  if (!isWorksheetKind(draft.kind)) return failure('unknown-kind', `This program cannot write "${draft.kind}".`);
  if (draft.kind === 'worksheet-opened') return failure('not-yours', 'Only the station opens a worksheet.');
  const parsed = worksheetKinds[draft.kind].safeParse(draft.data);
  if (!parsed.success) {
    const issue = parsed.error.issues[0];
    return failure('bad-data', `${draft.kind} cannot be written: ${issue ? `${issue.path.join('.') || 'data'}: ${issue.message}` : 'its data is not understood'}.`);
  }
  return success({ kind: draft.kind, data: parsed.data } as WorksheetDraft);
}
