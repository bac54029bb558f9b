/** The answer key beside the sheet, and what it and the sheet may say about marks: carried answers, steps, attempts, shared marks. */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import type { LabSheet } from '../../core/sheet/schema.ts';
import { answerKeyShape, keyedSheet } from '../../core/worksheet/answer-key.ts';
import { mayShowFeedback } from '../../core/worksheet/attempts.ts';
import { markWorksheet, type Marking, type QuestionMark } from '../../core/worksheet/marking.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { bruceText } from './session-builder.ts';
import { answered, wholeSession } from './worksheet-builder.ts';

const session = wholeSession();
const key = (...lines: readonly string[]): string => ['schema: stagecall-answer-key/1', 'sheet: treadmill-maximal-bruce', ...lines].join('\n');
function keyed(...lines: readonly string[]): LabSheet {
  const loaded = keyedSheet(bruceText, key(...lines));
  if (!loaded.ok) throw new Error(loaded.problems.map(({ message }) => message).join('; '));
  return loaded.sheet;
}
const mark = (sheet: LabSheet, paper = answered(session)): Marking => markWorksheet(markingInput(session.state, paper.state, sheet));
const of = (marking: Marking, id: string): QuestionMark => marking.questions.find((question) => question.id === id)!;
const problem = (text: string): string => {
  const loaded = keyedSheet(bruceText, text);
  if (loaded.ok) throw new Error('the key was taken');
  const [first] = loaded.problems;
  return `${first?.line}: ${first?.path}: ${first?.message}; ${first?.remedy}`;
};
const published = new URL('../../lab-sheets/answer-key.schema.json', import.meta.url);

describe('an answer key', () => {
  it('changes only what it names', () => {
    const sheet = keyed('questions:', '  hr-max: { tolerance: { full: 5 } }');
    expect(of(mark(sheet, answered(session, { 'hr-max': ['197', '/min'] })), 'hr-max')).toMatchObject({ marks: 3, verdict: 'right' });
    expect(mark(sheet)).toMatchObject({ total: 42, outOf: 50 });
  });
  it('takes a question out for everyone, changes what one is worth, and the total follows', () => {
    const marking = mark(keyed('questions:', '  category: { void: The norms were printed without the ages }', '  hr-max: { marks: 5 }'));
    expect(of(marking, 'category')).toMatchObject({ verdict: 'void', outOf: 0, reason: 'Void: The norms were printed without the ages.' });
    expect(marking).toMatchObject({ total: 41, outOf: 49 });
  });
  it('accepts an alternative: 220 − 22 = 198 by another equation', () => {
    const sheet = keyed('questions:', '  hr-max:', '    accept:', '      - { formula: hr-max-fox-1971, with: { age: participant.age } }');
    expect(of(mark(sheet, answered(session, { 'hr-max': ['198', '/min'] })), 'hr-max')).toMatchObject({ marks: 3, verdict: 'right' });
  });
  it.each([
    ['another sheet', key().replace('treadmill-maximal-bruce', 'step-test'), /2: sheet: the key is for "step-test"/],
    ['a question that is not there', key('questions:', '  hr-mix: { marks: 2 }'), /no question "hr-mix".*hr-max/],
    ['a word of another kind of question', key('questions:', '  category: { tolerance: { full: 1 } }'), /does not belong to a question of kind "choice"/],
    ['a misspelt word', key('questions:', '  hr-max: { tolerence: { full: 1 } }'), /did you mean "tolerance"/],
    ['a tolerance that is none', key('questions:', '  hr-max: { tolerance: { full: a lot } }'), /is not a tolerance/],
    ['a formula that is none', key('questions:', '  hr-max: { answer: { formula: hr-max-guess } }'), /hr-max-guess/],
    ['steps worth all of it', key('questions:', '  hr-max: { steps: [{ says: x, marks: 3, unit: /min, answer: { result: peak.heart-rate } }] }'), /as many marks as the question/],
    ['no key at all', 'title: something', /this is not an answer key/],
  ])('refuses %s with its place', (_name, text, says) => expect(problem(text)).toMatch(says));
  it('has its published schema', () => expect(JSON.parse(readFileSync(published, 'utf8'))).toEqual(JSON.parse(JSON.stringify(answerKeyShape()))));
});

