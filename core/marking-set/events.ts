/**
 * What can happen in a marking set. A set is a growing collection of facts, never changed: each is stored with its hash and the
 * hash of the fact that its writer had last (`set-chain.ts`). Copies of a set that several markers kept are merged by putting
 * their facts together; the fold gives the same set in whatever order they arrive (`fold.ts`).
 */
import { z } from 'zod';
import type { RecordEvent } from '../record/event.ts';

const words = z.string().trim().min(1).max(2000);
const reason = words.describe('Why; every correction has one');
const studentKey = z.string().trim().min(1).max(60);
const hash = z.string().regex(/^[0-9a-f]{64}$/);
const moment = z.string().refine((text) => Number.isFinite(Date.parse(text)), 'a moment is a date and time like 2026-03-09T17:00:00+00:00');
const id = z.string().min(1).max(100);
const marks = z.number().min(0).max(1000);

/** What happens to the marks of a worksheet that was handed in after it was due. */
export const lateRuleSchema = z.discriminatedUnion('kind', [
  /** Late work is flagged and keeps its marks. */
  z.object({ kind: z.literal('flag-only') }),
  /** Per cent of the marks available (or of those earned) for every day begun, after `graceMinutes`; nothing after `closesAfterDays`. */
  z.object({
    kind: z.literal('per-day'),
    percent: z.number().min(0).max(100),
    of: z.enum(['available', 'earned']).default('available'),
    graceMinutes: z.number().int().min(0).max(10_080).default(0),
    closesAfterDays: z.number().int().min(1).max(365).optional(),
  }),
  /** Late work earns at most this share of the marks available. */
  z.object({ kind: z.literal('at-most'), percent: z.number().min(0).max(100), graceMinutes: z.number().int().min(0).max(10_080).default(0) }),
  /** Late work earns nothing. */
  z.object({ kind: z.literal('nothing'), graceMinutes: z.number().int().min(0).max(10_080).default(0) }),
]);
export type LateRule = z.infer<typeof lateRuleSchema>;

/** Which of a student's several hand-ins counts. */
export const severalRules = ['first', 'last', 'best'] as const;
export type SeveralRule = (typeof severalRules)[number];

export const rosterEntrySchema = z.object({ student: studentKey, group: z.string().trim().max(60).optional(), extension: moment.optional() });
export type RosterEntry = z.infer<typeof rosterEntrySchema>;

export const fileFindingSchema = z.object({ code: z.string().max(60), level: z.enum(['fact', 'warning', 'refusal']), text: z.string().max(2000) });

/** What an award stood on when a marker changed it: the automatic mark, the answer, and the version of the key. */
export const groundSchema = z.object({ marks, outOf: marks, pending: marks, reason: z.string().max(4000), answer: z.string().max(100), key: z.string().max(100) });
export type Ground = z.infer<typeof groundSchema>;

export const setKinds = {
  'set-opened': z.object({ title: words, term: z.string().trim().max(60).default(''), sheet: id.describe('Id of the lab sheet') }),
  'set-named': z.object({ title: words, term: z.string().trim().max(60).default('') }),
  /** The instructor's lab sheet and, where given, the answer key that changes it (`stagecall-answer-key/1`). Never from a handed-in file. */
  'key-adopted': z.object({ version: z.number().int().min(1).optional().describe('Counted by the desk'), sheet: z.string().min(1).max(400_000), key: z.string().max(400_000).optional(), reason: words.optional() }),
  'roster-loaded': z.object({ students: z.array(rosterEntrySchema).max(20_000), name: z.string().max(300).optional() }),
  'due-set': z.object({ due: moment.nullable() }),
  'late-rule-set': z.object({ rule: lateRuleSchema }),
  'several-rule-set': z.object({ rule: z.enum(severalRules) }),
  'marker-named': z.object({ initials: z.string().trim().min(1).max(40), name: words }),
  /** A file as it came. The record inside is kept apart, by the hash of its text; without one the findings say why. */
  'file-added': z.object({
    /** `fileIdOf(bytes, folder, name)`. */
    file: z.string().regex(/^f-[0-9a-f]{20}$/),
    name: z.string().min(1).max(300),
    folder: z.string().max(600).default(''),
    /** SHA-256 of the file's bytes. */
    bytes: hash,
    size: z.number().int().min(0),
    /** SHA-256 of the record's text. */
    record: hash.optional(),
    /** Found on opening, before any key was applied. */
    findings: z.array(fileFindingSchema).max(60),
  }),
  'file-set-aside': z.object({ file: id, reason }),
  'student-corrected': z.object({ file: id, student: studentKey, reason }),
  'rehearsal-accepted': z.object({ session: id, reason }),
  'issued-accepted': z.object({ session: id, reason }),
  'extension-given': z.object({ student: studentKey, until: moment, reason }),
  /** A mark changed by hand: of a question, or of one of its rows. */
  'mark-moderated': z.object({ worksheet: id, question: id, row: id.optional(), marks, comment: words, ground: groundSchema.optional() }),
  /** A written answer judged by its rubric: `level` counts from 0 in the key's own order. */
  'written-marked': z.object({ worksheet: id, question: id, level: z.number().int().min(0).max(50), marks, comment: words.optional(), ground: groundSchema.optional() }),
  /** Marks for the shared record: given once, they reach everyone who hands this session in. */
  'record-marked': z.object({ session: id, item: id, marks, level: z.number().int().min(0).max(50).optional(), comment: words.optional() }),
  /** Takes back an earlier fact of this set, a withdrawal among them. */
  withdrawn: z.object({ target: hash, reason }),
  /** `marks` names the kept copy of what was written out, against which the next changes are shown. */
  'marks-exported': z.object({ form: z.enum(['long', 'wide', 'json']), changesOnly: z.boolean(), marks: hash }),
  /** The records were erased; `marks` names the kept copy of the marks. */
  'set-archived': z.object({ reason, marks: hash }),
} as const;

export type SetKind = keyof typeof setKinds;
export type SetData<Kind extends SetKind> = z.infer<(typeof setKinds)[Kind]> & {
  /** Facts for the same place that the writer had before it and that this one replaces. Filled in by the desk. */
  readonly over?: readonly string[];
};
export type SetEvent = { [Kind in SetKind]: RecordEvent<Kind, SetData<Kind>> }[SetKind];
/** What a window sends. */
export type SetDraft = { [Kind in SetKind]: { readonly kind: Kind; readonly data: z.input<(typeof setKinds)[Kind]> } }[SetKind];

/** Whether this program knows this kind of fact. */
export function isSetKind(kind: string): kind is SetKind {
  return Object.hasOwn(setKinds, kind);
}
/** Kinds that only the desk itself writes; a window cannot append them. */
export const desksOwnKinds: readonly SetKind[] = ['set-opened', 'file-added', 'marks-exported', 'set-archived'];
