/**
 * Must show: a seeded class of 60 worksheets on 30 tests is marked exactly as it was planted (`tests/core/seeded-class.ts`), through
 * the desk itself: files opened in children, kept in a set, folded, written out.
 */
import { readFileSync } from 'node:fs';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { countsOf, gatherClass } from '../../core/class/gather.ts';
import type { SetDraft, SetFileRow, SetView } from '../../core/contract/marking-sets.ts';
import type { Result } from '../../core/result.ts';
import { endPool } from '../../electron/desk/pool.ts';
import { SetDesk } from '../../electron/desk/set-desk.ts';
import { writeWorksheet } from '../../electron/pdf/write-worksheet.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { answer, Chance, fileText, plants, plantTests, recordOf, type PlantedWorksheet } from '../core/seeded-class.ts';
import { bruceText } from '../core/session-builder.ts';
import { tempFolder } from './temp-folder.ts';

const SEED = 20260309;
const IN_TIME = '2026-03-06T15:00:00+00:00';
const DUE = '2026-03-09T17:00:00+00:00';
/** 1 day and 2 hours after it was due: two days begun. */
const LATE = '2026-03-10T19:00:00+00:00';

const { folder, remove } = tempFolder();
const desk = new SetDesk({ folder, clock: { wallMs: () => Date.parse('2026-03-12T09:00:00Z') }, sheets: sheetTexts({ 'bruce.yaml': bruceText }), program: 'test' });
afterAll(() => {
  desk.close();
  endPool();
  remove();
});

async function good<Value>(answerOf: Promise<Result<Value>>): Promise<Value> {
  const result = await answerOf;
  if (!result.ok) throw new Error(`${result.error.code}: ${result.error.message}`);
  return result.value;
}

interface Incoming {
  readonly name: string;
  readonly folder: string;
  readonly base64: string;
}
let commands = 0;
const command = (): string => `seeded-class-${String(commands++).padStart(4, '0')}`;
const file = (name: string, bytes: string | Uint8Array, group = ''): Incoming => ({ name, folder: group, base64: Buffer.from(bytes).toString('base64') });

const chance = new Chance(SEED);
const tests = plantTests(chance, 17);
const students = Array.from({ length: 60 }, (_, index) => `S-${String(index + 101)}`);
/** Every plant four times and more, in an order that the seed gives; the pair with the symptom answers all of its paper rightly. */
const order = chance.shuffled(Array.from({ length: 60 }, (_, index) => plants[index % plants.length]!));
const planted: PlantedWorksheet[] = [];
let view: SetView;
let set = '';

/** Pairs 1 to 29 do a test each, the 30th student of the last pair was ill: the record of test 1 was issued to her. */
function plantClass(): void {
  const records = tests.map((test) => recordOf(test));
  for (const [index, student] of students.entries()) {
    const at = index === 59 ? 0 : Math.floor(index / 2);
    const test = tests[at]!;
    const plant = test.symptom ? plants[0]! : order[index]!;
    planted.push(answer(test, records[at]!, student, plant, [5, 23, 40].includes(index) ? LATE : IN_TIME));
  }
}
const by = (student: string): PlantedWorksheet => planted.find((one) => one.student === student)!;
const rowOf = (student: string, status?: string): SetFileRow => view.files.find((row) => row.student === student && (status === undefined || row.status === status))!;
const codes = (row: SetFileRow): readonly string[] => row.findings.map(({ code }) => code);
const say = async (...drafts: SetDraft[]): Promise<SetView> => (view = await good(desk.handlers['set.append']({ set, command: command(), author: 'KL', drafts })));
async function settled(): Promise<void> {
  view = await good(desk.handlers['set.open']({ set }));
  if (view.job !== undefined) await desk.finished(view.job);
  view = await good(desk.handlers['set.open']({ set }));
}

