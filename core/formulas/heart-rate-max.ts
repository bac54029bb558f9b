/** Maximal heart rate predicted from age: the published equations side by side. */
import { defineFormula, n, sexChoices } from './define.ts';
import type { Formula, InputSpec, Source, Validity } from './formula.ts';

const FAMILY = 'Maximal heart rate';

const age = { label: 'Age', symbol: 'age', unit: 'a', min: 1, max: 110 } as const satisfies InputSpec;
const output = { label: 'Predicted maximal heart rate', symbol: 'HRmax', unit: '/min', decimals: 0 } as const;

interface Line {
  readonly id: string;
  readonly title: string;
  /** intercept − slope × age */
  readonly intercept: number;
  readonly slope: number;
  readonly validity?: readonly Validity[];
  readonly error?: Formula['error'];
  readonly population: string;
  readonly source: Source;
}

/** Most of the published equations are straight lines in age. */
function line(definition: Line): Formula {
  const { intercept, slope, validity = [], error, ...rest } = definition;
  const product = slope === 1 ? 'age' : `${slope}·age`;
  return defineFormula({
    ...rest,
    family: FAMILY,
    inputs: { age },
    output,
    validity,
    ...(error ? { error } : {}),
    equation: `HRmax = ${intercept} − ${product}`,
    compute: (v) => intercept - slope * v.age,
    substituted: (v) => (slope === 1 ? `${intercept} − ${n(v.age, 1)}` : `${intercept} − ${slope} × ${n(v.age, 1)}`),
    solve: { age: (v) => (intercept - v.output) / slope },
  });
}

const spread = (kind: 'SD' | 'SEE' | 'range', value: number, text: string): NonNullable<Formula['error']> => ({
  kind,
  value,
  unit: '/min',
  text,
});

export const hrMaxFox1971 = line({
  id: 'hr-max-fox-1971',
  title: 'Maximal heart rate, 220 − age (Fox 1971)',
  intercept: 220,
  slope: 1,
  error: spread('SD', 12, 'SD about 10 to 12 /min'),
  population: 'about ten data sets, men mostly under 55; never a regression',
  source: { citation: 'Fox 1971, as traced by Robergs & Landwehr, JEPonline 2002;5(2), and Gellish et al. 2007', provenance: 'P' },
});

export const hrMaxTanaka2001 = line({
  id: 'hr-max-tanaka-2001',
  title: 'Maximal heart rate, 208 − 0.7·age (Tanaka 2001)',
  intercept: 208,
  slope: 0.7,
  error: spread('SD', 10, 'about 10 /min [from memory]'),
  population: '351 studies, 18 712 people',
  source: {
    citation: 'Tanaka H, Monahan KD, Seals DR. J Am Coll Cardiol 2001;37:153',
    provenance: 'P',
    note: 'the sample and its r of −0.90 are from memory',
  },
});

export const hrMaxTanakaLaboratory = line({
  id: 'hr-max-tanaka-2001-laboratory',
  title: 'Maximal heart rate, 209 − 0.7·age (Tanaka 2001, own laboratory)',
  intercept: 209,
  slope: 0.7,
  population: '514 people tested in the authors’ own laboratory',
  source: { citation: 'Tanaka H, Monahan KD, Seals DR. J Am Coll Cardiol 2001;37:153', provenance: 'P' },
});

const tanakaGroups = { sedentary: [212, 0.7], active: [207, 0.7], 'endurance-trained': [205, 0.6] } as const;

export const hrMaxTanakaGroups: Formula = defineFormula({
  id: 'hr-max-tanaka-2001-by-training',
  title: 'Maximal heart rate by training (Tanaka 2001)',
  family: FAMILY,
  inputs: {
    age,
    training: {
      label: 'Training',
      symbol: 'training',
      unit: '1',
      choices: [
        { value: 'sedentary', label: 'sedentary' },
        { value: 'active', label: 'active' },
        { value: 'endurance-trained', label: 'endurance-trained' },
      ],
    },
  },
  output,
  validity: [],
  population: 'subgroups of the meta-analysis',
  source: {
    citation: 'Tanaka H, Monahan KD, Seals DR. J Am Coll Cardiol 2001;37:153',
    provenance: 'M',
    note: 'sedentary and endurance-trained were seen in public copies; the active line is from memory',
  },
  equation: 'sedentary 212 − 0.7·age; active 207 − 0.7·age; endurance-trained 205 − 0.6·age',
  compute: (v) => tanakaGroups[v.training][0] - tanakaGroups[v.training][1] * v.age,
  substituted: (v) => `${tanakaGroups[v.training][0]} − ${tanakaGroups[v.training][1]} × ${n(v.age, 1)}`,
});

