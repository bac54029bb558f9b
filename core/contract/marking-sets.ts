/**
 * Commands of the marking desk's sets. A set lives for a term: files are added at any time, marks are moderated, and everything
 * that was stated is kept. Marking runs outside the process that serves a live session; long work is a job that reports and stops.
 *
 * In every command `author` is the marker's initials, and `command` the window's own id, so that a repeated send is answered once.
 */
import { z } from 'zod';
import type { SetFileDetail, SetHistoryLine, SetView } from '../marking-set/view-types.ts';
import type { ExportedFile } from './contract.ts';

export type { SetDraft } from '../marking-set/events.ts';
export type * from '../marking-set/view-types.ts';

/** A line of the list of sets. */
export interface SetSummary {
  readonly id: string;
  readonly title: string;
  readonly term: string;
  readonly sheet: string;
  readonly files: number;
  readonly openedWall: string;
  readonly archived: boolean;
  /** Why it cannot be opened, in words. */
  readonly trouble?: string;
}

/** Long work: files being opened and marked. */
export interface SetJob {
  readonly job: string;
  readonly set: string;
  readonly what: 'add-files' | 're-mark';
  readonly done: number;
  /** Grows when a packed folder is opened. */
  readonly of: number;
  readonly finished: boolean;
  readonly stopped: boolean;
  /** What was new: ids of files, in the order in which they came. */
  readonly added: readonly string[];
  /** Files that were in the set already, under the same name and folder. */
  readonly known: readonly string[];
  /** Why nothing (more) could be added, in words. */
  readonly trouble?: string;
}

/** What came of a merge. */
export interface SetMerged {
  readonly set: string;
  /** Facts that were not here before. */
  readonly facts: number;
  readonly records: number;
  /** Places where markers now differ; the view lists them. */
  readonly conflicts: number;
}

const setId = z.string().regex(/^[a-z0-9-]{6,60}$/);
const fileId = z.string().regex(/^f-[0-9a-f]{20}$/);
const author = z.string().trim().min(1).max(40);
const command = z.string().min(8).max(60);
const base64 = z.string().max(140_000_000);

function result<Value>(): { readonly type?: Value } {
  return {};
}

export const markingSetContract = {
  'set.list': { input: z.object({}), result: result<readonly SetSummary[]>() },
  /** Opens a new set on a lab sheet of this station, or on the text of one. The sheet is its first key; `key` is an answer key beside it. */
  'set.create': {
    input: z.object({ command, author, title: z.string().trim().min(1).max(200), term: z.string().max(60).default(''), sheet: z.string().max(80).optional(), sheetText: z.string().max(400_000).optional(), key: z.string().max(400_000).optional() }),
    result: result<{ readonly set: string }>(),
  },
  /** The whole set as it stands. Records that the present key has not marked yet are being marked: `view.job`. */
  'set.open': { input: z.object({ set: setId }), result: result<SetView>() },
  /** One file with its record, answers and marks. */
  'set.read': { input: z.object({ set: setId, file: fileId }), result: result<SetFileDetail>() },
  /** Everything that was ever stated in the set, oldest first. */
  'set.history': { input: z.object({ set: setId }), result: result<readonly SetHistoryLine[]>() },
  /** States facts (`SetDraft`: key adopted, roster loaded, mark moderated, withdrawn…). All are on disk when this is answered, or none is. */
  'set.append': {
    input: z.object({ set: setId, command, author, drafts: z.array(z.object({ kind: z.string().max(40), data: z.unknown() })).min(1).max(500) }),
    result: result<SetView>(),
  },
  /** Takes in PDFs, `.json` and packed folders. Answers at once with the job; ask `set.progress`. `folder` is where the file came from. */
  'set.add-files': {
    input: z.object({ set: setId, command, author, files: z.array(z.object({ name: z.string().min(1).max(300), folder: z.string().max(600).default(''), base64 })).min(1).max(1000) }),
    result: result<SetJob>(),
  },
  'set.progress': { input: z.object({ job: z.string().max(60) }), result: result<SetJob>() },
  /** Stops what has not begun; what is done is kept. */
  'set.stop': { input: z.object({ job: z.string().max(60) }), result: result<SetJob>() },
  /** Marks out: `long` one line a question, `wide` one line a student, `json`. With `changesOnly`, what differs from the last time. */
  'set.export-marks': {
    input: z.object({ set: setId, command, author, form: z.enum(['long', 'wide', 'json']), changesOnly: z.boolean().default(false) }),
    result: result<ExportedFile>(),
  },
  /** The whole set as one file for another marker (`stagecall-marking-set/1`, packed). It holds the class's records: keep it as you keep them. */
  'set.export': { input: z.object({ set: setId }), result: result<ExportedFile>() },
  /** Puts another marker's copy together with this set; without `set`, it goes to the set of the same id, or becomes a new one. */
  'set.merge': { input: z.object({ set: setId.optional(), command, author, base64 }), result: result<SetMerged>() },
  /** End of term: erases the records with their health data and keeps the marks. It cannot be undone. */
  'set.archive': { input: z.object({ set: setId, command, author, reason: z.string().trim().min(1).max(2000) }), result: result<SetView>() },
} as const;
