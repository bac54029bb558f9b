/** Marking sets of the station in memory: the same facts, fold and rules, records as `.json` only, nothing handed over. */
import type { Handlers } from '../../core/contract/contract.ts';
import type { SetJob } from '../../core/contract/marking-sets.ts';
import { archivedView } from '../../core/marking-set/archive.ts';
import { decideSetFact } from '../../core/marking-set/decide.ts';
import { foldSet, type SetState } from '../../core/marking-set/fold.ts';
import { historyOf } from '../../core/marking-set/history.ts';
import { markRecordText, type MarkedRecord } from '../../core/marking-set/marked-record.ts';
import { longCsv, marksOut, wideCsv } from '../../core/marking-set/marks-out.ts';
import { fileIdOf, makeFact, type StoredFact } from '../../core/marking-set/set-chain.ts';
import type { SetView } from '../../core/marking-set/view-types.ts';
import { moderatedMarkingOf, viewOf } from '../../core/marking-set/view.ts';
import { CHAIN_START, sha256Hex } from '../../core/record/chain.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';

export type SetHandlers = Pick<Handlers, Extract<keyof Handlers, `set.${string}`>>;
interface Kept {
  facts: StoredFact[];
  readonly records: Map<string, string>;
  readonly commands: Set<string>;
  archived?: SetView;
}

