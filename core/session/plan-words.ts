/** The rules of a submaximal sheet in words, for the stage plan: holding, branching and end-point, before anything is measured. */
import type { LabSheet } from '../sheet/schema.ts';
import { lineRange } from './end-point.ts';
import { bandWords, heartRateCap } from './steady.ts';

/** One way on after the branching stage. */
export interface Way {
  /** "below 80", "80 to 89", "101 or more". */
  readonly when: string;
  readonly stages: LabSheet['stages']['list'];
}

export interface PlanWords {
  /** Whole sentences, in the order in which they are needed. */
  readonly rules: readonly string[];
  readonly branch?: { readonly after: number; readonly ways: readonly Way[]; readonly source: string };
}

/** @param age years, and @param resting resting heart rate, where they are known: the cap is then a number. */
export function planWords(sheet: LabSheet, age: number | undefined, resting: number | undefined): PlanWords {
  const { 'steady-state': steady, branch } = sheet.stages;
  const rules: string[] = [];
  if (steady) {
    const most = steady['repeats-at-most'];
    const more = most === 0 ? 'No minute is added' : `If not, one more minute, ${most === 1 ? 'once' : most === 2 ? 'twice' : `${most} times`} at most`;
    rules.push(`Steady: the last two minutes' heart rates differ by ${steady.within} or less. ${more}.`);
  }
  if (branch) rules.push(`After stage ${branch.after} the mean of its last two heart rates, rounded, chooses the way.`);
  const cap = sheet['heart-rate-cap'];
  if (cap) {
    const at = heartRateCap(sheet, age, resting);
    rules.push(`End-point: heart rate ${at === undefined ? `at ${cap.text}` : `${Math.ceil(at)}, ${cap.text}`}. It wins over everything else.`);
  }
  const range = lineRange(sheet, age);
  if (range && steady) rules.push(`The line needs two steady stages in a row within ${range.from}${Number.isFinite(range.upTo) ? ` to ${Math.floor(range.upTo)}` : ' or more'}.`);
  return { rules, ...(branch ? { branch: { after: branch.after, source: branch.source, ways: branch.bands.map((band) => ({ when: bandWords(band), stages: band.then })) } } : {}) };
}
