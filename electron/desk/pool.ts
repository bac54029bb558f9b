/** Child processes that mark files, each file within limits: processor time, waiting time and memory. */
import { fork, type ChildProcess } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { availableParallelism } from 'node:os';
import path from 'node:path';
import type { MarkReply, MarkRequest, MarkTask, TaskResult } from './mark-child.ts';
import type { MarkedDeskFile, MarkOptions } from './mark-one.ts';

export interface Limits {
  /** Processor time of one file, in seconds, where the system tells it (Linux). */
  readonly seconds: number;
  /** Time on the clock for one file: a busy machine is not the file's fault, so it is longer. */
  readonly clockSeconds: number;
  /** Memory that one file may add, in MB. */
  readonly megabytes: number;
}
export const usualLimits: Limits = { seconds: 2, clockSeconds: 10, megabytes: 300 };

/** How often a working child is looked at. */
const LOOK_MS = 50;
/** A child that has had nothing to do for this long is ended. */
const IDLE_MS = 10_000;

const entry = path.join(import.meta.dirname, import.meta.filename.endsWith('.ts') ? 'mark-child.ts' : 'mark-child.js');

/** What became of a task: its result, or why it was ended or never begun. */
export type Done<Task extends MarkTask = MarkTask> = { readonly ok: true; readonly result: TaskResult<Task> } | { readonly ok: false; readonly code: string; readonly text: string };

interface Job {
  readonly request: MarkRequest;
  readonly limits: Limits;
  readonly done: (result: Done) => void;
}

class Worker {
  readonly #child: ChildProcess;
  readonly #freed: () => void;
  #job: Job | undefined;
  /** Sent ahead, so that the child never waits for the next file; its time begins when the one before it is done. */
  #ahead: Job | undefined;
  #ready = false;
  #looking: NodeJS.Timeout | undefined;
  #idle: NodeJS.Timeout | undefined;
  dead = false;

