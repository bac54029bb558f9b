/** Aiming the entry line at a cell of the sheet, by arrows or by a click. */
import type { Cell, Column, SheetRow } from '../../core/session/rows.ts';
import type { Slot } from '../../core/session/events.ts';
import type { Direction } from './keys.ts';

export interface Aimed {
  readonly row: SheetRow;
  readonly cell: Cell;
  readonly slot: Slot;
}

const aimable = (cell: Cell): boolean => cell.slots.length > 0;
const isRow = (row: SheetRow): boolean => row.kind === 'row' && row.cells.some(aimable);

/** The cell that answers a slot; undefined when the sheet has no such place any more. */
export function aimedAt(rows: readonly SheetRow[], key: string | undefined): Aimed | undefined {
  if (key === undefined) return undefined;
  for (const row of rows) {
    const cell = row.cells.find((one) => one.keys.includes(key));
    const slot = cell?.slots[0];
    if (cell && slot) return { row, cell, slot };
  }
  return undefined;
}

/**
 * The key of the cell one step on. Up and down keep to the column where it has a place; left and right to the row.
 * @param from the cell aimed at, else the one that is called for; without either, the last row that has a place.
 */
export function step(rows: readonly SheetRow[], from: string | undefined, direction: Direction): string | undefined {
  const grid = rows.filter(isRow);
  const at = aimedAt(grid, from);
  if (!at) return grid.at(-1)?.cells.find(aimable)?.keys[0];
  if (direction === 'left' || direction === 'right') {
    const cells = at.row.cells.filter(aimable);
    const index = cells.indexOf(at.cell) + (direction === 'right' ? 1 : -1);
    return (cells[index] ?? at.cell).keys[0];
  }
  const order = direction === 'down' ? grid.slice(grid.indexOf(at.row) + 1) : grid.slice(0, grid.indexOf(at.row)).toReversed();
  return cellIn(order, at.cell.column)?.keys[0] ?? at.cell.keys[0];
}

function cellIn(rows: readonly SheetRow[], column: Column): Cell | undefined {
  for (const row of rows) {
    const cell = row.cells.find((one) => one.column === column && aimable(one));
    if (cell) return cell;
  }
  return undefined;
}
