/** Things that the person should know at once. One of each kind: the newest. */
import type { StationAbout } from '../../core/contract/contract.ts';

type Notice = StationAbout['notices'][number];

export class Notices {
  readonly #byKind = new Map<string, Notice>();

  add(kind: string, level: Notice['level'], text: string): void {
    this.#byKind.delete(kind);
    this.#byKind.set(kind, { level, text });
  }

  remove(kind: string): void {
    this.#byKind.delete(kind);
  }

  list(): readonly Notice[] {
    return [...this.#byKind.values()];
  }
}
