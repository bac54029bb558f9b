/**
 * The contract between a window and the station: command → input → result, in one table.
 * Preload, loopback client, command line and test double are all built from it; the boundary checks inputs against it.
 */
import { z } from 'zod';
import type { StoredEvent } from '../record/event.ts';
import type { Result } from '../result.ts';
import { backupContract } from './backups.ts';
import { eraseContract } from './erase.ts';
import { paperContract } from './paper.ts';
import { markingSetContract } from './marking-sets.ts';
import { passphraseContract, unlockSchema } from './passphrase.ts';
import { setClassContract } from './set-class.ts';
import { profileContract } from './profile.ts';
import { seriesContract } from './series.ts';
import { takenSessionContract } from './taken-session.ts';
import { windowContract } from './window.ts';

/** A record's events as stored, and the station's clock for that record. */
export interface RecordSlice {
  readonly record: string;
  /** The record's events from the asked place on. */
  readonly events: readonly StoredEvent[];
  /** Number of events in the record. */
  readonly length: number;
  readonly clock: ClockReading;
}

/** Where the record's own time stands. Windows draw it forward from the moment the answer came; they never stamp. */
export interface ClockReading {
  /** The record's time now, in milliseconds. */
  readonly now: number;
  /** Record milliseconds per real millisecond: 1, or a rehearsal's speed, or 0 for a record that has no running clock. */
  readonly rate: number;
}

export interface SessionSummary {
  readonly id: string;
  readonly sheetId: string;
  readonly sheetTitle: string;
  readonly way: 'live' | 'paper' | 'rehearsal';
  readonly phase: 'prepare' | 'rest' | 'exercise' | 'recovery' | 'worksheet';
  readonly participant?: string;
  readonly openedWall: string;
  readonly events: number;
  readonly worksheets: readonly { readonly id: string; readonly student: string; readonly handedIn: boolean }[];
  /** Why the record cannot be continued here, in words, where that is so. */
  readonly readOnly?: string;
}

export interface StationAbout {
  readonly version: string;
  readonly shell: 'electron' | 'loopback' | 'command-line' | 'test';
  /** Why this shell and not another, in one line, where there is something to say. */
  readonly why?: string;
  readonly capabilities: Capabilities;
  /** Things the person should know at once: a record carried over a restart, a damaged file, a disk that is nearly full. */
  readonly notices: readonly { readonly level: 'info' | 'warning'; readonly text: string }[];
  /** The station's public key's short name, printed on exports. */
  readonly stationKey: string;
  /** When a copy last took the place of the record, ISO 8601: a window that was loaded before that loads anew. */
  readonly restored?: string;
}

/** What a shell can do. A window shows only what is there. */
export interface Capabilities {
  /** How a file reaches the person's disk. */
  readonly save: 'dialog' | 'download';
  readonly strap: boolean;
  readonly secondWindow: boolean;
}

export interface SheetListing {
  readonly id: string;
  readonly title: string;
  readonly version: number;
  readonly mode: string;
  readonly text: string;
  /** Set where the file is refused: file, line, what is wrong and what would be right. */
  readonly problems: readonly string[];
}

export interface ExportedFile {
  readonly name: string;
  readonly mime: string;
  readonly base64: string;
}

/** One handed-in file as the desk sees it. The shapes of record and marks are core's own, as plain data. */
export interface DeskFile {
  readonly file: string;
  readonly status: 'marked' | 'refused';
  /** Said in words: what was found about the file and its record. */
  readonly findings: readonly { readonly code: string; readonly level: 'fact' | 'warning' | 'refusal'; readonly text: string }[];
  /** The parsed `stagecall-worksheet/1` attachment, from which the window folds the record itself. */
  readonly attachment?: unknown;
  /** The marking (core/worksheet/marking.ts), as plain data. */
  readonly marking?: unknown;
}

const recordId = z.string().regex(/^[a-z0-9-]{6,60}$/);
const command = z.string().min(8).max(60);
const author = z.string().min(1).max(40);
const draft = z.object({ kind: z.string().max(40), data: z.unknown(), taken: z.number().int().optional() });

