import { expect, test } from 'vitest';
import { readRoster } from '../../core/marking-set/roster-text.ts';

test('a list of keys, and a table with headings in any order and with any parting', () => {
  expect(readRoster('s-1\n\ns-2\n')).toEqual({ ok: true, value: [{ student: 's-1' }, { student: 's-2' }] });
  expect(readRoster('\ufeffGroup;Student key;Extension\nA;s-1;\nB;s-2;2026-03-16T17:00:00Z\n;;\n')).toEqual({ ok: true, value: [{ student: 's-1', group: 'A' }, { student: 's-2', group: 'B', extension: '2026-03-16T17:00:00.000Z' }] });
  expect(readRoster('s-1\tA\r\ns-2\tB\r\n')).toMatchObject({ ok: true, value: [{ student: 's-1', group: 'A' }, { student: 's-2', group: 'B' }] });
});

test('what is no roster is refused, with the line', () => {
  expect(readRoster('\n \n')).toMatchObject({ ok: false, error: { code: 'empty' } });
  expect(readRoster('student,extension\ns-1,next week\n')).toMatchObject({ ok: false, error: { code: 'not-a-date', message: expect.stringContaining('Line 2') } });
  expect(readRoster(`student\n${'x'.repeat(61)}\n`)).toMatchObject({ ok: false, error: { code: 'not-a-key' } });
});
