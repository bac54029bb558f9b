/** Maximal oxygen uptake predicted from the time on the Bruce stages. */
import { clockReadAsDecimal, sex, vo2maxOut } from './common.ts';
import { defineFormula, n } from './define.ts';
import type { Formula, Source } from './formula.ts';
import { FAMILY, line, see, time } from './treadmill-time-line.ts';

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

export const bruceTimeFormulas: readonly Formula[] = [
  vo2maxBruce1973,
  vo2maxBruceFoster1984,
  vo2maxBrucePollock1982,
  vo2maxBruceActiveMen,
  vo2maxBruceSedentaryMen,
  vo2maxBruceCardiacMen,
  vo2maxBrucePollock1976,
  vo2maxBruceMcConnell1987,
];
