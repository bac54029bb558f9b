import type { StageSet } from './stage-sets.ts';

const step = (inches: number, cycles: number, minutes: number) => ({
  name: '1',
  minutes,
  stepHeight: { value: inches, unit: '[in_i]' as const },
  stepRate: { value: cycles, unit: '/min' as const },
});

const queensRules = [
  '3 minutes; then standing, the pulse is counted from 5 to 20 s of recovery and multiplied by 4.',
  'The step is 16.25 in (41.3 cm); one textbook prints 16 in (40.6 cm).',
];
const queensSource = {
  citation: 'McArdle WD et al. Med Sci Sports 1972;4:182, as on public laboratory pages',
  provenance: 'P',
} as const;

export const stepStageSets: readonly StageSet[] = [
  {
    id: 'queens-college-step-men',
    title: 'Queens College step test, men',
    mode: 'step',
    effort: 'submaximal',
    stages: [step(16.25, 24, 3)],
    rules: ['24 step cycles a minute: a metronome of 96.', ...queensRules],
    source: queensSource,
  },
  {
    id: 'queens-college-step-women',
    title: 'Queens College step test, women',
    mode: 'step',
    effort: 'submaximal',
    stages: [step(16.25, 22, 3)],
    rules: ['22 step cycles a minute: a metronome of 88.', ...queensRules],
    source: queensSource,
  },
  {
    id: 'ymca-3-minute-step',
    title: 'YMCA 3-minute step test',
    mode: 'step',
    effort: 'submaximal',
    stages: [step(12, 24, 3)],
    rules: [
      '24 step cycles a minute: a metronome of 96.',
      'Sit down at once, begin to count within 5 s and count for a full 60 s: the total is the score. “Heart rate after 60 s” on some pages is a wrong reading.',
    ],
    source: { citation: 'YMCA 3-minute step test, as on several public sheets', provenance: 'P' },
  },
];
