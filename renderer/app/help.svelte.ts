/** The keys that work now. A screen registers its own while it is shown. */
import { onDestroy } from 'svelte';

export interface KeyGroup {
  readonly title: string;
  readonly keys: readonly (readonly [keys: string, does: string])[];
}

export class Help {
  shown = $state(false);
  /** The groups themselves; not state, since a component that is taken down would read what they were before. */
  readonly #registered = new Set<KeyGroup>();
  #groups = $state.raw<readonly KeyGroup[]>([]);

  get groups(): readonly KeyGroup[] {
    return this.#groups;
  }

  /** Called while a component is made; the keys go when it goes. */
  register(group: KeyGroup): void {
    this.#registered.add(group);
    this.#groups = [...this.#registered];
    onDestroy(() => {
      this.#registered.delete(group);
      this.#groups = [...this.#registered];
    });
  }

  toggle(): void {
    this.shown = !this.shown;
  }
}
