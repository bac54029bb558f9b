/** The station as this window sees it: what it is, whether it answers, and the records that are open here. */
import type { StationAbout, StationApi } from '../../core/contract/contract.ts';
import { SessionFeed, WorksheetFeed } from './record-feed.svelte.ts';

export class Station {
  readonly api: StationApi;
  readonly about: StationAbout;
  connected = $state(true);
  /** Counts the station's messages, so that lists know when to ask again. */
  changes = $state(0);
  readonly #sessions = new Map<string, SessionFeed>();
  readonly #worksheets = new Map<string, WorksheetFeed>();

  constructor(api: StationApi, about: StationAbout) {
    this.api = api;
    this.about = about;
    api.subscribe({
      changed: (change) => {
        this.changes += 1;
        this.#sessions.get(change.record)?.changed(change);
        this.#worksheets.get(change.record)?.changed(change);
      },
      connected: (state) => {
        this.connected = state;
        if (!state) return;
        this.changes += 1;
        for (const feed of [...this.#sessions.values(), ...this.#worksheets.values()]) void feed.read();
      },
    });
  }

  /** The feed of a session; the same one however often it is asked for. */
  session(id: string): SessionFeed {
    return this.#feed(this.#sessions, id, () => new SessionFeed(this.api, id));
  }

  worksheet(id: string): WorksheetFeed {
    return this.#feed(this.#worksheets, id, () => new WorksheetFeed(this.api, id));
  }

  #feed<Feed extends { read(): Promise<void> }>(feeds: Map<string, Feed>, id: string, make: () => Feed): Feed {
    let feed = feeds.get(id);
    if (!feed) {
      feed = make();
      feeds.set(id, feed);
      void feed.read();
    }
    return feed;
  }
}
