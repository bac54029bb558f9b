/** Words of the record's table. */
import { unitOf } from '../../core/units/units.ts';
import { readingQuantities } from '../../core/vocabulary.ts';
import type { Cell, Column } from '../../core/session/rows.ts';
import type { SessionState } from '../../core/session/state.ts';

/** Head of a column, and the unit under it. */
export function columnHead(column: Column): { readonly label: string; readonly unit: string } {
  if (column === 'pressure') return { label: 'Pressure', unit: unitOf('mm[Hg]').label };
  const { short, unit } = readingQuantities[column];
  return { label: short, unit: unitOf(unit).label };
}

export interface CellWords {
  /** Small words before the value: when it was taken, or how late. */
  readonly before: readonly string[];
  /** In place of a value. */
  readonly missing?: string;
}

/** A cell of a record that is over: nothing is open any more. */
export function cellWords(cell: Cell, way: SessionState['way']): CellWords {
  const before = [...(cell.takenAt === undefined ? [] : [cell.takenAt]), ...(cell.late > 0 ? [`${Math.round(cell.late / 1000)} s late`] : []), ...(cell.differ === undefined ? [] : [`differ: ${cell.differ}`])];
  if (cell.text !== '') return { before };
  if (cell.status === 'not-taken') return { before, missing: 'not taken' };
  if (cell.status === 'missed') return { before, missing: way === 'paper' ? 'not written' : 'missed' };
  return { before };
}
