/** A session's values as a long table: one row for everything that was ever written, wrong and struck values too. */
import type { Entered, Reading, SessionState, SlotState } from '../session/state.ts';
import { detailQuantities, isDetailId, readingQuantities, settingQuantities, type DetailId, type SettingQuantity } from '../vocabulary.ts';
import { csvOf, type Row } from './csv.ts';

/** Columns of the readings file; `dictionary.ts` says what each means. */
export const readingColumns = ['session', 'participant', 'sheet', 'sheet_version', 'way', 'phase', 'stage', 'mark', 'quantity', 'value', 'unit', 'loinc', 'typed', 'typed_unit', 'status', 'phase_time_s', 'session_time_s', 'entered_s', 'late_s', 'author', 'note'] as const;
export type ReadingColumn = (typeof readingColumns)[number];
export type ReadingRow = Readonly<Partial<Record<ReadingColumn, string | number>>>;

const seconds = (milliseconds: number): number => Math.round(milliseconds) / 1000;

/** Rows in the order of the sheet: head, settings of the stages, readings by phase and due time. */
export function readingRows(state: SessionState): readonly ReadingRow[] {
  const participant = state.details['participant-code']?.typed;
  const common: ReadingRow = { session: state.id, ...(participant === undefined ? {} : { participant }), sheet: state.sheet.id, sheet_version: state.sheet.version, way: state.way };
  const rows = [...detailRows(state), ...settingRows(state), ...[...state.slots.values()].flatMap((slot) => slotRows(state, slot))];
  return rows.map((row) => ({ ...common, ...row }));
}

/** The readings as CSV. */
export function readingsCsv(state: SessionState): string {
  return csvOf(readingColumns, readingRows(state) as readonly Row[]);
}

/** Value and unit in the quantity's own unit (UCUM), what was typed beside them. */
function entered(one: Entered, quantity: { readonly unit: string; readonly loinc?: string }): ReadingRow {
  return {
    ...(one.value === undefined ? {} : { value: one.value, unit: quantity.unit }),
    ...(quantity.loinc === undefined || one.value === undefined ? {} : { loinc: quantity.loinc }),
    typed: one.typed,
    typed_unit: one.unit,
    author: one.author,
  };
}

function detailRows(state: SessionState): readonly ReadingRow[] {
  const rowOf = (detail: string, one: Entered, status: string): ReadingRow => ({
    phase: 'prepare',
    quantity: detail,
    ...entered(one, isDetailId(detail) ? detailQuantities[detail] : { unit: one.unit }),
    status,
    session_time_s: seconds(one.taken),
  });
  const earlier = state.detailHistory.map((one) => rowOf(one.detail, one, 'amended'));
  const standing = (Object.entries(state.details) as [DetailId, Entered][]).map(([detail, one]) => rowOf(detail, one, 'standing'));
  return [...earlier, ...standing];
}

/** What was really set, one row a stage and quantity, at the moment of the change. */
function settingRows(state: SessionState): readonly ReadingRow[] {
  return state.stages.flatMap((stage) =>
    (Object.keys(settingQuantities) as SettingQuantity[]).flatMap((name): ReadingRow[] => {
      const set = stage.actual[name];
      if (!set) return [];
      return [
        {
          phase: 'exercise',
          stage: stage.number,
          mark: 'setting',
          quantity: name,
          value: set.value,
          unit: settingQuantities[name].unit,
          typed: set.typed,
          typed_unit: set.unit,
          status: stage.assumed ? 'assumed' : 'standing',
          phase_time_s: seconds(stage.changedAt),
          session_time_s: seconds(stage.changed),
        },
      ];
    }),
  );
}

function slotRows(state: SessionState, slot: SlotState): readonly ReadingRow[] {
  const quantity = readingQuantities[slot.slot.quantity];
  const start = state.starts[slot.slot.phase] ?? 0;
  const place: ReadingRow = { phase: slot.slot.phase, ...(slot.slot.stage === undefined ? {} : { stage: slot.slot.stage }), mark: slot.slot.mark, quantity: slot.slot.quantity };
  const rows = slot.readings.map((reading): ReadingRow => {
    const late = slot.scheduled && Number.isFinite(slot.scheduled.late) ? Math.max(0, reading.taken - slot.scheduled.late) : 0;
    const notes = [reading.struck?.reason, reading.note].filter((text) => text !== undefined && text !== '');
    return {
      ...place,
      ...entered(reading, quantity),
      status: statusOf(slot, reading),
      phase_time_s: seconds(reading.taken - start),
      session_time_s: seconds(reading.taken),
      entered_s: seconds(reading.entered),
      ...(late > 0 ? { late_s: seconds(late) } : {}),
      ...(notes.length === 0 ? {} : { note: notes.join('; ') }),
    };
  });
  const given: readonly ReadingRow[] = slot.notTaken === undefined ? [] : [{ ...place, status: 'not-taken', author: slot.notTaken.author, note: slot.notTaken.reason }];
  return [...rows, ...given];
}

/** `second`: another author's reading for the same place, beside the one that counts. */
function statusOf(slot: SlotState, reading: Reading): string {
  if (reading.struck) return 'struck';
  if (reading.amendedBy !== undefined) return 'amended';
  return slot.current?.seq === reading.seq ? 'standing' : 'second';
}
