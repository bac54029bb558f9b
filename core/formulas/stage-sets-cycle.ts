import type { Stage, StageSet } from './stage-sets.ts';

const kgm = (name: string, load: number, minutes = 3): Stage => ({
  name,
  minutes,
  load: { value: load, unit: 'kgf.m/min' },
  cadence: { value: 50, unit: '/min' },
});

const ymcaBand = (from: number, below: number, loads: readonly [number, number, number]) => ({
  from,
  below,
  stages: loads.map((load, i) => kgm(String(i + 2), load)),
});

const ramp = (
  title: string,
  id: string,
  wattsPerMinute: number,
  rules: readonly string[],
  source: StageSet['source'],
  minutes = 20,
): StageSet => ({
  id,
  title,
  mode: 'cycle',
  effort: 'maximal',
  stages: [
    { name: 'unloaded', minutes: 4, load: { value: 0, unit: 'W' }, cadence: { value: 60, unit: '/min' } },
    ...Array.from({ length: minutes }, (_, i): Stage => ({
      name: `minute ${i + 1}`,
      minutes: 1,
      load: { value: wattsPerMinute * (i + 1), unit: 'W' },
      cadence: { value: 60, unit: '/min' },
    })),
  ],
  rules: [...rules, 'Written as steps of one minute; a machine that ramps smoothly reaches each load at the end of its minute.'],
  source,
});

const singleLoad = (id: string, title: string, loads: readonly number[], who: string): StageSet => ({
  id,
  title,
  mode: 'cycle',
  effort: 'submaximal',
  stages: loads.slice(0, 1).map((load) => kgm('1', load, 6)),
  rules: [
    `${who}: ${loads.join(' or ')} kg·m/min [from memory of the ACSM Guidelines].`,
    'One load for 6 minutes at 50 rpm; the heart rate is the mean of minutes 5 and 6, and the test goes on while they differ by more than 5 or 6.',
    'The heart rate should lie from 130 (women 125) to 170 /min; below it 50 W, or 1 to 2 kp, are added.',
  ],
  source: {
    citation: 'Åstrand–Ryhming; ACSM Guidelines; NSCA’s Guide (2012); Sartor F et al. Sports Med 2013;43:865, S1',
    provenance: 'M',
    note: 'window of heart rates and the added load seen; starting loads from memory',
  },
});

export const cycleStageSets: readonly StageSet[] = [
  {
    id: 'ymca-cycle',
    title: 'YMCA cycle, submaximal',
    mode: 'cycle',
    effort: 'submaximal',
    stages: [kgm('1', 150)],
    branch: {
      afterStage: 1,
      bands: [
        ymcaBand(0, 80, [750, 900, 1050]),
        ymcaBand(80, 90, [600, 750, 900]),
        // 90 to 100 with 100 in the band: heart rates are whole beats
        ymcaBand(90, 101, [450, 600, 750]),
        ymcaBand(101, Infinity, [300, 450, 600]),
      ],
    },
    rules: [
      '50 rpm; the heart rate is taken in the last 15 to 30 s of minutes 2 and 3, and a minute is added while they differ by more than 5 (NSCA’s Guide: 6).',
      'Two consecutive stages with heart rates from 110 /min to 85 % of the predicted maximum are needed (older sheets: 110 to 150).',
    ],
    source: { citation: 'Golding LA 1989, as in the CSEP insert and NSCA’s Guide (2012)', provenance: 'P' },
  },
  singleLoad('astrand-cycle-men-untrained', 'Åstrand–Ryhming cycle, untrained men', [300, 600], 'Untrained men'),
  singleLoad('astrand-cycle-men-trained', 'Åstrand–Ryhming cycle, trained men', [600, 900], 'Trained men'),
  singleLoad('astrand-cycle-women-untrained', 'Åstrand–Ryhming cycle, untrained women', [300, 450], 'Untrained women'),
  singleLoad('astrand-cycle-women-trained', 'Åstrand–Ryhming cycle, trained women', [450, 600], 'Trained women'),
  ramp('Cycle ramp, 15 W/min', 'cycle-ramp-15', 15, ['15 W a minute after 4 minutes unloaded, 60 rpm, to exhaustion.'], {
    citation: 'Storer TW, Davis JA, Caiozzo VJ. Med Sci Sports Exerc 1990;22:704',
    provenance: 'P',
  }),
  ramp('Cycle ramp, 20 W/min', 'cycle-ramp-20', 20, ['20 W a minute after 4 minutes unloaded; 60 rpm is this program’s choice.'], {
    citation: 'Caiozzo VJ et al. J Appl Physiol 1982;53:1184',
    provenance: 'P',
  }),
  ramp(
    'Cycle ramp, 25 W/min',
    'cycle-ramp-25',
    25,
    ['20 to 40 W a minute is chosen for 9 to 12 minutes (Baba 1999); 60 rpm and 4 minutes unloaded are this program’s choice.'],
    {
      citation: 'Baba R et al. 1999',
      provenance: 'P',
    },
  ),
];
