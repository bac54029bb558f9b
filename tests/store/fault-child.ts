/**
 * Uses a data folder as a station does, in a process of its own (under a limit, another user, or another root), and says
 * what came of it, one JSON line each. Arguments: folder, then what to do.
 */
import { openStation } from '../../electron/station/open-station.ts';
import { dispatch } from '../../electron/station/dispatch.ts';
import type { StationApi } from '../../core/contract/contract.ts';
import { Pair } from '../shells/pair.ts';

const [folder = '', task = ''] = process.argv.slice(2);
const say = (value: unknown): void => void process.stdout.write(`${JSON.stringify(value)}\n`);

const opened = openStation({ folder, shell: 'test', capabilities: { save: 'download', strap: false, secondWindow: false } });
if (!opened.ok) {
  say(opened.error);
  process.exit(0);
}
const { station } = opened.value;
const api = { call: (name: string, input: unknown) => dispatch(station.handlers, name, input) } as unknown as StationApi;
if (task.startsWith('erase ')) {
  say({ erasing: process.pid });
  say(await dispatch(station.handlers, 'session.erase', { session: task.slice(6), by: 'KL', reason: 'consent withdrawn' }));
  opened.value.stop();
  process.exit(0);
}
const pair = await new Pair(api).open();
say({ session: pair.session });

if (task === 'until-full') {
  // Until the disk is full; then the failure, and what is there.
  let acknowledged = 0;
  for (;;) {
    const written = await pair.try(...Array.from({ length: 20 }, () => ({ kind: 'note-added', data: { text: 'x'.repeat(190) } })));
    if (!written.ok) {
      say({ ...written.error, acknowledged, kept: (await pair.events()).length - 1 });
      break;
    }
    acknowledged += 20;
  }
  // Writing again once there is room is the caller's next step.
  process.stdin.once('data', async () => {
    const again = await pair.try({ kind: 'note-added', data: { text: 'room again' } });
    say({ again: again.ok, events: (await pair.events()).length - 1, acknowledged });
    opened.value.stop();
    process.exit(0);
  });
} else if (task === 'hold') {
  say({ holding: process.pid });
  setInterval(() => {}, 1_000);
} else {
  opened.value.stop();
}
