/** `replay`: a recorded session through the real station, to the worksheets' PDFs and the results. */
import { randomUUID } from 'node:crypto';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, renameSync, rmSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { fileWord } from '../../core/file-word.ts';
import { replayProblemText, readSession, type Replay, type ReplayBatch } from '../../core/replay/replay.ts';
import { resultsOf } from '../../core/results/results.ts';
import type { Result } from '../../core/result.ts';
import { markWorksheet } from '../../core/worksheet/marking.ts';
import type { CommandName, InputOf, OutputOf } from '../../core/contract/contract.ts';
import { dispatch } from '../station/dispatch.ts';
import { findSheet, readText, type NamedSheet } from './files.ts';
import { gasHelp, gasOptions, joinGas, readGasOption, type GasToJoin } from './replay-gas.ts';
import { LabError, needed, type Terminal, type Verb } from './lab-error.ts';
import { openOwnStation, type OwnStation } from './own-station.ts';
import { RESULTS_FORM, resultsJson, voidsOf, type ReplayReport, type WrittenWorksheet } from './results-json.ts';
import { resultsText } from './results-text.ts';

export const replayVerb: Verb = {
  summary: 'runs a recorded session and writes the worksheet of each student',
  options: { sheet: { type: 'string' }, out: { type: 'string' }, json: { type: 'boolean' }, ...gasOptions },
  help: `Usage: npm run -s lab -- replay SESSION.csv --sheet LAB-SHEET --out DIR [--json]
         [--gas FILE [--gas-start M:SS] [--gas-columns TEXT] [--gas-time FORM]]

Runs a recorded session through the same station that a live one runs through, with a store of its own in DIR, writes one
PDF a student (an empty worksheet where the file names no student) and prints the results. The file's columns are
time,phase,quantity,value,unit,by,note; lab-sheets/README.md documents them with an example.

  --sheet LAB-SHEET   a lab sheet's file, or the id of a shipped one
  --out DIR           made if need be. A second run of the same file replaces what the first one wrote there.
  --json              the results as data (stagecall-replay/1)
${gasHelp}
Where the file cannot be understood, one line says where and what would be right, and DIR is left as it was.
`,
  async run(invocation) {
    const { operands, options, terminal } = invocation;
    const [file, ...more] = operands;
    if (file === undefined || more.length > 0) throw new LabError('replay takes one SESSION.csv; see: npm run -s lab -- replay --help', 2);
    const sheetName = needed(invocation, 'sheet', 'LAB-SHEET');
    const out = needed(invocation, 'out', 'DIR');
    const sheet = findSheet(sheetName, terminal);
    const read = readSession(readText(file, terminal), path.basename(file), sheet.sheet, sheet.text);
    if (!read.ok) throw new LabError(replayProblemText(read.problem));
    const gas = readGasOption(invocation, terminal);
    for (const warning of sheet.warnings) terminal.say(`${sheet.file}, line ${warning.line}: ${warning.message}`);
    const report = await replayInto(path.resolve(terminal.folder, out), path.basename(file), sheet, { replay: read.replay, gas }, terminal);
    terminal.out(options['json'] === true ? `${JSON.stringify(resultsJson(report), null, 2)}\n` : resultsText(report));
    return 0;
  },
};

interface Asked {
  readonly replay: Replay;
  readonly gas: GasToJoin | undefined;
}

/** The results beside the store, so that a second run knows what the first one wrote. */
const RESULTS_NAME = 'results.json';

/** Works in a folder beside DIR, and moves what is finished into it: a run that fails leaves DIR as it was. */
async function replayInto(folder: string, fileName: string, sheet: NamedSheet, asked: Asked, terminal: Terminal): Promise<ReplayReport> {
  const working = workingFolder(folder);
  try {
    const name = path.basename(fileName, path.extname(fileName));
    const storeName = `${name}.station`;
    const station = openOwnStation(path.join(working, storeName), sheet);
    let report: ReplayReport;
    try {
      report = await run(station, working, folder, fileName, sheet, asked, terminal);
    } finally {
      station.close();
    }
    writeFileSync(path.join(working, storeName, RESULTS_NAME), `${JSON.stringify(resultsJson(report), null, 2)}\n`);
    moveIn(working, folder, storeName);
    return report;
  } catch (cause) {
    if (cause instanceof LabError || (cause as NodeJS.ErrnoException).code === undefined) throw cause;
    throw new LabError(cannotWrite(folder, cause));
  } finally {
    rmSync(working, { recursive: true, force: true });
  }
}

