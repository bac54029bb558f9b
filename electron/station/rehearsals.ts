/** Lets the simulated pair of an open rehearsal record: asks core what is to be written by now, and appends it. */
import type { SessionDraft } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { Station } from './station.ts';

/** What the simulated pair writes next, given the session and its time. `core/rehearsal/driver.ts` has the real one. */
export type RehearsalNext = (state: SessionState, now: number) => readonly SessionDraft[];

/** At 120 times, a look every 100 ms is one every 12 s of the session: readings fall due further apart than that. */
const LOOK_MS = 100;

export class RehearsalDriver {
  readonly #station: Station;
  readonly #timer: NodeJS.Timeout;
  #next: RehearsalNext | undefined;

  constructor(station: Station, next: Promise<RehearsalNext> = import('../../core/rehearsal/driver.ts').then((driver) => driver.rehearsalNext)) {
    this.#station = station;
    next.then(
      (loaded) => (this.#next = loaded),
      () => station.notices.add('rehearsal', 'warning', 'The simulated participant cannot be loaded; a rehearsal has to be recorded by hand.'),
    );
    this.#timer = setInterval(() => this.look(), LOOK_MS);
  }

  /** One look at every open rehearsal. */
  look(): void {
    if (!this.#next) return;
    for (const id of this.#station.rehearsals()) {
      const session = this.#station.session(id);
      if (!session.ok) continue;
      const { state, now, length } = session.value;
      const drafts = this.#next(state, now);
      if (drafts.length === 0) continue;
      // Named by the place it is written at, so that a restart in between can never write it twice.
      this.#station.append(id, `rehearsal-${id}-${length}`, 'rehearsal', drafts.slice(0, 200));
    }
  }

  stop(): void {
    clearInterval(this.#timer);
  }
}
