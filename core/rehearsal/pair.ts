/**
 * What the simulated pair does with its hands: when each reading is really taken, which one comes late or not at all, which
 * stage is set late or otherwise than planned. All of it hangs on the seed and the place on the sheet, never on the call.
 */
import type { ReadingQuantity } from '../vocabulary.ts';
import type { SessionDraft } from '../session/events.ts';
import type { ScheduledSlot } from '../session/schedule.ts';
import type { SessionState, SlotState, StageState } from '../session/state.ts';
import { secondsBetween, uniform } from './chance.ts';
import type { Participant } from './participant.ts';

/** The author of everything that a rehearsal writes. */
export const REHEARSAL_AUTHOR = 'rehearsal';

export interface Cast {
  readonly participant: Participant;
  readonly seed: number;
}

/** One thing that the pair does. */
export interface Action {
  /** Session time, ms: the moment that all its drafts describe. */
  readonly at: number;
  readonly drafts: readonly SessionDraft[];
}

/** Readings that are answered in one breath: both pressures, or the gases of one mean. */
export interface Group {
  readonly key: string;
  readonly kind: 'pressure' | 'gas' | 'heart-rate' | 'rpe';
  readonly slots: readonly SlotState[];
  readonly scheduled: ScheduledSlot;
}

function kindOf(quantity: ReadingQuantity): Group['kind'] {
  if (quantity === 'systolic' || quantity === 'diastolic') return 'pressure';
  if (quantity === 'pulse-count') return 'heart-rate';
  return quantity === 'heart-rate' || quantity === 'rpe' ? quantity : 'gas';
}

/** Everything on the schedule that nobody has answered yet, in the order of the sheet. A struck answer counts as answered: the person who struck it decides what comes next. */
export function openGroups(state: SessionState): readonly Group[] {
  const groups = new Map<string, { kind: Group['kind']; slots: SlotState[]; scheduled: ScheduledSlot }>();
  for (const slot of state.slots.values()) {
    const { scheduled } = slot;
    if (!scheduled || slot.notTaken || slot.readings.length > 0) continue;
    if ((state.phase === 'rest') !== (slot.slot.phase === 'rest')) continue;
    const kind = kindOf(slot.slot.quantity);
    const key = `${slot.slot.phase}/${slot.slot.stage ?? ''}/${slot.slot.mark}/${kind}`;
    const group = groups.get(key);
    if (group) group.slots.push(slot);
    else groups.set(key, { kind, slots: [slot], scheduled });
  }
  return [...groups].map(([key, group]) => ({ key, ...group }));
}

export interface Plan {
  /** Session time, ms. */
  readonly at: number;
  readonly does: 'take' | 'miss' | 'leave';
  /** Why it was missed, or what is worth noting about it. */
  readonly why?: string;
  /** Heart rate counted by hand for 15 s. */
  readonly counted?: boolean;
}

/** Seconds from the due moment at which hands usually get to each kind of reading. */
const USUAL: Readonly<Record<Group['kind'], readonly [number, number]>> = { 'heart-rate': [-3, 4], rpe: [-3, 4], pressure: [1, 9], gas: [9, 26] };
/** Parts of readings that come late or not at all by chance. Made for this program: enough to see, too few to teach bad habits. */
const LATE = 0.05;
const MISSED: Readonly<Record<Group['kind'], number>> = { 'heart-rate': 0.01, rpe: 0.02, pressure: 0.04, gas: 0.01 };
const REASONS: Readonly<Record<Group['kind'], string>> = {
  'heart-rate': 'no steady number, strap slipped',
  rpe: 'participant did not point in time',
  pressure: 'cuff slipped, no sounds heard',
  gas: 'mean not written down in time',
};

