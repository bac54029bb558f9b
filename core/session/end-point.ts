/**
 * Where a submaximal test stands against its end-point, in words: the sheet's cap, or the steady stages that its line needs.
 * ACSM's Guidelines (from memory): a submaximal test ends at 85 % of the age-predicted maximal heart rate or 70 % of heart-rate
 * reserve; two consecutive steady stages between 110 /min and 85 % make the line (CSEP insert of Golding 1989).
 * Said to people, never done by the program.
 */
import { equationValue } from '../formulas/for-age.ts';
import { restingValue } from '../recovery/tracker.ts';
import type { LabSheet } from '../sheet/schema.ts';
import type { SessionState } from './state.ts';
import { heartRateCap } from './steady.ts';

export interface EndPoint {
  /** `cap`: the sheet's cap is reached, no further stage is called. `line`: the line has its stages. `none`: not yet. */
  readonly reached: 'cap' | 'line' | 'none';
  /** "Heart rate 163 has reached the cap of 163 (85 % of the predicted maximal heart rate): end-point." */
  readonly says: string;
}

/** @returns undefined where the sheet has neither a cap nor a line, or exercise has not begun. */
export function endPointOf(state: SessionState): EndPoint | undefined {
  if (state.starts.exercise === undefined) return undefined;
  const { sheet } = state;
  const cap = heartRateCap(sheet, state.age, restingValue(state, 'heart-rate'));
  if (cap !== undefined) {
    let over: { readonly value: number; readonly taken: number } | undefined;
    for (const { slot, current } of state.slots.values()) {
      if (slot.phase !== 'exercise' || slot.quantity !== 'heart-rate' || current?.value === undefined || current.value < cap) continue;
      if (!over || current.taken < over.taken) over = { value: current.value, taken: current.taken };
    }
    if (over) return { reached: 'cap', says: `Heart rate ${over.value} has reached the cap of ${Math.ceil(cap)} (${sheet['heart-rate-cap']?.text}): end-point.` };
  }
  const line = lineOfStages(state);
  if (line) return line;
  return cap === undefined ? undefined : { reached: 'none', says: `End-point: heart rate ${Math.ceil(cap)} (${sheet['heart-rate-cap']?.text}).` };
}

/** The range in which a stage enters the sheet's line, /min; no upper end where the maximum is not known. */
export function lineRange(sheet: LabSheet, age: number | undefined): { readonly from: number; readonly upTo: number } | undefined {
  const rule = sheet.results.line;
  if (!rule) return undefined;
  const maximum = age === undefined ? undefined : equationValue(sheet.results['hr-max'][0] ?? '', age);
  return { from: rule.from, upTo: maximum === undefined ? Infinity : rule['up-to-fraction'] * maximum };
}

function lineOfStages(state: SessionState): EndPoint | undefined {
  const range = lineRange(state.sheet, state.age);
  if (!range || !state.sheet.stages['steady-state']) return undefined;
  const within = `${range.from}${Number.isFinite(range.upTo) ? ` to ${Math.floor(range.upTo)}` : ' or more'}`;
  const fitting = state.stages.filter(({ steady }) => steady?.state === 'steady' && steady.mean !== undefined && steady.mean >= range.from && steady.mean <= range.upTo);
  const pair = fitting.flatMap((stage) => {
    const before = fitting.find((other) => other.number === stage.number - 1);
    return before ? [[before, stage] as const] : [];
  }).at(-1);
  if (pair) return { reached: 'line', says: `Stages ${pair[0].number} and ${pair[1].number} are steady at ${pair[0].steady?.mean} and ${pair[1].steady?.mean}, within ${within}: the line has its two stages.` };
  const last = fitting.at(-1);
  if (last && last.number >= (state.stages.at(-1)?.number ?? 0) - 1) return { reached: 'none', says: `Stage ${last.number} is steady at ${last.steady?.mean}, within ${within}: the line needs the next one too.` };
  return { reached: 'none', says: `No steady stage within ${within} yet; the line needs two in a row.` };
}
