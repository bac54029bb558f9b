/**
 * The station's process killed again and again, in every phase, while two windows enter through the loopback contract. What
 * each was told is kept and held against the record at the end. Run small by `npm test`, two hundred times by `npm run bench`.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { isDeepStrictEqual } from 'node:util';
import type { StationApi } from '../../core/contract/contract.ts';
import { checkChain } from '../../core/record/chain.ts';
import { eventOf, type RecordEvent, type StoredEvent } from '../../core/record/event.ts';
import { foldSession } from '../../core/session/fold.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { Supervisor } from '../../electron/loopback/supervisor.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { good, Pair } from '../shells/pair.ts';
import { insist } from '../shells/until.ts';

export const killedPhases = ['prepare', 'rest', 'exercise', 'recovery', 'worksheet'] as const;
type Phase = (typeof killedPhases)[number];

export interface KillReport {
  readonly kills: Readonly<Record<Phase, number>>;
  /** Facts that were acknowledged, and all of them found. */
  readonly acknowledged: number;
  readonly records: number;
  /** From the kill to an answer of the next process, ms, ascending. */
  readonly outages: readonly number[];
}

const wait = (milliseconds: number): Promise<void> => new Promise((resolve) => setTimeout(resolve, milliseconds));

/** What a window was told: the events of each acknowledged command, as stored. */
interface Told {
  readonly record: string;
  readonly command: string;
  readonly facts: number;
  readonly events: readonly StoredEvent[];
}

/** A window that keeps what it is told. */
function keepingClient(address: string, token: string, told: Told[]): StationApi & { close(): void } {
  const client = loopbackClient({ address, token });
  const call = (async (name: string, input: { record?: string; command?: string; drafts?: readonly unknown[] }) => {
    const answer = await (client.call as (name: string, input: unknown) => ReturnType<StationApi['call']>)(name, input);
    if (name === 'record.append' && answer.ok) {
      const { events } = answer.value as { events: readonly StoredEvent[] };
      told.push({ record: input.record ?? '', command: input.command ?? '', facts: input.drafts?.length ?? 0, events });
    }
    return answer;
  }) as StationApi['call'];
  return { ...client, call };
}

/** @throws what did not hold: the test's failure. */
export async function killRun(kills: number): Promise<KillReport> {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-kills-'));
  const supervisor = new Supervisor({ folder });
  const closing: (() => unknown)[] = [() => supervisor.end()];
  try {
    const started = await supervisor.start();
    if (started.kind !== 'ready') throw new Error('another station runs');
    const told: Told[] = [];
    const windows = ['TN', 'AB'].map((author) => {
      const client = keepingClient(`http://127.0.0.1:${started.port}`, started.token, told);
      client.subscribe({ changed: () => {}, connected: () => {} });
      closing.push(() => client.close());
      return new Pair(client, author);
    });
    const [recorder, other] = windows as [Pair, Pair];
    const count: Record<Phase, number> = { prepare: 0, rest: 0, exercise: 0, recovery: 0, worksheet: 0 };
    const outages: number[] = [];
    const sessions: string[] = [];
    for (let kill = 0; kill < kills; kill++) {
      const phase = killedPhases[kill % killedPhases.length] ?? 'prepare';
      // The kill falls into the step to the phase, or into what is entered there: at any moment of the two.
      const dying = killOnce(supervisor, Math.random() * 350);
      if (phase === 'prepare') sessions.push((other.session = (await recorder.open()).session));
      const write = await step(recorder, other, phase);
      const enough = new AbortController();
      const entering = Promise.all(windows.map((pair, index) => enter(pair, write[index] ?? (() => []), enough.signal)));
      const { killed, pid } = await dying;
      while (supervisor.pid === pid) await wait(5);
      await good(recorder.api.call('station.about', {}));
      outages.push(performance.now() - killed);
      const soFar = told.length;
      while (told.length <= soFar + 2) await wait(5);
      enough.abort();
      await entering;
      count[phase] += 1;
    }
    await compare(recorder.api, told, sessions);
    return { kills: count, acknowledged: told.reduce((sum, { facts }) => sum + facts, 0), records: new Set(told.map(({ record }) => record)).size, outages: outages.sort((a, b) => a - b) };
  } finally {
    for (const close of closing.reverse()) await close();
    rmSync(folder, { recursive: true, force: true });
  }
}

async function killOnce(supervisor: Supervisor, after: number): Promise<{ readonly killed: number; readonly pid: number }> {
  await wait(after);
  const { pid } = supervisor;
  if (pid === undefined) throw new Error('no process to kill');
  const killed = performance.now();
  process.kill(pid, 'SIGKILL');
  return { killed, pid };
}

type Entry = (number: number) => readonly { readonly kind: string; readonly data: unknown }[];

