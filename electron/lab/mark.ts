/** `mark`: handed-in worksheets in, a table of marks out. */
import { readdirSync, readFileSync, statSync } from 'node:fs';
import path from 'node:path';
import type { DeskFile } from '../../core/contract/contract.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import { marksColumns, marksCsv, marksRows, type MarkedFile } from '../../core/worksheet/marks-csv.ts';
import { writers } from '../station/writers.ts';
import { cannotRead, findSheet } from './files.ts';
import { LabError, needed, type Terminal, type Verb } from './lab-error.ts';
import { table } from './table.ts';
import { writeWhole } from './write-whole.ts';

export const markVerb: Verb = {
  summary: 'marks handed-in worksheets and writes the table of marks',
  options: { out: { type: 'string' }, sheet: { type: 'string' }, json: { type: 'boolean' } },
  help: `Usage: npm run -s lab -- mark FILES-OR-FOLDER … --out MARKS.csv [--sheet LAB-SHEET] [--json]

Opens worksheets (.pdf, or the record alone as .json), checks each record, recomputes everything from it and marks the answers.
A folder is searched with its subfolders. Nothing that is printed in a file is trusted, nor any mark or key inside it.

  --out MARKS.csv     ${marksColumns.join(',')}
  --sheet LAB-SHEET   the instructor's own lab sheet, whose questions and tolerances count. Without it each file's own copy
                      is used, and every row says "unverified key".
  --json              the marks as data (stagecall-marks/1)

A file that cannot be marked gets a row that says why, and never stops the rest. Exit code 1 where none could be marked.
`,
  async run(invocation) {
    const { operands, options, terminal } = invocation;
    if (operands.length === 0) throw new LabError('mark takes files or folders; see: npm run -s lab -- mark --help', 2);
    const out = path.resolve(terminal.folder, needed(invocation, 'out', 'MARKS.csv'));
    const key = typeof options['sheet'] === 'string' ? findSheet(options['sheet'], terminal) : undefined;
    const files = findFiles(operands, terminal);
    // The desk's processes keep nobody waiting, so that an idle window can close; here someone waits for them.
    const waiting = setInterval(() => undefined, 1_000);
    const marked = await markAll(files, key?.text, terminal).finally(() => clearInterval(waiting));
    const done = marked.filter((file) => file.status === 'marked');
    for (const file of marked) {
      for (const finding of file.findings) if (finding.level !== 'fact' && finding.code !== 'unverified-key') terminal.say(`${file.file}: ${finding.text}`);
    }
    if (key === undefined) terminal.say('unverified key: no --sheet was given, so each file is marked by the copy of the lab sheet inside it');
    if (done.length === 0) {
      if (options['json'] === true) terminal.out(`${JSON.stringify(marksJson(marked, key !== undefined), null, 2)}\n`);
      throw new LabError(`${marked.length === 1 ? 'the file' : `none of the ${marked.length} files`} could ${marked.length === 1 ? 'not ' : ''}be marked; ${path.basename(out)} was not written`);
    }
    writeWhole(out, marksCsv(marksRows(marked)));
    if (options['json'] === true) terminal.out(`${JSON.stringify(marksJson(marked, key !== undefined), null, 2)}\n`);
    else terminal.out(summary(marked, out, key !== undefined));
    return 0;
  },
};

interface Found {
  /** Full path. */
  readonly path: string;
  /** As it is named in messages and in the table. */
  readonly name: string;
}

const MOST_BYTES = 100 * 1024 * 1024;
/** Files read and marked together, so that memory stays flat over a class. */
const TOGETHER = 25;

function findFiles(operands: readonly string[], terminal: Terminal): readonly Found[] {
  const found: Found[] = [];
  for (const operand of operands) {
    const full = path.resolve(terminal.folder, operand);
    try {
      if (!statSync(full).isDirectory()) {
        found.push({ path: full, name: path.basename(full) });
        continue;
      }
      const inside = readdirSync(full, { recursive: true, withFileTypes: true })
        // A replay keeps its store in a folder of its own.
        .filter((entry) => entry.isFile() && /\.(?:pdf|json)$/i.test(entry.name) && !/\.station$/.test(entry.parentPath) && !entry.name.startsWith('.'))
        .map((entry) => path.join(entry.parentPath, entry.name))
        .toSorted();
      for (const file of inside) found.push({ path: file, name: path.relative(full, file) });
      if (inside.length === 0) terminal.say(`${operand} holds no .pdf and no .json`);
    } catch (cause) {
      throw new LabError(cannotRead(operand, cause));
    }
  }
  const once = [...new Map(found.map((file) => [file.path, file])).values()];
  if (once.length === 0) throw new LabError('there is nothing to mark; give worksheets as .pdf or .json, or a folder that holds them');
  return once;
}

