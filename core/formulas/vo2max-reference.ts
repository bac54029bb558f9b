/** Reference values of maximal oxygen uptake from registries: what a person of this age, sex and size is expected to reach. */
import { age, ageSpan, mass, massInPounds, massPutInKilograms, otherSex, sex, vo2maxAbsoluteOut, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec } from './formula.ts';

const FAMILY = 'Reference values of maximal oxygen uptake';
const peterman = 'coefficients as in Peterman JE et al. J Am Heart Assoc 2020;9:e015117, Table 1';

const height = {
  label: 'Height',
  symbol: 'H',
  unit: 'cm',
  alsoUnits: ['m', '[in_i]', '[ft_i]'],
  min: 100,
  max: 230,
} as const satisfies InputSpec;
const mode = {
  label: 'Ergometer',
  symbol: 'mode',
  unit: '1',
  choices: [
    { value: 'treadmill', label: 'treadmill' },
    { value: 'cycle', label: 'cycle' },
  ],
} as const satisfies InputSpec;

const see = (value: number, text = `SEE ${value} mL/kg/min`): NonNullable<Formula['error']> => ({
  kind: 'SEE',
  value,
  unit: 'mL/kg/min',
  text,
});

const friend2017 = (v: { readonly age: number; readonly sex: 'male' | 'female'; readonly mass: number }) =>
  79.9 - 0.39 * v.age - (v.sex === 'female' ? 13.7 : 0) - 0.127 * v.mass;

export const vo2maxFriend2017: Formula = defineFormula({
  id: 'vo2max-friend-2017',
  title: 'FRIEND reference equation, treadmill (Myers 2017)',
  family: FAMILY,
  inputs: { age, sex, mass: massInPounds },
  output: { ...vo2maxOut, alsoUnits: ['[MET]'] },
  validity: ageSpan(20, 79),
  error: see(7.2, 'SEE 7.2 mL/kg/min, R² 0.62'),
  population: '7783 people (4611 men, 3172 women), 20 to 79 years, treadmill',
  source: {
    citation: 'Myers J et al. Prog Cardiovasc Dis 2017',
    provenance: 'P',
    note: `${peterman}; the author codes man 0, woman 1 and uses pounds`,
  },
  equation: 'VO₂max = 79.9 − 0.39·age − 13.7 (women) − 0.127·lb',
  compute: friend2017,
  substituted: (v) => `79.9 − 0.39 × ${n(v.age, 1)}${v.sex === 'female' ? ' − 13.7' : ''} − 0.127 × ${n(v.mass, 1)}`,
  slips: [massPutInKilograms(friend2017), otherSex(friend2017)],
});

type Friend2018 = {
  readonly age: number;
  readonly sex: 'male' | 'female';
  readonly mass: number;
  readonly height: number;
  readonly mode: 'treadmill' | 'cycle';
};
const friend2018 = (v: Friend2018) =>
  45.2 - 0.35 * v.age - 10.9 * (v.sex === 'female' ? 2 : 1) - 0.15 * v.mass + 0.68 * v.height - 0.46 * (v.mode === 'cycle' ? 2 : 1);

export const vo2maxFriend2018: Formula = defineFormula({
  id: 'vo2max-friend-2018',
  title: 'FRIEND reference equation, treadmill or cycle (de Souza e Silva 2018)',
  family: FAMILY,
  inputs: {
    age,
    sex,
    mass: massInPounds,
    height: { ...height, unit: '[in_i]', alsoUnits: ['cm', 'm', '[ft_i]'], min: 40, max: 90, symbol: 'in' },
    mode,
  },
  output: { ...vo2maxOut, alsoUnits: ['[MET]'] },
  validity: ageSpan(20, 85),
  error: see(6.6, 'SEE 6.6 mL/kg/min, R² 0.62'),
  population: '10 881 people, 20 to 85 years; 7617 model, 3264 validation',
  source: {
    citation: 'de Souza e Silva CG et al. Eur J Prev Cardiol 2018;25:742–50',
    provenance: 'P',
    note: 'the author codes man 1, woman 2 and treadmill 1, cycle 2; the mode term is far smaller than the 10 to 20 % that the same person differs by',
  },
  equation: 'VO₂max = 45.2 − 0.35·age − 10.9·(1 man, 2 woman) − 0.15·lb + 0.68·in − 0.46·(1 treadmill, 2 cycle)',
  compute: friend2018,
  substituted: (v) =>
    `45.2 − 0.35 × ${n(v.age, 1)} − 10.9 × ${v.sex === 'female' ? 2 : 1} − 0.15 × ${n(v.mass, 1)} + 0.68 × ${n(v.height, 1)} − 0.46 × ${v.mode === 'cycle' ? 2 : 1}`,
  slips: [
    massPutInKilograms(friend2018),
    otherSex(friend2018),
    {
      id: 'height-in-cm',
      says: 'the height was put in in centimetres; this equation wants inches',
      compute: (v) => friend2018({ ...v, height: v.height * 2.54 }),
    },
    {
      id: 'sex-coded-0-1',
      says: 'sex was coded 0 and 1; this author codes man 1 and woman 2',
      compute: (v) => friend2018(v) + 10.9,
    },
  ],
});

