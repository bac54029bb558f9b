/** A changed tolerance or a void question, written into the instructor's own key. */
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { keyedSheet } from '../../core/worksheet/answer-key.ts';
import { changedKey } from '../../core/worksheet/edit-key.ts';

const sheetText = readFileSync(new URL('../../lab-sheets/treadmill-maximal-bruce.yaml', import.meta.url), 'utf8');
const good = (result: ReturnType<typeof changedKey>): string => {
  if (!result.ok) throw new Error(result.error.message);
  return result.value;
};
const question = (key: string, id: string) => {
  const loaded = keyedSheet(sheetText, key);
  if (!loaded.ok) throw new Error(loaded.problems.map((problem) => problem.message).join('; '));
  return loaded.sheet.questions.find((one) => one.id === id);
};

test('a new key is begun, and holds the tolerance', () => {
  const key = good(changedKey(undefined, 'treadmill-maximal-bruce', { question: 'hr-max', tolerance: { full: '3', part: '10 %' } }));
  expect(question(key, 'hr-max')).toMatchObject({ tolerance: { full: 3, part: '10 %' } });
  // Everything else is as on the lab sheet.
  expect(question(key, 'vo2-peak')).toEqual(question(good(changedKey(undefined, 'treadmill-maximal-bruce', { question: 'hr-max', tolerance: { full: '1' } })), 'vo2-peak'));
});

test('a key that is there keeps its comments and its other questions', () => {
  const before = good(changedKey('schema: stagecall-answer-key/1\nsheet: treadmill-maximal-bruce\nquestions:\n  # agreed on 2 March\n  vo2-peak:\n    marks: 4\n', 'treadmill-maximal-bruce', { question: 'hr-max', tolerance: { full: '2,5' } }));
  expect(before).toContain('# agreed on 2 March');
  expect(question(before, 'vo2-peak')).toMatchObject({ marks: 4 });
  expect(question(before, 'hr-max')).toMatchObject({ tolerance: { full: 2.5 } });
});

test('a question is voided and comes back; a broken key is refused', () => {
  const voided = good(changedKey(undefined, 'treadmill-maximal-bruce', { question: 'hr-max', void: 'the wall chart was wrong' }));
  expect(voided).toContain('void: the wall chart was wrong');
  expect(good(changedKey(voided, 'treadmill-maximal-bruce', { question: 'hr-max', void: '' }))).not.toContain('wall chart');
  expect(changedKey('a: [', 'x', { question: 'q', void: 'y' })).toMatchObject({ ok: false, error: { code: 'bad-key' } });
});
