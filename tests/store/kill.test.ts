/** The station's process killed at random instants during exercise: nothing acknowledged is lost or doubled, and the clock goes on. */
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { good, Pair } from '../shells/pair.ts';
import { killedPhases, killLine, killRun } from './kills.ts';

const KILLS = Number(process.env['STAGECALL_KILLS'] ?? 4);
/** In all phases; two hundred of them by `npm run bench -- kills`. */
const KILLS_IN_ALL_PHASES = Number(process.env['STAGECALL_KILLS'] ?? 5);

const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-kill-'));
let supervisor: Supervisor | undefined;
let client: ReturnType<typeof loopbackClient> | undefined;
afterEach(async () => {
  client?.close();
  await supervisor?.end();
  rmSync(folder, { recursive: true, force: true });
});

/** Where the session's clock stands against the test's own monotonic clock: it lies between the two, in ms. */
async function clockOffset(pair: Pair): Promise<{ readonly low: number; readonly high: number }> {
  const sent = performance.now();
  const { clock } = await good(pair.api.call('record.read', { record: pair.session, from: 1_000_000 }));
  const heard = performance.now();
  return { low: clock.now - heard, high: clock.now + 1 - sent };
}

it(`loses and doubles nothing over ${KILLS_IN_ALL_PHASES} kills in all phases, with two windows entering`, { timeout: 20_000 + KILLS_IN_ALL_PHASES * 4_000 }, async () => {
  const report = await killRun(KILLS_IN_ALL_PHASES);
  console.log(killLine(report));
  for (const phase of killedPhases) expect(report.kills[phase], phase).toBeGreaterThanOrEqual(Math.floor(KILLS_IN_ALL_PHASES / killedPhases.length));
  expect(report.acknowledged).toBeGreaterThan(KILLS_IN_ALL_PHASES * 2);
});

it(`goes on, on the right second, over ${KILLS} kills in a row`, { timeout: 20_000 + KILLS * 4_000 }, async () => {
  const restarts: string[] = [];
  const running = (supervisor = new Supervisor({ folder, restarted: (how) => restarts.push(how) }));
  const started = await running.start();
  if (started.kind !== 'ready') throw new Error('another station runs');
  client = loopbackClient({ address: `http://127.0.0.1:${started.port}`, token: started.token });
  const connections: boolean[] = [];
  client.subscribe({ changed: () => {}, connected: (state) => connections.push(state) });
  const pair = await new Pair(client).open();
  await pair.exercise();

  const before = await clockOffset(pair);
  const acknowledged: { readonly command: string; readonly typed: string }[] = [];
  const enough = new AbortController();
  const entering = (async () => {
    for (let number = 0; !enough.signal.aborted; number++) {
      const draft = pair.reading(String(100 + (number % 90)));
      const command = pair.command();
      const answer = await good(client.call('record.append', { record: pair.session, command, author: pair.author, drafts: [draft] }));
      const body = JSON.parse(answer.events[0]?.body ?? '{}') as { command: string; data: { typed: string } };
      expect(body.command).toBe(command);
      acknowledged.push({ command, typed: body.data.typed });
      await new Promise((resolve) => setTimeout(resolve, 5));
    }
  })();

  const outages: number[] = [];
  for (let kill = 0; kill < KILLS; kill++) {
    await new Promise((resolve) => setTimeout(resolve, 50 + Math.random() * 350));
    const soFar = acknowledged.length;
    const { pid } = running;
    if (pid === undefined) throw new Error('no process to kill');
    process.kill(pid, 'SIGKILL');
    const killed = performance.now();
    // Open again, on the right second, by an answer that only the new process can give.
    while (running.pid === pid) await new Promise((resolve) => setTimeout(resolve, 5));
    const offset = await clockOffset(pair);
    outages.push(performance.now() - killed);
    // Tolerance 3 ms beside the question's own duration: whole milliseconds at both ends, and the drift of the first reading's.
    expect(offset.low, `clock after kill ${kill + 1}`).toBeLessThanOrEqual(before.high + 3);
    expect(offset.high, `clock after kill ${kill + 1}`).toBeGreaterThanOrEqual(before.low - 3);
    while (acknowledged.length <= soFar) await new Promise((resolve) => setTimeout(resolve, 5));
  }
  enough.abort();
  await entering;

  const events = await pair.events(); // throws where the chain is broken
  const readings = events.filter(({ kind }) => kind === 'reading-taken');
  expect(readings.map(({ command }) => command)).toEqual(acknowledged.map(({ command }) => command));
  expect(readings.map(({ data }) => (data as { typed: string }).typed)).toEqual(acknowledged.map(({ typed }) => typed));
  expect(events.filter(({ kind }) => kind === 'clock-carried')).toHaveLength(KILLS);
  expect((await pair.state()).phase).toBe('exercise');
  expect(restarts).toEqual(Array.from({ length: KILLS }, () => 'SIGKILL'));
  expect(connections.filter((state) => state)).toHaveLength(KILLS + 1);
  outages.sort((a, b) => a - b);
  console.log(
    `kill → answered again: median ${outages[Math.floor(KILLS / 2)]?.toFixed(0)} ms, longest ${outages.at(-1)?.toFixed(0)} ms; ${acknowledged.length} readings`,
  );
});