/** Takes the session one phase on. @returns what each of the two windows enters there. */
async function step(recorder: Pair, other: Pair, phase: Phase): Promise<readonly [Entry, Entry]> {
  const note = (number: number) => [{ kind: 'note-added', data: { text: `note ${number}` } }];
  if (phase === 'prepare') return [(number) => [{ kind: 'detail-given', data: { detail: 'mass', typed: `${60 + (number % 30)} kg` } }], note];
  if (phase === 'rest') {
    await recorder.prepare();
    await recorder.rest();
  } else if (phase === 'exercise') await recorder.add({ kind: 'exercise-started', data: {} });
  else if (phase === 'recovery') await recorder.add({ kind: 'test-stopped', data: {} }, { kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: false } });
  else {
    await recorder.add({ kind: 'session-closed', data: { outcome: 'left', early: { initials: 'KL', reason: 'a test of the program' } } });
    return [await answers(recorder, 'k-114'), await answers(other, 'k-115')];
  }
  const slots = [...(await recorder.state()).slots.values()].map(({ slot }) => slot).filter((slot) => slot.phase === phase && slot.quantity === 'heart-rate');
  insist(slots.length > 0, `there is nothing to take in ${phase}`);
  // Several facts at once as well as single ones: all of a command or none.
  const reading = (number: number) => ({ kind: 'reading-taken', data: { slot: slots[number % slots.length], typed: String(70 + (number % 80)), unit: '/min', confirmed: true } });
  return [(number) => [reading(number)], (number) => (number % 3 === 0 ? [reading(number), ...note(number), reading(number + 1)] : [reading(number)])];
}

async function answers(pair: Pair, student: string): Promise<Entry> {
  const { worksheet } = await good(pair.api.call('worksheet.open', { command: pair.command(), session: pair.session, student }));
  return Object.assign((number: number) => [{ kind: 'answer-given', data: { question: 'hr-max', typed: String(150 + (number % 60)), unit: '/min' } }], { record: worksheet });
}

/** Enters one thing after the other until it is told to stop. */
async function enter(pair: Pair, entry: Entry & { readonly record?: string }, until: AbortSignal): Promise<void> {
  for (let number = 0; !until.aborted; number++) {
    await good(pair.api.call('record.append', { record: entry.record ?? pair.session, command: pair.command(), author: pair.author, drafts: entry(number).map((draft) => ({ ...draft })) }));
    await wait(3);
  }
}

/** The records as they are against what was told: nothing lost, nothing doubled, nothing else in them. */
async function compare(api: StationApi, told: readonly Told[], sessions: readonly string[]): Promise<void> {
  const records = new Set([...sessions, ...told.map(({ record }) => record)]);
  for (const id of records) {
    const { events: stored } = await good(api.call('record.read', { record: id }));
    const chain = checkChain(stored, id);
    if (!chain.ok) throw new Error(`${id}: ${chain.message}`);
    const acknowledged = told.filter(({ record }) => record === id);
    insist(new Set(acknowledged.map(({ command }) => command)).size === acknowledged.length, `${id}: a command was acknowledged twice`);
    const expected = new Map<number, StoredEvent>();
    for (const { command, facts, events } of acknowledged) {
      insist(events.length === facts, `${id}: ${command} was acknowledged with ${events.length} facts of ${facts}`);
      for (const event of events) {
        const { seq } = eventOf(event.body);
        insist(!expected.has(seq), `${id}: place ${seq} was given to two facts`);
        expected.set(seq, event);
      }
    }
    // What no window entered: the opening, and the station's own word that its clock was carried over.
    const own = chain.events.filter(({ seq, author }) => seq === 0 || author === 'station');
    for (const { seq, kind } of own) insist(seq === 0 || kind === 'clock-carried', `${id}: the station wrote "${kind}"`);
    insist(own.length + expected.size === stored.length, `${id}: ${stored.length} events, of which ${expected.size} were acknowledged and ${own.length} are the station's`);
    for (const [seq, event] of expected) insist(isDeepStrictEqual(stored[seq], event), `${id}: event ${seq} is not as it was acknowledged`);
    const list: RecordEvent[] = [...[...expected.values()].map(({ body }) => eventOf(body)), ...own].sort((a, b) => a.seq - b.seq);
    const fold = (events: readonly RecordEvent[]): unknown => (id.startsWith('s-') ? foldSession(events) : foldWorksheet(events));
    insist(isDeepStrictEqual(fold(chain.events), fold(list)), `${id}: the fold of the record is not that of the acknowledged list`);
  }
}

export function killLine({ kills, acknowledged, records, outages }: KillReport): string {
  const phases = Object.entries(kills).map(([phase, count]) => `${count} in ${phase}`).join(', ');
  return `${outages.length} kills (${phases}): ${acknowledged} acknowledged facts in ${records} records, none lost or doubled; kill → answered again: median ${outages[Math.floor(outages.length / 2)]?.toFixed(0)} ms, longest ${outages.at(-1)?.toFixed(0)} ms`;
}
