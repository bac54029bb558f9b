/** What has to be in place before exercise may start, and who may set a missing thing aside. */
import { detailQuantities, isDetailId } from '../vocabulary.ts';
import type { SessionState } from './state.ts';

export interface Hold {
  readonly id: string;
  /** What is missing, in words. */
  readonly text: string;
  /** `instructor`: may be set aside with initials and a reason; `never`: by nobody. */
  readonly who: 'instructor' | 'never';
  readonly met: boolean;
  readonly overridden?: { readonly initials: string; readonly reason: string };
}

/** All holds of the session's sheet, met and unmet, in the order of the page. */
export function holdsOf(state: SessionState): readonly Hold[] {
  const holds: Omit<Hold, 'overridden'>[] = [];
  for (const detail of state.sheet.details.required) {
    if (!isDetailId(detail)) continue;
    holds.push({ id: `detail-${detail}`, text: detailQuantities[detail].label, who: 'instructor', met: state.details[detail] !== undefined });
  }
  const outcome = state.screening?.outcome;
  holds.push({ id: 'screening', text: outcome === undefined ? 'Screening and contraindications looked at' : 'Screening allows this test today', who: 'never', met: outcome === 'go' });
  holds.push({ id: 'consent', text: 'Consent noted', who: 'never', met: state.consent });
  for (const check of state.sheet.checks) {
    if (check.hold === 'none') continue;
    const done = state.checks[check.id];
    const inRange = check.value === undefined || (done?.value !== undefined && done.value >= check.value.min && done.value <= check.value.max);
    holds.push({ id: `check-${check.id}`, text: check.text, who: check.hold, met: done?.done === true && inRange });
  }
  if (state.sheet.rest.hold !== 'none' && state.sheet.rest.readings.some((rule) => !rule.optional)) {
    const missing = [...state.slots.values()].filter((slot) => slot.slot.phase === 'rest' && slot.scheduled?.optional === false && !slot.current && !slot.notTaken);
    holds.push({ id: 'rest-readings', text: 'Resting readings', who: state.sheet.rest.hold, met: state.starts.rest !== undefined && missing.length === 0 });
  }
  return holds.map((hold) => {
    const override = state.overrides.findLast((made) => made.hold === hold.id);
    return override && hold.who === 'instructor' ? { ...hold, overridden: { initials: override.initials, reason: override.reason } } : hold;
  });
}

/** The holds that keep exercise from starting now. A sheet keyed in from paper is never held: it has already happened. */
export function openHolds(state: SessionState): readonly Hold[] {
  return state.way === 'paper' ? [] : holdsOf(state).filter((hold) => !hold.met && hold.overridden === undefined);
}
