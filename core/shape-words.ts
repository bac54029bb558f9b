/** What a schema found wrong, as a person would say it: where, and what was expected there. */
import type { z } from 'zod';

/**
 * Says the first complaint of a schema in one clause: "symptom: boolean expected, nothing there".
 * `whole` names the thing itself, for a complaint about no part of it.
 */
export function shapeWords(error: z.ZodError, whole: string): string {
  const issue = error.issues[0];
  const where = issue?.path.map(String).join('.') || whole;
  if (issue === undefined) return `${where}: not understood`;
  if (issue.code === 'invalid_type') {
    const found = /received (\w+)$/.exec(issue.message)?.[1];
    return `${where}: ${issue.expected} expected, ${found === undefined || found === 'undefined' ? 'nothing there' : `${found} found`}`;
  }
  return `${where}: ${issue.message}`;
}
