/** Which attempt at an answer counts, and when the student learns about it: as the lab sheet says. */
import type { LabSheet, Question } from '../sheet/schema.ts';
import type { MarkingInput } from './expected.ts';
import type { AnswerState, Attempt, WorksheetState } from './fold.ts';
import type { QuestionMark } from './marking-types.ts';

export type AttemptRule = 'first' | 'best' | 'last';
export type FeedbackRule = 'at-once' | 'after-export' | 'instructor';

export const attemptRule = (sheet: Pick<LabSheet, 'answers'>): AttemptRule => sheet.answers?.attempt ?? 'last';
export const feedbackRule = (sheet: Pick<LabSheet, 'answers'>): FeedbackRule => sheet.answers?.feedback ?? 'after-export';

/**
 * Whether a student may see marks and reasons now.
 * @param answered whether the answer in question was given as an attempt (not only saved while it was typed); for `at-once`.
 */
export function mayShowFeedback(sheet: Pick<LabSheet, 'answers'>, worksheet: Pick<WorksheetState, 'handedIn'>, answered: boolean): boolean {
  switch (feedbackRule(sheet)) {
    case 'at-once':
      return answered || worksheet.handedIn !== undefined;
    case 'after-export':
      return worksheet.handedIn !== undefined;
    case 'instructor':
      return false;
  }
}

/**
 * Attempts that count as such: what was only saved while it was typed counts where it was handed in so, being the last, and
 * where nothing else was given.
 */
export function attemptsOf(answer: AnswerState): readonly Attempt[] {
  const given = answer.attempts.filter((attempt, at) => !isBlank(attempt) && (attempt.draft !== true || at === answer.attempts.length - 1));
  return given.length > 0 ? given : answer.attempts.slice(-1);
}

const isBlank = (attempt: Attempt): boolean => attempt.typed.trim() === '' && (attempt.working ?? '').trim() === '';

/**
 * The worksheet with the attempt in force that counts. The best is looked for question by question in the sheet's order, so that
 * what is carried forward builds on the attempts that count; of equals the later one.
 */
export function countedAttempts(input: MarkingInput, mark: (question: Question, number: number, input: MarkingInput) => QuestionMark): MarkingInput {
  const rule = attemptRule(input.sheet);
  if (rule === 'last') return input;
  const answers = new Map(input.worksheet.answers);
  const taking = (key: string, answer: AnswerState, attempt: Attempt): MarkingInput => ({ ...input, worksheet: { ...input.worksheet, answers: new Map([...answers, [key, { ...answer, current: attempt }]]) } });
  for (const [index, question] of input.sheet.questions.entries()) {
    for (const [key, answer] of input.worksheet.answers) {
      if (answer.question !== question.id) continue;
      const attempts = attemptsOf(answer);
      if (attempts.length === 0) continue;
      let chosen = attempts[0];
      if (rule === 'best' && attempts.length > 1 && question.kind !== 'written') {
        const worth = attempts.map((attempt) => mark(question, index + 1, taking(key, answer, attempt)).marks);
        chosen = attempts[worth.lastIndexOf(Math.max(...worth))];
      } else if (rule === 'best') chosen = attempts.at(-1);
      if (chosen !== undefined) answers.set(key, { ...answer, current: chosen });
    }
  }
  return { ...input, worksheet: { ...input.worksheet, answers } };
}
