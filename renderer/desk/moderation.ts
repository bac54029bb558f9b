/** From what a marker typed to the fact that is stated. */
import type { SetDraft } from '../../core/marking-set/events.ts';
import type { SetQuestionMark } from '../../core/marking-set/view-types.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { number } from './desk-words.ts';

export interface Moderated {
  readonly question: SetQuestionMark;
  readonly worksheet: string;
  readonly session: string;
  /** A row's name; empty for the whole question. */
  readonly part: string;
  readonly marks: string;
  readonly outOf: number;
  readonly comment: string;
}

/** A comma is a decimal point; more than the question is worth, or no comment, is refused before anything is sent. */
export function moderation({ question, worksheet, session, part, marks, outOf, comment }: Moderated): Result<SetDraft> {
  const typed = marks.trim().replace(',', '.');
  const value = Number(typed);
  if (typed === '' || !Number.isFinite(value) || value < 0) return failure('marks', 'Marks are a number from 0 on.');
  if (value > outOf + 1e-9) return failure('marks', `It is worth ${number(outOf)} at most.`);
  const said = comment.trim();
  if (question.kind === 'record') return success({ kind: 'record-marked', data: { session, item: question.id, marks: value, ...(said === '' ? {} : { comment: said }) } });
  const level = question.kind === 'written' && part === '' ? levelOf(question, value) : undefined;
  if (level !== undefined) return success({ kind: 'written-marked', data: { worksheet, question: question.id, level, marks: value, ...(said === '' ? {} : { comment: said }), ground: question.award.ground } });
  if (said === '') return failure('comment', 'A changed mark has a comment: the student reads why.');
  const ground = question.rows.find((row) => row.row === part)?.award?.ground ?? question.award.ground;
  return success({ kind: 'mark-moderated', data: { worksheet, question: question.id, ...(part === '' ? {} : { row: part }), marks: value, comment: said, ground } });
}

/** The rubric's level with just these marks. */
function levelOf(question: SetQuestionMark, marks: number): number | undefined {
  const level = question.rubric?.findIndex((one) => one.marks === marks) ?? -1;
  return level < 0 ? undefined : level;
}

/** A level of the rubric, chosen by its number from 1. */
export function byLevel(question: SetQuestionMark, at: { readonly worksheet: string; readonly session: string }, level: number): SetDraft | undefined {
  const chosen = question.rubric?.[level];
  if (!chosen) return undefined;
  // A comment that stands goes with the new level; nobody has to type it again.
  const comment = question.award.byHand[0]?.comment;
  const more = { level, marks: chosen.marks, ...(comment === undefined ? {} : { comment }) };
  return question.kind === 'record'
    ? { kind: 'record-marked', data: { session: at.session, item: question.id, ...more } }
    : { kind: 'written-marked', data: { worksheet: at.worksheet, question: question.id, ...more, ground: question.award.ground } };
}
