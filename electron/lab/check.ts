/** `check LAB-SHEET`: is this a lab sheet, and what should its author know? */
import { mostStages } from '../../core/sheet/stage-plan.ts';
import path from 'node:path';
import { loadSheet, problemText } from '../../core/sheet/load.ts';
import { readText, sheetFile } from './files.ts';
import { LabError, type Verb } from './lab-error.ts';

export const checkVerb: Verb = {
  summary: 'reads a lab sheet and names everything that is wrong with it',
  options: { json: { type: 'boolean' } },
  help: `Usage: npm run -s lab -- check LAB-SHEET [--json]

Reads a lab sheet and checks it whole: shape, units, times, formulas, references between questions, marks.
Every problem is one line with file, line, place, what is wrong and what would be right. Exit code 0: the sheet can be used.

  --json   {"ok": true|false, "sheet": …, "problems": […], "warnings": […]} on stdout
`,
  async run({ operands, options, terminal }) {
    const [named, ...more] = operands;
    if (named === undefined || more.length > 0) throw new LabError('check takes one LAB-SHEET; see: npm run -s lab -- check --help', 2);
    const full = sheetFile(named, terminal);
    const loaded = loadSheet(readText(full, terminal), path.basename(full));
    const problems = loaded.ok ? [] : loaded.problems;
    const warnings = loaded.ok ? loaded.warnings : [];
    const about = loaded.ok ? { id: loaded.sheet.id, version: loaded.sheet.version, title: loaded.sheet.title, questions: loaded.sheet.questions.length, marks: loaded.sheet.questions.reduce((sum, question) => sum + question.marks, 0) } : undefined;
    if (options['json'] === true) terminal.out(`${JSON.stringify({ ok: loaded.ok, ...(about ? { sheet: about } : {}), problems, warnings }, null, 2)}\n`);
    for (const problem of problems) terminal.say(problemText(problem));
    for (const warning of warnings) terminal.say(`to know: ${problemText(warning)}`);
    if (!loaded.ok) {
      if (problems.length > 1) terminal.say(`${problems.length} problems; the sheet cannot be used yet`);
      return 1;
    }
    if (options['json'] !== true && about) terminal.out(`${path.basename(full)}: ${about.title} (${about.id}, version ${about.version}): ${stagesInWords(mostStages(loaded.sheet))}, ${about.questions} questions, ${about.marks} marks. The sheet can be used.\n`);
    return 0;
  },
};

const stagesInWords = (count: number): string => (count === 1 ? '1 stage' : `${count} stages`);
