/** The sheet as rows, for the window, for paper and for export: one row a minute, a band a stage. */
import { formatClock } from '../clock-text.ts';
import { unitOf } from '../units/units.ts';
import { readingQuantities, settingQuantities, type ReadingQuantity, type SettingQuantity } from '../vocabulary.ts';
import { derivedRatio, lateBy, slotStatus, type SlotStatus } from './calls.ts';
import { slotKey, type Slot } from './events.ts';
import type { SessionState, Settings, SlotState, StageState } from './state.ts';
import { stageLength } from './schedule.ts';

export type Column = 'pressure' | Exclude<ReadingQuantity, 'systolic' | 'diastolic'>;

export interface Cell {
  readonly column: Column;
  /** The slots that the cell stands for (pressure: two). */
  readonly slots: readonly Slot[];
  readonly keys: readonly string[];
  /** What is shown; empty where nothing stands. */
  readonly text: string;
  readonly status: SlotStatus | 'none';
  /** Earlier values that were amended or struck, oldest first, as typed. */
  readonly earlier: readonly string[];
  /** Late by this many milliseconds. */
  readonly late: number;
  /** When it was taken, where that is not the row's own time (pressure in the middle of a minute), `m:ss`. */
  readonly takenAt?: string;
  readonly reason?: string;
  /** Two authors' values that are not the same: "131 TN, 137 MO". */
  readonly differ?: string;
}

export interface SheetRow {
  readonly kind: 'row' | 'band';
  readonly key: string;
  readonly phase: 'rest' | 'exercise' | 'recovery';
  readonly stage?: number;
  /** "Rest", "3:00"; for a band "Stage 2". */
  readonly label: string;
  /** For a band: "4.0 km/h, 12 % · changed 3:02 · hand on the rail". */
  readonly text?: string;
  /** Session time of the row. */
  readonly at: number;
  readonly cells: readonly Cell[];
  readonly notes: readonly string[];
}

/** The columns that this session's sheet asks for, in the order of a lab sheet. */
export function columnsOf(state: SessionState): readonly Column[] {
  const asked = new Set<ReadingQuantity>([...state.slots.values()].map((slot) => slot.slot.quantity));
  for (const rule of [...state.sheet.rest.readings, ...state.sheet.exercise.readings, ...state.sheet.recovery.readings]) for (const quantity of rule.take) asked.add(quantity);
  const all: readonly Column[] = ['heart-rate', 'pulse-count', 'pressure', 'rpe', 'bag-volume', 'bag-time', 'bag-temperature', 'feo2', 'feco2', 'vo2', 'vco2', 've', 'rer'];
  return all.filter((column) => quantitiesOf(column).some((quantity) => asked.has(quantity)));
}

/** The quantities that one column of the sheet holds; pressure holds two. */
export function quantitiesOf(column: Column): readonly ReadingQuantity[] {
  return column === 'pressure' ? ['systolic', 'diastolic'] : [column];
}

/** Settings in words, in the units in which they were planned or typed: "2.5 mph, 12 %". */
export function settingsText(settings: Settings, prefer: Partial<Record<SettingQuantity, (value: number) => string>> = {}): string {
  return (Object.keys(settingQuantities) as SettingQuantity[])
    .flatMap((name) => {
      const setting = settings[name];
      if (!setting) return [];
      return [prefer[name]?.(setting.value) ?? `${setting.typed} ${unitOf(setting.unit).label}`];
    })
    .join(', ');
}

