/** The command line's documents: blank sheets, data, feedback for a class, and packed folders of hand-ins. */
import { existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { endPool } from '../../electron/desk/pool.ts';
import { labCommand } from '../../electron/lab/command.ts';
import { pdfText } from '../core/pdf-text.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';
import { zipOf } from './zip-maker.ts';

const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-documents-'));
afterAll(() => {
  endPool();
  rmSync(folder, { recursive: true, force: true });
});

async function lab(...args: readonly string[]): Promise<{ readonly code: number; readonly out: string; readonly said: string }> {
  let out = '';
  const said: string[] = [];
  const code = await labCommand(args, { out: (text) => void (out += text), say: (line) => void said.push(line), folder, isTerminal: false });
  return { code, out, said: said.join('\n') };
}
const inside = (name: string): readonly string[] =>
  readdirSync(path.join(folder, name), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile())
    .map((entry) => path.relative(path.join(folder, name), path.join(entry.parentPath, entry.name)).replaceAll(path.sep, '/'))
    .toSorted();
const text = async (file: string): Promise<string> => (await pdfText(readFileSync(path.join(folder, file)))).replace(/\s+/g, ' ');

const session = wholeSession();
const record = (student: string): string =>
  worksheetFileText(buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: answered(session, { 'hr-max': ['193', '/min'] }, student).handIn().stored }, version: '0.1.0' }));

describe('blank', () => {
  it('by id or file, A4 or Letter, into a file', async () => {
    expect(await lab('blank', 'treadmill-maximal-bruce')).toMatchObject({ code: 0, said: '' });
    expect(await text('blank-treadmill-maximal-bruce.pdf')).toContain('Maximal treadmill test on the Bruce stages');
    expect((await lab('blank', 'step-test-queens-college', '--paper', 'letter', '--out', 'step.pdf')).code).toBe(0);
    expect(readFileSync(path.join(folder, 'step.pdf')).toString('latin1')).toContain('612');
  });
  it.each([
    [['blank'], 2, 'takes one LAB-SHEET'],
    [['blank', 'treadmill-maximal-bruse'], 1, 'did you mean "treadmill-maximal-bruce"'],
    [['blank', 'treadmill-maximal-bruce', '--paper', 'A5'], 2, 'A4 or Letter'],
    [['blank', 'treadmill-maximal-bruce', '--out', 'nowhere/x.pdf'], 1, 'does not exist'],
  ] as const)('%j exits with %d', async (args, code, words) => {
    const ran = await lab(...args);
    expect(ran.code).toBe(code);
    expect(ran.said).toContain(words);
  });
});

describe('mark --feedback, and packed folders', () => {
  beforeAll(() => {
    mkdirSync(path.join(folder, 'in/group A'), { recursive: true });
    writeFileSync(path.join(folder, 'in/group A/s-1.json'), record('s-1'));
    writeFileSync(path.join(folder, 'in/late.zip'), zipOf([{ name: 'group B/s-2.json', content: record('s-2') }, { name: '../out.json', content: record('s-3') }, { name: 'photo.png', content: 'x' }]));
    writeFileSync(path.join(folder, 'in/torn.zip'), zipOf([{ name: 'a.json', content: record('s-4') }]).subarray(0, 900));
    writeFileSync(path.join(folder, 'in/broken.json'), record('s-5').replace('193', '194'));
  });
  it('writes under the names and folders in which the files came; what was refused has none', async () => {
    const ran = await lab('mark', 'in', '--sheet', 'treadmill-maximal-bruce', '--out', 'marks.csv', '--feedback', 'in/feedback');
    expect(ran.code).toBe(0);
    expect(inside('in/feedback')).toEqual(['group A/s-1.json.pdf', 'late/group B/s-2.json.pdf']);
    const page = await text('in/feedback/late/group B/s-2.json.pdf');
    for (const part of ['Feedback for s-2', 'key treadmill-maximal-bruce v1', 'Worked solution']) expect(page).toContain(part);
    expect(ran.said).toMatch(/late\/photo.png: This is neither/);
    expect(ran.said).toMatch(/late\/\.\.\/out.json: The name of this file leads out/);
    expect(ran.said).toMatch(/torn.zip: The packed folder is damaged/);
    expect(readFileSync(path.join(folder, 'marks.csv'), 'utf8')).toMatch(/broken.json: The record was changed/);
    // A second run does not take its own feedback for hand-ins.
    expect((await lab('mark', 'in', '--out', 'marks.csv', '--feedback', 'in/feedback')).said).toContain('2 feedback PDFs');
  });
  it('never writes over what was handed in', async () => {
    mkdirSync(path.join(folder, 'pdfs'), { recursive: true });
    writeFileSync(path.join(folder, 'pdfs/s-1.pdf'), readFileSync(path.join(folder, 'in/feedback/group A/s-1.json.pdf')));
    const before = readFileSync(path.join(folder, 'pdfs/s-1.pdf'));
    const ran = await lab('mark', 'pdfs/s-1.pdf', '--out', 'marks-2.csv', '--feedback', 'pdfs');
    expect(ran.code).toBe(1);
    expect(ran.said).toContain('would write over the worksheets');
    expect(readFileSync(path.join(folder, 'pdfs/s-1.pdf')).equals(before)).toBe(true);
  });
});

describe('data', () => {
  it('writes readings, dictionary and record', async () => {
    expect(await lab('data', 'in/group A/s-1.json', '--out', 'data')).toMatchObject({ code: 0, said: '' });
    expect(inside('data')).toEqual(['readings-dictionary.csv', `readings-${session.id}.csv`, `record-${session.id}.json`]);
  });
  it('writes nothing from a record that was changed', async () => {
    const ran = await lab('data', 'in/broken.json', '--out', 'data-2');
    expect(ran.code).toBe(1);
    expect(ran.said).toMatch(/The record was changed.*Nothing was written/);
    expect(existsSync(path.join(folder, 'data-2'))).toBe(false);
  });
});
