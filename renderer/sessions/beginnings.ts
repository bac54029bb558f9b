/** What one can begin, in the words of the first screen. */
import type { Way } from './sessions.svelte.ts';

export interface Beginning {
  readonly id: Way | 'marking';
  readonly title: string;
  readonly short: string;
  readonly long: string;
  /** Place in the short list of a station that is in use. */
  readonly order: number;
}

export const beginnings: readonly Beginning[] = [
  {
    id: 'rehearsal',
    title: 'Watch a rehearsal',
    short: 'A simulated test, in about two minutes',
    long: 'A simulated participant runs the whole test in about two minutes, and the readings write themselves. Then its worksheet is yours to answer. Everything it leaves is marked as a rehearsal.',
    order: 3,
  },
  {
    id: 'live',
    title: 'Start a live session',
    short: 'Screen, check, call and record, at the ergometer',
    long: 'Screen the participant, check the equipment, call and record the test stage by stage, and see the participant through recovery.',
    order: 1,
  },
  {
    id: 'practice',
    title: 'Practise on a simulated participant',
    short: 'You record, at the speed of a real test',
    long: 'The same at the speed of a real test, and you do the recording. For a pair that wants dry hands before the day.',
    order: 4,
  },
  {
    id: 'paper',
    title: 'Key in a paper sheet',
    short: 'Readings with the times as written',
    long: 'A test that was written down by hand becomes the same record, with the times as written.',
    order: 2,
  },
  {
    id: 'marking',
    title: 'Mark worksheets',
    short: 'For the instructor',
    long: "For the instructor: open the students' files, each is checked, worked out again and marked.",
    order: 5,
  },
];
