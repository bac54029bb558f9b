/** What a page is made from: the two records, folded, and their results. */
import { checkChain } from '../../core/record/chain.ts';
import type { RecordEvent, StoredEvent } from '../../core/record/event.ts';
import type { SeriesText } from '../../core/results/gas.ts';
import { resultsOf, type Results } from '../../core/results/results.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { foldWorksheet, type WorksheetState } from '../../core/worksheet/fold.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import type { Ink } from './ink.ts';

export interface Source {
  readonly session: SessionState;
  readonly sessionEvents: readonly RecordEvent[];
  readonly results: Results;
  readonly worksheet: WorksheetState;
  readonly marking?: Marking;
  readonly version: string;
  /** Wall clock of the writing, ISO 8601. */
  readonly wall: string;
  /** Short names of the two closing hashes, as printed. */
  readonly seals: { readonly session: string; readonly worksheet: string };
  readonly signed: boolean;
}

/** What a part of the page is drawn with. */
export interface Page {
  readonly source: Source;
  readonly ink: Ink;
  /** Points between the margins. */
  readonly width: number;
}

/** @throws {Error} when a chain is broken: a damaged record is never printed as if it were sound. */
export function eventsOf(stored: readonly StoredEvent[], name: string): { readonly events: readonly RecordEvent[]; readonly head: string } {
  const check = checkChain(stored);
  if (!check.ok) throw new Error(`the ${name} cannot be printed: ${check.message}`);
  return check;
}

export function sourceOf(input: {
  readonly session: readonly StoredEvent[];
  readonly worksheet: readonly StoredEvent[];
  /** The rows of the gas exchange file that the session names. */
  readonly text?: SeriesText;
  readonly marking?: Marking | undefined;
  readonly version: string;
  readonly wall: string;
  readonly signed: boolean;
}): Source {
  const session = eventsOf(input.session, 'session');
  const worksheet = eventsOf(input.worksheet, 'worksheet');
  const state = foldSession(session.events);
  return {
    session: state,
    sessionEvents: session.events,
    results: resultsOf(state, input.text),
    worksheet: foldWorksheet(worksheet.events),
    ...(input.marking === undefined ? {} : { marking: input.marking }),
    version: input.version,
    wall: input.wall,
    seals: { session: session.head.slice(0, 12), worksheet: worksheet.head.slice(0, 12) },
    signed: input.signed,
  };
}

/** "2 March 2026, 09:00", in the offset that the text itself gives. */
export function dayAndTime(wall: string): string {
  const match = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}:\d{2})/.exec(wall);
  if (!match) return wall.slice(0, 40);
  const months = ['January', 'February', 'March', 'April', 'May', 'June', 'July', 'August', 'September', 'October', 'November', 'December'];
  return `${Number(match[3])} ${months[Number(match[2]) - 1] ?? match[2]} ${match[1]}, ${match[4]}`;
}
