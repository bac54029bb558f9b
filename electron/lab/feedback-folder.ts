/** Feedback PDFs on disk, under the names and folders in which the files came. */
import { mkdirSync } from 'node:fs';
import path from 'node:path';
import type { DeskFile } from '../../core/contract/contract.ts';
import type { LabSheet } from '../../core/sheet/schema.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import type { Marking } from '../../core/worksheet/marking-types.ts';
import { writeFeedback } from '../pdf/feedback.ts';
import { programVersion } from '../program-root.ts';
import { systemClock } from '../station/clock.ts';
import { isoWithOffset } from '../station/ids.ts';
import { LabError, type Terminal } from './lab-error.ts';
import { writeWhole } from './write-whole.ts';

interface Needs {
  readonly folder: string;
  readonly paper: 'A4' | 'Letter';
  /** The instructor's own sheet; without it the copy in each file marked it. */
  readonly sheet: LabSheet | undefined;
  /** Files that were handed in: none of them is ever written over. */
  readonly inputs: readonly string[];
}

export class FeedbackFolder {
  readonly folder: string;
  written = 0;
  readonly #needs: Needs;
  readonly #inputs: ReadonlySet<string>;

  constructor(needs: Needs) {
    this.folder = needs.folder;
    this.#needs = needs;
    this.#inputs = new Set(needs.inputs);
  }

  /** One marked file's feedback; nothing for a file that was not marked. A page that cannot be made is told and stops nothing. */
  async write(name: string, { status, attachment, marking }: DeskFile, terminal: Terminal): Promise<void> {
    if (status !== 'marked' || attachment === undefined || marking === undefined) return;
    const target = path.join(this.folder, ...feedbackName(name).split('/'));
    if (path.relative(this.folder, target).startsWith('..')) throw new LabError(`${name} leads out of the feedback folder`);
    if (this.#inputs.has(target)) throw new LabError(`--feedback ${this.folder} would write over the worksheets that were handed in; give another folder`);
    const { sheet, paper } = this.#needs;
    let bytes: Uint8Array;
    try {
      bytes = await writeFeedback({
        file: attachment as WorksheetFile,
        marking: marking as Marking,
        ...(sheet === undefined ? {} : { sheet }),
        key: sheet === undefined ? 'unverified' : `${sheet.id} v${sheet.version}`,
        markers: [],
        paper,
        version: programVersion(),
        wall: isoWithOffset(systemClock().wallMs()),
      });
    } catch (cause) {
      terminal.say(`${name}: its feedback could not be written (${(cause as Error).message}); its marks stand in the table`);
      return;
    }
    mkdirSync(path.dirname(target), { recursive: true });
    writeWhole(target, bytes);
    this.written += 1;
  }
}

/** `group A/s-1.pdf` stays; a record handed in as `.json` gets `.pdf` after its name, so that it cannot meet another file's. */
export function feedbackName(name: string): string {
  return /\.pdf$/i.test(name) ? name : `${name}.pdf`;
}
