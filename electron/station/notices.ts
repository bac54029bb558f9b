/** Things that the person should know at once. One of each kind: the newest. */
import type { StationAbout } from '../../core/contract/contract.ts';

type Notice = StationAbout['notices'][number];

/** What every window of the station is told, one notice a kind, the newest last. */
export class Notices {
  readonly #byKind = new Map<string, Notice>();
  /** Told whenever the list is another one, so that windows can ask for it again. */
  told: () => void = () => {};

  add(kind: string, level: Notice['level'], text: string): void {
    const before = this.#byKind.get(kind);
    this.#byKind.delete(kind);
    this.#byKind.set(kind, { level, text });
    if (before?.text !== text || before.level !== level) this.told();
  }

  remove(kind: string): void {
    if (this.#byKind.delete(kind)) this.told();
  }

  list(): readonly Notice[] {
    return [...this.#byKind.values()];
  }
}
