/** Lets the simulated pair of an open rehearsal record: asks core what is to be written by now, and appends it. */
import type { Result } from '../../core/result.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { Station } from './station.ts';

/** As `core/rehearsal/driver.ts` has it, which is loaded only when it is first needed. */
const REHEARSAL_AUTHOR = 'rehearsal';

/** What the simulated pair writes next, given the session and its time. `core/rehearsal/driver.ts` has the real one. */
export type RehearsalNext = (state: SessionState, now: number) => readonly SessionDraft[];

/** At 120 times, a look every 100 ms is one every 12 s of the session: readings fall due further apart than that. */
const LOOK_MS = 100;
/** The analyser goes on for two minutes after the stop. */
const BREATHS_AFTER = 120_000;

export class RehearsalDriver {
  readonly #station: Station;
  readonly #timer: NodeJS.Timeout;
  readonly #refusedAt = new Map<string, number>();
  readonly #joining = new Set<string>();
  #next: RehearsalNext | undefined;

  constructor(
    station: Station,
    next: Promise<RehearsalNext> = import('../../core/rehearsal/driver.ts').then((driver) => driver.rehearsalNext),
  ) {
    this.#station = station;
    next.then(
      (loaded) => (this.#next = loaded),
      () =>
        station.notices.add('rehearsal', 'warning', 'The simulated participant cannot be loaded; a rehearsal has to be recorded by hand.'),
    );
    this.#timer = setInterval(() => this.look(), LOOK_MS);
  }

  /** One look at every open rehearsal. */
  look(): void {
    if (!this.#next) return;
    for (const id of this.#station.rehearsals()) {
      const session = this.#station.session(id);
      if (!session.ok || session.value.length === this.#refusedAt.get(id)) continue;
      const { state, now } = session.value;
      this.#joinBreaths(id, state, now);
      const drafts = this.#next(state, now);
      if (drafts.length > 0) this.#write(id, drafts);
    }
  }

  /** The pair of a rehearsal that records by itself joins the simulated analyser's file two minutes after the stop, where the sheet asks for it. */
  #joinBreaths(id: string, state: SessionState, now: number): void {
    const { recovery } = state.starts;
    if (recovery === undefined || now < recovery + BREATHS_AFTER || state.rehearsal?.records !== true || state.series.length > 0 || this.#joining.has(id)) return;
    this.#joining.add(id);
    void this.#join(id, state, now);
  }

  async #join(id: string, state: SessionState, now: number): Promise<void> {
    const { asksForBreaths, joinRehearsedBreaths } = await import('../../core/rehearsal/breath-file.ts');
    if (!asksForBreaths(state.sheet)) return;
    const joined = joinRehearsedBreaths(state, now);
    const hash = joined.ok ? this.#station.keepSeries(joined.value.text) : joined;
    if (joined.ok && hash.ok) this.#append(id, [joined.value.draft(hash.value)]);
  }

  /** All at once if all may be written; else one by one up to the one that may not, for core to think again from there. */
  #write(id: string, drafts: readonly SessionDraft[]): void {
    if (this.#append(id, drafts).ok) return;
    for (const draft of drafts) {
      const written = this.#append(id, [draft]);
      if (written.ok) continue;
      const session = this.#station.session(id);
      if (draft === drafts[0] && session.ok) {
        // Nothing can be written until somebody else does: not asked again before that.
        this.#refusedAt.set(id, session.value.length);
        this.#station.notices.add('rehearsal', 'warning', `The simulated pair could not go on: ${written.error.message}`);
      }
      return;
    }
  }

  /** Named by the place it is written at, so that a restart in between can never write it twice. */
  #append(id: string, drafts: readonly SessionDraft[]): Result<unknown> {
    const session = this.#station.session(id);
    if (!session.ok) return session;
    return this.#station.append(id, `rehearsal-${id}-${session.value.length}-${drafts.length}`, REHEARSAL_AUTHOR, drafts);
  }

  stop(): void {
    clearInterval(this.#timer);
  }
}
