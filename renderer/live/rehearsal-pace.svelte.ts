/** How fast a rehearsal runs: shown, chosen, and a step faster or slower by key. The station sets it; nothing else can be sped up. */
import type { StationApi } from '../../core/contract/contract.ts';
import type { SessionFeed } from '../app/record-feed.svelte.ts';

/** The paces that are offered, session seconds to a real one; this program's own choice. */
export const RATES: readonly number[] = [1, 2, 5, 10, 20, 30, 60, 120];

export interface RehearsalPaceOf {
  readonly api: StationApi;
  readonly feed: SessionFeed;
  /** Told why the station left the pace as it was. */
  readonly refused: (text: string) => void;
}

/** The pace of one session's clock at this window. */
export class RehearsalPace {
  readonly #of: RehearsalPaceOf;
  #asked = $state<number | undefined>(undefined);
  /** What was asked for last, until the station has said so. */
  readonly rate = $derived.by(() => this.#asked ?? this.#of.feed.clock.rate);

  constructor(of: RehearsalPaceOf) {
    this.#of = of;
  }

  /** The next pace that is offered; nothing in a session that is no rehearsal. */
  async change(by: 1 | -1): Promise<void> {
    if (this.#of.feed.state?.way !== 'rehearsal') return;
    const present = RATES.findIndex((rate) => rate >= this.rate);
    await this.set(RATES[Math.min(RATES.length - 1, Math.max(0, present + by))] ?? 1);
  }

  async set(rate: number): Promise<void> {
    const { api, feed, refused } = this.#of;
    this.#asked = rate;
    const answer = await api.call('rehearsal.rate', { session: feed.id, rate });
    if (!answer.ok) refused(answer.error.message);
    else await feed.read();
    if (this.#asked === rate) this.#asked = undefined;
  }
}
