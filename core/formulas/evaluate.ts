import {
  convert,
  convertOxygenUptake,
  dimensionOf,
  formatNumber,
  isOxygenUptakeUnit,
  isUnitCode,
  parseQuantity,
  unitOf,
  type UnitCode,
} from '../units/units.ts';
import { choiceNamed } from './choices.ts';
import type { Formula, InputSpec, Values } from './formula.ts';

/** A value as given: a number (in `unit`, else in the formula's unit), a choice by name, or a text as typed ("3.5 mph"). */
export interface GivenValue {
  readonly value: number | string;
  readonly unit?: UnitCode;
}

export interface EvaluateOptions {
  /** the input to solve for; `given` then holds the other inputs and `output` */
  readonly solveFor?: string;
  /** the unit of the answer; without it the formula's own */
  readonly unit?: UnitCode;
  readonly decimalMark?: '.' | ',';
}

export type EvaluationErrorCode = 'out-of-range' | 'missing-input' | 'unknown-input' | 'bad-value' | 'bad-unit' | 'no-solution';

export type Evaluation =
  | {
      readonly ok: true;
      readonly value: number;
      readonly unit: UnitCode;
      /** plain sentences; empty when every input is inside the published range */
      readonly warnings: readonly string[];
      readonly working: string;
      /** the values that were put in, in the formula's units, defaults included */
      readonly used: Values;
      /** the formula or its form for another unit, whichever was used */
      readonly form: Formula;
    }
  | { readonly ok: false; readonly error: { readonly code: EvaluationErrorCode; readonly message: string } };

type Failure = Extract<Evaluation, { ok: false }>;

const fail = (code: EvaluationErrorCode, message: string): Failure => ({ ok: false, error: { code, message } });

/**
 * Computes a formula from values in any unit, or solves it for one of its inputs. Every input is checked: unknown and missing
 * ones, units of the wrong dimension, hard bounds. Outside the published range it computes and warns; where the mathematics or
 * the definition breaks it refuses in words. The value is always a finite number.
 */
export function evaluate(formula: Formula, given: Readonly<Record<string, GivenValue>>, options: EvaluateOptions = {}): Evaluation {
  const { solveFor } = options;
  if (solveFor !== undefined && !formula.solve?.[solveFor]) {
    const can = Object.keys(formula.solve ?? {});
    return fail('no-solution', `${formula.title} cannot be solved for "${solveFor}"${can.length ? `; it can for ${can.join(', ')}` : ''}.`);
  }
  const form = chooseForm(formula, given, options);
  const read = readInputs(form, given, options);
  if (!read.ok) return read;
  const { values } = read;

  if (solveFor !== undefined) return solveFrom(form, solveFor, values, options);

  const refusal = refuse(form, values);
  if (refusal) return refusal;
  const value = form.compute(values);
  if (!Number.isFinite(value)) return fail('no-solution', `${form.title} has no finite value for these inputs.`);
  const outside = judgeValidity(form, { ...values, output: value });
  if (!outside.ok) return outside;
  const unit = answerUnit(form.output.unit, options.unit);
  if (unit === undefined) return fail('bad-unit', `${form.output.label} cannot be given in ${options.unit}.`);
  const inUnit = toUnit(value, form.output.unit, unit, massKgOf(form, values));
  if (inUnit === undefined) return fail('bad-unit', `A body mass is needed to give ${form.output.label} in ${unitOf(unit).label}.`);
  return { ok: true, value: inUnit, unit, warnings: outside.warnings, working: form.working(values), used: values, form };
}

function solveFrom(form: Formula, solveFor: string, values: Values, options: EvaluateOptions): Evaluation {
  const spec = form.inputs[solveFor];
  const solver = form.solve?.[solveFor];
  if (!spec || !solver) return fail('no-solution', `${form.title} cannot be solved for "${solveFor}".`);
  const solved = solver(values);
  if (!Number.isFinite(solved)) {
    return fail(
      'no-solution',
      `No single ${spec.label.toLowerCase()} gives that ${form.output.label.toLowerCase()} with the other values.`,
    );
  }
  const all: Values = { ...values, [solveFor]: solved };
  const refusal = refuse(form, all);
  if (refusal) return refusal;
  const outside = judgeValidity(form, all);
  if (!outside.ok) return outside;
  const unit = answerUnit(spec.unit, options.unit);
  if (unit === undefined) return fail('bad-unit', `${spec.label} cannot be given in ${options.unit}.`);
  const inUnit = toUnit(solved, spec.unit, unit, massKgOf(form, all));
  if (inUnit === undefined) return fail('bad-unit', `A body mass is needed to give ${spec.label.toLowerCase()} in ${unitOf(unit).label}.`);
  return {
    ok: true,
    value: inUnit,
    unit,
    warnings: outside.warnings,
    working: `${form.working(all)}, so ${spec.symbol} = ${formatNumber(solved, decimalsFor(solved))}${spaced(unitOf(spec.unit).label)}`,
    used: all,
    form,
  };
}

