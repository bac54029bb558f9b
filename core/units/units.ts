/** Units and quantities: the one door to this folder. */
export {
  dimensionOf,
  HANDBOOK_FACTORS,
  isUnitCode,
  KG_PER_POUND,
  KGM_PER_MIN_PER_WATT,
  KGM_PER_MIN_PER_WATT_EXACT,
  KJ_PER_KCAL,
  METRES_PER_MILE,
  unitOf,
  units,
  VO2_PER_MET,
} from './table.ts';
export type { Dimension, Unit, UnitCode } from './table.ts';
export { convert, convertOxygenUptake, isOxygenUptakeUnit, UnitError } from './convert.ts';
export type { OxygenUptakeUnit } from './convert.ts';
export { formatDuration, formatNumber, formatQuantity, MINUS, roundTo } from './format.ts';
export type { NumberFormat } from './format.ts';
export { parsePressure, parseQuantity } from './parse.ts';
export type { ParsedPressure, ParsedQuantity, ParseOptions } from './parse.ts';
export type { ParseError } from './parse-number.ts';
export { normaliseSpelling, unitFromText } from './parse-unit.ts';
