/** The laws of marking on every shipped lab sheet: right papers, changed units, and what follows from mistakes. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convert, convertOxygenUptake, dimensionOf, isOxygenUptakeUnit, type UnitCode } from '../../core/units/units.ts';
import { lookUp, massOf } from '../../core/worksheet/book.ts';
import { expect as expected, unitOfQuestion, type MarkingInput, type NumericQuestion } from '../../core/worksheet/expected.ts';
import type { WorksheetState } from '../../core/worksheet/fold.ts';
import { markWorksheet, type Marking } from '../../core/worksheet/marking.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { questionRows, type QuestionRow } from '../../core/worksheet/rows.ts';
import { fixture, replayedOn, sheetIds } from './lab-sheets.ts';
import { wholeSession } from './worksheet-builder.ts';

const recorded: Readonly<Record<string, string>> = {
  'cycle-bag-efficiency': 'cycle-bags.csv',
  'cycle-ramp-maximal': 'cycle-ramp.csv',
  'cycle-single-load-age-factor': 'cycle-single-load.csv',
  'cycle-submaximal-branching': 'cycle-branching.csv',
  'field-walk-one-mile': 'field-walk.csv',
  'step-test-queens-college': 'step-queens.csv',
};

type Answers = ReadonlyMap<string, readonly [typed: string, unit?: string]>;
const keyOf = (question: string, row: QuestionRow): string => (row.id === undefined ? question : `${question}/${row.id}`);
const stateOf = (answers: Answers): WorksheetState => ({
  id: 'w-law',
  session: 's-law',
  sessionHead: '',
  student: 'S-1',
  openedWall: '2026-03-02T14:00:00+00:00',
  length: answers.size,
  answers: new Map([...answers].map(([key, [typed, unit]], seq) => {
    const attempt = { typed, ...(unit === undefined ? {} : { unit }), seq, entered: seq, author: 'S-1' };
    const [question = '', row] = key.split('/');
    return [key, { question, ...(row === undefined ? {} : { row }), attempts: [attempt], current: attempt }];
  })),
});
const mark = (input: MarkingInput, answers: Answers): Marking => markWorksheet({ ...input, worksheet: stateOf(answers) });

interface Place {
  readonly key: string;
  readonly question: NumericQuestion;
  readonly row: QuestionRow;
  readonly unit: UnitCode;
}
const places = (input: MarkingInput): readonly Place[] =>
  input.sheet.questions.flatMap((question) => (question.kind === 'number' || question.kind === 'table' ? questionRows(question, input.book).map((row) => ({ key: keyOf(question.id, row), question, row, unit: unitOfQuestion(question) })) : []));

/** Every answer right, as the record gives it; numbers as `write` writes them. */
function rightPaper(input: MarkingInput, write: (place: Place, value: number) => readonly [string, string?]): Map<string, readonly [string, string?]> {
  const answers = new Map<string, readonly [string, string?]>();
  for (const place of places(input)) {
    const value = expected(place.question, place.row, { ...input, worksheet: stateOf(new Map()) }).right[0]?.value;
    if (value !== undefined) answers.set(place.key, write(place, value));
  }
  for (const question of input.sheet.questions) {
    if (question.kind === 'choice') {
      const entry = lookUp(input.book, question.answer.result === 'category' ? `category.${input.sheet.results.norms[0] ?? ''}` : question.answer.result);
      if (entry.known) answers.set(question.id, [String(entry.value)]);
    } else if (question.kind === 'judgement') {
      for (const row of questionRows(question, input.book)) {
        const entry = lookUp(input.book, `effort.${row.id ?? ''}`);
        answers.set(keyOf(question.id, row), [entry.known ? String(entry.value) : 'cannot be judged']);
      }
    }
  }
  return answers;
}

