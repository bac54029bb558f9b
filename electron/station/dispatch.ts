/** The boundary: whatever a window sent is checked against the contract before a handler sees it. */
import type { z } from 'zod';
import { contract, isCommandName, type CommandName, type Handlers } from '../../core/contract/contract.ts';
import { failure, type Result } from '../../core/result.ts';
import { shapeWords } from '../../core/shape-words.ts';

/**
 * Answers one command. Never throws: a bug is answered too, and reported to `onBug` for the log.
 * @param input as it came over the wire, not trusted.
 */
export async function dispatch(
  handlers: Handlers,
  name: string,
  input: unknown,
  onBug: (cause: unknown, name: string) => void = logBug,
): Promise<Result<unknown>> {
  if (!isCommandName(name))
    return failure('unknown-command', `The window asked for "${name.slice(0, 60)}", which this station does not know. Reload the window.`);
  const checked = contract[name].input.safeParse(input);
  if (!checked.success) return failure('bad-input', inWords(checked.error));
  try {
    // The table ties each name to its input; TypeScript cannot follow that through a variable.
    return await (handlers[name as CommandName] as (input: unknown) => Promise<Result<unknown>>)(checked.data);
  } catch (cause) {
    onBug(cause, name);
    return failure(
      'bug',
      'Something went wrong inside the program. This entry was not saved; everything acknowledged before it was. Try again, and keep a note on paper.',
    );
  }
}

function logBug(cause: unknown, name: string): void {
  process.stderr.write(`stagecall: ${name}: ${cause instanceof Error ? (cause.stack ?? cause.message) : String(cause)}\n`);
}

function inWords(error: z.ZodError): string {
  const issue = error.issues[0];
  const where = issue?.path.map(String).join('.') ?? '';
  const at = where === '' ? '' : ` ("${where}")`;
  if (issue?.code === 'too_big')
    return `Not saved: it is too long${at}; at most ${String(issue.maximum)}. Everything before it was kept. Shorten it and send it again.`;
  return `Not saved: the entry has a form that is not understood: ${shapeWords(error, 'its input')}. Everything before it was kept.`;
}
