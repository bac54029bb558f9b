/**
 * Readings that are offered and not typed: the strap's median, and the number that the participant pointed at. Each answers
 * an open call of its kind, and is written only when the recorder accepts it.
 */
import { formatClock } from '../clock-text.ts';
import { strapOffer, type StrapOffer, type StrapSample } from '../strap/window.ts';
import type { ReadingQuantity } from '../vocabulary.ts';
import type { Call } from './calls.ts';
import { placeText } from './entry-line.ts';
import type { SessionDraft } from './events.ts';
import { judgeReading } from './plausible.ts';
import type { SessionState, SlotState } from './state.ts';

export interface Offered {
  /** "heart rate 147 /min, stage 3, minute 2: median of 14 packets". */
  readonly says: string;
  /** An unusual value: it is accepted with a second press. */
  readonly ask?: string;
  readonly draft: Extract<SessionDraft, { kind: 'reading-taken' }>;
}

/** The first call that is open or late for a quantity. */
function openSlot(calls: readonly Call[], quantity: ReadingQuantity): SlotState | undefined {
  for (const call of calls) {
    if (call.kind !== 'take' || call.status === 'to-come') continue;
    const slot = call.slots.find((one) => one.slot.quantity === quantity);
    if (slot) return slot;
  }
  return undefined;
}

/**
 * The strap's median for the heart rate that is called for.
 * The moment that it describes is that of the last packet in the window, also where hands come to it later.
 * @param calls the session's calls at `now`; @param now session time.
 * @returns undefined where no heart rate is called for, or too little came in its window.
 */
export function strapOffered(state: SessionState, calls: readonly Call[], samples: readonly StrapSample[], now: number): (Offered & { readonly offer: StrapOffer }) | undefined {
  const slot = openSlot(calls, 'heart-rate');
  const scheduled = slot?.scheduled;
  if (!slot || !scheduled) return undefined;
  const offer = strapOffer(samples, scheduled.opens, Number.isFinite(scheduled.late) ? scheduled.due : scheduled.opens, now);
  if (!offer) return undefined;
  const typed = String(offer.rate);
  const judged = judgeReading(state, slot.slot, 'heart-rate', typed, '/min');
  if (judged.level === 'refuse') return undefined;
  const start = state.starts[slot.slot.phase] ?? 0;
  const note = `strap: median of ${offer.packets} packets, ${formatClock(offer.from - start)} to ${formatClock(offer.to - start)}`;
  const data = { slot: slot.slot, typed, unit: '/min', source: 'strap' as const, note, ...(judged.level === 'ask' ? { confirmed: true } : {}) };
  return {
    offer,
    says: `heart rate ${typed} /min, ${placeText(slot.slot)}: median of ${offer.packets} packets of the strap`,
    ...(judged.level === 'ask' ? { ask: judged.message.replace('Enter again', 'Press again') } : {}),
    draft: { kind: 'reading-taken', data, taken: Math.round(offer.to) },
  };
}

/**
 * The number that the participant pointed at, for the RPE that is called for.
 * @param number 6 to 20; @returns undefined where no RPE is called for.
 */
export function pointedOffered(calls: readonly Call[], number: number): Offered | undefined {
  const slot = openSlot(calls, 'rpe');
  if (!slot) return undefined;
  return { says: `RPE ${number}, ${placeText(slot.slot)}: pointed at`, draft: { kind: 'reading-taken', data: { slot: slot.slot, typed: String(number), unit: '{score}', note: 'pointed at on the second window' } } };
}
