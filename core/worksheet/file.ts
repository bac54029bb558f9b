/**
 * The handed-in file: one session and one student's worksheet, as data (`stagecall-worksheet/1`).
 * It is attached inside the PDF as `stagecall-worksheet.json`, and can be handed in alone.
 * The published JSON Schema, `lab-sheets/worksheet-file.schema.json`, is made from this file.
 */
import { z } from 'zod';
import { LARGEST_SERIES } from '../gas/series-limits.ts';
import { checkChain, sha256Hex } from '../record/chain.ts';
import type { RecordEvent, StoredEvent } from '../record/event.ts';

export const WORKSHEET_FORM = 'stagecall-worksheet/1';
/** Name of the attachment inside the PDF. */
export const ATTACHMENT_NAME = 'stagecall-worksheet.json';

const hash = z.string().regex(/^[0-9a-f]{64}$/).describe('SHA-256, 64 small hexadecimal digits');
const recordId = z.string().min(1).max(100);

const storedEvent = z.object({
  body: z.string().min(2).max(2_000_000).describe('The exact stored text of the event: JSON, never re-written'),
  hash: hash.describe('SHA-256 of the previous hash (64 zeros before the first), a line feed and the body'),
});

export const signatureSchema = z.object({
  key: z.string().max(200).describe('Public key of the station that closed the session'),
  algorithm: z.literal('ed25519'),
  signature: z.string().max(200).describe('Signature over the closing hash of the session'),
});
export type SessionSignature = z.infer<typeof signatureSchema>;

const chain = {
  id: recordId,
  head: hash.describe('Hash of the last event'),
  events: z.array(storedEvent).min(1).max(100_000),
};

export const worksheetFileSchema = z.object({
  format: z.literal(WORKSHEET_FORM),
  program: z.object({ name: z.string().max(60), version: z.string().max(60) }).describe('The program that wrote the file'),
  way: z.enum(['live', 'paper', 'rehearsal']).describe('How the session was filled; the session’s own first event decides'),
  session: z.object({ ...chain, signature: signatureSchema.optional() }),
  worksheet: z.object(chain),
  series: z
    .array(z.object({ hash: hash.describe('SHA-256 of the text, as the session names it'), text: z.string().max(LARGEST_SERIES).describe('The gas exchange file as it was mapped: a first line of JSON (stagecall-series/1), then one row a line, cells parted by tabs, the line of the file first') }))
    .max(4)
    .optional()
    .describe('Rows of the gas exchange file that the session names; absent where it names none'),
});
export type WorksheetFile = z.infer<typeof worksheetFileSchema>;

export interface WorksheetFileInput {
  readonly session: { readonly events: readonly StoredEvent[]; readonly signature?: SessionSignature | undefined };
  readonly worksheet: { readonly events: readonly StoredEvent[] };
  /** The text of the gas exchange file that the session names. */
  readonly series?: { readonly hash: string; readonly text: string };
  readonly version: string;
}

/**
 * Builds the file from the two stored records. The same records always give the same text.
 * @throws {Error} when a chain is broken or the worksheet is not this session's: a station never exports such a thing.
 */
export function buildWorksheetFile(input: WorksheetFileInput): WorksheetFile {
  const session = soundChain(input.session.events, 'session');
  const worksheet = soundChain(input.worksheet.events, 'worksheet');
  const opened = session.events[0] as RecordEvent<string, { way: WorksheetFile['way'] }>;
  const named = worksheet.events[0] as RecordEvent<string, { session: string; sessionHead: string }>;
  if (named.data.session !== opened.record) throw new Error('the worksheet belongs to another session');
  return {
    format: WORKSHEET_FORM,
    program: { name: 'Stagecall', version: input.version },
    way: opened.data.way,
    session: {
      id: opened.record,
      head: session.head,
      events: input.session.events.map(({ body, hash: own }) => ({ body, hash: own })),
      ...(input.session.signature === undefined ? {} : { signature: input.session.signature }),
    },
    worksheet: { id: named.record, head: worksheet.head, events: input.worksheet.events.map(({ body, hash: own }) => ({ body, hash: own })) },
    ...(input.series === undefined ? {} : { series: [{ hash: input.series.hash, text: input.series.text }] }),
  };
}

function soundChain(events: readonly StoredEvent[], name: string): { readonly head: string; readonly events: readonly RecordEvent[] } {
  const check = checkChain(events);
  if (!check.ok) throw new Error(`the ${name}'s record is damaged: ${check.message}`);
  if (check.events.length === 0) throw new Error(`the ${name}'s record is empty`);
  return check;
}

/** The series that a file carries, by hash; one whose text is not what its hash says is left out. */
export function seriesTextOf(file: Pick<WorksheetFile, 'series'>): (hash: string) => string | undefined {
  const checked = new Map<string, string | undefined>();
  return (wanted) => {
    if (!checked.has(wanted)) {
      const text = file.series?.find((one) => one.hash === wanted)?.text;
      checked.set(wanted, text !== undefined && sha256Hex(text) === wanted ? text : undefined);
    }
    return checked.get(wanted);
  };
}

/** The file as text: indented, so that a person can look into it. */
export function worksheetFileText(file: WorksheetFile): string {
  return `${JSON.stringify(file, null, 1)}\n`;
}

/** The JSON Schema of the file (draft 2020-12), as published. */
export function worksheetFileJsonSchema(): unknown {
  return {
    ...z.toJSONSchema(worksheetFileSchema, { target: 'draft-2020-12', io: 'input' }),
    $id: WORKSHEET_FORM,
    title: 'Stagecall worksheet file',
    description: 'One graded exercise test and one student’s worksheet, each an append-only record of hash-chained events.',
  };
}
