/** `data`: the values of a session as CSV with a dictionary, and the whole record as JSON. */
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import { dictionaryCsv } from '../../core/data-export/dictionary.ts';
import { readingRows, readingsCsv } from '../../core/data-export/readings.ts';
import { recordJson } from '../../core/data-export/record-json.ts';
import { foldSession } from '../../core/session/fold.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { extract } from '../desk/extract.ts';
import { programVersion } from '../program-root.ts';
import { findFiles, readFound } from './hand-ins.ts';
import { LabError, needed, type Verb } from './lab-error.ts';
import { writeWhole } from './write-whole.ts';

export const dataVerb: Verb = {
  summary: 'writes the values of a session as CSV and JSON',
  options: { out: { type: 'string' } },
  help: `Usage: npm run -s lab -- data WORKSHEET --out DIR

Opens a worksheet (.pdf, or the record alone as .json), checks its record, and writes into DIR, which is made if need be:

  readings-SESSION.csv      one row for everything that was written, with UCUM units, and LOINC codes where one was verified
  record-SESSION.json       every event of the session as it was written, and the same readings
  readings-dictionary.csv   what each column and each quantity is

These are health data of the participant: keep them as such.
`,
  async run(invocation) {
    const { operands, terminal } = invocation;
    const [file, ...more] = operands;
    if (file === undefined || more.length > 0) throw new LabError('data takes one WORKSHEET; see: npm run -s lab -- data --help', 2);
    const out = path.resolve(terminal.folder, needed(invocation, 'out', 'DIR'));
    const found = await findFiles([file], terminal);
    const [first] = found;
    if (first === undefined || found.length > 1) throw new LabError(`${file} holds ${found.length} files; data takes one worksheet`);
    const read = readFound(first);
    if (!('bytes' in read)) throw new LabError(read.findings[0]?.text ?? `${file} cannot be read`);
    const extracted = await extract(read.bytes);
    if (!extracted.ok) throw new LabError(`${file}: ${extracted.error.message}`);
    const checked = readWorksheetFile(extracted.value.text);
    if (!checked.ok) throw new LabError(`${file}: ${checked.error.message}`);
    const refusal = checked.value.findings.find((finding) => finding.level === 'refusal');
    if (refusal !== undefined) throw new LabError(`${file}: ${refusal.text} Nothing was written.`);
    let state: ReturnType<typeof foldSession>;
    try {
      state = foldSession(checked.value.session);
    } catch (cause) {
      throw new LabError(`${file}: the record cannot be worked out (${(cause as Error).message}); nothing was written`);
    }
    try {
      mkdirSync(out, { recursive: true });
    } catch (cause) {
      throw new LabError(`the folder ${out} cannot be made (${(cause as Error).message}); give another --out`);
    }
    const { id, events } = checked.value.file.session;
    const name = /^[\w-]{1,80}$/.test(id) ? id : 'session';
    writeWhole(path.join(out, `readings-${name}.csv`), readingsCsv(state));
    writeWhole(path.join(out, `record-${name}.json`), recordJson(state, events, programVersion()));
    writeWhole(path.join(out, 'readings-dictionary.csv'), dictionaryCsv());
    terminal.out(`${readingRows(state).length} rows written to ${path.join(out, `readings-${name}.csv`)}, with the dictionary and the whole record beside it\n`);
    return 0;
  },
};
