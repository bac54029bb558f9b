/** A pair of students at a station, as a client of the contract: fills a session through any shell, with no screen. */
import { readFileSync } from 'node:fs';
import type { OutputOf, StationApi } from '../../core/contract/contract.ts';
import { checkChain } from '../../core/record/chain.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import type { Result } from '../../core/result.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { SessionDraft } from '../../core/session/events.ts';

export const SHEET = 'treadmill-maximal-bruce';
export const sheetText = readFileSync(new URL('../../lab-sheets/treadmill-maximal-bruce.yaml', import.meta.url), 'utf8');

/** The value of an answer that has to be good. */
export async function good<Value>(answer: Promise<Result<Value>> | Result<Value>): Promise<Value> {
  const result = await answer;
  if (!result.ok) throw new Error(`${result.error.code}: ${result.error.message}`);
  return result.value;
}

type Draft = { readonly kind: string; readonly data: unknown; readonly taken?: number };

export class Pair {
  readonly api: StationApi;
  readonly author: string;
  session = '';
  #commands = 0;

  constructor(api: StationApi, author = 'TN') {
    this.api = api;
    this.author = author;
  }

  /** A fresh command id, as a window makes them. */
  command(): string {
    return `${this.author}-${crypto.randomUUID()}-${++this.#commands}`.slice(0, 60);
  }

  async open(
    way: 'live' | 'paper' | 'rehearsal' = 'live',
    rehearsal?: { participant: string; seed: number; rate: number; records: boolean },
  ): Promise<this> {
    const opened = await good(
      this.api.call('session.open', {
        command: this.command(),
        author: this.author,
        sheet: SHEET,
        way,
        ...(rehearsal ? { rehearsal } : {}),
      }),
    );
    this.session = opened.session;
    return this;
  }

  add(...drafts: readonly (SessionDraft | Draft)[]): Promise<OutputOf<'record.append'>> {
    return good(this.try(...drafts));
  }

  try(...drafts: readonly (SessionDraft | Draft)[]): Promise<Result<OutputOf<'record.append'>>> {
    return this.api.call('record.append', {
      record: this.session,
      command: this.command(),
      author: this.author,
      drafts: drafts.map((draft) => ({ ...draft })),
    });
  }

  reading(typed: string, mark = 'm1', stage = 1): SessionDraft {
    return {
      kind: 'reading-taken',
      data: { slot: { phase: 'exercise', stage, mark, quantity: 'heart-rate' }, typed, unit: '/min', confirmed: true },
    };
  }

  async read(): Promise<OutputOf<'record.read'>> {
    return good(this.api.call('record.read', { record: this.session }));
  }

  /** All events, after checking that they are one unbroken chain. */
  async events(): Promise<readonly RecordEvent[]> {
    const chain = checkChain((await this.read()).events, this.session);
    if (!chain.ok) throw new Error(chain.message);
    return chain.events;
  }

  async state(): Promise<SessionState> {
    return foldSession(await this.events());
  }

  /** Everything that Prepare and Rest ask for, then the start. */
  async exercise(details: Readonly<Record<string, string>> = {}): Promise<this> {
    await this.prepare(details);
    await this.rest();
    await this.add({ kind: 'exercise-started', data: {} });
    return this;
  }

  async prepare(details: Readonly<Record<string, string>> = {}): Promise<void> {
    const given = {
      'participant-code': 'R-07',
      sex: 'female',
      age: '22',
      height: '168',
      mass: '61.4',
      temperature: '21',
      pressure: '752',
      humidity: '45',
      recorder: 'TN',
      tester: 'MO',
      ...details,
    };
    const { sheet } = await this.state();
    await this.add(
      ...Object.entries(given).map(([detail, typed]) => ({ kind: 'detail-given', data: { detail, typed } })),
      { kind: 'screening-done', data: { outcome: 'go', by: 'KL' } },
      { kind: 'consent-noted', data: { given: true } },
      ...sheet.checks.map((check) => ({
        kind: 'check-done',
        data: {
          check: check.id,
          done: true,
          ...(check.value ? { typed: String((check.value.min + check.value.max) / 2), unit: check.value.unit } : {}),
        },
      })),
    );
  }

  /** Rest, with nothing taken. */
  async rest(): Promise<void> {
    await this.add({ kind: 'rest-started', data: {} });
    const resting = [...(await this.state()).slots.values()].filter(({ slot }) => slot.phase === 'rest');
    await this.add(...resting.map(({ slot }) => ({ kind: 'reading-not-taken', data: { slot, reason: 'not asked here' } })));
  }

  /** Stops, and closes the session with an instructor's initials. */
  async finish(): Promise<this> {
    await this.add(
      { kind: 'test-stopped', data: {} },
      { kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: false } },
    );
    await this.add({ kind: 'session-closed', data: { outcome: 'left', early: { initials: 'KL', reason: 'a test of the program' } } });
    return this;
  }
}
