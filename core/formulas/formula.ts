/**
 * What a formula is. One object computes results, marks answers, prints worked lines, warns outside its range and fills the
 * formula reference page. See `evaluate.ts` for how values in any unit are put in.
 */
import type { UnitCode } from '../units/units.ts';

/**
 * How well a number's source was seen:
 * P on a public page of the source itself; P2 in secondary public copies only; M from memory of the cited publication;
 * C common practice; O made for this program.
 */
export type Provenance = 'P' | 'P2' | 'M' | 'C' | 'O';

const glosses: Readonly<Record<Provenance, string>> = {
  P: 'seen in a published source',
  P2: 'seen only in copies of the source; check the original before citing',
  M: 'from memory of the publication; check it before citing',
  C: 'common practice, without a single source',
  O: 'made for this program',
};

/** The provenance mark in plain words, for the page beside the source. */
export function provenanceInWords(provenance: Provenance): string {
  return glosses[provenance];
}

export interface Source {
  readonly citation: string;
  readonly provenance: Provenance;
  readonly note?: string;
}

export interface InputSpec {
  readonly label: string;
  readonly symbol: string;
  /** the unit that `compute` wants */
  readonly unit: UnitCode;
  /** further units that are offered; any unit of the same dimension is accepted */
  readonly alsoUnits?: readonly UnitCode[];
  /** hard bounds in `unit`: beyond them the equation has no meaning and is refused */
  readonly min?: number;
  readonly max?: number;
  /** a choice by name, such as 'male' or 'female'; never an author's 0/1 */
  readonly choices?: readonly { readonly value: number | string; readonly label: string }[];
  /** taken when the input is not given */
  readonly default?: number | string;
  readonly note?: string;
  readonly whole?: boolean;
}

/** Inputs in the units of their specification; choices by name. `output` is present only when solving. */
export type Values = Readonly<Record<string, number | string>>;

export interface Slip {
  readonly id: string;
  /** names the slip to a student: "grade as 14 instead of 0.14" */
  readonly says: string;
  /** the wrong result that the slip leads to, in the output's unit */
  compute(v: Values): number;
}

export interface Validity {
  /** the input that the limit is on, or 'output' */
  readonly input: string;
  readonly min?: number;
  readonly max?: number;
  readonly text: string;
  /** refuse beyond the limit rather than warn */
  readonly hard?: boolean;
}

/** A finding about several inputs together. */
export interface Finding {
  readonly text: string;
  readonly hard?: boolean;
}

export interface Formula {
  readonly id: string;
  readonly title: string;
  readonly family: string;
  readonly inputs: Readonly<Record<string, InputSpec>>;
  readonly output: {
    readonly label: string;
    readonly symbol: string;
    readonly unit: UnitCode;
    readonly alsoUnits?: readonly UnitCode[];
    readonly decimals: number;
  };
  /** the published or sensible range; beyond it the formula warns, or refuses where `hard` */
  readonly validity: readonly Validity[];
  readonly error?: {
    readonly kind: 'SEE' | 'SD' | 'total error' | 'range';
    readonly value: number;
    readonly unit: UnitCode;
    readonly text: string;
  };
  readonly population?: string;
  readonly source: Source;
  /** as printed, with symbols */
  readonly equation: string;
  /** inputs in their specified units; assumes that `evaluate` has checked them */
  compute(v: Values): number;
  /** the line with numbers put in: "0.1 × 91.1 + 1.8 × 91.1 × 0.14 + 3.5 = 35.6 mL/kg/min" */
  working(v: Values): string;
  /** for each input that can be solved for, by a written inverse or numerically (`define.ts`); NaN where there is no one answer: `v` holds the other inputs and `output`, in their units */
  readonly solve?: Readonly<Record<string, (v: Values) => number>>;
  /** the inputs among `solve` that have no written inverse */
  readonly solvedNumerically?: readonly string[];
  readonly slips?: readonly Slip[];
  /** warnings or refusals that need more than one input */
  check?(v: Values): readonly Finding[];
  /**
   * The same formula as published with other constants for another unit of one input (10.8 per W, 1.8 per kg·m/min).
   * The unit entered chooses the form; nothing is converted between the two.
   */
  readonly unitForm?: { readonly input: string; readonly unit: UnitCode; readonly formula: Formula };
}

/** The type of each input's value: the names of a choice, else a number. */
type ValuesOf<I extends Readonly<Record<string, InputSpec>>> = {
  readonly [K in keyof I]: I[K] extends { readonly choices: readonly { readonly value: infer V }[] } ? V : number;
};

export interface FormulaDefinition<I extends Readonly<Record<string, InputSpec>>> extends Omit<
  Formula,
  'inputs' | 'compute' | 'working' | 'solve' | 'slips' | 'check'
> {
  readonly inputs: I;
  compute(v: ValuesOf<I>): number;
  /** the substituted right-hand side; "= value unit" is put after it */
  substituted(v: ValuesOf<I>): string;
  readonly solve?: { readonly [K in keyof I]?: (v: ValuesOf<I> & { readonly output: number }) => number };
  readonly slips?: readonly { readonly id: string; readonly says: string; compute(v: ValuesOf<I>): number }[];
  check?(v: ValuesOf<I>): readonly Finding[];
}
