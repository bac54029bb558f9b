/** The station as this window sees it: what it is, whether it answers, and the records that are open here. */
import type { RecordChange, StationAbout, StationApi } from '../../core/contract/contract.ts';
import { STATION_NEWS } from '../../core/contract/station-news.ts';
import { Profile } from './profile.svelte.ts';

/** A record that is open in this window. What it is made of is loaded with the first session, not with the first screen. */
interface Feed {
  read(): Promise<void>;
  changed(change: RecordChange): void;
}

export class Station {
  readonly api: StationApi;
  /** As the station last told it: its notices change. */
  about = $state.raw<StationAbout>() as StationAbout;
  readonly profile: Profile;
  /** Texts of notices that the person has seen in this window: the ones at its opening, and those put away. */
  #seen = $state.raw<ReadonlySet<string>>(new Set());
  /** Notices that came after the window was opened. */
  readonly fresh = $derived.by(() => this.about.notices.filter((notice) => !this.#seen.has(notice.text)));
  connected = $state(true);
  /** Counts the station's messages, so that lists know when to ask again. */
  changes = $state(0);
  readonly #feeds = new Map<string, Feed>();

  constructor(api: StationApi, about: StationAbout) {
    this.api = api;
    this.about = about;
    this.#seen = new Set(about.notices.map((notice) => notice.text));
    this.profile = new Profile(api);
    api.subscribe({
      changed: (change) => {
        this.changes += 1;
        if (change.record === STATION_NEWS) {
          void this.#askAgain();
          this.profile.changed();
          return;
        }
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
    else if (about.ok) this.about = about.value;
  }

  /** What the station says of itself has changed: a notice came or went. */
  async #askAgain(): Promise<void> {
    const about = await this.api.call('station.about', {});
    if (about.ok) this.about = about.value;
  }

  putAway(text: string): void {
    this.#seen = new Set([...this.#seen, text]);
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
