/** Files in every form that analysers write: the numbers that were put in come out, and every guess is said. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { applyMapping } from '../../core/gas/apply-mapping.ts';
import { fitMapping } from '../../core/gas/fit-mapping.ts';
import { guessMapping } from '../../core/gas/mapping.ts';
import { readGasTable } from '../../core/gas/read-table.ts';
import { valueAt } from '../../core/gas/series.ts';
import { madeQuantities, makeGasFile, type FileForm, type MadeFile } from './gas-file-maker.ts';

const plainForm: FileForm = {
  delimiter: ',',
  decimal: '.',
  lineEnd: '\n',
  bom: false,
  preamble: 'none',
  units: 'row',
  time: 'm:ss',
  uptake: 'mL/min',
  rows: 'per-breath',
  blankLines: false,
  repeatedHeadings: false,
  quoted: false,
  missing: '',
  trailingDelimiter: false,
  turn: 0,
  seed: 1,
  length: 120,
};

const anyForm: fc.Arbitrary<FileForm> = fc.record({
  delimiter: fc.constantFrom(',', ';', '\t'),
  decimal: fc.constantFrom('.', ','),
  lineEnd: fc.constantFrom('\n', '\r\n'),
  bom: fc.boolean(),
  preamble: fc.constantFrom('none', 'short', 'padded', 'table'),
  units: fc.constantFrom('row', 'heading', 'none'),
  time: fc.constantFrom('m:ss', 'h:mm:ss', 's', 'min', 'time-of-day'),
  uptake: fc.constantFrom('mL/min', 'L/min'),
  rows: fc.constantFrom('per-breath', 'averaged'),
  blankLines: fc.boolean(),
  repeatedHeadings: fc.boolean(),
  quoted: fc.boolean(),
  missing: fc.constantFrom('', '-', 'NaN'),
  trailingDelimiter: fc.boolean(),
  turn: fc.integer({ min: 0, max: 7 }),
  seed: fc.integer({ min: 1, max: 1_000_000 }),
  length: fc.integer({ min: 60, max: 400 }),
});

function imported(text: string) {
  const table = readGasTable(text);
  if (!table.ok) throw new Error(table.error.message);
  const guessed = guessMapping(table.value);
  const series = applyMapping(table.value, guessed.mapping);
  if (!series.ok) throw new Error(series.error.message);
  return { table: table.value, guessed, series: series.value };
}

/** Every number that was printed is there, in its row, in L/min, /min, L or W; nothing else is. */
function expectSameNumbers(made: MadeFile): void {
  const { series, guessed } = imported(made.text);
  expect(series.length).toBe(made.form.length);
  expect(guessed.mapping.rows.kind).toBe(made.form.rows);
  const wrong: string[] = [];
  for (let row = 0; row < made.form.length; row += 1) {
    // Times are whole or have at most 4 decimals of a minute; a microsecond is the rounding of the arithmetic.
    if (!(Math.abs((series.time[row] ?? Number.NaN) - (made.time[row] ?? 0)) < 1e-3))
      wrong.push(`time in row ${row}: ${series.time[row]} for ${made.time[row]}`);
    for (const quantity of madeQuantities) {
      // Exactly what a division by 1000 gives: there is no rounding to allow for.
      const value = valueAt(series, quantity, row);
      if (value !== made.values[quantity][row]) wrong.push(`${quantity} in row ${row}: ${value} for ${made.values[quantity][row]}`);
    }
  }
  expect(wrong.slice(0, 5)).toEqual([]);
}

