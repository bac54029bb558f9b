/** Invented tests for a class, with what a case says set. */
import type { ClassWorksheet } from '../../core/class/gather.ts';
import type { ClassTest } from '../../core/class/test.ts';

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
