/**
 * The station's process under the loopback shell. Its parent (supervisor.ts) shows the window and starts it again if it
 * dies; it ends when the parent is gone.
 */
import { flushCompileCache } from 'node:module';
import path from 'node:path';
import type { Handlers } from '../../core/contract/contract.ts';
import { commandNames } from '../../core/contract/contract.ts';
import type { Failure } from '../../core/result.ts';
import { programRoot } from '../program-root.ts';
import { openStation, type OpenStation } from '../station/open-station.ts';
import { rememberAddress, rememberedAddress } from './address-file.ts';
import { loopbackApp } from './app.ts';
import { listen, PREFERRED_PORT } from './listen.ts';
import type { FromChild, ToChild } from './messages.ts';

const [folder = '', why = ''] = process.argv.slice(2);
const tell = (message: FromChild): void => void process.send?.(message);

let take = (message: ToChild): void => {
  if (message.kind === 'end') process.exit(0);
  if (message.kind !== 'go') return;
  const opened = openStation({
    folder,
    shell: 'loopback',
    ...(why === '' ? {} : { why }),
    capabilities: { save: 'download', strap: true, secondWindow: true },
  });
  void serve(opened.ok ? opened.value : undefined, opened.ok ? undefined : opened.error, message.port);
};
process.on('message', (message: ToChild) => take(message));
process.once('disconnect', () => process.exit(0));

async function serve(open: OpenStation | undefined, fault: Failure | undefined, insisted: number): Promise<void> {
  if (fault?.code === 'in-use') {
    tell({ kind: 'in-use' });
    process.disconnect?.();
    return;
  }
  const { token, port: last } = rememberedAddress(folder);
  let windows = 0;
  const app = (port: () => number) =>
    loopbackApp({
      handlers: open?.station.handlers ?? faulted(fault),
      subscribe: (listener) => open?.station.subscribe(listener) ?? (() => {}),
      token,
      port,
      windowFolder: path.join(programRoot, 'dist', 'renderer'),
      windows: (count) => (windows = count),
    });
  const listening = insisted > 0 ? await listen(app, [insisted], 5_000) : await listen(app, [...(last === undefined ? [] : [last]), PREFERRED_PORT, 0]);
  const { port } = listening;
  if (open) rememberAddress(folder, { port, token });
  tell({ kind: 'ready', port, token, ...(fault ? { fault: fault.message } : {}) });

  // A killed process never writes its compile cache by itself, and it is the next one that needs it.
  setTimeout(() => flushCompileCache(), 100).unref();

  const end = (): void => {
    listening.close();
    open?.stop();
    process.exit(0);
  };
  take = (message) => {
    if (message.kind === 'end') end();
    if (message.kind === 'needed?') tell({ kind: 'needed', running: open?.station.running().length ?? 0, windows });
  };
  // The parent is gone: whatever was acknowledged is on disk, and the next start goes on from there.
  process.removeAllListeners('disconnect').once('disconnect', end);
  // Ctrl-C reaches the whole group; the parent says when it is time.
  process.on('SIGINT', () => {});
  process.on('SIGTERM', end);
}

/** Answers every command with why there is no station, so that the window can say it. */
function faulted(fault: Failure | undefined): Handlers {
  const error = fault ?? { code: 'no-station', message: 'The station did not start.' };
  return Object.fromEntries(commandNames.map((name) => [name, async () => ({ ok: false, error })])) as unknown as Handlers;
}