  constructor(freed: () => void) {
    this.#freed = freed;
    this.#child = fork(entry, [], {
      serialization: 'advanced',
      execArgv: ['--max-old-space-size=300', '--no-warnings'],
      stdio: ['ignore', 'ignore', 'ignore', 'ipc'],
      // Electron's own executable runs as plain Node here.
      env: { ...pathOnly(process.env), ELECTRON_RUN_AS_NODE: '1' },
    });
    this.#child.on('message', (reply: MarkReply) => this.#heard(reply));
    this.#child.on('exit', () => this.#ended('damaged-badly', 'Opening this file broke off: it is damaged, or it needs too much memory. It was skipped.'));
    this.#child.on('error', () => this.#ended('no-process', 'The process that opens files could not be started. Start the program again.'));
    // While it starts, a file is waiting for it; once it is idle nobody has to wait for it to leave (`#rest`).
  }

  get free(): boolean {
    return this.#ready && !this.dead && this.#job === undefined;
  }
  get takesAhead(): boolean {
    return this.#ready && !this.dead && this.#job !== undefined && this.#ahead === undefined;
  }
  get pid(): number | undefined {
    return this.#child.pid;
  }

  give(job: Job): void {
    this.#child.send(job.request);
    if (this.#job === undefined) this.#begin(job);
    else this.#ahead = job;
  }

  /** A job that was sent ahead to a child that has died: it was never begun, and another child takes it. */
  takeBack(): Job | undefined {
    const job = this.#ahead;
    this.#ahead = undefined;
    return job;
  }

  #begin(job: Job): void {
    clearTimeout(this.#idle);
    this.#job = job;
    this.#child.ref();
    this.#child.channel?.ref();
    const begun = { clock: performance.now(), use: useOf(this.#child.pid) };
    this.#looking = setInterval(() => this.#look(job, begun), LOOK_MS);
  }

  kill(): void {
    this.dead = true;
    clearTimeout(this.#idle);
    this.#child.kill('SIGKILL');
  }

  #look({ limits }: Job, begun: { readonly clock: number; readonly use: Use | undefined }): void {
    const use = useOf(this.#child.pid);
    const clock = (performance.now() - begun.clock) / 1000;
    const seconds = use === undefined || begun.use === undefined ? undefined : use.seconds - begun.use.seconds;
    const megabytes = use === undefined || begun.use === undefined ? 0 : use.megabytes - begun.use.megabytes;
    if ((seconds ?? 0) > limits.seconds || clock > (seconds === undefined ? limits.seconds * 2 : limits.clockSeconds)) {
      this.#stop('too-slow', `Opening this file took more than ${limits.seconds} seconds, which no worksheet needs. It was skipped.`);
    } else if (megabytes > limits.megabytes) {
      this.#stop('too-much-memory', `Opening this file took more than ${limits.megabytes} MB of memory, which no worksheet needs. It was skipped.`);
    }
  }

  #stop(code: string, text: string): void {
    this.#ended(code, text);
    this.kill();
  }

  #heard(reply: MarkReply): void {
    if (reply.kind === 'ready') {
      this.#ready = true;
      this.#rest();
      this.#freed();
    } else if (this.#job?.request.id === reply.id) this.#finish({ ok: true, result: reply.result });
  }

  #ended(code: string, text: string): void {
    this.dead = true;
    if (this.#job) this.#finish({ ok: false, code, text });
    else this.#freed();
  }

  #finish(result: Done): void {
    clearInterval(this.#looking);
    const job = this.#job;
    this.#job = undefined;
    const ahead = this.dead ? undefined : this.takeBack();
    if (ahead !== undefined) this.#begin(ahead);
    else if (!this.dead) this.#rest();
    job?.done(result);
    this.#freed();
  }

  #rest(): void {
    this.#child.unref();
    this.#child.channel?.unref();
    clearTimeout(this.#idle);
    this.#idle = setTimeout(() => this.kill(), IDLE_MS);
    this.#idle.unref();
  }
}

interface Use {
  readonly seconds: number;
  readonly megabytes: number;
}

/** Processor seconds and resident memory of a process, where /proc tells them. Clock ticks are a hundredth of a second on Linux. */
function useOf(pid: number | undefined): Use | undefined {
  if (pid === undefined || process.platform !== 'linux') return undefined;
  try {
    const stat = readFileSync(`/proc/${pid}/stat`, 'latin1');
    const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
    const resident = /^VmRSS:\s+(\d+) kB/m.exec(readFileSync(`/proc/${pid}/status`, 'latin1'))?.[1];
    return { seconds: (Number(fields[11]) + Number(fields[12])) / 100, megabytes: Number(resident ?? 0) / 1024 };
  } catch {
    return undefined;
  }
}

/** A child needs nothing of the environment but what the system needs to start it. */
function pathOnly(env: NodeJS.ProcessEnv): NodeJS.ProcessEnv {
  const kept = ['PATH', 'SystemRoot', 'TEMP', 'TMP', 'TMPDIR', 'HOME', 'LANG', 'TZ', 'LD_LIBRARY_PATH'];
  return Object.fromEntries(kept.flatMap((name) => (env[name] === undefined ? [] : [[name, env[name]]])));
}

/** The pool of this process. Its children outlive a call, so that a class marked in parts does not start them anew. */
class Pool {
  readonly #workers: Worker[] = [];
  readonly #queue: Job[] = [];
  #next = 1;
  #failedStarts = 0;

  /** Never more than leave a processor to the live session. */
  readonly #most = Math.max(1, Math.min(4, availableParallelism() - 1));

  run(task: MarkTask, limits: Limits, signal?: AbortSignal): Promise<Done> {
    return new Promise((resolve) => {
      if (signal?.aborted === true) return resolve(notBegun);
      const stopped = (): void => {
        const at = this.#queue.indexOf(job);
        if (at < 0) return;
        this.#queue.splice(at, 1);
        resolve(notBegun);
      };
      const job: Job = {
        request: { id: this.#next++, task },
        limits,
        done: (result) => {
          // Else the signal would hold the file's bytes for as long as it lives.
          signal?.removeEventListener('abort', stopped);
          resolve(result);
        },
      };
      signal?.addEventListener('abort', stopped, { once: true });
      this.#queue.push(job);
      this.#pump();
    });
  }

  #pump(): void {
    for (let at = this.#workers.length - 1; at >= 0; at -= 1) {
      const worker = this.#workers[at];
      if (!worker?.dead) continue;
      const back = worker.takeBack();
      if (back !== undefined) this.#queue.unshift(back);
      this.#workers.splice(at, 1);
    }
    for (const worker of this.#workers) {
      if (!worker.free) continue;
      const job = this.#queue.shift();
      if (job === undefined) return;
      worker.give(job);
    }
    for (const worker of this.#workers) {
      if (!worker.takesAhead) continue;
      const job = this.#queue.shift();
      if (job === undefined) return;
      worker.give(job);
    }
    while (this.#queue.length > 0 && this.#workers.length < this.#most && this.#failedStarts < 5) this.#start();
    if (this.#failedStarts >= 5) for (const job of this.#queue.splice(0)) job.done({ ok: false, code: 'no-process', text: 'The process that opens files could not be started. Start the program again.' });
  }

  #start(): void {
    let wasReady = false;
    const worker: Worker = new Worker(() => {
      if (worker.dead && !wasReady) this.#failedStarts += 1;
      if (!worker.dead) {
        wasReady = true;
        this.#failedStarts = 0;
      }
      this.#pump();
    });
    this.#workers.push(worker);
  }

  end(): void {
    for (const worker of this.#workers.splice(0)) worker.kill();
  }
}

let pool: Pool | undefined;

const notBegun: Done = { ok: false, code: 'not-opened', text: 'Marking was stopped before this file was opened.' };

/** Runs a task in a child, within limits. Never throws: what is not foreseen is an answer too. */
export async function runInPool<Task extends MarkTask>(task: Task, limits: Limits = usualLimits, signal?: AbortSignal): Promise<Done<Task>> {
  if (pool === undefined) {
    const made = new Pool();
    pool = made;
    process.once('exit', () => made.end());
  }
  return (await pool.run(task, limits, signal)) as Done<Task>;
}

export async function markInPool(name: string, bytes: Uint8Array, options: MarkOptions, limits: Limits, signal?: AbortSignal): Promise<MarkedDeskFile> {
  const done = await runInPool({ kind: 'file', name, bytes, options }, limits, signal);
  return done.ok ? done.result : { file: name, status: 'refused', findings: [{ code: done.code, level: 'refusal', text: done.text }] };
}

/** Ends the children at once. The next file starts new ones. */
export function endPool(): void {
  pool?.end();
  pool = undefined;
}
