/**
 * What a pair is told at the end: what was late, missed or set otherwise than planned, with how much and where. Facts only, the
 * good ones first; nobody is graded here.
 */
import { formatClock } from '../clock-text.ts';
import { lateBy } from '../session/calls.ts';
import type { SessionState, SlotState, StageState } from '../session/state.ts';
import { unitOf } from '../units/units.ts';
import { readingQuantities, settingQuantities, type SettingQuantity } from '../vocabulary.ts';

export interface DebriefItem {
  readonly kind: 'taken-late' | 'missed' | 'not-taken' | 'differs' | 'set-late' | 'set-otherwise' | 'handrail' | 'not-steady';
  /** One plain sentence. */
  readonly text: string;
  /** Session time, ms; for order and for finding the place. */
  readonly at: number;
  readonly slots: readonly string[];
}

export interface Debrief {
  /** Readings that the sheet asked for by the end, optional ones left out. */
  readonly asked: number;
  readonly onTime: number;
  readonly late: number;
  /** With a reason written down. */
  readonly notTaken: number;
  /** Without a word. */
  readonly missed: number;
  readonly stages: { readonly set: number; readonly late: number; readonly otherwise: number };
  /** In the order of time. */
  readonly items: readonly DebriefItem[];
  /** The whole in one or two sentences. */
  readonly summary: string;
}

/** Works on any session, finished or not: what is not due yet is not asked. */
export function debrief(state: SessionState): Debrief {
  const end = endOf(state);
  const asked = [...state.slots.values()].filter((slot) => slot.scheduled && !slot.scheduled.optional && (slot.current !== undefined || slot.notTaken !== undefined || Math.min(slot.scheduled.missed, lastChance(state, slot)) < end));
  const late = asked.filter((slot) => lateBy(slot) > 0);
  const notTaken = asked.filter((slot) => !slot.current && slot.notTaken);
  const missed = asked.filter((slot) => !slot.current && !slot.notTaken);
  const items = [
    ...together(late).map(([first, slots]): DebriefItem => ({ kind: 'taken-late', text: `${nameOf(slots)}: taken ${seconds(lateBy(first))} after it was due.`, at: first.current?.taken ?? 0, slots: keys(slots) })),
    ...together(notTaken).map(([first, slots]): DebriefItem => ({ kind: 'not-taken', text: `${nameOf(slots)}: not taken, "${first.notTaken?.reason ?? ''}".`, at: first.scheduled?.due ?? 0, slots: keys(slots) })),
    ...together(missed).map(([first, slots]): DebriefItem => ({ kind: 'missed', text: `${nameOf(slots)}: nothing was written down.`, at: first.scheduled?.due ?? 0, slots: keys(slots) })),
    ...[...state.slots.values()].filter(({ differ }) => differ).map((slot): DebriefItem => ({ kind: 'differs', text: `${nameOf([slot])}: two people wrote different values; both stand.`, at: slot.current?.taken ?? 0, slots: [slot.key] })),
    ...state.stages.flatMap(stageItems),
  ].toSorted((a, b) => a.at - b.at);
  const stages = { set: state.stages.length, late: state.stages.filter((stage) => stage.lateBy > 0).length, otherwise: state.stages.filter((stage) => stage.differsFromPlan).length };
  const onTime = asked.length - late.length - notTaken.length - missed.length;
  return { asked: asked.length, onTime, late: late.length, notTaken: notTaken.length, missed: missed.length, stages, items, summary: summaryOf(asked.length, onTime, late.length, notTaken.length, missed.length, stages) };
}

/** The end of the session, or as far as anything is known. */
function endOf(state: SessionState): number {
  if (state.starts.closed !== undefined) return state.starts.closed;
  let end = state.starts.recovery ?? state.stages.at(-1)?.changed ?? state.starts.rest ?? 0;
  for (const { current } of state.slots.values()) end = Math.max(end, current?.taken ?? 0);
  return end;
}

/** Resting readings have until exercise begins. */
function lastChance(state: SessionState, slot: SlotState): number {
  return slot.slot.phase === 'rest' ? (state.starts.exercise ?? Infinity) : Infinity;
}

