/** The loader: the shipped sheet is read whole; every kind of mistake is named with its line and its remedy. */
import { readdirSync, readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { loadSheet, problemText, type Problem } from '../../core/sheet/load.ts';
import { publishedShape } from '../../core/sheet/published.ts';
import { LONGEST_SHEET } from '../../core/sheet/yaml-text.ts';

const folder = new URL('../../lab-sheets/', import.meta.url);
const bruce = readFileSync(new URL('treadmill-maximal-bruce.yaml', folder), 'utf8');

/** The line (from 1) on which a text stands in the shipped sheet, so that the tests survive an edit of it. */
function lineOf(text: string, in_ = bruce): number {
  const index = in_.indexOf(text);
  if (index < 0) throw new Error(`the sheet has no "${text}"`);
  return in_.slice(0, index).split('\n').length;
}

function problemsOf(text: string): readonly Problem[] {
  const loaded = loadSheet(text, 'mine.yaml');
  if (loaded.ok) throw new Error('the sheet was read, but it is wrong');
  return loaded.problems;
}

/** Replaces one text of the shipped sheet, which has to be there once. */
function change(from: string, to: string): string {
  expect(bruce.split(from).length, `"${from}" stands once in the sheet`).toBe(2);
  return bruce.replace(from, to);
}

describe('shipped lab sheets', () => {
  const sheets = readdirSync(folder).filter((name) => name.endsWith('.yaml'));
  it('are there', () => expect(sheets).toContain('treadmill-maximal-bruce.yaml'));
  it.each(sheets)('%s is read without a warning, under its own name', (name) => {
    const loaded = loadSheet(readFileSync(new URL(name, folder), 'utf8'), name);
    expect(loaded.ok ? loaded.warnings : loaded.problems).toEqual([]);
    expect(loaded.ok && `${loaded.sheet.id}.yaml`).toBe(name);
  });
  it('the published schema is the one of this program', () => {
    const file: unknown = JSON.parse(readFileSync(new URL('lab-sheet.schema.json', folder), 'utf8'));
    // Through text, as the file was: JSON has no undefined.
    expect(file, 'run: npm exec -- node lab-sheets/publish-schema.ts').toEqual(JSON.parse(JSON.stringify(publishedShape())));
  });
});

describe('the treadmill sheet', () => {
  const loaded = loadSheet(bruce, 'treadmill-maximal-bruce.yaml');
  if (!loaded.ok) throw new Error(loaded.problems.map(problemText).join('\n'));
  const { sheet } = loaded;

  it('has the ten stages of Bruce 1973 as public tables print them', () => {
    // Reference: equations.md section 2, table "Bruce treadmill" [P].
    const printed = [[1.7, 10], [2.5, 12], [3.4, 14], [4.2, 16], [5.0, 18], [5.5, 20], [6.0, 22], [6.5, 24], [7.0, 26], [7.5, 28]];
    expect(sheet.stages.list.map(({ speed, grade }) => [speed, grade])).toEqual(printed.map(([mph, percent]) => [`${mph?.toFixed(1)} mph`, `${percent} %`]));
    expect(sheet.stages.length).toBe('3:00');
    expect(sheet.stages.timing).toBe('on-plan');
  });
  it('asks ten questions for fifty marks, with one written and one judged answer', () => {
    expect(sheet.questions.length).toBe(10);
    expect(sheet.questions.reduce((sum, question) => sum + question.marks, 0)).toBe(50);
    expect(sheet.questions.map((question) => question.kind)).toEqual(expect.arrayContaining(['number', 'table', 'judgement', 'choice', 'written']));
  });
  it('keeps what the author wrote as a unit as its code', () => {
    expect(sheet.questions.find((question) => question.id === 'hr-max')).toMatchObject({ unit: '/min' });
    const text = change('    id: hr-recovery\n', '    id: hr-recovery\n').replace(/(id: hr-recovery[\s\S]*?unit: )\/min/, '$1bpm');
    const other = loadSheet(text, 'x.yaml');
    expect(other.ok && other.sheet.questions.find((question) => question.id === 'hr-recovery')).toMatchObject({ unit: '/min' });
  });
  it('uses the running equation in between, and says so where it stands', () => {
    expect(sheet['predicted-vo2']).toMatchObject({ 'between-walk-and-run': 'run' });
  });
});

describe('a mistake is named with its line, what is wrong and what would be right', () => {
  const cases: readonly { readonly name: string; readonly text: string; readonly at: string; readonly says: RegExp; readonly path?: string }[] = [
    { name: 'a misspelt unit', text: change('{ speed: 3.4 mph, grade: 14 % }', '{ speed: 3.4 mhp, grade: 14 % }'), at: '3.4 mhp', path: 'stages → list → 3 → speed', says: /'3\.4 mhp' is not a speed; write for example '3\.4 mph' or '5\.5 km\/h'/ },
    { name: 'a unit that is missing', text: change('{ speed: 3.4 mph, grade: 14 % }', '{ speed: 3.4, grade: 14 % }'), at: 'speed: 3.4,', path: 'stages → list → 3 → speed', says: /'3\.4' has no unit/ },
    { name: 'a bare grade, which could be a fraction', text: change('grade: 14 %', 'grade: 14'), at: 'grade: 14 }', says: /'14' has no unit.*'10 %'/ },
    { name: 'a stage without a grade', text: change('{ speed: 3.4 mph, grade: 14 % }', '{ speed: 3.4 mph }'), at: '- { speed: 3.4 mph }', says: /stage 3 has no grade/ },
    { name: 'a misspelt key', text: change('\nobjectives:', '\nobjektives:'), at: 'objektives:', path: 'objektives', says: /"objektives" is not a key here; did you mean "objectives"\?/ },
    { name: 'a misspelt key deep inside', text: change('or-within-of-rest: 20', 'or-within-rest: 20'), at: 'or-within-rest: 20', says: /did you mean "or-within-of-rest"\?/ },
    { name: 'a key too many', text: change('  longest: "30:00"', '  longest: "30:00"\n  music: loud'), at: 'music: loud', says: /"music" is not a key here; (take it out|keys that may stand here)/ },
    { name: 'a missing key', text: change('  longest: "30:00"\n', ''), at: 'recovery:\n', path: 'recovery → longest', says: /"longest" is missing; add "longest:" with minutes and seconds/ },
    { name: 'nothing after a key', text: change('title: Maximal treadmill test on the Bruce stages', 'title:'), at: 'title:', says: /there is nothing after "title"/ },
    { name: 'a time that is none', text: change('  length: "3:00"', '  length: 3 min'), at: '3 min', says: /'3 min' cannot stand in "length"; a time is minutes and seconds/ },
    { name: 'a number where text belongs', text: change('title: Maximal treadmill test on the Bruce stages', 'title: 12'), at: 'title: 12', says: /put it in quotes: title: "12"/ },
    { name: 'a word that is not one of a list', text: change('mode: treadmill', 'mode: tredmill'), at: 'tredmill', says: /did you mean "treadmill"\?/ },
    { name: 'a kind of question that does not exist', text: change('kind: written', 'kind: essay'), at: 'kind: essay', says: /'essay' is not a kind.*use number, table, judgement, choice or written/ },
    { name: 'late before due', text: change('due: "-0:30"\n      late: "0:15"', 'due: "-0:30"\n      late: "-0:40"'), at: '"-0:40"', says: /late \(−0:40\) comes before due \(−0:30\)/ },
    { name: 'a formula that does not exist', text: change('formula: hr-max-tanaka-2001', 'formula: hr-max-tanaka'), at: 'formula: hr-max-tanaka\n', path: 'questions → 1 → answer → formula', says: /there is no formula 'hr-max-tanaka'; did you mean "hr-max-tanaka-2001/ },
    { name: 'an input that the formula does not have', text: change('{ age: participant.age }', '{ age: participant.age, weight: participant.mass }'), at: 'weight: participant.mass', says: /"weight" is not an input of "hr-max-tanaka-2001"/ },
    { name: 'an input that is missing', text: change('{ vo2: peak.vo2, mass: participant.mass }', '{ vo2: peak.vo2 }'), at: '{ vo2: peak.vo2 }', says: /"vo2-relative" needs mass \(body mass\)/ },
    { name: 'a value that the record does not hold', text: change('{ age: participant.age }', '{ age: participant.years }'), at: 'participant.years', says: /'participant\.years' is not a value of the record/ },
    { name: 'a value of another kind', text: change('{ age: participant.age }', '{ age: participant.mass }'), at: '{ age: participant.mass', says: /'participant\.mass' is in kg, and age is wanted in y/ },
    { name: 'a stage value outside a table', text: change('{ age: participant.age }', '{ age: stage.speed }'), at: '{ age: stage.speed', says: /has a meaning only in a table over the completed stages/ },
    { name: 'an answer that comes later', text: change('{ age: participant.age }', '{ age: answer.vo2-peak }'), at: 'answer.vo2-peak', says: /"vo2-peak" comes later/ },
    { name: 'an answer that does not exist', text: change('measured: answer.vo2-peak', 'measured: answer.vo2-pek'), at: 'answer.vo2-pek', says: /there is no question "vo2-pek"; did you mean "vo2-peak"\?/ },
    { name: 'two questions with one id', text: change('    id: hr-recovery\n', '    id: vo2-peak\n'), at: bruce.slice(bruce.indexOf('    id: hr-recovery\n') + 4, bruce.indexOf('    id: hr-recovery\n') + 6), says: /the id "vo2-peak" is there twice/ },
    { name: 'a tolerance that is none', text: change('tolerance: { full: 1.5 %, part: 5 % }', 'tolerance: { full: a bit, part: 5 % }'), at: 'a bit', says: /'a bit' is not a tolerance/ },
    { name: 'part marks inside full marks', text: change('tolerance: { full: 1.5 %, part: 5 % }', 'tolerance: { full: 1.5 %, part: 1 % }'), at: '{ full: 1.5 %, part: 1 % }', says: /part marks begin where full marks do/ },
    { name: 'marks that do not add up', text: change('\nmarks: 50\n', '\nmarks: 45\n'), at: 'marks: 45', says: /the questions add up to 50 marks, and the sheet says 45/ },
    { name: 'a rubric that gives more than the question', text: change('{ marks: 8, says:', '{ marks: 9, says:'), at: 'rubric:', says: /the best level gives 9 and the question 8 marks/ },
    { name: 'a detail that cannot be given', text: change('required: [participant-code, age,', 'required: [participant-code, gender,'), at: 'required: [participant-code, gender', says: /'gender' is not a detail that can be given/ },
    { name: 'a table of norms that does not exist', text: change('norms: [friend-treadmill-2015,', 'norms: [friend-treadmil-2015,'), at: 'norms:', says: /did you mean "friend-treadmill-2015"\?/ },
    { name: 'a fraction written as a whole number', text: change('fraction: 60 %, maximal', 'fraction: 60, maximal'), at: 'fraction: 60, ', says: /as a fraction it is more than 1; write "60 %"/ },
    { name: 'stop reasons without a symptom', text: bruce.replaceAll('symptom: true', 'symptom: false'), at: 'reasons:', says: /no reason is a symptom/ },
    { name: 'a newer form', text: change('schema: stagecall-lab-sheet/1', 'schema: stagecall-lab-sheet/9'), at: 'schema: stagecall', says: /written for a newer program/ },
    { name: 'a recovery plan that runs backwards', text: change('until: "30:00"', 'until: "2:00"'), at: 'until: "2:00"', says: /ends at 2:00, and the one before it at 3:00/ },
  ];
  it.each(cases)('$name', ({ text, at, says, path }) => {
    const problems = problemsOf(text);
    const first = problems.find((problem) => says.test(problemText(problem)));
    expect(first, problems.map(problemText).join('\n')).toBeDefined();
    if (path !== undefined) expect(first?.path).toBe(path);
    if (at.length > 2) expect(text.split('\n')[(first?.line ?? 0) - 1], `line ${first?.line}`).toContain(at.split('\n')[0]);
    expect(first?.file).toBe('mine.yaml');
    expect(first?.remedy.length).toBeGreaterThan(5);
  });
  it('names the line of a doubled question id', () => {
    const [problem] = problemsOf(change('    id: hr-recovery\n', '    id: vo2-peak\n'));
    expect(problem?.line).toBe(lineOf('    id: hr-recovery\n'));
  });
  it('does not call a misspelt key missing as well', () => {
    expect(problemsOf(change('\nobjectives:', '\nobjektives:')).length).toBe(1);
  });
  it('names every mistake at once, in the order of the file', () => {
    const problems = problemsOf(change('mode: treadmill', 'mode: tredmill').replace('kind: written', 'kind: essay'));
    expect(problems.map((problem) => problem.line)).toEqual([lineOf('mode: treadmill'), lineOf('kind: written')]);
  });
});

describe('YAML beyond plain data is refused', () => {
  const cases: readonly (readonly [string, string, RegExp])[] = [
    ['an alias', 'a: &x [1]\nb: *x', /"&" names a place.*\n?/],
    ['an alias alone', 'b: *x', /"\*"|anchor|points to another place/i],
    ['a tag', 'a: !!binary AAAA', /type mark/],
    ['a tag of its own', 'a: !run x', /type mark|tag/],
    ['a key twice', 'title: a\ntitle: b', /"title" is here twice \(first in line 1\)/],
    ['a tab', '\ttitle: a', /tab/],
    ['two documents', 'a: 1\n---\nb: 2', /second document/],
    ['a directive', '%YAML 1.1\n---\na: yes', /begin with %/],
    ['an open quote', 'a: "x\nb: 2', /quotation mark/],
    ['two colons', 'a: b: c', /two colons/],
    ['bytes', 'a: \u0000', /not text/],
    ['nothing', '  \n', /empty/],
    ['a list', '- a', /not a lab sheet/],
    ['one word', 'hello', /not a lab sheet/],
    ['a spreadsheet', 'PK\u0003\u0004', /not text/],
    ['a key of the language itself', '__proto__: {a: 1}', /not a key/],
    ['a billion laughs', 'a: &a [1,1]\nb: &b [*a,*a]\nc: [*b,*b]', /"&" names/],
  ];
  it.each(cases)('%s', (_name, text, says) => {
    expect(problemsOf(text).map(problemText).join('\n')).toMatch(says);
  });
  it('names the line of a doubled key', () => expect(problemsOf('title: a\nmode: b\ntitle: c')[0]?.line).toBe(3));
  it('a file that is too long is not read', () => {
    expect(problemsOf(`# ${'x'.repeat(LONGEST_SHEET)}`)[0]?.message).toMatch(/at most 200,000/);
  });
  it.each([
    ['brackets', '['.repeat(100_000)],
    ['braces', '{a: '.repeat(40_000)],
    ['dashes', '- '.repeat(90_000)],
    ['lines', Array.from({ length: 600 }, (_, depth) => `${' '.repeat(depth)}a:`).join('\n')],
    ['many keys', Array.from({ length: 20_000 }, (_, index) => `k${index}: 1`).join('\n')],
  ])('a deep or wide file of %s is refused quickly', (_name, text) => {
    const before = process.cpuUsage();
    problemsOf(text.slice(0, LONGEST_SHEET));
    const { user, system } = process.cpuUsage(before);
    // Processor time, since a busy machine is not the file's fault. The parser alone takes 3 s on the widest of these
    // when it checks keys itself; a person waits for this.
    expect((user + system) / 1000).toBeLessThan(2000);
  });
  it('reads Windows line ends and a byte-order mark', () => {
    expect(loadSheet(`\uFEFF${bruce.replaceAll('\n', '\r\n')}`, 'x.yaml').ok).toBe(true);
  });
});

describe('whatever is thrown at it', () => {
  const lines = bruce.split('\n');
  it('a sheet with one line lost, doubled or cut is read or refused with a line inside the file, never thrown', () => {
    fc.assert(
      fc.property(fc.nat(lines.length - 1), fc.constantFrom('lose', 'double', 'cut', 'indent'), fc.nat(20), (index, how, place) => {
        const line = lines[index] ?? '';
        const changed = how === 'lose' ? [] : how === 'double' ? [line, line] : how === 'cut' ? [line.slice(0, place)] : [`  ${line}`];
        const text = [...lines.slice(0, index), ...changed, ...lines.slice(index + 1)].join('\n');
        const loaded = loadSheet(text, 'x.yaml');
        if (loaded.ok) return;
        expect(loaded.problems.length).toBeGreaterThan(0);
        for (const problem of loaded.problems) {
          expect(problem.line).toBeGreaterThanOrEqual(1);
          expect(problem.line).toBeLessThanOrEqual(lines.length + 2);
          expect(problem.message).not.toBe('');
        }
      }),
      { numRuns: 60 },
    );
  });
  it('any text at all', () => {
    fc.assert(fc.property(fc.string({ maxLength: 300 }), (text) => !loadSheet(text, 'x.yaml').ok), { numRuns: 300 });
    expect(loadSheet('', 'x.yaml').ok).toBe(false);
  });
});
