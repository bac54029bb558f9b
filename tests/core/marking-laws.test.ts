/** Laws of marking that hold for any record and any paper, tried on many. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { convertOxygenUptake, convert, isOxygenUptakeUnit, type UnitCode } from '../../core/units/units.ts';
import { expect as rightValues, unitOfQuestion, type MarkingInput, type NumericQuestion } from '../../core/worksheet/expected.ts';
import { foldWorksheet } from '../../core/worksheet/fold.ts';
import { markWorksheet } from '../../core/worksheet/marking.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { questionRows } from '../../core/worksheet/rows.ts';
import { answered, wholeSession, WorksheetBuilder } from './worksheet-builder.ts';

const people = fc.record({
  sex: fc.constantFrom('female', 'male'),
  age: fc.integer({ min: 20, max: 45 }).map(String),
  mass: fc.integer({ min: 450, max: 1100 }).map((tenths) => String(tenths / 10)),
});
/** A session is slow to build, so a handful of people are each used for many papers. */
const sessions = new Map<string, ReturnType<typeof wholeSession>>();
const sessionOf = (details: Record<string, string>): ReturnType<typeof wholeSession> => {
  const key = JSON.stringify(details);
  const known = sessions.get(key) ?? wholeSession({ details });
  sessions.set(key, known);
  return known;
};

interface Place {
  readonly place: string;
  readonly question: NumericQuestion;
  readonly unit: UnitCode;
  readonly value: number;
}
const numericPlaces = (input: MarkingInput): readonly Place[] =>
  input.sheet.questions.flatMap((question) => {
    if (question.kind !== 'number' && question.kind !== 'table') return [];
    return questionRows(question, input.book).flatMap((row) => {
      const value = rightValues(question, row, input).right[0]?.value;
      return value === undefined ? [] : [{ place: row.id === undefined ? question.id : `${question.id}/${row.id}`, question, unit: unitOfQuestion(question), value }];
    });
  });

const markOf = (input: MarkingInput, sheet: WorksheetBuilder) => markWorksheet({ ...input, worksheet: sheet.state });
const isInput = (place: Place): boolean => place.question.id === 'vo2-peak';

/** Other units in which the same value can be stated. */
const otherUnits: Partial<Record<UnitCode, readonly UnitCode[]>> = { 'mL/kg/min': ['[MET]', 'L/min', 'mL/min'], '/min': ['/s'], '%': ['1'] };

