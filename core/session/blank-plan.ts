/** A lab sheet laid out to be filled in by hand: which rows and cells a pair writes, and when each is due by the sheet's plan. */
import { formatClock, parseClock } from '../clock-text.ts';
import { quantitiesOf, type Column } from './rows.ts';
import { plannedStart, recoverySlots, restSlots, stageLength, stageSlots, type ScheduledSlot } from './schedule.ts';
import { bandWords } from './steady.ts';
import { settingQuantities, type ReadingQuantity, type SettingQuantity } from '../vocabulary.ts';
import type { LabSheet, ReadingRule, StageSettings } from '../sheet/schema.ts';
import { mostStages } from '../sheet/stage-plan.ts';

/** Asked: written here. Optional: may be. None: nothing is due here. */
export type BlankCell = { readonly asked: 'yes' | 'optional'; readonly due?: string } | undefined;

export interface BlankRow {
  readonly label: string;
  /** In the order of the columns. */
  readonly cells: readonly BlankCell[];
}

export interface BlankStage {
  readonly number: number;
  /** "2.5 mph, 12 %"; men and women apart where the sheet sets them so; the ways of a branch one below the other. */
  readonly settings: readonly string[];
  /** When it begins by plan, `m:ss` of exercise. */
  readonly from: string;
  readonly rows: readonly BlankRow[];
}

export interface BlankPlan {
  readonly rest: { readonly columns: readonly Column[]; readonly row: BlankRow };
  readonly exercise: { readonly columns: readonly Column[]; readonly stages: readonly BlankStage[]; /** What is read when the test stops before a stage is over. */ readonly stop?: BlankRow };
  readonly recovery: { readonly columns: readonly Column[]; readonly rows: readonly BlankRow[] };
}

/** Recovery goes on until the criteria are met; a page has rows for so many minutes, and empty ones below; this program's own choice. */
const RECOVERY_MINUTES = 10;
/** Field tests name a stage longer than anyone takes; this program's own choice. */
const EXERCISE_MINUTES = 25;
const MINUTE = 60_000;

const order: readonly Column[] = ['heart-rate', 'pulse-count', 'pressure', 'rpe', 'bag-volume', 'bag-time', 'bag-temperature', 'feo2', 'feco2', 'vo2', 'vco2', 've', 'rer'];

function columnsOf(rules: readonly ReadingRule[]): readonly Column[] {
  const asked = new Set<ReadingQuantity>(rules.flatMap((rule) => rule.take));
  return order.filter((column) => quantitiesOf(column).some((quantity) => asked.has(quantity)));
}

/** @param sheet one that the loader has accepted. */
export function blankPlan(sheet: LabSheet): BlankPlan {
  const restColumns = columnsOf(sheet.rest.readings);
  const columns = columnsOf(sheet.exercise.readings);
  const recoveryColumns = columnsOf(sheet.recovery.readings);
  const stopRules = sheet.exercise.readings.filter((rule) => rule.each === 'stop');
  return {
    rest: { columns: restColumns, row: row('Rest', restSlots(sheet, 0), restColumns) },
    exercise: {
      columns,
      stages: Array.from({ length: mostStages(sheet) }, (_, index) => stageOf(sheet, index + 1, columns)),
      ...(stopRules.length === 0 ? {} : { stop: { label: 'Stop at', cells: columns.map((column): BlankCell => askedBy(stopRules, column)) } }),
    },
    recovery: { columns: recoveryColumns, rows: recoveryRows(sheet, recoveryColumns) },
  };
}

function askedBy(rules: readonly ReadingRule[], column: Column): BlankCell {
  const asking = rules.filter((rule) => quantitiesOf(column).some((quantity) => rule.take.includes(quantity)));
  return asking.length === 0 ? undefined : { asked: asking.some((rule) => !rule.optional) ? 'yes' : 'optional' };
}

function row(label: string, slots: readonly ScheduledSlot[], columns: readonly Column[], at?: number): BlankRow {
  return {
    label,
    cells: columns.map((column): BlankCell => {
      const mine = slots.filter((slot) => quantitiesOf(column).includes(slot.slot.quantity));
      const [first] = mine;
      if (!first) return undefined;
      // The row's own minute goes without saying, give or take the seconds that a reading takes.
      const elsewhere = at !== undefined && Math.abs(first.due - at) >= 25_000;
      return { asked: mine.some((slot) => !slot.optional) ? 'yes' : 'optional', ...(elsewhere ? { due: formatClock(first.due) } : {}) };
    }),
  };
}

function stageOf(sheet: LabSheet, number: number, columns: readonly Column[]): BlankStage {
  const begins = plannedStart(sheet, number);
  const ends = begins + stageLength(sheet);
  const repeats = sheet.stages['steady-state']?.['repeats-at-most'] ?? 0;
  const minutes = new Map<number, ScheduledSlot[]>();
  for (const slot of stageSlots(sheet, { number, changed: begins, ends, repeats: 0 })) {
    // What is due before the end of a stage or of a minute belongs to that minute's row.
    const minute = slot.slot.mark === 'end' ? ends : Math.min(ends, Math.ceil((slot.due + (slot.slot.mark.startsWith('m') ? 1 : 0)) / MINUTE) * MINUTE);
    const at = slot.slot.mark.startsWith('m') ? begins + Number(slot.slot.mark.slice(1)) * MINUTE : minute;
    if (at > EXERCISE_MINUTES * MINUTE && sheet.distance !== undefined) continue;
    minutes.set(at, [...(minutes.get(at) ?? []), slot]);
  }
  const rows = [...minutes.entries()].sort(([a], [b]) => a - b).map(([at, slots]) => row(formatClock(at), slots, columns, at));
  const held = Array.from({ length: repeats }, (_, index): BlankRow => ({ label: `held ${index + 1}`, cells: columns.map((column): BlankCell => askedBy(sheet.exercise.readings.filter((rule) => rule.each === 'minute'), column)) }));
  return { number, settings: settingsOf(sheet, number), from: formatClock(begins), rows: [...rows, ...held] };
}

/** The settings of a stage as the sheet writes them. */
function settingsOf(sheet: LabSheet, number: number): readonly string[] {
  const { list, branch } = sheet.stages;
  if (!branch || number <= branch.after) return [settingWords(list[number - 1])];
  return branch.bands.flatMap((band) => {
    const settings = band.then[number - branch.after - 1];
    if (!settings) return [];
    return [`${bandWords(band)} /min: ${settingWords(settings)}`];
  });
}

function settingWords(settings: StageSettings | undefined): string {
  return (Object.keys(settingQuantities) as SettingQuantity[])
    .flatMap((name) => {
      const amount = settings?.[name];
      if (amount === undefined) return [];
      const words = typeof amount === 'object' ? `women ${amount.female}, men ${amount.male}` : String(amount);
      return [words];
    })
    .join(', ');
}

function recoveryRows(sheet: LabSheet, columns: readonly Column[]): readonly BlankRow[] {
  const longest = Math.min(RECOVERY_MINUTES, Math.round((parseClock(sheet.recovery.longest) ?? 0) / MINUTE));
  const minutes = new Map<number, ScheduledSlot[]>();
  for (const slot of recoverySlots(sheet, 0, false)) {
    const minute = Number(slot.slot.mark.slice(1));
    if (minute <= longest) minutes.set(minute, [...(minutes.get(minute) ?? []), slot]);
  }
  return [...minutes.entries()].sort(([a], [b]) => a - b).map(([minute, slots]) => row(formatClock(minute * MINUTE), slots, columns, minute * MINUTE));
}
