/** The simulated pair in exercise: stage changes, gait, a hand on the rail, a symptom, the stop. */
import { nextStage } from '../session/calls.ts';
import type { SessionDraft } from '../session/events.ts';
import type { SessionState, Settings } from '../session/state.ts';
import { unitOf, type UnitCode } from '../units/units.ts';
import { alertsOf, repeatPending } from '../session/alerts.ts';
import { offSchedule } from '../session/place.ts';
import { secondsBetween } from './chance.ts';
import { gaitOf } from './course.ts';
import { typedReading } from './measure.ts';
import { changeOf, type Action, type Cast } from './pair.ts';
import type { Body } from './physiology.ts';
import { decidedAt, stopPlan } from './stop.ts';

export function exerciseActions(state: SessionState, cast: Cast, body: Body): Action[] {
  const actions: Action[] = [];
  const present = state.stages.at(-1);
  const next = nextStage(state);
  const stop = stopPlan(state, cast, body);
  actions.push({ at: stop.at, drafts: [{ kind: 'test-stopped', taken: stop.at, data: {} }] });
  if (stop.why === 'faint' && !state.symptoms.some((noted) => !noted.struck && noted.taken >= (state.starts.exercise ?? 0))) {
    const at = Math.round(body.turns);
    actions.push({ at, drafts: [{ kind: 'symptom-noted', taken: at, data: { text: 'light-headed' } }] });
  }
  actions.push(...repeatActions(state, cast, body));
  // A next stage whose setting hangs on readings that are not there yet waits for them.
  if (next && Object.keys(next.settings).length > 0) {
    const planned = changeOf(next.number, next.due, cast.seed);
    const change = { ...planned, at: Math.max(planned.at, decidedAt(state, next.due)) };
    const settings = change.other ? coarseSettings(next.settings) : undefined;
    const drafts: SessionDraft[] = [{ kind: 'stage-changed', taken: change.at, data: { stage: next.number, ...(settings ? { settings: settings.written } : {}) } }];
    if (settings) drafts.push({ kind: 'note-added', taken: change.at, data: { text: settings.note } });
    actions.push({ at: change.at, drafts });
  }
  if (present) {
    const gait = gaitOf(present.actual, cast.participant);
    if (gait !== undefined && state.gaits.at(-1)?.gait !== gait) {
      const at = present.changed + 4_000;
      actions.push({ at, drafts: [{ kind: 'gait-seen', taken: at, data: { gait } }] });
    }
    if (present.number === cast.participant.rail && state.sheet.mode === 'treadmill') actions.push(...railActions(state, present.changed, cast.seed));
  }
  return actions;
}

/** A pressure that fell as work rose is taken again at once, beside the first. */
function repeatActions(state: SessionState, cast: Cast, body: Body): Action[] {
  if (!repeatPending(state)) return [];
  const asked = alertsOf(state).findLast((alert) => alert.id === 'pressure-falling');
  if (!asked) return [];
  // A cuff takes 30 to 45 s (lab-sheet guide); this is the time to pump it up again and read it.
  const at = asked.at + secondsBetween(cast.seed, `repeat/${asked.at}`, 32, 42);
  const typed = (quantity: 'systolic' | 'diastolic'): string => typedReading(body, cast.seed, quantity, at);
  const heard = `${typed('systolic')}/${typed('diastolic')}`;
  return [{
    at,
    drafts: (['systolic', 'diastolic'] as const).map((quantity) => ({
      kind: 'reading-taken',
      taken: at,
      data: { slot: offSchedule(state, quantity, at), typed: typed(quantity), unit: 'mm[Hg]', heard, source: 'simulated', confirmed: true },
    })),
  }];
}

/** A hand goes to the rail a minute into the stage and leaves it when the tester says so. */
function railActions(state: SessionState, changed: number, seed: number): Action[] {
  const on = changed + secondsBetween(seed, 'rail/on', 55, 75);
  const off = on + secondsBetween(seed, 'rail/off', 20, 35);
  const seen = state.handrail.filter(({ taken }) => taken >= on);
  const [at, held] = seen.length === 0 ? [on, true] : [off, false];
  if (seen.some((one) => !one.held)) return [];
  return [{ at, drafts: [{ kind: 'handrail-held', taken: at, data: { held } }] }];
}

/** What a machine with coarser steps stands at: half miles or kilometres an hour, 5 W, else one per cent more of grade. Made for this program. */
function coarseSettings(planned: Settings): { readonly written: NonNullable<Extract<SessionDraft, { kind: 'stage-changed' }>['data']['settings']>; readonly note: string } | undefined {
  const other = (name: 'speed' | 'load' | 'grade', step: number): { typed: string; unit: string; from: string } | undefined => {
    const setting = planned[name];
    if (!setting) return undefined;
    const typed = Number(setting.typed);
    const coarse = Math.round(typed / step) * step;
    const moved = name === 'grade' ? typed - step : coarse;
    return Math.abs(moved - typed) < 1e-9 ? undefined : { typed: String(Number(moved.toFixed(1))), unit: setting.unit, from: setting.typed };
  };
  const chosen = ([['speed', 0.5], ['load', 10], ['grade', 1]] as const).map(([name, step]) => ({ name, other: other(name, step) })).find((one) => one.other);
  if (!chosen?.other) return undefined;
  const { typed, unit, from } = chosen.other;
  const label = unitOf(unit as UnitCode).label;
  return { written: { [chosen.name]: { typed, unit } }, note: `${chosen.name === 'grade' ? 'Grade' : chosen.name === 'speed' ? 'Speed' : 'Load'} stands at ${typed} ${label}, planned ${from} ${label}.` };
}
