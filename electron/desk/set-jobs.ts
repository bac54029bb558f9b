/** Long work on a set: files being opened and marked, records being marked by another key. It reports, and it can be stopped. */
import { createHash, randomUUID } from 'node:crypto';
import { fileIdOf } from '../../core/marking-set/set-chain.ts';
import type { SetJob } from '../../core/contract/marking-sets.ts';
import type { FoundInFile, OpenedForSet } from './open-for-set.ts';
import type { OpenSet, Stating } from './open-set.ts';
import type { MarkTask } from './mark-child.ts';
import { runInPool, usualLimits, type Done, type Limits } from './pool.ts';
import type { KeptMarking, NewSetFact, PackedRecord } from './set-store.ts';
import { kindOf } from './extract.ts';

export interface IncomingFile {
  readonly name: string;
  readonly folder: string;
  readonly bytes: Uint8Array;
}
type Writable<Value> = { -readonly [Key in keyof Value]: Value[Key] };
interface Running {
  readonly state: Writable<SetJob>;
  readonly stop: AbortController;
  readonly finished: Promise<void>;
}

/** A file that is to be opened, or why it stayed packed. */
interface Unopened extends IncomingFile {
  readonly left?: FoundInFile;
}

interface OpenedOne {
  readonly file: Unopened;
  /** Hash of the key that marked it. */
  readonly key: string | undefined;
  readonly result: Done<Extract<MarkTask, { kind: 'set-file' }>>;
}

/** A packed folder holds a whole class. */
const zipLimits: Limits = { seconds: 30, clockSeconds: 120, megabytes: 900 };
/** Files that are written together: one flush of the disk for all of them. */
const TOGETHER = 25;
/** Finished jobs that can still be asked about. */
const REMEMBERED = 50;

/** Files being opened and marked in children, as jobs that tell how far they are and can be stopped. */
export class SetJobs {
  readonly #jobs = new Map<string, Running>();
  readonly #limits: Limits;

  constructor(limits: Limits = usualLimits) {
    this.#limits = limits;
  }

  get(job: string): SetJob | undefined {
    return this.#jobs.get(job)?.state;
  }

  stop(job: string): SetJob | undefined {
    const running = this.#jobs.get(job);
    if (running !== undefined && !running.state.finished) {
      running.state.stopped = true;
      running.stop.abort();
    }
    return running?.state;
  }

  /** Resolves when the job is over. */
  async done(job: string): Promise<void> {
    await this.#jobs.get(job)?.finished;
  }

