/** What can happen in a student's worksheet. It is a record of its own, tied to a closed session by its closing hash. */
import { z } from 'zod';
import type { RecordEvent } from '../record/event.ts';

export const worksheetKinds = {
  'worksheet-opened': z.object({
    session: z.string(),
    /** Hash of the session's last event, so that the worksheet can only belong to that record. */
    sessionHead: z.string(),
    student: z.string().min(1).max(60),
    wall: z.string(),
    /** The session was issued to this student, who did not take part in it. */
    issued: z.boolean().optional(),
  }),
  /** Every attempt is kept: a later answer to the same question and row stands, the earlier ones stay visible. */
  'answer-given': z.object({
    question: z.string(),
    row: z.string().optional(),
    typed: z.string().max(20_000),
    unit: z.string().max(40).optional(),
    working: z.string().max(20_000).optional(),
    /** Saved while it was still being typed: kept, and no attempt of its own where the sheet counts the first or the best. */
    draft: z.boolean().optional(),
  }),
  'worksheet-handed-in': z.object({ wall: z.string() }),
} as const;

export type WorksheetKind = keyof typeof worksheetKinds;
export type WorksheetData<Kind extends WorksheetKind> = z.infer<(typeof worksheetKinds)[Kind]>;
export type WorksheetEvent = { [Kind in WorksheetKind]: RecordEvent<Kind, WorksheetData<Kind>> }[WorksheetKind];
export type WorksheetDraft = {
  [Kind in WorksheetKind]: { readonly kind: Kind; readonly data: WorksheetData<Kind>; readonly taken?: number };
}[WorksheetKind];

/** Whether this program knows this kind of event; a worksheet with another opens read-only. */
export function isWorksheetKind(kind: string): kind is WorksheetKind {
  return Object.hasOwn(worksheetKinds, kind);
}
