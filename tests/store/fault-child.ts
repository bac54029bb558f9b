/**
 * Uses a data folder as a station does, in a process of its own (under a limit, another user, or another root), and says
 * what came of it, one JSON line each. Arguments: folder, then what to do.
 */
import { chmodSync } from 'node:fs';
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
} else if (task === 'closed-folder') {
  await pair.exercise();
  // Nobody may write a new file here any more: the files that are open go on, a copy cannot be made.
  chmodSync(folder, 0o555);
  for (let index = 0; index < 30; index++) await pair.add(pair.reading(String(100 + index)));
  await pair.finish();
  const told = () => station.notices.list().find(({ text }) => text.startsWith('No copy'))?.text;
  for (let look = 0; look < 200 && told() === undefined; look++) await new Promise((resolve) => setTimeout(resolve, 20));
  say({ phase: (await pair.state()).phase, acknowledged: (await pair.events()).length, notice: told() });
  chmodSync(folder, 0o755);
  opened.value.stop();
} else if (task === 'hold') {
  say({ holding: process.pid });
  setInterval(() => {}, 1_000);
} else {
  opened.value.stop();
}
