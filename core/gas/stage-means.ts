/** Gas means of the stages, and of every place on the sheet that asks for gas. */
import { gasQuantities as gasReadings, readingQuantities, type ReadingQuantity } from '../vocabulary.ts';
import { formatNumber } from '../units/units.ts';
import type { Slot } from '../session/events.ts';
import { stageLength, type ScheduledSlot } from '../session/schedule.ts';
import type { SessionState } from '../session/state.ts';
import { toFile, type Alignment } from './align.ts';
import { meanOver, type StretchMean } from './averaging.ts';
import type { GasValue } from './quantities.ts';
import type { BreathSeries, GasRows } from './series.ts';

type Rows = GasRows & Partial<Pick<BreathSeries, 'rows'>>;

export interface StageMean extends StretchMean {
  readonly stage: number;
  /** "the last 30 s before the end of stage 2, 9 breaths" */
  readonly says: string;
}

export interface StageToMean {
  readonly stage: number;
  /** Session time, milliseconds: when the stage began and when it really ended. */
  readonly from: number;
  readonly to: number;
}

/**
 * The mean of the last part of each stage.
 * @param seconds 30 or 60 as the lab sheet says; a stage that was shorter is averaged whole, and its mean is not full.
 */
export function stageMeans(series: Rows, stages: readonly StageToMean[], alignment: Alignment, seconds = 30): readonly StageMean[] {
  return stages.flatMap(({ stage, from, to }): StageMean[] => {
    const begins = Math.max(from, to - seconds * 1000);
    const mean = meanOver(series, { from: toFile(alignment, begins), to: toFile(alignment, to) });
    if (!mean) return [];
    const short = to - from < seconds * 1000;
    return [
      {
        ...mean,
        stage,
        full: mean.full && !short,
        says: `${short ? 'all of' : `the last ${seconds} s before the end of`} stage ${stage}, ${mean.rows} ${rowsWord(series)}`,
      },
    ];
  });
}

/** A reading that an import can put on the sheet: what a `reading-taken` event holds. */
export interface GasReading {
  readonly slot: Slot & { readonly quantity: ReadingQuantity };
  readonly typed: string;
  readonly unit: string;
  /** Session time of the moment that it describes: the end of the mean. */
  readonly taken: number;
  readonly source: 'file';
  /** How it was found; goes into the event's note. */
  readonly note: string;
  /** False where rows do not fill the time of the mean. */
  readonly full: boolean;
  /** The place has a reading already; nothing is put in its stead without a person's word. */
  readonly standing?: string;
}

/**
 * Readings for every place on the sheet that asks for gas, from the mean of the time just before the place's moment. Places in
 * recovery and at rest are filled alike. Nothing is written here: the caller shows them and records what a person accepts.
 * @param seconds for places whose sheet does not say what time a reading covers.
 */
export function gasReadingsFor(state: SessionState, series: Rows, alignment: Alignment, seconds = 30): readonly GasReading[] {
  const readings: GasReading[] = [];
  for (const slot of state.slots.values()) {
    const { scheduled } = slot;
    if (!scheduled || !gasReadings.includes(slot.slot.quantity)) continue;
    const moment = momentOf(state, scheduled);
    if (moment === undefined) continue;
    const covered = secondsOf(scheduled.covers, seconds);
    const begins = Math.max(moment.noSooner, moment.at - covered * 1000);
    if (begins >= moment.at) continue;
    const mean = meanOver(series, { from: toFile(alignment, begins), to: toFile(alignment, moment.at) });
    const value = mean?.values[slot.slot.quantity as GasValue];
    if (!mean || value === undefined) continue;
    const { unit, decimals } = readingQuantities[slot.slot.quantity];
    const standing = slot.current?.typed;
    const length = Math.round((moment.at - begins) / 1000);
    readings.push({
      slot: slot.slot,
      // One decimal more than is shown, so that a ratio of two means is not rounded twice.
      typed: formatNumber(value, decimals + 1).replace('\u2212', '-'),
      unit,
      taken: moment.at,
      source: 'file',
      note: `mean of the ${length} s before, ${mean.rows} ${rowsWord(series)} of the file`,
      full: mean.full && length >= covered,
      ...(standing === undefined ? {} : { standing }),
    });
  }
  return readings;
}

/** The end of the time that a place asks for, and the moment before which its phase or stage had not begun. */
function momentOf(state: SessionState, scheduled: ScheduledSlot): { readonly at: number; readonly noSooner: number } | undefined {
  const { phase, mark, stage: number } = scheduled.slot;
  const { rest, exercise, recovery } = state.starts;
  const minute = /^m(\d+)$/.exec(mark)?.[1];
  if (phase === 'rest') {
    // The last of rest, just before the work begins.
    return rest === undefined || exercise === undefined ? undefined : { at: exercise, noSooner: rest };
  }
  if (phase === 'recovery') {
    return recovery === undefined || minute === undefined ? undefined : { at: recovery + Number(minute) * 60_000, noSooner: recovery };
  }
  const stage = state.stages.find((known) => known.number === number);
  if (!stage) return undefined;
  const noSooner = stage.changed;
  if (mark === 'end') return { at: stage.ended ?? stage.ends, noSooner };
  if (mark === 'stop') return state.stop === undefined ? undefined : { at: state.stop.taken, noSooner };
  if (minute === undefined) return undefined;
  // Minutes count from the planned beginning of the stage, as on the schedule.
  const begins = stage.ends - stageLength(state.sheet) - stage.repeats * 60_000;
  return { at: begins + Number(minute) * 60_000, noSooner };
}

/** The time that the sheet says a reading covers ("mean of the last 30 s of the stage", "2 to 3 minutes"), in seconds. */
function secondsOf(covers: string | undefined, otherwise: number): number {
  const seconds = /(\d+)\s?s\b/.exec(covers ?? '')?.[1];
  if (seconds !== undefined) return Number(seconds);
  const minutes = /(\d+)(?: to \d+)?\s?min/.exec(covers ?? '')?.[1];
  return minutes === undefined ? otherwise : Number(minutes) * 60;
}

const rowsWord = (series: Rows): string => (series.rows?.kind === 'averaged' ? 'rows' : 'breaths');
