/**
 * What the sheet asks without a dialog: a chip before the entry line says what the line is for, and numbered choices stand
 * under it. Readings go on meanwhile: what is not an answer is read as a reading.
 */
import { formatClock } from '../../core/clock-text.ts';
import { callsAt, type TakeCall } from '../../core/session/calls.ts';
import { slotKey, type SessionDraft, type Slot } from '../../core/session/events.ts';
import { placeText } from '../../core/session/entry-line.ts';
import { openHolds } from '../../core/session/holds.ts';
import type { SessionState } from '../../core/session/state.ts';
import { recoveryAt } from '../../core/recovery/tracker.ts';
import { postures, readingQuantities, type Posture, type ReadingQuantity } from '../../core/vocabulary.ts';

export type Asking =
  | { readonly about: 'symptom' | 'note' | 'why-stopped' | 'posture' | 'false-start' | 'abandon' }
  | { readonly about: 'not-taken'; readonly slots: readonly Slot[] }
  | { readonly about: 'strike'; readonly slot: Slot }
  /** Answers so far, for what takes more than one line. */
  | { readonly about: 'close'; readonly way?: 'handed-over' | 'early'; readonly initials?: string }
  | { readonly about: 'override'; readonly hold?: string; readonly initials?: string };

export interface Choice {
  readonly text: string;
  /** Set apart: a stop for a symptom takes another road. */
  readonly symptom?: boolean;
  /** Why it cannot be chosen now, in words. */
  readonly closed?: string;
}
export interface AskingView {
  /** On the chip before the line: "symptom", "why not taken". */
  readonly chip: string;
  readonly hint: string;
  readonly choices: readonly Choice[];
}
export type Answer =
  | { readonly state: 'empty' | 'incomplete' | 'refused'; readonly says: string }
  | { readonly state: 'ready'; readonly says: string; readonly drafts: readonly SessionDraft[] }
  /** More is asked. */
  | { readonly state: 'on'; readonly says: string; readonly next: Asking };

/** Said so often that a digit is enough. Common practice [C]. */
const NOT_TAKEN = ['not heard', 'cuff slipped', 'the moment was missed', 'participant could not answer', 'equipment failed'] as const;
const STRUCK = ['misheard', 'typed in the wrong place', 'not measured properly'] as const;

export function viewOf(state: SessionState, asking: Asking, now: number): AskingView {
  switch (asking.about) {
    case 'symptom':
      return { chip: 'Symptom', hint: 'what is said or seen', choices: [] };
    case 'note':
      return { chip: 'Note', hint: 'what the sheet should say', choices: [] };
    case 'false-start':
      return { chip: 'False start', hint: 'why; Rest is kept, the test begins anew', choices: [] };
    case 'abandon':
      return { chip: 'No test', hint: 'type yes to close this session without a test', choices: [] };
    case 'why-stopped':
      return { chip: 'Why it stopped', hint: 'type the number', choices: state.sheet.stop.reasons.map(({ text, symptom }) => ({ text, symptom })) };
    case 'posture':
      return { chip: 'Posture now', hint: 'type the number', choices: posturesFor(state).map((text) => ({ text })) };
    case 'not-taken':
      return { chip: `${slotsInWords(asking.slots)} not taken`, hint: 'why: the number, or words', choices: NOT_TAKEN.map((text) => ({ text })) };
    case 'strike':
      return { chip: `Strike ${readingAt(state, asking.slot)?.typed ?? ''}`, hint: 'why: the number, or words', choices: STRUCK.map((text) => ({ text })) };
    case 'close':
      if (asking.way === 'handed-over') return { chip: 'Handed over to', hint: 'initials, or a name of the service', choices: [] };
      if (asking.way === 'early') return { chip: asking.initials === undefined ? 'Leaving early' : `Leaving early, ${asking.initials}`, hint: asking.initials === undefined ? "the instructor's initials" : 'the reason', choices: [] };
      return { chip: 'Close the session', hint: 'type the number', choices: closings(state, now).map(({ text, closed }) => ({ text, ...(closed === undefined ? {} : { closed }) })) };
    case 'override': {
      const holds = overridable(state);
      if (asking.hold === undefined) return { chip: 'Set aside', hint: 'type the number', choices: holds.map((hold) => ({ text: hold.text })) };
      return { chip: asking.initials === undefined ? `Set aside "${holds.find((hold) => hold.id === asking.hold)?.text ?? asking.hold}"` : `Set aside, ${asking.initials}`, hint: asking.initials === undefined ? "the instructor's initials" : 'the reason; the worksheet shows it', choices: [] };
    }
  }
}

