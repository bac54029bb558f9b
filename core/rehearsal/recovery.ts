/** The simulated pair after the stop: why it ended, postures, a faint spell, the leaving criteria, and the end of the session. */
import { parseClock } from '../clock-text.ts';
import { recoveryAt } from '../recovery/tracker.ts';
import type { SessionState } from '../session/state.ts';
import type { Posture } from '../vocabulary.ts';
import { secondsBetween } from './chance.ts';
import { REHEARSAL_AUTHOR, type Action, type Cast } from './pair.ts';
import type { Body } from './physiology.ts';
import { stopPlan, type StopWhy } from './stop.ts';

const MINUTE = 60_000;
/** Made for this program: how long the simulated faint lasts, and how a symptom stop goes on. */
const LIES_FOR = 5 * MINUTE;
export const WELL_AFTER = 5.5 * MINUTE;
const HANDED_OVER_FROM = 8 * MINUTE;
const HANDED_OVER_BY = 15 * MINUTE;

export function recoveryActions(state: SessionState, cast: Cast, body: Body): Action[] {
  const stop = state.stop?.taken;
  if (stop === undefined) return [];
  const actions: Action[] = [...reasonActions(state, cast, body, stop), ...postureActions(state, cast, body, stop)];
  const spell = spellAt(state, body, stop);
  if (cast.participant.faints === 'recovery' && !symptomNoted(state, stop)) {
    const at = Math.round(body.turns);
    if (at < Infinity) actions.push({ at, drafts: [{ kind: 'symptom-noted', taken: at, data: { text: 'light-headed' } }] });
  }
  actions.push(...criteriaActions(state, stop, spell), ...closingActions(state, cast, stop));
  return actions;
}

const symptomNoted = (state: SessionState, from: number): boolean => state.symptoms.some((noted) => !noted.struck && noted.taken >= from);

/** The last moment at which a symptom was felt in or after exercise. */
function spellAt(state: SessionState, body: Body, stop: number): number | undefined {
  const noted = state.symptoms.findLast((one) => !one.struck && one.taken >= (state.starts.exercise ?? stop))?.taken;
  return noted ?? (state.stop?.symptom && body.turns <= stop ? body.turns : undefined);
}

const REASONS: Readonly<Record<StopWhy, { readonly words: RegExp; readonly symptom: boolean }>> = {
  fatigue: { words: /volition|exhaust|fatigue/i, symptom: false },
  asked: { words: /ask|request|wish/i, symptom: false },
  faint: { words: /light.?head|faint|dizz/i, symptom: true },
  end: { words: /end of|complet|planned/i, symptom: false },
  covered: { words: /cover|complet|finish/i, symptom: false },
  cap: { words: /heart.rate|cap\b|end.?point|instructor/i, symptom: false },
  'pressure-fell': { words: /pressure fell|pressure fall/i, symptom: true },
  'pressure-high': { words: /pressure above|above the limit/i, symptom: true },
};

/** The sheet's own words for a reason, found by what they say; the first of its kind where none does. */
function reasonActions(state: SessionState, cast: Cast, body: Body, stop: number): Action[] {
  // Whoever stopped the test knows why.
  if (state.stop?.reason !== undefined || state.stop?.author !== REHEARSAL_AUTHOR) return [];
  const { why } = stopPlan(state, cast, body);
  const { words, symptom } = REASONS[why];
  const offered = state.sheet.stop.reasons.filter((reason) => reason.symptom === symptom);
  const reason = offered.find(({ text }) => words.test(text)) ?? offered[0] ?? { text: symptom ? 'Light-headed' : 'Volitional exhaustion', symptom };
  // A symptom is plain to see and changes what is called for; any other reason is asked when there is breath to answer.
  const at = stop + (symptom ? secondsBetween(cast.seed, 'stop/reason', 4, 6) : secondsBetween(cast.seed, 'stop/reason', 12, 20));
  return [{ at, drafts: [{ kind: 'stop-reason-given', taken: at, data: { reason: reason.text, symptom: reason.symptom } }] }];
}

