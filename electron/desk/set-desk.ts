/** The marking desk's sets in the data folder: one file each. Every command is answered here; the rules are core's. */
import { mkdirSync, readdirSync } from 'node:fs';
import path from 'node:path';
import type { ExportedFile, Handlers } from '../../core/contract/contract.ts';
import type { SetJob, SetMerged, SetSummary } from '../../core/contract/marking-sets.ts';
import type { SetClass } from '../../core/contract/set-class.ts';
import type { ClassWorksheet } from '../../core/class/gather.ts';
import { fileWord } from '../../core/file-word.ts';
import { historyOf } from '../../core/marking-set/history.ts';
import { changedSince, longCsv, marksOut, wideCsv, type SetMarksOut } from '../../core/marking-set/marks-out.ts';
import { archivedView } from '../../core/marking-set/archive.ts';
import type { SetFileDetail, SetView } from '../../core/marking-set/view-types.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import type { Clock } from '../station/clock.ts';
import { programVersion } from '../program-root.ts';
import { isoWithOffset, newSetId } from '../station/ids.ts';
import type { SheetShelf } from '../station/sheets.ts';
import { checkedKey, OpenSet, sha256Of } from './open-set.ts';
import { unpackRecord } from './open-for-set.ts';
import { runInPool } from './pool.ts';
import { packSet, unpackSet } from './set-bundle.ts';
import { classOfFeedback, feedbackLimits, feedbackName } from './set-feedback.ts';
import { SetJobs } from './set-jobs.ts';
import { SetStore } from './set-store.ts';

type SetCommand = Extract<keyof Handlers, `set.${string}`>;
export type SetHandlers = Pick<Handlers, SetCommand>;
type Input<Name extends SetCommand> = Parameters<Handlers[Name]>[0];

export interface SetDeskOptions {
  /** The folder of the sets; made when the first one is opened. */
  readonly folder: string;
  readonly clock: Pick<Clock, 'wallMs'>;
  readonly sheets: SheetShelf;
  /** Names the program, so that markings of another one are made anew. */
  readonly program: string;
}

const ENDING = '.marking-set';

/** The desk’s commands over all sets of one data folder. Facts are on disk before they are answered. */
export class SetDesk {
  readonly #options: SetDeskOptions;
  readonly #open = new Map<string, OpenSet>();
  readonly #jobs = new SetJobs();

  constructor(options: SetDeskOptions) {
    this.#options = options;
  }

  /** Stops all work, keeps what is written, and lets go of the files. */
  close(): void {
    this.#jobs.end();
    for (const set of this.#open.values()) set.store.close();
    this.#open.clear();
  }

  readonly handlers: SetHandlers = {
    'set.list': async () => this.#list(),
    'set.create': async (input) => this.#create(input),
    'set.open': async ({ set }) => this.#with(set, (open) => success(this.#viewOf(open))),
    'set.read': async ({ set, file }) => this.#with(set, (open) => this.#detail(open, file)),
    'set.history': async ({ set }) => this.#with(set, (open) => success(historyOf(open.state))),
    'set.append': async ({ set, command, author, drafts }) =>
      this.#with(set, (open) => {
        const said = open.say({ author, command, wall: this.#now() }, drafts);
        return said.ok ? success(this.#viewOf(open)) : said;
      }),
    'set.add-files': async (input) => this.#addFiles(input),
    'set.progress': async ({ job }) => this.#job(this.#jobs.get(job)),
    'set.stop': async ({ job }) => this.#job(this.#jobs.stop(job)),
    'set.export-marks': async (input) => this.#with(input.set, (open) => this.#exportMarks(open, input)),
    'set.export': async ({ set }) => this.#export(set),
    'set.merge': async (input) => this.#merge(input),
    'set.archive': async (input) => this.#with(input.set, (open) => this.#archive(open, input)),
    'set.key': async ({ set }) =>
      this.#with(set, (open) => {
        const { key } = open.state;
        return key === undefined ? failure('no-key', 'This set has no key.') : success({ sheet: key.sheetText, ...(key.keyText === undefined ? {} : { key: key.keyText }) });
      }),
    'set.feedback': async (input) => this.#feedback(input),
    'set.class': async ({ set }) => this.#with(set, (open) => success(this.#class(open))),
  };

