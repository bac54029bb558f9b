/** Marks as they stand: the automatic ones, with those that markers gave by hand put over them. */
import { sha256Hex } from '../record/chain.ts';
import type { Marking, QuestionMark, RowMark } from '../worksheet/marking-types.ts';
import type { Ground } from './events.ts';
import { wallOf, type AdoptedKey, type SetState } from './fold.ts';
import { markSlot, partOf, recordSlot } from './registers.ts';
import type { Fact } from './set-chain.ts';
import type { SetAward, SetQuestionMark } from './view-types.ts';

/** Who gave a mark that no person gave. */
export const PROGRAM = 'program';

export type ModeratedMarking = Omit<Marking, 'questions'> & { readonly questions: readonly SetQuestionMark[] };

/**
 * The marking of one worksheet with everything that markers stated about it.
 * A mark of a whole question stands before marks of its rows; the unit mark that the automatic marking took off stays off where
 * only rows were changed.
 */
export function moderated(marking: Marking, state: SetState, key: AdoptedKey | undefined): ModeratedMarking {
  const questions = marking.questions.map((question) => moderatedQuestion(question, marking, state, key));
  const sum = (of: (mark: QuestionMark) => number): number => Math.round(questions.reduce((total, mark) => total + of(mark), 0) * 100) / 100;
  return { ...marking, questions, total: sum((mark) => mark.marks), outOf: sum((mark) => mark.outOf), pending: sum((mark) => mark.pending) };
}

function moderatedQuestion(question: QuestionMark, marking: Marking, state: SetState, key: AdoptedKey | undefined): SetQuestionMark {
  const slot = question.kind === 'record' ? recordSlot(marking.session, question.id) : markSlot(marking.worksheet, question.id);
  const standing = state.registers.standing(slot);
  const keyName = key?.name ?? 'no key';
  const whole = standing.filter((fact) => partOf(fact) === '');
  const own = awardOf(question, question, undefined, whole, keyName);
  const rows = question.rows.map((row): SetQuestionMark['rows'][number] => {
    const given = row.row === undefined ? [] : standing.filter((fact) => partOf(fact) === row.row);
    const award = given.length === 0 && row.row === undefined ? undefined : awardOf(question, row, row, given, keyName);
    const [first] = given;
    if (award === undefined) return row;
    return first === undefined ? { ...row, award } : { ...row, marks: marksOf(first), award };
  });
  const [first] = whole;
  if (first !== undefined) return { ...question, marks: marksOf(first), pending: 0, reason: byHandReason(first, question), rows, award: own };
  const changed = rows.filter((row) => (row.award?.byHand.length ?? 0) > 0);
  if (changed.length === 0) return { ...question, rows, award: own };
  const earned = Math.max(0, rows.reduce((total, row) => total + row.marks, 0) - question.unitMarkLost);
  const marks = Math.round(Math.min(question.outOf, earned) * 100) / 100;
  const markers = [...new Set(changed.map((row) => row.award?.marker ?? PROGRAM))].join(', ');
  return { ...question, marks, reason: `${changed.length === 1 ? 'One row' : `${changed.length} rows`} changed by ${markers}. ${question.reason}`, rows, award: { ...own, marker: markers, groundMoved: changed.some((row) => row.award?.groundMoved === true) } };
}

function awardOf(question: QuestionMark, mark: { readonly marks: number; readonly outOf: number; readonly reason: string; readonly pending?: number }, row: RowMark | undefined, given: readonly Fact[], keyName: string): SetAward {
  const ground = groundOf(question, mark, row, keyName);
  const byHand = given.map((fact) => {
    const { event } = fact;
    const data = event.data as { comment?: string; level?: number; ground?: Ground };
    return {
      id: fact.id,
      by: event.author,
      wall: wallOf(event.entered),
      marks: marksOf(fact),
      ...(data.comment === undefined ? {} : { comment: data.comment }),
      ...(data.level === undefined ? {} : { level: data.level }),
      ...(data.ground === undefined ? {} : { ground: data.ground }),
    };
  });
  const [first] = byHand;
  return {
    automatic: { marks: mark.marks, outOf: mark.outOf, pending: mark.pending ?? 0, reason: mark.reason },
    marker: first?.by ?? PROGRAM,
    // A mark given by hand was given under the key of its day.
    key: first?.ground?.key ?? keyName,
    byHand,
    groundMoved: first?.ground !== undefined && hasMoved(first.ground, ground),
    ground,
  };
}

/** The key's name may change without the ground moving: only what the mark stood on counts. */
export function hasMoved(then: Ground, now: Ground): boolean {
  return then.marks !== now.marks || then.outOf !== now.outOf || then.pending !== now.pending || then.answer !== now.answer || then.reason !== now.reason;
}

/** What a mark stands on: the automatic award, the answer (and the rubric) that it was given for, and the key. */
function groundOf(question: QuestionMark, mark: { readonly marks: number; readonly outOf: number; readonly reason: string; readonly pending?: number }, row: RowMark | undefined, keyName: string): Ground {
  const answers = (row === undefined ? question.rows : [row]).map(({ row: name, answer }) => [name ?? '', answer?.typed ?? '', answer?.unit ?? '', answer?.working ?? '']);
  const answer = sha256Hex(JSON.stringify([answers, question.rubric ?? []])).slice(0, 16);
  return { marks: mark.marks, outOf: mark.outOf, pending: mark.pending ?? 0, reason: mark.reason.slice(0, 4000), answer, key: keyName };
}

const marksOf = (fact: Fact): number => (fact.event.data as { marks: number }).marks;

function byHandReason(fact: Fact, question: QuestionMark): string {
  const data = fact.event.data as { comment?: string; level?: number };
  const level = data.level === undefined ? undefined : question.rubric?.[data.level];
  const says = [level === undefined ? undefined : level.says, data.comment].filter((text) => text !== undefined).join(' ');
  return `By ${fact.event.author}: ${says === '' ? 'marked by hand' : says}`;
}

/** In words, why a mark given by hand should be looked at again. */
export function groundInWords(then: Ground, now: Ground): string {
  const parts = [
    ...(then.key === now.key ? [] : [`the key changed from ${then.key} to ${now.key}`]),
    ...(then.answer === now.answer ? [] : ['the answer or its rubric is another']),
    ...(then.marks === now.marks && then.outOf === now.outOf ? [] : [`the automatic mark went from ${then.marks} of ${then.outOf} to ${now.marks} of ${now.outOf}`]),
    ...(then.marks === now.marks && then.answer === now.answer && then.reason !== now.reason ? ['its reason is another'] : []),
  ];
  const text = parts.join('; ');
  return `${text.charAt(0).toUpperCase()}${text.slice(1)}. The mark given by hand stays.`;
}