describe('files in all the forms', () => {
  it('give back the numbers that were put in', () => {
    fc.assert(
      fc.property(anyForm, (form) => expectSameNumbers(makeGasFile(form))),
      { numRuns: 400, seed: 20261125 },
    );
  });

  it.each([
    ['comma', {}],
    ['semicolon and decimal comma', { delimiter: ';', decimal: ',' }],
    ['tab and decimal comma', { delimiter: '\t', decimal: ',' }],
    ['quoted decimal commas between commas', { delimiter: ',', decimal: ',' }],
    ['byte order mark, padded preamble, units in the headings', { bom: true, preamble: 'padded', units: 'heading' }],
    ['no units at all, litres', { units: 'none', uptake: 'L/min' }],
    ['no units at all, millilitres', { units: 'none' }],
    ['seconds', { time: 's' }],
    ['decimal minutes without a unit', { time: 'min', units: 'none' }],
    ['clock times over midnight', { time: 'time-of-day', seed: 3 }],
    ['means of ten seconds', { rows: 'averaged' }],
    ['a table of its own above the data', { preamble: 'table', delimiter: ';' }],
  ] as [string, Partial<FileForm>][])('%s', (_, part) => expectSameNumbers(makeGasFile({ ...plainForm, ...part })));

  it('say every guess with a reason, one for every column', () => {
    fc.assert(
      fc.property(anyForm, (form) => {
        const { table, guessed } = imported(makeGasFile(form).text);
        for (const [column] of table.headings.entries()) expect(guessed.guesses.some((guess) => guess.column === column)).toBe(true);
        for (const about of ['time', 'rows'] as const) expect(guessed.guesses.some((guess) => guess.about === about)).toBe(true);
        for (const about of ['delimiter', 'decimal mark', 'headings'] as const)
          expect(table.guesses.some((guess) => guess.about === about)).toBe(true);
        for (const guess of [...table.guesses, ...guessed.guesses]) expect(guess.reason.length).toBeGreaterThan(5);
      }),
      { numRuns: 60, seed: 7 },
    );
  });

  it('never throw, whatever is cut out of them or put in', () => {
    const piece = fc.oneof(
      fc.string({ maxLength: 40 }),
      fc.constantFrom('\n', ';', ',', '\t', '"', '\u0000', '\ufeff', 'NaN', '1e999', '0:60', '\n\n\n', '-', '%', '[', '{"a":1}'),
    );
    fc.assert(
      fc.property(
        anyForm,
        fc.array(fc.record({ at: fc.double({ min: 0, max: 1, noNaN: true }), cut: fc.integer({ min: 0, max: 300 }), put: piece }), {
          minLength: 1,
          maxLength: 6,
        }),
        (form, changes) => {
          let { text } = makeGasFile({ ...form, length: 60 });
          for (const { at, cut, put } of changes) {
            const from = Math.floor(at * text.length);
            text = text.slice(0, from) + put + text.slice(from + cut);
          }
          const table = readGasTable(text);
          if (!table.ok) {
            expect(table.error.message.length).toBeGreaterThan(20);
            return;
          }
          const series = applyMapping(table.value, guessMapping(table.value).mapping, {
            massKg: 70,
            room: { pressure: 750, temperature: 21 },
          });
          if (!series.ok) return;
          const { time, columns, length } = series.value;
          for (let row = 1; row < length; row += 1)
            if (!((time[row] ?? Number.NaN) >= (time[row - 1] ?? 0))) throw new Error(`time falls in row ${row}`);
          for (const column of Object.values(columns)) expect(column.values.every(Number.isFinite)).toBe(true);
        },
      ),
      { numRuns: 300, seed: 9 },
    );
  });

  it('any text at all is answered', () => {
    fc.assert(
      fc.property(fc.string({ maxLength: 400, unit: 'binary' }), (text) => {
        const table = readGasTable(text);
        if (table.ok) applyMapping(table.value, guessMapping(table.value).mapping);
        else expect(table.error.code.length).toBeGreaterThan(2);
      }),
      { numRuns: 500, seed: 2 },
    );
  });

  it('a long run of anything, anywhere, costs no more than its length', { timeout: 60_000 }, () => {
    const answer = (text: string): void => {
      const table = readGasTable(text);
      if (!table.ok) return;
      const { mapping } = guessMapping(table.value);
      applyMapping(table.value, mapping);
      fitMapping(mapping, table.value);
    };
    // Processor time of this thread, so that a busy machine does not matter.
    const cost = (text: string): number => {
      const before = process.threadCpuUsage();
      answer(text);
      const { user, system } = process.threadCpuUsage(before);
      return user + system;
    };
    const rows = Array.from({ length: 40 }, (_, row) => `0:${String(row).padStart(2, '0')};1.2;1.1;30`);
    const usual = ['Time;VO2;VCO2;VE', 'mm:ss;L/min;L/min;L/min', ...rows];
    const long = [...usual.slice(0, 2), ...Array<string[]>(125).fill(rows).flat()].join('\n');
    const ordinary = Array.from({ length: 8 }, () => cost(long)).reduce((sum, one) => sum + one, 0) / 8;
    const check = (part: string, at: number, where: 'within' | 'after' | 'instead', end: string): void => {
      const run = end + part.repeat(80_000 / part.length) + end;
      const line = usual[at] ?? '';
      const text = usual.with(at, { within: line.replace(';', `;${run}`), after: `${line};${run}`, instead: run }[where]).join('\n');
      // `long` is about as long. Forty times its cost is far from the square of the length, which is a thousand times and more.
      if (cost(text) > 40 * ordinary && cost(text) > 40 * ordinary) throw new Error(`${JSON.stringify(part)} ${where} line ${at + 1} takes too long`);
    };
    const places = ['within', 'after', 'instead'] as const;
    for (const part of ' |;|[|(|"|"a;|"a\nb";|\u0001|\n|\r|\t|-|1,|1.|0:0| am|VO2 |\u0301|;x|; |%|#'.split('|'))
      for (const at of [0, 1, 5]) for (const where of places) check(part, at, where, 'x');
    fc.assert(
      fc.property(fc.string({ minLength: 1, maxLength: 4 }), fc.nat(5), fc.constantFrom(...places), fc.constantFrom('', ']', '1'), check),
      { numRuns: 60, seed: 12 },
    );
  });

  it('ten megabytes in one cell, and a million short cells, are answered within seconds', { timeout: 20_000 }, () => {
    expect(readGasTable('7'.repeat(10_000_000)).ok).toBe(false);
    expect(readGasTable(`${'VO2 '.repeat(2_500_000)};x\n1;2\n3;4\n5;6\n`).ok).toBe(true);
    const table = readGasTable(`a;b\n${'1;2\n'.repeat(500_000)}`);
    expect(!table.ok && table.error.code).toBe('no-time');
  });
});