const gellishSource: Source = { citation: 'Gellish RL et al. Med Sci Sports Exerc 2007;39:822', provenance: 'P' };
const gellishError = spread('range', 8, '5 to 8 /min for 30 to 75 years (NSCA’s Guide to Tests and Assessments)');
const gellishAges: readonly Validity[] = [
  { input: 'age', min: 30, text: 'The error of 5 to 8 /min is quoted for 30 to 75 years; this age is below.' },
  { input: 'age', max: 75, text: 'The error of 5 to 8 /min is quoted for 30 to 75 years; this age is above.' },
];

export const hrMaxGellish2007 = line({
  id: 'hr-max-gellish-2007',
  title: 'Maximal heart rate, 207 − 0.7·age (Gellish 2007)',
  intercept: 207,
  slope: 0.7,
  validity: gellishAges,
  error: gellishError,
  population: '132 people, 908 tests over years',
  source: gellishSource,
});

export const hrMaxGellish2007Unrounded = line({
  id: 'hr-max-gellish-2007-unrounded',
  title: 'Maximal heart rate, 206.9 − 0.67·age (Gellish 2007, as fitted)',
  intercept: 206.9,
  slope: 0.67,
  validity: gellishAges,
  error: gellishError,
  population: '132 people, 908 tests over years',
  source: gellishSource,
});

export const hrMaxGellish2007Quadratic: Formula = defineFormula({
  id: 'hr-max-gellish-2007-quadratic',
  title: 'Maximal heart rate, 191.5 − 0.007·age² (Gellish 2007)',
  family: FAMILY,
  inputs: { age },
  output,
  validity: gellishAges,
  error: spread('range', 5, '2 to 5 /min quoted for 30 to 75 years'),
  population: '132 people, 908 tests over years',
  source: { ...gellishSource, note: 'also printed rounded to 192 (from memory); 191.5 is used' },
  equation: 'HRmax = 191.5 − 0.007·age²',
  compute: (v) => 191.5 - 0.007 * v.age ** 2,
  substituted: (v) => `191.5 − 0.007 × ${n(v.age, 1)}²`,
  solve: { age: (v) => Math.sqrt((191.5 - v.output) / 0.007) },
});

export const hrMaxGulati2010 = line({
  id: 'hr-max-gulati-2010-women',
  title: 'Maximal heart rate of women, 206 − 0.88·age (Gulati 2010)',
  intercept: 206,
  slope: 0.88,
  validity: [{ input: 'age', min: 35, text: 'The women of this study were 35 or older.' }],
  error: spread('SD', 12, 'about 12 /min [from memory]'),
  population: '5437 women without symptoms, 35 years or older; women only',
  source: { citation: 'Gulati M et al. Circulation 2010;122:130', provenance: 'P' },
});

export const hrMaxNes2013 = line({
  id: 'hr-max-nes-2013',
  title: 'Maximal heart rate, 211 − 0.64·age (Nes 2013)',
  intercept: 211,
  slope: 0.64,
  error: spread('SEE', 10.8, 'SEE 10.8 /min'),
  population: '3320 healthy men and women over a wide range of age',
  source: { citation: 'Nes BM et al. Scand J Med Sci Sports 2013;23:697', provenance: 'P' },
});

export const hrMaxJones1985 = line({
  id: 'hr-max-jones-1985',
  title: 'Maximal heart rate on the cycle, 202 − 0.72·age (Jones 1985)',
  intercept: 202,
  slope: 0.72,
  validity: [
    { input: 'age', min: 15, text: 'The people of this study were 15 to 71 years old.' },
    { input: 'age', max: 71, text: 'The people of this study were 15 to 71 years old.' },
  ],
  error: spread('SEE', 10.3, 'SEE 10.3 /min'),
  population: '50 men and 50 women, 15 to 71 years, cycle',
  source: { citation: 'Jones NL et al. Am Rev Respir Dis 1985', provenance: 'P', note: 'seen in the abstract; the journal is from memory' },
});

