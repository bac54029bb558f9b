/** What the desk's list says of a file first: the gravest thing, then what waits. */
import { expect, test } from 'vitest';
import type { DeskFile } from '../../core/contract/contract.ts';
import type { Marking, QuestionMark, RowMark } from '../../core/worksheet/marking-types.ts';
import { lineOf, reasonParts } from '../../renderer/desk/desk-words.ts';

const row = (more: Partial<RowMark> = {}): RowMark => ({ verdict: 'right', marks: 4, outOf: 4, reason: 'Right.', ...more });
const question = (number: number, more: Partial<QuestionMark> = {}): QuestionMark => ({ id: `q${number}`, number, title: 'A question', kind: 'number', verdict: 'right', marks: 4, outOf: 4, pending: 0, reason: 'Right.', unitMarkLost: 0, rows: [row()], ...more });
const marking = (...questions: QuestionMark[]): Marking => ({
  sheet: { id: 'a-sheet', version: 1, title: 'A sheet' },
  student: 's-1',
  session: 'session',
  worksheet: 'worksheet',
  participant: 'R-07',
  total: questions.reduce((sum, one) => sum + one.marks, 0),
  outOf: questions.reduce((sum, one) => sum + one.outOf, 0),
  pending: questions.reduce((sum, one) => sum + one.pending, 0),
  questions,
});
const marked = (...questions: QuestionMark[]): DeskFile => ({ file: 'a.pdf', status: 'marked', findings: [], marking: marking(...questions) });

test('a file without anything to look at says nothing', () => {
  expect(lineOf('a.pdf', marked(question(1), question(2)))).toMatchObject({ student: 's-1', participant: 'R-07', marks: '8', outOf: '8' });
  expect(lineOf('a.pdf', marked(question(1))).look).toBeUndefined();
});

test('refusals go before warnings, warnings before slips, slips before what waits', () => {
  const slip = question(3, { verdict: 'slip', rows: [row({ verdict: 'slip', slip: { id: 'grade', says: 'grade as a whole number' } })] });
  const waiting = question(9, { verdict: 'waiting', marks: 0, pending: 4, rows: [row({ verdict: 'waiting', marks: 0 })] });
  const file = marked(slip, waiting);
  expect(lineOf('a.pdf', { ...file, status: 'refused', findings: [{ code: 'altered', level: 'refusal', text: '' }] }).look).toEqual({ text: 'record altered after export', urgent: true });
  expect(lineOf('a.pdf', { ...file, findings: [{ code: 'rehearsal', level: 'warning', text: '' }] }).look).toEqual({ text: 'a rehearsal, not a test', urgent: true });
  expect(lineOf('a.pdf', file).look).toEqual({ text: 'grade as a whole number, 3', urgent: true });
  expect(lineOf('a.pdf', marked(waiting)).look).toEqual({ text: 'written answer 9', urgent: false });
});

test('a refused file gives no marks, whatever marking it carries', () => {
  const line = lineOf('a.pdf', { ...marked(question(1)), status: 'refused', findings: [{ code: 'altered', level: 'refusal', text: '' }] });
  expect(line.marking).toBeUndefined();
  expect(line.marks).toBe('–');
});

test('the bar parts what was earned from what was carried forward and what waits', () => {
  const carried = question(2, { verdict: 'carried-forward', marks: 2, rows: [row({ verdict: 'carried-forward', marks: 2 })] });
  const waiting = question(3, { marks: 0, pending: 4, rows: [row({ verdict: 'waiting', marks: 0 })] });
  // 4 of 12 earned, 2 of 12 carried, 4 of 12 waiting; as per cent, to the digits of the division.
  const { bar } = lineOf('a.pdf', marked(question(1), carried, waiting));
  expect(bar?.earned).toBeCloseTo(100 / 3, 10);
  expect(bar?.carried).toBeCloseTo(100 / 6, 10);
  expect(bar?.waiting).toBeCloseTo(100 / 3, 10);
});

test('a reason is set with its first sentence apart', () => {
  expect(reasonParts('Carried forward: right for the answer in 3.')).toEqual({ lead: 'Carried forward:', rest: 'right for the answer in 3.' });
  expect(reasonParts('Right.')).toEqual({ lead: 'Right.', rest: '' });
});
