/** What the predictions from treadmill time share: the family, the input and the straight line in time. */
import { clockReadAsDecimal, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source, Validity } from './formula.ts';

export const FAMILY = 'Maximal oxygen uptake from treadmill time';

export const time = {
  label: 'Treadmill time',
  symbol: 'T',
  unit: 'min',
  alsoUnits: ['s'],
  min: 0.5,
  max: 60,
  note: 'Whole time on the protocol, without holding the rail; 10:30 is 10.5 minutes.',
} as const satisfies InputSpec;

export interface TreadmillLine {
  readonly id: string;
  readonly title: string;
  readonly slope: number;
  readonly intercept: number;
  readonly validity?: readonly Validity[];
  readonly error?: Formula['error'];
  readonly population: string;
  readonly source: Source;
}

export const see = (value: number, text = `SEE ${value} mL/kg/min`): NonNullable<Formula['error']> => ({
  kind: 'SEE',
  value,
  unit: 'mL/kg/min',
  text,
});

/** VO₂max = slope·T + intercept, T in minutes. */
export function line(definition: TreadmillLine): Formula {
  const { slope, intercept, validity = [], error, ...rest } = definition;
  const sign = intercept < 0 ? '−' : '+';
  const tail = `${sign} ${n(Math.abs(intercept), 3)}`;
  const compute = (v: { readonly time: number }) => slope * v.time + intercept;
  return defineFormula({
    ...rest,
    family: FAMILY,
    inputs: { time },
    output: vo2maxOut,
    validity,
    ...(error ? { error } : {}),
    equation: `VO₂max = ${slope}·T ${tail}`,
    compute,
    substituted: (v) => `${slope} × ${n(v.time, 3)} ${tail}`,
    solve: { time: (v) => (v.output - intercept) / slope },
    slips: [clockReadAsDecimal(compute)],
  });
}
