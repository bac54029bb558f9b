/** `mark` with an answer key, a roster or a marking set: the desk's own way, at the command line. */
import { existsSync, statSync } from 'node:fs';
import path from 'node:path';
import type { SetDraft } from '../../core/marking-set/events.ts';
import { severalRules } from '../../core/marking-set/events.ts';
import { longCsv, marksOut, wideCsv } from '../../core/marking-set/marks-out.ts';
import { readRoster } from '../../core/marking-set/roster-text.ts';
import type { SetView } from '../../core/marking-set/view-types.ts';
import { hundredths } from '../../core/units/format.ts';
import { checkedKey, OpenSet } from '../desk/open-set.ts';
import { SetJobs } from '../desk/set-jobs.ts';
import { SetStore } from '../desk/set-store.ts';
import { programVersion } from '../program-root.ts';
import { systemClock } from '../station/clock.ts';
import { newSetId } from '../station/ids.ts';
import type { NamedSheet } from './files.ts';
import { readText } from './files.ts';
import { readFound, type Found } from './hand-ins.ts';
import { LabError, type Terminal } from './lab-error.ts';
import { table } from './table.ts';
import { writeWhole } from './write-whole.ts';

/** Options of `mark` that ask for a set. */
export const setOptions = { key: { type: 'string' }, roster: { type: 'string' }, due: { type: 'string' }, late: { type: 'string' }, several: { type: 'string' }, set: { type: 'string' }, wide: { type: 'boolean' } } as const;
export type SetOption = keyof typeof setOptions;

export const asksForSet = (options: Readonly<Record<string, unknown>>): boolean => Object.keys(setOptions).some((name) => options[name] !== undefined);

export const setHelp = `As a marking set, with any of these (they need --sheet, or a --set that was opened before):
  --key KEY.yaml      the instructor's answer key (stagecall-answer-key/1): tolerances, alternatives, rubrics
  --roster ROSTER.csv student, group, extension: says who is unknown and who has not handed in
  --due MOMENT        like 2026-03-09T17:00:00+00:00; --late 10 takes 10 % of the marks off for each day begun
  --several RULE      which of several hand-ins counts: ${severalRules.join(', ')} (last where nothing is said)
  --set FILE          keeps the set in this file and goes on with it next time; only what is new is opened
  --wide              one line a student, for a gradebook; else one line a question
`;

interface Asked {
  readonly options: Readonly<Record<string, unknown>>;
  readonly files: readonly Found[];
  readonly sheet: NamedSheet | undefined;
  readonly out: string;
  readonly terminal: Terminal;
}

/** Opens what is new, marks by the key, and writes the set's marks. @throws {LabError} where nothing can be marked. */
export async function markAsSet({ options, files, sheet, out, terminal }: Asked): Promise<number> {
  const named = (name: SetOption): string | undefined => (typeof options[name] === 'string' && options[name] !== '' ? options[name] : undefined);
  const set = openSet(named('set'), sheet, terminal);
  const jobs = new SetJobs();
  try {
    const drafts = draftsOf(set, sheet, named, terminal);
    if (drafts.length > 0) good(set.say({ author: 'lab', command: `lab-${Date.now()}-settings`, wall: Date.now() }, drafts));
    const reMark = jobs.reMark(set);
    if (reMark !== undefined) await jobs.done(reMark.job);
    const incoming = files.flatMap((file) => {
      const read = readFound(file);
      if (!('bytes' in read)) {
        terminal.say(`${file.name}: ${read.findings[0]?.text ?? 'not opened'}`);
        return [];
      }
      return [{ name: path.posix.basename(file.name), folder: path.posix.dirname(file.name) === '.' ? '' : path.posix.dirname(file.name), bytes: read.bytes }];
    });
    // Not all at once: what was read is let go when it is marked.
    for (let from = 0; from < incoming.length; from += 25) {
      const job = jobs.addFiles(set, { author: 'lab', command: `lab-${Date.now()}-${from}`, wall: () => Date.now() }, incoming.slice(from, from + 25));
      await jobs.done(job.job);
      if (job.trouble !== undefined) throw new LabError(job.trouble);
    }
    const view = set.view();
    const done = view.files.filter(({ cells }) => cells !== undefined);
    for (const row of view.files) for (const finding of row.findings) if (finding.level !== 'fact') terminal.say(`${row.folder === '' ? '' : `${row.folder}/`}${row.name}: ${finding.text}`);
    const missing = view.students.filter(({ state }) => state === 'not-handed-in').map(({ student }) => student);
    if (missing.length > 0) terminal.say(`not handed in: ${missing.join(', ')}`);
    const marks = marksOut(view);
    if (options['json'] === true) terminal.out(`${JSON.stringify(marks, null, 2)}\n`);
    if (done.length === 0) throw new LabError(`none of the files could be marked; ${path.basename(out)} was not written`);
    writeWhole(out, options['wide'] === true ? wideCsv(marks) : longCsv(marks));
    if (options['json'] !== true) terminal.out(summary(view, out));
    return 0;
  } finally {
    jobs.end();
    set.store.close();
  }
}

