/** What marking gives: plain data, so that it crosses to a window, a page and a table as it is. */

export type Verdict =
  | 'right'
  | 'near'
  | 'carried-forward'
  | 'method-only'
  | 'arithmetic-slip'
  | 'slip'
  | 'wrong'
  | 'not-answered'
  | 'void'
  | 'waiting';

export interface GivenAnswer {
  readonly typed: string;
  readonly unit?: string;
  readonly working?: string;
  /** How many times the student answered. Which of them this is says the sheet: the last, unless it says otherwise. */
  readonly attempts: number;
}

/** The marks of one answer: a question without rows has one, a table or a judgement one a row. */
export interface RowMark {
  readonly row?: string;
  readonly label?: string;
  readonly verdict: Verdict;
  /** Before the unit mark is taken off the question. */
  readonly marks: number;
  readonly outOf: number;
  /** Explains the award in one line. */
  readonly reason: string;
  readonly answer?: GivenAnswer;
  /** The right answer in words: "35.6 mL/kg/min". Absent where void. */
  readonly right?: string;
  readonly unitFault?: 'missing' | 'wrong';
  /** The named slip that the answer equals. */
  readonly slip?: { readonly id: string; readonly says: string };
}

export interface QuestionMark {
  readonly id: string;
  /** Its place on the sheet, from 1. */
  readonly number: number;
  readonly title: string;
  /** `record`: marks for the shared record, which the marker gives once for everyone who hands it in. */
  readonly kind: 'number' | 'table' | 'judgement' | 'choice' | 'written' | 'record';
  readonly verdict: Verdict;
  readonly marks: number;
  /** 0 where the question is void; less than the sheet says where some rows are. */
  readonly outOf: number;
  /** Marks that wait for the marker. */
  readonly pending: number;
  /** Explains the award in one line. */
  readonly reason: string;
  readonly unitMarkLost: number;
  readonly rows: readonly RowMark[];
  /** Written answers: what each level says. */
  readonly rubric?: readonly { readonly marks: number; readonly says: string }[];
}

export interface Marking {
  readonly sheet: { readonly id: string; readonly version: number; readonly title: string };
  readonly student: string;
  readonly session: string;
  readonly worksheet: string;
  readonly participant?: string;
  readonly total: number;
  readonly outOf: number;
  readonly pending: number;
  readonly questions: readonly QuestionMark[];
}
