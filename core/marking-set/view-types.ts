/** A marking set as the desk shows it: plain data, folded from the set's facts and the marked records. */
import type { Marking, QuestionMark, RowMark } from '../worksheet/marking-types.ts';
import type { Ground, LateRule, SeveralRule } from './events.ts';

/** One version of the answer key: the lab sheet and, where there is one, the key that changes it. */
export interface KeyVersion {
  /** The fact that adopted it. */
  readonly id: string;
  readonly version: number;
  /** As marks name it: "v2 (3f9a)". */
  readonly name: string;
  /** SHA-256 of sheet and key. */
  readonly hash: string;
  readonly by: string;
  readonly wall: string;
  readonly reason?: string;
  /** A key of its own was given beside the lab sheet. */
  readonly split: boolean;
}

/** Something that was found about a file, in words. */
export interface SetFinding {
  readonly code: SetFindingCode;
  /** `refusal`: no marks; `held`: marked, and counts only when somebody accepts it; `warning`: look at it; `fact`: good to know. */
  readonly level: 'fact' | 'warning' | 'held' | 'refusal';
  readonly text: string;
}
/** Those that marking a set adds; what was found on opening a file keeps its own code (`altered`, `stripped`, `damaged`, …). */
export type SetFindingCode =
  | 'duplicate-file'
  | 'duplicate-worksheet'
  | 'several-hand-ins'
  | 'wrong-sheet'
  | 'rehearsal'
  | 'rehearsal-accepted'
  | 'issued-record'
  | 'issued-accepted'
  | 'unknown-student'
  | 'student-corrected'
  | 'late'
  | 'extension'
  | 'hand-in-time-unknown'
  | 'symptom-stop'
  | 'void-questions'
  | 'set-aside'
  | 'not-marked-yet'
  | (string & {});

/** How a question stands for one hand-in. */
export interface SetQuestionCell {
  readonly id: string;
  readonly marks: number;
  readonly outOf: number;
  readonly pending: number;
  readonly verdict: QuestionMark['verdict'];
  /** Initials of whoever gave the mark; `program` for an automatic one. */
  readonly marker: string;
  /** Name of the key version that it was given by. */
  readonly key: string;
  /** Changed or given by hand. */
  readonly byHand: boolean;
  /** Two markers gave different marks and neither saw the other's. */
  readonly conflict: boolean;
  /** Given by hand, and what it stood on has changed since. */
  readonly groundMoved: boolean;
}

export type SetFileStatus =
  /** Marked, and its marks count for the student. */
  | 'counts'
  /** Marked, another hand-in of this student counts. */
  | 'other-counts'
  /** Marked, waits until somebody accepts it. */
  | 'held'
  /** The same worksheet came in another file. */
  | 'duplicate'
  | 'refused'
  | 'set-aside'
  | 'not-marked-yet';

/** One handed-in file: a row of the desk's table. */
export interface SetFileRow {
  /** Id within the set: `f-…`. */
  readonly file: string;
  /** As they came, for feedback under the same names. */
  readonly name: string;
  readonly folder: string;
  readonly addedWall: string;
  readonly addedBy: string;
  readonly status: SetFileStatus;
  readonly findings: readonly SetFinding[];
  /** As corrected; undefined where the file does not tell. */
  readonly student?: string;
  readonly group?: string;
  readonly participant?: string;
  readonly session?: string;
  readonly worksheet?: string;
  readonly handedInWall?: string;
  /** Marks with moderation, before any rule for late work. */
  readonly earned?: number;
  /** After the rule for late work: what is written out. */
  readonly total?: number;
  readonly outOf?: number;
  /** Marks that wait for a marker. */
  readonly pending?: number;
  readonly lateDays?: number;
  readonly cells?: readonly SetQuestionCell[];
}

export interface SetStudentRow {
  readonly student: string;
  readonly group?: string;
  readonly extension?: { readonly until: string; readonly reason?: string };
  /** The file whose marks count. */
  readonly file?: string;
  readonly files: readonly string[];
  readonly state: 'marked' | 'waiting' | 'held' | 'refused' | 'not-handed-in';
  readonly onRoster: boolean;
}

