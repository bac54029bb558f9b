/** The station as this window sees it: what it is, whether it answers, and the records that are open here. */
import type { RecordChange, StationAbout, StationApi } from '../../core/contract/contract.ts';

/** A record that is open in this window. What it is made of is loaded with the first session, not with the first screen. */
interface Feed {
  read(): Promise<void>;
  changed(change: RecordChange): void;
}

export class Station {
  readonly api: StationApi;
  readonly about: StationAbout;
  connected = $state(true);
  /** Counts the station's messages, so that lists know when to ask again. */
  changes = $state(0);
  readonly #feeds = new Map<string, Feed>();

  constructor(api: StationApi, about: StationAbout) {
    this.api = api;
    this.about = about;
    api.subscribe({
      changed: (change) => {
        this.changes += 1;
        this.#feeds.get(change.record)?.changed(change);
      },
      connected: (state) => {
        const lost = !this.connected;
        this.connected = state;
        if (!state || !lost) return;
        this.changes += 1;
        for (const feed of this.#feeds.values()) void feed.read();
        void this.#loadAnewAfterRestore();
      },
    });
  }

  /** A copy took the place of the record while the station was away: what this window has folded may not be there any more. */
  async #loadAnewAfterRestore(): Promise<void> {
    const about = await this.api.call('station.about', {});
    if (about.ok && about.value.restored !== this.about.restored) location.reload();
  }

  /** The feed of a record; the same one however often it is asked for. `record-feed.svelte.ts` has the two kinds. */
  feed<Kind extends Feed>(id: string, make: () => Kind): Kind {
    const known = this.#feeds.get(id);
    // A record is a session or a worksheet for good, so its feed is always of the kind that was made first.
    if (known) return known as Kind;
    const feed = make();
    this.#feeds.set(id, feed);
    void feed.read();
    return feed;
  }
}
