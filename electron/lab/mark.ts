/** `mark`: handed-in worksheets in, a table of marks out. */
import path from 'node:path';
import type { DeskFile } from '../../core/contract/contract.ts';
import { hundredths } from '../../core/units/format.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import { marksColumns, marksCsv, marksRows, type MarkedFile } from '../../core/worksheet/marks-csv.ts';
import { writers } from '../station/writers.ts';
import { paperOf } from './blank.ts';
import { FeedbackFolder } from './feedback-folder.ts';
import { findSheet } from './files.ts';
import { findFiles, readFound, type Found } from './hand-ins.ts';
import { asksForSet, markAsSet, setHelp, setOptions } from './mark-set.ts';
import { LabError, needed, type Terminal, type Verb } from './lab-error.ts';
import { table } from './table.ts';
import { writeWhole } from './write-whole.ts';

export const markVerb: Verb = {
  summary: 'marks handed-in worksheets and writes the table of marks',
  options: { out: { type: 'string' }, sheet: { type: 'string' }, feedback: { type: 'string' }, paper: { type: 'string' }, json: { type: 'boolean' }, ...setOptions },
  help: `Usage: npm run -s lab -- mark FILES-OR-FOLDER … --out MARKS.csv [--sheet LAB-SHEET] [--feedback DIR] [--json]

Opens worksheets (.pdf, or the record alone as .json; a .zip of them too), checks each record, recomputes everything from it and marks the answers.
A folder is searched with its subfolders. Nothing that is printed in a file is trusted, nor any mark or key inside it.

  --out MARKS.csv     ${marksColumns.join(',')}
  --sheet LAB-SHEET   the instructor's own lab sheet, whose questions and tolerances count. Without it each file's own copy
                      is used, and every row says "unverified key".
  --feedback DIR      a PDF for each marked worksheet, with reasons and the worked solutions, under the name and folder in
                      which the file came; made if need be. --paper Letter for that paper, else A4.
  --json              the marks as data (stagecall-marks/1)

${setHelp}
A file that cannot be marked gets a row that says why, and never stops the rest. Exit code 1 where none could be marked.
`,
  async run(invocation) {
    const { operands, options, terminal } = invocation;
    if (operands.length === 0) throw new LabError('mark takes files or folders; see: npm run -s lab -- mark --help', 2);
    const out = path.resolve(terminal.folder, needed(invocation, 'out', 'MARKS.csv'));
    const key = typeof options['sheet'] === 'string' ? findSheet(options['sheet'], terminal) : undefined;
    const folder = typeof options['feedback'] === 'string' && options['feedback'] !== '' ? path.resolve(terminal.folder, options['feedback']) : undefined;
    const files = await findFiles(operands, terminal, folder);
    if (asksForSet(options)) {
      if (folder !== undefined) throw new LabError('--feedback goes with a plain marking; the marking desk writes the feedback of a set', 2);
      const awake = setInterval(() => undefined, 1_000);
      return await markAsSet({ options, files, sheet: key, out, terminal }).finally(() => clearInterval(awake));
    }
    const feedback = folder === undefined ? undefined : new FeedbackFolder({ folder, paper: paperOf(options['paper']), sheet: key?.sheet, inputs: files.flatMap((file) => (file.path === undefined ? [] : [file.path])) });
    // The desk's processes keep nobody waiting, so that an idle window can close; here someone waits for them.
    const waiting = setInterval(() => undefined, 1_000);
    const marked = await markAll(files, key?.text, terminal, feedback).finally(() => clearInterval(waiting));
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
    if (feedback) terminal.say(`${feedback.written} feedback ${feedback.written === 1 ? 'PDF' : 'PDFs'} in ${feedback.folder}`);
    return 0;
  },
};

/** Files read and marked together, so that memory stays flat over a class. */
const TOGETHER = 25;

async function markAll(files: readonly Found[], sheet: string | undefined, terminal: Terminal, feedback: FeedbackFolder | undefined): Promise<readonly MarkedFile[]> {
  const { markFiles } = writers;
  if (!markFiles) throw new LabError('this program was built without its marking desk');
  const marked: MarkedFile[] = [];
  let told = Date.now();
  for (let from = 0; from < files.length; from += TOGETHER) {
    const read = files.slice(from, from + TOGETHER).map(readFound);
    const good = read.flatMap((one) => ('bytes' in one ? [one] : []));
    const answer = good.length === 0 ? undefined : await markFiles(good, sheet);
    if (answer && !answer.ok) throw new LabError(answer.error.message);
    const results = new Map((answer?.ok ? answer.value : []).map((file, index) => [good[index], file] as const));
    for (const one of read) {
      if (!('bytes' in one)) {
        marked.push(one);
        continue;
      }
      const result = results.get(one);
      marked.push(asMarked(result, one.name));
      if (feedback && result) await feedback.write(one.name, result, terminal);
    }
    if (Date.now() - told > 2_000 && marked.length < files.length) {
      terminal.say(`${marked.length} of ${files.length} read`);
      told = Date.now();
    }
  }
  return marked;
}

function asMarked(file: DeskFile | undefined, name: string): MarkedFile {
  if (!file) return { file: name, status: 'refused', findings: [{ code: 'no-answer', level: 'refusal', text: 'The desk gave no answer for this file.' }] };
  // The record itself is not kept: a class of them would fill the memory.
  const { attachment: _attachment, ...rest } = file;
  return { ...rest, file: name } as unknown as MarkedFile;
}

function summary(files: readonly MarkedFile[], out: string, verified: boolean): string {
  const rows = files.map(({ file, status, marking, findings }) =>
    marking === undefined || status === 'refused'
      ? [file, '', '', 'not marked', findings.find((finding) => finding.level === 'refusal')?.text ?? '']
      : [file, marking.student, marking.participant ?? '', `${hundredths(marking.total)} of ${hundredths(marking.outOf)}`, marking.pending > 0 ? `${hundredths(marking.pending)} wait for the marker` : ''],
  );
  const key = verified ? '' : 'Unverified key: each file was marked by the copy of the lab sheet inside it.\n';
  return `${table(['file', 'student', 'participant', 'marks', ''], rows, '')}${key}Written: ${out}\n`;
}

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