export function fakeSets(sheetText: (id: string) => string | undefined): SetHandlers {
  const sets = new Map<string, Kept>();
  const jobs = new Map<string, SetJob>();
  let now = Date.parse('2026-03-02T09:00:00Z');
  const write = (kept: Kept, set: string, author: string, command: string, kind: string, data: unknown): void => {
    now += 1;
    kept.commands.add(command);
    kept.facts.push(makeFact(kept.facts.at(-1)?.hash ?? CHAIN_START, { record: set, seq: kept.facts.length, kind, version: 1, taken: now, entered: now, author, command, data }));
  };
  const marked = (kept: Kept, state: SetState, record: string): MarkedRecord | undefined => {
    const text = kept.records.get(record);
    const sheet = state.key === undefined ? undefined : keyedSheet(state.key.sheetText, state.key.keyText);
    return text === undefined || sheet?.ok !== true ? undefined : markRecordText(text, sheet.sheet);
  };
  const view = (kept: Kept): SetView => {
    const state = foldSet(kept.facts);
    if (kept.archived !== undefined && state.archived !== undefined) return { ...kept.archived, archived: state.archived };
    const sheet = state.key === undefined ? undefined : keyedSheet(state.key.sheetText, state.key.keyText);
    return viewOf(state, { ...(sheet?.ok === true ? { sheet: sheet.sheet } : {}), markedOf: (record) => marked(kept, state, record) });
  };
  const withSet = <Value>(set: string, act: (kept: Kept) => Result<Value>): Result<Value> => {
    const kept = sets.get(set);
    return kept === undefined ? failure('no-such-set', 'There is no such marking set on this machine.') : act(kept);
  };
  return {
    'set.list': async () => success([...sets].map(([id, kept]) => {
      const { title, term, sheetId, files, openedWall, archived } = foldSet(kept.facts);
      return { id, title, term, sheet: sheetId, files: files.length, openedWall, archived: archived !== undefined };
    })),
    'set.create': async ({ command, author, title, term, sheet, sheetText: own, key }) => {
      const known = [...sets].find(([, kept]) => kept.commands.has(command));
      if (known) return success({ set: known[0] });
      const text = own ?? sheetText(sheet ?? '');
      if (text === undefined) return failure('no-such-sheet', 'There is no such lab sheet.');
      const loaded = keyedSheet(text, key);
      if (!loaded.ok) return failure('bad-key', loaded.problems[0]?.message ?? 'not a lab sheet');
      const id = `set-fake${sets.size + 1}`;
      const kept: Kept = { facts: [], records: new Map(), commands: new Set() };
      write(kept, id, author, command, 'set-opened', { title, term, sheet: loaded.sheet.id });
      write(kept, id, author, command, 'key-adopted', { version: 1, sheet: text, ...(key === undefined ? {} : { key }) });
      sets.set(id, kept);
      return success({ set: id });
    },
    'set.open': async ({ set }) => withSet(set, (kept) => success(view(kept))),
    'set.read': async ({ set, file }) => withSet(set, (kept) => {
      const row = view(kept).files.find((one) => one.file === file);
      if (row === undefined) return failure('no-such-file', 'This set has no such file.');
      const state = foldSet(kept.facts);
      const record = state.files.find((one) => one.file === file)?.record;
      const marking = record === undefined ? undefined : moderatedMarkingOf(state, marked(kept, state, record));
      const history = historyOf(state).filter((line) => line.file === file);
      return success({ row, history, ...(record === undefined ? {} : { attachment: JSON.parse(kept.records.get(record) ?? 'null') as unknown }), ...(marking === undefined ? {} : { marking }) });
    }),
    'set.history': async ({ set }) => withSet(set, (kept) => success(historyOf(foldSet(kept.facts)))),
    'set.append': async ({ set, command, author, drafts }) => withSet(set, (kept) => {
      if (kept.commands.has(command)) return success(view(kept));
      const before = [...kept.facts];
      for (const draft of drafts) {
        const ok = decideSetFact(foldSet(kept.facts), draft, { outOf: (_worksheet, question) => view(kept).questions.find(({ id }) => id === question)?.outOf, itemOutOf: () => undefined, level: () => 0 });
        if (!ok.ok) {
          kept.facts = before;
          return ok;
        }
        write(kept, set, author, command, ok.value.kind, ok.value.data);
      }
      return success(view(kept));
    }),
    'set.add-files': async ({ set, command, author, files }) => withSet(set, (kept) => {
      const known = jobs.get(command);
      if (known) return success(known);
      const added = files.map(({ name, folder, base64 }) => {
        const text = new TextDecoder().decode(Uint8Array.from(atob(base64), (letter) => letter.charCodeAt(0)));
        const read = readWorksheetFile(text);
        const bytes = sha256Hex(text);
        const file = fileIdOf(bytes, folder, name);
        const record = read.ok && read.value.sound ? { record: sha256Hex(text) } : {};
        if (read.ok) kept.records.set(sha256Hex(text), text);
        const findings = read.ok ? read.value.findings.map(({ code, level, text: says }) => ({ code, level, text: says })) : [{ code: read.error.code, level: 'refusal', text: read.error.message }];
        write(kept, set, author, command, 'file-added', { file, name, folder, bytes, size: text.length, ...record, findings });
        return file;
      });
      const job: SetJob = { job: command, set, what: 'add-files', done: files.length, of: files.length, finished: true, stopped: false, added, known: [] };
      jobs.set(command, job);
      return success(job);
    }),
    'set.progress': async ({ job }) => jobOf(jobs.get(job)),
    'set.stop': async ({ job }) => jobOf(jobs.get(job)),
    'set.export-marks': async ({ set, form }) => withSet(set, (kept) => {
      const marks = marksOut(view(kept));
      const text = form === 'json' ? JSON.stringify(marks) : form === 'long' ? longCsv(marks) : wideCsv(marks);
      return success({ name: `marks.${form === 'json' ? 'json' : 'csv'}`, mime: 'text/csv', base64: btoa(String.fromCharCode(...new TextEncoder().encode(text))) });
    }),
    'set.export': async () => failure('not-here', 'The test station hands no set over.'),
    'set.merge': async () => failure('not-a-set', 'The test station takes no set in.'),
    'set.archive': async ({ set, author, command, reason }) => withSet(set, (kept) => {
      kept.archived = archivedView(view(kept));
      kept.records.clear();
      kept.facts = kept.facts.slice(0, 1);
      write(kept, set, author, command, 'set-archived', { reason, marks: '0'.repeat(64) });
      return success(view(kept));
    }),
    'set.class': async ({ set }) => withSet(set, (kept) => success({ set, title: view(kept).title, worksheets: [], waiting: 0 })),
    'set.feedback': async () => failure('no-feedback', 'The test station writes no pages.'),
    'set.key': async ({ set }) => withSet(set, (kept) => {
      const { key } = foldSet(kept.facts);
      return key === undefined ? failure('no-key', 'This set has no key.') : success({ sheet: key.sheetText, ...(key.keyText === undefined ? {} : { key: key.keyText }) });
    }),
  };
}

const jobOf = (job: SetJob | undefined): Result<SetJob> => (job === undefined ? failure('no-such-job', 'That work is over.') : success(job));