/** What the pair does about one group, and when. */
export function planOf(state: SessionState, group: Group, cast: Cast): Plan {
  const { scheduled, key, kind } = group;
  const { participant, seed } = cast;
  const what = `pair/${key}`;
  if (group.slots[0]?.slot.phase === 'rest') return { at: scheduled.due + 6_000 + 4_000 * restOrder(kind) + secondsBetween(seed, what, 0, 2), does: 'take' };
  if (scheduled.optional && uniform(seed, `${what}/optional`) < 0.4) return { at: Infinity, does: 'leave' };

  const stage = stageOf(state, group);
  const [least, most] = USUAL[kind];
  const mark = group.slots[0]?.slot.mark ?? '';
  const stop = state.stop?.taken ?? 0;
  // After a stop for a symptom hands are first with the person, and the readings that it brings begin then.
  const begins = mark === 'stop' ? stop : group.slots[0]?.slot.phase === 'recovery' ? stop + (state.stop?.symptom ? 8_000 : 0) : (stage?.changed ?? 0);
  const soonest = Math.max(scheduled.opens + (kind === 'pressure' ? 25_000 : 1_000), begins + 1_000);
  const usual = Math.max(soonest, scheduled.due + secondsBetween(seed, what, least, most));
  // The stop and the first two minutes of recovery are never spoilt by chance: peak and heart-rate recovery hang on them.
  const safe = mark === 'stop' || (group.slots[0]?.slot.phase === 'recovery' && /^m[012]$/.test(mark));

  if (kind === 'pressure' && participant.behaviour === 'missed-cuff' && stage?.number === missedCuffStage(seed) && mark !== 'stop') {
    return { at: usual + 6_000, does: 'miss', why: REASONS.pressure };
  }
  const dropped = kind === 'heart-rate' && stage !== undefined && stage.number === participant.strapDrops;
  const studentRecords = state.rehearsal?.records === false;
  if (dropped) return { at: studentRecords ? usual + 6_000 : lateMoment(scheduled, seed, what, usual), does: 'take', counted: true, why: 'strap lost contact; pulse counted for 15 s' };
  if (safe) return { at: usual, does: 'take' };
  // Nor is a heart rate lost on which the sheet holds a stage or branches.
  const decides = kind === 'heart-rate' && (state.sheet.stages['steady-state'] !== undefined || state.sheet.stages.branch !== undefined);
  if (!decides && uniform(seed, `${what}/missed`) < MISSED[kind]) return { at: usual + 5_000, does: 'miss', why: REASONS[kind] };
  const shown = kind === 'heart-rate' && key === shownLate(seed);
  // Where the student records, being late is the student's own.
  if (studentRecords) return { at: usual, does: 'take' };
  if (shown || uniform(seed, `${what}/late`) < LATE) return { at: lateMoment(scheduled, seed, what, usual), does: 'take' };
  return { at: usual, does: 'take' };
}

const restOrder = (kind: Group['kind']): number => ['heart-rate', 'pressure', 'rpe', 'gas'].indexOf(kind);

/** One heart rate early in every test is taken late, so that a newcomer sees what late looks like. */
const shownLate = (seed: number): string => `exercise/${1 + Math.floor(2 * uniform(seed, 'pair/shown-late'))}/m2/heart-rate`;

const missedCuffStage = (seed: number): number => 1 + Math.floor(2 * uniform(seed, 'pair/missed-cuff'));

/** Some seconds after it has become late, and before it is given up; the usual moment where the sheet leaves no room. */
function lateMoment(scheduled: ScheduledSlot, seed: number, what: string, usual: number): number {
  const moment = scheduled.late + secondsBetween(seed, `${what}/by`, 3, 14);
  return moment < scheduled.missed ? moment : usual;
}

/** The stage that a group belongs to. */
export function stageOf(state: SessionState, group: Group): StageState | undefined {
  const number = group.slots[0]?.slot.stage;
  return number === undefined ? undefined : state.stages.find((stage) => stage.number === number);
}

/** How the next stage is set: when, and whether to the planned value. */
export interface Change {
  readonly at: number;
  /** The machine stands at this instead of the planned value. */
  readonly other?: 'coarse-step';
}

/** Late beyond the five seconds that count as on time. */
const LATE_CHANGE: readonly [number, number] = [8, 16];

/**
 * Hands are 1 to 3 s behind the clock. Between stage 2 and 4 one change of every test is either late or made to another value; after
 * that now and then.
 */
export function changeOf(number: number, due: number, seed: number): Change {
  const odd = 2 + Math.floor(3 * uniform(seed, 'pair/odd-stage'));
  const happens = number === odd || uniform(seed, `pair/odd/${number}`) < 0.05;
  const late = happens && uniform(seed, `pair/odd-kind/${number}`) < 0.5;
  const [least, most] = late ? LATE_CHANGE : [1, 3];
  return { at: due + secondsBetween(seed, `pair/change/${number}`, least, most), ...(happens && !late ? { other: 'coarse-step' as const } : {}) };
}
