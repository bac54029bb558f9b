/** Published sets of effort criteria, as data: what is looked at, with which cut, and how many have to be met. */
import type { Formula, Source } from './formula.ts';
import { hrMaxFox1971, hrMaxTanaka2001 } from './heart-rate-max.ts';

export type EffortCriterion =
  | {
      /** the rise of oxygen uptake over the last increase in work stays below the cut */
      readonly kind: 'plateau';
      readonly below: number;
      readonly unit: 'mL/min' | 'mL/kg/min';
    }
  | { readonly kind: 'rer'; readonly atLeast: number }
  | {
      /** peak heart rate no more than `within` beats below the predicted maximum */
      readonly kind: 'heart-rate-within';
      readonly within: number;
      readonly formula: Formula;
    }
  | {
      readonly kind: 'heart-rate-percent';
      readonly atLeast: number;
      /** a registered formula, or a straight line in age that only this criterion uses */
      readonly formula: Formula | { readonly title: string; readonly intercept: number; readonly slope: number };
    }
  | { readonly kind: 'rpe'; readonly atLeast: number }
  | { readonly kind: 'lactate'; readonly atLeast: number };

export interface EffortSet {
  readonly id: string;
  readonly title: string;
  /** criteria of which any one decides by itself */
  readonly sufficient: readonly EffortCriterion[];
  /** criteria of which `needed` have to be met together */
  readonly supporting: readonly EffortCriterion[];
  readonly needed: number;
  /** the decision rule in words */
  readonly rule: string;
  /** whole years, both ends included; where the cuts are for an age span */
  readonly ages?: { readonly from: number; readonly to: number };
  readonly source: Source;
}

const plateau150: EffortCriterion = { kind: 'plateau', below: 150, unit: 'mL/min' };
const plateau21: EffortCriterion = { kind: 'plateau', below: 2.1, unit: 'mL/kg/min' };

const wagner: Source = {
  citation: 'Wagner J et al. Med Sci Sports Exerc 2020;52:1915–23',
  provenance: 'P',
  note: 'cuts by age for the cycle (526 people, 20 to 91 years); that both must be met is this program’s reading',
};

const wagnerSet = (from: number, to: number, rer: number, percent208: number): EffortSet => ({
  id: `wagner-2020-cycle-${from}-${to}`,
  title: `Cycle, ${from} to ${to} years (Wagner 2020)`,
  sufficient: [],
  supporting: [
    { kind: 'rer', atLeast: rer },
    { kind: 'heart-rate-percent', atLeast: percent208, formula: hrMaxTanaka2001 },
  ],
  needed: 2,
  rule: 'the RER and the heart rate together',
  ages: { from, to },
  source: wagner,
});

const plateauAlone = (id: string, title: string, criterion: EffortCriterion, source: Source): EffortSet => ({
  id,
  title,
  sufficient: [criterion],
  supporting: [],
  needed: 0,
  rule: 'a plateau and nothing else',
  source,
});

export const effortSets: readonly EffortSet[] = [
  {
    id: 'plateau-or-two-of-three',
    title: 'Plateau, or two of three',
    sufficient: [plateau150],
    supporting: [
      { kind: 'rer', atLeast: 1.1 },
      { kind: 'heart-rate-within', within: 10, formula: hrMaxFox1971 },
      { kind: 'rpe', atLeast: 17 },
    ],
    needed: 2,
    rule: 'a plateau, or any two of the three others',
    source: {
      citation: 'Howley ET et al. 1995 (review tradition); cuts in use: Robergs RA et al. Sports Med 2010;40:95',
      provenance: 'M',
      note: 'the decision rule is from memory; the survey of 75 laboratories gives the cuts in use',
    },
  },
  {
    id: 'plateau-or-two-of-three-strict',
    title: 'Plateau, or two of three, stricter cuts',
    sufficient: [plateau21],
    supporting: [
      { kind: 'rer', atLeast: 1.15 },
      { kind: 'heart-rate-within', within: 10, formula: hrMaxTanaka2001 },
      { kind: 'rpe', atLeast: 18 },
    ],
    needed: 2,
    rule: 'a plateau, or any two of the three others',
    source: {
      citation: 'Taylor HL, Buskirk E, Henschel A 1955 (plateau); Issekutz B et al. 1962 (RER 1.15); Howley ET et al. 1995 (rule)',
      provenance: 'M',
      note: 'from memory of the cited papers',
    },
  },
  {
    id: 'plateau-taylor-1955',
    title: 'Plateau alone (Taylor 1955)',
    sufficient: [plateau150],
    supporting: [],
    needed: 0,
    rule: 'a plateau and nothing else',
    source: {
      citation: 'Taylor HL, Buskirk E, Henschel A 1955',
      provenance: 'M',
      note: 'made for 2.5 % more grade at 7 mph in a discontinuous test; below 150 mL/min is still taught',
    },
  },
  {
    id: 'two-of-three-2007',
    title: 'Two of plateau, heart rate and RER (2007 table)',
    sufficient: [],
    supporting: [
      { kind: 'plateau', below: 100, unit: 'mL/min' },
      { kind: 'heart-rate-within', within: 5, formula: hrMaxFox1971 },
      { kind: 'rer', atLeast: 1.15 },
    ],
    needed: 2,
    rule: 'any two of the three',
    source: {
      citation: 'HK Practitioner 2007, table',
      provenance: 'P',
      note: 'printed there as RER above 1.15; the predicted maximum is taken as 220 − age',
    },
  },
  {
    id: 'plateau-or-two-of-four-lactate',
    title: 'Plateau, or two of RER, heart rate, RPE and lactate',
    sufficient: [plateau150],
    supporting: [
      { kind: 'rer', atLeast: 1.1 },
      { kind: 'heart-rate-percent', atLeast: 95, formula: hrMaxTanaka2001 },
      { kind: 'rpe', atLeast: 17 },
      { kind: 'lactate', atLeast: 8 },
    ],
    needed: 2,
    rule: 'a plateau, or any two of the four others',
    source: { citation: 'common laboratory practice; lactate of 8 mmol/L after Åstrand', provenance: 'C' },
  },
  plateauAlone(
    'plateau-ers-2019',
    'Plateau alone, below 2 mL/kg/min',
    { kind: 'plateau', below: 2, unit: 'mL/kg/min' },
    {
      citation: 'ERS statement 2019, table. Eur Respir Rev 28:180101',
      provenance: 'P',
      note: 'there for a rise of 5 to 10 % in intensity',
    },
  ),
  plateauAlone(
    'plateau-astrand-80',
    'Plateau alone, below 80 mL/min',
    { kind: 'plateau', below: 80, unit: 'mL/min' },
    {
      citation: 'Åstrand tradition',
      provenance: 'M',
    },
  ),
  plateauAlone(
    'plateau-astorino-50',
    'Plateau alone, at most 50 mL/min in the last 60 s',
    { kind: 'plateau', below: 51, unit: 'mL/min' },
    {
      citation: 'Astorino',
      provenance: 'M',
      note: '“at most 50” on whole mL/min is written here as below 51',
    },
  ),
  wagnerSet(20, 39, 1.13, 93),
  wagnerSet(40, 59, 1.1, 92),
  wagnerSet(60, 69, 1.06, 89),
];

/** The set of effort criteria with this id; undefined where there is none, or a sheet names none. */
export function effortSetById(id: string | undefined): EffortSet | undefined {
  return effortSets.find((set) => set.id === id);
}
