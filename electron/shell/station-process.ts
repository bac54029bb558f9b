/** The station's own process under Electron (`utilityProcess`), so that a crash there leaves the window standing. Built to `dist/station.js`. */
import { dispatch } from '../station/dispatch.ts';
import { systemClock } from '../station/clock.ts';
import { openStation } from '../station/open-station.ts';
import { startAgain, withoutStation } from '../station/restore.ts';
import type { Ask, Tell } from './station-link.ts';

interface ParentPort {
  on(event: 'message', listener: (event: { readonly data: Ask | { readonly kind: 'end' } }) => void): void;
  postMessage(message: Tell): void;
}

const port = (process as unknown as { readonly parentPort: ParentPort }).parentPort;
const [folder = ''] = process.argv.slice(2);
const opened = openStation({ folder, shell: 'electron', capabilities: { save: 'dialog', strap: true, secondWindow: true }, again: startAgain });
const handlers = opened.ok
  ? opened.value.station.handlers
  : withoutStation(opened.error, { folder, clock: systemClock(), again: startAgain });

port.on('message', ({ data }) => {
  if ('kind' in data) {
    if (opened.ok) opened.value.stop();
    process.exit(0);
  }
  void dispatch(handlers, data.name, data.input).then((result) => port.postMessage({ kind: 'answer', id: data.id, result }));
});
if (opened.ok) {
  const { station } = opened.value;
  station.subscribe((change) => port.postMessage({ kind: 'change', change, running: station.running().length }));
}
port.postMessage({ kind: 'ready', ...(opened.ok ? {} : { fault: opened.error.message }) });