/** All rows up to `now` and the running stage's to come, in order. */
export function sheetRows(state: SessionState, now: number, prefer: Parameters<typeof settingsText>[1] = {}): readonly SheetRow[] {
  const columns = columnsOf(state);
  const slots = [...state.slots.values()];
  const rows: SheetRow[] = [];
  const rest = slots.filter((slot) => slot.slot.phase === 'rest');
  if (state.starts.rest !== undefined) rows.push(row(state, { key: 'rest', phase: 'rest', label: 'Rest', at: state.starts.rest, slots: rest, columns, now, until: state.starts.exercise ?? Infinity, start: state.starts.rest }));

  const start = state.starts.exercise;
  if (start !== undefined) {
    for (const [index, stage] of state.stages.entries()) {
      rows.push(band(state, stage, prefer));
      const until = state.stages[index + 1]?.changed ?? state.stop?.taken ?? Infinity;
      const mine = slots.filter((slot) => slot.slot.phase === 'exercise' && slot.slot.stage === stage.number);
      // The end of a stage and its last minute are one row; a held stage ends in a later minute.
      const endMinute = `m${Math.round(stageLength(state.sheet) / 60_000) + stage.repeats}`;
      const groups = new Map<string, SlotState[]>();
      for (const slot of mine) {
        const mark = slot.slot.mark === 'end' ? endMinute : slot.slot.mark;
        groups.set(mark, [...(groups.get(mark) ?? []), slot]);
      }
      let previous = stage.changed;
      for (const [mark, group] of [...groups.entries()].sort((a, b) => rowTime(a[1]) - rowTime(b[1]))) {
        const at = mark === endMinute ? stage.ends : rowTime(group);
        rows.push(row(state, { key: `s${stage.number}/${mark}`, phase: 'exercise', stage: stage.number, label: mark === 'stop' ? `${formatClock(at - start)} stop` : formatClock(at - start), at, slots: group, columns, now, until: at === stage.ends ? until : at, since: previous, start }));
        previous = at;
      }
    }
  }
  const recovery = state.starts.recovery;
  if (recovery !== undefined) {
    const mine = slots.filter((slot) => slot.slot.phase === 'recovery');
    const groups = new Map<string, SlotState[]>();
    for (const slot of mine) groups.set(slot.slot.mark, [...(groups.get(slot.slot.mark) ?? []), slot]);
    rows.push({ kind: 'band', key: 'recovery', phase: 'recovery', label: 'Recovery', text: state.stop?.reason === undefined ? `stopped ${formatClock(recovery - (start ?? recovery))}` : `stopped ${formatClock(recovery - (start ?? recovery))}, ${state.stop.reason}`, at: recovery, cells: [], notes: [] });
    let previous = recovery;
    const end = state.starts.closed ?? Infinity;
    for (const [mark, group] of [...groups.entries()].sort((a, b) => rowTime(a[1]) - rowTime(b[1]))) {
      const at = /^m\d+$/.test(mark) ? recovery + Number(mark.slice(1)) * 60_000 : rowTime(group);
      const written = group.some((slot) => slot.readings.length > 0 || slot.notTaken);
      if (!written && (at > end || (state.starts.closed === undefined && at > now + 90_000) || (state.way === 'paper' && at > now))) continue;
      rows.push(row(state, { key: `r/${mark}`, phase: 'recovery', label: formatClock(at - recovery), at, slots: group, columns, now, until: at, since: previous, start: recovery }));
      previous = at;
    }
  }
  return rows;
}

/** When a row's readings are due by the schedule; for readings outside it, when they were taken. */
function rowTime(slots: readonly SlotState[]): number {
  const minute = slots.find((slot) => slot.slot.mark.startsWith('m')) ?? slots[0];
  return minute?.scheduled?.due ?? minute?.readings[0]?.taken ?? 0;
}

function band(state: SessionState, stage: StageState, prefer: Parameters<typeof settingsText>[1]): SheetRow {
  const parts = [settingsText(stage.actual, prefer)];
  if (stage.differsFromPlan) parts.push(`planned ${settingsText(stage.planned, prefer)}`);
  parts.push(stage.assumed ? `taken as changed ${formatClock(stage.changedAt)}` : `changed ${formatClock(stage.changedAt)}`);
  if (stage.lateBy > 0) parts.push(`${Math.round(stage.lateBy / 1000)} s late`);
  if (stage.chosen !== undefined) parts.push(stage.chosen);
  if (stage.steady !== undefined && stage.steady.state !== 'pending') parts.push(stage.steady.says);
  if (stage.gait) parts.push(stage.gait);
  if (stage.handrail) parts.push('hand on the rail');
  return { kind: 'band', key: `s${stage.number}`, phase: 'exercise', stage: stage.number, label: `Stage ${stage.number}`, text: parts.filter((part) => part !== '').join(' · '), at: stage.changed, cells: [], notes: [] };
}