  /** For the command line and tests: when the job is over. */
  async finished(job: string): Promise<void> {
    await this.#jobs.done(job);
  }

  #now(): number {
    return this.#options.clock.wallMs();
  }

  #fileOf(set: string): string {
    return path.join(this.#options.folder, `${set}${ENDING}`);
  }

  #find(set: string): Result<OpenSet> {
    const known = this.#open.get(set);
    if (known !== undefined) return success(known);
    if (!this.#ids().includes(set)) return failure('no-such-set', 'There is no such marking set on this machine.');
    const store = SetStore.open(this.#fileOf(set), this.#options.program);
    if (!store.ok) return store;
    const open = new OpenSet(store.value);
    try {
      void open.state;
    } catch {
      store.value.close();
      return failure('set-damaged', 'This marking set is damaged: it does not say what it is. It was left as it is; go back to a copy of it.');
    }
    this.#open.set(set, open);
    return success(open);
  }

  #with<Value>(set: string, act: (open: OpenSet) => Result<Value>): Result<Value> {
    const open = this.#find(set);
    return open.ok ? act(open.value) : open;
  }

  /** The view, with the marking of what the present key has not marked yet set to work. */
  #viewOf(open: OpenSet): SetView {
    if (open.job === undefined) this.#jobs.reMark(open);
    return open.view();
  }

  #ids(): readonly string[] {
    try {
      return readdirSync(this.#options.folder)
        .filter((name) => name.endsWith(ENDING) && /^[a-z0-9-]{6,60}$/.test(name.slice(0, -ENDING.length)))
        .map((name) => name.slice(0, -ENDING.length))
        .sort();
    } catch {
      return [];
    }
  }

  #list(): Result<readonly SetSummary[]> {
    const summaries = this.#ids().map((id): SetSummary => {
      const open = this.#find(id);
      if (!open.ok) return { id, title: id, term: '', sheet: '', files: 0, openedWall: '', archived: false, trouble: open.error.message };
      const { title, term, sheetId, files, openedWall, archived } = open.value.state;
      return { id, title, term, sheet: sheetId, files: archived === undefined ? files.length : open.value.view().files.length, openedWall, archived: archived !== undefined };
    });
    return success(summaries.toSorted((a, b) => (a.openedWall > b.openedWall ? -1 : 1)));
  }

  #create(input: Input<'set.create'>): Result<{ readonly set: string }> {
    const { command, author, title, term, key } = input;
    const answered = this.#ids().find((id) => {
      const open = this.#find(id);
      return open.ok && open.value.store.answered(command);
    });
    if (answered !== undefined) return success({ set: answered });
    if ((input.sheet === undefined) === (input.sheetText === undefined)) return failure('bad-input', 'A set is opened on a lab sheet of this station or on the text of one. Name one of the two.');
    const shelf = input.sheet === undefined ? undefined : this.#options.sheets.find(input.sheet);
    if (shelf?.ok === false) return shelf;
    const sheet = shelf?.ok === true ? shelf.value.text : (input.sheetText ?? '');
    const checked = checkedKey(sheet, key);
    if (!checked.ok) return checked;
    const loaded = keyedSheet(sheet, key);
    if (!loaded.ok) return failure('bad-key', 'The lab sheet cannot be read. Nothing was changed.');
    const id = newSetId();
    const made = this.#new(id);
    if (!made.ok) return made;
    const at = { set: id, author, command, wall: this.#now() };
    const opened = made.value.make(at, { kind: 'set-opened', data: { title, term, sheet: loaded.sheet.id } });
    const adopted = made.value.make(at, { kind: 'key-adopted', data: { version: 1, sheet, ...(key === undefined ? {} : { key }) } }, [opened]);
    const written = made.value.append(command, [opened, adopted]);
    if (!written.ok) {
      made.value.discard();
      return written;
    }
    this.#open.set(id, new OpenSet(made.value));
    return success({ set: id });
  }

  #new(id: string): Result<SetStore> {
    mkdirSync(this.#options.folder, { recursive: true, mode: 0o700 });
    return SetStore.open(this.#fileOf(id), this.#options.program, true);
  }

  #detail(open: OpenSet, file: string): Result<SetFileDetail> {
    const row = open.view().files.find((one) => one.file === file);
    if (row === undefined) return failure('no-such-file', 'This set has no such file.');
    const history = historyOf(open.state).filter((line) => line.file === file || namesOf(open, line.id, row));
    const record = open.state.files.find((one) => one.file === file)?.record;
    const packed = record === undefined ? undefined : open.store.record(record);
    if (record === undefined || packed === undefined) return success({ row, history });
    const marking = open.moderatedOf(record);
    return success({ row, attachment: JSON.parse(unpackRecord(packed).replace(/^\ufeff/, '')) as unknown, ...(marking === undefined ? {} : { marking }), history });
  }

  #addFiles(input: Input<'set.add-files'>): Result<SetJob> {
    const known = this.#jobs.get(input.command);
    if (known !== undefined) return success(known);
    return this.#with(input.set, (open) => {
      if (open.state.archived !== undefined) return failure('archived', 'This set was archived: nothing can be added to it. Open a new one.');
      const files = input.files.map(({ name, folder, base64 }) => ({ name, folder, bytes: Buffer.from(base64, 'base64') }));
      return success(this.#jobs.addFiles(open, { author: input.author, command: input.command, wall: () => this.#now() }, files, input.command));
    });
  }

  #job(job: SetJob | undefined): Result<SetJob> {
    return job === undefined ? failure('no-such-job', 'That work is over, or it belongs to an earlier start of the program. Open the set to see what is there.') : success({ ...job });
  }

  #marks(open: OpenSet): SetMarksOut {
    const view = open.view();
    const records = new Map(open.state.files.map(({ file, record }) => [file, record] as const));
    const comments = new Map<string, ReadonlyMap<string, string>>();
    return marksOut(view, (file, question) => {
      let of = comments.get(file);
      if (of === undefined) {
        const record = records.get(file);
        const marking = record === undefined ? undefined : open.moderatedOf(record);
        of = new Map((marking?.questions ?? []).flatMap(({ id, award, rows }) => {
          const said = [award, ...rows.map((row) => row.award)].flatMap((one) => one?.byHand[0]?.comment ?? []);
          return said.length === 0 ? [] : [[id, said.join(' ')] as const];
        }));
        comments.set(file, of);
      }
      return of.get(question);
    });
  }

  #exportMarks(open: OpenSet, { form, changesOnly, author, command }: Input<'set.export-marks'>): Result<ExportedFile> {
    const { archived, lastExport } = open.state;
    const kept = archived === undefined ? undefined : open.store.marks(archived.marks);
    const all = kept === undefined ? this.#marks(open) : (JSON.parse(kept) as { readonly marks: SetMarksOut }).marks;
    if (archived === undefined && open.job !== undefined) return failure('still-marking', 'Some files are still being marked. Wait until that is done, so that no mark is missing.');
    const before = lastExport === undefined ? undefined : open.store.marks(lastExport);
    const changed = changesOnly ? changedSince(all, before === undefined ? undefined : (JSON.parse(before) as SetMarksOut)) : all;
    const text = form === 'long' ? longCsv(changed) : form === 'wide' ? wideCsv(all, changed) : `${JSON.stringify(changed, null, 2)}\n`;
    if (archived === undefined && !open.store.answered(command)) {
      const json = JSON.stringify(all);
      const hash = sha256Of(json);
      const stored = open.store.keepMarks(hash, json);
      if (!stored.ok) return stored;
      const written = open.append({ author, command, wall: this.#now() }, [{ kind: 'marks-exported', data: { form, changesOnly, marks: hash } }]);
      if (!written.ok) return written;
    }
    const name = `marks-${fileWord(all.title, 'set', 60)}${changesOnly ? '-changes' : ''}-${form === 'json' ? 'data.json' : `${form}.csv`}`;
    return success({ name, mime: form === 'json' ? 'application/json' : 'text/csv', base64: Buffer.from(text).toString('base64') });
  }

  async #export(set: string): Promise<Result<ExportedFile>> {
    const open = this.#find(set);
    if (!open.ok) return open;
    const { facts, title } = open.value.state;
    const marks = facts.flatMap(({ event }) => (event.kind === 'marks-exported' || event.kind === 'set-archived' ? [event.data.marks] : []));
    const bytes = await packSet(open.value.store, marks);
    return success({ name: `${fileWord(title, 'set', 60)}.stagecall-set.gz`, mime: 'application/gzip', base64: Buffer.from(bytes).toString('base64') });
  }

  async #merge({ set, base64 }: Input<'set.merge'>): Promise<Result<SetMerged>> {
    const bundle = await unpackSet(Buffer.from(base64, 'base64'));
    if (!bundle.ok) return bundle;
    const { facts, records, marks } = bundle.value;
    const other = openedOf(facts);
    if (other === undefined) return failure('not-a-set', 'This is no marking set of this program, or it is damaged. Nothing was changed.');
    if (facts.some(({ body }) => body.includes('"kind":"set-archived"'))) return failure('archived', 'That copy was archived: its records are erased. Nothing was changed.');
    const id = set ?? other.set;
    if (set === undefined && !this.#ids().includes(id)) return this.#take(id, facts, records, marks);
    const found = this.#find(id);
    if (!found.ok) return found;
    const open = found.value;
    if (open.state.archived !== undefined) return failure('archived', 'This set was archived: nothing can be added to it.');
    if (open.state.sheetId !== other.sheet) return failure('wrong-sheet', `That set is for the lab sheet "${other.sheet}", and this one for "${open.state.sheetId}". Nothing was changed.`);
    const taken = open.store.take(facts, records, marks);
    if (!taken.ok) return taken;
    open.changed();
    return success({ set: id, ...taken.value, conflicts: this.#viewOf(open).conflicts.length });
  }

  /** A set that is not here yet comes as it is. */
  #take(id: string, facts: Parameters<SetStore['take']>[0], records: Parameters<SetStore['take']>[1], marks: Parameters<SetStore['take']>[2]): Result<SetMerged> {
    if (!/^[a-z0-9-]{6,60}$/.test(id)) return failure('not-a-set', 'This set has a name that is none. Nothing was changed.');
    const made = this.#new(id);
    if (!made.ok) return made;
    const taken = made.value.take(facts, records, marks);
    if (!taken.ok) {
      made.value.discard();
      return taken;
    }
    const open = new OpenSet(made.value);
    this.#open.set(id, open);
    return success({ set: id, ...taken.value, conflicts: this.#viewOf(open).conflicts.length });
  }

  #archive(open: OpenSet, { author, command, reason }: Input<'set.archive'>): Result<SetView> {
    if (open.store.answered(command)) return success(open.view());
    if (open.state.archived !== undefined) return failure('archived', 'This set was archived already.');
    if (open.job !== undefined) return failure('still-marking', 'Some files are still being marked. Wait until that is done, so that no mark is missing.');
    const json = JSON.stringify({ view: archivedView(open.view()), marks: this.#marks(open) });
    const hash = sha256Of(json);
    const opened = open.store.facts.find(({ body }) => body.includes('"kind":"set-opened"') && openedOf([{ body }])?.set === open.id);
    if (opened === undefined) return failure('set-damaged', 'This marking set does not say what it is. Nothing was erased.');
    const archived = open.store.make({ set: open.id, author, command, wall: this.#now() }, { kind: 'set-archived', data: { reason, marks: hash } }, [opened]);
    const erased = open.store.eraseAllBut([opened, archived], [{ hash, json }]);
    if (!erased.ok) return erased;
    open.forget();
    return success(open.view());
  }

  async #feedback({ set, file, paper, own }: Input<'set.feedback'>): Promise<Result<ExportedFile>> {
    const found = this.#find(set);
    if (!found.ok) return found;
    const open = found.value;
    const row = open.view().files.find((one) => one.file === file);
    const record = open.state.files.find((one) => one.file === file)?.record;
    const packed = record === undefined ? undefined : open.store.record(record);
    const marking = record === undefined ? undefined : open.moderatedOf(record);
    if (row === undefined || packed === undefined || marking === undefined) return failure('no-feedback', 'This file has no marks, or its record was erased: there is no feedback to write.');
    const agreement = own ? classOfFeedback(this.#class(open).worksheets, marking.session) : undefined;
    const task = { packed, marking, key: open.key, keyName: open.state.key?.name ?? 'no key', row, agreement, paper, version: programVersion(), wall: isoWithOffset(this.#now()) };
    const done = await runInPool({ kind: 'feedback', task }, feedbackLimits);
    if (!done.ok) return failure(done.code, `The feedback could not be written: ${done.text}`);
    if (!done.result.ok) return failure('feedback', `The feedback could not be written (${done.result.why}). The marks stand as they are.`);
    return success({ name: feedbackName(row), mime: 'application/pdf', base64: Buffer.from(done.result.bytes).toString('base64') });
  }

  #class(open: OpenSet): SetClass {
    const view = this.#viewOf(open);
    const { key, files } = open.state;
    const records = new Map(files.map(({ file, record }) => [file, record] as const));
    const worksheets = view.files.flatMap((row): ClassWorksheet[] => {
      const record = records.get(row.file);
      const test = record === undefined || key === undefined || row.cells === undefined || row.status === 'set-aside' || row.status === 'duplicate' ? undefined : open.testOf(record);
      return test === undefined ? [] : [{ key: row.file, student: row.student ?? '', ...(row.group === undefined ? {} : { group: row.group }), test }];
    });
    return { set: view.id, title: view.title, worksheets, waiting: view.files.filter(({ status }) => status === 'not-marked-yet').length };
  }
}

/** What a set's first fact says; from stored text, before anything is folded. */
function openedOf(facts: readonly { readonly body: string }[]): { readonly set: string; readonly sheet: string } | undefined {
  for (const { body } of facts) {
    try {
      const event = JSON.parse(body) as { record?: unknown; kind?: unknown; data?: { sheet?: unknown } };
      if (event.kind === 'set-opened' && typeof event.record === 'string' && typeof event.data?.sheet === 'string') return { set: event.record, sheet: event.data.sheet };
    } catch {
      // Not a fact; the next one may be.
    }
  }
  return undefined;
}

/** Whether a line of the history is about this row's worksheet, session or student. */
function namesOf(open: OpenSet, id: string, row: SetView['files'][number]): boolean {
  const event = open.state.facts.find((fact) => fact.id === id)?.event;
  const data = (event?.data ?? {}) as { worksheet?: string; session?: string; student?: string; target?: string };
  if (event?.kind === 'withdrawn' && data.target !== undefined && data.target !== id) return namesOf(open, data.target, row);
  return (data.worksheet !== undefined && data.worksheet === row.worksheet) || (data.session !== undefined && data.session === row.session) || (event?.kind === 'extension-given' && data.student === row.student);
}
