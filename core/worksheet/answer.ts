/** Reads a student's answer as a number: which values it can mean, and whether its unit is right, missing or wrong. */
import { convert, convertOxygenUptake, dimensionOf, isOxygenUptakeUnit, isUnitCode, parseQuantity, unitFromText, unitOf, units, type Dimension, type UnitCode } from '../units/units.ts';
import type { Attempt } from './fold.ts';

export type UnitVerdict = 'right' | 'missing' | 'wrong';

/** One way to read the answer, in the question's unit. */
export interface AnswerReading {
  /** In the unit of the question. */
  readonly value: number;
  /** `right` when the unit as written leads to this value. */
  readonly unit: UnitVerdict;
  /** The unit in which the number was read. */
  readonly readAs: UnitCode;
}

export interface ReadAnswer {
  readonly attempt: Attempt;
  /** The bare number as typed, before any unit; undefined where the answer is not one number. */
  readonly number?: number;
  /** Decimals that were typed. */
  readonly decimals: number;
  /** Readings that follow the unit as written come first. */
  readonly readings: readonly AnswerReading[];
  /** Unit as written, for the explanation: "mph", "" where none. */
  readonly unitText: string;
  /** Why the answer is not a number, in words. */
  readonly trouble?: string;
}

export interface AnswerContext {
  /** The unit that the question asks for. */
  readonly unit: UnitCode;
  /** Kilograms: without it absolute and relative oxygen uptake never meet. */
  readonly mass: number | undefined;
  /** The question prints its unit beside the field (a table's head): a number without a unit is then right as it is. */
  readonly unitGiven: boolean;
}

/** Reads an attempt. Whatever could be meant is listed; which reading counts is for the marking to say. */
export function readAnswer(attempt: Attempt, context: AnswerContext): ReadAnswer {
  const { number, unitText, decimals, trouble } = split(attempt.typed, attempt.unit ?? '', context);
  if (number.length === 0) return { attempt, decimals, readings: [], unitText, ...(trouble === undefined ? {} : { trouble }) };
  const readings: AnswerReading[] = [];
  for (const value of number) for (const reading of readingsOf(value.value, value.unit ?? unitText, context)) readings.push(reading);
  const [first] = number;
  return { attempt, ...(first === undefined ? {} : { number: first.value }), decimals, readings, unitText };
}

interface SplitNumber {
  readonly value: number;
  /** Set where the typed form has a unit of its own: 6:45 is in seconds. */
  readonly unit?: string;
}

/** Parts "VO2 = 35.6 mL/kg/min" into its number and its unit text; a typed unit goes before the one that was chosen. */
function split(
  typed: string,
  chosen: string,
  context: AnswerContext,
): { readonly number: readonly SplitNumber[]; readonly unitText: string; readonly decimals: number; readonly trouble?: string } {
  const text = (typed.includes('=') ? typed.slice(typed.lastIndexOf('=') + 1) : typed)
    .slice(0, 200)
    .replace(/^\s*(?:about|approx\.?|approximately|ca\.?|[~≈])\s*/i, '')
    .trim();
  if (text === '') return { number: [], unitText: chosen.trim(), decimals: 0, trouble: 'no answer was given' };
  if (/\d\s*:\s*\d/.test(text) || /\d\s*min\w*\s*\d/i.test(text)) {
    const time = parseQuantity(text, { defaultUnit: 'min', dimension: 'time' });
    if (time.ok) return { number: [{ value: time.value, unit: time.unit }], unitText: chosen.trim(), decimals: 0 };
  }
  const match = /^([+\-\u2212\u2013]?\s*(?:\d[\d.,\u00a0 ]*|[.,]\d+))(.*)$/s.exec(text);
  if (!match) return { number: [], unitText: chosen.trim(), decimals: 0, trouble: 'the answer is not a number' };
  const figures = (match[1] ?? '').trim().replace(/[.,]$/, '');
  const tail = (match[2] ?? '').trim().replace(/^\((.*)\)$/s, '$1');
  const decimals = /[.,](\d+)$/.exec(figures)?.[1]?.length ?? 0;
  const unitText = tail === '' ? chosen.trim() : tail;
  if (/\d/.test(tail.replace(/[²³⁻¹]|O2|-1|\^-?\d/gi, ''))) {
    return { number: [], unitText, decimals, trouble: 'the answer is not one number' };
  }
  const values = new Set<number>();
  // Where a mark can be read in two ways ("24,300"), both are looked at: a mark of the pen is no physiology.
  for (const decimalMark of [undefined, '.', ','] as const) {
    const parsed = parseQuantity(figures, { defaultUnit: context.unit, ...(decimalMark === undefined ? {} : { decimalMark }) });
    if (parsed.ok) values.add(parsed.value);
    if (parsed.ok && decimalMark === undefined) break;
  }
  if (values.size === 0) return { number: [], unitText, decimals, trouble: 'the answer is not a number' };
  return { number: [...values].map((value) => ({ value })), unitText, decimals };
}