/** Ideal body mass in kg from height in cm, of the Hansen–Wasserman equations. */
const idealMass = (v: { readonly sex: 'male' | 'female'; readonly height: number }) =>
  v.sex === 'male' ? 0.79 * v.height - 60.7 : 0.65 * v.height - 42.8;

type Hansen = {
  readonly age: number;
  readonly sex: 'male' | 'female';
  readonly height: number;
  readonly mass: number;
  readonly mode: 'treadmill' | 'cycle';
};

/** mL/min; see the formula below for the three cases of body mass */
const hansen = (v: Hansen) => {
  const ideal = idealMass(v);
  const added = v.sex === 'male' ? 0 : 43;
  const factor = v.sex === 'male' ? 50.72 - 0.372 * v.age : 22.78 - 0.17 * v.age;
  const cycle = v.mass < ideal ? ((ideal + v.mass) / 2 + added) * factor : (ideal + added) * factor + 6 * (v.mass - ideal);
  return cycle * (v.mode === 'treadmill' ? 1.11 : 1);
};

export const vo2maxHansenWasserman: Formula = defineFormula({
  id: 'vo2max-hansen-wasserman',
  title: 'Reference value by height, mass and age (Hansen/Wasserman)',
  family: FAMILY,
  inputs: { age, sex, height, mass, mode },
  output: { ...vo2maxAbsoluteOut, unit: 'mL/min', alsoUnits: ['L/min', 'mL/kg/min'], decimals: 0 },
  validity: [],
  population: 'shipyard workers, men, with a textbook extension to women; cycle, ×1.11 for the treadmill',
  source: {
    citation: 'Hansen/Wasserman, as in Pistea C et al. ERJ Open Res 2016 and Peterman JE et al. J Am Heart Assoc 2020;9:e015117',
    provenance: 'P',
    note: 'Peterman’s table prints measured in place of ideal mass in the line for heavy men: a misprint',
  },
  equation:
    'ideal men 0.79·H − 60.7, women 0.65·H − 42.8; factor men 50.72 − 0.372·age, women 22.78 − 0.17·age; men ideal·factor, women (ideal + 43)·factor; below ideal the mean of ideal and actual mass; above it + 6·(M − ideal); treadmill ×1.11',
  compute: hansen,
  substituted: (v) => {
    const ideal = idealMass(v);
    const factor = n(v.sex === 'male' ? 50.72 - 0.372 * v.age : 22.78 - 0.17 * v.age, 3);
    const plus43 = v.sex === 'male' ? '' : ' + 43';
    const core =
      v.mass < ideal
        ? `((${n(ideal, 2)} + ${n(v.mass, 2)}) / 2${plus43}) × ${factor}`
        : `(${n(ideal, 2)}${plus43}) × ${factor} + 6 × (${n(v.mass, 2)} − ${n(ideal, 2)})`;
    return v.mode === 'treadmill' ? `1.11 × (${core})` : core;
  },
});

export const vo2maxJones1985: Formula = defineFormula({
  id: 'vo2max-jones-1985',
  title: 'Reference value on the cycle (Jones 1985)',
  family: FAMILY,
  inputs: { age, sex, height },
  output: { ...vo2maxAbsoluteOut, alsoUnits: ['mL/min'] },
  validity: ageSpan(15, 71),
  error: { kind: 'SEE', value: 0.458, unit: 'L/min', text: 'SEE 0.458 L/min, r 0.87' },
  population: '50 men and 50 women, 15 to 71 years, cycle',
  source: { citation: 'Jones NL et al. Am Rev Respir Dis 1985', provenance: 'P', note: 'abstract; the journal is from memory' },
  equation: 'VO₂max = 0.046·H − 0.021·age − 0.62 (women) − 4.31',
  compute: (v) => 0.046 * v.height - 0.021 * v.age - (v.sex === 'female' ? 0.62 : 0) - 4.31,
  substituted: (v) => `0.046 × ${n(v.height, 1)} − 0.021 × ${n(v.age, 1)}${v.sex === 'female' ? ' − 0.62' : ''} − 4.31`,
});

export const referenceFormulas: readonly Formula[] = [vo2maxFriend2017, vo2maxFriend2018, vo2maxHansenWasserman, vo2maxJones1985];