/** Readings of one moment that had the same fate are told in one sentence. */
function together(slots: readonly SlotState[]): readonly (readonly [SlotState, readonly SlotState[]])[] {
  const groups = new Map<string, SlotState[]>();
  for (const slot of slots) {
    const { quantity } = slot.slot;
    const kind = quantity === 'systolic' || quantity === 'diastolic' ? 'pressure' : quantity === 'heart-rate' || quantity === 'rpe' ? quantity : 'gas';
    const key = `${slot.slot.phase}/${slot.slot.stage ?? ''}/${slot.slot.mark}/${kind}/${slot.current?.taken ?? slot.notTaken?.reason ?? ''}`;
    groups.set(key, [...(groups.get(key) ?? []), slot]);
  }
  return [...groups.values()].flatMap((group) => (group[0] ? [[group[0], group] as const] : []));
}

const keys = (slots: readonly SlotState[]): readonly string[] => slots.map(({ key }) => key);

function nameOf(slots: readonly SlotState[]): string {
  const quantities = slots.map(({ slot }) => slot.quantity);
  const first = slots[0];
  if (!first) return '';
  const pressure = quantities.includes('systolic') && quantities.includes('diastolic');
  const what = pressure ? 'Blood pressure' : quantities.map((quantity) => (quantities.length > 1 ? readingQuantities[quantity].short : readingQuantities[quantity].label)).join(', ');
  return `${what}, ${placeOf(first)}`;
}

function placeOf({ slot: { phase, stage, mark } }: SlotState): string {
  if (phase === 'rest') return 'at rest';
  const minute = /^m(\d+)$/.exec(mark)?.[1];
  if (phase === 'recovery') return minute === '0' ? 'at once after the stop' : minute === undefined ? `recovery ${mark.replace('@', '')}` : `recovery minute ${minute}`;
  if (mark === 'stop') return 'at the stop';
  if (mark === 'end') return `end of stage ${stage}`;
  return minute === undefined ? `stage ${stage}, ${mark.replace('@', '')}` : `stage ${stage}, minute ${minute}`;
}

function stageItems(stage: StageState): DebriefItem[] {
  const items: DebriefItem[] = [];
  const at = stage.changed;
  const when = formatClock(stage.changedAt);
  if (stage.lateBy > 0) items.push({ kind: 'set-late', text: `Stage ${stage.number}: set at ${when}, ${seconds(stage.lateBy)} after its time.`, at, slots: [] });
  if (stage.differsFromPlan) {
    const other = (Object.keys({ ...stage.planned, ...stage.actual }) as SettingQuantity[])
      .filter((name) => stage.planned[name]?.value !== stage.actual[name]?.value)
      .map((name) => `${settingQuantities[name].label.toLowerCase()} ${said(stage.actual[name])}, planned ${said(stage.planned[name])}`);
    items.push({ kind: 'set-otherwise', text: `Stage ${stage.number}: ${other.join('; ')}. The predicted value follows what was really set.`, at: at + 1, slots: [] });
  }
  if (stage.handrail) items.push({ kind: 'handrail', text: `Stage ${stage.number}: a hand held the rail, so measured and predicted cannot be compared there.`, at: at + 2, slots: [] });
  if (stage.steady?.state === 'not-steady') items.push({ kind: 'not-steady', text: `Stage ${stage.number}: ${stage.steady.says}.`, at: at + 3, slots: [] });
  return items;
}

const said = (setting: { readonly typed: string; readonly unit: Parameters<typeof unitOf>[0] } | undefined): string => (setting ? `${setting.typed} ${unitOf(setting.unit).label}` : 'nothing');

const seconds = (milliseconds: number): string => (milliseconds < 60_000 ? `${Math.round(milliseconds / 1000)} s` : `${formatClock(milliseconds)} min`);

function summaryOf(asked: number, onTime: number, late: number, notTaken: number, missed: number, stages: Debrief['stages']): string {
  if (asked === 0) return 'No reading has been due yet.';
  const rest = [late > 0 ? `${late} late` : '', notTaken > 0 ? `${notTaken} not taken, with a reason` : '', missed > 0 ? `${missed} without an entry` : ''].filter((part) => part !== '');
  const readings = rest.length === 0 ? `All ${asked} readings were taken in time.` : `${onTime} of ${asked} readings were taken in time; ${rest.join(', ')}.`;
  const odd = [stages.late > 0 ? `${stages.late} of ${stages.set} stages ${stages.late === 1 ? 'was' : 'were'} set late` : '', stages.otherwise > 0 ? `${stages.otherwise} stood at another value than planned` : ''].filter((part) => part !== '');
  return odd.length === 0 ? readings : `${readings} ${odd.join('; ')}.`;
}
