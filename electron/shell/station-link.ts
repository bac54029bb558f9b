/**
 * The main process's line to the station's own process. If that dies it is started again, and what was not answered is
 * sent once more under the same command ids.
 */
import type { CommandName, RecordChange } from '../../core/contract/contract.ts';
import { failure, type Result } from '../../core/result.ts';

/** To the station's process. */
export interface Ask {
  readonly id: number;
  readonly name: string;
  readonly input: unknown;
}
/** From it. */
export type Tell =
  | { readonly kind: 'ready'; /** Why there is no station, in words. */ readonly fault?: string }
  | { readonly kind: 'answer'; readonly id: number; readonly result: Result<unknown> }
  | { readonly kind: 'change'; readonly change: RecordChange; /** Tests and recoveries going on. */ readonly running: number };

/** What the link needs of a process: Electron's `utilityProcess`, or a stand-in in a test. */
export interface StationProcess {
  post(message: Ask | { readonly kind: 'end' }): void;
  onMessage(listener: (message: Tell) => void): void;
  onExit(listener: (code: number) => void): void;
  kill(): void;
}

export interface LinkOptions {
  readonly spawn: () => StationProcess;
  readonly changed: (change: RecordChange) => void;
  readonly connected: (state: boolean) => void;
  /** Tests and recoveries going on, whenever that changes. */
  readonly running: (count: number) => void;
}

const MOST_DEATHS = 20;
const WITHIN_MS = 20_000;

export class StationLink {
  readonly #options: LinkOptions;
  readonly #waiting = new Map<number, { readonly ask: Ask; readonly answer: (result: Result<unknown>) => void }>();
  #process: StationProcess | undefined;
  #ready = false;
  #ending = false;
  #nextId = 1;
  #deaths: number[] = [];
  #running = 0;

  constructor(options: LinkOptions) {
    this.#options = options;
    this.#spawn();
  }

  get isConnected(): boolean {
    return this.#ready;
  }

  /** Tests and recoveries going on, as far as is known. */
  get running(): number {
    return this.#running;
  }

  call(name: CommandName | string, input: unknown): Promise<Result<unknown>> {
    if (this.#ending) return Promise.resolve(failure('closed', 'The program is closing.'));
    return new Promise((answer) => {
      const ask: Ask = { id: this.#nextId++, name, input };
      this.#waiting.set(ask.id, { ask, answer });
      if (this.#ready) this.#process?.post(ask);
    });
  }

  /** Lets the station's process flush and end. */
  end(): void {
    this.#ending = true;
    this.#process?.post({ kind: 'end' });
  }

  #spawn(): void {
    const station = this.#options.spawn();
    this.#process = station;
    station.onMessage((message) => this.#heard(message));
    station.onExit((code) => {
      if (this.#process !== station) return;
      const wasReady = this.#ready;
      this.#ready = false;
      this.#process = undefined;
      if (this.#ending) return;
      this.#options.connected(false);
      const now = Date.now();
      this.#deaths = [...this.#deaths.filter((death) => now - death < WITHIN_MS), now];
      // At once if it had been running; one that cannot even start is given time.
      if (this.#deaths.length <= MOST_DEATHS)
        return wasReady ? this.#spawn() : void setTimeout(() => this.#ending || this.#spawn(), 50 * this.#deaths.length);
      const given = failure(
        'station-gone',
        `The station’s process ends again and again (code ${code}). Everything acknowledged is on disk. Carry on on paper, close the program and start it anew.`,
      );
      for (const { answer } of this.#waiting.values()) answer(given);
      this.#waiting.clear();
    });
  }

  #heard(message: Tell): void {
    if (message.kind === 'ready') {
      this.#ready = true;
      // In the order in which they were asked.
      for (const { ask } of this.#waiting.values()) this.#process?.post(ask);
      this.#options.connected(true);
    } else if (message.kind === 'answer') {
      const waiting = this.#waiting.get(message.id);
      this.#waiting.delete(message.id);
      waiting?.answer(message.result);
    } else {
      if (message.running !== this.#running) this.#options.running((this.#running = message.running));
      this.#options.changed(message.change);
    }
  }
}
