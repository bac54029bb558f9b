/**
 * Whether this window may show the instructor's side. Where a passphrase is set it is asked for once, and again after an hour
 * in which nothing was touched. It locks the screen and nothing else.
 */
import type { App } from '../app/app.svelte.ts';

const IDLE_MS = 60 * 60_000;

export class Instructor {
  readonly #app: App;
  /** `asking` until the station has said whether a passphrase is set. */
  state = $state<'asking' | 'locked' | 'open'>('asking');
  /** A passphrase is set, so that it can be locked again. */
  hasLock = $state(false);
  unlock: string | undefined;
  #timer: ReturnType<typeof setTimeout> | undefined;

  constructor(app: App) {
    this.#app = app;
  }

  async ask(): Promise<void> {
    if (this.state === 'open' && this.hasLock) return this.touched();
    const status = await this.#app.station.api.call('passphrase.status', {});
    // A station that cannot say keeps its lock.
    this.hasLock = !status.ok || status.value.set;
    this.state = this.hasLock ? 'locked' : 'open';
  }

  opened(unlock: string | undefined): void {
    this.unlock = unlock;
    this.state = 'open';
    this.touched();
  }

  lock(): void {
    this.unlock = undefined;
    if (this.hasLock) this.state = 'locked';
  }

  touched(): void {
    clearTimeout(this.#timer);
    if (this.hasLock && this.state === 'open') this.#timer = setTimeout(() => this.lock(), IDLE_MS);
  }
}

const sides = new WeakMap<App, Instructor>();
export function instructorOf(app: App): Instructor {
  let side = sides.get(app);
  if (!side) sides.set(app, (side = new Instructor(app)));
  return side;
}