async function run(station: OwnStation, working: string, folder: string, fileName: string, sheet: NamedSheet, { replay, gas }: Asked, terminal: Terminal): Promise<ReplayReport> {
  let bug: unknown;
  const noteBug = (cause: unknown): void => void (bug = cause);
  const call = async <Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<Result<OutputOf<Name>>> => (await dispatch(station.handlers, name, input, noteBug)) as Result<OutputOf<Name>>;
  const must = async <Name extends CommandName>(name: Name, input: InputOf<Name>): Promise<OutputOf<Name>> => {
    const answer = await call(name, input);
    if (!answer.ok) throw new LabError(`${fileName}: ${answer.error.code === 'bug' ? `something went wrong inside the program (${bug instanceof Error ? bug.message : String(bug)}); nothing was written` : answer.error.message}`);
    return answer.value;
  };
  const { session } = await must('session.open', { command: command(), author: 'replay', sheet: sheet.sheet.id, way: 'paper' });
  for (const batch of replay.batches) await append(call, session, batch, fileName);
  const joined = gas && joinGas(gas, station.sessionState(session));
  if (joined) {
    const { hash } = await must('series.put', { text: joined.text });
    await must('record.append', { record: session, command: command(), author: 'replay', drafts: [joined.draft(hash)] });
  }

  const worksheets: WrittenWorksheet[] = [];
  for (const [index, { student, named, answers }] of replay.worksheets.entries()) {
    const { worksheet } = await must('worksheet.open', { command: command(), session, student });
    for (let from = 0; from < answers.length; from += 200) {
      await append(call, worksheet, { author: student.slice(0, 40), drafts: answers.slice(from, from + 200).map((answer) => answer.draft) as never, lines: answers.slice(from, from + 200).map((answer) => answer.line) }, fileName);
    }
    if (named && answers.length > 0) await must('record.append', { record: worksheet, command: command(), author: student.slice(0, 40), drafts: [{ kind: 'worksheet-handed-in', data: { wall: new Date().toISOString() } }] });
    if (replay.worksheets.length > 1 && terminal.isTerminal) terminal.say(`worksheet ${index + 1} of ${replay.worksheets.length}`);
    const exported = await must('worksheet.export', { worksheet, as: 'pdf' });
    const file = `worksheet-${shortName(session)}-${fileWord(student, 'student')}.pdf`;
    const taken = worksheets.some((other) => path.basename(other.file) === file);
    const name = taken ? `worksheet-${shortName(session)}-${fileWord(student, 'student')}-${index + 1}.pdf` : file;
    writeFileSync(path.join(working, name), Buffer.from(exported.base64, 'base64'));
    worksheets.push({ student, worksheet, file: path.join(folder, name) });
  }

  const state = station.sessionState(session);
  const results = resultsOf(state, () => joined?.text);
  const [first] = worksheets;
  const marking = markWorksheet({ sheet: sheet.sheet, book: results.book, worksheet: station.worksheetState(first?.worksheet ?? '') });
  const voids = voidsOf(marking, (id) => sheet.sheet.questions.find((question) => question.id === id)?.marks ?? 0);
  return { state, results, voids, outOf: marking.outOf, worksheets, folder, warnings: [...replay.warnings, ...(joined?.says ?? []).map((text) => ({ text }))] };
}

type Call = <Name extends CommandName>(name: Name, input: InputOf<Name>) => Promise<Result<OutputOf<Name>>>;

/** Sends a batch; where the station refuses it, finds the row that it refuses. */
async function append(call: Call, record: string, batch: Pick<ReplayBatch, 'author' | 'drafts' | 'lines'>, fileName: string): Promise<void> {
  const sent = await call('record.append', { record, command: command(), author: batch.author, drafts: [...batch.drafts] });
  if (sent.ok) return;
  for (const [index, draft] of batch.drafts.entries()) {
    const one = await call('record.append', { record, command: command(), author: batch.author, drafts: [draft] });
    if (!one.ok) throw new LabError(`${fileName}, line ${batch.lines[index]}: ${one.error.message.replace(/\.$/, '')}; correct the row or take it out`);
  }
  throw new LabError(`${fileName}: ${sent.error.message}`);
}

const command = (): string => `replay-${randomUUID()}`;

/** Enough of a session's id to tell two apart on a desk. */
export const shortName = (session: string): string => session.replace(/^s-/, '').slice(0, 6);

/** Beside DIR, so that what is finished can be moved; in DIR itself where only that may be written in. */
function workingFolder(folder: string): string {
  const parent = path.dirname(folder);
  const prefix = '.stagecall-replay-';
  try {
    if (existsSync(folder) && !statSync(folder).isDirectory()) throw new LabError(`${folder} is a file; give a folder as --out`);
    mkdirSync(parent, { recursive: true });
    try {
      return mkdtempSync(path.join(parent, prefix));
    } catch (cause) {
      if (!existsSync(folder)) throw cause;
      return mkdtempSync(path.join(folder, prefix));
    }
  } catch (cause) {
    if (cause instanceof LabError) throw cause;
    throw new LabError(cannotWrite(folder, cause));
  }
}

/** What an earlier run of the same file left is taken out, and the new files take its place. */
function moveIn(working: string, folder: string, storeName: string): void {
  if (!existsSync(folder)) {
    renameSync(working, folder);
    // A folder made aside is closed to others; this one is as any folder that the person makes.
    chmodSync(folder, 0o777 & ~process.umask());
    return;
  }
  for (const old of writtenBefore(folder, storeName)) rmSync(path.join(folder, old), { recursive: true, force: true });
  for (const entry of readdirSync(working)) {
    const target = path.join(folder, entry);
    rmSync(target, { recursive: true, force: true });
    renameSync(path.join(working, entry), target);
  }
}

/** The worksheets that an earlier run of this file wrote here, as its own results name them. */
function writtenBefore(folder: string, storeName: string): readonly string[] {
  try {
    const { format, worksheets } = JSON.parse(readFileSync(path.join(folder, storeName, RESULTS_NAME), 'utf8')) as { format?: string; worksheets?: readonly { file?: unknown }[] };
    if (format !== RESULTS_FORM) return [];
    return (worksheets ?? []).map((one) => path.basename(String(one.file))).filter((file) => /^worksheet-[\w.-]+\.pdf$/.test(file));
  } catch {
    return [];
  }
}

function cannotWrite(folder: string, cause: unknown): string {
  const { code, message } = cause as NodeJS.ErrnoException;
  if (code === 'EACCES' || code === 'EPERM' || code === 'EROFS') return `nothing can be written in ${folder}; give another folder as --out`;
  if (code === 'ENOSPC') return `the disk of ${folder} is full; nothing was left there`;
  if (code === 'ENOTDIR' || code === 'EEXIST') return `${folder} cannot be made: a part of its path is a file; give another folder as --out`;
  return `${folder} could not be written (${message}); it was left as it was`;
}
