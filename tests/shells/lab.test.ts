/** The command line, verb by verb: what it prints, what it writes, and how it fails. */
import { execFileSync, spawnSync } from 'node:child_process';
import { chmodSync, existsSync, mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { labCommand } from '../../electron/lab/command.ts';

const root = path.dirname(path.dirname(import.meta.dirname));
const fixtures = path.join(root, 'tests/core/fixtures');
const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-lab-'));
afterAll(() => rmSync(folder, { recursive: true, force: true }));

interface Ran {
  readonly code: number;
  readonly out: string;
  readonly said: string;
}

/** Runs a verb in this process, standing in the test's own folder. */
async function lab(...args: readonly string[]): Promise<Ran> {
  let out = '';
  const said: string[] = [];
  const code = await labCommand(args, {
    out: (text) => void (out += text),
    say: (line) => void said.push(line),
    folder,
    isTerminal: false,
  });
  return { code, out, said: said.join('\n') };
}

const inFolder = (name: string): string[] => readdirSync(path.join(folder, name)).toSorted();
const csvRows = (text: string): string[][] =>
  text
    .trim()
    .split('\r\n')
    .map((line) =>
      [...line.matchAll(/("(?:[^"]|"")*"|[^,]*)(?:,|$)/g)]
        .slice(0, 8)
        .map((match) => (match[1] ?? '').replace(/^"|"$/g, '').replaceAll('""', '"')),
    );

describe('the command as a whole', () => {
  it('says what it can do, and exits with 2 where it was asked nothing', async () => {
    const ran = await lab();
    expect(ran.code).toBe(2);
    for (const verb of ['replay', 'mark', 'check', 'formula']) expect(ran.out).toContain(verb);
  });
  it.each(['replay', 'mark', 'check', 'formula'])('%s --help explains itself', async (verb) => {
    const ran = await lab(verb, '--help');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(new RegExp(`^Usage: npm run -s lab -- ${verb} `));
  });
  it.each([
    [['repaly'], /no verb "repaly"; did you mean "replay"\?/],
    [['check', '--sheet', 'x'], /check has no option --sheet; its options are --json/],
    [['replay'], /replay takes one SESSION\.csv/],
    [['replay', 'a.csv', '--out', 'x'], /--sheet LAB-SHEET is missing/],
    [['mark', 'a.pdf'], /--out MARKS\.csv is missing/],
    [['formula'], /formula takes an ID and name=value/],
  ] as const)('%j is answered in one line, exit code 2', async (args, says) => {
    const ran = await lab(...args);
    expect(ran).toMatchObject({ code: 2, out: '' });
    expect(ran.said).toMatch(says);
    expect(ran.said).not.toContain('\n');
  });
  it('runs as a program: results on stdout, one line on stderr, exit code', () => {
    const run = (...args: string[]) =>
      spawnSync(process.execPath, [path.join(root, 'electron/lab.ts'), ...args], {
        cwd: root,
        encoding: 'utf8',
        env: { ...process.env, INIT_CWD: fixtures },
      });
    const good = run('formula', 'walk-vo2-acsm', 'speed=3.5mph', 'grade=10%', '--json');
    expect(good.status).toBe(0);
    expect((JSON.parse(good.stdout) as { formula: string }).formula).toBe('walk-vo2-acsm');
    // r-07.csv is found from where the person stands; the sheet is not there
    const bad = run('replay', 'r-07.csv', '--sheet', 'no-such-sheet', '--out', path.join(folder, 'never'));
    expect(bad.status).toBe(1);
    expect(bad.stdout).toBe('');
    expect(bad.stderr.trim().split('\n')).toEqual([expect.stringMatching(/^stagecall: there is no lab sheet no-such-sheet; /)]);
  });
});

describe('check', () => {
  it('a shipped sheet, by its id', async () => {
    const ran = await lab('check', 'treadmill-maximal-bruce');
    expect(ran).toMatchObject({ code: 0, said: '' });
    expect(ran.out).toMatch(/10 stages, 10 questions, 50 marks\. The sheet can be used\./);
  });
  it('a broken one: every problem with file, line and remedy', async () => {
    const text = readFileSync(path.join(root, 'lab-sheets/treadmill-maximal-bruce.yaml'), 'utf8')
      .replace('3.4 mph', '3.4 mhp')
      .replace('mode: treadmill', 'mode: treadmil');
    writeFileSync(path.join(folder, 'mine.yaml'), text);
    const ran = await lab('check', 'mine.yaml');
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.said.split('\n')[0]).toMatch(
      /^mine\.yaml, line \d+: mode: 'treadmil' is not one of the words for "mode"; did you mean "treadmill"\?$/,
    );
    const asData = await lab('check', 'mine.yaml', '--json');
    expect(JSON.parse(asData.out)).toMatchObject({ ok: false, problems: [{ file: 'mine.yaml', path: 'mode' }] });
    expect(asData.code).toBe(1);
  });
  it.each([
    ['nothing.yaml', /there is no lab sheet nothing\.yaml; give a file, or one of/],
    ['treadmill-maximal-bruc', /did you mean "treadmill-maximal-bruce"\?/],
    ['.', /is a folder; give a file/],
  ])('%s', async (name, says) => {
    const ran = await lab('check', name);
    expect(ran.code).toBe(1);
    expect(ran.said).toMatch(says);
  });
});

describe('formula', () => {
  it('computes with mixed units: 3.5 mph, 10 % (printed 29.76 with 26.8 m/min per mph)', async () => {
    // S = 3.5 × 26.8224 = 93.8784: 9.38784 + 1.8 × 93.8784 × 0.1 (16.898112) + 3.5 = 29.785952
    const ran = await lab('formula', 'walk-vo2-acsm', 'speed=3.5mph', 'grade=10%', '--json');
    expect(JSON.parse(ran.out)).toMatchObject({ unit: 'mL/kg/min', warnings: [] });
    expect((JSON.parse(ran.out) as { value: number }).value).toBeCloseTo(29.785952, 9);
  });
  it('solves for an input, named or the one that is missing', async () => {
    // 8 METs at 2.0 mph (printed 20 %, recomputed 19.84 with 26.8): (28 − 3.5 − 0.1 × 53.6448) / (1.8 × 53.6448) = 0.1981710
    for (const args of [
      ['output=8METs', 'speed=2mph', '--solve', 'grade'],
      ['vo2=28', 'speed=2mph'],
    ]) {
      const ran = await lab('formula', 'walk-vo2-acsm', ...args, '--json');
      expect(JSON.parse(ran.out)).toMatchObject({ solvedFor: 'grade' });
      expect((JSON.parse(ran.out) as { value: number }).value).toBeCloseTo(0.198171, 6);
    }
  });
  it('a choice and a time: Bruce 1973, woman, 10:00', async () => {
    // 3.36 × 10 + 1.06 = 34.66
    const ran = await lab('formula', 'vo2max-bruce-1973', 'time=10:00', 'sex=female', '--json');
    expect((JSON.parse(ran.out) as { value: number }).value).toBeCloseTo(34.66, 9);
  });
  it('prints value, working, error and source', async () => {
    const ran = await lab('formula', 'hr-max-tanaka-2001', 'age=22');
    expect(ran.out).toMatch(/208 − 0\.7 × 22 = 193/);
    expect(ran.out).toMatch(/Published error: .*\nSource: Tanaka/);
  });
  it('gives the answer in another unit', async () => {
    const ran = await lab('formula', 'walk-vo2-acsm', 'speed=93.8', 'grade=10%', '--unit', 'METs', '--json');
    // 9.38 + 16.884 + 3.5 = 29.764; / 3.5 = 8.504 (printed: 8.504 METs)
    expect((JSON.parse(ran.out) as { value: number }).value).toBeCloseTo(8.504, 3);
  });
  it('lists every formula with inputs, units, range and source', async () => {
    const { formulas } = JSON.parse((await lab('formula', '--list', '--json')).out) as {
      formulas: { id: string; inputs: unknown[]; output: { unit: string }; source: { citation: string } }[];
    };
    expect(formulas.length).toBeGreaterThan(30);
    for (const formula of formulas) {
      expect(formula.inputs.length, formula.id).toBeGreaterThan(0);
      expect(formula.output.unit, formula.id).not.toBe('');
      expect(formula.source.citation, formula.id).not.toBe('');
    }
    expect((await lab('formula', '--list')).out).toContain('walk-vo2-acsm');
  });
  it.each([
    [['walk-vo2-acm', 'speed=1'], /no formula "walk-vo2-acm"; did you mean "walk-vo2-acsm"\?/],
    [['walk-vo2-acsm'], /needs speed=… \(speed m\/min\) and grade=…/],
    [['walk-vo2-acsm', 'speed=3mph'], /needs grade/],
    [['walk-vo2-acsm', 'sped=3mph', 'grade=10%'], /no input "sped"; did you mean "speed"\?/],
    [['walk-vo2-acsm', 'speed=3kg', 'grade=10%'], /speed/i],
    [['walk-vo2-acsm', 'speed=fast', 'grade=10%'], /"fast" is not a number/],
    [['walk-vo2-acsm', 'speed=3mph', 'grade=10'], /Grade/],
    [['walk-vo2-acsm', 'speed=3mph', 'speed=4mph', 'grade=0'], /given twice/],
    [['walk-vo2-acsm', 'speed'], /not name=value/],
    [['walk-vo2-acsm', 'output=30', '--solve', 'mass'], /cannot be solved for "mass"; it can for speed or grade/],
    [['walk-vo2-acsm', 'output=30'], /say what to solve for with --solve speed or grade/],
  ] as const)('%j is refused in one line', async (args, says) => {
    const ran = await lab('formula', ...args);
    expect(ran.code).not.toBe(0);
    expect(ran.out).toBe('');
    expect(ran.said).toMatch(says);
    expect(ran.said).not.toContain('\n');
  });
});

describe('replay', () => {
  const session = path.join(fixtures, 'r-07.csv');
  let first: Ran;
  beforeAll(async () => {
    first = await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'one');
  }, 60_000);

  it('writes one PDF a student, with the record inside, and a store of its own', () => {
    expect(first).toMatchObject({ code: 0, said: '' });
    const names = inFolder('one');
    expect(names).toEqual([
      'r-07.station',
      expect.stringMatching(/^worksheet-\w{6}-S-114\.pdf$/),
      expect.stringMatching(/^worksheet-\w{6}-S-220\.pdf$/),
    ]);
    for (const name of names.slice(1)) {
      const list = execFileSync('pdfdetach', ['-list', path.join(folder, 'one', name)], { encoding: 'utf8' });
      expect(list).toMatch(/1 embedded files/);
      expect(execFileSync('pdftotext', ['-layout', path.join(folder, 'one', name), '-'], { encoding: 'utf8' })).toMatch(/R-07/);
    }
    expect(inFolder('one/r-07.station')).toEqual(['results.json', 'stagecall.sqlite', 'station-key.pem']);
  });
  it('prints the results (hand calculation: tests/core/replay-results.test.ts)', () => {
    expect(first.out).toMatch(/ {2}3 +6:20 +5\.47 +14\.0 +walk +170 +160\/70 +15 +1\.01 +2\.04 +34\.0 +2\.14 +35\.6 +−1\.6 +−0\.10 +−4\.5/);
    expect(first.out).toMatch(/Stage 3: set 0:20 late/);
    expect(first.out).toMatch(/VO₂max 2\.31 L\/min, 38\.5 mL\/kg\/min, 11\.0 METs/);
    expect(first.out).toMatch(/Bruce stages, women \(Pollock 1982\) +42\.8 +89\.9 % +SEE 2\.7/);
    expect(first.out).toMatch(/at 1 min: 21 \/min, walking/);
    expect(first.out).toMatch(/60 % of heart-rate reserve: 142 \/min \(resting 72, maximal 189, measured\)/);
    expect(first.out).toMatch(/clears nobody to exercise/);
  });
  it('--json is one object on stdout, and what was kept beside the store', async () => {
    const ran = await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'two', '--json');
    const printed = JSON.parse(ran.out) as {
      format: string;
      stages: { predicted: { mlPerKgPerMinute: number } }[];
      worksheets: { student: string; file: string }[];
    };
    expect(printed.format).toBe('stagecall-replay/1');
    expect(printed.stages[2]?.predicted.mlPerKgPerMinute).toBeCloseTo(35.601, 3);
    expect(printed.worksheets.map((one) => one.student)).toEqual(['S-114', 'S-220']);
    for (const { file } of printed.worksheets) expect(existsSync(file)).toBe(true);
    expect(JSON.parse(readFileSync(path.join(folder, 'two/r-07.station/results.json'), 'utf8'))).toEqual(printed);
  }, 60_000);
  it('a second run of the same file replaces what the first wrote; another session stands beside it', async () => {
    await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'three');
    await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'three');
    expect(inFolder('three').filter((name) => name.endsWith('.pdf')).length).toBe(2);
    await lab('replay', path.join(fixtures, 'c-03.csv'), '--sheet', 'treadmill-maximal-bruce', '--out', 'three');
    expect(inFolder('three').filter((name) => name.endsWith('.pdf')).length).toBe(3);
    expect(inFolder('three').some((name) => /-unnamed\.pdf$/.test(name))).toBe(true);
  }, 60_000);
  it('prints void questions with their reasons, and what leaves the total', async () => {
    const ran = await lab('replay', path.join(fixtures, 'c-03.csv'), '--sheet', 'treadmill-maximal-bruce', '--out', 'four');
    // Void: prediction from time (5), per cent of it (4), category (3): 50 − 12
    expect(ran.out).toMatch(/Void questions \(the worksheet is out of 38, not 50\)/);
    expect(ran.out).toMatch(/Fitness category: .* \(3 marks leave the total\)/);
    expect(ran.out).toMatch(/stages 2 to 3 are taken to have been set on plan/);
  }, 60_000);
  it('reads a file of the Windows code page, and says so', async () => {
    writeFileSync(path.join(folder, 'old.csv'), Buffer.from(readFileSync(session, 'utf8'), 'latin1'));
    const ran = await lab('replay', 'old.csv', '--sheet', 'treadmill-maximal-bruce', '--out', 'five');
    expect(ran.code).toBe(0);
    expect(ran.said).toMatch(/old\.csv is not UTF-8/);
  }, 60_000);

  const broken = (change: (text: string) => string): string => {
    writeFileSync(path.join(folder, 'bad.csv'), change(readFileSync(session, 'utf8')));
    return 'bad.csv';
  };
  it.each([
    [
      'a bad unit',
      (text: string) => text.replace('4:00,exercise,heart-rate,124,/min', '4:00,exercise,heart-rate,124,mmHg'),
      /^bad\.csv, line \d+: "mmHg" is not a unit for heart rate; use \/min$/,
    ],
    [
      'no stop',
      (text: string) => text.replace(/.*,stop,.*\n/, ''),
      /^bad\.csv, line \d+: there are rows of recovery, and no row says when Exercise stopped; add a row like/,
    ],
    [
      'an impossible value',
      (text: string) => text.replace('10:40,exercise,heart-rate,189', '10:40,exercise,heart-rate,589'),
      /^bad\.csv, line \d+: Heart rate 589/,
    ],
    ['nothing', () => '', /^bad\.csv, line 1: the file is empty/],
  ] as const)('%s: one line with file, line and remedy; nothing is written', async (_name, change, says) => {
    const before = readdirSync(folder).length;
    const ran = await lab('replay', broken(change), '--sheet', 'treadmill-maximal-bruce', '--out', 'never');
    expect(ran).toMatchObject({ code: 1, out: '' });
    expect(ran.said).toMatch(says);
    expect(ran.said).not.toContain('\n');
    expect(existsSync(path.join(folder, 'never'))).toBe(false);
    expect(readdirSync(folder).length).toBeLessThanOrEqual(before + 1);
    expect(readdirSync(folder).filter((name) => name.startsWith('.stagecall-replay-'))).toEqual([]);
  });
  it('a failing run leaves what an earlier one wrote', async () => {
    const before = inFolder('one');
    const ran = await lab(
      'replay',
      broken((text) => text.replace('heart-rate,98', 'heart-rate,x')),
      '--sheet',
      'treadmill-maximal-bruce',
      '--out',
      'one',
    );
    expect(ran.code).toBe(1);
    expect(inFolder('one')).toEqual(before);
  });
  it('a file in the place of DIR, and a file that is not there', async () => {
    writeFileSync(path.join(folder, 'taken'), 'x');
    expect((await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'taken')).said).toMatch(
      /taken is a file; give a folder as --out/,
    );
    expect((await lab('replay', 'none.csv', '--sheet', 'treadmill-maximal-bruce', '--out', 'x')).said).toMatch(
      /there is no file none\.csv; check the name/,
    );
    expect((await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'taken/inside')).said).toMatch(
      /a part of its path is a file/,
    );
  });
  it.skipIf(process.getuid?.() === 0)('a folder that may not be written in', async () => {
    const closed = path.join(folder, 'closed');
    mkdirSync(closed);
    chmodSync(closed, 0o500);
    expect((await lab('replay', session, '--sheet', 'treadmill-maximal-bruce', '--out', 'closed/x')).said).toMatch(
      /nothing can be written in/,
    );
  });
  it('a sheet that is refused is named with its line', async () => {
    writeFileSync(
      path.join(folder, 'wrong.yaml'),
      readFileSync(path.join(root, 'lab-sheets/treadmill-maximal-bruce.yaml'), 'utf8').replace('marks: 50', 'marks: 49'),
    );
    expect((await lab('replay', session, '--sheet', 'wrong.yaml', '--out', 'never')).said).toMatch(
      /^wrong\.yaml, line \d+: marks: the questions add up to 50 marks, and the sheet says 49; correct one of them$/,
    );
  });
});

