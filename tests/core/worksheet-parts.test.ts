/** The small parts of marking: sums in working, tolerances, answers as typed, the marks table. */
import * as fc from 'fast-check';
import Papa from 'papaparse';
import { describe, expect, it } from 'vitest';
import { plainReadings, readAnswer } from '../../core/worksheet/answer.ts';
import { readSum, sumsIn } from '../../core/worksheet/arithmetic.ts';
import type { Attempt } from '../../core/worksheet/fold.ts';
import { partsOf, toHalfMarks } from '../../core/worksheet/mark-parts.ts';
import { markWorksheet } from '../../core/worksheet/marking.ts';
import { csvCell, marksColumns, marksCsv, marksRows } from '../../core/worksheet/marks-csv.ts';
import { markingInput } from '../../core/worksheet/record.ts';
import { equalsSlip } from '../../core/worksheet/slips.ts';
import { parseTolerance, widthOf } from '../../core/worksheet/tolerance.ts';
import { answered, wholeSession } from './worksheet-builder.ts';

describe('sums in working', () => {
  it.each([
    ['0.1 × 91.1 + 1.8 × 91.1 × 0.14 + 3.5', 0.1 * 91.1 + 1.8 * 91.1 * 0.14 + 3.5],
    ['208 − 0.7 × 22', 192.6],
    ['208-0.7*22', 192.6],
    ['0.6 x (188 - 74) + 74', 142.4],
    ['0,6 × (188 − 74) + 74', 142.4],
    ['60% × 114 + 74', 142.4],
    ['0.6(188 − 74) + 74', 142.4],
    ['14.76 − 1.379 × 10 + 0.451 × 10² ', 14.76 - 13.79 + 0.451 * 102],
    ['14.76 − 1.379 × 10 + 0.451 × 10^2 − 0.012 × 10^3', 14.76 - 13.79 + 45.1 - 12],
    ['2310 mL/min ÷ 61.4 kg', 2310 / 61.4],
    ['91.1 m/min × 0.1', 9.11],
    ['(188 /min − 74 /min) × 0.6', 68.4],
    ['−3 + 5', 2],
  ])('%s', (text, value) => {
    // A raised 2 is folded into the number by Unicode's own rule; a marker reads such working.
    expect(readSum(text)?.value).toBeCloseTo(value, 9);
  });
  it.each(['', '35.6', 'VO2max', 'heart rate − rest', '3 +', '(3 + 4', '1 / 0', '9:30 − 1', 'see page 3 − 4 of the book'])('is no sum: %s', (text) => {
    expect(readSum(text)).toBeUndefined();
  });
  it('finds each side of an equals sign and each line', () => {
    expect(sumsIn('HRmax = 208 − 0.7 × 22 = 208 − 15.4 = 192.6\n0.6 × (193 − 74) + 74').map((sum) => sum.value)).toEqual([192.6, 192.6, expect.closeTo(145.4, 9)]);
  });
  it('agrees with the sums of a machine', () => {
    const number = fc.integer({ min: 1, max: 9999 }).map((value) => String(value / 100));
    const expression = fc.letrec<{ sum: string }>((tie) => ({ sum: fc.oneof({ depthSize: 'small' }, number, fc.tuple(tie('sum'), fc.constantFrom('+', '-', '*', '/'), tie('sum')).map(([a, op, b]) => `(${a} ${op} ${b})`)) })).sum;
    fc.assert(
      fc.property(expression, (text) => {
        const sum = readSum(text);
        // The oracle is the language's own arithmetic on the same text of digits, brackets and four signs.
        const machine = Number(new Function(`return ${text}`)());
        if (sum) expect(sum.value).toBeCloseTo(machine, 6);
      }),
    );
  });
  it('takes any text without failing', () => {
    fc.assert(fc.property(fc.string({ maxLength: 5000 }), (text) => void sumsIn(text)));
    expect(sumsIn('('.repeat(100_000))).toEqual([]);
    expect(sumsIn('-'.repeat(100_000))).toEqual([]);
  });
});

describe('tolerances', () => {
  it.each([
    ['0.5', { absolute: 0.5 }],
    ['1 %', { relative: 0.01 }],
    ['1 % or 0.5', { relative: 0.01, absolute: 0.5 }],
    ['± 0,5 L/min', { absolute: 0.5 }],
    ['30 mL/min', { absolute: 0.03 }],
    ['rounding', { rounding: true }],
    [3, { absolute: 3 }],
  ])('%s', (text, tolerance) => expect(parseTolerance(text, 'L/min')).toEqual(tolerance));
  it.each(['close', '', '-1', '5 kg', -1, Number.NaN])('refuses %s', (text) => expect(parseTolerance(text, 'L/min')).toBeUndefined());
  it('the right value rounded as asked is inside whatever the tolerance says', () => {
    fc.assert(
      fc.property(fc.double({ min: 0.01, max: 5000, noNaN: true }), fc.integer({ min: 0, max: 3 }), (value, decimals) => {
        expect(Math.abs(Number(value.toFixed(decimals)) - value)).toBeLessThanOrEqual(widthOf({ absolute: 0 }, value, decimals));
      }),
    );
  });
});