/** Marks the type of a command's result without giving it a value. */
function result<Value>(): { readonly type?: Value } {
  return {};
}

export const contract = {
  'station.about': { input: z.object({}), result: result<StationAbout>() },
  'sheets.list': { input: z.object({}), result: result<readonly SheetListing[]>() },
  'sessions.list': { input: z.object({}), result: result<readonly SessionSummary[]>() },
  'session.open': {
    input: z.object({
      command,
      author,
      sheet: z.string().max(80),
      way: z.enum(['live', 'paper', 'rehearsal']),
      rehearsal: z
        .object({ participant: z.string().max(40), seed: z.number().int(), rate: z.number().min(1).max(120), records: z.boolean() })
        .optional(),
    }),
    result: result<{ readonly session: string }>(),
  },
  /** Reads a record (session or worksheet) from a place on. */
  'record.read': { input: z.object({ record: recordId, from: z.number().int().min(0).default(0) }), result: result<RecordSlice>() },
  /** Appends facts. All of them are on disk when this is answered, or none is. A repeated command id is answered again and not recorded twice. */
  'record.append': {
    input: z.object({ record: recordId, command, author, drafts: z.array(draft).min(1).max(200), unlock: unlockSchema }),
    result: result<RecordSlice & { readonly repeated: boolean }>(),
  },
  /** Rehearsal only: how fast the simulated session runs from now on. */
  'rehearsal.rate': { input: z.object({ session: recordId, rate: z.number().min(1).max(120) }), result: result<ClockReading>() },
  /** `issued`: this student took no part in the test; the record was handed out. */
  'worksheet.open': { input: z.object({ command, session: recordId, student: z.string().min(1).max(60), issued: z.boolean().optional() }), result: result<{ readonly worksheet: string }>() },
  'worksheet.export': {
    input: z.object({ worksheet: recordId, as: z.enum(['pdf', 'json']), paper: z.enum(['A4', 'Letter']).default('A4') }),
    result: result<ExportedFile>(),
  },
  /** Opens handed-in files: checks, recomputes and marks each. One file's failure never stops the rest. */
  'desk.mark': {
    input: z.object({ files: z.array(z.object({ name: z.string().max(300), base64: z.string() })).min(1).max(1000), sheet: z.string().max(200_000).optional() }),
    result: result<readonly DeskFile[]>(),
  },
  /** Electron only (`capabilities.save === 'dialog'`): asks where to save and writes the file. */
  'file.save': { input: z.object({ name: z.string().max(200), base64: z.string() }), result: result<{ readonly saved: boolean; readonly where?: string }>() },
  ...passphraseContract,
  ...profileContract,
  ...windowContract,
  ...eraseContract,
  ...backupContract,
  ...seriesContract,
  ...takenSessionContract,
  ...paperContract,
  ...markingSetContract,
  ...setClassContract,
} as const;

export type Contract = typeof contract;
export type CommandName = keyof Contract;
/** What the caller gives (defaults may be left out). */
export type InputOf<Name extends CommandName> = z.input<Contract[Name]['input']>;
/** What the handler receives. */
export type CheckedInputOf<Name extends CommandName> = z.output<Contract[Name]['input']>;
export type OutputOf<Name extends CommandName> = NonNullable<Contract[Name]['result']['type']>;

/** Pushed by the station whenever a record has grown or its clock changed, so that every window can read on. */
export interface RecordChange {
  readonly record: string;
  readonly length: number;
  readonly clock: ClockReading;
}

/** The station's side. */
export type Handlers = { readonly [Name in CommandName]: (input: CheckedInputOf<Name>) => Promise<Result<OutputOf<Name>>> };

/** The window's side; every shell's client satisfies this. */
export interface StationApi {
  call<Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<Result<OutputOf<Name>>>;
  /** Calls back on every change of any record; and with `connected` when the station was lost or found again. */
  subscribe(listener: { changed(change: RecordChange): void; connected(state: boolean): void }): () => void;
}

export const commandNames = Object.keys(contract) as readonly CommandName[];

/** Whether the contract has a command of this name; what comes from outside is asked first. */
export function isCommandName(name: string): name is CommandName {
  return Object.hasOwn(contract, name);
}
