/**
 * Named slips: the wrong routes that markers meet, walked with the student's own data. A slip is named only where the answer
 * equals what that route leads to; nothing is guessed beyond the match.
 */
import type { Formula, InputSpec, Values } from '../formulas/formula.ts';
import { convert, dimensionOf, HANDBOOK_FACTORS, KG_PER_POUND, VO2_PER_MET, type Dimension, type UnitCode } from '../units/units.ts';
import { inUnit } from './answer.ts';
import type { Expected } from './expected.ts';

export interface SlipValue {
  readonly id: string;
  /** A clause: "the grade was put in as a whole number of per cent, not as a fraction". */
  readonly says: string;
  /** In the question's unit. */
  readonly value: number;
  /** The right equation was at work, with one fault in it: the method mark stands. */
  readonly method: boolean;
  /** Set where the slip was made on the student's own earlier answers. */
  readonly from?: readonly string[];
}

/** Slips that take another equation than the one asked for; the method is then not shown. */
const otherEquation = /(equation|form) .*\bwas used|not of the|divided by measured|coded/;

/** Every slip value around one expected value, in the question's unit; values equal to the right one are left out. */
export function slipsAround(expected: Expected, unit: UnitCode, mass: number | undefined): readonly SlipValue[] {
  const found: SlipValue[] = [];
  const from = expected.fromWrong === true && expected.from !== undefined ? { from: expected.from } : {};
  const add = (id: string, says: string, value: number | undefined, method = true): void => {
    if (value === undefined || !Number.isFinite(value)) return;
    if (near(value, expected.value) || found.some((known) => near(known.value, value))) return;
    found.push({ id, says, value, method, ...from });
  };
  const { form, used } = expected;
  if (form !== undefined && used !== undefined) {
    const toUnit = (value: number): number | undefined => inUnit(value, form.output.unit, unit, typeof used['mass'] === 'number' ? used['mass'] : mass);
    for (const slip of form.slips ?? []) add(slip.id, slip.says, toUnit(attempt(() => slip.compute(used))), !otherEquation.test(slip.says));
    for (const [name, spec] of Object.entries(form.inputs)) {
      const value = used[name];
      if (typeof value !== 'number') continue;
      for (const wrong of wrongInputs(spec, value)) add(wrong.id, wrong.says, toUnit(computeWith(form, used, name, wrong.value)));
    }
  }
  for (const { id, says, value } of wrongAnswers(unit, expected.value)) add(id, says, value);
  return found;
}

const near = (a: number, b: number): boolean => Math.abs(a - b) <= 1e-6 * Math.max(Math.abs(a), Math.abs(b), 1e-9);

function attempt(compute: () => number): number {
  try {
    return compute();
  } catch {
    return Number.NaN;
  }
}

function computeWith(form: Formula, used: Values, name: string, value: number): number {
  return attempt(() => form.compute({ ...used, [name]: value }));
}

interface WrongNumber {
  readonly id: string;
  readonly says: string;
  readonly value: number;
}

/** What a student might have put in for an input, by its dimension. */
function wrongInputs(spec: InputSpec, value: number): readonly WrongNumber[] {
  const what = `the ${spec.label.toLowerCase()}`;
  const slips: WrongNumber[] = [];
  const inOther = (id: string, other: UnitCode, named: string, own: string): void => {
    slips.push({ id, says: `${what} was put in in ${named}, not in ${own}`, value: convert(value, spec.unit, other) });
  };
  switch (dimensionOf(spec.unit)) {
    case 'speed':
      if (spec.unit !== '[mi_i]/h') inOther('speed-in-mph', '[mi_i]/h', 'mph', shortName[spec.unit] ?? 'the unit of the equation');
      if (spec.unit !== 'km/h') inOther('speed-in-km-h', 'km/h', 'km/h', shortName[spec.unit] ?? 'the unit of the equation');
      break;
    case 'mass':
      if (spec.unit === 'kg') inOther('mass-in-pounds', '[lb_av]', 'pounds', 'kilograms');
      if (spec.unit === '[lb_av]') inOther('mass-in-kilograms', 'kg', 'kilograms', 'pounds');
      break;
    case 'power':
      if (spec.unit === 'W') inOther('load-in-kgm-per-min', 'kgf.m/min', 'kg·m/min', 'W');
      else inOther('load-in-watts', 'W', 'W', 'kg·m/min');
      break;
    case 'fraction':
      if (spec.unit === '1') slips.push({ id: 'fraction-as-whole-number', says: `${what} was put in as a whole number of per cent, not as a fraction`, value: value * 100 });
      else slips.push({ id: 'percent-as-fraction', says: `${what} was put in as a fraction, not in per cent`, value: value / 100 });
      break;
    case 'time':
      if (spec.unit === 'min') {
        slips.push({ id: 'clock-read-as-decimal', says: 'minutes and seconds were read as a decimal number (9:30 as 9.30)', value: clockAsDecimal(value) });
        inOther('time-in-seconds', 's', 'seconds', 'minutes');
      } else if (spec.unit === 's') inOther('time-in-minutes', 'min', 'minutes', 'seconds');
      break;
    case 'length':
      if (spec.unit === 'm') inOther('length-in-cm', 'cm', 'centimetres', 'metres');
      if (spec.unit === 'cm') inOther('length-in-m', 'm', 'metres', 'centimetres');
      if (spec.unit === '[in_i]') inOther('length-in-cm', 'cm', 'centimetres', 'inches');
      break;
    case 'flow':
      if (spec.unit === 'L/min') inOther('flow-in-ml', 'mL/min', 'mL/min', 'L/min');
      if (spec.unit === 'mL/min') inOther('flow-in-l', 'L/min', 'L/min', 'mL/min');
      break;
    case 'uptake-per-mass':
      if (spec.unit === 'mL/kg/min') inOther('uptake-in-mets', '[MET]', 'METs', 'mL/kg/min');
      if (spec.unit === '[MET]') inOther('uptake-not-in-mets', 'mL/kg/min', 'mL/kg/min', 'METs');
      break;
    default:
  }
  return slips;
}