beforeAll(async () => {
  plantClass();
  const pdf = (one: PlantedWorksheet): Promise<Uint8Array> => writeWorksheet({ session: { events: one.record.stored }, worksheet: { events: one.sheet.stored }, paper: 'A4', version: '0.1.0', wall: '2026-03-06T15:10:00+00:00' });
  const [first, stripped] = [await pdf(by('S-104')), await pdf(by('S-109'))];
  const files: Incoming[] = [];
  for (const [index, one] of planted.entries()) {
    const group = `group ${String.fromCharCode(97 + Math.floor(index / 20))}`;
    const text = fileText(one);
    const name = `${one.student}.json`;
    // One reading changed after it was written; an answer changed; a PDF saved again without its record; a file cut short.
    if (one.student === 'S-107') files.push(file(name, text.replace('\\"typed\\":\\"0.98\\"', '\\"typed\\":\\"1.98\\"'), group));
    else if (one.student === 'S-120') files.push(file(name, text.replace('\\"question\\":\\"hr-max\\",\\"typed\\":\\"', '\\"question\\":\\"hr-max\\",\\"typed\\":\\"1'), group));
    else if (one.student === 'S-109') files.push(file('S-109.pdf', Buffer.from(Buffer.from(stripped).toString('latin1').replaceAll('/EmbeddedFiles', '/NothingMoreXX').replaceAll('/AF ', '/XX '), 'latin1'), group));
    else if (one.student === 'S-115') files.push(file(name, text.slice(0, text.length / 2), group));
    else if (one.student === 'S-104') files.push(file('S-104.pdf', first, group));
    else files.push(file(name, text, group));
  }
  // The same file again in another folder; the same worksheet as data beside its PDF.
  files.push({ ...files[10]!, folder: 'again' }, file('S-104.json', fileText(by('S-104')), 'again'));
  // A second hand-in of a student who had it right the first time; a rehearsal in place of a test; another lab sheet.
  const second = answer(by('S-101').test, by('S-101').record, 'S-101', plants[10]!, '2026-03-07T10:00:00+00:00', 'w-second');
  files.push(file('S-101 again.json', fileText(second), 'again'));
  const practice = { ...tests[3]!, id: 's-rehearsedaaa', code: 'R-90' };
  files.push(file('S-161.json', fileText(answer(practice, recordOf(practice, 'rehearsal'), 'S-161', plants[0]!, IN_TIME))));
  const elsewhere = { ...tests[4]!, id: 's-elsewhereaaa', code: 'R-91' };
  files.push(file('S-162.json', fileText(answer(elsewhere, recordOf(elsewhere, 'live', bruceText.replace('id: treadmill-maximal-bruce', 'id: another-lab')), 'S-162', plants[0]!, IN_TIME))));
  // A key that is on no roster, one letter off.
  const mistyped = { ...tests[5]!, id: 's-mistypedaaaa', code: 'R-92' };
  files.push(file('S-l63.json', fileText(answer(mistyped, recordOf(mistyped), 'S-l63', plants[0]!, IN_TIME))));

  ({ set } = await good(desk.handlers['set.create']({ command: command(), author: 'KL', title: 'Maximal test, spring', term: 'Spring 2026', sheet: 'treadmill-maximal-bruce' })));
  const roster = [...students, 'S-161', 'S-162', 'S-163', 'S-164'].map((student, index) => ({ student, group: `pair ${Math.floor(index / 2) + 1}`, ...(student === 'S-141' ? { extension: '2026-03-11T17:00:00+00:00' } : {}) }));
  await say(
    { kind: 'roster-loaded', data: { students: roster, name: 'roster.csv' } },
    { kind: 'due-set', data: { due: DUE } },
    { kind: 'late-rule-set', data: { rule: { kind: 'per-day', percent: 10, of: 'available', graceMinutes: 15 } } },
  );
  const job = await good(desk.handlers['set.add-files']({ set, command: command(), author: 'KL', files }));
  await desk.finished(job.job);
  await settled();
}, 120_000);

