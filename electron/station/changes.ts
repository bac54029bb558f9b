/** Tells every window that a record has grown or its clock has changed. */
import type { RecordChange } from '../../core/contract/contract.ts';

export class Changes {
  readonly #listeners = new Set<(change: RecordChange) => void>();

  subscribe(listener: (change: RecordChange) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  publish(change: RecordChange): void {
    for (const listener of this.#listeners) listener(change);
  }

  get count(): number {
    return this.#listeners.size;
  }
}