interface RowOf {
  readonly key: string;
  readonly phase: SheetRow['phase'];
  readonly stage?: number;
  readonly label: string;
  readonly at: number;
  readonly slots: readonly SlotState[];
  readonly columns: readonly Column[];
  readonly now: number;
  /** Notes after `since` and up to `until` belong to this row. */
  readonly since?: number;
  readonly until: number;
  readonly start: number;
}

function row(state: SessionState, of: RowOf): SheetRow {
  const cells = of.columns.map((column) => cell(state, of, column));
  const within = (taken: number): boolean => taken > (of.since ?? -Infinity) && taken <= Math.max(of.until, of.at);
  const notes = [
    ...state.symptoms.filter((noted) => within(noted.taken) && !noted.struck).map((noted) => `symptom: ${noted.text}`),
    ...state.notes.filter((noted) => within(noted.taken) && !noted.struck).map((noted) => noted.text),
    ...cells.flatMap((one) => (one.reason === undefined ? [] : [one.reason])),
    ...of.slots.flatMap((slot) => (slot.current?.note === undefined ? [] : [slot.current.note])),
  ];
  if (of.phase === 'recovery') {
    const posture = state.postures.filter((seen) => within(seen.taken)).at(-1);
    if (posture) notes.unshift(posture.posture);
  }
  return { kind: 'row', key: of.key, phase: of.phase, ...(of.stage === undefined ? {} : { stage: of.stage }), label: of.label, at: of.at, cells, notes: [...new Set(notes)] };
}

function cell(state: SessionState, of: RowOf, column: Column): Cell {
  const wanted = quantitiesOf(column);
  const slots = wanted.flatMap((quantity) => of.slots.filter((slot) => slot.slot.quantity === quantity));
  if (slots.length === 0) return { column, slots: [], keys: [], text: '', status: 'none', earlier: [], late: 0 };
  const first = slots[0] as SlotState;
  const ratio = derivedRatio(state.slots, first);
  if (ratio !== undefined) return { column, slots: [first.slot], keys: [first.key], text: ratio.toFixed(2), status: 'taken', earlier: [], late: 0 };
  const known = slots.filter((slot) => slot.current !== undefined);
  const statuses = slots.map((slot) => slotStatus(slot, of.now));
  const status = statuses.find((one) => one === 'open' || one === 'late' || one === 'missed') ?? statuses[0] ?? 'none';
  const takenAt = known[0]?.current && Math.abs(known[0].current.taken - of.at) > 15_000 && column === 'pressure' ? formatClock(known[0].current.taken - of.start) : undefined;
  const differing = slots.filter((slot) => slot.differ);
  const standing = (slot: SlotState): string => slot.readings.filter((reading) => !reading.struck && reading.amendedBy === undefined).map((reading) => `${reading.typed} ${reading.author}`).join(', ');
  return {
    column,
    slots: slots.map((slot) => slot.slot),
    keys: slots.map((slot) => slotKey(slot.slot)),
    text: known.length === 0 ? '' : column === 'pressure' ? slots.map(display).join('/') : inOrderOfTime(known).map(display).join(', '),
    status,
    earlier: first.readings.filter((reading) => reading.struck || reading.amendedBy !== undefined).map((reading) => (column === 'pressure' && reading.heard ? reading.heard : reading.typed)),
    late: Math.max(0, ...slots.map(lateBy)),
    ...(takenAt === undefined ? {} : { takenAt }),
    ...(first.notTaken === undefined || known.length > 0 ? {} : { reason: first.notTaken.reason }),
    ...(differing.length === 0 ? {} : { differ: differing.map(standing).join('; ') }),
  };
}

/** Several readings of one quantity in one row (a second resting pulse) are shown in the order in which they were taken. */
function inOrderOfTime(slots: readonly SlotState[]): readonly SlotState[] {
  return slots.toSorted((a, b) => (a.current?.taken ?? 0) - (b.current?.taken ?? 0));
}

/** A reading in its quantity's own unit, with the sheet's decimals; as typed where it is not a number. */
function display(slot: SlotState): string {
  const { current } = slot;
  if (!current) return '–';
  return current.value === undefined ? current.typed : current.value.toFixed(readingQuantities[slot.slot.quantity].decimals);
}