const shortName: Partial<Record<UnitCode, string>> = { 'm/min': 'm/min', 'km/h': 'km/h', '[mi_i]/h': 'mph', 'm/s': 'm/s' };

/** 9.5 minutes is 9:30 on the clock, and becomes 9.30. */
function clockAsDecimal(minutes: number): number {
  const whole = Math.floor(minutes);
  return whole + Math.round((minutes - whole) * 60) / 100;
}

/** What the right value becomes by a factor that was forgotten or put in twice (1000, 2.2046, 6.12, 60, 3.5; this program's own choice). */
function wrongAnswers(unit: UnitCode, value: number): readonly WrongNumber[] {
  const dimension = dimensionOf(unit);
  const factors: { readonly id: string; readonly by: number; readonly of: string; readonly where: readonly Dimension[] }[] = [
    { id: 'factor-1000', by: 1000, of: '1000 (mL and L)', where: ['flow', 'uptake-per-mass', 'energy-rate', 'volume-per-beat'] },
    { id: 'factor-mass-unit', by: 1 / KG_PER_POUND, of: '2.2 (pounds and kilograms)', where: ['flow', 'uptake-per-mass', 'mass', 'energy-rate'] },
    { id: 'factor-power-unit', by: HANDBOOK_FACTORS.kgmPerMinPerWatt, of: '6.12 (W and kg·m/min)', where: ['power'] },
    { id: 'factor-60', by: 60, of: '60 (seconds, minutes and hours)', where: ['time', 'flow', 'energy-rate', 'speed'] },
    { id: 'factor-met', by: VO2_PER_MET, of: '3.5 (METs and mL/kg/min)', where: ['uptake-per-mass'] },
    { id: 'factor-100', by: 100, of: '100 (a fraction and per cent)', where: ['fraction'] },
  ];
  const slips: WrongNumber[] = [];
  for (const { id, by, of, where } of factors) {
    if (!where.includes(dimension)) continue;
    slips.push({ id, says: `the right value was multiplied by ${of}`, value: value * by }, { id, says: `the right value was divided by ${of}`, value: value / by });
  }
  if (unit === 'min') slips.push({ id: 'clock-read-as-decimal', says: 'minutes and seconds were read as a decimal number (9:30 as 9.30)', value: clockAsDecimal(value) });
  // A difference taken the wrong way round, wherever a negative value says nothing else.
  if (['rate', 'pressure'].includes(dimension)) slips.push({ id: 'sign-turned', says: 'the two values were subtracted the other way round', value: -value });
  return slips;
}

/**
 * Whether a number is what a slip leads to: within the rounding of its last typed figure, and half a per cent for handbook
 * factors (26.8 for 26.8224, 2.2 for 2.2046) and rounded steps on the way. For very small values the last figure alone would
 * let chance in, so it counts for at most a twentieth of the value.
 */
export function equalsSlip(number: number, decimals: number, slip: number): boolean {
  const figure = Math.min(0.5 * 10 ** -decimals, Math.abs(slip) / 20);
  return Math.abs(number - slip) <= figure + 0.005 * Math.abs(slip) + 1e-12;
}