/** Two or more markers wrote different things in the same place, and none of them had seen the other. All are kept. */
export interface SetConflict {
  /** Where: `mark/WORKSHEET/QUESTION`, `due`, `late-rule`, `key`, `student/FILE`… */
  readonly slot: string;
  /** In words: "Question 3 of S-12". */
  readonly about: string;
  readonly file?: string;
  readonly question?: string;
  /** What stands until somebody settles it comes first. */
  readonly values: readonly { readonly id: string; readonly by: string; readonly wall: string; readonly says: string }[];
}

/** What a changed key did to a mark. */
export interface MovedMark {
  readonly student: string;
  readonly file: string;
  readonly question: string;
  readonly before: number;
  readonly after: number;
  readonly beforeOutOf: number;
  readonly afterOutOf: number;
  readonly beforeReason: string;
  readonly afterReason: string;
}

/** A mark given by hand whose ground has changed. The mark stays. */
export interface GroundMoved {
  readonly student: string;
  readonly file: string;
  readonly question: string;
  readonly row?: string;
  readonly marks: number;
  readonly by: string;
  readonly before: Ground;
  readonly after: Ground;
  /** In words: "the key changed from v1 to v2; the automatic mark went from 3 to 2". */
  readonly says: string;
}

export interface SetQuestionHead {
  readonly id: string;
  readonly number: number;
  readonly title: string;
  readonly kind: QuestionMark['kind'];
  readonly outOf: number;
  readonly rubric?: readonly { readonly marks: number; readonly says: string }[];
}

export interface SetView {
  readonly id: string;
  readonly title: string;
  readonly term: string;
  readonly sheet: { readonly id: string; readonly title: string; readonly version: number };
  readonly openedWall: string;
  readonly openedBy: string;
  /** Set when the records were erased; the set then only shows its marks. */
  readonly archived?: { readonly wall: string; readonly by: string; readonly reason: string };
  readonly key?: KeyVersion;
  readonly keys: readonly KeyVersion[];
  readonly due?: string;
  readonly lateRule: LateRule;
  readonly severalRule: SeveralRule;
  readonly hasRoster: boolean;
  readonly markers: readonly { readonly initials: string; readonly name: string }[];
  readonly questions: readonly SetQuestionHead[];
  readonly files: readonly SetFileRow[];
  readonly students: readonly SetStudentRow[];
  readonly conflicts: readonly SetConflict[];
  /** What the change to the present key did, student by student and question by question. */
  readonly moved: readonly MovedMark[];
  readonly groundMoved: readonly GroundMoved[];
  /** How much there is: each test once, however many worksheets carry it. Of what counts. */
  readonly counts: { readonly files: number; readonly worksheets: number; readonly tests: number; readonly people: number; readonly students: number; readonly pending: number };
  /** Marking that still runs; ask `set.progress`. */
  readonly job?: string;
  readonly length: number;
}

/** A row's or question's mark with where it came from. */
export interface SetAward {
  readonly automatic: { readonly marks: number; readonly outOf: number; readonly pending: number; readonly reason: string };
  readonly marker: string;
  readonly key: string;
  /** Marks given by hand that stand; more than one only where they conflict, and then the first is in force. */
  readonly byHand: readonly { readonly id: string; readonly by: string; readonly wall: string; readonly marks: number; readonly comment?: string; readonly level?: number; readonly ground?: Ground }[];
  readonly groundMoved: boolean;
  /** What a moderation written now stands on. The desk writes it down with the moderation. */
  readonly ground: Ground;
}
export interface SetQuestionMark extends QuestionMark {
  readonly award: SetAward;
  readonly rows: readonly (RowMark & { readonly award?: SetAward })[];
}

/** One file opened: its record, its answers, and its marks with their reasons. */
export interface SetFileDetail {
  readonly row: SetFileRow;
  /** The `stagecall-worksheet/1` record, from which the window folds session and worksheet. Gone after archiving. */
  readonly attachment?: unknown;
  /** Marks with moderation, before any rule for late work. */
  readonly marking?: Omit<Marking, 'questions'> & { readonly questions: readonly SetQuestionMark[] };
  /** Everything that was stated about this file, oldest first. */
  readonly history: readonly SetHistoryLine[];
}

export interface SetHistoryLine {
  /** The fact's hash: what `withdrawn` names. */
  readonly id: string;
  readonly kind: string;
  readonly by: string;
  readonly wall: string;
  readonly says: string;
  readonly reason?: string;
  readonly withdrawn: boolean;
  /** Replaced by a later fact for the same place. */
  readonly replaced: boolean;
  readonly file?: string;
}
