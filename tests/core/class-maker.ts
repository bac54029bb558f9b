/** Invented tests for a class, with what a case says set. */
import type { ClassWorksheet } from '../../core/class/gather.ts';
import type { ClassTest } from '../../core/class/test.ts';
import { uniform } from '../../core/rehearsal/chance.ts';

export function classTest(session: string, said: Partial<ClassTest> = {}): ClassTest {
  return {
    session,
    participant: session.toUpperCase(),
    sheet: { id: 'treadmill-maximal-bruce', title: 'Maximal treadmill test', mode: 'treadmill' },
    group: 'A',
    course: 'EXS 210',
    term: 'Spring',
    way: 'live',
    symptomLimited: false,
    predicted: [],
    categories: [],
    exercise: [],
    recovery: [],
    ...said,
  };
}

/** A worksheet of a student on a test. */
export function worksheet(test: ClassTest, student: string, group?: string): ClassWorksheet {
  return { key: `${student}/${test.session}`, student, test, ...(group === undefined ? {} : { group }) };
}

/** One test for each pair, with one worksheet. */
export function classOfPairs(measured: readonly number[], predicted: readonly number[]): readonly ClassWorksheet[] {
  return measured.map((value, i) => worksheet(classTest(`t-${i + 1}`, { measured: value, predicted: [{ method: 'x', title: 'Method X', value: predicted[i] ?? 0 }] }), `s-${i + 1}`));
}

/**
 * An invented class: uptakes of students, predictions that pull towards the middle (low fitness predicted too high), curves that
 * rise to their peak and fall again. Always the same for the same number.
 */
export function inventedClass(people: number, worksheetsEach = 2): readonly ClassWorksheet[] {
  const names = ['Very poor', 'Poor', 'Fair', 'Good', 'Excellent', 'Superior'];
  return Array.from({ length: people }, (_, i) => {
    const chance = (what: string): number => uniform(11, what, i);
    const spread = (what: string): number => chance(`${what}1`) + chance(`${what}2`) + chance(`${what}3`) - 1.5;
    const sex = chance('sex') < 0.5 ? ('female' as const) : ('male' as const);
    const measured = (sex === 'male' ? 48 : 40) + 14 * spread('measured');
    const minutes = 6 + measured / 8 + spread('minutes');
    const rest = 68 + 20 * spread('rest');
    const peak = 193 + 14 * spread('peak');
    const lost = 30 + 16 * spread('recovery');
    const test = classTest(`t-${i}`, {
      participant: `R-${String(i + 1).padStart(2, '0')}`,
      sex,
      age: 19 + Math.floor(6 * chance('age')),
      group: ['A', 'B', 'C', 'D'][Math.floor(3.15 * chance('group'))] ?? 'A',
      measured,
      maximal: chance('effort') > 0.3,
      symptomLimited: i % 29 === 17,
      predicted: [
        { method: 'vo2max-pollock-1982', title: 'Treadmill time, active and inactive women and men (Pollock 1982)', value: 12 + 0.72 * measured + 7 * spread('one') },
        { method: 'vo2max-foster-1984', title: 'Treadmill time, cubic (Foster 1984)', value: 6 + 0.88 * measured + 5 * spread('two') },
        { method: 'vo2max-jackson-1990', title: 'Without exercise, from activity (Jackson 1990)', value: 21 + 0.5 * measured + 8 * spread('three') },
      ],
      categories: [{ table: 'friend-treadmill-2015', title: 'FRIEND treadmill 2015', name: names[Math.max(0, Math.min(5, Math.floor(2.6 + 3.2 * spread('category'))))] ?? 'Fair' }],
      exerciseMinutes: minutes,
      restHeartRate: Math.round(rest),
      peakHeartRate: Math.round(peak),
      peakRer: 1.12 + 0.08 * spread('rer'),
      recovery1: Math.round(lost),
      recovery2: Math.round(lost * 1.7),
      exercise: Array.from({ length: Math.floor(minutes) + 2 }, (__, at) => ({ x: Math.min(at, minutes), y: Math.round(rest + (peak - rest) * Math.min(1, Math.min(at, minutes) / minutes) ** 0.85 + 6 * spread(`beat${at}`)) })),
      recovery: Array.from({ length: 7 }, (__, at) => ({ x: at, y: Math.round(peak - (peak - rest) * 0.75 * (1 - Math.exp(-at / (1.2 + 0.02 * lost))) + 4 * spread(`down${at}`)) })),
    });
    return Array.from({ length: worksheetsEach }, (__, one) => worksheet(test, `s-${2000 + worksheetsEach * i + one}`));
  }).flat();
}
