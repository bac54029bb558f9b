/** What the checks of a lab sheet share: how faults are reported, and how units are read. */
import { dimensionOf, isUnitCode, unitFromText, unitOf, units, type Dimension, type UnitCode } from '../units/units.ts';
import type { Path } from './yaml-text.ts';

/** Reports a fault at a path of the sheet. */
export type Report = (path: Path, message: string, remedy: string) => void;

export interface Reports {
  /** The sheet is refused. */
  readonly problem: Report;
  /** The sheet is read, and the author is told. */
  readonly warning: Report;
}

/** The unit that an author means, as its code; any dimension. */
export function readUnit(text: string, dimension?: Dimension | readonly Dimension[]): UnitCode | undefined {
  if (isUnitCode(text) && (dimension === undefined || [dimension].flat().includes(dimensionOf(text)))) return text;
  const all = dimension ?? [...new Set(units.map((unit) => unit.dimension))];
  return unitFromText(text, all);
}

/** A unit as people write it, for a message. */
export const unitWord = (unit: UnitCode): string => unitOf(unit).label || 'no unit';

export function uniqueIds(list: readonly { readonly id: string }[], path: Path, problem: Report): void {
  for (const [index, item] of list.entries()) {
    if (list.findIndex((other) => other.id === item.id) !== index) problem([...path, index, 'id'], `the id "${item.id}" is there twice`, 'give each its own id');
  }
}
