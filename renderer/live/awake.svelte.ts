/** Keeps the screen on while a test or a recovery runs, where the browser lets a page do so; where not, that is said. */
const REFUSED = 'The screen may go dark: switch off its saver for this test.';
const ASK_AGAIN = 5_000;

interface Lock extends EventTarget {
  release(): Promise<void>;
}
interface WakeLock {
  request(kind: 'screen'): Promise<Lock>;
}

export class Awake {
  /** In words, while the screen is wanted on and the browser does not keep it on. */
  refused = $state<string | undefined>(undefined);
  #wanted = false;
  #lock: Lock | undefined;
  #asking = false;
  #again: ReturnType<typeof setTimeout> | undefined;

  constructor() {
    document.addEventListener('visibilitychange', this.#ask);
  }

  want(wanted: boolean): void {
    if (wanted === this.#wanted) return;
    this.#wanted = wanted;
    if (wanted) void this.#ask();
    else this.#release();
  }

  close(): void {
    document.removeEventListener('visibilitychange', this.#ask);
    this.#wanted = false;
    this.#release();
  }

  #release(): void {
    clearTimeout(this.#again);
    void this.#lock?.release();
    this.#lock = undefined;
    this.refused = undefined;
  }

  /** A browser takes the lock away whenever the window is out of sight; it is asked for again as soon as it is seen. */
  readonly #ask = async (): Promise<void> => {
    if (!this.#wanted || this.#lock || this.#asking || document.visibilityState !== 'visible') return;
    this.#asking = true;
    clearTimeout(this.#again);
    try {
      const lock = await (navigator as { readonly wakeLock?: WakeLock }).wakeLock?.request('screen');
      if (!lock) throw new Error('this browser has no wake lock');
      lock.addEventListener('release', () => {
        if (this.#lock !== lock) return;
        this.#lock = undefined;
        void this.#ask();
      });
      this.refused = undefined;
      if (this.#wanted) this.#lock = lock;
      else void lock.release();
    } catch {
      this.refused = this.#wanted ? REFUSED : undefined;
      // Some refuse until the window has been clicked, or while the battery is low.
      if (this.#wanted) this.#again = setTimeout(() => void this.#ask(), ASK_AGAIN);
    } finally {
      this.#asking = false;
    }
  };
}