const spaced = (label: string) => (label === '' ? '' : ` ${label}`);

/** Three to four figures for a solved input. */
function decimalsFor(value: number): number {
  const size = Math.abs(value);
  if (size >= 1000) return 0;
  if (size >= 100) return 1;
  if (size >= 1) return 2;
  return 4;
}

/** The unit entered for the one input that has two published forms chooses the form; when it is solved for, the unit wanted does. */
function chooseForm(formula: Formula, given: Readonly<Record<string, GivenValue>>, options: EvaluateOptions): Formula {
  const other = formula.unitForm;
  if (!other) return formula;
  if (options.solveFor === other.input) return options.unit === other.unit ? other.formula : formula;
  const entered = given[other.input];
  const spec = formula.inputs[other.input];
  if (!entered || !spec) return formula;
  if (typeof entered.value === 'string') {
    const parsed = parseQuantity(entered.value, {
      defaultUnit: entered.unit ?? spec.unit,
      dimension: dimensionOf(spec.unit),
      ...(options.decimalMark ? { decimalMark: options.decimalMark } : {}),
    });
    return parsed.ok && parsed.unit === other.unit ? other.formula : formula;
  }
  return entered.unit === other.unit ? other.formula : formula;
}

function readInputs(
  form: Formula,
  given: Readonly<Record<string, GivenValue>>,
  options: EvaluateOptions,
): { readonly ok: true; readonly values: Values } | Failure {
  const { solveFor } = options;
  const specs: Record<string, InputSpec> = { ...form.inputs };
  if (solveFor !== undefined) {
    delete specs[solveFor];
    specs['output'] = { label: form.output.label, symbol: form.output.symbol, unit: form.output.unit };
  }
  const entries: Record<string, GivenValue> = {};
  for (const [typed, entry] of Object.entries(given)) {
    // `resting-heart-rate` is accepted for `restingHeartRate`
    const name = Object.hasOwn(specs, typed) ? typed : typed.replace(/-([a-z0-9])/g, (_, letter: string) => letter.toUpperCase());
    if (!Object.hasOwn(specs, name)) {
      return fail('unknown-input', `"${typed}" is not an input of ${form.title}. It takes ${Object.keys(specs).join(', ')}.`);
    }
    entries[name] = entry;
  }
  const values: Record<string, number | string> = {};
  // The mass first: it lets an oxygen uptake in L/min stand where mL/kg/min is wanted.
  const names = Object.keys(specs).sort((a, b) => Number(b === 'mass') - Number(a === 'mass'));
  for (const name of names) {
    const spec = specs[name];
    if (!spec) continue;
    const entry = entries[name];
    if (entry === undefined) {
      if (spec.default === undefined) return fail('missing-input', `${form.title} needs ${spec.label.toLowerCase()} (${name}).`);
      values[name] = spec.default;
      continue;
    }
    const value = readOne(spec, name, entry, options, massKgOf(form, values));
    if (!value.ok) return value;
    values[name] = value.value;
  }
  return { ok: true, values };
}

function readOne(
  spec: InputSpec,
  name: string,
  entry: GivenValue,
  options: EvaluateOptions,
  massKg: number | undefined,
): { readonly ok: true; readonly value: number | string } | Failure {
  if (spec.choices) {
    const value = choiceNamed(spec, String(entry.value));
    if (value !== undefined) return { ok: true, value };
    return fail('bad-value', `${spec.label} (${name}) is one of: ${spec.choices.map((c) => c.value).join(', ')}.`);
  }
  if (entry.unit !== undefined && !isUnitCode(entry.unit))
    return fail('bad-unit', `"${String(entry.unit)}" is not a unit that this program knows.`);
  let number: number;
  let unit: UnitCode = entry.unit ?? spec.unit;
  if (typeof entry.value === 'string') {
    const uptake = isOxygenUptakeUnit(spec.unit) && massKg !== undefined;
    const parsed = parseQuantity(entry.value, {
      defaultUnit: unit,
      dimension: uptake ? ['uptake-per-mass', 'flow'] : dimensionOf(spec.unit),
      ...(options.decimalMark ? { decimalMark: options.decimalMark } : {}),
    });
    if (!parsed.ok) {
      const unitTrouble = parsed.error.code === 'unknown-unit' || parsed.error.code === 'wrong-dimension';
      return fail(unitTrouble ? 'bad-unit' : 'bad-value', `${spec.label} (${name}): ${parsed.error.message}`);
    }
    number = parsed.value;
    unit = parsed.unit;
  } else {
    number = entry.value;
  }
  if (!Number.isFinite(number)) return fail('bad-value', `${spec.label} (${name}) must be a number.`);
  const converted = toUnit(number, unit, spec.unit, massKg);
  if (converted === undefined) {
    return fail(
      'bad-unit',
      `${spec.label} (${name}) cannot be given in ${unitOf(unit).label || unitOf(unit).name}; use ${unitOf(spec.unit).label || unitOf(spec.unit).name}.`,
    );
  }
  if (spec.whole && !Number.isInteger(converted)) return fail('bad-value', `${spec.label} (${name}) must be a whole number.`);
  return { ok: true, value: converted };
}

