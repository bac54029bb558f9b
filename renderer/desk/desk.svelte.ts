/** The marking desk: files come in, the station checks and marks them, and what it says is shown. Nothing in a file is trusted here. */
import type { DeskFile, SheetListing } from '../../core/contract/contract.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import { marksCsv, marksRows, type MarkedFile } from '../../core/worksheet/marks-csv.ts';
import type { App } from '../app/app.svelte.ts';
import { base64Of, base64OfText } from './base64.ts';
import { lineOf, type DeskLine } from './desk-words.ts';
import { recordOf, sheetIdOf } from './desk-record.ts';

/** So many files go to the station at once: few enough that progress is seen and stop works, many enough to be quick. */
const TOGETHER = 8;
/** The contract takes a thousand files; one larger than this is no worksheet and is not even sent. */
const LARGEST_FILE = 60 * 1024 * 1024;

interface Sent {
  readonly name: string;
  readonly base64: string;
}
interface Kept extends Sent {
  readonly result: DeskFile;
}

export class Desk {
  readonly #app: App;
  #kept = $state.raw<readonly Kept[]>([]);
  #sheets = $state.raw<readonly SheetListing[]>([]);
  /** Which lab sheet marks: this station's own of the same name, or the copy in each file, which is not verified. */
  key = $state<'own' | 'copy'>('own');
  chosen = $state<string | undefined>(undefined);
  progress = $state.raw<{ readonly done: number; readonly of: number } | undefined>(undefined);
  said = $state.raw<{ readonly level: 'info' | 'warning'; readonly text: string } | undefined>(undefined);
  #stopped = false;
  #fitted: SheetListing | undefined;
  readonly #ready: Promise<void>;
  readonly #own = $derived(this.#sheets.filter((sheet) => sheet.problems.length === 0));

