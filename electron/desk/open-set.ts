/** One marking set in use: its store, its folded state, and the markings that are known. */
import { createHash } from 'node:crypto';
import type { ClassTest } from '../../core/class/test.ts';
import { decideSetFact, type SetContext, type UncheckedSetDraft } from '../../core/marking-set/decide.ts';
import { foldSet, type AdoptedKey, type SetState } from '../../core/marking-set/fold.ts';
import type { MarkedRecord } from '../../core/marking-set/marked-record.ts';
import { moderated, type ModeratedMarking } from '../../core/marking-set/moderate.ts';
import type { StoredFact } from '../../core/marking-set/set-chain.ts';
import { viewOf } from '../../core/marking-set/view.ts';
import type { SetView } from '../../core/marking-set/view-types.ts';
import { failure, success, type Result } from '../../core/result.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import type { CachedMarking, SetKey } from './open-for-set.ts';
import type { KeptMarking, NewSetFact, PackedRecord, SetStore } from './set-store.ts';

export interface Stating {
  readonly author: string;
  readonly command: string;
  readonly wall: number;
}

const place = (record: string, key: string): string => `${record} ${key}`;

/** One marking set in memory: its facts folded, over the file that keeps them. */
export class OpenSet {
  readonly store: SetStore;
  /** The job that is at work on it, and what it still has to do. */
  job: string | undefined;
  #state: SetState | undefined;
  #view: SetView | undefined;
  #sheet: { readonly hash: string; readonly sheet: LabSheet } | undefined;
  /** As text until somebody looks. */
  readonly #markings = new Map<string, CachedMarking | string>();
  #loaded = new Set<string>();
  #records: Set<string>;

  constructor(store: SetStore) {
    this.store = store;
    this.#records = new Set(store.recordHashes());
  }

  get state(): SetState {
    return (this.#state ??= foldSet(this.store.facts));
  }
  get id(): string {
    return this.state.id;
  }

  /** The key in force, as a marking process takes it. */
  get key(): SetKey | undefined {
    return this.state.key === undefined ? undefined : setKeyOf(this.state.key);
  }

  /** The lab sheet with the key in force. It was checked before it was adopted. */
  get sheet(): LabSheet | undefined {
    const { key } = this.state;
    if (key === undefined) return undefined;
    if (this.#sheet?.hash !== key.hash) {
      const loaded = keyedSheet(key.sheetText, key.keyText);
      if (!loaded.ok) return undefined;
      this.#sheet = { hash: key.hash, sheet: loaded.sheet };
    }
    return this.#sheet.sheet;
  }

  /** How a record is marked by a key: what is known, kept or not. */
  marking(record: string, key: string): CachedMarking | undefined {
    this.#load();
    const found = this.#markings.get(place(record, key));
    if (typeof found !== 'string') return found;
    const read = withoutTest(JSON.parse(found) as CachedMarking);
    this.#markings.set(place(record, key), read);
    return read;
  }
  #knows(record: string, key: string): boolean {
    this.#load();
    return this.#markings.has(place(record, key));
  }
  markedOf(record: string, key: string): MarkedRecord | undefined {
    const found = this.marking(record, key);
    return found !== undefined && 'marked' in found ? found.marked : undefined;
  }

