/** The station's profile as this window knows it: asked for when a screen first needs it, and again when the station says that it is another. */
import type { StationApi } from '../../core/contract/contract.ts';
import type { StationProfile } from '../../core/profile/schema.ts';

export class Profile {
  readonly #api: StationApi;
  #asked = false;
  #known = $state.raw<StationProfile | undefined>(undefined);
  /** What is wrong with the file, where it cannot be used. */
  problems = $state.raw<readonly string[]>([]);

  constructor(api: StationApi) {
    this.#api = api;
  }

  /** Undefined where the station has none, or until its answer has come. */
  get current(): StationProfile | undefined {
    if (!this.#asked) {
      this.#asked = true;
      queueMicrotask(() => void this.read());
    }
    return this.#known;
  }

  /** The station says that something has changed. */
  changed(): void {
    if (this.#asked) void this.read();
  }

  async read(): Promise<void> {
    this.#asked = true;
    const answer = await this.#api.call('profile.read', {});
    if (!answer.ok) return;
    this.#known = answer.value.profile;
    this.problems = answer.value.problems;
  }
}