const others: Partial<Record<UnitCode, readonly UnitCode[]>> = {
  'mL/kg/min': ['[MET]', 'L/min', 'mL/min'],
  'L/min': ['mL/min', 'mL/kg/min'],
  '/min': ['/s'],
  '%': ['1'],
  W: ['kgf.m/min'],
  'km/h': ['[mi_i]/h', 'm/min'],
  'm/min': ['km/h', '[mi_i]/h'],
  'kcal/min': ['kJ/min' as UnitCode],
  min: ['s'],
  s: ['min'],
};
function inOther(value: number, from: UnitCode, to: UnitCode, mass: number | undefined): number | undefined {
  if (dimensionOf(from) === dimensionOf(to)) return convert(value, from, to);
  return isOxygenUptakeUnit(from) && isOxygenUptakeUnit(to) && mass !== undefined ? convertOxygenUptake(value, from, to, mass) : undefined;
}
/** An answer in the unit of what it starts from would repeat it ("uptake per kilogram" as L/min): the sheet asks for the step. */
const repeats = (place: Place, to: UnitCode): boolean => isOxygenUptakeUnit(place.unit) && dimensionOf(place.unit) !== dimensionOf(to);

describe.each(sheetIds)('%s', (id) => {
  const input = ((): MarkingInput => {
    const state = recorded[id] === undefined ? wholeSession().state : replayedOn(id, fixture(recorded[id])).state;
    return markingInput(state, stateOf(new Map()));
  })();
  const mass = massOf(input.book);
  const asAsked = rightPaper(input, ({ question, unit }, value) => [value.toFixed(question.decimals), unit]);
  const full = mark(input, asAsked);

  it('a fully right paper has full marks, rounded as the questions ask; only written answers are left', () => {
    for (const question of full.questions) if (question.kind !== 'written' && question.verdict !== 'void') expect(question, question.reason).toMatchObject({ marks: question.outOf, verdict: 'right' });
    expect(full.total).toBe(full.outOf - full.questions.filter(({ kind }) => kind === 'written').reduce((sum, { outOf }) => sum + outOf, 0));
    expect(full.total).toBeGreaterThan(20);
  });

  it('changing only units never changes marks, right or wrong', () => {
    fc.assert(
      fc.property(fc.infiniteStream(fc.nat(5)), fc.constantFrom(1, 1, 1.03, 1.2, 0.6), (picks, factor) => {
        const one = new Map(asAsked);
        const two = new Map(asAsked);
        for (const place of places(input)) {
          const typed = asAsked.get(place.key);
          if (typed === undefined) continue;
          const value = Number(typed[0]) * factor;
          const choices = others[place.unit] ?? [];
          const pick = picks.next().value as number;
          const to = choices[pick % Math.max(1, choices.length)];
          const converted = to === undefined || repeats(place, to) ? undefined : inOther(value, place.unit, to, mass);
          one.set(place.key, [value.toFixed(7), place.unit]);
          two.set(place.key, converted === undefined || to === undefined ? [value.toFixed(7), place.unit] : [converted.toFixed(9), to]);
        }
        const [first, second] = [mark(input, one), mark(input, two)];
        for (const [index, question] of second.questions.entries()) expect(question.marks, `${question.id}: ${question.reason} // ${first.questions[index]?.reason}`).toBe(first.questions[index]?.marks);
      }),
      { numRuns: 12 },
    );
  });

  it('carried forward never beats right, and what follows from a mistake keeps at least the method', () => {
    const numbers = places(input).filter(({ key }) => asAsked.has(key));
    fc.assert(
      fc.property(fc.nat(), fc.constantFrom(0.5, 0.8, 1.15, 1.4, 3), (which, factor) => {
        const wrong = numbers[which % numbers.length]!;
        const answers = new Map(asAsked);
        answers.set(wrong.key, [(Number(asAsked.get(wrong.key)?.[0]) * factor).toFixed(wrong.question.decimals), wrong.unit]);
        const followed: string[] = [];
        for (const place of numbers.slice(numbers.indexOf(wrong) + 1)) {
          const own = expected(place.question, place.row, { ...input, worksheet: stateOf(answers) }).own[0];
          if (own?.fromWrong !== true || !Number.isFinite(own.value)) continue;
          answers.set(place.key, [own.value.toFixed(place.question.decimals), place.unit]);
          followed.push(place.question.id);
        }
        const carried = mark(input, answers);
        for (const [index, question] of carried.questions.entries()) {
          expect(question.marks, question.reason).toBeLessThanOrEqual(full.questions[index]?.marks ?? 0);
          if (followed.includes(question.id) && question.outOf >= 2) expect(question.marks, `${question.id}: ${question.reason}`).toBeGreaterThan(0);
        }
      }),
      { numRuns: 15 },
    );
  });
});
