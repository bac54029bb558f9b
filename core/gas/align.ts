/**
 * The file's clock and the session's clock, which were started by different hands. Session time is file time plus an offset; the
 * offset comes from one event that both have, or is typed.
 */
import { formatClock, parseClock } from '../clock-text.ts';
import { failure, success, type Result } from '../result.ts';
import type { BreathSeries, GasRows, Stretch } from './series.ts';

export interface Alignment {
  /** Milliseconds to add to a time of the file to have session time. */
  readonly offset: number;
  readonly by: 'marked event' | 'typed offset';
  /** How it was found, in words. */
  readonly says: string;
}

/**
 * By an event that was marked in the file and written in the session: the start of the first load, a stop.
 * @param event what it was; @param fileTime @param sessionTime its moment on either clock, milliseconds.
 */
export function alignByEvent(event: string, fileTime: number, sessionTime: number): Alignment {
  return {
    offset: sessionTime - fileTime,
    by: 'marked event',
    says: `${event}: ${formatClock(fileTime)} in the file is ${formatClock(sessionTime)} in the session`,
  };
}

/**
 * By a typed offset: `+2:05` when the file's zero is 2:05 of session time, `-0:30` when the file was started half a minute
 * before the session.
 */
export function alignByOffset(typed: string): Result<Alignment> {
  const offset = parseClock(typed);
  if (offset === undefined)
    return failure('not-an-offset', `“${typed.trim().slice(0, 30)}” is not an offset. Type it as +2:05 or -0:30 (minutes and seconds).`);
  return success({ offset, by: 'typed offset', says: `0:00 in the file is ${formatClock(offset)} in the session, as typed` });
}

/** A moment of the file on the session's clock, and back. Milliseconds. */
export const toSession = (alignment: Alignment, fileTime: number): number => fileTime + alignment.offset;
export const toFile = (alignment: Alignment, sessionTime: number): number => sessionTime - alignment.offset;

/** A stretch of session time on the file's clock. */
export function stretchInFile(alignment: Alignment, stretch: Stretch): Stretch {
  return { from: toFile(alignment, stretch.from), to: toFile(alignment, stretch.to) };
}

/** Events that could be matched: every mark of the file, with its moment. */
export function eventsOf(series: BreathSeries): readonly { readonly text: string; readonly time: number }[] {
  return series.markers.map(({ text, time }) => ({ text, time }));
}

export interface AlignmentCheck {
  /** Share of the exercise that the file covers, 0 to 1. */
  readonly covered: number;
  /** In words: what does not fit. Empty when all is well. */
  readonly warnings: readonly string[];
}

/**
 * Whether an alignment can be right: the file has to cover the exercise, and a second event that both clocks have has to fall
 * on the same offset within 2 s (people press keys about a second late, so two presses differ by up to that much [C]).
 * @param exercise start and end in session time; @param second a further event.
 */
export function checkAlignment(
  rows: GasRows,
  alignment: Alignment,
  exercise: Stretch,
  second?: { readonly event: string; readonly fileTime: number; readonly sessionTime: number },
): AlignmentCheck {
  const warnings: string[] = [];
  const first = toSession(alignment, rows.time[0] ?? 0);
  const last = toSession(alignment, rows.time[rows.length - 1] ?? 0);
  const length = exercise.to - exercise.from;
  const overlap = Math.max(0, Math.min(last, exercise.to) - Math.max(first, exercise.from));
  const covered = length > 0 ? overlap / length : 0;
  if (overlap === 0) {
    warnings.push(
      `With this offset the file runs from ${formatClock(first)} to ${formatClock(last)} of the session, and exercise from ${formatClock(exercise.from)} to ${formatClock(exercise.to)}: they do not meet.`,
    );
  } else if (covered < 0.95) {
    warnings.push(`With this offset the file covers ${Math.round(100 * covered)} % of the exercise.`);
  }
  if (second) {
    const apart = second.sessionTime - second.fileTime - alignment.offset;
    if (Math.abs(apart) > 2000) {
      warnings.push(
        `${second.event} is ${Math.abs(apart / 1000).toFixed(1)} s ${apart > 0 ? 'later' : 'earlier'} in the session than this offset says. One of the two events was marked at another moment, or one clock runs faster.`,
      );
    }
  }
  return { covered, warnings };
}