/**
 * What the answer says, nothing put right: the values that follow from the unit as written, else the bare number in the unit
 * asked for. In the question's unit. More than one only where a mark in the number can be read in two ways.
 */
export function plainReadings(read: ReadAnswer): readonly number[] {
  const written = read.readings.filter((reading) => reading.unit === 'right').map((reading) => reading.value);
  if (written.length > 0) return [...new Set(written)];
  return read.number === undefined ? [] : [read.number];
}

/** The dimensions in which an answer to a question in `unit` can be right. */
export function dimensionsFor(unit: UnitCode, mass: number | undefined): readonly Dimension[] {
  if (isOxygenUptakeUnit(unit)) return mass === undefined ? [dimensionOf(unit)] : ['uptake-per-mass', 'flow'];
  return [dimensionOf(unit)];
}

function readingsOf(number: number, unitText: string, context: AnswerContext): AnswerReading[] {
  const { unit: asked, mass } = context;
  const dimensions = dimensionsFor(asked, mass);
  const bare = unitOf(asked).label === '';
  const written = unitText === '' ? undefined : isUnitCode(unitText) && dimensions.includes(dimensionOf(unitText)) ? unitText : unitFromText(unitText, dimensions);
  const readings: AnswerReading[] = [];
  const add = (readAs: UnitCode, verdict: UnitVerdict): void => {
    const value = inUnit(number, readAs, asked, mass);
    if (value !== undefined && Number.isFinite(value) && !readings.some((known) => known.value === value)) readings.push({ value, unit: verdict, readAs });
  };
  if (written !== undefined) add(written, 'right');
  else if (unitText === '') {
    add(asked, bare || context.unitGiven ? 'right' : 'missing');
    // A per cent given as a bare fraction has its unit: none.
    if (asked === '%') add('1', 'right');
  } else add(asked, 'wrong');
  // The number may be right in a unit that was not the one written: that is a fault of the unit, not of the value.
  const fault: UnitVerdict = unitText === '' ? 'missing' : 'wrong';
  add(asked, fault);
  for (const other of otherUnits(asked, dimensions)) add(other, fault);
  return readings;
}

/** The units that a laboratory might have meant: of the same dimensions, without the rare ones. */
function otherUnits(asked: UnitCode, dimensions: readonly Dimension[]): readonly UnitCode[] {
  const rare: readonly UnitCode[] = ['/s', 'ms', 'L/s', 'L/h', 'wk', 'd', 'h', '[stone_av]', 'g', 'mm', 'km', '[mi_i]'];
  return units.filter((unit) => dimensions.includes(unit.dimension) && unit.code !== asked && !rare.includes(unit.code)).map((unit) => unit.code);
}

/** A value in another unit; absolute and relative oxygen uptake meet only by the body mass. Undefined where they cannot. */
export function inUnit(value: number, from: UnitCode, to: UnitCode, mass: number | undefined): number | undefined {
  if (!Number.isFinite(value)) return undefined;
  if (dimensionOf(from) === dimensionOf(to)) return convert(value, from, to);
  if (isOxygenUptakeUnit(from) && isOxygenUptakeUnit(to) && mass !== undefined && mass > 0) return convertOxygenUptake(value, from, to, mass);
  return undefined;
}