  /** Stops everything. */
  end(): void {
    for (const job of this.#jobs.keys()) this.stop(job);
  }

  addFiles(set: OpenSet, at: Omit<Stating, 'wall'> & { readonly wall: () => number }, files: readonly IncomingFile[], job: string = randomUUID()): SetJob {
    return this.#start(job, set, 'add-files', files.length, (state, signal) => addAll(set, at, files, this.#limits, state, signal));
  }

  reMark(set: OpenSet, job: string = randomUUID()): SetJob | undefined {
    const left = set.unmarked();
    if (left.length === 0) return undefined;
    return this.#start(job, set, 're-mark', left.length, (state, signal) => markAgain(set, left, this.#limits, state, signal));
  }

  #start(job: string, set: OpenSet, what: SetJob['what'], of: number, work: (state: Writable<SetJob>, signal: AbortSignal) => Promise<void>): SetJob {
    const known = this.#jobs.get(job);
    if (known !== undefined) return known.state;
    const state: Writable<SetJob> = { job, set: set.id, what, done: 0, of, finished: false, stopped: false, added: [], known: [] };
    const stop = new AbortController();
    if (what === 're-mark') set.job = job;
    const finished = work(state, stop.signal)
      .catch((cause: unknown) => {
        state.trouble = `Something went wrong inside the program (${(cause as Error).message.slice(0, 200)}). What was done before was kept.`;
        process.stderr.write(`stagecall: marking set ${set.id}: ${(cause as Error).stack ?? String(cause)}\n`);
      })
      .finally(() => {
        state.finished = true;
        if (set.job === job) set.job = undefined;
      });
    this.#jobs.set(job, { state, stop, finished });
    for (const [old, running] of this.#jobs) if (this.#jobs.size > REMEMBERED && running.state.finished) this.#jobs.delete(old);
    return state;
  }
}

async function addAll(set: OpenSet, at: Omit<Stating, 'wall'> & { readonly wall: () => number }, files: readonly IncomingFile[], limits: Limits, state: Writable<SetJob>, signal: AbortSignal): Promise<void> {
  const open: Unopened[] = [];
  for (const file of files) {
    if (signal.aborted) return;
    const unpacked = kindOf(file.bytes) === 'zip' ? await unpackFolder(file, signal) : [file];
    open.push(...unpacked);
    state.of += unpacked.length - 1;
  }
  const openSome = (from: number): Promise<readonly OpenedOne[]> =>
    Promise.all(
      open.slice(from, from + TOGETHER).map(async (file) => {
        const { key } = set;
        const result = file.left !== undefined ? { ok: false as const, ...file.left } : await runInPool({ kind: 'set-file', bytes: file.bytes, ...(key === undefined ? {} : { key }) }, limits, signal);
        if (result.ok || result.code !== 'not-opened') state.done += 1;
        return { file, key: key?.hash, result };
      }),
    );
  // The next ones are opened while these are written.
  let next: Promise<readonly OpenedOne[]> | undefined = openSome(0);
  for (let from = TOGETHER; next !== undefined; from += TOGETHER) {
    const current: Promise<readonly OpenedOne[]> = next;
    next = from < open.length && !signal.aborted ? openSome(from) : undefined;
    const done = await current;
    const facts: NewSetFact[] = [];
    const records: PackedRecord[] = [];
    const markings: KeptMarking[] = [];
    const here = new Set(set.state.files.map(({ file }) => file));
    for (const { file, key, result } of done) {
      if (!result.ok && result.code === 'not-opened') continue;
      const opened: OpenedForSet = result.ok ? result.result : { bytes: createHash('sha256').update(file.bytes).digest('hex'), findings: [{ code: result.code, level: 'refusal', text: result.text }] };
      const id = fileIdOf(opened.bytes, file.folder, file.name);
      if (here.has(id)) {
        state.known = [...state.known, id];
        continue;
      }
      here.add(id);
      state.added = [...state.added, id];
      facts.push({ kind: 'file-added', data: { file: id, name: file.name, folder: file.folder, bytes: opened.bytes, size: file.bytes.length, ...(opened.record === undefined ? {} : { record: opened.record.hash }), findings: opened.findings } });
      if (opened.record !== undefined) records.push(opened.record);
      if (opened.record !== undefined && opened.marking !== undefined && key !== undefined) markings.push({ record: opened.record.hash, key, value: opened.marking });
    }
    if (facts.length === 0) continue;
    const written = set.append({ author: at.author, command: at.command, wall: at.wall() }, facts, records, markings);
    if (!written.ok) {
      state.trouble = written.error.message;
      state.added = state.added.slice(0, state.added.length - facts.length);
      return;
    }
  }
}

async function markAgain(set: OpenSet, left: ReturnType<OpenSet['unmarked']>, limits: Limits, state: Writable<SetJob>, signal: AbortSignal): Promise<void> {
  for (let from = 0; from < left.length && !signal.aborted; from += TOGETHER) {
    const done = await Promise.all(
      left.slice(from, from + TOGETHER).map(async ({ record, key }): Promise<readonly KeptMarking[]> => {
        const packed = set.store.record(record);
        if (packed === undefined) return [];
        const result = await runInPool({ kind: 'record', packed, key }, limits, signal);
        if (!result.ok && result.code === 'not-opened') return [];
        state.done += 1;
        return [{ record, key: key.hash, value: result.ok ? result.result : JSON.stringify({ trouble: { code: result.code, level: 'refusal', text: result.text } }) }];
      }),
    );
    const markings = done.flat();
    const kept = set.store.keepMarkings(markings);
    if (!kept.ok) {
      state.trouble = kept.error.message;
      return;
    }
    set.know(markings);
  }
}

/** What is in a packed folder, under the folder's own name; what stays packed is a refused file of its own. */
async function unpackFolder(zip: IncomingFile, signal: AbortSignal): Promise<readonly Unopened[]> {
  const done = await runInPool({ kind: 'zip', bytes: zip.bytes }, zipLimits, signal);
  if (!done.ok) return done.code === 'not-opened' ? [] : [{ ...zip, left: { code: done.code, level: 'refusal', text: done.text } }];
  if (!done.result.ok) return [{ ...zip, left: { code: done.result.error.code, level: 'refusal', text: done.result.error.message } }];
  const folder = [zip.folder, zip.name.replace(/\.zip$/i, '')].filter((part) => part !== '').join('/');
  const { files, left } = done.result.value;
  const inside = (name: string): string => [folder, name].filter((part) => part !== '').join('/').slice(0, 600);
  return [
    ...files.map((file): Unopened => ({ name: file.name, folder: inside(file.folder), bytes: file.bytes })),
    ...left.map(({ name, code, text }): Unopened => ({ name: name.slice(0, 300) || 'a file without a name', folder: inside(''), bytes: Buffer.from(`${code} ${name}`), left: { code, level: 'refusal', text } })),
  ];
}
