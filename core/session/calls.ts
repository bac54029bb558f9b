/** What to take and what to set, now and next. */
import { bagQuantities, gasQuantities, readingQuantities, type ReadingQuantity } from '../vocabulary.ts';
import { endPointOf } from './end-point.ts';
import { slotKey } from './events.ts';
import type { SessionState, Settings, SlotState } from './state.ts';

export type SlotStatus = 'to-come' | 'open' | 'late' | 'missed' | 'taken' | 'taken-late' | 'not-taken';

/** Where a slot stands at session time `now`. Late is judged by when it was taken, not by when it was typed. */
export function slotStatus(slot: SlotState, now: number): SlotStatus {
  const { scheduled, current } = slot;
  if (current) return scheduled && current.taken > scheduled.late ? 'taken-late' : 'taken';
  if (slot.notTaken) return 'not-taken';
  if (!scheduled || now < scheduled.opens) return 'to-come';
  if (now <= scheduled.late) return 'open';
  if (now <= scheduled.missed) return 'late';
  // What the sheet only offers to take is never missed.
  return scheduled.optional ? 'to-come' : 'missed';
}

/**
 * RER need not be typed where VCO₂ and VO₂ of the same place are there: it is their quotient.
 * @returns undefined for every other slot, and where one of the two is missing.
 */
export function derivedRatio(slots: ReadonlyMap<string, SlotState>, slot: SlotState): number | undefined {
  if (slot.slot.quantity !== 'rer' || slot.current) return undefined;
  const of = (quantity: ReadingQuantity): number | undefined => slots.get(slotKey({ ...slot.slot, quantity }))?.current?.value;
  const [vco2, vo2] = [of('vco2'), of('vo2')];
  return vco2 === undefined || vo2 === undefined || vo2 <= 0 ? undefined : vco2 / vo2;
}

/** By how many milliseconds a taken reading was late; 0 when it was not. */
export function lateBy(slot: SlotState): number {
  return slot.scheduled && slot.current && slot.current.taken > slot.scheduled.late ? slot.current.taken - slot.scheduled.due : 0;
}

export interface TakeCall {
  readonly kind: 'take';
  /** Slots that are answered in one breath: both pressures, or RER and VO2 of one stage. */
  readonly slots: readonly SlotState[];
  readonly label: string;
  readonly opens: number;
  readonly due: number;
  /** The moment by which it has to be in before it is late. */
  readonly until: number;
  readonly status: 'to-come' | 'open' | 'late';
}
export interface SetCall {
  readonly kind: 'set';
  readonly stage: number;
  /** Empty where it cannot be told yet; `says` then names what is missing. */
  readonly settings: Settings;
  readonly says?: string;
  readonly due: number;
  readonly status: 'to-come' | 'open' | 'late';
}
export type Call = TakeCall | SetCall;

/** How long before a change the next target becomes the present call (issue: from 30 s before). */
export const SET_OPENS_BEFORE = 30_000;

/**
 * All calls that are open, late or still to come, in the order that one pair of hands can do them: what is open before
 * what is to come, by the moment it is due; of calls due together, the change of the ergometer first.
 * The first is the present call. Optional readings are called only while they are open.
 */
export function callsAt(state: SessionState, now: number): readonly Call[] {
  const calls: Call[] = [];
  const grouped = new Map<string, SlotState[]>();
  for (const slot of state.slots.values()) {
    const { scheduled } = slot;
    if (!scheduled || slot.current || slot.notTaken) continue;
    if (state.phase === 'rest' ? slot.slot.phase !== 'rest' : slot.slot.phase === 'rest') continue;
    if (now > scheduled.missed) continue;
    if (scheduled.optional && now < scheduled.opens) continue;
    if (derivedRatio(state.slots, slot) !== undefined) continue;
    const breath = `${slot.slot.phase}/${slot.slot.stage ?? ''}/${slot.slot.mark}/${scheduled.due}/${groupOf(slot.slot.quantity)}`;
    grouped.set(breath, [...(grouped.get(breath) ?? []), slot]);
  }
  for (const slots of grouped.values()) {
    const first = slots[0]?.scheduled;
    if (!first) continue;
    const status = now < first.opens ? 'to-come' : now <= first.late ? 'open' : 'late';
    calls.push({ kind: 'take', slots, label: callLabel(slots), opens: first.opens, due: first.due, until: first.late, status });
  }
  const next = nextStage(state);
  if (next) {
    const status = now < next.due - SET_OPENS_BEFORE ? 'to-come' : now <= next.due + 5_000 ? 'open' : 'late';
    calls.push({ kind: 'set', stage: next.number, settings: next.settings, ...(next.says === undefined ? {} : { says: next.says }), due: next.due, status });
  }
  const rank = (call: Call): number => (call.status === 'to-come' ? 1 : 0);
  return calls.sort((a, b) => rank(a) - rank(b) || a.due - b.due || (a.kind === 'set' ? -1 : b.kind === 'set' ? 1 : 0));
}

/** The next stage by the sheet, and when it is due to be set; undefined outside Exercise, in the last stage, and once the sheet's cap is reached. */
export function nextStage(state: SessionState): { readonly number: number; readonly due: number; readonly settings: Settings; readonly says?: string } | undefined {
  const present = state.stages.at(-1);
  if (state.phase !== 'exercise' || !present || !state.next || endPointOf(state)?.reached === 'cap') return undefined;
  return { number: state.next.number, due: present.ends, settings: state.next.settings ?? {}, ...(state.next.says === undefined ? {} : { says: state.next.says }) };
}

function groupOf(quantity: ReadingQuantity): string {
  if (quantity === 'systolic' || quantity === 'diastolic') return 'pressure';
  if (gasQuantities.includes(quantity)) return 'gas';
  if (bagQuantities.includes(quantity)) return 'bag';
  return quantity;
}

function callLabel(slots: readonly SlotState[]): string {
  const quantities = slots.map((slot) => slot.slot.quantity);
  const first = quantities[0];
  if (first === undefined) return '';
  const group = groupOf(first);
  if (group === 'pressure') return 'Blood pressure';
  if (group === 'bag') return `Bag: ${quantities.map((quantity) => readingQuantities[quantity].short).join(', ')}`;
  if (group === 'gas') return `Gas: ${quantities.map((quantity) => readingQuantities[quantity].short).join(', ')}`;
  return readingQuantities[first].label;
}
