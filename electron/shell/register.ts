/** The one place where the main process takes messages from a page. `ipcMain` appears in no other file. */
import { ipcMain, type IpcMainInvokeEvent } from 'electron';
import { failure, type Result } from '../../core/result.ts';
import { refuseSender } from '../policy/sender.ts';

/**
 * Answers a channel, after checking who sent the message.
 * A refused sender gets a failure and is written to the log: it is either a bug or an attack, never a person's mistake.
 */
export function register(channel: string, answer: (...args: readonly unknown[]) => unknown): void {
  ipcMain.handle(channel, async (event: IpcMainInvokeEvent, ...args: unknown[]): Promise<unknown> => {
    const refused = refuseSender(event.senderFrame);
    if (refused !== undefined) return refusal(channel, refused);
    return answer(...args);
  });
}

function refusal(channel: string, why: string): Result<never> {
  process.stderr.write(`stagecall: refused ${channel}: ${why}\n`);
  return failure('refused', `Not done: ${why}.`);
}