describe('laws of marking', () => {
  it('a fully right paper has full marks, rounded as the questions ask', () => {
    fc.assert(
      fc.property(people, (details) => {
        const session = sessionOf(details);
        const input = markingInput(session.state, new WorksheetBuilder(session).state);
        const sheet = new WorksheetBuilder(session);
        for (const { place, question, value, unit } of numericPlaces(input)) sheet.answer(place, value.toFixed(question.decimals), unit);
        const marking = markOf(input, sheet);
        for (const question of marking.questions) if (question.kind === 'number' || question.kind === 'table') expect(question).toMatchObject({ marks: question.outOf, verdict: 'right' });
      }),
      { numRuns: 25 },
    );
  });

  it('changing only units never changes marks', () => {
    fc.assert(
      fc.property(people, fc.double({ min: 0.5, max: 2, noNaN: true }), fc.nat(), (details, factor, pick) => {
        const session = sessionOf(details);
        const input = markingInput(session.state, new WorksheetBuilder(session).state);
        const mass = Number(details.mass);
        const places = numericPlaces(input);
        const sheet = new WorksheetBuilder(session, 's-1');
        const other = new WorksheetBuilder(session, 's-2');
        for (const place of places) {
          const value = place.value * (pick % 3 === 0 ? 1 : factor);
          const choices = otherUnits[place.unit] ?? [place.unit];
          // "uptake per kilogram" answered by the absolute value that it starts from is no answer to it.
          const to = choices[pick % choices.length] ?? place.unit;
          const target = isInput(place) && to !== '[MET]' ? place.unit : to;
          const converted = isOxygenUptakeUnit(place.unit) && isOxygenUptakeUnit(target) ? convertOxygenUptake(value, place.unit, target, mass) : convert(value, place.unit, target);
          sheet.answer(place.place, value.toFixed(9), place.unit);
          other.answer(place.place, converted.toFixed(9), target);
        }
        const [one, two] = [markOf(input, sheet), markOf(input, other)];
        expect(two.questions.map(({ id, marks }) => [id, marks])).toEqual(one.questions.map(({ id, marks }) => [id, marks]));
      }),
      { numRuns: 60 },
    );
  });

  it('carried forward never beats right', () => {
    fc.assert(
      fc.property(people, fc.double({ min: 0.2, max: 3, noNaN: true }), fc.double({ min: 0.2, max: 3, noNaN: true }), (details, a, b) => {
        const session = sessionOf(details);
        const input = markingInput(session.state, new WorksheetBuilder(session).state);
        const right = new WorksheetBuilder(session);
        const wrong = new WorksheetBuilder(session);
        const values = new Map(numericPlaces(input).map((place) => [place.question.id, place] as const));
        for (const [id, factor] of [['vo2-peak', a], ['vo2-time', b]] as const) {
          const place = values.get(id);
          if (!place) continue;
          right.answer(id, place.value.toFixed(2), place.unit);
          wrong.answer(id, (place.value * factor).toFixed(2), place.unit);
        }
        const percent = values.get('percent-of-predicted');
        if (!percent) return;
        right.answer('percent-of-predicted', percent.value.toFixed(2), '%');
        wrong.answer('percent-of-predicted', ((percent.value * a) / b).toFixed(2), '%');
        const [full, carried] = [markOf(input, right), markOf(input, wrong)];
        for (const [index, question] of carried.questions.entries()) expect(question.marks).toBeLessThanOrEqual(full.questions[index]?.marks ?? 0);
        const followed = carried.questions.find(({ id }) => id === 'percent-of-predicted');
        expect(['right', 'carried-forward', 'method-only']).toContain(followed?.verdict);
      }),
      { numRuns: 60 },
    );
  });

  it('marks stay between nothing and all, whatever is typed, and every award has its line', () => {
    const session = wholeSession();
    const text = fc.oneof(fc.string({ maxLength: 60 }), fc.stringMatching(/^[-0-9.,:= ()/*+%a-z]{0,40}$/), fc.double().map(String));
    fc.assert(
      fc.property(fc.array(fc.tuple(fc.constantFrom('hr-max', 'stage-vo2/stage-1', 'vo2-peak', 'percent-of-predicted', 'effort/rer', 'category', 'discussion'), text, fc.option(text, { nil: undefined }), fc.option(text, { nil: undefined })), { maxLength: 8 }), (answers) => {
        const sheet = new WorksheetBuilder(session);
        for (const [place, typed, unit, working] of answers) sheet.answer(place, typed, unit?.slice(0, 40), working);
        const marking = markWorksheet(markingInput(session.state, sheet.state));
        expect(marking.total).toBeLessThanOrEqual(marking.outOf);
        for (const question of marking.questions) {
          expect(question.marks).toBeGreaterThanOrEqual(0);
          expect(question.marks).toBeLessThanOrEqual(question.outOf);
          expect(Number.isInteger(question.marks * 2)).toBe(true);
          expect(question.reason.length).toBeGreaterThan(3);
          expect(question.reason).not.toMatch(/NaN|undefined|Infinity/);
        }
      }),
      { numRuns: 150 },
    );
  });

  it('the same record and paper give the same marking, and it is plain data', () => {
    const session = wholeSession();
    const sheet = answered(session, { 'hr-max': ['150'] });
    const marking = markWorksheet(markingInput(session.state, sheet.state));
    expect(markWorksheet(markingInput(session.state, foldWorksheet(sheet.events)))).toEqual(marking);
    expect(JSON.parse(JSON.stringify(marking))).toEqual(marking);
  });

  it('the order of the questions that are answered does not matter', () => {
    const session = wholeSession();
    const forth = answered(session, {}, 's-1');
    const back = new WorksheetBuilder(session, 's-1');
    for (const event of forth.events.slice(1).toReversed()) {
      const { question, row, typed, unit, working } = event.data as { question: string; row?: string; typed: string; unit?: string; working?: string };
      back.answer(row === undefined ? question : `${question}/${row}`, typed, unit, working);
    }
    expect(markWorksheet(markingInput(session.state, back.state)).total).toBe(markWorksheet(markingInput(session.state, forth.state)).total);
  });
});