async function markAll(files: readonly Found[], sheet: string | undefined, terminal: Terminal): Promise<readonly MarkedFile[]> {
  const { markFiles } = writers;
  if (!markFiles) throw new LabError('this program was built without its marking desk');
  const marked: MarkedFile[] = [];
  let told = Date.now();
  for (let from = 0; from < files.length; from += TOGETHER) {
    const some = files.slice(from, from + TOGETHER);
    const read = some.map(readOne);
    const good = read.flatMap((one) => ('bytes' in one ? [one] : []));
    const answer = good.length === 0 ? undefined : await markFiles(good, sheet);
    if (answer && !answer.ok) throw new LabError(answer.error.message);
    const results = new Map((answer?.ok ? answer.value : []).map((file, index) => [good[index], file] as const));
    for (const one of read) marked.push('bytes' in one ? asMarked(results.get(one), one.name) : one);
    if (Date.now() - told > 2_000 && marked.length < files.length) {
      terminal.say(`${marked.length} of ${files.length} read`);
      told = Date.now();
    }
  }
  return marked;
}

function readOne(file: Found): { readonly name: string; readonly bytes: Uint8Array } | MarkedFile {
  const refused = (text: string): MarkedFile => ({ file: file.name, status: 'refused', findings: [{ code: 'unreadable', level: 'refusal', text }] });
  try {
    const { size } = statSync(file.path);
    if (size > MOST_BYTES) return refused(`The file has ${Math.round(size / 1024 / 1024)} MB, far more than a worksheet; it was not opened.`);
    return { name: file.name, bytes: readFileSync(file.path) };
  } catch (cause) {
    return refused(`${cannotRead(file.name, cause)}.`);
  }
}

function asMarked(file: DeskFile | undefined, name: string): MarkedFile {
  if (!file) return { file: name, status: 'refused', findings: [{ code: 'no-answer', level: 'refusal', text: 'The desk gave no answer for this file.' }] };
  return { ...file, file: name } as unknown as MarkedFile;
}

function summary(files: readonly MarkedFile[], out: string, verified: boolean): string {
  const rows = files.map(({ file, status, marking, findings }) =>
    marking === undefined || status === 'refused'
      ? [file, '', '', 'not marked', findings.find((finding) => finding.level === 'refusal')?.text ?? '']
      : [file, marking.student, marking.participant ?? '', `${plain(marking.total)} of ${plain(marking.outOf)}`, marking.pending > 0 ? `${plain(marking.pending)} wait for the marker` : ''],
  );
  const key = verified ? '' : 'Unverified key: each file was marked by the copy of the lab sheet inside it.\n';
  return `${table(['file', 'student', 'participant', 'marks', ''], rows, '')}${key}Written: ${out}\n`;
}

const plain = (value: number): string => String(Math.round(value * 100) / 100);

function marksJson(files: readonly MarkedFile[], verified: boolean): unknown {
  return {
    format: 'stagecall-marks/1',
    key: verified ? 'given' : 'unverified',
    files: files.map(({ file, status, findings, marking, about }) => ({
      file,
      status,
      findings: findings.map(({ code, level, text }) => ({ code, level, text })),
      ...(marking === undefined ? { about: about ?? null } : marksOf(marking)),
    })),
  };
}

function marksOf(marking: Marking): object {
  const { student, participant, session, sheet, total, outOf, pending, questions } = marking;
  return { student, participant: participant ?? null, session, sheet: { id: sheet.id, version: sheet.version }, total, outOf, pending, questions: questions.map(({ id, title, marks, outOf: most, pending: waiting, verdict, reason, rows }) => ({ id, title, marks, outOf: most, pending: waiting, verdict, reason, rows })) };
}
