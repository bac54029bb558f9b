/**
 * One record marked by one key: everything that the set needs to know of it, as plain data that can be kept beside the record
 * and thrown away at any time. Pure; it is worked out in a process of its own.
 */
import { classTestOf, type ClassTest } from '../class/test.ts';
import { resultsOf, type Results } from '../results/results.ts';
import { foldSession } from '../session/fold.ts';
import type { SessionState } from '../session/state.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { seriesTextOf, type WorksheetFile } from '../worksheet/file.ts';
import { foldWorksheet, type WorksheetState } from '../worksheet/fold.ts';
import { markWorksheet, type Marking } from '../worksheet/marking.ts';
import { readWorksheetFile } from '../worksheet/read-file.ts';

export interface RecordAbout {
  readonly student: string;
  readonly session: string;
  readonly sessionHead: string;
  /** Its id with the beginning of its opening event's hash: nobody else's worksheet can take this name, and with it marks given by hand. */
  readonly worksheet: string;
  readonly worksheetHead: string;
  readonly sheet: { readonly id: string; readonly version: number };
  readonly way: 'live' | 'paper' | 'rehearsal';
  readonly participant?: string;
  /** Who recorded and who tested, as the session says. */
  readonly people: readonly string[];
  /** By the clock of the machine where it was answered: the hand-in, or a later answer. */
  readonly handedInWall?: string;
  /** No hand-in is in the record; the moment is that of the last answer. */
  readonly notHandedIn: boolean;
  /** Opened on a record that was issued to this student. */
  readonly issued: boolean;
  /** The test was stopped for a symptom. */
  readonly symptomStop: boolean;
}

export interface MarkedRecord {
  readonly about: RecordAbout;
  readonly findings: readonly { readonly code: string; readonly level: 'fact' | 'warning' | 'refusal'; readonly text: string }[];
  /** Absent where the record belongs to another lab sheet. */
  readonly marking?: Marking;
  /** What the class keeps of the test. */
  readonly test?: ClassTest;
}

/**
 * Marks a record's text by the key.
 * @returns undefined where the text is no sound record: it was one when it was added, so a kept copy was damaged.
 */
export function markRecordText(text: string, key: LabSheet): MarkedRecord | undefined {
  const read = readWorksheetFile(text);
  if (!read.ok || !read.value.sound) return undefined;
  return markRecord(read.value, key);
}

/** Marks a checked record by the key. */
export function markRecord(checked: { readonly file: WorksheetFile; readonly session: Parameters<typeof foldSession>[0]; readonly worksheet: Parameters<typeof foldWorksheet>[0] }, key: LabSheet): MarkedRecord {
  const { session, worked } = workedSession(checked, key);
  const worksheet = foldWorksheet(checked.worksheet);
  const about = aboutOf(checked.file, session, worksheet);
  if (session.sheet.id !== key.id) {
    return { about, findings: [{ code: 'wrong-sheet', level: 'refusal', text: `This worksheet belongs to the lab sheet "${session.sheet.id}", and this set is for "${key.id}". No marks were given; add it to a set of its own sheet.` }] };
  }
  const { results, test } = worked();
  const automatic = markWorksheet({ sheet: key, book: results.book, worksheet, ...(about.participant === undefined ? {} : { participant: about.participant }) });
  const findings = session.sheet.version === key.version ? [] : [{ code: 'sheet-version', level: 'fact' as const, text: `The test ran version ${session.sheet.version} of the lab sheet; it is marked by version ${key.version}.` }];
  return { about, findings, marking: { ...automatic, worksheet: about.worksheet }, test };
}

interface WorkedSession {
  readonly session: SessionState;
  readonly worked: () => { readonly results: Results; readonly test: ClassTest };
}

/** Both partners hand in the same test: the last few are remembered, by everything that the results hang on. */
const remembered = new Map<string, WorkedSession>();
const REMEMBERED = 8;
let rememberedFor: LabSheet | undefined;

function workedSession(checked: Parameters<typeof markRecord>[0], key: LabSheet): WorkedSession {
  if (rememberedFor !== key) {
    remembered.clear();
    rememberedFor = key;
  }
  const textOf = seriesTextOf(checked.file);
  const series = (checked.file.series ?? []).map(({ hash }) => (textOf(hash) === undefined ? '' : hash)).join(' ');
  // The chain was checked, so its head stands for every event in it.
  const name = `${checked.file.session.head} ${checked.session.length} ${series}`;
  const known = remembered.get(name);
  if (known !== undefined) return known;
  const session = foldSession(checked.session);
  let done: ReturnType<WorkedSession['worked']> | undefined;
  const worked = (): ReturnType<WorkedSession['worked']> => {
    if (done === undefined) {
      const results = resultsOf({ ...session, sheet: key }, textOf);
      done = { results, test: classTestOf({ ...session, sheet: key }, results) };
    }
    return done;
  };
  const made = { session, worked };
  remembered.set(name, made);
  for (const old of remembered.keys()) {
    if (remembered.size <= REMEMBERED) break;
    remembered.delete(old);
  }
  return made;
}

function aboutOf(file: WorksheetFile, session: SessionState, worksheet: WorksheetState): RecordAbout {
  const participant = session.details['participant-code']?.typed;
  const handedIn = handInOf(worksheet);
  return {
    student: worksheet.student,
    session: session.id,
    sessionHead: file.session.head,
    worksheet: `${worksheet.id.slice(0, 60)}.${file.worksheet.events[0]?.hash.slice(0, 12) ?? ''}`,
    worksheetHead: file.worksheet.head,
    sheet: { id: session.sheet.id, version: session.sheet.version },
    way: session.way,
    ...(participant === undefined ? {} : { participant }),
    people: [session.people.recorder, session.people.tester].filter((name) => name !== undefined),
    ...(handedIn === undefined ? {} : { handedInWall: handedIn }),
    notHandedIn: worksheet.handedIn === undefined,
    issued: worksheet.issued === true,
    symptomStop: session.stop?.symptom === true,
  };
}

/** Answers given after the hand-in are in the file too, so their moment is the one that counts. */
function handInOf(worksheet: WorksheetState): string | undefined {
  const handed = worksheet.handedIn;
  if (handed !== undefined && !handed.changedSince) return handed.wall;
  const last = Math.max(0, ...[...worksheet.answers.values()].map((answer) => answer.current.entered));
  const opened = Date.parse(worksheet.openedWall);
  const answered = Number.isFinite(opened) && worksheet.answers.size > 0 ? opened + last : undefined;
  const hand = handed === undefined ? undefined : Date.parse(handed.wall);
  const latest = Math.max(answered ?? -Infinity, hand !== undefined && Number.isFinite(hand) ? hand : -Infinity);
  return Number.isFinite(latest) ? new Date(latest).toISOString() : undefined;
}
