/** The window's own api module in a page with nothing else on it: what a shell serves when only the border is under test. */
import { connect, type Station } from '../../renderer/api/index.ts';

const changes: unknown[] = [];
const states: boolean[] = [];
let station: Promise<Station>;

Object.assign(globalThis, {
  start: async () => {
    station = connect().then((connected) => {
      if (!connected.ok) throw new Error(connected.error.message);
      return connected.value;
    });
    await station;
  },
  call: async (name: never, input: never) => (await station).call(name, input),
  subscribe: async () => (await station).subscribe({ changed: (change) => changes.push(change), connected: (state) => states.push(state) }),
  heard: () => ({ changes: changes.splice(0), states: states.splice(0) }),
  save: async (file: never) => (await station).saveFile(file),
});
