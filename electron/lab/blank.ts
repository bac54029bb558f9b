/** `blank`: a lab sheet on paper, to be filled in by hand. */
import path from 'node:path';
import { writeBlank } from '../pdf/blank.ts';
import { programVersion } from '../program-root.ts';
import { systemClock } from '../station/clock.ts';
import { isoWithOffset } from '../station/ids.ts';
import { findSheet } from './files.ts';
import { LabError, type Verb } from './lab-error.ts';
import { writeWhole } from './write-whole.ts';

export const blankVerb: Verb = {
  summary: 'writes a lab sheet as a blank page to fill in by hand',
  options: { paper: { type: 'string' }, out: { type: 'string' } },
  help: `Usage: npm run -s lab -- blank LAB-SHEET [--paper A4|Letter] [--out FILE.pdf]

Writes the lab as a PDF to print and fill in by hand: head, cautions, checks, rest, stages with their due times, stop list,
recovery and the questions with room for the answers. What was written on it can be keyed in afterwards ("from paper").

  --paper A4|Letter   A4 where it is left out
  --out FILE.pdf      blank-LAB-SHEET.pdf in this folder where it is left out; an older file of that name is replaced
`,
  async run({ operands, options, terminal }) {
    const [named, ...more] = operands;
    if (named === undefined || more.length > 0) throw new LabError('blank takes one LAB-SHEET; see: npm run -s lab -- blank --help', 2);
    const paper = paperOf(options['paper']);
    const { sheet } = findSheet(named, terminal);
    const given = options['out'];
    const out = path.resolve(terminal.folder, typeof given === 'string' && given !== '' ? given : `blank-${sheet.id}.pdf`);
    const bytes = await writeBlank({ sheet, paper, version: programVersion(), wall: isoWithOffset(systemClock().wallMs()) });
    writeWhole(out, bytes);
    terminal.out(`Written: ${out}\n`);
    return 0;
  },
};

/** The paper that was asked for. @throws {LabError} for any other. */
export function paperOf(given: string | boolean | undefined): 'A4' | 'Letter' {
  const asked = typeof given === 'string' ? given.toLowerCase() : 'a4';
  if (asked === 'a4') return 'A4';
  if (asked === 'letter') return 'Letter';
  throw new LabError(`--paper is A4 or Letter, not "${String(given)}"`, 2);
}
