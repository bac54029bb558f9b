/** `lab mark` as a marking set: key, roster, due date, kept in a file and gone on with. */
import { existsSync, mkdirSync, readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, expect, it } from 'vitest';
import { endPool } from '../../electron/desk/pool.ts';
import { labCommand } from '../../electron/lab/command.ts';
import { worksheetFileText, buildWorksheetFile } from '../../core/worksheet/file.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';
import { tempFolder } from './temp-folder.ts';

const { folder, remove } = tempFolder();
afterAll(() => {
  endPool();
  remove();
});
const session = wholeSession();
const text = (student: string, replaced = {}): string => worksheetFileText(buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: answered(session, replaced, student).handIn().stored }, version: '0.1.0' }));
async function lab(...args: readonly string[]): Promise<{ readonly code: number; readonly out: string; readonly said: string }> {
  let out = '';
  const said: string[] = [];
  const code = await labCommand(args, { out: (more) => void (out += more), say: (line) => void said.push(line), folder, isTerminal: false });
  return { code, out, said: said.join('\n') };
}
const csv = (): readonly string[] => readFileSync(path.join(folder, 'marks.csv'), 'utf8').trim().split('\r\n');

it('marks by key and roster, keeps the set, and opens only what is new the next time', async () => {
  mkdirSync(path.join(folder, 'in', 'group a'), { recursive: true });
  writeFileSync(path.join(folder, 'in', 'group a', 'one.json'), text('s-2204', { 'hr-max': ['195', '/min'] }));
  writeFileSync(path.join(folder, 'key.yaml'), 'schema: stagecall-answer-key/1\nsheet: treadmill-maximal-bruce\nquestions:\n  hr-max: { tolerance: { full: 3 } }\n');
  writeFileSync(path.join(folder, 'roster.csv'), 'student,group\ns-2204,A\ns-2205,A\ns-2206,B\n');
  const first = await lab('mark', 'in', '--sheet', 'treadmill-maximal-bruce', '--key', 'key.yaml', '--roster', 'roster.csv', '--due', '2026-03-01T17:00:00+00:00', '--late', '10', '--set', 'spring.marking-set', '--wide', '--out', 'marks.csv');
  expect(first.said).toContain('not handed in: s-2205, s-2206');
  expect(first.said).toContain('after it was due');
  expect(first.code).toBe(0);
  // 195 for 192.6 is right within 3; the discussion is not answered, so nothing waits. One day begun takes 5 of 50.
  expect(csv()[1]).toBe('s-2204,A,3,8,5,5,4,6,4,3,4,0,42,1,37,50,0,marked,group a/one.json');

  writeFileSync(path.join(folder, 'in', 'two.json'), text('s-2205'));
  const second = await lab('mark', 'in', '--set', 'spring.marking-set', '--out', 'marks.csv', '--json');
  expect(second.code, second.said).toBe(0);
  const marks = JSON.parse(second.out) as { readonly format: string; readonly students: readonly { readonly student: string; readonly state: string }[] };
  expect(marks.format).toBe('stagecall-set-marks/1');
  expect(marks.students.map(({ student, state }) => [student, state])).toEqual([['s-2204', 'marked'], ['s-2205', 'marked'], ['s-2206', 'not-handed-in']]);
  expect(csv()).toHaveLength(21);
  expect(existsSync(path.join(folder, 'spring.marking-set'))).toBe(true);
});

it('says what is wrong with a key, a rule or a moment', async () => {
  writeFileSync(path.join(folder, 'bad.yaml'), 'schema: stagecall-answer-key/1\nsheet: treadmill-maximal-bruce\nquestions:\n  hr-mix: { marks: 2 }\n');
  const mark = async (...args: readonly string[]): Promise<string> => (await lab('mark', 'in', '--out', 'none.csv', ...args)).said;
  expect(await mark('--sheet', 'treadmill-maximal-bruce', '--key', 'bad.yaml')).toContain('no question "hr-mix"');
  expect(await mark('--sheet', 'treadmill-maximal-bruce', '--several', 'middle')).toContain('write one of first, last, best');
  expect(await mark('--sheet', 'treadmill-maximal-bruce', '--due', 'soon')).toContain('is not a moment');
  expect(await mark('--roster', 'roster.csv')).toContain('give --sheet');
  expect(existsSync(path.join(folder, 'none.csv'))).toBe(false);
});