function toUnit(value: number, from: UnitCode, to: UnitCode, massKg: number | undefined): number | undefined {
  if (dimensionOf(from) === dimensionOf(to)) return convert(value, from, to);
  if (isOxygenUptakeUnit(from) && isOxygenUptakeUnit(to) && massKg !== undefined) {
    return convertOxygenUptake(value, from, to, massKg);
  }
  return undefined;
}

/** The body mass among the values, in kilograms whatever unit the formula wants it in. */
function massKgOf(form: Formula, values: Values): number | undefined {
  const mass = values['mass'];
  const spec = form.inputs['mass'];
  return spec && typeof mass === 'number' && mass > 0 ? convert(mass, spec.unit, 'kg') : undefined;
}

function answerUnit(own: UnitCode, wanted: UnitCode | undefined): UnitCode | undefined {
  if (wanted === undefined) return own;
  if (!isUnitCode(wanted)) return undefined;
  if (dimensionOf(own) === dimensionOf(wanted)) return wanted;
  return isOxygenUptakeUnit(own) && isOxygenUptakeUnit(wanted) ? wanted : undefined;
}

/** Hard bounds of the inputs, and the formula's own refusals. */
function refuse(form: Formula, values: Values): Failure | undefined {
  for (const [name, spec] of Object.entries(form.inputs)) {
    const value = values[name];
    if (typeof value !== 'number') continue;
    const { min, max } = spec;
    if ((min !== undefined && value < min) || (max !== undefined && value > max)) {
      return fail(
        'out-of-range',
        `${spec.label} (${name}) must be ${rangeInWords(min, max, spec.unit)}; it is ${plainNumber(value)}${spaced(unitOf(spec.unit).label)}.${perCentHint(spec, value)}`,
      );
    }
  }
  for (const finding of form.check?.(values) ?? []) {
    if (finding.hard) return fail('out-of-range', finding.text);
  }
  return undefined;
}

function judgeValidity(form: Formula, values: Values): { readonly ok: true; readonly warnings: readonly string[] } | Failure {
  const warnings: string[] = [];
  for (const limit of form.validity) {
    const value = values[limit.input];
    if (typeof value !== 'number') continue;
    const outside = (limit.min !== undefined && value < limit.min) || (limit.max !== undefined && value > limit.max);
    if (!outside) continue;
    if (limit.hard) return fail('out-of-range', limit.text);
    warnings.push(limit.text);
  }
  for (const finding of form.check?.(values) ?? []) {
    if (!finding.hard) warnings.push(finding.text);
  }
  return { ok: true, warnings };
}

/** A fraction given as a whole number is the commonest slip at the keyboard. */
function perCentHint(spec: InputSpec, value: number): string {
  const isFraction = spec.unit === '1' && spec.max !== undefined && spec.max <= 1 && (spec.alsoUnits ?? []).includes('%');
  return isFraction && value > 1 && value <= 100 ? ` For ${plainNumber(value)} per cent write "${plainNumber(value)} %".` : '';
}

function rangeInWords(min: number | undefined, max: number | undefined, unit: UnitCode): string {
  const label = spaced(unitOf(unit).label);
  if (min !== undefined && max !== undefined) return `from ${plainNumber(min)} to ${plainNumber(max)}${label}`;
  if (min !== undefined) return `at least ${plainNumber(min)}${label}`;
  return `at most ${plainNumber(max ?? 0)}${label}`;
}

const plainNumber = (value: number) => formatNumber(value, 4).replace(/\.?0+$/, '');
