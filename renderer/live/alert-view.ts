/** The calls that the numbers make to people, as the live sheet shows them: a line that stands until answered, and for a while the big line. */
import { standingAlerts, type Alert, type LabLimits } from '../../core/session/alerts.ts';
import { endPointOf } from '../../core/session/end-point.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { CallView } from './call-view.ts';

/** A pressure is repeated within this time or not at once; then the big line goes back to the schedule, and the lower line stays. */
const REPEAT_SHOWN = 90_000;
const INSTRUCTOR_SHOWN = 60_000;
/** After the stop a pressure that was read just before it still calls; the heart rate's calls are over with the exercise. */
const AFTER_STOP = 120_000;

/** What calls now, oldest first. */
export function alertsNow(state: SessionState | undefined, limits: LabLimits | undefined): readonly Alert[] {
  if (!state || state.readOnly !== undefined) return [];
  if (state.phase === 'exercise') return standingAlerts(state, limits);
  const stopped = state.stop?.taken;
  if (state.phase !== 'recovery' || stopped === undefined) return [];
  return standingAlerts(state, limits).filter((alert) => alert.id.startsWith('pressure') && alert.ask === 'instructor' && alert.at >= stopped - AFTER_STOP);
}

/** The newest call in the big line. A change of the ergometer that is due keeps its place: the call stands in the line below it. */
export function bigAlert(alerts: readonly Alert[], present: CallView | undefined, now: number): CallView | undefined {
  if (present?.kind === 'set' && present.tone !== 'to-come') return undefined;
  const alert = alerts.findLast((one) => now - one.at <= (one.ask === 'repeat' ? REPEAT_SHOWN : INSTRUCTOR_SHOWN));
  if (!alert) return undefined;
  return { id: `alert/${alert.seq}`, kind: 'alert', label: alert.ask === 'repeat' ? 'Pressure again' : 'Call the instructor', detail: alert.ask === 'repeat' ? 'the cuff again at once, then type it' : 'the people in the room decide; a stop is always Ctrl Enter', tone: 'late', slotKeys: [] };
}

/** The sheet's end-point in the big line, once its cap is reached and nothing else is open. */
export function endPointCall(state: SessionState | undefined, present: CallView | undefined): CallView | undefined {
  if (state?.phase !== 'exercise' || (present && present.tone !== 'to-come')) return undefined;
  const end = endPointOf(state);
  return end?.reached === 'cap' ? { id: 'end-point', kind: 'alert', label: 'End-point of the sheet', detail: end.says, tone: 'open', slotKeys: [] } : undefined;
}

/** Writes down that the instructor has been told: one note for each call, naming its reading. */
export function toldDrafts(alerts: readonly Alert[]): readonly SessionDraft[] {
  return alerts.filter((alert) => alert.ask === 'instructor').map((alert) => ({ kind: 'note-added', data: { text: `Instructor told: ${alert.text.replace(/[:;]? ?call the instructor\.$/i, '')}`, answers: alert.seq } }));
}
