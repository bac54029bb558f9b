/** Opens hostile files the way the program does, and holds each answer to what a person may be told. */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { applyMapping, decodeGasFile, guessMapping, readGasTable } from '../../core/gas/gas.ts';
import { readRoster } from '../../core/marking-set/roster-text.ts';
import { loadProfile, profileProblemText } from '../../core/profile/load.ts';
import { readSession, replayProblemText } from '../../core/replay/replay.ts';
import { loadSheet, problemText } from '../../core/sheet/load.ts';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import { buildWorksheetFile } from '../../core/worksheet/file.ts';
import { writeWorksheet } from '../../electron/pdf/write-worksheet.ts';
import { markFiles } from '../../electron/desk/mark-files.ts';
import { unzipWorksheets } from '../../electron/desk/zip.ts';
import { makeGasFile } from '../core/gas-file-maker.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';
import type { Hostile, SoundFiles } from './hostile-maker.ts';

const top = path.join(import.meta.dirname, '..', '..');
export const bruce = readFileSync(path.join(top, 'lab-sheets', 'treadmill-maximal-bruce.yaml'), 'utf8');
const bruceSheet = loadSheet(bruce, 'bruce');

/** Sound files of every kind. */
export async function soundFiles(): Promise<SoundFiles> {
  const session = wholeSession();
  const sheet = answered(session, { 'hr-max': ['193', '/min', '208 - 0.7 x 22'] }).answer('discussion', 'Heart rate rose.').handIn();
  const file = buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: sheet.stored }, version: '0.1.0' });
  const pdf = await writeWorksheet({ session: { events: session.stored }, worksheet: { events: sheet.stored }, paper: 'A4', version: '0.1.0', wall: '2026-03-02T11:25:00+00:00' });
  const gas = makeGasFile({ delimiter: ',', decimal: '.', lineEnd: '\n', bom: false, preamble: 'short', units: 'row', time: 'm:ss', uptake: 'mL/min', rows: 'per-breath', blankLines: false, repeatedHeadings: false, quoted: false, missing: '', trailingDelimiter: false, turn: 0, seed: 4, length: 60 });
  return {
    pdf,
    file,
    csv: [readFileSync(path.join(top, 'tests/core/fixtures/r-07.csv'), 'utf8'), gas.text, 'student,group,extension\ns-1,A,2026-03-16 17:00\ns-2,B,\n'],
    yaml: [bruce, 'schema: stagecall-station-profile/1\ncourse: Exercise physiology\n', 'schema: stagecall-answer-key/1\n'],
  };
}

export interface Opened {
  /** Read, or refused in these words. */
  readonly words: readonly string[];
  readonly read: boolean;
  /** Milliseconds of processor time, for tables and YAML, which are read in one go in this process. */
  readonly took?: number;
}

/** Opens one file by a reader of its kind; `turn` says which, where there are several. A throw is a fault of the program. */
export async function openHostile({ kind, bytes }: Hostile, turn: number): Promise<Opened> {
  if (kind === 'pdf' || kind === 'json') return byDesk(bytes, kind);
  if (kind === 'zip') return byZip(bytes);
  const begun = process.cpuUsage();
  const opened = kind === 'csv' ? byTables(bytes) : byYaml(bytes, turn);
  const { user, system } = process.cpuUsage(begun);
  return { ...opened, took: (user + system) / 1000 };
}

async function byDesk(bytes: Uint8Array, kind: string): Promise<Opened> {
  const [marked] = await markFiles([{ name: `hostile.${kind}`, bytes }], bruce);
  return { read: marked?.status === 'marked', words: (marked?.findings ?? []).map((finding) => finding.text) };
}

async function byZip(bytes: Uint8Array): Promise<Opened> {
  const answer = await unzipWorksheets(bytes);
  if (!answer.ok) return { read: false, words: [answer.error.message] };
  return { read: answer.value.files.length > 0, words: answer.value.left.flatMap((one) => [one.name, one.text]).concat(answer.value.files.length > 0 ? [] : ['nothing was taken out']) };
}

/** As the command line and the windows read a table. */
function byTables(bytes: Uint8Array): Opened {
  const words: string[] = [];
  let read = false;
  const { text } = decodeGasFile(bytes);
  const table = readGasTable(text);
  if (!table.ok) words.push(table.error.message);
  else {
    words.push(...table.value.warnings);
    const { mapping } = guessMapping(table.value);
    const series = applyMapping(table.value, mapping);
    if (series.ok) read = true;
    else words.push(series.error.message);
  }
  const roster = readRoster(text);
  if (roster.ok) read = true;
  else words.push(roster.error.message);
  if (bruceSheet.ok) {
    const session = readSession(text, 'hostile.csv', bruceSheet.sheet, bruce);
    if (session.ok) read = true;
    else words.push(replayProblemText(session.problem));
  }
  return { read, words };
}

function byYaml(bytes: Uint8Array, turn: number): Opened {
  const text = new TextDecoder().decode(bytes);
  if (turn % 3 === 0) {
    const profile = loadProfile(text);
    return profile.ok ? { read: true, words: [] } : { read: false, words: profile.problems.map(profileProblemText) };
  }
  const loaded = turn % 3 === 1 ? loadSheet(text, 'hostile.yaml') : keyedSheet(bruce, text);
  return loaded.ok ? { read: true, words: [] } : { read: false, words: loaded.problems.map(problemText) };
}

/** What must not be told to a person: a stack, a file of the program, an error of the language. Empty where all is well. */
export function faultsOf({ words, read }: Opened): readonly string[] {
  const faults: string[] = [];
  if (!read && words.every((text) => text.trim() === '')) faults.push('refused without a word');
  for (const text of words) {
    if (/\n\s+at |node:|\.ts:\d|\.js:\d|node_modules|TypeError|RangeError|ReferenceError|SyntaxError|is not a function|Cannot read propert|undefined \(reading|Maximum call stack|\[object /.test(text)) faults.push(`speaks of the program: ${text.slice(0, 200)}`);
    if (text.length > 3000) faults.push(`says ${text.length} letters: ${text.slice(0, 80)}`);
  }
  if ((Object.prototype as Record<string, unknown>)['polluted'] !== undefined) faults.push('the prototype of everything was changed');
  return faults;
}
