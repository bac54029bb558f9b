/** Rows of gas exchange files that this window has asked the station for, by hash. They never change. */
import { SvelteMap, SvelteSet } from 'svelte/reactivity';
import type { StationApi } from '../../core/contract/contract.ts';

export class SeriesShelf {
  readonly #api: StationApi;
  readonly #texts = new SvelteMap<string, string>();
  readonly #failed = new SvelteMap<string, string>();
  readonly #asked = new SvelteSet<string>();

  constructor(api: StationApi) {
    this.#api = api;
  }

  /** Undefined until the rows have come, or where the station does not have them. */
  readonly text = (hash: string): string | undefined => this.#texts.get(hash);

  failure(hash: string): string | undefined {
    return this.#failed.get(hash);
  }

  /** Has the rows of a session's file fetched; call it in an effect. */
  async want(hash: string | undefined): Promise<void> {
    if (hash === undefined || this.#asked.has(hash)) return;
    this.#asked.add(hash);
    const answer = await this.#api.call('series.get', { hash });
    if (answer.ok) this.#texts.set(hash, answer.value.text);
    else {
      this.#failed.set(hash, answer.error.message);
      this.#asked.delete(hash);
    }
  }

  /** Rows that this window has just put there itself. */
  put(hash: string, text: string): void {
    this.#asked.add(hash);
    this.#texts.set(hash, text);
  }
}

const shelves = new WeakMap<StationApi, SeriesShelf>();

/** The shelf of a station; one a window. */
export function shelfOf(api: StationApi): SeriesShelf {
  let shelf = shelves.get(api);
  if (!shelf) {
    shelf = new SeriesShelf(api);
    shelves.set(api, shelf);
  }
  return shelf;
}
