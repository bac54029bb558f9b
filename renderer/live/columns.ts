/** Heads of the sheet's columns, and what a cell says about itself in words. */
import { unitOf } from '../../core/units/units.ts';
import { readingQuantities } from '../../core/vocabulary.ts';
import type { Cell, Column } from '../../core/session/rows.ts';

export interface ColumnHead {
  readonly column: Column;
  readonly label: string;
  readonly unit: string;
}

const gas: readonly Column[] = ['vo2', 'vco2', 've', 'rer'];

export function columnHeads(columns: readonly Column[]): readonly ColumnHead[] {
  return columns.map((column) => {
    if (column === 'pressure') return { column, label: 'Pressure', unit: unitOf(readingQuantities.systolic.unit).label };
    const { label, short, unit } = readingQuantities[column];
    return { column, label: gas.includes(column) ? short : label, unit: unitOf(unit).label };
  });
}

export interface CellWords {
  readonly name: string;
  readonly struck: readonly string[];
  /** Small, before the value: "9 s late", "2:31". */
  readonly before?: string;
  readonly text: string;
  /** After it, or in place of it: "not taken", "missed", "differ". */
  readonly state?: string;
  readonly quiet: boolean;
  readonly spoken: string;
}

export function cellWords(cell: Cell): CellWords {
  const name = cell.column === 'pressure' ? 'Pressure' : readingQuantities[cell.column].label;
  // A pressure is too wide for more than its time; that it was late stands in the notes.
  const before = cell.late > 0 && cell.column !== 'pressure' ? `${Math.round(cell.late / 1000)} s late` : cell.takenAt;
  const states: Partial<Record<Cell['status'], string>> = { 'not-taken': 'not taken', missed: 'missed', late: 'late' };
  const state = cell.differ !== undefined ? 'differ' : states[cell.status];
  return {
    name,
    struck: cell.earlier,
    // Beside a struck value there is no room for it; the notes of the row say it then.
    ...(before === undefined || cell.text === '' || cell.earlier.length > 0 ? {} : { before }),
    text: cell.text,
    ...(state === undefined || (cell.text !== '' && cell.differ === undefined) ? {} : { state }),
    quiet: state === 'missed',
    spoken: [cell.text, cell.text === '' ? (state ?? (cell.status === 'open' ? 'due now' : 'empty')) : '', before ?? '', cell.earlier.length > 0 ? `earlier ${cell.earlier.join(', ')}` : '', cell.differ === undefined ? '' : `differ: ${cell.differ}`].filter(Boolean).join(', '),
  };
}
