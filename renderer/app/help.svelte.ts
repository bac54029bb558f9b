/** The keys that work now. A screen registers its own while it is shown. */
import { onDestroy, untrack } from 'svelte';

export interface KeyGroup {
  readonly title: string;
  readonly keys: readonly (readonly [keys: string, does: string])[];
}

export class Help {
  shown = $state(false);
  #groups = $state.raw<readonly KeyGroup[]>([]);

  get groups(): readonly KeyGroup[] {
    return this.#groups;
  }

  /** Called while a component is made; the keys go when it goes. */
  register(group: KeyGroup): void {
    // A component that registers does not want to be made again when another does.
    untrack(() => (this.#groups = [...this.#groups, group]));
    onDestroy(() => untrack(() => (this.#groups = this.#groups.filter((other) => other !== group))));
  }

  toggle(): void {
    this.shown = !this.shown;
  }
}
