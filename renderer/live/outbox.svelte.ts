/**
 * What this window has sent and not yet seen acknowledged. One command at a time, in order; where the station does not
 * answer, the command is kept with its id and the moment it was entered, and sent again when the station is back.
 * A repeated command is answered by the station and not recorded twice.
 */
import type { RecordSlice, StationApi } from '../../core/contract/contract.ts';
import type { Result } from '../../core/result.ts';
import type { SessionDraft } from '../../core/session/events.ts';

export interface Waiting {
  readonly command: string;
  readonly drafts: readonly SessionDraft[];
  readonly says: string;
  /** Session time at which it was entered, as this window drew it; sent along only where the station was not there to stamp it. */
  readonly moment: number;
}

interface Queued extends Waiting {
  /** Proof of the instructor's passphrase, where one was asked for. */
  readonly unlock: string | undefined;
  readonly answered: (result: Result<RecordSlice>) => void;
  /** This window's monotonic clock when it was entered. */
  readonly queued: number;
  tries: number;
}

export interface OutboxOf {
  readonly api: StationApi;
  readonly session: string;
  readonly author: () => string;
  /** Whether the station is known to answer; while it is not, nothing is sent and the moment is kept. */
  readonly isThere: () => boolean;
  readonly accept: (slice: RecordSlice) => void;
}

/** Held back longer than this, in real milliseconds, the station's own stamp would be the wrong moment. */
const AT_ONCE = 300;
/** How long to wait before a lost command is tried again without a word from the station, in real milliseconds. */
const TRY_AGAIN = 1_000;

/** An answer with one of these codes says nothing about the command: it may or may not have reached the disk. */
const unanswered: ReadonlySet<string> = new Set(['station-lost', 'disconnected', 'unreachable', 'no-answer', 'timeout']);

export class Outbox {
  /** Sent and not acknowledged, oldest first. */
  waiting = $state.raw<readonly Waiting[]>([]);
  /** True from the first send that got no answer until the next answer. */
  lost = $state(false);
  readonly #of: OutboxOf;
  #queue: Queued[] = [];
  #sending = false;
  #timer: ReturnType<typeof setTimeout> | undefined;
  #closed = false;

  constructor(of: OutboxOf) {
    this.#of = of;
  }

  /** Sends drafts as one command: all of them are on disk when this is answered ok, or none is. */
  send(drafts: readonly SessionDraft[], says: string, moment: number, unlock?: string): Promise<Result<RecordSlice>> {
    return new Promise((answered) => {
      this.#queue.push({ command: crypto.randomUUID(), drafts, says, moment: Math.max(0, Math.round(moment)), unlock, answered, queued: performance.now(), tries: 0 });
      this.#show();
      void this.#work();
    });
  }

  /** The station answers again. */
  again(): void {
    clearTimeout(this.#timer);
    this.#timer = undefined;
    void this.#work();
  }

  close(): void {
    this.#closed = true;
    clearTimeout(this.#timer);
  }

  async #work(): Promise<void> {
    if (this.#sending) return;
    this.#sending = true;
    try {
      for (let first = this.#queue[0]; first && !this.#closed && this.#of.isThere(); first = this.#queue[0]) {
        const { command, drafts, moment, tries, queued, unlock } = first;
        first.tries += 1;
        const stamped = tries === 0 && performance.now() - queued < AT_ONCE ? drafts : drafts.map((draft) => (draft.taken === undefined ? { ...draft, taken: moment } : draft));
        const answer = await this.#of.api.call('record.append', { record: this.#of.session, command, author: this.#of.author(), drafts: stamped.map((draft) => ({ ...draft })), ...(unlock === undefined ? {} : { unlock }) });
        if (!answer.ok && unanswered.has(answer.error.code)) {
          this.lost = true;
          this.#timer ??= setTimeout(() => {
            this.#timer = undefined;
            void this.#work();
          }, TRY_AGAIN);
          return;
        }
        this.lost = false;
        this.#queue.shift();
        if (answer.ok) this.#of.accept(answer.value);
        this.#show();
        first.answered(answer);
      }
    } finally {
      this.#sending = false;
    }
  }

  #show(): void {
    this.waiting = this.#queue.map(({ command, drafts, says, moment }) => ({ command, drafts, says, moment }));
  }
}
