/** Which tests are looked at: by group, sex, lab sheet and term. */
import type { Sex } from '../vocabulary.ts';
import type { ClassEntry } from './gather.ts';

export interface ClassFilter {
  readonly group?: string;
  readonly sex?: Sex;
  /** Id of the lab sheet. */
  readonly sheet?: string;
  readonly term?: string;
  /** Only tests whose effort set was met. */
  readonly maximalOnly?: boolean;
}

/** What the desk calls a test that names no group or term. */
export const NOT_NAMED = '';

/** "a " and "A" are one group: what is typed on several stations is rarely typed alike. */
const flat = (text: string): string => text.trim().toLowerCase().replace(/\s+/g, ' ');

/** The tests that every given choice lets through; capitals and blanks of group and term do not matter. */
export function filterClass(tests: readonly ClassEntry[], filter: ClassFilter): readonly ClassEntry[] {
  return tests.filter(
    (test) =>
      (filter.group === undefined || flat(test.group) === flat(filter.group)) &&
      (filter.term === undefined || flat(test.term) === flat(filter.term)) &&
      (filter.sex === undefined || test.sex === filter.sex) &&
      (filter.sheet === undefined || test.sheet.id === filter.sheet) &&
      (filter.maximalOnly !== true || test.maximal === true),
  );
}

export interface Choice {
  readonly value: string;
  readonly label: string;
  readonly n: number;
}

export interface ClassChoices {
  readonly groups: readonly Choice[];
  readonly sexes: readonly Choice[];
  readonly sheets: readonly Choice[];
  readonly terms: readonly Choice[];
  /** Methods of prediction, those with most measured tests first. */
  readonly methods: readonly Choice[];
  /** Tables of norms. */
  readonly tables: readonly Choice[];
}

/** What there is to choose from, each with the number of its tests. */
export function choicesOf(tests: readonly ClassEntry[]): ClassChoices {
  const groups = tally(tests.map((test) => [flat(test.group), test.group.trim() || 'no group named'] as const));
  const terms = tally(tests.map((test) => [flat(test.term), test.term.trim() || 'no term named'] as const));
  const sexes = tally(tests.flatMap((test) => (test.sex === undefined ? [] : [[test.sex, test.sex === 'female' ? 'Female' : 'Male'] as const])));
  const sheets = tally(tests.map((test) => [test.sheet.id, test.sheet.title] as const));
  const paired = tests.filter((test) => test.measured !== undefined);
  const methods = tally(paired.flatMap((test) => test.predicted.map((one) => [one.method, one.title] as const)));
  const tables = tally(tests.flatMap((test) => test.categories.map((one) => [one.table, one.title] as const)));
  return { groups: byName(groups), sexes: byName(sexes), sheets: byName(sheets), terms: byName(terms), methods: byNumber(methods), tables: byNumber(tables) };
}

function tally(pairs: readonly (readonly [value: string, label: string])[]): readonly Choice[] {
  const found = new Map<string, { value: string; label: string; n: number }>();
  for (const [value, label] of pairs) {
    const known = found.get(value);
    if (known) known.n += 1;
    else found.set(value, { value, label, n: 1 });
  }
  return [...found.values()];
}

const byName = (choices: readonly Choice[]): readonly Choice[] => choices.toSorted((a, b) => Number(a.value === NOT_NAMED) - Number(b.value === NOT_NAMED) || a.label.localeCompare(b.label, 'en', { numeric: true }));
/** The sort keeps the order of the lab sheet where numbers are the same. */
const byNumber = (choices: readonly Choice[]): readonly Choice[] => choices.toSorted((a, b) => b.n - a.n);
