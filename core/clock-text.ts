/** Times as the lab says them: minutes and seconds, `m:ss`. */

/**
 * Reads `m:ss` (or `-m:ss`, or `h:mm:ss`) as whole milliseconds.
 * @returns undefined when the text is not a time of that form.
 */
export function parseClock(text: string): number | undefined {
  const match = /^\s*([+\-−]?)(?:(\d{1,2}):)?(\d{1,3}):([0-5]\d)(?:[.,](\d{1,3}))?\s*$/.exec(text);
  if (!match) return undefined;
  const [, sign, hours, minutes, seconds, fraction] = match;
  if (hours !== undefined && Number(minutes) > 59) return undefined;
  const whole = (Number(hours ?? 0) * 3600 + Number(minutes) * 60 + Number(seconds)) * 1000 + Number((fraction ?? '').padEnd(3, '0'));
  return sign === '-' || sign === '−' ? -whole : whole;
}

/** Milliseconds as `m:ss`, rounded down to the second (a clock shows the second that has begun). */
export function formatClock(milliseconds: number): string {
  const sign = milliseconds < 0 ? '−' : '';
  const total = milliseconds < 0 ? Math.ceil(-milliseconds / 1000) : Math.floor(milliseconds / 1000);
  return `${sign}${Math.floor(total / 60)}:${String(total % 60).padStart(2, '0')}`;
}

/** A countdown as `m:ss`, rounded up, so that it reads 0:00 only when the moment has come. */
export function formatCountdown(milliseconds: number): string {
  const total = Math.max(0, Math.ceil(milliseconds / 1000));
  return `${Math.floor(total / 60)}:${String(total % 60).padStart(2, '0')}`;
}