describe('the seeded class', () => {
  it('every sound worksheet has exactly the marks that were planted, question by question', () => {
    const refused = ['S-107', 'S-120', 'S-109', 'S-115'];
    const checked = planted.filter(({ student }) => !refused.includes(student) && student !== 'S-101');
    expect(checked).toHaveLength(55);
    for (const one of checked) {
      const row = view.files.find((each) => each.student === one.student && each.status !== 'duplicate')!;
      const marks = Object.fromEntries((row.cells ?? []).map((cell) => [cell.id, cell.marks]));
      expect(marks, `${one.student}: ${one.plant.name}`).toEqual(one.marks);
      expect({ earned: row.earned, outOf: row.outOf, pending: row.pending }, one.student).toEqual({ earned: one.total, outOf: one.outOf, pending: 8 });
      for (const [question, verdict] of Object.entries(one.plant.verdicts ?? {})) expect(row.cells?.find(({ id }) => id === question)?.verdict, `${one.student} ${question}`).toBe(verdict);
      for (const cell of row.cells ?? []) expect(cell).toMatchObject({ marker: 'program', key: view.key?.name, byHand: false });
    }
  });
  it('names each slip, in its own words, and explains every award in one line', async () => {
    for (const one of planted.filter(({ plant, student }) => plant.says !== undefined && !['S-107', 'S-120', 'S-109', 'S-115'].includes(student)).slice(0, 6)) {
      const { marking } = await good(desk.handlers['set.read']({ set, file: rowOf(one.student).file }));
      const [question, words] = one.plant.says!;
      expect(marking?.questions.find(({ id }) => id === question)?.reason, one.student).toMatch(words);
      for (const { reason } of marking?.questions ?? []) expect(reason).toMatch(/^[^\n]{4,}[.!]$/);
    }
  });
  it('altered, stripped and damaged files are refused in words, each with its folder and name as they came', () => {
    for (const [name, code] of [['S-107.json', 'altered'], ['S-120.json', 'altered'], ['S-109.pdf', 'stripped'], ['S-115.json', 'not-json']] as const) {
      const row = view.files.find((each) => each.name === name)!;
      expect(row).toMatchObject({ status: 'refused', folder: 'group a' });
      expect(codes(row), name).toContain(code);
      expect(row.cells).toBeUndefined();
    }
    // The file does not tell whose it is, so the roster does.
    expect(view.students.find(({ student }) => student === 'S-115')).toMatchObject({ state: 'not-handed-in', files: [] });
  });
  it('duplicates stand beside the one that counts, and count for nothing', () => {
    const copies = view.files.filter(({ status }) => status === 'duplicate');
    expect(copies.map((row) => [row.folder, row.name, codes(row).find((code) => code.startsWith('duplicate'))])).toEqual([['again', 'S-111.json', 'duplicate-file'], ['again', 'S-104.json', 'duplicate-worksheet']]);
    expect(copies[0]?.findings.find(({ code }) => code === 'duplicate-file')?.text).toContain('group a/S-111.json');
  });
  it('late work loses two days’ ten per cent of 50; an extension on the roster and a grace are kept', () => {
    for (const student of ['S-106', 'S-124']) {
      const row = rowOf(student);
      expect(row).toMatchObject({ lateDays: 2, total: Math.max(0, by(student).total - 10) });
      expect(row.findings.find(({ code }) => code === 'late')?.text).toContain('1 day and 2 h after it was due');
    }
    expect(rowOf('S-141')).toMatchObject({ total: by('S-141').total });
    expect(codes(rowOf('S-141'))).toContain('extension');
  });
  it('of several hand-ins the last counts, as the rule says; with another rule another', async () => {
    expect(rowOf('S-101', 'counts')).toMatchObject({ name: 'S-101 again.json', earned: 38 });
    expect(codes(rowOf('S-101', 'other-counts'))).toContain('several-hand-ins');
    await say({ kind: 'several-rule-set', data: { rule: 'best' } });
    expect(rowOf('S-101', 'counts').earned).toBe(Math.max(38, by('S-101').total));
    await say({ kind: 'several-rule-set', data: { rule: 'first' } });
    expect(rowOf('S-101', 'counts').name).toBe('S-101.json');
    await say({ kind: 'several-rule-set', data: { rule: 'last' } });
  });
  it('the symptom stop is said, and what needs a maximum leaves the total', () => {
    for (const student of ['S-135', 'S-136']) {
      const row = rowOf(student);
      expect(row).toMatchObject({ outOf: 38, earned: 30 });
      expect(row.findings.find(({ code }) => code === 'symptom-stop')?.text).toMatch(/questions 4 .*, 5 .*, 8 /);
    }
  });
  it('the issued record is held, marked all the same, until somebody accepts it', async () => {
    const row = rowOf('S-160');
    expect(row).toMatchObject({ status: 'held', earned: by('S-160').total });
    expect(row.findings.find(({ code }) => code === 'issued-record')?.text).toContain('3 students hand in this test');
    await say({ kind: 'issued-accepted', data: { session: row.session!, reason: 'ill on the day; record of test 1 issued' } });
    expect(rowOf('S-160').status).toBe('counts');
    expect(codes(rowOf('S-160'))).toContain('issued-accepted');
  });
  it('a rehearsal is held, another lab sheet refused, a mistyped key suggested and corrected', async () => {
    expect(rowOf('S-161')).toMatchObject({ status: 'held' });
    expect(codes(rowOf('S-161'))).toContain('rehearsal');
    expect(view.files.find(({ name }) => name === 'S-162.json')?.findings.find(({ code }) => code === 'wrong-sheet')?.text).toContain('another-lab');
    const mistyped = rowOf('S-l63');
    expect(mistyped.findings.find(({ code }) => code === 'unknown-student')?.text).toContain('did they mean "S-163"');
    await say({ kind: 'student-corrected', data: { file: mistyped.file, student: 'S-163', reason: 'a letter for a figure' } }, { kind: 'rehearsal-accepted', data: { session: rowOf('S-161').session!, reason: 'the treadmill was out of order' } });
    expect(rowOf('S-163')).toMatchObject({ status: 'counts', group: 'pair 32', earned: 42 });
    expect(rowOf('S-161').status).toBe('counts');
    expect(view.students.filter(({ state }) => state === 'not-handed-in').map(({ student }) => student)).toContain('S-164');
  });
  it('class n is 30 of the planted tests, however many worksheets carry them', async () => {
    const { worksheets } = await good(desk.handlers['set.class']({ set }));
    const { tests: gathered } = gatherClass(worksheets);
    const own = gathered.filter(({ session }) => tests.some(({ id }) => id === session));
    expect(countsOf(own)).toMatchObject({ tests: 30, people: 30 });
    expect(JSON.stringify(worksheets)).not.toMatch(/systolic|diastolic/);
  });
  it('moderation stays where it was put when the key changes, and the change says who moved', async () => {
    const beats = planted.filter(({ plant, student }) => plant.name.startsWith('two beats off') && !['S-107', 'S-120', 'S-109', 'S-115', 'S-101'].includes(student)).map(({ student }) => student);
    expect(beats.length).toBeGreaterThan(2);
    const [moderatedOne = '', ...others] = beats;
    await say({ kind: 'mark-moderated', data: { worksheet: rowOf(moderatedOne).worksheet!, question: 'hr-max', marks: 2.5, comment: 'showed both equations' } });
    const earned = rowOf(moderatedOne).earned;
    const key = 'schema: stagecall-answer-key/1\nsheet: treadmill-maximal-bruce\nquestions:\n  hr-max: { tolerance: { full: 3, part: 4 } }\n';
    await say({ kind: 'key-adopted', data: { sheet: bruceText, key, reason: 'the table on the wall was printed wrongly' } });
    await settled();
    expect(view.key).toMatchObject({ version: 2, split: true });
    expect(view.moved.map(({ student, question, before, after }) => ({ student, question, before, after })).toSorted((a, b) => a.student.localeCompare(b.student))).toEqual(others.toSorted().map((student) => ({ student, question: 'hr-max', before: 1.5, after: 3 })));
    expect(rowOf(moderatedOne).earned).toBe(earned);
    expect(view.groundMoved).toMatchObject([{ student: moderatedOne, question: 'hr-max', marks: 2.5, by: 'KL' }]);
    expect(view.groundMoved[0]?.says).toContain('the automatic mark went from 1.5 of 3 to 3 of 3');
    expect(rowOf(moderatedOne).cells?.find(({ id }) => id === 'hr-max')).toMatchObject({ marker: 'KL', byHand: true, groundMoved: true });
  });
  it('marks out, then what has changed since; text that a spreadsheet would run is guarded', async () => {
    const csv = async (form: 'long' | 'wide', changesOnly = false): Promise<string> => Buffer.from((await good(desk.handlers['set.export-marks']({ set, command: command(), author: 'KL', form, changesOnly }))).base64, 'base64').toString('utf8');
    const wide = await csv('wide');
    expect(wide.split('\r\n')[0]).toBe('student,group,hr-max,stage-vo2,vo2-peak,vo2-time,percent-of-predicted,effort,hr-recovery,category,target-heart-rate,discussion,earned,late_days,total,out_of,waiting,state,file');
    expect(wide.split('\r\n')).toHaveLength(66);
    const row = rowOf('S-102');
    await say({ kind: 'written-marked', data: { worksheet: row.worksheet!, question: 'discussion', level: 1, marks: 6, comment: '=HYPERLINK("x") is no answer' } });
    const changes = await csv('long', true);
    expect(changes.trim().split('\r\n').slice(1)).toEqual([expect.stringMatching(/^S-102,pair 1,treadmill-maximal-bruce v\d+,discussion,6,8,waiting,KL,v2 \(.{4}\),0,"'=HYPERLINK\(""x""\) is no answer"$/)]);
    expect((await csv('long', true)).trim().split('\r\n')).toHaveLength(1);
  });
  it('archived: the records are gone from the disk, the marks stay', async () => {
    const before = rowOf('S-102');
    const code = by('S-102').test.code;
    const kept = path.join(folder, `${set}.marking-set`);
    view = await good(desk.handlers['set.archive']({ set, command: command(), author: 'KL', reason: 'end of term' }));
    expect(rowOf('S-102')).toMatchObject({ earned: before.earned, total: before.total });
    expect(rowOf('S-102')).not.toHaveProperty('participant');
    const bytes = ['', '-wal'].map((end) => readFileSync(`${kept}${end}`).toString('latin1')).join('');
    expect(bytes).not.toContain(`"${code}"`);
    expect(bytes).not.toContain('Light-headed');
    const { base64 } = await good(desk.handlers['set.export-marks']({ set, command: command(), author: 'KL', form: 'long', changesOnly: false }));
    expect(Buffer.from(base64, 'base64').toString('utf8')).toContain('S-102,pair 1,');
    expect(await desk.handlers['set.append']({ set, command: command(), author: 'KL', drafts: [{ kind: 'due-set', data: { due: null } }] })).toMatchObject({ ok: false, error: { code: 'archived' } });
  });
});
