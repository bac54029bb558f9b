/**
 * From a reading at the station's door to its acknowledgement, on disk, in a session that holds 20,000 events already;
 * against a bare write and fdatasync of the same bytes, turn by turn in the same run. Design: p99 within 2×.
 */
import { closeSync, existsSync, fdatasyncSync, mkdirSync, openSync, readFileSync, rmSync, writeSync } from 'node:fs';
import path from 'node:path';
import type { StationApi } from '../../core/contract/contract.ts';
import { dispatch } from '../../electron/station/dispatch.ts';
import { mountTypeOf } from '../../electron/store/folder.ts';
import { openStation } from '../../electron/station/open-station.ts';
import { programRoot } from '../../electron/program-root.ts';
import { good, Pair } from '../shells/pair.ts';
import { percentile, ratioLine } from './statistics.ts';

const PRESENT = 20_000;
const SAMPLES = 2_000;
const BUDGET = 2;

export async function run(): Promise<void> {
  // In the checkout, since a system's temporary folder may be in memory.
  const folder = path.join(programRoot, 'dist', `bench-${process.pid}`);
  mkdirSync(folder, { recursive: true });
  try {
    await measure(folder);
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

async function measure(folder: string): Promise<void> {
  const station = await good(
    openStation({
      folder: path.join(folder, 'data'),
      shell: 'test',
      capabilities: { save: 'download', strap: false, secondWindow: false },
    }),
  );
  const api = { call: (name: string, input: unknown) => dispatch(station.station.handlers, name, input) } as unknown as StationApi;
  const pair = await (await new Pair(api).open()).exercise();
  let place = 0;
  const reading = () => pair.reading(String(100 + (place % 90)), `@${Math.floor(place / 60)}:${String(place++ % 60).padStart(2, '0')}`);
  for (let command = 0; command < PRESENT / 200; command++) await pair.add(...Array.from({ length: 200 }, reading));
  const present = (await pair.read()).length;

  const bare = openSync(path.join(folder, 'bare'), 'w');
  const [ours, theirs]: [number[], number[]] = [[], []];
  let bytes = 0;
  for (let sample = 0; sample < SAMPLES; sample++) {
    const input = { record: pair.session, command: pair.command(), author: pair.author, drafts: [reading()] };
    let began = performance.now();
    const answer = await good(api.call('record.append', input));
    ours.push(performance.now() - began);
    const same = Buffer.from(answer.events[0]?.body ?? '');
    bytes += same.length;
    began = performance.now();
    writeSync(bare, same);
    fdatasyncSync(bare);
    theirs.push(performance.now() - began);
  }
  closeSync(bare);
  station.stop();

  const line = (name: string, samples: readonly number[]): string =>
    `  ${name}: median ${percentile(samples, 0.5).toFixed(3)} ms, p99 ${percentile(samples, 0.99).toFixed(3)} ms, longest ${percentile(samples, 1).toFixed(1)} ms`;
  const disk = existsSync('/proc/self/mounts') ? mountTypeOf(folder, readFileSync('/proc/self/mounts', 'utf8')) : undefined;
  if (disk !== undefined) console.log(`  on ${disk}${disk === 'tmpfs' ? ': that is memory and no disk; put the checkout on a disk to measure this' : ''}`);
  console.log(`  ${SAMPLES} samples, ${present} events present, ${Math.round(bytes / SAMPLES)} bytes each`);
  console.log(line('reading → acknowledged', ours));
  console.log(line('bare write + fdatasync', theirs));
  console.log(`  median: ${(percentile(ours, 0.5) / percentile(theirs, 0.5)).toFixed(2)}×`);
  console.log(ratioLine('p99', percentile(ours, 0.99) / percentile(theirs, 0.99), BUDGET));
}
