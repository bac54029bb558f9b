import { unitOf, type UnitCode } from './table.ts';

/** The true minus sign, U+2212: as wide as a figure and never broken from its number. */
export const MINUS = '\u2212';
const NO_BREAK_SPACE = '\u00a0';

export interface NumberFormat {
  /** the mark that the station shows; the default is the point */
  readonly decimalMark?: '.' | ',';
}

/**
 * A number for people: fixed decimals, a true minus sign, no negative zero. A value that is not finite is an em rule ("–"),
 * so that a gap can never be read as a figure. Halves round away from zero as printed keys do (2.5 → 3, 0.125 → 0.13).
 */
export function formatNumber(value: number, decimals: number, format: NumberFormat = {}): string {
  if (!Number.isFinite(value)) return '–';
  const text = roundHalfAway(Math.abs(value), decimals).toFixed(decimals);
  const shown = format.decimalMark === ',' ? text.replace('.', ',') : text;
  const isZero = !/[1-9]/.test(text);
  return value < 0 && !isZero ? MINUS + shown : shown;
}

/** The value as it would be shown with these decimals: halves away from zero. */
export function roundTo(value: number, decimals: number): number {
  const rounded = roundHalfAway(Math.abs(value), decimals);
  return value < 0 && rounded !== 0 ? -rounded : rounded;
}

/** Decimal rounding of a non-negative number, robust to the binary shortfall of halves such as 1.005. */
function roundHalfAway(value: number, decimals: number): number {
  if (value >= 1e15) return value;
  const shifted = Number(`${value}e${decimals}`);
  if (!Number.isFinite(shifted)) return value;
  return Number(`${Math.round(shifted)}e-${decimals}`);
}

/** A number with its unit: "35.6 mL/kg/min", "12 %", "−2.1 /min"; a unit without a label stands as the bare number. */
export function formatQuantity(value: number, unit: UnitCode, decimals: number, format: NumberFormat = {}): string {
  const label = unitOf(unit).label;
  const number = formatNumber(value, decimals, format);
  return label === '' ? number : number + NO_BREAK_SPACE + label;
}

/** Seconds as m:ss, or h:mm:ss from one hour on: 405 → "6:45". Whole seconds, rounded; a negative time keeps its sign. */
export function formatDuration(seconds: number): string {
  if (!Number.isFinite(seconds)) return '–';
  const whole = Math.round(Math.abs(seconds));
  const h = Math.floor(whole / 3600);
  const m = Math.floor((whole % 3600) / 60);
  const s = String(whole % 60).padStart(2, '0');
  const sign = seconds < 0 && whole > 0 ? MINUS : '';
  return h > 0 ? `${sign}${h}:${String(m).padStart(2, '0')}:${s}` : `${sign}${m}:${s}`;
}

/** A number with two decimals at most and none that is not needed, as marks and limits are written: 36, 43.5. */
export function hundredths(value: number): string {
  return String(Math.round(value * 100) / 100);
}
