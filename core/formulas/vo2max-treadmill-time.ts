/** Maximal oxygen uptake predicted from the time on a treadmill protocol. */
import { ageSpan, age, clockReadAsDecimal, sex, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, InputSpec, Source, Validity } from './formula.ts';

const FAMILY = 'Maximal oxygen uptake from treadmill time';

const time = {
  label: 'Treadmill time',
  symbol: 'T',
  unit: 'min',
  alsoUnits: ['s'],
  min: 0.5,
  max: 60,
  note: 'Whole time on the protocol, without holding the rail; 10:30 is 10.5 minutes.',
} as const satisfies InputSpec;

interface Line {
  readonly id: string;
  readonly title: string;
  readonly slope: number;
  readonly intercept: number;
  readonly validity?: readonly Validity[];
  readonly error?: Formula['error'];
  readonly population: string;
  readonly source: Source;
}

const see = (value: number, text = `SEE ${value} mL/kg/min`): NonNullable<Formula['error']> => ({
  kind: 'SEE',
  value,
  unit: 'mL/kg/min',
  text,
});

/** VO₂max = slope·T + intercept, T in minutes. */
function line(definition: Line): Formula {
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

const bruce1973: Source = {
  citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546',
  provenance: 'P',
  note: 'minute form, r and SEE as in NSCA’s Guide to Tests and Assessments (2012)',
};

const bruceIntercept = { male: 3.88, female: 1.06 } as const;
const bruceTime = (v: { readonly time: number; readonly sex: 'male' | 'female' }) => 3.36 * v.time + bruceIntercept[v.sex];

export const vo2maxBruce1973: Formula = defineFormula({
  id: 'vo2max-bruce-1973',
  title: 'Bruce stages, healthy men and women (Bruce 1973)',
  family: FAMILY,
  inputs: { time, sex },
  output: vo2maxOut,
  validity: [],
  error: see(3.22, 'SEE 3.22 mL/kg/min, r 0.92; 3.72 in a re-test at 18 to 29 years'),
  population: '151 men and 144 women, healthy, 29 to 73 years',
  source: { ...bruce1973, note: 'one pooled equation, 6.70 − 2.82·sex(1 man, 2 woman) + 0.056·seconds, here in minutes' },
  equation: 'men 3.36·T + 3.88; women 3.36·T + 1.06',
  compute: bruceTime,
  substituted: (v) => `3.36 × ${n(v.time, 3)} + ${bruceIntercept[v.sex]}`,
  solve: { time: (v) => (v.output - bruceIntercept[v.sex]) / 3.36 },
  slips: [
    clockReadAsDecimal(bruceTime),
    {
      id: 'other-sex',
      says: 'the equation for the other sex was used',
      compute: (v) => bruceTime({ ...v, sex: v.sex === 'male' ? 'female' : 'male' }),
    },
  ],
});

export const vo2maxBruceActiveMen = line({
  id: 'vo2max-bruce-1973-active-men',
  title: 'Bruce stages, active men (Bruce 1973)',
  slope: 3.778,
  intercept: 0.19,
  error: see(1.9, 'SEE 1.9 mL/kg/min, r 0.906'),
  population: 'active healthy men',
  source: bruce1973,
});

export const vo2maxBruceSedentaryMen = line({
  id: 'vo2max-bruce-1973-sedentary-men',
  title: 'Bruce stages, sedentary men (Bruce 1973)',
  slope: 3.288,
  intercept: 4.07,
  population: 'sedentary healthy men; mean age 37 in the comparison of Myers 1992',
  source: {
    ...bruce1973,
    note: '3.288 as in NSCA’s Guide, 3.29 in Myers 1992; 3.298 in other handbooks (from memory) differs by 0.1 at 10 min',
  },
});

export const vo2maxBruceCardiacMen = line({
  id: 'vo2max-bruce-1973-cardiac-men',
  title: 'Bruce stages, men with heart disease (Bruce 1973)',
  slope: 2.327,
  intercept: 9.48,
  population: 'men with heart disease',
  source: { citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546', provenance: 'M' },
});

export const vo2maxBrucePollock1976 = line({
  id: 'vo2max-bruce-pollock-1976-men',
  title: 'Bruce stages, men (Pollock 1976)',
  slope: 4.326,
  intercept: -4.66,
  population: 'men, mean 40.0 ± 7.2 years; r 0.88',
  source: {
    citation: 'Pollock ML et al. 1976, in Myers J et al. Chest 1992;101:236S',
    provenance: 'P',
    note: 'printed there as 4.33·T − 4.66',
  },
});

/** Foster's cubic in T, minutes. */
const foster = (t: number) => 14.76 - 1.379 * t + 0.451 * t ** 2 - 0.012 * t ** 3;
/** Where the cubic stops rising: the roots of −1.379 + 0.902·T − 0.036·T². */
const FOSTER_RISES = { from: 1.6356, to: 23.4199 } as const;

export const vo2maxBruceFoster1984: Formula = defineFormula({
  id: 'vo2max-bruce-foster-1984-men',
  title: 'Bruce stages, men (Foster 1984)',
  family: FAMILY,
  inputs: { time },
  output: vo2maxOut,
  validity: [
    {
      input: 'time',
      min: FOSTER_RISES.from,
      hard: true,
      text: 'Foster’s cubic falls with time below 1.6 minutes, so it has no meaning there.',
    },
    {
      input: 'time',
      max: FOSTER_RISES.to,
      hard: true,
      text: 'Foster’s cubic falls with time beyond 23.4 minutes, so it has no meaning there.',
    },
    { input: 'time', min: 3, text: 'Foster’s equation is used from about 3 to 22 minutes; this is shorter.' },
    { input: 'time', max: 22, text: 'Foster’s equation is used from about 3 to 22 minutes; this is longer.' },
  ],
  error: see(3.35, 'SEE 3.35 mL/kg/min, r 0.977'),
  population: '230 men, 48 ± 16 years, active and sedentary',
  source: {
    citation: 'Foster C et al. Am Heart J 1984;107:1229',
    provenance: 'P',
    note: 'constant 14.76 as in NSCA’s Guide (which prints 1.38 for 1.379); pages that round it to 14.8 are 0.04 higher',
  },
  equation: 'VO₂max = 14.76 − 1.379·T + 0.451·T² − 0.012·T³',
  compute: (v) => foster(v.time),
  substituted: (v) => {
    const t = n(v.time, 3);
    return `14.76 − 1.379 × ${t} + 0.451 × ${t}² − 0.012 × ${t}³`;
  },
  solve: {
    // Monotone between its turning points, so halving finds the one time there, or none.
    time: (v) => {
      let { from, to } = FOSTER_RISES as { from: number; to: number };
      if (v.output < foster(from) || v.output > foster(to)) return Number.NaN;
      for (let i = 0; i < 100; i++) {
        const middle = (from + to) / 2;
        if (foster(middle) < v.output) from = middle;
        else to = middle;
      }
      return (from + to) / 2;
    },
  },
  slips: [clockReadAsDecimal((v: { readonly time: number }) => foster(v.time))],
});

export const vo2maxBrucePollock1982 = line({
  id: 'vo2max-bruce-pollock-1982-women',
  title: 'Bruce stages, women (Pollock 1982)',
  slope: 4.38,
  intercept: -3.9,
  error: see(2.7, 'SEE 2.7 mL/kg/min, r 0.91'),
  population: '49 women, 20 to 42 years',
  source: {
    citation: 'Pollock ML et al. Am Heart J 1982;103:363',
    provenance: 'P',
    note: 'as in NSCA’s Guide to Tests and Assessments (2012)',
  },
});

export const vo2maxBruceMcConnell1987 = line({
  id: 'vo2max-bruce-mcconnell-1987-handrail',
  title: 'Bruce stages with handrail (McConnell & Clark 1987)',
  slope: 2.282,
  intercept: 8.545,
  error: see(4.9),
  population: '50 cardiac and elderly patients, holding the rail',
  source: {
    citation: 'McConnell TR, Clark BA 1987',
    provenance: 'P2',
    note: 'for handrail support only; pages that call it “modified Bruce”, or add a constant for women, are not supported by a paper',
  },
});

export const vo2maxBalkePollock1976 = line({
  id: 'vo2max-balke-pollock-1976-men',
  title: 'Balke at 3.3 mph, men (Pollock 1976)',
  slope: 1.444,
  intercept: 14.99,
  error: see(2.5, 'SEE 2.5 mL/kg/min [from memory], r 0.92'),
  population: 'men 35 to 55 years, mean 39.4 ± 5.9',
  source: {
    citation: 'Pollock ML et al. 1976, in Myers J et al. Chest 1992;101:236S',
    provenance: 'P',
    note: 'printed there as 1.44·T + 14.99. It belongs to the Balke protocol: pages that give it for the Åstrand treadmill test are wrong',
  },
});

export const vo2maxBalkePollock1982 = line({
  id: 'vo2max-balke-pollock-1982-women',
  title: 'Balke at 3.0 mph, women (Pollock 1982)',
  slope: 1.38,
  intercept: 5.22,
  error: see(2.2, 'SEE 2.2 mL/kg/min, r 0.94'),
  population: '49 women, 20 to 42 years',
  source: {
    citation: 'Pollock ML et al. Am Heart J 1982;103:363',
    provenance: 'P',
    note: 'constant printed as 5.2 in NSCA’s Guide; also 0.023·seconds + 5.2',
  },
});

export const vo2maxBalkeFroelicher1974 = line({
  id: 'vo2max-balke-froelicher-1974-men',
  title: 'Balke, men (Froelicher & Lancaster 1974)',
  slope: 1.51,
  intercept: 11.12,
  error: see(4.26, 'SEE 4.26 mL/kg/min, r 0.72'),
  population: 'men; the number of people is doubtful',
  source: { citation: 'Froelicher VF, Lancaster MC. Am Heart J 1974;87:445', provenance: 'M' },
});

export const vo2maxNaughtonFoster1983 = line({
  id: 'vo2max-naughton-foster-1983-cardiac-men',
  title: 'Naughton, men with heart disease (Foster 1983)',
  slope: 1.61,
  intercept: 3.6,
  error: see(2.6, 'SEE 2.60 mL/kg/min, r 0.97 [both from memory]'),
  population: '188 men with heart disease',
  source: { citation: 'Foster C et al. 1983', provenance: 'P2' },
});

const martin = (v: { readonly time: number; readonly age: number }) => 17.66 + 0.985 * v.time - 0.169 * v.age;

export const vo2maxNaughtonMartin: Formula = defineFormula({
  id: 'vo2max-naughton-martin-cad-men',
  title: 'Abbreviated Naughton, men with coronary disease (Martin)',
  family: FAMILY,
  inputs: { time, age },
  output: vo2maxOut,
  validity: [],
  error: see(3.2, 'SEE 3.2 mL/kg/min, r 0.93'),
  population: '50 men with coronary artery disease, continuous 2-minute stages',
  source: { citation: 'Martin et al., modified Naughton protocol (abstract)', provenance: 'P' },
  equation: 'VO₂max = 17.66 + 0.985·T − 0.169·age',
  compute: martin,
  substituted: (v) => `17.66 + 0.985 × ${n(v.time, 3)} − 0.169 × ${n(v.age, 1)}`,
  solve: { time: (v) => (v.output - 17.66 + 0.169 * v.age) / 0.985 },
  slips: [clockReadAsDecimal(martin)],
});

export const vo2maxRampMyers1992: Formula = defineFormula({
  id: 'vo2max-ramp-myers-1992',
  title: 'Individual treadmill ramp (Myers 1992)',
  family: FAMILY,
  inputs: { predicted: { label: 'Oxygen uptake predicted at the end', symbol: 'x', unit: 'mL/kg/min', min: 5, max: 100 } },
  output: vo2maxOut,
  validity: [],
  error: see(4.35, 'SEE 4.35 mL/kg/min, r 0.87'),
  population: 'mean 33.1 ± 10.7 mL/kg/min',
  source: {
    citation: 'Myers J et al. Chest 1992;101:236S',
    provenance: 'P',
    note: 'that x is the uptake predicted from the work rate is inferred',
  },
  equation: 'VO₂max = 0.72·x + 3.67',
  compute: (v) => 0.72 * v.predicted + 3.67,
  substituted: (v) => `0.72 × ${n(v.predicted, 2)} + 3.67`,
  solve: { predicted: (v) => (v.output - 3.67) / 0.72 },
});

const faiAges = {
  'male sedentary': [57.8, 0.445],
  'male active': [69.7, 0.612],
  'female sedentary': [42.3, 0.356],
  'female active': [42.9, 0.312],
} as const;

export const vo2maxAgeNormBruce1973: Formula = defineFormula({
  id: 'vo2max-age-norm-bruce-1973',
  title: 'Age norm for functional aerobic impairment (Bruce 1973)',
  family: FAMILY,
  inputs: {
    age,
    sex,
    activity: {
      label: 'Activity',
      symbol: 'activity',
      unit: '1',
      choices: [
        { value: 'sedentary', label: 'sedentary' },
        { value: 'active', label: 'active' },
      ],
    },
  },
  output: vo2maxOut,
  validity: ageSpan(29, 73),
  population: 'healthy men and women, 29 to 73 years',
  source: {
    citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546',
    provenance: 'P2',
    note: 'one copy gives all women as 41.2 − 0.343·age',
  },
  equation: 'men 57.8 − 0.445·age (active 69.7 − 0.612·age); women 42.3 − 0.356·age (active 42.9 − 0.312·age)',
  compute: (v) => faiAges[`${v.sex} ${v.activity}`][0] - faiAges[`${v.sex} ${v.activity}`][1] * v.age,
  substituted: (v) => `${faiAges[`${v.sex} ${v.activity}`][0]} − ${faiAges[`${v.sex} ${v.activity}`][1]} × ${n(v.age, 1)}`,
});

export const functionalAerobicImpairment: Formula = defineFormula({
  id: 'functional-aerobic-impairment',
  title: 'Functional aerobic impairment',
  family: FAMILY,
  inputs: {
    predicted: { label: 'Predicted oxygen uptake', symbol: 'predicted', unit: 'mL/kg/min', min: 1, max: 100 },
    observed: { label: 'Observed oxygen uptake', symbol: 'observed', unit: 'mL/kg/min', min: 0, max: 100 },
  },
  output: { label: 'Functional aerobic impairment', symbol: 'FAI', unit: '%', decimals: 1 },
  validity: [],
  source: { citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546 (definition in the abstract)', provenance: 'P' },
  equation: 'FAI = 100·(predicted − observed)/predicted',
  compute: (v) => (100 * (v.predicted - v.observed)) / v.predicted,
  substituted: (v) => `100 × (${n(v.predicted, 3)} − ${n(v.observed, 3)}) / ${n(v.predicted, 3)}`,
  solve: { observed: (v) => v.predicted * (1 - v.output / 100) },
});

export const treadmillTimeFormulas: readonly Formula[] = [
  vo2maxBruce1973,
  vo2maxBruceFoster1984,
  vo2maxBrucePollock1982,
  vo2maxBruceActiveMen,
  vo2maxBruceSedentaryMen,
  vo2maxBruceCardiacMen,
  vo2maxBrucePollock1976,
  vo2maxBruceMcConnell1987,
  vo2maxBalkePollock1976,
  vo2maxBalkePollock1982,
  vo2maxBalkeFroelicher1974,
  vo2maxNaughtonFoster1983,
  vo2maxNaughtonMartin,
  vo2maxRampMyers1992,
  vo2maxAgeNormBruce1973,
  functionalAerobicImpairment,
];