describe('what follows from an earlier mistake', () => {
  // 30.0 for 37.6 is wrong; 100 × 30.0 / 41.4 = 72.5 follows from it.
  const paper = answered(session, { 'vo2-peak': ['30.0', 'mL/kg/min'], 'percent-of-predicted': ['72.5', '%'] });
  it.each([
    ['full', 4, 'carried-forward'],
    ['part', 2, 'carried-forward'],
    ['method', 1, 'method-only'],
  ])('earns %s as the key says', (carried, marks, verdict) => {
    expect(of(mark(keyed('questions:', `  percent-of-predicted: { carried: ${carried} }`), paper), 'percent-of-predicted')).toMatchObject({ marks, verdict });
  });
  it('never more than being right, whatever the key says', () => {
    for (const carried of ['full', 'part', 'method']) {
      const sheet = keyed('questions:', `  percent-of-predicted: { carried: ${carried} }`);
      for (const typed of ['72.5', '70.0', '73.5', '91.0', '110']) {
        const wrong = answered(session, { 'vo2-peak': ['30.0', 'mL/kg/min'], 'percent-of-predicted': [typed, '%', '100 × 30.0 / 41.4'] });
        expect(of(mark(sheet, wrong), 'percent-of-predicted').marks).toBeLessThanOrEqual(4);
      }
    }
  });
});

describe('steps', () => {
  const sheet = keyed('questions:', '  target-heart-rate:', '    steps:', '      - { says: The maximum that counts, marks: 1.5, unit: /min, answer: { result: peak.heart-rate } }');
  it('each one that the working shows earns its own marks where the answer earns less', () => {
    // The answer is neither right nor near.
    const marked = of(mark(sheet, answered(session, { 'target-heart-rate': ['99', '/min', 'maximum 188, then …'] })), 'target-heart-rate');
    expect(marked).toMatchObject({ marks: 1.5, verdict: 'method-only' });
    expect(marked.reason).toMatch(/Steps shown in the working: The maximum that counts \(188.\/min\), 1.5 marks/);
  });
  it('change nothing where the answer is right', () => expect(of(mark(sheet), 'target-heart-rate').marks).toBe(4));
});

describe('attempts', () => {
  const twice = (): ReturnType<typeof answered> => answered(session, { 'hr-max': ['150', '/min'] }).answer('hr-max', '193', '/min').answer('hr-max', '180', '/min');
  it.each([
    ['first', 0],
    ['best', 3],
    ['last', 0],
  ])('the %s counts where the sheet says so', (attempt, marks) => {
    expect(of(mark(keyed(`answers: { attempt: ${attempt} }`), twice()), 'hr-max').marks).toBe(marks);
  });
  it('the best is looked for before what follows from it', () => {
    const paper = answered(session, { 'vo2-peak': ['30.0', 'mL/kg/min'] }).answer('vo2-peak', '37.6', 'mL/kg/min').answer('vo2-peak', '31', 'mL/kg/min');
    const marking = mark(keyed('answers: { attempt: best }'), paper);
    expect([of(marking, 'vo2-peak').marks, of(marking, 'percent-of-predicted').marks]).toEqual([5, 4]);
  });
  it('feedback comes when the sheet says', () => {
    const handed = answered(session).handIn().state;
    const open = answered(session).state;
    const may = (feedback: string): readonly boolean[] => [mayShowFeedback(keyed(`answers: { feedback: ${feedback} }`), open, true), mayShowFeedback(keyed(`answers: { feedback: ${feedback} }`), handed, false)];
    expect([may('at-once'), may('after-export'), may('instructor')]).toEqual([[true, true], [false, true], [false, false]]);
  });
});

describe('marks for the shared record', () => {
  it('wait for the marker, once for the session, and belong to the total', () => {
    const marking = mark(keyed('record-marks:', '  - { id: stage-table, title: Stage table, marks: 6, says: Every completed stage with its readings in time }'));
    expect(of(marking, 'stage-table')).toMatchObject({ kind: 'record', number: 11, pending: 6, outOf: 6, verdict: 'waiting' });
    expect(marking).toMatchObject({ total: 42, outOf: 56, pending: 6 });
  });
});
