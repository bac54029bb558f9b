/** The facts of a replay while they are gathered: who states each, in which order they stand, and the session that they make. */
import { sha256Hex } from '../record/chain.ts';
import type { RecordEvent } from '../record/event.ts';
import { sessionVersions, type SessionDraft } from '../session/events.ts';
import { SessionFold } from '../session/fold.ts';
import type { SessionState } from '../session/state.ts';
import type { LabSheet } from '../sheet/schema.ts';
import type { SessionRow } from './rows.ts';

export interface ReplayWarning {
  readonly line?: number;
  readonly text: string;
}

/** A fact, who states it and which row it comes from. */
export interface ReplayFact {
  readonly draft: SessionDraft & { readonly taken: number };
  readonly author: string;
  readonly line: number;
}

export interface Step {
  readonly draft: SessionDraft;
  readonly taken: number;
  readonly author: string;
  readonly line: number;
  /** One of `rank`: what comes first at one moment. */
  readonly rank: number;
  /** For a strike: the step that is taken back. Its place in the record is known when all are in order. */
  readonly strikes?: Step;
}

/** What comes first where several facts describe one moment. */
export const rank = { start: -1, reading: 0, change: 1, setting: 2, remark: 3, stop: 4, reason: 5, recovery: 10, closing: 20 } as const;

export class Steps {
  readonly sheet: LabSheet;
  readonly warnings: ReplayWarning[] = [];
  readonly #sheetText: string;
  readonly #steps: Step[] = [];
  readonly #authors = new Map<string, string>();
  readonly #fallback: string;

  /** @param fallback who states what nobody put a name to. */
  constructor(sheet: LabSheet, sheetText: string, fallback: string) {
    this.sheet = sheet;
    this.#sheetText = sheetText;
    this.#fallback = fallback;
  }

  /** One author's name in one form, however the capitals are written. */
  author(by: string): string {
    const name = by === '' ? this.#fallback : by;
    const known = this.#authors.get(name.toLowerCase());
    if (known === undefined) this.#authors.set(name.toLowerCase(), name);
    return known ?? name;
  }

  /** @param order one of `rank`, or one of them within `rank.recovery`. */
  add(draft: SessionDraft, taken: number, by: string, line: number, order: number, strikes?: Step): Step {
    const step = { draft, taken, author: this.author(by), line, rank: order, ...(strikes ? { strikes } : {}) };
    this.#steps.push(step);
    return step;
  }

  /** Adds a fact that a row states. In recovery it stands after the stop, also where both are at one moment. */
  addFor(row: SessionRow, draft: SessionDraft, taken: number, order: number = rank.reading, strikes?: Step): Step {
    return this.add(draft, taken, row.by, row.line, order + (row.phase === 'recovery' ? rank.recovery : 0), strikes);
  }

  /** A remark in words; an empty one is none. */
  note(row: SessionRow, text: string, taken: number): void {
    if (text !== '') this.addFor(row, { kind: 'note-added', data: { text: text.slice(0, 200) } }, taken, rank.remark);
  }

  warn(text: string, row?: SessionRow): void {
    this.warnings.push(row ? { line: row.line, text } : { text });
  }

  /** All facts in the order in which the station takes them. */
  ordered(): readonly ReplayFact[] {
    const order = this.#inOrder();
    // The station writes session-opened at place 0; the facts follow.
    const place = new Map(order.map((step, index) => [step, index + 1]));
    return order.map(({ draft, taken, author, line, strikes }) => {
      const settled = strikes && draft.kind === 'event-struck' ? { ...draft, data: { ...draft.data, target: place.get(strikes) ?? 0 } } : draft;
      return { draft: { ...settled, taken } as ReplayFact['draft'], author, line };
    });
  }

  /** The session as the facts gathered so far make it, and `further` ones beside them. */
  state(further: readonly ReplayFact[] = []): SessionState {
    const fold = new SessionFold();
    const { id, version } = this.sheet;
    const event = (kind: SessionDraft['kind'], data: unknown, taken: number, author: string, seq: number): RecordEvent => ({ record: 'replay', seq, kind, version: sessionVersions[kind], taken, entered: taken, author, command: 'replay', data });
    fold.add(event('session-opened', { way: 'paper', sheet: { id, version, hash: sha256Hex(this.#sheetText), text: this.#sheetText }, wall: '1970-01-01T00:00:00+00:00' }, 0, 'replay', 0));
    for (const [index, { draft, author }] of [...this.ordered(), ...further].entries()) fold.add(event(draft.kind, draft.data, draft.taken, author, index + 1));
    return fold.state();
  }

  #inOrder(): readonly Step[] {
    return this.#steps
      .map((step, index) => ({ step, index }))
      .toSorted((a, b) => a.step.taken - b.step.taken || a.step.rank - b.step.rank || a.index - b.index)
      .map(({ step }) => step);
  }
}

/** A message of the rules, as the first half of a problem line. */
export function sentence(message: string): string {
  return message.replace(/\.$/, '');
}

/** A question of the rules, as a remark: nobody is there to enter it again. */
export function remark(message: string): string {
  return message.replace(/ Enter again to keep it\.$/, '');
}
