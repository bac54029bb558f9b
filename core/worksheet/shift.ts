/** Values with an amount added or taken off: "answer.hr-max + 10 /min". */
import type { Shift } from '../sheet/references.ts';
import { convert, parseQuantity, type UnitCode } from '../units/units.ts';

/** A value with the amount that the sheet adds or takes off. The loader has checked the amount. */
export function shifted(value: number, unit: UnitCode, shift: Shift | undefined): number {
  if (shift === undefined) return value;
  const parsed = parseQuantity(shift.text, { defaultUnit: unit, decimalMark: shift.text.includes(',') ? ',' : '.' });
  return parsed.ok ? value + shift.sign * convert(parsed.value, parsed.unit, unit) : Number.NaN;
}
