/** The shipped lab sheets for tests: loaded, and recorded sessions folded on them without a station. */
import { readdirSync, readFileSync } from 'node:fs';
import { sha256Hex } from '../../core/record/chain.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import { readSession, type Replay } from '../../core/replay/replay.ts';
import { resultsOf, type Results } from '../../core/results/results.ts';
import { sessionVersions } from '../../core/session/events.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { loadSheet, problemText, type Problem } from '../../core/sheet/load.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { lookUp } from '../../core/worksheet/book.ts';

const folder = new URL('../../lab-sheets/', import.meta.url);
export const sheetIds: readonly string[] = readdirSync(folder).filter((name) => name.endsWith('.yaml')).map((name) => name.replace(/\.yaml$/, '')).toSorted();
export const textOf = (id: string): string => readFileSync(new URL(`${id}.yaml`, folder), 'utf8');

export function loaded(id: string, text = textOf(id)): { readonly sheet: LabSheet; readonly text: string; readonly warnings: readonly Problem[] } {
  const read = loadSheet(text, `${id}.yaml`);
  if (!read.ok) throw new Error(read.problems.map(problemText).join('\n'));
  return { sheet: read.sheet, text, warnings: read.warnings };
}

export const fixture = (name: string): string => readFileSync(new URL(`fixtures/${name}`, import.meta.url), 'utf8');

export interface Replayed {
  readonly replay: Replay;
  readonly state: SessionState;
  readonly results: Results;
}

/** Folds a recorded session on a sheet. @throws where the file is refused. */
export function replayedOn(id: string, csv: string, sheetText = textOf(id)): Replayed {
  const { sheet, text } = loaded(id, sheetText);
  const read = readSession(csv, `${id}.csv`, sheet, text);
  if (!read.ok) throw new Error(`line ${read.problem.line}: ${read.problem.message}; ${read.problem.remedy}`);
  const opened = { way: 'paper', sheet: { id: sheet.id, version: sheet.version, hash: sha256Hex(text), text }, wall: '2026-03-02T14:00:00+00:00' };
  const events: RecordEvent[] = [{ record: 's-test', seq: 0, kind: 'session-opened', version: 1, taken: 0, entered: 0, author: 'replay', command: 'open', data: opened }];
  for (const { author, drafts } of read.replay.batches) {
    for (const { kind, data, taken } of drafts) events.push({ record: 's-test', seq: events.length, kind, version: sessionVersions[kind], taken, entered: taken, author, command: `c-${events.length}`, data });
  }
  const state = foldSession(events);
  return { replay: read.replay, state, results: resultsOf(state) };
}

/** A number of the book, or the reason why there is none. */
export function inBook(results: Results, path: string): number | string {
  const entry = lookUp(results.book, path);
  return entry.known ? entry.value : entry.reason;
}
