/** The simulated pair before the test: everything that Prepare asks for, in a few seconds of session time, then rest and the start. */
import { openHolds } from '../session/holds.ts';
import type { SessionDraft } from '../session/events.ts';
import type { SessionState } from '../session/state.ts';
import { isDetailId, type DetailId } from '../vocabulary.ts';
import { uniform } from './chance.ts';
import { roomOn } from './room.ts';
import type { Action, Cast } from './pair.ts';

/** Each thing takes this long: a rehearsal shows the order, not the time that it takes. */
const EACH = 400;
/** From the last resting reading to the start. */
const READY = 5_000;

const SHORTENED = 'Rehearsal: preparing and resting are shortened. In the laboratory each check takes its own time, and the participant rests for at least five minutes.';

/** What is missing, in the order of the page; each at its own moment. */
export function prepareActions(state: SessionState, cast: Cast): Action[] {
  const steps = prepareSteps(state, cast);
  const undone = steps.filter(({ done }) => !done);
  const first = undone[0];
  if (state.phase === 'prepare') {
    const at = (steps.indexOf(first ?? steps[0] ?? { done: true, drafts: [] }) + 1) * EACH;
    if (first) return [{ at, drafts: first.drafts.map((draft) => ({ ...draft, taken: at })) }];
    const begins = (steps.length + 1) * EACH;
    const { posture } = state.sheet.rest;
    const drafts: SessionDraft[] = [{ kind: 'rest-started', taken: begins, data: {} }];
    if (posture !== undefined) drafts.push({ kind: 'posture-changed', taken: begins, data: { posture } });
    return [{ at: begins, drafts }];
  }
  if (openHolds(state).length > 0) return [];
  // All that holds the start is there: the last of it says when to go.
  let last = state.starts.rest ?? 0;
  for (const { slot, current } of state.slots.values()) if (slot.phase === 'rest' && current) last = Math.max(last, current.taken);
  const struck = state.falseStarts.at(-1);
  const at = Math.max(last + READY, struck ? struck.started + 30_000 : 0);
  return [{ at, drafts: [{ kind: 'exercise-started', taken: at, data: {} }] }];
}

interface Step {
  readonly done: boolean;
  readonly drafts: readonly SessionDraft[];
}

function prepareSteps(state: SessionState, cast: Cast): Step[] {
  const wanted = new Set<string>(['participant-code', 'sex', 'age', 'height', 'mass', ...state.sheet.details.required, ...state.sheet.details.asked]);
  const given = detailsOf(state, cast);
  const steps: Step[] = [];
  for (const detail of wanted) {
    const value = isDetailId(detail) ? given[detail] : undefined;
    if (value && isDetailId(detail)) steps.push({ done: state.details[detail] !== undefined, drafts: [{ kind: 'detail-given', data: { detail, ...value } }] });
  }
  steps.push({ done: state.notes.some((note) => note.text === SHORTENED), drafts: [{ kind: 'note-added', data: { text: SHORTENED } }] });
  steps.push({ done: state.screening !== undefined, drafts: [{ kind: 'screening-done', data: { outcome: 'go', by: 'HB, simulated instructor' } }] });
  steps.push({ done: state.consent, drafts: [{ kind: 'consent-noted', data: { given: true } }] });
  for (const check of state.sheet.checks) {
    const seen = state.checks[check.id];
    const value = check.value && { typed: insideRange(check.value.min, check.value.max, cast.seed, check.id), unit: check.value.unit };
    steps.push({ done: seen !== undefined, drafts: [{ kind: 'check-done', data: { check: check.id, done: true, ...value } }] });
  }
  return steps;
}

/** Only what a program may write for people: with `records: false` the student is the recorder and signs as such. */
function detailsOf(state: SessionState, { participant, seed }: Cast): Partial<Record<DetailId, { typed: string; unit?: string }>> {
  const room = roomOn(seed);
  return {
    'participant-code': { typed: participant.code },
    sex: { typed: participant.sex },
    age: { typed: String(participant.age), unit: 'a' },
    height: { typed: participant.height.toFixed(0), unit: 'cm' },
    mass: { typed: participant.mass.toFixed(1), unit: 'kg' },
    temperature: { typed: room.temperature.toFixed(1), unit: 'Cel' },
    pressure: { typed: room.pressure.toFixed(0), unit: 'mm[Hg]' },
    humidity: { typed: room.humidity.toFixed(0), unit: '%' },
    course: { typed: 'Exercise physiology laboratory' },
    group: { typed: 'Rehearsal' },
    term: { typed: 'Rehearsal' },
    ...(state.rehearsal?.records === false ? {} : { recorder: { typed: 'JK' } }),
    tester: { typed: 'TM' },
    ergometer: { typed: state.sheet.mode === 'treadmill' ? 'Treadmill 1' : 'Ergometer 1' },
  };
}

/** A value in the middle half of the range in which a check passes, with as many decimals as the range needs. */
function insideRange(min: number, max: number, seed: number, what: string): string {
  const width = max - min;
  const decimals = width < 1 ? 2 : width < 10 ? 1 : 0;
  return (min + width * (0.25 + 0.5 * uniform(seed, `check/${what}`))).toFixed(decimals);
}
