/** Folds a recorded session without a station: for tests of what its rows mean. */
import { readFileSync } from 'node:fs';
import type { RecordEvent } from '../../core/record/event.ts';
import { sha256Hex } from '../../core/record/chain.ts';
import { readSession, type Replay, type ReplayProblem } from '../../core/replay/replay.ts';
import { resultsOf, type Results } from '../../core/results/results.ts';
import { sessionVersions } from '../../core/session/events.ts';
import { foldSession } from '../../core/session/fold.ts';
import type { SessionState } from '../../core/session/state.ts';
import { loadSheet, problemText } from '../../core/sheet/load.ts';

export const sheetText = readFileSync(new URL('../../lab-sheets/treadmill-maximal-bruce.yaml', import.meta.url), 'utf8');
const loaded = loadSheet(sheetText, 'treadmill-maximal-bruce.yaml');
if (!loaded.ok) throw new Error(loaded.problems.map(problemText).join('\n'));
export const { sheet } = loaded;

export const fixture = (name: string): string => readFileSync(new URL(`fixtures/${name}`, import.meta.url), 'utf8');

export interface Replayed {
  readonly replay: Replay;
  readonly state: SessionState;
  readonly results: Results;
}

/** @throws where the file is refused. */
export function replayed(csv: string): Replayed {
  const read = readSession(csv, 'session.csv', sheet, sheetText);
  if (!read.ok) throw new Error(`line ${read.problem.line}: ${read.problem.message}; ${read.problem.remedy}`);
  const { replay } = read;
  const opened = { way: 'paper', sheet: { id: sheet.id, version: sheet.version, hash: sha256Hex(sheetText), text: sheetText }, wall: '2026-03-02T14:00:00+00:00' };
  const events: RecordEvent[] = [{ record: 's-test', seq: 0, kind: 'session-opened', version: 1, taken: 0, entered: 0, author: 'replay', command: 'open', data: opened }];
  for (const { author, drafts } of replay.batches) {
    for (const { kind, data, taken } of drafts) events.push({ record: 's-test', seq: events.length, kind, version: sessionVersions[kind], taken, entered: taken, author, command: `c-${events.length}`, data });
  }
  const state = foldSession(events);
  return { replay, state, results: resultsOf(state) };
}

/** @throws where the file is understood. */
export function refusal(csv: string): ReplayProblem {
  const read = readSession(csv, 'session.csv', sheet, sheetText);
  if (read.ok) throw new Error('the file was understood, but it is wrong');
  return read.problem;
}

export const HEADING = 'time,phase,quantity,value,unit,by,note';
/** A small whole session, to which a test adds the rows that it is about. */
export const session = (...rows: readonly string[]): string => [HEADING, '0:00,prepare,participant-code,R-01,,KT,', '0:00,prepare,sex,m,,KT,', '0:00,prepare,age,25,,KT,', '0:00,prepare,mass,70,kg,KT,', ...rows, ''].join('\n');