/** @returns undefined where the text is no answer to what is asked, and is to be read as a reading. */
export function answerTo(state: SessionState, asking: Asking, line: string, now: number): Answer | undefined {
  const text = line.trim();
  const view = viewOf(state, asking, now);
  const number = /^\d{1,2}$/.test(text) ? Number(text) : undefined;
  const choice = number === undefined ? undefined : view.choices[number - 1];
  if (text === '') return { state: 'empty', says: view.hint };
  if (choice?.closed !== undefined) return { state: 'refused', says: `${choice.text}: ${choice.closed}` };
  const ready = (says: string, ...drafts: readonly SessionDraft[]): Answer => ({ state: 'ready', says, drafts });

  switch (asking.about) {
    case 'symptom':
      return ready(`notes a symptom: "${text}"`, { kind: 'symptom-noted', data: { text } });
    case 'note':
      return ready(`notes "${text}"`, { kind: 'note-added', data: { text } });
    case 'false-start':
      return ready(`strikes this start, "${text}"; Rest is kept`, { kind: 'exercise-struck', data: { reason: text } });
    case 'abandon':
      return text.toLowerCase() === 'yes' ? ready('closes this session without a test', { kind: 'session-closed', data: { outcome: 'abandoned' } }) : { state: 'incomplete', says: 'yes, or Esc to go on' };
    case 'why-stopped':
      return choice && ready(`stopped: ${choice.text.toLowerCase()}${choice.symptom ? ', the symptom road' : ''}`, { kind: 'stop-reason-given', data: { reason: choice.text, symptom: choice.symptom === true } });
    case 'posture': {
      const posture = number === undefined ? undefined : posturesFor(state)[number - 1];
      return posture && ready(`posture from now: ${posture}`, { kind: 'posture-changed', data: { posture } });
    }
    case 'not-taken': {
      const reason = choice?.text ?? text;
      return ready(`${slotsInWords(asking.slots)}, ${placeText(asking.slots[0])}: not taken, "${reason}"`, ...asking.slots.map((slot): SessionDraft => ({ kind: 'reading-not-taken', data: { slot, reason } })));
    }
    case 'strike': {
      const reason = choice?.text ?? text;
      const targets = struckTogether(state, asking.slot);
      if (targets.length === 0) return { state: 'refused', says: 'There is nothing to strike there.' };
      return ready(`strikes ${readingAt(state, asking.slot)?.typed ?? 'it'}, "${reason}"`, ...targets.map((target): SessionDraft => ({ kind: 'event-struck', data: { target, reason } })));
    }
    case 'close':
      return answerClosing(state, asking, text, number, now);
    case 'override': {
      if (asking.hold === undefined) {
        const hold = number === undefined ? undefined : overridable(state)[number - 1];
        return hold && { state: 'on', says: `sets aside "${hold.text}"; then initials and the reason`, next: { about: 'override', hold: hold.id } };
      }
      if (asking.initials === undefined) return { state: 'on', says: `initials ${text}; then the reason`, next: { ...asking, initials: text } };
      return ready(`sets it aside, ${asking.initials}: "${text}"`, { kind: 'hold-overridden', data: { hold: asking.hold, initials: asking.initials, reason: text } });
    }
  }
}

function answerClosing(state: SessionState, asking: Extract<Asking, { about: 'close' }>, text: string, number: number | undefined, now: number): Answer | undefined {
  if (asking.way === undefined) {
    const chosen = number === undefined ? undefined : closings(state, now)[number - 1];
    if (!chosen) return undefined;
    if (chosen.outcome === 'left') return { state: 'ready', says: 'closes the session: left, every criterion met', drafts: [{ kind: 'session-closed', data: { outcome: 'left' } }] };
    return { state: 'on', says: chosen.outcome === 'early' ? 'then initials and the reason' : 'then to whom', next: { about: 'close', way: chosen.outcome } };
  }
  if (asking.way === 'handed-over') return { state: 'ready', says: `closes the session: handed over to ${text}`, drafts: [{ kind: 'session-closed', data: { outcome: 'handed-over', to: text } }] };
  if (asking.initials === undefined) return { state: 'on', says: `initials ${text}; then the reason`, next: { ...asking, initials: text } };
  return { state: 'ready', says: `closes the session: left early, ${asking.initials}: "${text}"`, drafts: [{ kind: 'session-closed', data: { outcome: 'left', early: { initials: asking.initials, reason: text } } }] };
}

