/**
 * The station's process under the loopback shell. Its parent (supervisor.ts) shows the window and starts it again if it
 * dies; it ends when the parent is gone. It answers the door first and opens the station then, while the browser starts.
 */
import { flushCompileCache } from 'node:module';
import type { Server } from 'node:net';
import path from 'node:path';
import type { Handlers } from '../../core/contract/contract.ts';
import { programRoot } from '../program-root.ts';
import type { OpenStation } from '../station/open-station.ts';
import { rememberAddress } from './address-file.ts';
import { loopbackApp, type Answering } from './app.ts';
import { listen, type Listening } from './listen.ts';
import type { FromChild, ToChild } from './messages.ts';

const [folder = '', why = ''] = process.argv.slice(2);
const tell = (message: FromChild): void => void process.send?.(message);

let listening: Listening | undefined;
let open: OpenStation | undefined;
let windows = 0;

process.on('message', (message: ToChild, handle: unknown) => {
  if (message.kind === 'go') void go(message.port, message.token, handle as Server | undefined);
  if (message.kind === 'end') end();
  if (message.kind === 'needed?') tell({ kind: 'needed', running: open?.station.running().length ?? 0, windows });
});
// The parent is gone: whatever was acknowledged is on disk, and the next start goes on from there.
process.once('disconnect', end);
// Ctrl-C reaches the whole group; the parent says when it is time.
process.on('SIGINT', () => {});
process.on('SIGTERM', end);

function end(): void {
  listening?.close();
  open?.stop();
  process.exit(0);
}

async function go(port: number, token: string, door: Server | undefined): Promise<void> {
  let answer: (answering: Answering) => void = () => {};
  const answering = new Promise<Answering>((resolve) => (answer = resolve));
  const app = (own: () => number) =>
    loopbackApp({
      answering,
      token,
      port: own,
      windowFolder: path.join(programRoot, 'dist', 'renderer'),
      windows: (count) => (windows = count),
    });
  listening = await listen(app, door ?? [port], 5_000);

  const [{ openStation }, { dispatch }, { startAgain, withoutStation }, { systemClock }] = await Promise.all([
    import('../station/open-station.ts'),
    import('../station/dispatch.ts'),
    import('../station/restore.ts'),
    import('../station/clock.ts'),
  ]);
  const opened = openStation({
    folder,
    shell: 'loopback',
    ...(why === '' ? {} : { why }),
    capabilities: { save: 'download', strap: true, secondWindow: true },
    again: startAgain,
  });
  if (!opened.ok && opened.error.code === 'in-use') {
    tell({ kind: 'in-use' });
    process.disconnect();
    return end();
  }
  if (opened.ok) {
    open = opened.value;
    const { station } = open;
    answer({ call: (name, input) => dispatch(station.handlers, name, input), subscribe: (listener) => station.subscribe(listener) });
    rememberAddress(folder, { port, token });
    tell({ kind: 'ready' });
  } else {
    answer(noStation(withoutStation(opened.error, { folder, clock: systemClock(), again: startAgain }), dispatch));
    tell({ kind: 'ready', fault: opened.error.message });
  }
  // A killed process never writes its compile cache by itself, and it is the next one that needs it.
  setTimeout(() => flushCompileCache(), 100).unref();
}

function noStation(handlers: Handlers, dispatch: typeof import('../station/dispatch.ts').dispatch): Answering {
  return { call: (name, input) => dispatch(handlers, name, input), subscribe: () => () => {} };
}