  /** Records and keys that still have to be put together: the present key, and the one before it for what was there then. */
  unmarked(): readonly { readonly record: string; readonly key: SetKey }[] {
    const { key, keyBefore, files, archived } = this.state;
    if (key === undefined || archived !== undefined) return [];
    const adopted = Date.parse(key.wall);
    const wanted = files.flatMap(({ record, entered }) => (record === undefined || !this.#records.has(record) ? [] : [{ record, key }, ...(keyBefore !== undefined && entered <= adopted ? [{ record, key: keyBefore }] : [])]));
    const once = new Map(wanted.map((one) => [place(one.record, one.key.hash), one] as const));
    return [...once].filter(([, one]) => !this.#knows(one.record, one.key.hash)).map(([, one]) => ({ record: one.record, key: setKeyOf(one.key) }));
  }

  hasRecord(hash: string): boolean {
    return this.#records.has(hash);
  }

  view(): SetView {
    const { archived } = this.state;
    if (archived !== undefined) return this.#archivedView(archived);
    const job = this.job === undefined ? {} : { job: this.job };
    this.#view ??= viewOf(this.state, { ...(this.sheet === undefined ? {} : { sheet: this.sheet }), markedOf: (record, key) => this.markedOf(record, key), troubleOf: (record) => this.#troubleOf(record) });
    return { ...this.#view, ...job };
  }

  #troubleOf(record: string): { readonly code: string; readonly text: string } | undefined {
    if (!this.#records.has(record)) return { code: 'record-missing', text: 'The record of this file is not in this copy of the set. Put the copy that has it together with this one again.' };
    const found = this.state.key === undefined ? undefined : this.marking(record, this.state.key.hash);
    return found !== undefined && 'trouble' in found ? found.trouble : undefined;
  }

  #archivedView(archived: NonNullable<SetState['archived']>): SetView {
    const kept = this.store.marks(archived.marks);
    const { wall, by, reason } = archived;
    const frozen = kept === undefined ? undefined : (JSON.parse(kept) as { readonly view: SetView }).view;
    return { ...(frozen ?? viewOf(this.state, { markedOf: () => undefined })), archived: { wall, by, reason } };
  }

  moderatedOf(record: string): ModeratedMarking | undefined {
    const { key } = this.state;
    const marked = key === undefined ? undefined : this.markedOf(record, key.hash);
    return marked?.marking === undefined ? undefined : moderated(marked.marking, this.state, key);
  }

  /** States facts after core's rules; all of them or none. A command that was answered is not stated again. */
  say(at: Stating, drafts: readonly UncheckedSetDraft[]): Result<void> {
    if (this.store.answered(at.command)) return success(undefined);
    const made: StoredFact[] = [];
    // Each draft is judged with the ones before it taken in, which are only on trial until all have passed.
    for (const draft of drafts) {
      const state = made.length === 0 ? this.state : foldSet([...this.store.facts, ...made]);
      const keyed = this.#checkKey(state, draft);
      if (!keyed.ok) return keyed;
      const ok = decideSetFact(state, this.#withGround(draft), this.#context());
      if (!ok.ok) return ok;
      made.push(this.store.make({ ...at, set: this.id }, ok.value, made));
    }
    return this.#write(at, made);
  }

  /** Writes facts that the desk itself states, with what belongs to them. */
  append(at: Stating, facts: readonly NewSetFact[], records: readonly PackedRecord[] = [], markings: readonly KeptMarking[] = []): Result<void> {
    const made: StoredFact[] = [];
    for (const fact of facts) made.push(this.store.make({ ...at, set: this.id }, fact, made));
    return this.#write(at, made, records, markings);
  }

  #write(at: Stating, made: readonly StoredFact[], records: readonly PackedRecord[] = [], markings: readonly KeptMarking[] = []): Result<void> {
    const written = this.store.append(at.command, made, records, markings);
    if (!written.ok) return written;
    for (const { hash } of records) this.#records.add(hash);
    this.#state = undefined;
    this.know(markings);
    return success(undefined);
  }

  know(markings: readonly KeptMarking[]): void {
    for (const { record, key, value } of markings) this.#markings.set(place(record, key), value);
    this.#view = undefined;
  }

  /** After the records were erased: nothing of them stays in memory. */
  forget(): void {
    this.#markings.clear();
    this.#loaded = new Set();
    this.#sheet = undefined;
    this.changed();
  }

  /** Something else than `append` has written. */
  changed(): void {
    this.#state = undefined;
    this.#view = undefined;
    this.#records = new Set(this.store.recordHashes());
  }

  #load(): void {
    const { key, keyBefore } = this.state;
    const wanted = [key, keyBefore].flatMap((one) => (one === undefined || this.#loaded.has(one.hash) ? [] : [one.hash]));
    if (wanted.length === 0) return;
    for (const hash of wanted) this.#loaded.add(hash);
    for (const { record, key: own, value } of this.store.markings(wanted)) this.#markings.set(place(record, own), value);
  }

  /** What the class keeps of a record's test: read when it is asked for, since the curves of a class would fill the memory. */
  testOf(record: string): ClassTest | undefined {
    const { key } = this.state;
    const found = key === undefined ? undefined : this.store.marking(record, key.hash);
    return found !== undefined && 'marked' in found ? found.marked.test : undefined;
  }

  #checkKey(state: SetState, draft: UncheckedSetDraft): Result<void> {
    if (draft.kind !== 'key-adopted') return success(undefined);
    const { sheet, key } = (draft.data ?? {}) as { sheet?: unknown; key?: unknown };
    return typeof sheet === 'string' && (key === undefined || typeof key === 'string') ? checkedKey(sheet, key, state.sheetId) : success(undefined);
  }

  #markingOfWorksheet(worksheet: string): ModeratedMarking | undefined {
    const row = this.view().files.find((file) => file.worksheet === worksheet && file.cells !== undefined && file.status !== 'duplicate');
    const record = this.state.files.find((file) => file.file === row?.file)?.record;
    return record === undefined ? undefined : this.moderatedOf(record);
  }

  /** What a moderation stands on is the desk's to say, not the window's. */
  #withGround(draft: UncheckedSetDraft): UncheckedSetDraft {
    if (draft.kind !== 'mark-moderated' && draft.kind !== 'written-marked') return draft;
    const data = (draft.data ?? {}) as { worksheet?: string; question?: string; row?: string };
    const question = this.#markingOfWorksheet(data.worksheet ?? '')?.questions.find(({ id }) => id === data.question);
    const award = data.row === undefined ? question?.award : question?.rows.find(({ row }) => row === data.row)?.award;
    const { ground: _sent, ...rest } = data as Record<string, unknown>;
    return { kind: draft.kind, data: award === undefined ? rest : { ...rest, ground: award.ground } };
  }

  #context(): SetContext {
    const sheet = this.sheet;
    return {
      outOf: (worksheet, question, row) => {
        const mark = this.#markingOfWorksheet(worksheet)?.questions.find(({ id, kind }) => id === question && kind !== 'record');
        return row === undefined ? mark?.outOf : mark?.rows.find((one) => one.row === row)?.outOf;
      },
      itemOutOf: (item) => sheet?.['record-marks']?.find(({ id }) => id === item)?.marks,
      level: (id, level) => {
        const question = sheet?.questions.find((one) => one.id === id);
        return question?.kind === 'written' ? question.rubric[level]?.marks : undefined;
      },
    };
  }
}

