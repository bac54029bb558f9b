/** Runs a rehearsal the way a station does: asks the pair at each step, decides every draft, appends it, and folds. */
import { sha256Hex } from '../../core/record/chain.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import { rehearsalNext, REHEARSAL_AUTHOR } from '../../core/rehearsal/driver.ts';
import { decideSession } from '../../core/session/decide.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import { SessionFold } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { bruceText } from './session-builder.ts';

export class RehearsalRun {
  readonly events: RecordEvent[] = [];
  readonly #fold = new SessionFold();
  #now = 0;
  #state: SessionState | undefined;

  constructor(participant: string, seed: number, options: { readonly records?: boolean; readonly text?: string } = {}) {
    const { records = true, text = bruceText } = options;
    this.#append('session-opened', {
      way: 'rehearsal',
      sheet: { id: 'sheet', version: 1, hash: sha256Hex(text), text },
      wall: '2026-03-02T09:00:00+00:00',
      rehearsal: { participant, seed, rate: 10, records },
    }, 0, 'station');
  }

  get state(): SessionState {
    return (this.#state ??= this.#fold.state());
  }
  get now(): number {
    return this.#now;
  }

  #append(kind: string, data: unknown, taken: number, author: string): void {
    const seq = this.events.length;
    const event: RecordEvent = { record: 'session-rehearsed', seq, kind, version: 1, taken, entered: Math.max(this.#now, taken), author, command: `command-${seq}`, data };
    this.events.push(event);
    this.#fold.add(event);
    this.#state = undefined;
  }

  /** Writes a draft as a person or as the pair; a refusal is an error. */
  write(draft: SessionDraft, author: string = REHEARSAL_AUTHOR): this {
    const decided = decideSession(this.state, draft, { now: this.#now, author });
    if (!decided.ok) throw new Error(`${draft.kind} at ${this.#now}: ${decided.error.message}`);
    this.#append(decided.value.kind, decided.value.data, decided.value.taken, author);
    return this;
  }

  /** Moves the clock on and lets the pair write what it would have written by then. */
  step(milliseconds: number): this {
    this.#now += milliseconds;
    for (const draft of rehearsalNext(this.state, this.#now)) this.write(draft);
    return this;
  }

  /** Until the session is closed, or the longest time is over, or `enough` says so. */
  run(milliseconds: number, enough: (state: SessionState) => boolean = () => false, longest = 90 * 60_000): this {
    while (this.state.phase !== 'worksheet' && this.#now < longest && !enough(this.state)) this.step(milliseconds);
    return this;
  }
}