describe('mark', () => {
  beforeAll(async () => {
    await lab('replay', path.join(fixtures, 'm-12.csv'), '--sheet', 'treadmill-maximal-bruce', '--out', 'class');
    await lab('replay', path.join(fixtures, 'r-07.csv'), '--sheet', 'treadmill-maximal-bruce', '--out', 'class');
  }, 60_000);

  it('a folder: exactly the columns asked for, one row a question, two students of one session apart', async () => {
    const ran = await lab('mark', 'class', '--out', 'marks.csv', '--sheet', 'treadmill-maximal-bruce');
    expect(ran.code).toBe(0);
    const [heading, ...rows] = csvRows(readFileSync(path.join(folder, 'marks.csv'), 'utf8'));
    expect(heading).toEqual(['student', 'participant', 'session', 'sheet', 'question', 'marks', 'out_of', 'reason']);
    // 4 worksheets of 10 questions
    expect(rows.length).toBe(40);
    const of = (student: string, question: string) => rows.find((row) => row[0] === student && row[4] === question);
    // M-12, 41 years: 208 − 0.7 × 41 = 179.3. S-301 says 179; S-302 said 187, then 179, and the last attempt stands.
    expect(of('S-301', 'hr-max')?.slice(5, 7)).toEqual(['3', '3']);
    expect(of('S-302', 'hr-max')?.slice(5, 7)).toEqual(['3', '3']);
    // R-07, 22 years: 192.6. S-114 says 193; S-220 says 198 (220 − 22), which Tanaka's equation does not give.
    expect(of('S-114', 'hr-max')?.slice(5, 7)).toEqual(['3', '3']);
    expect(Number(of('S-220', 'hr-max')?.[5])).toBeLessThan(3);
    // S-114 is right throughout (hand calculation: tests/core/replay-results.test.ts): 42 of 42, and 8 wait for the marker.
    const own = rows.filter((row) => row[0] === 'S-114');
    expect(own.filter((row) => row[4] !== 'discussion').map((row) => row[5])).toEqual(
      own.filter((row) => row[4] !== 'discussion').map((row) => row[6]),
    );
    expect(own.reduce((sum, row) => sum + Number(row[5]), 0)).toBe(42);
    expect(of('S-114', 'discussion')?.slice(5, 7)).toEqual(['', '8']);
    // S-220 took 11.4 minutes for 10:40 and got 46.0 in place of 42.8; 100 × 38.5 / 46.0 = 83.7 follows from it and earns its marks.
    expect(Number(of('S-220', 'vo2-time')?.[5])).toBeLessThan(5);
    expect(of('S-220', 'percent-of-predicted')?.slice(5, 7)).toEqual(['4', '4']);
    expect(of('S-220', 'percent-of-predicted')?.[7]).toMatch(/carried forward/i);
    // 2.31 L/min was copied from the record and not put per kilogram
    expect(of('S-220', 'vo2-peak')?.[7]).toMatch(/2\.31 L\/min is what the record holds/);
    expect(of('S-114', 'hr-max')?.[1]).toBe('R-07');
    expect(of('S-114', 'hr-max')?.[2]).toBe(of('S-220', 'hr-max')?.[2]);
    expect(rows.every((row) => !/unverified key/i.test(row[7] ?? ''))).toBe(true);
  }, 60_000);
  it('without --sheet the copy inside is used, and every row says "unverified key"', async () => {
    const ran = await lab('mark', 'class', '--out', 'copy.csv');
    expect(ran.code).toBe(0);
    expect(ran.out).toMatch(/Unverified key/);
    const [, ...rows] = csvRows(readFileSync(path.join(folder, 'copy.csv'), 'utf8'));
    expect(rows.every((row) => /unverified key/i.test(row[7] ?? ''))).toBe(true);
  }, 60_000);
  it('as a program of its own, too: nothing else keeps it waiting for the desk', () => {
    const run = spawnSync(
      process.execPath,
      [path.join(root, 'electron/lab.ts'), 'mark', 'class', '--out', 'own.csv', '--sheet', 'treadmill-maximal-bruce'],
      { cwd: root, encoding: 'utf8', env: { ...process.env, INIT_CWD: folder } },
    );
    expect(run.stderr).toBe('');
    expect(run.status).toBe(0);
    expect(csvRows(readFileSync(path.join(folder, 'own.csv'), 'utf8')).length).toBe(41);
  }, 60_000);
  it('--json holds the same marks', async () => {
    const ran = await lab('mark', 'class', '--out', 'again.csv', '--sheet', 'treadmill-maximal-bruce', '--json');
    const printed = JSON.parse(ran.out) as {
      format: string;
      key: string;
      files: { student: string; questions: { id: string; marks: number }[] }[];
    };
    expect(printed).toMatchObject({ format: 'stagecall-marks/1', key: 'given' });
    expect(printed.files.map((file) => file.student).toSorted()).toEqual(['S-114', 'S-220', 'S-301', 'S-302']);
    expect(printed.files.find((file) => file.student === 'S-301')?.questions.find((question) => question.id === 'hr-max')?.marks).toBe(3);
  }, 60_000);
  it('a file that is no worksheet gets a row that says why, and never stops the rest', async () => {
    writeFileSync(path.join(folder, 'class', 'letter.pdf'), '%PDF-1.7\nnot really');
    const ran = await lab('mark', 'class', '--out', 'mixed.csv', '--sheet', 'treadmill-maximal-bruce');
    expect(ran.code).toBe(0);
    expect(ran.said).toMatch(/letter\.pdf/);
    const rows = csvRows(readFileSync(path.join(folder, 'mixed.csv'), 'utf8'));
    expect(rows.filter((row) => /letter\.pdf/.test(row[7] ?? '')).length).toBe(1);
    expect(rows.length).toBe(42);
    rmSync(path.join(folder, 'class', 'letter.pdf'));
  }, 60_000);
  it('where nothing can be marked, nothing is written', async () => {
    writeFileSync(path.join(folder, 'x.pdf'), 'no');
    const ran = await lab('mark', 'x.pdf', '--out', 'none.csv');
    expect(ran.code).toBe(1);
    expect(existsSync(path.join(folder, 'none.csv'))).toBe(false);
    expect((await lab('mark', 'nobody.pdf', '--out', 'none.csv')).said).toMatch(/there is no file nobody\.pdf/);
    mkdirSync(path.join(folder, 'empty'), { recursive: true });
    expect((await lab('mark', 'empty', '--out', 'none.csv')).code).toBe(1);
    expect((await lab('mark', 'class', '--out', 'no-such-folder/marks.csv', '--sheet', 'treadmill-maximal-bruce')).said).toMatch(
      /the folder of .* does not exist/,
    );
  }, 60_000);
});
