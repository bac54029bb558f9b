/** One marking set at this window: what the station says of it, what is chosen, and what the marker states. */
import type { SetDraft, SetJob } from '../../core/contract/marking-sets.ts';
import type { SetFileDetail, SetHistoryLine, SetView } from '../../core/marking-set/view-types.ts';
import type { ExportedFile } from '../../core/contract/contract.ts';
import { success, type Failure, type Result } from '../../core/result.ts';
import { packed, type PackedFile } from '../../core/zip-store.ts';
import type { App } from '../app/app.svelte.ts';
import { base64Of, bytesOf } from '../shared/base64.ts';
import type { HandedIn } from './dropped-files.ts';
import { absentStudents, byStudent, isIn, setLineOf, type ListName, type SetLine } from './set-words.ts';

export type Panel = 'worksheet' | 'key' | 'roster' | 'changes' | 'out' | 'history';

/** So many files, or so many bytes, go to the station at once: few enough that stop works, many enough to be quick. */
const TOGETHER = 40;
const TOGETHER_BYTES = 12 * 1024 * 1024;
/** A packed folder of a whole class; one file inside may have far less. The contract takes no more. */
const LARGEST_FILE = 100 * 1024 * 1024;
const POLL_MS = 120;

export class SetDesk {
  readonly app: App;
  readonly id: string;
  view = $state.raw<SetView | undefined>();
  failed = $state.raw<Failure | undefined>();
  detail = $state.raw<SetFileDetail | undefined>();
  history = $state.raw<readonly SetHistoryLine[]>([]);
  chosen = $state<string | undefined>();
  list = $state<ListName>('all');
  panel = $state<Panel>('worksheet');
  said = $state.raw<{ readonly level: 'info' | 'warning'; readonly text: string } | undefined>();
  progress = $state.raw<{ readonly what: string; readonly done: number; readonly of: number } | undefined>();
  /** Files that came with the last adding. */
  fresh = $state.raw<ReadonlySet<string>>(new Set());
  wantsInitials = $state(false);
  /** For feedback pages: the class's figures are in them; and the paper. */
  ownPoint = $state(false);
  paper = $state<'A4' | 'Letter'>('A4');
  #stopped = false;
  #job: string | undefined;
  #asked = 0;

  readonly lines = $derived((this.view?.files ?? []).map((row) => setLineOf(row, this.view as SetView)).toSorted(byStudent));
  readonly movedFiles = $derived(new Set(this.view?.moved.map((one) => one.file) ?? []));
  readonly shown = $derived(this.lines.filter((line) => isIn(this.list, line, this.movedFiles)));
  readonly absent = $derived(this.view === undefined ? [] : absentStudents(this.view));
  readonly counts = $derived.by(() => {
    const of = (list: ListName): number => this.lines.filter((line) => isIn(list, line, this.movedFiles)).length;
    return { read: this.lines.length, check: of('check'), waiting: of('waiting'), refused: of('refused'), moved: of('moved'), absent: this.absent.length, marked: this.lines.filter((line) => line.row.status === 'counts').length };
  });
  readonly current = $derived(this.lines.find((line) => line.file === this.chosen) ?? this.shown[0]);
  readonly isArchived = $derived(this.view?.archived !== undefined);

  constructor(app: App, id: string) {
    this.app = app;
    this.id = id;
  }

