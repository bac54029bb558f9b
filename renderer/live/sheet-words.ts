/** Small words and figures of the live sheet, from what core has worked out. */
import { formatClock } from '../../core/clock-text.ts';
import { formatNumber } from '../../core/units/units.ts';
import type { RecordEvent } from '../../core/record/event.ts';
import { resultsOf } from '../../core/results/results.ts';
import { stageResults } from '../../core/results/stages.ts';
import type { Column, SheetRow } from '../../core/session/rows.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { CallView } from './call-view.ts';

/** Which row is lit: the one that the open call belongs to, else the next one to come. */
export function currentRow(rows: readonly SheetRow[], present: CallView | undefined, now: number, isClosed: boolean): string | undefined {
  const called = present && rows.find((row) => row.cells.some((cell) => cell.keys.some((key) => present.slotKeys.includes(key))));
  if (called) return called.key;
  if (isClosed) return undefined;
  return rows.find((row) => row.kind === 'row' && row.phase !== 'rest' && row.at >= now)?.key ?? rows.findLast((row) => row.kind === 'row')?.key;
}

/** Columns that a row has a place in, and those between; the ones after its last place are left out. */
export function columnsUpToLast(row: SheetRow, columns: readonly Column[]): readonly Column[] {
  const last = columns.findLastIndex((column) => (row.cells.find((cell) => cell.column === column)?.slots.length ?? 0) > 0);
  return columns.slice(0, last + 1);
}

/** Notes of a row, and in words what its cells only show: amended, and by whom a value differs. */
export function notesOf(row: SheetRow): readonly string[] {
  const amended = row.cells.some((cell) => cell.earlier.length > 0 && cell.text !== '');
  const struck = row.cells.some((cell) => cell.earlier.length > 0 && cell.text === '');
  const late = row.cells.flatMap((cell) => (cell.late > 0 && (cell.earlier.length > 0 || cell.column === 'pressure') ? [`${cell.column === 'pressure' ? 'pressure ' : ''}${Math.round(cell.late / 1000)} s late`] : []));
  return [...late, ...row.cells.flatMap((cell) => (cell.differ === undefined ? [] : [cell.differ])), ...(amended ? ['amended'] : []), ...(struck ? ['struck'] : []), ...row.notes];
}

export interface Comparison {
  readonly stage: number;
  readonly measured: string;
  readonly isMeasured: boolean;
  readonly predicted: string;
  readonly percent: string;
  /** The bar, in per cent of its box; the middle is nought. */
  readonly left?: number;
  readonly width?: number;
  readonly why?: string;
}

/** The bar is full at this difference, in per cent. */
const FULL = 25;

export function comparisonOf(state: SessionState): readonly Comparison[] {
  const start = state.starts.exercise ?? 0;
  return stageResults(state).map((result) => {
    const { number } = result.stage;
    const slot = [...state.slots.values()].find((one) => one.slot.stage === number && one.slot.quantity === 'vo2' && one.slot.mark === 'end');
    const waits = slot?.scheduled && !slot.current && !slot.notTaken ? `by ${formatClock(slot.scheduled.late - start)}` : '–';
    const half = result.percent === undefined ? undefined : (Math.min(FULL, Math.abs(result.percent)) / FULL) * 50;
    const by = result.percent === undefined || half === undefined ? {} : { left: result.percent < 0 ? 50 - half : 50, width: Math.max(half, 1) };
    return {
      stage: number,
      measured: result.vo2 === undefined ? waits : formatNumber(result.vo2, 2),
      isMeasured: result.vo2 !== undefined,
      predicted: result.predicted?.absolute === undefined ? '–' : formatNumber(result.predicted.absolute, 2),
      percent: result.percent === undefined ? '' : `${result.percent > 0 ? '+' : ''}${formatNumber(result.percent, 0)} %`,
      ...by,
      ...(result.why === undefined ? {} : { why: result.why }),
    };
  });
}

export interface RecoveryFigure {
  readonly minute: number;
  readonly value?: number;
  /** "−31". */
  readonly text: string;
  readonly reason?: string;
  readonly waiting: boolean;
  readonly posture?: string;
  readonly assumed: boolean;
}

/** @param now session time, so that a minute that has not come yet is not called missing. */
export function recoveryFigures(state: SessionState, now: number): readonly RecoveryFigure[] {
  const start = state.starts.recovery;
  if (start === undefined) return [];
  return resultsOf(state).recovery.map((one) => ({
    minute: one.minute,
    ...(one.value === undefined ? {} : { value: one.value }),
    text: one.value === undefined ? '' : formatNumber(-one.value, 0),
    ...(one.reason === undefined ? {} : { reason: one.reason }),
    waiting: one.value === undefined && now < start + one.minute * 60_000 + 45_000,
    ...(one.posture === undefined ? {} : { posture: one.posture }),
    assumed: one.postureAssumed,
  }));
}

/** "31 readings on disk, last 4 s ago", or what is not on disk. */
export function diskWords(events: readonly RecordEvent[], now: number, isLost: boolean, waiting: number): string {
  if (isLost) return `Station lost; ${waiting === 0 ? 'everything entered is on disk' : `${waiting} not yet on disk, kept here`}`;
  if (waiting > 0) return 'writing…';
  const readings = events.filter((event) => event.kind === 'reading-taken' || event.kind === 'reading-not-taken');
  const last = readings.at(-1);
  if (!last) return 'no readings yet';
  const ago = Math.max(0, now - last.entered);
  return `${readings.length} ${readings.length === 1 ? 'reading' : 'readings'} on disk, last ${ago < 60_000 ? `${Math.floor(ago / 1000)} s` : `${Math.floor(ago / 60_000)} min`} ago`;
}

/** How many whole rows of a height fit; at least one, and all until the window has been measured. */
export function rowsThatFit(height: number, row: number): number {
  return row <= 0 || height <= 0 ? 1000 : Math.max(1, Math.floor((height + 1) / row));
}
