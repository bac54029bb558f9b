/** A recorded session as batches that a station takes: the one door to this folder. */
import type { SessionDraft } from '../session/events.ts';
import type { LabSheet } from '../sheet/schema.ts';
import { interpretSession, type ReplayWarning } from './interpret.ts';
import { readRows, ReplayError, type ReplayProblem } from './rows.ts';
import { worksheetsOf, type ReplayWorksheet } from './students.ts';

export { replayProblemText, sessionColumns, type ReplayProblem } from './rows.ts';
export type { ReplayWarning } from './interpret.ts';
export { UNNAMED, type ReplayWorksheet } from './students.ts';

/** Facts of one author that are sent together. */
export interface ReplayBatch {
  readonly author: string;
  readonly drafts: readonly (SessionDraft & { readonly taken: number })[];
  /** The file's line of each draft. */
  readonly lines: readonly number[];
}

export interface Replay {
  readonly batches: readonly ReplayBatch[];
  readonly worksheets: readonly ReplayWorksheet[];
  readonly warnings: readonly ReplayWarning[];
}

/** The contract takes so many facts in one command. */
const MOST_IN_BATCH = 200;

/**
 * Reads a recorded session (form: lab-sheets/README.md). Pure; the same file always gives the same facts.
 * @param sheetText the text from which `sheet` was loaded.
 * @returns the first problem where the file cannot be understood; nothing is guessed that is not among the warnings.
 */
export function readSession(text: string, file: string, sheet: LabSheet, sheetText: string): { readonly ok: true; readonly replay: Replay } | { readonly ok: false; readonly problem: ReplayProblem } {
  try {
    const rows = readRows(text);
    const warnings: ReplayWarning[] = [];
    const worksheets = worksheetsOf(sheet, rows, (warning) => warnings.push(warning));
    const plan = interpretSession(sheet, sheetText, rows);
    const notes = rows.filter((row) => row.phase === 'worksheet' && row.quantity.kind === 'note');
    for (const row of notes) warnings.push({ line: row.line, text: 'A note has no place on a worksheet; write it as the working of an answer.' });
    const batches: { author: string; drafts: (SessionDraft & { readonly taken: number })[]; lines: number[] }[] = [];
    for (const fact of plan.facts) {
      const last = batches.at(-1);
      if (last && last.author === fact.author && last.drafts.length < MOST_IN_BATCH) {
        last.drafts.push(fact.draft);
        last.lines.push(fact.line);
      } else batches.push({ author: fact.author, drafts: [fact.draft], lines: [fact.line] });
    }
    return { ok: true, replay: { batches, worksheets, warnings: [...plan.warnings, ...warnings] } };
  } catch (cause) {
    if (!(cause instanceof ReplayError)) throw cause;
    return { ok: false, problem: { file, line: cause.line, message: cause.message, remedy: cause.remedy } };
  }
}