  get #api() {
    return this.app.station.api;
  }

  async open(): Promise<void> {
    const opened = await this.#api.call('set.open', { set: this.id });
    if (!opened.ok) return void (this.failed = opened.error);
    this.#show(opened.value);
  }

  #show(view: SetView): void {
    this.failed = undefined;
    this.view = view;
    if (this.chosen === undefined || !view.files.some((row) => row.file === this.chosen)) this.chosen = this.shown[0]?.file;
    void this.#read();
    if (view.job !== undefined && this.#job === undefined && this.progress === undefined) void this.#follow(view.job, 'marked again');
  }

  choose(file: string): void {
    if (this.panel !== 'worksheet') this.panel = 'worksheet';
    if (file === this.chosen) return;
    this.chosen = file;
    void this.#read();
  }

  /** A reading of the chosen file; one that was overtaken by another choice is dropped. */
  async #read(): Promise<void> {
    const file = this.current?.file;
    const asked = ++this.#asked;
    if (file === undefined) return void (this.detail = undefined);
    const read = await this.#api.call('set.read', { set: this.id, file });
    if (asked !== this.#asked) return;
    if (read.ok) this.detail = read.value;
    else this.said = { level: 'warning', text: read.error.message };
  }

  /** The line before or after the chosen one in the list that is shown. */
  neighbour(by: 1 | -1, wanted: (line: SetLine) => boolean = () => true): SetLine | undefined {
    const at = this.shown.findIndex((line) => line.file === this.current?.file);
    for (let next = at + by; next >= 0 && next < this.shown.length; next += by) {
      const line = this.shown[next];
      if (line && wanted(line)) return line;
    }
    return undefined;
  }

  /** Marks name who gave them: nothing is stated without initials. */
  #author(): string | undefined {
    const { initials } = this.app.person;
    this.wantsInitials = initials === '';
    if (initials === '') this.said = { level: 'warning', text: 'Give your initials first, at the top: every mark names who gave it. Nothing was changed.' };
    return initials === '' ? undefined : initials;
  }

  /** States facts. What stands is shown again from the station's answer. */
  async state(drafts: readonly SetDraft[], says = ''): Promise<boolean> {
    const author = this.#author();
    if (author === undefined) return false;
    const answer = await this.#api.call('set.append', { set: this.id, command: newCommand(), author, drafts: [...drafts] });
    if (!answer.ok) {
      this.said = { level: 'warning', text: answer.error.message };
      return false;
    }
    this.said = says === '' ? undefined : { level: 'info', text: says };
    this.#show(answer.value);
    if (this.panel === 'history') void this.readHistory();
    return true;
  }

  /** Takes an earlier fact back. */
  async withdraw(target: string, says = 'Taken back. Both are kept in the history.'): Promise<boolean> {
    return this.state([{ kind: 'withdrawn', data: { target, reason: `Taken back at the desk by ${this.app.person.initials}` } }], says);
  }

  async readHistory(): Promise<void> {
    const answer = await this.#api.call('set.history', { set: this.id });
    if (answer.ok) this.history = answer.value;
    else this.said = { level: 'warning', text: answer.error.message };
  }

  async add(files: readonly HandedIn[]): Promise<void> {
    if (files.length === 0 || this.progress !== undefined) return;
    const author = this.#author();
    if (author === undefined) return;
    this.#stopped = false;
    this.said = undefined;
    const added: string[] = [];
    let known = 0;
    let done = 0;
    const troubles: string[] = [];
    for (const batch of batchesOf(files)) {
      if (this.#stopped) break;
      this.progress = { what: 'read', done, of: files.length };
      const whole = batch.filter(({ file }) => file.size <= LARGEST_FILE);
      for (const { file } of batch) if (file.size > LARGEST_FILE) troubles.push(`${file.name} is far larger than handed-in work can be and was not opened.`);
      const sent = await Promise.all(whole.map(async ({ file, folder }) => ({ name: file.name, folder, base64: base64Of(new Uint8Array(await file.arrayBuffer())) })));
      if (sent.length > 0) {
        const begun = await this.#api.call('set.add-files', { set: this.id, command: newCommand(), author, files: sent });
        const job = begun.ok ? await this.#until(begun.value, (state) => (this.progress = { what: 'read', done: done + Math.min(state.done, batch.length), of: Math.max(files.length, state.of) })) : undefined;
        if (!begun.ok || job === undefined) {
          troubles.push(begun.ok ? 'The station did not say how far it came.' : begun.error.message);
          break;
        }
        added.push(...job.added);
        known += job.known.length;
        if (job.trouble !== undefined) troubles.push(job.trouble);
      }
      done += batch.length;
    }
    this.progress = undefined;
    this.fresh = new Set(added);
    await this.open();
    const parts = [`${added.length} new`, ...(known > 0 ? [`${known} here already`] : []), ...(this.#stopped ? [`stopped after ${done} of ${files.length}; what was read is kept`] : []), ...troubles];
    this.said = { level: troubles.length > 0 ? 'warning' : 'info', text: `${parts.join('; ')}.`.replace(/\.\.$/, '.') };
    if (added.length > 0) this.list = 'all';
  }

  /** Marking that runs on its own, after a changed key. */
  async #follow(job: string, what: string): Promise<void> {
    const begun = await this.#api.call('set.progress', { job });
    if (begun.ok) await this.#until(begun.value, (state) => (this.progress = { what, done: state.done, of: state.of }));
    this.progress = undefined;
    await this.open();
  }

  async #until(begun: SetJob, tell: (job: SetJob) => void): Promise<SetJob | undefined> {
    let job = begun;
    this.#job = job.job;
    while (!job.finished) {
      tell(job);
      if (this.#stopped) await this.#api.call('set.stop', { job: job.job });
      await new Promise((resolve) => setTimeout(resolve, POLL_MS));
      const asked = await this.#api.call('set.progress', { job: job.job });
      if (!asked.ok) {
        this.#job = undefined;
        return undefined;
      }
      job = asked.value;
    }
    this.#job = undefined;
    return job;
  }

  stop(): void {
    this.#stopped = true;
    if (this.#job !== undefined) void this.#api.call('set.stop', { job: this.#job });
  }

  async saveMarks(form: 'long' | 'wide' | 'json', changesOnly = false): Promise<void> {
    const author = this.#author();
    if (author === undefined) return;
    await this.#save(await this.#api.call('set.export-marks', { set: this.id, command: newCommand(), author, form, changesOnly }));
  }

  async saveSet(): Promise<void> {
    await this.#save(await this.#api.call('set.export', { set: this.id }));
  }

  async #save(made: Result<ExportedFile>): Promise<void> {
    const saved = made.ok ? await this.app.saveFile(made.value) : made;
    if (!saved.ok) this.said = { level: 'warning', text: saved.error.message };
    else if (saved.value.saved && made.ok) this.said = { level: 'info', text: `Written: ${saved.value.where ?? `${made.value.name}, in the folder for downloads`}.` };
  }

  /** One PDF for each worksheet that counts, packed under the names and folders in which they came. */
  async saveFeedback(files: readonly SetLine[] = this.lines.filter((line) => line.row.status === 'counts')): Promise<void> {
    if (this.progress !== undefined || files.length === 0) return;
    this.#stopped = false;
    const pages: PackedFile[] = [];
    const troubles: string[] = [];
    for (const [index, line] of files.entries()) {
      if (this.#stopped) break;
      this.progress = { what: 'feedback pages written', done: index, of: files.length };
      const made = await this.#api.call('set.feedback', { set: this.id, file: line.file, paper: this.paper, own: this.ownPoint });
      if (made.ok) pages.push({ name: made.value.name, bytes: bytesOf(made.value.base64) });
      else troubles.push(`${line.student}: ${made.error.message}`);
    }
    this.progress = undefined;
    if (this.#stopped) return void (this.said = { level: 'info', text: `Stopped after ${pages.length} of ${files.length}; nothing was saved.` });
    if (pages.length === 0) return void (this.said = { level: 'warning', text: troubles[0] ?? 'There is no feedback to save.' });
    const [only] = pages;
    await this.#save(success(pages.length === 1 && only ? { name: only.name.split('/').at(-1) ?? 'feedback.pdf', mime: 'application/pdf', base64: base64Of(only.bytes) } : { name: 'feedback.zip', mime: 'application/zip', base64: base64Of(packed(pages)) }));
    if (troubles.length > 0) this.said = { level: 'warning', text: `${pages.length} written; not written: ${troubles.join(' ')}` };
  }

  async merge(file: File): Promise<void> {
    const author = this.#author();
    if (author === undefined) return;
    const merged = await this.#api.call('set.merge', { set: this.id, command: newCommand(), author, base64: base64Of(new Uint8Array(await file.arrayBuffer())) });
    if (!merged.ok) return void (this.said = { level: 'warning', text: merged.error.message });
    await this.open();
    const { facts, records, conflicts } = merged.value;
    this.said = { level: conflicts > 0 ? 'warning' : 'info', text: `Put together: ${facts} new ${facts === 1 ? 'statement' : 'statements'}, ${records} new ${records === 1 ? 'record' : 'records'}${conflicts > 0 ? `; in ${conflicts} ${conflicts === 1 ? 'place' : 'places'} the markers differ, listed under Changes` : ''}.` };
  }

  async archive(reason: string): Promise<void> {
    const author = this.#author();
    if (author === undefined) return;
    const archived = await this.#api.call('set.archive', { set: this.id, command: newCommand(), author, reason });
    if (!archived.ok) return void (this.said = { level: 'warning', text: archived.error.message });
    this.#show(archived.value);
    this.said = { level: 'info', text: 'Archived: the records are erased, the marks are kept.' };
  }
}

export const newCommand = (): string => `desk-${crypto.randomUUID()}`;

function batchesOf(files: readonly HandedIn[]): readonly (readonly HandedIn[])[] {
  const batches: HandedIn[][] = [];
  let bytes = Infinity;
  for (const one of files) {
    const batch = batches.at(-1);
    if (!batch || batch.length >= TOGETHER || bytes + one.file.size > TOGETHER_BYTES) {
      batches.push([one]);
      bytes = one.file.size;
    } else {
      batch.push(one);
      bytes += one.file.size;
    }
  }
  return batches;
}

const desks = new WeakMap<App, Map<string, SetDesk>>();
/** One desk a set and window: what was chosen stays while one looks at something else. */
export function setDeskOf(app: App, id: string): SetDesk {
  const known = desks.get(app) ?? new Map<string, SetDesk>();
  desks.set(app, known);
  let desk = known.get(id);
  if (!desk) known.set(id, (desk = new SetDesk(app, id)));
  return desk;
}
