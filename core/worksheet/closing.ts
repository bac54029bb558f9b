/** The end of a session as a worksheet names it: the closing event, and what may follow it. */
import type { RecordEvent, StoredEvent } from '../record/event.ts';
import { gatherSeries } from '../session/series.ts';
import type { SessionEvent } from '../session/events.ts';

/** Added after the closing: a gas exchange file, a threshold that a person placed, and taking one of these back. */
function isAddition(events: readonly RecordEvent[], event: RecordEvent): boolean {
  if (event.kind === 'series-attached' || event.kind === 'threshold-placed') return true;
  if (event.kind !== 'event-struck') return false;
  const target = events[(event.data as { readonly target: number }).target];
  return target?.kind === 'series-attached' || target?.kind === 'threshold-placed';
}

/**
 * The hashes that a worksheet may name as the session's end: that of the closing event and, where only a gas exchange file or
 * thresholds were added since, those of the additions. A worksheet that was opened before such an addition stays good; any other
 * event after the closing makes all of them bad.
 * @param events of the session, in order; @param stored the same as stored, with their hashes.
 */
export function closingHeads(events: readonly RecordEvent[], stored: readonly StoredEvent[]): readonly string[] {
  const closed = events.findIndex((event) => event.kind === 'session-closed');
  if (closed < 0) return stored.slice(-1).map(({ hash }) => hash);
  if (!events.slice(closed + 1).every((event) => isAddition(events, event))) return [];
  return stored.slice(closed).map(({ hash }) => hash);
}

/** The hash of the gas exchange file that counts: the last one that was not taken back. */
export function lastSeriesOf(events: readonly RecordEvent[]): string | undefined {
  const struck = new Set(events.filter((event) => event.kind === 'event-struck').map((event) => (event.data as { readonly target: number }).target));
  return gatherSeries(events as readonly SessionEvent[], (seq) => struck.has(seq)).series.at(-1)?.hash;
}
