/**
 * What can happen in a session, kind by kind, with the shape of each fact.
 * A kind is never removed or renamed; a changed shape raises its version and adds a step to `upcast`.
 */
import { z } from 'zod';
import type { RecordEvent } from '../record/event.ts';
import { gaits, postures } from '../vocabulary.ts';

const typedText = z.string().min(1).max(200);
const freeText = z.string().max(2000);
const unit = z.string().max(20);

/** Which place on the sheet a reading answers. */
export const slotSchema = z.object({
  phase: z.enum(['rest', 'exercise', 'recovery']),
  /** Exercise only: the stage, counting from 1. */
  stage: z.number().int().min(1).max(60).optional(),
  /** `m1`, `m2`… a minute of the stage or of recovery; `end` of the stage; `stop`; `rest`; `now` (m0) ; or `@m:ss`, not on the schedule. */
  mark: z.string().min(1).max(12),
  quantity: z.string().min(1).max(30),
});
export type Slot = z.infer<typeof slotSchema>;

/** A slot as one word, for maps, lists and exported tables: `exercise/s2/m1/heart-rate`. */
export function slotKey(slot: Slot): string {
  return [slot.phase, ...(slot.stage === undefined ? [] : [`s${slot.stage}`]), slot.mark, slot.quantity].join('/');
}

const setting = z.object({ typed: typedText, unit });
export const settingsSchema = z.object({ speed: setting, grade: setting, load: setting, cadence: setting, 'step-rate': setting, 'step-height': setting }).partial();

export const sessionKinds = {
  /** The first event. The lab sheet's own text is kept, so that the record can always be read by the sheet it ran. */
  'session-opened': z.object({
    way: z.enum(['live', 'paper', 'rehearsal']),
    sheet: z.object({ id: z.string(), version: z.number().int(), hash: z.string(), text: z.string() }),
    /** The wall clock at session time 0, ISO 8601 with offset. */
    wall: z.string(),
    /** Rehearsal only: which simulated participant, how fast, and whether the program also records. */
    rehearsal: z.object({ participant: z.string(), seed: z.number().int(), rate: z.number(), records: z.boolean() }).optional(),
  }),
  'detail-given': z.object({ detail: z.string(), typed: z.string().max(200), unit: unit.optional() }),
  /** Only the outcome of the private screening page; never an answer. */
  'screening-done': z.object({ outcome: z.enum(['go', 'another-test', 'no-test-today']), by: typedText }),
  'consent-noted': z.object({ given: z.boolean() }),
  'check-done': z.object({ check: z.string(), done: z.boolean(), typed: z.string().max(200).optional(), unit: unit.optional() }),
  'hold-overridden': z.object({ hold: z.string(), initials: typedText, reason: typedText }),
  'rest-started': z.object({}),
  'exercise-started': z.object({ settings: settingsSchema.optional() }),
  /** A false start; Rest is kept. */
  'exercise-struck': z.object({ reason: freeText }),
  /** The ergometer was really changed at `taken`. Settings only where they differ from the plan. */
  'stage-changed': z.object({ stage: z.number().int().min(2).max(60), settings: settingsSchema.optional(), assumed: z.boolean().optional() }),
  /** The setting within a stage was changed, or what the machine really shows was written down. */
  'setting-recorded': z.object({ stage: z.number().int().min(1).max(60), settings: settingsSchema }),
  'reading-taken': z.object({
    slot: slotSchema,
    typed: typedText,
    unit,
    /** What was heard, where one utterance gave several readings: `116/74`. */
    heard: z.string().max(200).optional(),
    /** The person confirmed an unusual value. */
    confirmed: z.boolean().optional(),
    source: z.enum(['heard', 'strap', 'paper', 'simulated', 'file']).optional(),
    note: freeText.optional(),
  }),
  'reading-not-taken': z.object({ slot: slotSchema, reason: freeText }),
  /** Takes back an earlier event of this record; both stay visible. */
  'event-struck': z.object({ target: z.number().int().min(0), reason: freeText }),
  'symptom-noted': z.object({ text: typedText }),
  'note-added': z.object({
    text: typedText,
    /** Sequence number of the reading whose call for the instructor this note answers. */
    answers: z.number().int().min(0).optional(),
  }),
  'gait-seen': z.object({ gait: z.enum(gaits) }),
  'handrail-held': z.object({ held: z.boolean() }),
  'posture-changed': z.object({ posture: z.enum(postures) }),
  /** Exercise ends and recovery begins at `taken`. The reason comes afterwards. */
  'test-stopped': z.object({}),
  'stop-taken-back': z.object({}),
  'stop-reason-given': z.object({ reason: typedText, symptom: z.boolean() }),
  /** A leaving criterion that a person has to see or do: steady gait, fluids, instructions. */
  'criterion-seen': z.object({ criterion: z.string(), met: z.boolean() }),
  /** A gas exchange file was joined to the session. The rows lie beside the events, found by their content hash. */
  'series-attached': z.object({
    name: z.string().max(300),
    /** SHA-256, hex, of the stored series. */
    hash: z.string().length(64),
    rows: z.number().int().min(1),
    perBreath: z.boolean(),
    /** Session time at the file's time 0, and how it was found. */
    offset: z.number().int(),
    aligned: z.enum(['event', 'typed']),
    /** The mapping that was confirmed, so that the import can be read again. */
    mapping: z.unknown(),
  }),
  /** A threshold that a person placed by eye; the automatic one is always worked out beside it. VO2 in L/min. */
  'threshold-placed': z.object({ threshold: z.enum(['vt1', 'vt2']), method: z.enum(['v-slope', 'equivalents']), vo2: z.number().min(0.1).max(8), note: freeText.optional() }),
  /** Closes the record. `early` names the criteria that were not met and who answers for it. */
  'session-closed': z.object({
    outcome: z.enum(['left', 'handed-over', 'abandoned']),
    to: z.string().max(200).optional(),
    early: z.object({ initials: typedText, reason: typedText }).optional(),
  }),
  /** The station came back, or the machine slept: how the session's clock was carried over the gap. */
  'clock-carried': z.object({ why: z.enum(['restart', 'reboot', 'sleep']), bridge: z.enum(['monotonic', 'wall']), gap: z.number() }),
} as const;

export type SessionKind = keyof typeof sessionKinds;
export type SessionData<Kind extends SessionKind> = z.infer<(typeof sessionKinds)[Kind]>;
export type SessionEvent = { [Kind in SessionKind]: RecordEvent<Kind, SessionData<Kind>> }[SessionKind];
export type SessionDraft = {
  [Kind in SessionKind]: { readonly kind: Kind; readonly data: SessionData<Kind>; readonly taken?: number };
}[SessionKind];

/** The version that this program writes of each kind. */
export const sessionVersions: Readonly<Record<SessionKind, number>> = Object.fromEntries(
  Object.keys(sessionKinds).map((kind) => [kind, 1]),
) as Record<SessionKind, number>;

/** Whether this program knows this kind of event; a record with another opens read-only. */
export function isSessionKind(kind: string): kind is SessionKind {
  return Object.hasOwn(sessionKinds, kind);
}