function withoutTest(value: CachedMarking): CachedMarking {
  if (!('marked' in value)) return value;
  const { test: _test, ...marked } = value.marked;
  return { marked };
}

const setKeyOf = (key: AdoptedKey): SetKey => ({ hash: key.hash, sheet: key.sheetText, ...(key.keyText === undefined ? {} : { key: key.keyText }) });

/** A key is refused, with the place of its fault, before it marks anything. */
export function checkedKey(sheet: string, key: string | undefined, sheetId?: string): Result<void> {
  const loaded = keyedSheet(sheet, key);
  if (!loaded.ok) {
    const [problem] = loaded.problems;
    return failure('bad-key', `${problem?.file ?? 'the key'}, line ${problem?.line ?? 1}: ${problem?.path === '' || problem?.path === undefined ? '' : `${problem.path}: `}${problem?.message ?? 'not understood'}; ${problem?.remedy ?? ''}. Nothing was changed.`, loaded.problems);
  }
  if (sheetId !== undefined && loaded.sheet.id !== sheetId) return failure('wrong-sheet', `The lab sheet is "${loaded.sheet.id}", and this set is for "${sheetId}". Nothing was changed.`);
  return success(undefined);
}

export const sha256Of = (text: string): string => createHash('sha256').update(text).digest('hex');
