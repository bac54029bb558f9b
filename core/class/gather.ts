/**
 * From marked worksheets to the tests of a class. A test counts once, however many worksheets carry it: both partners hand
 * in the same record, and a record that was handed out may be in every file.
 */
import type { ClassTest } from './test.ts';

/** One handed-in worksheet, with what the class keeps of its record. */
export interface ClassWorksheet {
  /** By which the marking desk finds it again. */
  readonly key: string;
  readonly student: string;
  /** The student's group by the roster: used where the record names none. */
  readonly group?: string;
  readonly test: ClassTest;
}

export interface ClassEntry extends ClassTest {
  readonly worksheets: readonly { readonly key: string; readonly student: string }[];
}

export interface ClassData {
  readonly tests: readonly ClassEntry[];
  readonly leftOut: readonly { readonly reason: string; readonly worksheets: number }[];
}

export interface ClassCounts {
  readonly tests: number;
  /** Different participant codes. */
  readonly people: number;
  /** Tests without a code: nobody can say whose they are. */
  readonly withoutCode: number;
  readonly worksheets: number;
}

const REHEARSAL = 'a rehearsal, not a test';

/**
 * Gathers the tests in the order in which they first came. Rehearsals never count as tests, even where the desk accepted one
 * for marks. Two worksheets whose records of one session are not the same keep the first: the desk has flagged the other.
 */
export function gatherClass(worksheets: readonly ClassWorksheet[]): ClassData {
  const tests = new Map<string, { readonly test: ClassTest; readonly worksheets: { key: string; student: string }[] }>();
  let rehearsals = 0;
  for (const { key, student, group, test } of worksheets) {
    if (test.way === 'rehearsal') {
      rehearsals += 1;
      continue;
    }
    const entry = tests.get(test.session);
    if (entry) entry.worksheets.push({ key, student });
    else tests.set(test.session, { test: test.group === '' && group !== undefined ? { ...test, group: group.trim() } : test, worksheets: [{ key, student }] });
  }
  return {
    tests: [...tests.values()].map(({ test, worksheets: carried }) => ({ ...test, worksheets: carried })),
    leftOut: rehearsals === 0 ? [] : [{ reason: REHEARSAL, worksheets: rehearsals }],
  };
}

/** The same code in two courses may be two people; within one it is one, however it is capitalised. */
export function personOf(test: ClassTest): string {
  return test.participant === '' ? '' : `${test.course.toLowerCase()}\u0000${test.participant.toLowerCase()}`;
}

/** How many tests, people with a code, tests without one, and worksheets are behind a class view. */
export function countsOf(tests: readonly ClassEntry[]): ClassCounts {
  return {
    tests: tests.length,
    people: new Set(tests.map(personOf).filter((person) => person !== '')).size,
    withoutCode: tests.filter((test) => test.participant === '').length,
    worksheets: tests.reduce((sum, test) => sum + test.worksheets.length, 0),
  };
}

const plural = (n: number, one: string, many: string): string => `${n.toLocaleString('en-GB')} ${n === 1 ? one : many}`;

/** "30 tests, 30 people, 60 worksheets". */
export function countsInWords(counts: ClassCounts): string {
  const without = counts.withoutCode === 0 ? '' : ` and ${plural(counts.withoutCode, 'test', 'tests')} without a code`;
  return `${plural(counts.tests, 'test', 'tests')}, ${plural(counts.people, 'person', 'people')}${without}, ${plural(counts.worksheets, 'worksheet', 'worksheets')}`;
}
