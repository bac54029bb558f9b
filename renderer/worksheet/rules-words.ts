/** What the lab sheet says about attempts and feedback, as a student reads it. */
import type { LabSheet } from '../../core/sheet/schema.ts';
import { attemptRule, feedbackRule } from '../../core/worksheet/attempts.ts';

const attempts = {
  first: 'The first answer to a question counts; later ones are kept and shown.',
  best: 'Of several answers to a question the best counts; all are kept.',
  last: 'The last answer to a question counts; earlier ones are kept.',
} as const;
const feedback = {
  'at-once': 'Marks and reasons come with each answer.',
  'after-export': 'Marks and reasons come once the worksheet was handed in.',
  instructor: 'Marks and reasons come from the instructor.',
} as const;

export function rulesInWords(sheet: Pick<LabSheet, 'answers'>): { readonly attempts: string; readonly feedback: string } {
  return { attempts: attempts[attemptRule(sheet)], feedback: feedback[feedbackRule(sheet)] };
}
