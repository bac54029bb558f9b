/** Keeps the station's process going: starts it, and starts it again on the same port if it dies. */
import { fork, type ChildProcess } from 'node:child_process';
import type { Server } from 'node:net';
import path from 'node:path';
import { programRoot } from '../program-root.ts';
import { rememberedAddress } from './address-file.ts';
import { openDoor, PREFERRED_PORT } from './listen.ts';
import { START_AGAIN, type FromChild, type ToChild } from './messages.ts';

export interface SupervisorOptions {
  readonly folder: string;
  /** Folder of the station's built file, which starts faster than its TypeScript. Only where it is known to be up to date. */
  readonly built?: string;
  /** Why this shell and not another. */
  readonly why?: string;
  /** Told when the door is open, while the station behind it still has to start: time enough to start a browser. */
  readonly listening?: (address: { readonly port: number; readonly token: string }) => void;
  /** Told each time the station's process was started anew after it had died. */
  readonly restarted?: (how: string) => void;
  /** Told when it dies so often that starting it again is no use. */
  readonly gaveUp?: (how: string) => void;
}

export type Started =
  | { readonly kind: 'in-use' }
  | {
      readonly kind: 'ready';
      readonly port: number;
      readonly token: string;
      /** Why there is no station, in words. */ readonly fault?: string;
    };

/** This many deaths within this time mean that a restart does not help. */
const MOST_DEATHS = 50;
const WITHIN_MS = 20_000;

/** Keeps a station’s process running: starts it again on the same port when it ends by itself. */
export class Supervisor {
  readonly #options: SupervisorOptions;
  #child: ChildProcess | undefined;
  #prepared: ChildProcess | undefined;
  #port = 0;
  #token = '';
  /** Whether a station's process has ever answered. */
  #answered = false;
  #ending = false;
  #deaths: number[] = [];

  constructor(options: SupervisorOptions) {
    this.#options = options;
  }

  /** Lets the station's process load its code, while the caller sees to other things. */
  prepare(): void {
    this.#prepared ??= this.#fork();
  }

  /** Starts the station's process. @returns where it answers, or that another one has the folder. */
  async start(): Promise<Started> {
    const { token, port: last } = rememberedAddress(this.#options.folder);
    const { door, port } = await openDoor([...(last === undefined ? [] : [last]), PREFERRED_PORT, 0]);
    this.#token = token;
    this.#port = port;
    const started = this.#spawn(door);
    this.#options.listening?.({ port, token });
    return started;
  }

  /** Process id of the station, for the tests that kill it. */
  get pid(): number | undefined {
    return this.#child?.pid;
  }

  /** How much the station is needed: tests going on, windows listening. Nothing is known while it is being restarted. */
  needed(): Promise<{ readonly running: number; readonly windows: number } | undefined> {
    const child = this.#child;
    if (!child?.connected) return Promise.resolve(undefined);
    return new Promise((resolve) => {
      const timer = setTimeout(() => finish(undefined), 1_000);
      const heard = (message: FromChild): void => {
        if (message.kind === 'needed') finish(message);
      };
      const finish = (answer: { running: number; windows: number } | undefined): void => {
        clearTimeout(timer);
        child.off('message', heard);
        resolve(answer);
      };
      child.on('message', heard);
      child.send({ kind: 'needed?' } satisfies ToChild, (failed) => failed && finish(undefined));
    });
  }

  /** Ends the station's process for good. */
  async end(): Promise<void> {
    this.#ending = true;
    const child = this.#child ?? this.#prepared;
    if (!child || child.exitCode !== null || child.signalCode !== null) return;
    await new Promise<void>((resolve) => {
      const timer = setTimeout(() => child.kill('SIGKILL'), 3_000);
      child.once('exit', () => {
        clearTimeout(timer);
        resolve();
      });
      if (child.connected) child.send({ kind: 'end' } satisfies ToChild, () => {});
      else child.kill('SIGTERM');
    });
  }

  #fork(): ChildProcess {
    const { built } = this.#options;
    const file = built === undefined ? path.join(import.meta.dirname, 'child.ts') : path.join(built, 'loopback.js');
    return fork(file, [this.#options.folder, this.#options.why ?? ''], {
      execArgv: process.execArgv,
      // Halves the time in which it is back (measured: 600 ms to 260 ms).
      env: { NODE_COMPILE_CACHE: path.join(programRoot, 'node_modules', '.cache', 'compile'), ...process.env },
      stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
    });
  }

  /** @param door handed on to the process, and closed here. */
  #spawn(door?: Server): Promise<Started> {
    const child = this.#prepared ?? this.#fork();
    this.#prepared = undefined;
    child.send({ kind: 'go', port: this.#port, token: this.#token } satisfies ToChild, door, () => door?.close());
    this.#child = child;
    return new Promise((resolve, reject) => {
      let told = false;
      child.on('message', (message: FromChild) => {
        if (message.kind !== 'ready' && message.kind !== 'in-use') return;
        told = this.#answered = true;
        resolve(message.kind === 'in-use' ? message : { ...message, port: this.#port, token: this.#token });
      });
      child.once('error', reject);
      child.once('exit', (code, signal) => {
        const how = signal ?? (code === START_AGAIN ? 'a copy took the place of the record' : `exit code ${code}`);
        if (!this.#answered) return reject(new Error(`the station's process ended at once (${how})`));
        if (!this.#ending && code !== 0) this.#again(how, told);
      });
    });
  }

  /** @param ran whether the process had been answering: then at once; one that cannot even start is given time. */
  #again(how: string, ran: boolean): void {
    const now = Date.now();
    this.#deaths = [...this.#deaths.filter((death) => now - death < WITHIN_MS), now];
    if (this.#deaths.length > MOST_DEATHS) return this.#options.gaveUp?.(how);
    if (!ran) return void setTimeout(() => this.#ending || this.#respawn(how), 50 * this.#deaths.length);
    this.#respawn(how);
  }

  #respawn(how: string): void {
    this.#spawn().then(
      (started) =>
        started.kind === 'in-use' ? this.#options.gaveUp?.('another program took over its data folder') : this.#options.restarted?.(how),
      // It ended again before it answered: its own exit handler has started the next one.
      () => {},
    );
  }
}
