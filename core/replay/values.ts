/** Reads the values of a recorded session's rows: numbers with their units, yes and no, and the words of the lab. */
import { dimensionOf, isUnitCode, parseQuantity, unitFromText, unitOf, type UnitCode } from '../units/units.ts';
import { listed } from '../sheet/nearest.ts';
import { postures, type Gait, type Posture } from '../vocabulary.ts';
import { ReplayError, type SessionRow } from './rows.ts';

export const NOT_TAKEN = '-';
/** Spreadsheets turn a lone hyphen into a dash. */
export const isNotTaken = (row: SessionRow): boolean => /^[-\u2010-\u2015\u2212]$/.test(row.value);

/** A number as it stands in the row, and its unit as a code. */
export interface TypedNumber {
  readonly typed: string;
  readonly unit: UnitCode;
  /** In `unit`. */
  readonly value: number;
}

/**
 * A number with its unit: from the unit column, else from the value itself ("147 bpm"), else the default.
 * @throws {ReplayError} for what is not a number, a unit of another kind, or two units that contradict each other.
 */
export function readNumber(row: SessionRow, label: string, accepts: readonly UnitCode[], fallback: UnitCode): TypedNumber {
  const column = columnUnit(row, label, accepts);
  const parsed = parseQuantity(row.value, { defaultUnit: column ?? fallback, accepts, decimalMark: row.value.includes(',') ? ',' : '.' });
  if (!parsed.ok) {
    const { code, message } = parsed.error;
    const remedy = code === 'unknown-unit' || code === 'wrong-dimension' ? `use ${unitList(accepts)}` : 'write one number, or - where it was not taken';
    throw new ReplayError(row.line, code === 'not-a-number' ? `"${row.value}" is not a number for ${label.toLowerCase()}` : message.replace(/\.$/, ''), remedy);
  }
  if (column !== undefined && parsed.unit !== column && dimensionOf(parsed.unit) !== undefined) {
    throw new ReplayError(row.line, `"${row.value}" is in ${unitOf(parsed.unit).label}, and the unit column says ${unitOf(column).label || row.unit}`, 'give the unit once');
  }
  return { typed: row.value, unit: parsed.unit, value: parsed.value };
}

function columnUnit(row: SessionRow, label: string, accepts: readonly UnitCode[]): UnitCode | undefined {
  const text = row.unit;
  if (text === '') return undefined;
  const bare = accepts.find((unit) => unitOf(unit).label === '');
  // A number without a unit is written in many ways.
  if (bare !== undefined && /^(?:1|[-\u2013\u2014]|none|n\/?a|au|a\.u\.|ratio|rpe|rer|scale|score|points?|6\s*[-\u2013]\s*20)$/i.test(text)) return bare;
  const code = isUnitCode(text) ? text : unitFromText(text, [...new Set(accepts.map(dimensionOf))]);
  if (code === undefined || !accepts.includes(code)) throw new ReplayError(row.line, `"${text}" is not a unit for ${label.toLowerCase()}`, `use ${unitList(accepts)}`);
  return code;
}

const unitList = (accepts: readonly UnitCode[]): string => listed(accepts.map((unit) => unitOf(unit).label || 'no unit'));

/** Whether the unit of a row was left to the default. */
export const hasNoUnit = (row: SessionRow): boolean => row.unit === '' && /^[\s\d.,+\-\u2212]+$/.test(row.value);

const yes = /^(?:yes|y|true|1|x|ok|done|met|held|on|ja|✓)$/i;
const no = /^(?:no|n|false|0|not met|not yet|free|released|off|none|nein)$/i;

/** @throws {ReplayError} for anything but a yes or a no. */
export function readYesNo(row: SessionRow, words = 'yes or no'): boolean {
  if (yes.test(row.value)) return true;
  if (no.test(row.value)) return false;
  throw new ReplayError(row.line, `"${row.value}" is no answer for "${row.quantity.id}"`, `write ${words}`);
}

export function readGait(row: SessionRow): Gait {
  const word = row.value.toLowerCase();
  if (/^walk(?:s|ing|ed)?$/.test(word)) return 'walk';
  if (/^(?:runs?|running|ran|jog(?:s|ging|ged)?)$/.test(word)) return 'run';
  throw new ReplayError(row.line, `"${row.value}" is not a gait`, 'write walk or run');
}

const otherPostures: Readonly<Record<string, Posture>> = {
  stand: 'standing', upright: 'standing', walk: 'walking', 'active walking': 'walking', sit: 'sitting', seated: 'sitting', seat: 'sitting', cycle: 'cycling',
  lie: 'lying', supine: 'lying', 'lying down': 'lying', 'legs raised': 'lying, legs raised', 'lying legs raised': 'lying, legs raised', 'supine, legs raised': 'lying, legs raised',
};

export function readPosture(row: SessionRow): Posture {
  const word = row.value.toLowerCase().trim();
  const known = postures.find((posture) => posture === word) ?? otherPostures[word];
  if (known !== undefined) return known;
  throw new ReplayError(row.line, `"${row.value}" is not a posture`, `write ${listed(postures)}`);
}

export function readStage(row: SessionRow, most: number): number {
  const match = /^(?:stage\s*)?(\d{1,2})$/i.exec(row.value);
  const stage = Number(match?.[1]);
  if (!match || stage < 1) throw new ReplayError(row.line, `"${row.value}" is not a stage`, 'write its number, like 2');
  if (stage > most) throw new ReplayError(row.line, `there is no stage ${stage}`, `the lab sheet has ${most} stages`);
  return stage;
}
