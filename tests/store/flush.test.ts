/**
 * Power loss: the whole station process watched from outside, asked through the loopback contract. Each acknowledgement that
 * leaves by its socket follows the flush of its own bytes; also in a database that is opened again with its log, which
 * SQLite by itself would no longer flush at each commit.
 */
import { spawn, spawnSync, type ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { createServer } from 'node:net';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import type { FromChild, ToChild } from '../../electron/loopback/messages.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { good, Pair } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';

const { folder, remove } = tempFolder();
afterAll(remove);
const mayTrace = spawnSync('strace', ['-o', '/dev/null', 'true']).status === 0;
const TOKEN = 'flush-test-token-0123456789abcdefghijklmnop';

function traced(trace: string): ChildProcess {
  const watched = ['-f', '-yy', '-s', '8192', '-e', 'trace=write,writev,sendto,sendmsg,pwrite64,pwritev,fdatasync,fsync', '-o', trace];
  const station = [process.execPath, path.join(import.meta.dirname, '../../electron/loopback/child.ts'), path.join(folder, 'data')];
  return spawn('strace', [...watched, ...station], { stdio: ['ignore', 'inherit', 'inherit', 'ipc'] });
}

async function freePort(): Promise<number> {
  const server = createServer();
  await new Promise<void>((resolve) => server.listen(0, '127.0.0.1', resolve));
  const { port } = server.address() as { port: number };
  await new Promise((resolve) => server.close(resolve));
  return port;
}

/** Asks a traced station for acknowledgements of every kind, then kills it, so that its log is left for the next. */
async function acknowledgements(trace: string, tag: string): Promise<number> {
  const child = traced(trace);
  const ended = new Promise((resolve) => child.once('exit', resolve));
  const ready = new Promise<void>((resolve, reject) => {
    child.on('message', (message: FromChild) => (message.kind === 'ready' && message.fault === undefined ? resolve() : reject(new Error(JSON.stringify(message)))));
    child.once('exit', () => reject(new Error('the traced station ended')));
  });
  const port = await freePort();
  child.send({ kind: 'go', port, token: TOKEN } satisfies ToChild);
  await ready;
  const client = loopbackClient({ address: `http://127.0.0.1:${port}`, token: TOKEN });
  let marked = 0;
  const marker = () => ({ kind: 'note-added', data: { text: `marker ${tag}-${++marked} end` } });
  const pair = await new Pair(client).open();
  for (let index = 0; index < 15; index++) await pair.add(marker());
  await pair.add(marker(), marker(), marker());
  await (await pair.exercise({ ergometer: tag })).add({ ...pair.reading('147') }, marker());
  await pair.add({ kind: 'test-stopped', data: {} }, { kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: false } }, marker());
  // The closing append signs, in the same transaction.
  await pair.add(marker(), { kind: 'session-closed', data: { outcome: 'left', early: { initials: 'KL', reason: 'a test' } } });
  const { worksheet } = await good(client.call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-114' }));
  for (let index = 0; index < 5; index++)
    await good(client.call('record.append', { record: worksheet, command: pair.command(), author: 'k-114', drafts: [{ kind: 'answer-given', data: { question: 'hr-max', typed: `marker ${tag}-${++marked} end` } }] }));
  client.close();
  const stationPid = Number(spawnSync('pgrep', ['-P', String(child.pid)], { encoding: 'utf8' }).stdout.trim().split('\n')[0]);
  process.kill(stationPid, 'SIGKILL');
  await ended;
  return marked;
}

/** @returns the entries whose acknowledgement was sent, each with whether its bytes had been written and flushed by then. */
function judged(lines: readonly string[]): ReadonlyMap<string, 'flushed' | 'written only' | 'not written'> {
  const entries = (line: string): string[] => [...line.matchAll(/marker (\w+-\d+) end/g)].map(([, entry = '']) => entry);
  const written = new Set<string>();
  const flushed = new Set<string>();
  /** By process or thread: what a flush that has begun will have put on disk when it ends. */
  const flushing = new Map<string, readonly string[]>();
  const sent = new Map<string, 'flushed' | 'written only' | 'not written'>();
  for (const line of lines) {
    const thread = /^(\d+) /.exec(line)?.[1] ?? '';
    const toLog = /\((\d+)<[^>]*stagecall\.sqlite-wal>/.test(line);
    if (toLog && /\bp?writev?(64)?\(/.test(line)) for (const entry of entries(line)) written.add(entry);
    if (toLog && /\bf(data)?sync\(/.test(line)) flushing.set(thread, [...written]);
    if (/\bf(data)?sync(\(.*\)| resumed>\)) += 0/.test(line)) for (const entry of flushing.get(thread) ?? []) flushed.add(entry);
    if (/\bf(data)?sync(\(.*\)| resumed>\)) +=/.test(line)) flushing.delete(thread);
    // The answer to the command: HTTP's head and the record's own text.
    if (/\((\d+)<TCP:/.test(line) && /"HTTP\/1\.1 200|\\"ok\\":true/.test(line))
      for (const entry of entries(line)) if (!sent.has(entry)) sent.set(entry, flushed.has(entry) ? 'flushed' : written.has(entry) ? 'written only' : 'not written');
  }
  return sent;
}

it.skipIf(!mayTrace)(
  '(under strace) every acknowledgement that leaves the station follows the flush of its own bytes, also after it was opened again',
  { timeout: 60_000 },
  async () => {
    for (const tag of ['first', 'reopened']) {
      const trace = path.join(folder, `trace-${tag}`);
      const marked = await acknowledgements(trace, tag);
      const lines = readFileSync(trace, 'latin1').split('\n');
      const sent = judged(lines);
      expect(sent.size).toBe(marked);
      for (const [entry, how] of sent) expect(how, entry).toBe('flushed');
      // The same trace without the flushes is not let through.
      expect(new Set(judged(lines.filter((line) => !/sync(\(| resumed)/.test(line))).values())).toEqual(new Set(['written only']));
    }
  },
);
