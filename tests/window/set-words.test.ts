/** What the desk's list says of a file first: the gravest thing, then what waits; and which list a file is in. */
import { expect, test } from 'vitest';
import type { SetFileRow, SetQuestionCell, SetView } from '../../core/marking-set/view-types.ts';
import { reasonParts } from '../../renderer/desk/desk-words.ts';
import { moderation } from '../../renderer/desk/moderation.ts';
import { isIn, setLineOf } from '../../renderer/desk/set-words.ts';

const cell = (id: string, more: Partial<SetQuestionCell> = {}): SetQuestionCell => ({ id, marks: 4, outOf: 4, pending: 0, verdict: 'right', marker: 'program', key: 'v1', byHand: false, conflict: false, groundMoved: false, ...more });
const row = (more: Partial<SetFileRow> = {}): SetFileRow => ({ file: 'f-1', name: 'a.pdf', folder: '', addedWall: '2026-03-02T10:00:00+00:00', addedBy: 'KL', status: 'counts', findings: [], student: 's-1', participant: 'R-07', earned: 8, total: 8, outOf: 8, pending: 0, cells: [cell('q1'), cell('q2')], ...more });
const view = { questions: ['q1', 'q2', 'q3'].map((id, index) => ({ id, number: index + 1, title: id, kind: 'number', outOf: 4 })) } as unknown as SetView;
const line = (more: Partial<SetFileRow> = {}) => setLineOf(row(more), view);
const none = new Set<string>();

test('a file without anything to look at says nothing', () => {
  expect(line()).toMatchObject({ student: 's-1', participant: 'R-07', marks: '8', outOf: '8' });
  expect(line().look).toBeUndefined();
});

test('refusals go before differences, those before warnings, warnings before slips and what waits', () => {
  const cells = [cell('q1', { verdict: 'slip' }), cell('q2', { pending: 4, marks: 0, verdict: 'waiting' })];
  expect(line({ cells, status: 'refused', findings: [{ code: 'altered', level: 'refusal', text: '' }] }).look).toEqual({ text: 'record altered after export', urgent: true });
  expect(line({ cells: [cell('q1', { conflict: true })], findings: [{ code: 'late', level: 'warning', text: '' }] }).look).toEqual({ text: 'markers differ in 1', urgent: true });
  expect(line({ cells, findings: [{ code: 'late', level: 'warning', text: '' }] }).look).toEqual({ text: 'late', urgent: true });
  expect(line({ cells }).look).toEqual({ text: 'slip in 1; waits in 2', urgent: false });
});

test('a refused file has no marks; a slip that a marker has judged is not called one again', () => {
  const { earned: _, total: __, cells: ___, outOf: ____, ...bare } = row({ status: 'refused' });
  expect(setLineOf(bare, view).marks).toBe('–');
  expect(line({ cells: [cell('q1', { verdict: 'slip', byHand: true })] }).look?.text).toBe('by hand 1');
});

test('lists: to check, waiting, not counted', () => {
  const late = line({ findings: [{ code: 'late', level: 'warning', text: '' }] });
  const waiting = line({ pending: 4 });
  const held = line({ status: 'held', findings: [{ code: 'rehearsal', level: 'held', text: '' }] });
  expect([late, waiting, held].map((one) => isIn('check', one, none))).toEqual([true, false, true]);
  expect([late, waiting, held].map((one) => isIn('waiting', one, none))).toEqual([false, true, false]);
  expect([late, waiting, held].map((one) => isIn('refused', one, none))).toEqual([false, false, true]);
  expect(isIn('moved', late, new Set(['f-1']))).toBe(true);
});

test('the bar parts what was earned from what was carried forward and what waits', () => {
  // 4 of 12 earned, 2 of 12 carried, 4 of 12 waiting; as per cent, to the digits of the division.
  const { bar } = line({ earned: 6, outOf: 12, pending: 4, cells: [cell('q1'), cell('q2', { marks: 2, verdict: 'carried-forward' }), cell('q3', { marks: 0, pending: 4 })] });
  expect(bar?.earned).toBeCloseTo(100 / 3, 10);
  expect(bar?.carried).toBeCloseTo(100 / 6, 10);
  expect(bar?.waiting).toBeCloseTo(100 / 3, 10);
});

test('a reason is set with its first sentence apart', () => {
  expect(reasonParts('Carried forward: right for the answer in 3.')).toEqual({ lead: 'Carried forward:', rest: 'right for the answer in 3.' });
  expect(reasonParts('Right.')).toEqual({ lead: 'Right.', rest: '' });
});

test('what a marker types becomes a fact, or is refused before it is sent', () => {
  const ground = { marks: 2, outOf: 4, pending: 0, reason: 'Near.', answer: 'x', key: 'v1' };
  const award = { automatic: { marks: 2, outOf: 4, pending: 0, reason: 'Near.' }, marker: 'program', key: 'v1', byHand: [], groundMoved: false, ground };
  const question = { id: 'q1', number: 1, title: 'q', kind: 'number', verdict: 'near', marks: 2, outOf: 4, pending: 0, reason: 'Near.', unitMarkLost: 0, rows: [], award } as const;
  const at = { question, worksheet: 'w', session: 's', part: '', outOf: 4 };
  expect(moderation({ ...at, marks: '3,5', comment: 'read off the plot' })).toEqual({ ok: true, value: { kind: 'mark-moderated', data: { worksheet: 'w', question: 'q1', marks: 3.5, comment: 'read off the plot', ground } } });
  expect(moderation({ ...at, marks: '3', comment: ' ' })).toMatchObject({ ok: false, error: { code: 'comment' } });
  expect(moderation({ ...at, marks: '5', comment: 'x' })).toMatchObject({ ok: false, error: { code: 'marks' } });
  expect(moderation({ ...at, marks: 'much', comment: 'x' })).toMatchObject({ ok: false, error: { code: 'marks' } });
  const written = { ...question, kind: 'written', rubric: [{ marks: 4, says: 'all' }, { marks: 1, says: 'little' }] } as const;
  expect(moderation({ ...at, question: written, marks: '1', comment: '' })).toMatchObject({ ok: true, value: { kind: 'written-marked', data: { level: 1, marks: 1 } } });
});