export const hrMaxAstrand = line({
  id: 'hr-max-astrand',
  title: 'Maximal heart rate, 216.6 − 0.84·age (Åstrand)',
  intercept: 216.6,
  slope: 0.84,
  validity: [{ input: 'age', max: 34, text: 'This equation is quoted for 4 to 34 years.' }],
  population: 'men and women 4 to 34 years old, as quoted by ACSM',
  source: {
    citation: 'Åstrand, as quoted in the ACSM Guidelines',
    provenance: 'M',
    note: 'the attribution and the span of ages are doubtful',
  },
});

export const hrMaxInbar1994 = line({
  id: 'hr-max-inbar-1994',
  title: 'Maximal heart rate, 205.8 − 0.685·age (Inbar 1994)',
  intercept: 205.8,
  slope: 0.685,
  error: spread('SEE', 6.4, 'Sxy 6.4 /min'),
  population: 'as reviewed by Robergs and Landwehr',
  source: { citation: 'Inbar O et al. 1994, in Robergs & Landwehr, JEPonline 2002;5(2)', provenance: 'P' },
});

export const hrMaxLonderee1982 = line({
  id: 'hr-max-londeree-moeschberger',
  title: 'Maximal heart rate, 206.3 − 0.711·age (Londeree & Moeschberger)',
  intercept: 206.3,
  slope: 0.711,
  population: 'meta-analysis',
  source: { citation: 'Londeree BR, Moeschberger ML', provenance: 'M', note: 'seen as 206 − 0.7·age; the decimals are from memory' },
});

export const hrMaxArena2016 = line({
  id: 'hr-max-friend-2016',
  title: 'Maximal heart rate, 209.3 − 0.72·age (FRIEND, Arena 2016)',
  intercept: 209.3,
  slope: 0.72,
  population: 'FRIEND registry',
  source: { citation: 'Arena R et al. 2016 (FRIEND registry)', provenance: 'P2' },
});

const sydo = { male: [220, 0.95], female: [210, 0.79] } as const;

export const hrMaxSydo2014: Formula = defineFormula({
  id: 'hr-max-sydo-2014',
  title: 'Maximal heart rate by sex (Sydó 2014)',
  family: FAMILY,
  inputs: { age, sex: { label: 'Sex', symbol: 'sex', unit: '1', choices: sexChoices } },
  output,
  validity: [
    { input: 'age', min: 40, text: 'The people of this study were 40 to 89 years old.' },
    { input: 'age', max: 89, text: 'The people of this study were 40 to 89 years old.' },
  ],
  population: '19 013 people, 40 to 89 years, Bruce treadmill test',
  source: { citation: 'Sydó N et al. Mayo Clin Proc 2014', provenance: 'P' },
  equation: 'men 220 − 0.95·age; women 210 − 0.79·age',
  compute: (v) => sydo[v.sex][0] - sydo[v.sex][1] * v.age,
  substituted: (v) => `${sydo[v.sex][0]} − ${sydo[v.sex][1]} × ${n(v.age, 1)}`,
});

export const hrMaxZhu2010: Formula = defineFormula({
  id: 'hr-max-zhu-2010',
  title: 'Maximal heart rate, 179 + 0.29·age − 0.011·age² (Zhu 2010, CARDIA)',
  family: FAMILY,
  inputs: { age },
  output,
  validity: [
    { input: 'age', min: 18, text: 'The people of this study were 18 to 50 years old.' },
    { input: 'age', max: 50, text: 'The people of this study were 18 to 50 years old.' },
  ],
  population: '9622 tests, 18 to 50 years',
  source: { citation: 'Zhu N et al. Med Sci Sports Exerc 2010;42:1519', provenance: 'P' },
  equation: 'HRmax = 179 + 0.29·age − 0.011·age²',
  compute: (v) => 179 + 0.29 * v.age - 0.011 * v.age ** 2,
  substituted: (v) => `179 + 0.29 × ${n(v.age, 1)} − 0.011 × ${n(v.age, 1)}²`,
});

export const heartRateMax: readonly Formula[] = [
  hrMaxFox1971,
  hrMaxTanaka2001,
  hrMaxTanakaLaboratory,
  hrMaxTanakaGroups,
  hrMaxGellish2007,
  hrMaxGellish2007Unrounded,
  hrMaxGellish2007Quadratic,
  hrMaxNes2013,
  hrMaxGulati2010,
  hrMaxJones1985,
  hrMaxInbar1994,
  hrMaxLonderee1982,
  hrMaxAstrand,
  hrMaxSydo2014,
  hrMaxZhu2010,
  hrMaxArena2016,
];
