/**
 * The station's process under the loopback shell. Its parent (supervisor.ts) shows the window and starts it again if it
 * dies; it ends when the parent is gone. It listens first and opens the station then, while the browser starts.
 */
import { flushCompileCache } from 'node:module';
import path from 'node:path';
import type { Failure } from '../../core/result.ts';
import { programRoot } from '../program-root.ts';
import type { OpenStation } from '../station/open-station.ts';
import { rememberAddress, rememberedAddress } from './address-file.ts';
import { loopbackApp, type Answering } from './app.ts';
import { listen, PREFERRED_PORT, type Listening } from './listen.ts';
import type { FromChild, ToChild } from './messages.ts';

const [folder = '', why = ''] = process.argv.slice(2);
const tell = (message: FromChild): void => void process.send?.(message);

let listening: Listening | undefined;
let open: OpenStation | undefined;
let windows = 0;

process.on('message', (message: ToChild) => {
  if (message.kind === 'go') void go(message.port);
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

/** @param insisted the port on which a window waits, or 0. */
async function go(insisted: number): Promise<void> {
  const { token, port: last } = rememberedAddress(folder);
  let answer: (answering: Answering) => void = () => {};
  const answering = new Promise<Answering>((resolve) => (answer = resolve));
  const app = (port: () => number) => loopbackApp({ answering, token, port, windowFolder: path.join(programRoot, 'dist', 'renderer'), windows: (count) => (windows = count) });
  listening = insisted > 0 ? await listen(app, [insisted], 5_000) : await listen(app, [...(last === undefined ? [] : [last]), PREFERRED_PORT, 0]);
  const { port } = listening;
  tell({ kind: 'listening', port, token });

  const [{ openStation }, { dispatch }] = await Promise.all([import('../station/open-station.ts'), import('../station/dispatch.ts')]);
  const opened = openStation({ folder, shell: 'loopback', ...(why === '' ? {} : { why }), capabilities: { save: 'download', strap: true, secondWindow: true } });
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
    tell({ kind: 'ready', port, token });
  } else {
    answer(noStation(opened.error));
    tell({ kind: 'ready', port, token, fault: opened.error.message });
  }
  // A killed process never writes its compile cache by itself, and it is the next one that needs it.
  setTimeout(() => flushCompileCache(), 100).unref();
}

/** Answers every command with why there is no station, so that the window can say it. */
function noStation(error: Failure): Answering {
  return { call: async () => ({ ok: false, error }), subscribe: () => () => {} };
}