  readonly lines = $derived(this.#kept.map(({ name, result }) => lineOf(name, result)).toSorted(byStudent));
  readonly counts = $derived({
    read: this.lines.length,
    marked: this.lines.filter((line) => line.marking !== undefined).length,
    toLookAt: this.lines.filter((line) => line.look?.urgent === true && line.marking !== undefined).length,
    refused: this.lines.filter((line) => line.marking === undefined).length,
  });
  readonly current = $derived(this.lines.find((line) => line.file === this.chosen) ?? this.lines[0]);
  /** The record of the chosen file, folded here from its events. */
  readonly record = $derived.by(() => recordOf(this.#kept.find((kept) => kept.name === this.current?.file)?.result));

  constructor(app: App) {
    this.#app = app;
    this.#ready = this.#askForSheets();
  }

  async #askForSheets(): Promise<void> {
    const sheets = await this.#app.station.api.call('sheets.list', {});
    if (sheets.ok) this.#sheets = sheets.value;
  }

  choose(file: string): void {
    this.chosen = file;
  }

  /** The line before or after the chosen one. */
  neighbour(by: 1 | -1): DeskLine | undefined {
    const at = this.lines.findIndex((line) => line.file === this.current?.file);
    return this.lines[at + by];
  }

  async add(files: readonly File[]): Promise<void> {
    if (files.length === 0 || this.progress !== undefined) return;
    const known = new Set(this.#kept.map((kept) => kept.name));
    const fresh = files.filter((file) => !known.has(nameOf(file)));
    const doubles = files.length - fresh.length;
    this.said = undefined;
    await this.#inBatches(fresh, async (file) => ({ name: nameOf(file), base64: file.size > LARGEST_FILE ? '' : base64Of(new Uint8Array(await file.arrayBuffer())) }));
    if (doubles > 0 && this.said === undefined) this.said = { level: 'info', text: `${doubles === 1 ? 'One file was' : `${doubles} files were`} here already and not opened again.` };
  }

  /** Marks everything again, by another key. */
  async mark(key: 'own' | 'copy'): Promise<void> {
    this.key = key;
    const before = this.#kept;
    this.#kept = [];
    await this.#inBatches(before, async ({ name, base64 }) => ({ name, base64 }));
    // Stopped half-way, nothing is lost: the others keep the marks that they had.
    const again = new Set(this.#kept.map((kept) => kept.name));
    this.#kept = [...this.#kept, ...before.filter((kept) => !again.has(kept.name))];
  }

  stop(): void {
    this.#stopped = true;
  }

  clear(): void {
    this.#kept = [];
    this.chosen = undefined;
    this.said = undefined;
  }

  async saveMarks(): Promise<void> {
    if (this.counts.read === 0) return;
    const files = this.#kept.map(({ name, result }): MarkedFile => ({ ...result, file: name }) as MarkedFile);
    const saved = await this.#app.saveFile({ name: 'marks.csv', mime: 'text/csv', base64: base64OfText(marksCsv(marksRows(files))) });
    if (!saved.ok) this.said = { level: 'warning', text: saved.error.message };
    else if (saved.value.saved) this.said = { level: 'info', text: `Marks written: ${saved.value.where ?? 'marks.csv, in the folder for downloads'}.` };
  }

  async #inBatches<Item>(items: readonly Item[], read: (item: Item) => Promise<Sent>): Promise<void> {
    this.#stopped = false;
    this.progress = { done: 0, of: items.length };
    await this.#ready;
    for (let from = 0; from < items.length && !this.#stopped; from += TOGETHER) {
      const files = await Promise.all(items.slice(from, from + TOGETHER).map(read));
      const whole = files.filter((file) => file.base64 !== '');
      const marked = whole.length === 0 ? [] : await this.#ask(whole);
      if (marked === undefined) break;
      this.#kept = [...this.#kept, ...files.map((file): Kept => ({ ...file, result: file.base64 === '' ? tooLarge(file.name) : (marked[whole.indexOf(file)] ?? noAnswer(file.name)) }))];
      this.progress = { done: Math.min(from + TOGETHER, items.length), of: items.length };
    }
    if (this.#stopped) this.said = { level: 'info', text: `Stopped after ${this.progress?.done ?? 0} of ${items.length} files. What was read is kept.` };
    this.progress = undefined;
  }

  /**
   * Marks files, each by the station's own sheet of the name that its record gives. Which that is shows once the station has
   * opened the file, so the sheet that fitted last is tried first.
   */
  async #ask(files: readonly Sent[]): Promise<readonly DeskFile[] | undefined> {
    const first = this.key === 'own' ? (this.#fitted ?? this.#own[0]) : undefined;
    const results = await this.#send(files, first);
    if (results === undefined || first === undefined) return results;
    const answers = [...results];
    const others = new Map<string, number[]>();
    for (const [index, result] of results.entries()) {
      if (!result.findings.some((finding) => finding.code === 'wrong-sheet')) continue;
      const id = sheetIdOf(result) ?? '';
      others.set(id, [...(others.get(id) ?? []), index]);
    }
    for (const [id, places] of others) {
      const sheet = this.#own.find((one) => one.id === id);
      const again = await this.#send(places.map((index) => files[index]).filter((file) => file !== undefined), sheet);
      if (again === undefined) return undefined;
      for (const [at, index] of places.entries()) answers[index] = again[at] ?? (answers[index] as DeskFile);
      if (sheet) this.#fitted = sheet;
    }
    return answers;
  }

  /** Without a sheet the copy in each file marks, and the answer says that the key is not verified. */
  async #send(files: readonly Sent[], sheet: SheetListing | undefined): Promise<readonly DeskFile[] | undefined> {
    const answer = await this.#app.station.api.call('desk.mark', { files: [...files], ...(sheet === undefined ? {} : { sheet: sheet.text }) });
    if (answer.ok) return answer.value;
    this.said = { level: 'warning', text: answer.error.message };
    return undefined;
  }
}

const desks = new WeakMap<App, Desk>();
/** One desk a window: what was read stays while one looks at something else. */
export function deskOf(app: App): Desk {
  let desk = desks.get(app);
  if (!desk) {
    desk = new Desk(app);
    desks.set(app, desk);
  }
  return desk;
}

/** With its folder where one was dropped, so that two files of one name stay two. */
function nameOf(file: File): string {
  return file.webkitRelativePath === '' ? file.name : file.webkitRelativePath;
}

function refusal(file: string, code: string, text: string): DeskFile {
  return { file, status: 'refused', findings: [{ code, level: 'refusal', text }] };
}
const tooLarge = (file: string): DeskFile => refusal(file, 'too-large', 'The file is empty or far larger than a worksheet can be. It was not opened.');
const noAnswer = (file: string): DeskFile => refusal(file, 'no-answer', 'The station gave no answer for this file. Open it again.');

function byStudent(a: DeskLine, b: DeskLine): number {
  return a.student.localeCompare(b.student, 'en', { numeric: true }) || a.file.localeCompare(b.file, 'en', { numeric: true });
}

export type { Marking };
