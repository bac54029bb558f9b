/**
 * Which readings the lab sheet asks for, and when, given what has really happened so far.
 * Due times are a fold of real events: they move with real stage changes where the sheet counts from them.
 */
import { parseClock } from '../clock-text.ts';
import type { LabSheet, ReadingRule } from '../sheet/schema.ts';
import { mostStages } from '../sheet/stage-plan.ts';
import type { ReadingQuantity } from '../vocabulary.ts';
import { slotKey, type Slot } from './events.ts';

/** A place on the sheet with its times, all in the session's milliseconds. */
export interface ScheduledSlot {
  readonly key: string;
  readonly slot: Slot & { readonly quantity: ReadingQuantity };
  readonly opens: number;
  readonly due: number;
  /** Taken after this: late. */
  readonly late: number;
  /** Not taken by this: given up (it can still be written in). */
  readonly missed: number;
  readonly optional: boolean;
  readonly covers?: string;
}

/** A stage as it really ran. */
export interface StageTimes {
  readonly number: number;
  /** The real moment of the change. */
  readonly changed: number;
  /** When it ends by plan (or, counted from the change, by the sheet's `from-change`), repeated minutes included. */
  readonly ends: number;
  /** Minutes for which it is held longer, because the heart rate was not steady. */
  readonly repeats: number;
}

const ms = (text: string): number => parseClock(text) ?? 0;

function place(rule: ReadingRule, slot: Omit<Slot, 'quantity'>, moment: number, opensNoSooner = -Infinity): ScheduledSlot[] {
  return rule.take.map((quantity) => {
    const full = { ...slot, quantity };
    return {
      key: slotKey(full),
      slot: full,
      opens: Math.max(opensNoSooner, moment + ms(rule.open)),
      due: moment + ms(rule.due),
      late: moment + ms(rule.late),
      missed: moment + ms(rule.missed),
      optional: rule.optional,
      ...(rule.covers === undefined ? {} : { covers: rule.covers }),
    };
  });
}

/** The slots of Rest: each is open from the start of Rest until exercise begins, so nothing there is ever late. */
export function restSlots(sheet: LabSheet, started: number): ScheduledSlot[] {
  return sheet.rest.readings.flatMap((rule) =>
    rule.take.map((quantity) => {
      const slot = { phase: 'rest' as const, mark: 'rest', quantity };
      return { key: slotKey(slot), slot, opens: started, due: started, late: Infinity, missed: Infinity, optional: rule.optional, ...(rule.covers === undefined ? {} : { covers: rule.covers }) };
    }),
  );
}

/** When stage `number` (from 1) begins by plan, counted from the start of exercise. */
export function plannedStart(sheet: LabSheet, number: number): number {
  return (number - 1) * ms(sheet.stages.length);
}

export function stageLength(sheet: LabSheet): number {
  return ms(sheet.stages.length);
}

/**
 * Later stages that a sheet without stage times may be taken to have set on plan, for a test that stopped `stopped` ms after its
 * start. Where stages count from the real change, none until the first was held for longer than the sheet allows: it may have
 * been the only one.
 */
export function stagesOnPlan(sheet: LabSheet, stopped: number): readonly number[] {
  const { timing, 'steady-state': steady } = sheet.stages;
  const held = timing === 'from-change' ? ((steady?.['repeats-at-most'] ?? 0) + 1) * 60_000 : 0;
  if (stopped <= stageLength(sheet) + held) return [];
  return Array.from({ length: mostStages(sheet) - 1 }, (_, index) => index + 2).filter((number) => plannedStart(sheet, number) < stopped);
}

/** When a stage that was really changed at `changed` ends. */
export function stageEnd(sheet: LabSheet, exerciseStart: number, number: number, changed: number): number {
  return sheet.stages.timing === 'on-plan' ? exerciseStart + plannedStart(sheet, number + 1) : changed + stageLength(sheet);
}

/** In a submaximal test the stage's length is the test, and hands stop it: so long before its end it counts as finished. */
const NEARLY_THERE = 5_000;

/** Whether a test that stopped at `stopped` finished the stage that ends at `ends`. */
export function isFinished(sheet: LabSheet, ends: number, stopped: number): boolean {
  return stopped >= ends - (sheet.kind === 'submaximal' ? NEARLY_THERE : 0);
}

/**
 * The slots of one stage.
 * @param stopped the moment the test stopped, where it stopped in this stage: places after it fall away, and where the
 *   stage was not finished the sheet's `stop` readings fall due instead.
 */
export function stageSlots(sheet: LabSheet, stage: StageTimes, stopped?: number): ScheduledSlot[] {
  const begins = stage.ends - stageLength(sheet) - stage.repeats * 60_000;
  const finished = stopped === undefined || isFinished(sheet, stage.ends, stopped);
  const length = stageLength(sheet);
  const slots: ScheduledSlot[] = [];
  for (const rule of sheet.exercise.readings) {
    if (rule.each === 'minute' || rule.each === 'two-minutes') {
      const step = rule.each === 'minute' ? 60_000 : 120_000;
      // Stages of a minute, as in a ramp: every second minute of the whole exercise, not of the stage.
      if (length < step) {
        if ((stage.number * length) % step === 0 && finished) slots.push(...place(rule, { phase: 'exercise', stage: stage.number, mark: `m${length / 60_000}` }, stage.ends, stage.changed));
        continue;
      }
      for (let moment = begins + step, number = step / 60_000; moment <= stage.ends; moment += step, number += step / 60_000) {
        // A minute that was already over when the stage was really set cannot be answered in this stage.
        if (moment <= stage.changed || (stopped !== undefined && moment > stopped && !finished)) continue;
        slots.push(...place(rule, { phase: 'exercise', stage: stage.number, mark: `m${number}` }, moment, stage.changed));
      }
    } else if (rule.each === 'stage' && finished) {
      slots.push(...place(rule, { phase: 'exercise', stage: stage.number, mark: 'end' }, stage.ends, stage.changed));
    } else if (rule.each === 'stop' && stopped !== undefined && !finished) {
      slots.push(...place(rule, { phase: 'exercise', stage: stage.number, mark: 'stop' }, stopped));
    }
  }
  return slots;
}

/** The slots of recovery up to the minute after `now`, or all up to the sheet's longest recovery. */
export function recoverySlots(sheet: LabSheet, started: number, symptomStop: boolean): ScheduledSlot[] {
  const longest = Math.round(ms(sheet.recovery.longest) / 60_000);
  const slots: ScheduledSlot[] = [];
  for (const rule of sheet.recovery.readings) {
    // After a stop for a symptom, readings fall due now and every minute (practice: closer watch; design §2).
    const step = rule.each === 'once' || rule.each === 'stop' || rule.each === 'stage' ? Infinity : rule.each === 'two-minutes' && !symptomStop ? 2 : 1;
    for (let minute = symptomStop ? 0 : (rule.from ?? 1); minute <= longest; minute += step) {
      slots.push(...place(rule, { phase: 'recovery', mark: `m${minute}` }, started + minute * 60_000, started));
      if (step === Infinity) break;
    }
  }
  const seen = new Set<string>();
  return slots.filter((slot) => !seen.has(slot.key) && seen.add(slot.key)).sort((a, b) => a.due - b.due);
}