function openSet(file: string | undefined, sheet: NamedSheet | undefined, terminal: Terminal): OpenSet {
  const full = file === undefined ? ':memory:' : path.resolve(terminal.folder, file);
  const isNew = file === undefined || !existsSync(full);
  if (!isNew && statSync(full).isDirectory()) throw new LabError(`${file} is a folder; give a file for the set`);
  if (isNew && sheet === undefined) throw new LabError('a new marking set needs the instructor’s lab sheet: give --sheet', 2);
  const store = good(SetStore.open(full, `lab ${programVersion()}`, isNew && file !== undefined));
  if (!isNew) return new OpenSet(store);
  const opened = store.make({ set: newSetId(), author: 'lab', command: 'lab-opens', wall: systemClock().wallMs() }, { kind: 'set-opened', data: { title: sheet?.sheet.title ?? '', term: '', sheet: sheet?.sheet.id ?? '' } });
  good(store.append('lab-opens', [opened]));
  return new OpenSet(store);
}

/** What the options state that the set does not hold already. */
function draftsOf(set: OpenSet, sheet: NamedSheet | undefined, named: (name: SetOption) => string | undefined, terminal: Terminal): readonly SetDraft[] {
  const drafts: SetDraft[] = [];
  const keyFile = named('key');
  const key = keyFile === undefined ? undefined : readText(keyFile, terminal);
  const sheetText = sheet?.text ?? set.state.key?.sheetText;
  if (sheetText !== undefined && (sheet !== undefined || key !== undefined)) {
    const held = set.state.key;
    if (held === undefined || held.sheetText !== sheetText || (key !== undefined && held.keyText !== key)) {
      good(checkedKey(sheetText, key, set.state.sheetId));
      drafts.push({ kind: 'key-adopted', data: { sheet: sheetText, ...(key === undefined ? {} : { key }) } });
    }
  }
  const rosterFile = named('roster');
  if (rosterFile !== undefined) drafts.push({ kind: 'roster-loaded', data: { students: [...good(readRoster(readText(rosterFile, terminal)))], name: path.basename(rosterFile) } });
  const due = named('due');
  if (due !== undefined) {
    if (!Number.isFinite(Date.parse(due))) throw new LabError(`--due ${due} is not a moment; write for example 2026-03-09T17:00:00+00:00`, 2);
    drafts.push({ kind: 'due-set', data: { due } });
  }
  const late = named('late');
  if (late !== undefined) {
    const percent = Number(late.replace(/\s*%$/, ''));
    if (!(percent >= 0 && percent <= 100)) throw new LabError(`--late ${late} is no per cent; write for example --late 10`, 2);
    drafts.push({ kind: 'late-rule-set', data: { rule: { kind: 'per-day', percent } } });
  }
  const several = named('several');
  if (several !== undefined) {
    const rule = severalRules.find((one) => one === several);
    if (rule === undefined) throw new LabError(`--several ${several} is no rule; write one of ${severalRules.join(', ')}`, 2);
    drafts.push({ kind: 'several-rule-set', data: { rule } });
  }
  return drafts;
}

function good<Value>(result: { readonly ok: true; readonly value: Value } | { readonly ok: false; readonly error: { readonly message: string } }): Value {
  if (!result.ok) throw new LabError(result.error.message);
  return result.value;
}

const plain = (value: number | undefined): string => (value === undefined ? '' : hundredths(value));

function summary(view: SetView, out: string): string {
  const rows = view.files.map((row) => [row.folder === '' ? row.name : `${row.folder}/${row.name}`, row.student ?? '', row.status, row.total === undefined ? '' : `${plain(row.total)} of ${plain(row.outOf)}`, (row.pending ?? 0) > 0 ? `${plain(row.pending)} wait for the marker` : '']);
  return `${table(['file', 'student', 'status', 'marks', ''], rows, '')}Key: ${view.key?.name ?? 'none'}\nWritten: ${out}\n`;
}