/** Each change of posture that is called for, a few seconds after its moment; one that people have recorded is not repeated. */
function postureActions(state: SessionState, cast: Cast, body: Body, stop: number): Action[] {
  const wanted: { readonly from: number; readonly posture: Posture }[] = [];
  const { symptom } = REASONS[stopPlan(state, cast, body).why];
  const lying = state.stop?.symptom || (symptom && state.stop?.reason === undefined) ? stop + 6_000 : cast.participant.faints === 'recovery' && body.turns < Infinity ? body.turns + 6_000 : Infinity;
  if (lying !== stop + 6_000) {
    let from = stop;
    for (const part of state.sheet.recovery.plan) {
      if (from < lying) wanted.push({ from, posture: part.posture });
      from = stop + (parseClock(part.until) ?? 0);
    }
  }
  if (lying < Infinity) wanted.push({ from: lying, posture: 'lying, legs raised' }, { from: lying + LIES_FOR, posture: 'sitting' });
  return wanted.flatMap(({ from, posture }, index) => {
    const at = Math.round(from) + secondsBetween(cast.seed, `posture/${index}`, 2, 5);
    const until = wanted[index + 1]?.from ?? Infinity;
    // What was recorded for this part of the plan, or a little before it, stands.
    const recorded = state.postures.some((seen) => seen.taken >= Math.max(stop, from - 20_000) && seen.taken < until - 20_000);
    return recorded ? [] : [{ at, drafts: [{ kind: 'posture-changed' as const, taken: at, data: { posture } }] }];
  });
}

/** When the numbers that the sheet measures are met, by the readings so far; undefined where they are not. */
function measuredMet(state: SessionState, stop: number): number | undefined {
  const measured = new Set(state.sheet.recovery.criteria.filter(({ kind }) => kind === 'heart-rate' || kind === 'systolic').map(({ id }) => id));
  let at = stop + MINUTE;
  for (const criterion of state.sheet.recovery.criteria) if (criterion.kind === 'shortest') at = Math.max(at, stop + (parseClock(criterion.time) ?? 0));
  for (const { slot, current } of state.slots.values()) {
    if (slot.phase === 'recovery' && current && (slot.quantity === 'heart-rate' || slot.quantity === 'systolic')) at = Math.max(at, current.taken);
  }
  const met = recoveryAt(state, at).criteria.filter(({ id }) => measured.has(id)).every((criterion) => criterion.state === 'met');
  return met ? at : undefined;
}

/** What a person has to ask or see, one after the other once the numbers are met. A spell of light-headedness is noted as such first. */
function criteriaActions(state: SessionState, stop: number, spell: number | undefined): Action[] {
  const actions: Action[] = [];
  const see = (criterion: string, met: boolean, at: number): void => void actions.push({ at, drafts: [{ kind: 'criterion-seen', taken: at, data: { criterion, met } }] });
  const seen = state.sheet.recovery.criteria.filter(({ kind }) => kind === 'no-symptoms' || kind === 'seen');
  const free = seen.find(({ kind }) => kind === 'no-symptoms');
  if (free && spell !== undefined && (state.criteriaSeen[free.id]?.taken ?? -1) < spell) {
    see(free.id, false, Math.max(stop, Math.round(spell)) + 8_000);
    return actions;
  }
  const numbers = measuredMet(state, stop);
  if (numbers === undefined) return actions;
  let moment = Math.max(numbers, spell === undefined ? 0 : Math.round(spell) + WELL_AFTER);
  for (const { id } of seen) if (state.criteriaSeen[id]?.met === true) moment = Math.max(moment, state.criteriaSeen[id].taken);
  const next = seen.find(({ id }) => state.criteriaSeen[id]?.met !== true);
  if (next) see(next.id, true, moment + 4_000);
  return actions;
}

/** The session ends when every criterion is met; after a stop for a symptom, or when it takes too long, it is handed over. */
function closingActions(state: SessionState, cast: Cast, stop: number): Action[] {
  const longest = stop + (parseClock(state.sheet.recovery.longest) ?? 30 * MINUTE) + 30_000;
  const handOver = (at: number): Action => ({ at, drafts: [{ kind: 'session-closed', taken: at, data: { outcome: 'handed-over', to: 'HB, simulated instructor on duty' } }] });
  if (state.stop?.symptom) {
    const met = measuredMet(state, stop);
    return [handOver(Math.min(longest, met === undefined ? stop + HANDED_OVER_BY : Math.max(met + 5_000, stop + HANDED_OVER_FROM)))];
  }
  let last = stop;
  for (const { taken } of Object.values(state.criteriaSeen)) last = Math.max(last, taken);
  for (const { slot, current } of state.slots.values()) if (slot.phase === 'recovery' && current) last = Math.max(last, current.taken);
  const at = last + secondsBetween(cast.seed, 'close', 5, 9);
  if (recoveryAt(state, at).mayLeave) return [{ at, drafts: [{ kind: 'session-closed', taken: at, data: { outcome: 'left' } }] }];
  return [handOver(longest)];
}