/** After a stop for a symptom lying with raised legs is offered first. */
function posturesFor(state: SessionState): readonly Posture[] {
  const first: Posture = 'lying, legs raised';
  return state.stop?.symptom === true ? [first, ...postures.filter((posture) => posture !== first)] : postures;
}

/** The three ways in which recovery ends. The people in the room decide; the program says what is met. */
function closings(state: SessionState, now: number): readonly { readonly text: string; readonly outcome: 'left' | 'handed-over' | 'early'; readonly closed?: string }[] {
  const recovery = recoveryAt(state, now);
  const open = recovery.criteria.filter((criterion) => criterion.state !== 'met').length;
  const closed = state.stop?.symptom ? 'after a stop for a symptom the instructor closes the session' : open > 0 ? `${open === 1 ? 'one criterion is' : `${open} criteria are`} not met` : 'not yet';
  return [
    { text: 'Left, every criterion met', outcome: 'left', ...(recovery.mayLeave ? {} : { closed }) },
    { text: 'Handed over to …', outcome: 'handed-over' },
    { text: state.stop?.symptom ? 'Left: instructor, initials and reason' : 'Left early: instructor, initials and reason', outcome: 'early' },
  ];
}

export function overridable(state: SessionState): readonly { readonly id: string; readonly text: string }[] {
  return openHolds(state).filter((hold) => hold.who === 'instructor');
}

/** What "not taken" would be about now: the cell that was chosen, else the present call, else the call missed last. */
export function notTakenNow(state: SessionState, now: number, aimed: Slot | undefined): readonly Slot[] {
  if (aimed) {
    const cell = state.slots.get(slotKey(aimed));
    if (cell?.current) return [];
    return aimed.quantity === 'systolic' ? [aimed, { ...aimed, quantity: 'diastolic' }].filter((slot) => state.slots.has(slotKey(slot))) : [aimed];
  }
  const open = callsAt(state, now).find((call): call is TakeCall => call.kind === 'take' && call.status !== 'to-come');
  if (open) return open.slots.filter((slot) => slot.scheduled?.optional !== true).map((slot) => slot.slot);
  const missed = [...state.slots.values()].filter((slot) => slot.scheduled && !slot.scheduled.optional && !slot.current && !slot.notTaken && now > slot.scheduled.missed);
  const latest = missed.toSorted((a, b) => (b.scheduled?.due ?? 0) - (a.scheduled?.due ?? 0))[0];
  return latest ? missed.filter((slot) => slot.scheduled?.due === latest.scheduled?.due && sameBreath(slot.slot.quantity, latest.slot.quantity)).map((slot) => slot.slot) : [];
}

function sameBreath(a: ReadingQuantity, b: ReadingQuantity): boolean {
  const pressures = ['systolic', 'diastolic'];
  return a === b || (pressures.includes(a) && pressures.includes(b));
}

/** The standing reading of a cell; pressures are struck as the pair that was heard. */
function struckTogether(state: SessionState, slot: Slot): readonly number[] {
  const pair = slot.quantity === 'systolic' || slot.quantity === 'diastolic' ? (['systolic', 'diastolic'] as const) : [slot.quantity];
  return pair.flatMap((quantity) => {
    const current = state.slots.get(slotKey({ ...slot, quantity }))?.current;
    return current ? [current.seq] : [];
  });
}

function readingAt(state: SessionState, slot: Slot): { readonly typed: string } | undefined {
  const current = state.slots.get(slotKey(slot))?.current;
  return current && { typed: current.heard ?? current.typed };
}

export function slotsInWords(slots: readonly Slot[]): string {
  const quantities = slots.map((slot) => slot.quantity);
  if (quantities.includes('systolic') && quantities.includes('diastolic') && quantities.length === 2) return 'blood pressure';
  return quantities.map((quantity) => (quantity in readingQuantities ? readingQuantities[quantity as ReadingQuantity].short : quantity)).join(', ');
}

/** "stopped at 8:41" in exercise time. */
export function stoppedAt(state: SessionState): string | undefined {
  return state.stop && formatClock(state.stop.taken - (state.starts.exercise ?? 0));
}
