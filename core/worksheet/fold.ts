/** A worksheet as it stands: what its events make of it. Plain data; nothing here is stored. */
import type { RecordEvent } from '../record/event.ts';
import { isWorksheetKind, worksheetKinds, type WorksheetEvent } from './events.ts';

/** One answer as it was given. Later attempts stand; the earlier ones stay visible. */
export interface Attempt {
  readonly typed: string;
  readonly unit?: string;
  readonly working?: string;
  readonly seq: number;
  /** Milliseconds of the worksheet's own time. */
  readonly entered: number;
  readonly author: string;
  /** Saved while it was still being typed. */
  readonly draft?: boolean;
}

export interface AnswerState {
  readonly question: string;
  readonly row?: string;
  readonly attempts: readonly Attempt[];
  /** The attempt that stands: the last one. */
  readonly current: Attempt;
}

export interface WorksheetState {
  readonly id: string;
  readonly session: string;
  readonly sessionHead: string;
  readonly student: string;
  readonly openedWall: string;
  /** Opened on a record that was issued to this student. */
  readonly issued?: boolean;
  readonly length: number;
  /** By `answerKey(question, row)`. */
  readonly answers: ReadonlyMap<string, AnswerState>;
  /** The last time it was handed in; `changedSince` where an answer was given afterwards. */
  readonly handedIn?: { readonly wall: string; readonly seq: number; readonly changedSince: boolean };
  /** Why nothing more may be written, in words: a kind or version that this program does not know. */
  readonly readOnly?: string;
}

/**
 * A row's name in one form. Stage rows are `stage-1`, however they were written (`1`, `s1`, `Stage 1`); others are small
 * letters with hyphens.
 */
export function rowName(row: string): string {
  const flat = row.trim().toLowerCase().replace(/[\s_]+/g, '-');
  const stage = /^(?:stage-?|s-?)?(\d{1,2})$/.exec(flat);
  return stage ? `stage-${Number(stage[1])}` : flat;
}

/** The key of an answer in `WorksheetState.answers`: the question's id, and the row's name where it has rows. */
export function answerKey(question: string, row?: string): string {
  return row === undefined || row === '' ? question : `${question}/${rowName(row)}`;
}

/**
 * Folds a worksheet's events, in their order.
 * @throws {Error} when the first event is not `worksheet-opened` or a known event has another shape: the store and the file
 *   reader check both before, so here it can only be a bug.
 */
export function foldWorksheet(events: readonly RecordEvent[]): WorksheetState {
  const [first, ...rest] = events;
  if (first?.kind !== 'worksheet-opened') throw new Error('a worksheet begins with the event worksheet-opened');
  const opened = worksheetKinds['worksheet-opened'].parse(first.data);
  const answers = new Map<string, AnswerState>();
  let handedIn: WorksheetState['handedIn'];
  let readOnly: string | undefined;
  for (const event of rest) {
    if (!isWorksheetKind(event.kind) || event.version !== 1) {
      readOnly ??= `This worksheet holds "${event.kind}" (version ${event.version}), which this program does not know. It can be read here, not continued.`;
      continue;
    }
    const known = event as WorksheetEvent;
    if (known.kind === 'answer-given') {
      addAnswer(answers, known);
      if (handedIn !== undefined) handedIn = { ...handedIn, changedSince: true };
    } else if (known.kind === 'worksheet-handed-in') handedIn = { wall: known.data.wall, seq: known.seq, changedSince: false };
  }
  return {
    id: first.record,
    session: opened.session,
    sessionHead: opened.sessionHead,
    student: opened.student,
    openedWall: opened.wall,
    ...(opened.issued === true ? { issued: true } : {}),
    length: events.length,
    answers,
    ...(handedIn === undefined ? {} : { handedIn }),
    ...(readOnly === undefined ? {} : { readOnly }),
  };
}

function addAnswer(answers: Map<string, AnswerState>, event: Extract<WorksheetEvent, { kind: 'answer-given' }>): void {
  const { question, row, typed, unit, working, draft } = event.data;
  const key = answerKey(question, row);
  const attempt: Attempt = {
    typed,
    ...(unit === undefined || unit === '' ? {} : { unit }),
    ...(working === undefined || working === '' ? {} : { working }),
    seq: event.seq,
    entered: event.entered,
    author: event.author,
    ...(draft === true ? { draft } : {}),
  };
  answers.set(key, {
    question,
    ...(row === undefined || row === '' ? {} : { row: rowName(row) }),
    attempts: [...(answers.get(key)?.attempts ?? []), attempt],
    current: attempt,
  });
}

/** The attempt that stands for a question (and row); undefined where nothing, or only blanks, was given. */
export function standingAnswer(worksheet: WorksheetState, question: string, row?: string): Attempt | undefined {
  const current = worksheet.answers.get(answerKey(question, row))?.current;
  if (current === undefined) return undefined;
  return current.typed.trim() === '' && (current.working ?? '').trim() === '' ? undefined : current;
}