describe('answers as typed', () => {
  const attempt = (typed: string, unit?: string): Attempt => ({ typed, seq: 1, entered: 0, author: 's', ...(unit === undefined ? {} : { unit }) });
  const values = (typed: string, unit?: string, asked: 'mL/kg/min' | '/min' | 'mm[Hg]/min' | 'min' | '%' = 'mL/kg/min') => plainReadings(readAnswer(attempt(typed, unit), { unit: asked, mass: 50, unitGiven: false }));
  it.each([
    ['35.6', 'mL/kg/min', [35.6]],
    ['35,6', 'mL/kg/min', [35.6]],
    ['35.6 mL/kg/min', undefined, [35.6]],
    ['35.6 ml·kg⁻¹·min⁻¹', undefined, [35.6]],
    ['= 35.6', 'ml/kg/min', [35.6]],
    ['1.78', 'L/min', [35.6]],
    ['35.6 (mL/kg/min)', undefined, [35.6]],
    ['−3', 'mL/kg/min', [-3]],
    ['', 'mL/kg/min', []],
    ['thirty', 'mL/kg/min', []],
    ['35.6 or 36.1', 'mL/kg/min', []],
    ['35–36', 'mL/kg/min', []],
  ])('%s %s', (typed, unit, expected) => expect(values(typed, unit).map((value) => Math.round(value * 1e6) / 1e6)).toEqual(expected));
  it('thousands in two readings where the mark leaves it open', () => {
    expect(values('24,300', 'mmHg·bpm', 'mm[Hg]/min')).toEqual([24300, 24.3]);
    expect(values('24 300', 'mmHg·bpm', 'mm[Hg]/min')).toEqual([24300]);
  });
  it('a time with a colon', () => expect(values('9:30', undefined, 'min')).toEqual([9.5]));
  it('a bare fraction is a percentage too', () => expect(readAnswer(attempt('0.72'), { unit: '%', mass: 50, unitGiven: false }).readings.filter((reading) => reading.unit === 'right').map((reading) => reading.value)).toEqual([72]));
});

describe('how marks divide', () => {
  it('after published schemes: a mark for the unit, a mark for method, a mark for arithmetic', () => {
    expect(partsOf(4)).toEqual({ unit: 1, method: 1, arithmetic: 1, near: 2 });
    expect(partsOf(2)).toEqual({ unit: 0.5, method: 0.5, arithmetic: 1, near: 1 });
    expect(partsOf(1)).toEqual({ unit: 0.5, method: 0, arithmetic: 0.5, near: 0.5 });
  });
  it('parts never exceed the whole, and short of full stays short', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }).map((halves) => halves / 2), fc.double({ min: 0, max: 1, noNaN: true }), (marks, share) => {
        const parts = partsOf(marks);
        for (const part of Object.values(parts)) expect(part).toBeLessThanOrEqual(marks);
        const given = toHalfMarks(marks * share, marks);
        expect(given).toBeGreaterThanOrEqual(0);
        if (share < 0.999) expect(given).toBeLessThan(marks);
      }),
    );
    expect(toHalfMarks(8, 8)).toBe(8);
    expect(toHalfMarks(7.9, 8)).toBe(7.5);
  });
  it('a slip is named within rounding, not by chance', () => {
    expect(equalsSlip(2308, 0, 2308.4)).toBe(true);
    expect(equalsSlip(4.7, 1, 4.6976)).toBe(true);
    expect(equalsSlip(5, 0, 5.4)).toBe(false);
    expect(equalsSlip(113, 0, 116)).toBe(false);
  });
});

describe('the marks table', () => {
  const session = wholeSession();
  const marking = markWorksheet(markingInput(session.state, answered(session, { 'hr-max': ['193'] }).answer('discussion', 'words').state));
  const rows = marksRows([
    { file: 'a.pdf', status: 'marked', findings: [{ code: 'rehearsal', level: 'warning', text: 'This is a rehearsal.' }], marking },
    { file: 'b.pdf', status: 'refused', findings: [{ code: 'altered', level: 'refusal', text: 'Changed after it was written.' }], about: { student: '=cmd|calc', session: 's' } },
  ]);
  it('has a row a question; what waits is blank; a refused file has one row without marks', () => {
    expect(rows).toHaveLength(11);
    expect(rows[0]).toMatchObject({ student: 's-2204', participant: 'R-07', question: 'hr-max', marks: '2', out_of: '3' });
    expect(rows[9]).toMatchObject({ question: 'discussion', marks: '', out_of: '8' });
    expect(rows[10]).toMatchObject({ question: '', marks: '', reason: 'b.pdf: Changed after it was written.' });
    expect(rows.every((row, at) => at === 10 || row.reason.startsWith('This is a rehearsal.'))).toBe(true);
  });
  it('is read back by a CSV reader as it was, guarded against formulas', () => {
    const text = marksCsv(rows);
    expect(text.startsWith(`${marksColumns.join(',')}\r\n`)).toBe(true);
    const back = Papa.parse<Record<string, string>>(text, { header: true, skipEmptyLines: true });
    expect(back.errors).toEqual([]);
    expect(back.data).toHaveLength(11);
    expect(back.data[10]?.['student']).toBe("'=cmd|calc");
  });
  it('no cell can begin a formula, whatever is in it', () => {
    fc.assert(
      fc.property(fc.string(), (text) => {
        const [cell = ''] = (Papa.parse<string[]>(csvCell(text) === '' ? '""' : csvCell(text)).data[0] ?? ['']) as string[];
        expect(cell).not.toMatch(/^[\s]*[=+\-@\t\r]/);
      }),
      { numRuns: 500 },
    );
    for (const text of ['=1+1', '+1', '-1', '@SUM(A1)', '\t=1', ' =1', '＝1']) expect(csvCell(text).replace(/^"/, '')).toMatch(/^'/);
    expect(csvCell('12.5', true)).toBe('12.5');
  });
});
