import type { Provenance } from './formula.ts';
import type { Stage, StageSet } from './stage-sets.ts';

const treadmill = (name: string, minutes: number, mph: number, grade: number, provenance?: Provenance): Stage => ({
  name,
  minutes,
  speed: { value: mph, unit: '[mi_i]/h' },
  grade: { value: grade, unit: '%' },
  ...(provenance ? { provenance } : {}),
});

const bruceStages: readonly Stage[] = [
  treadmill('1', 3, 1.7, 10),
  treadmill('2', 3, 2.5, 12),
  treadmill('3', 3, 3.4, 14),
  treadmill('4', 3, 4.2, 16),
  treadmill('5', 3, 5.0, 18),
  treadmill('6', 3, 5.5, 20),
  treadmill('7', 3, 6.0, 22),
  treadmill('8', 3, 6.5, 24),
  treadmill('9', 3, 7.0, 26),
  treadmill('10', 3, 7.5, 28),
];

/** Minutes of a protocol whose grade rises a little each minute. */
const minuteByMinute = (count: number, mph: number, gradeOf: (minute: number) => number): readonly Stage[] =>
  Array.from({ length: count }, (_, i) => treadmill(`minute ${i + 1}`, 1, mph, gradeOf(i + 1)));

/** Five miles an hour unless another speed is chosen by fitness. */
const astrandStages: readonly Stage[] = [
  treadmill('1', 3, 5, 0),
  ...Array.from({ length: 8 }, (_, i) => treadmill(String(i + 2), 2, 5, 2.5 * (i + 1))),
];

export const treadmillStageSets: readonly StageSet[] = [
  {
    id: 'bruce',
    title: 'Bruce treadmill',
    mode: 'treadmill',
    effort: 'maximal',
    stages: bruceStages,
    rules: [
      'Most people walk to stage 3 and run from stage 5; at stage 4 the gait that was seen chooses the equation (about 12 METs run, 13 to 13.5 walked).',
      'No support on the handrail where time or uptake is to be compared.',
    ],
    source: {
      citation: 'Bruce RA, Kusumi F, Hosmer D. Am Heart J 1973;85:546',
      provenance: 'P',
      note: 'speeds and grades agree in several public tables',
    },
  },
  {
    id: 'bruce-modified',
    title: 'Modified Bruce treadmill',
    mode: 'treadmill',
    effort: 'maximal',
    stages: [treadmill('0', 3, 1.7, 0), treadmill('½', 3, 1.7, 5), ...bruceStages],
    rules: ['The equations for time on the standard Bruce protocol do not hold for the whole time here.'],
    source: { citation: 'clinical reference page; NSCA’s Guide to Tests and Assessments (2012)', provenance: 'P' },
  },
  {
    id: 'balke-ware-men',
    title: 'Balke–Ware treadmill, men',
    mode: 'treadmill',
    effort: 'maximal',
    stages: [
      ...minuteByMinute(25, 3.3, (minute) => (minute === 1 ? 0 : minute)),
      ...Array.from({ length: 5 }, (_, i) => treadmill(`minute ${26 + i}`, 1, Number((3.3 + 0.2 * (i + 1)).toFixed(1)), 25, 'M')),
    ],
    rules: [
      '3.3 mph (some charts 3.4 [from memory]): level in minute 1, 2 % in minute 2, then 1 % more each minute. NSCA’s Guide raises 1 % from minute 1, and so is 1 % behind.',
      'After 25 minutes 0.2 mph more each minute at the same grade [from memory].',
    ],
    source: { citation: 'Balke B, Ware RW 1959, as in McArdle, Katch & Katch, 8th ed.', provenance: 'P' },
  },
  {
    id: 'balke-women',
    title: 'Balke treadmill, women',
    mode: 'treadmill',
    effort: 'maximal',
    stages: Array.from({ length: 10 }, (_, i) => treadmill(String(i + 1), 3, 3, 2.5 * i)),
    rules: ['3.0 mph: level for 3 minutes, then 2.5 % more every 3 minutes.'],
    source: { citation: 'Balke protocol for women, as in public tables', provenance: 'P' },
  },
  {
    id: 'balke-college-women',
    title: 'Balke treadmill, college women',
    mode: 'treadmill',
    effort: 'maximal',
    stages: minuteByMinute(20, 3.5, (minute) => Math.max(0, minute - 2)),
    rules: ['3.5 mph: level for 2 minutes, then 1 % more each minute.'],
    source: { citation: 'Med Sci Sports 1973;5:239 (abstract)', provenance: 'P' },
  },
  {
    id: 'naughton',
    title: 'Naughton treadmill, continuous 2-minute stages',
    mode: 'treadmill',
    effort: 'maximal',
    stages: [
      treadmill('1', 2, 1, 0),
      treadmill('2', 2, 2, 0),
      treadmill('3', 2, 2, 3.5),
      treadmill('4', 2, 2, 7),
      treadmill('5', 2, 2, 10.5),
      treadmill('6', 2, 2, 14),
      treadmill('7', 2, 2, 17.5),
    ],
    rules: ['The original has 3-minute bouts, each followed by 3 minutes of rest.'],
    source: {
      citation: 'Naughton protocol, AHA charts',
      provenance: 'M',
      note: 'speeds and grades from memory; the two forms were seen in McArdle, 8th ed., and Martin et al.',
    },
  },
  {
    id: 'astrand-treadmill',
    title: 'Åstrand treadmill, modified',
    mode: 'treadmill',
    effort: 'maximal',
    stages: astrandStages,
    rules: [
      'The speed, 5 to 8.5 mph by fitness, stays the same; 3 minutes level, then 2.5 % more every 2 minutes.',
      'No equation predicts VO₂max from the time on this protocol: the 1.444·T + 14.99 of some pages belongs to the Balke protocol.',
    ],
    source: {
      citation: 'Åstrand 1952, as in public tables; called modified where the speed is chosen (McArdle, 8th ed.)',
      provenance: 'P',
    },
  },
  {
    id: 'ellestad',
    title: 'Ellestad treadmill',
    mode: 'treadmill',
    effort: 'maximal',
    stages: [
      treadmill('I', 3, 1.7, 10),
      treadmill('II', 2, 3, 10),
      treadmill('III', 2, 4, 10),
      treadmill('IV', 3, 5, 10),
      treadmill('V', 2, 5, 15),
      treadmill('VI', 3, 6, 15),
    ],
    rules: ['The times of stages IV to VI differ between charts (2 or 3 minutes): check before use.'],
    source: {
      citation: 'Ellestad, Stress Testing',
      provenance: 'M',
      note: '10 % and then 15 %, speed raised every 2 or 3 minutes, seen in McArdle, 8th ed.; the stage times are doubtful',
    },
  },
];
