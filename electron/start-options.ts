/** What may be said after `npm start --`. */
import { failure, success, type Result } from '../core/result.ts';

export interface StartOptions {
  readonly data?: string;
  /** Show no window: print the address. */
  readonly noWindow: boolean;
  /** Go back to the newest sound copy of a damaged record first. */
  readonly restore: boolean;
  /** Which shell, where it is not to be chosen. */
  readonly shell?: 'electron' | 'browser';
}

export const usage = 'npm start [-- [--data FOLDER] [--shell electron|browser] [--no-window] [--restore]]';

export function startOptions(args: readonly string[]): Result<StartOptions> {
  const options: { -readonly [Key in keyof StartOptions]: StartOptions[Key] } = { noWindow: false, restore: false };
  for (let index = 0; index < args.length; index++) {
    const [name = '', inline] = (args[index] ?? '').split(/=(.*)/s, 2);
    const value = (): string | undefined => inline ?? args[++index];
    if (name === '--no-window') options.noWindow = true;
    else if (name === '--restore') options.restore = true;
    else if (name === '--data') {
      const folder = value();
      if (folder === undefined || folder === '') return failure('usage', `--data needs a folder. ${usage}`);
      options.data = folder;
    } else if (name === '--shell') {
      const shell = value();
      if (shell !== 'electron' && shell !== 'browser') return failure('usage', `--shell is electron or browser. ${usage}`);
      options.shell = shell;
    } else return failure('usage', `"${args[index]}" is not understood. ${usage}`);
  }
  return success(options);
}
