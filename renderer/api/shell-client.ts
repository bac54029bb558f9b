/** The window's side in Electron: the one global that the preload puts there. */
import type { CommandName, InputOf, OutputOf, StationApi } from '../../core/contract/contract.ts';
import type { ShellGlobal } from '../../core/contract/shell-global.ts';
import { failure, type Result } from '../../core/result.ts';
import { plainCopy } from './plain-copy.ts';

export function shellClient(shell: ShellGlobal): StationApi {
  return {
    async call<Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<Result<OutputOf<Name>>> {
      try {
        return (await shell.call(name, plainCopy(input))) as Result<OutputOf<Name>>;
      } catch (cause) {
        return failure(
          'shell',
          `The program did not answer (${(cause as Error).message}). Everything acknowledged before is saved; send it again.`,
        );
      }
    },
    subscribe: (listener) =>
      shell.subscribe(
        (change) => listener.changed(change as Parameters<typeof listener.changed>[0]),
        (state) => listener.connected(state),
      ),
  };
}
