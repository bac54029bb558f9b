/** Files that are no gas exchange, and what is said of them; findings that can be overruled; remembered mappings. */
import { describe, expect, it } from 'vitest';
import { applyMapping, decodeGasFile, fitMapping, guessMapping, headingKey, readGasTable, type GasTable } from '../../core/gas/gas.ts';
import { LONGEST_TEXT } from '../../core/gas/not-a-table.ts';

const rowsOf = (line: (row: number) => string, count = 40): string => Array.from({ length: count }, (_, row) => line(row)).join('\n');
const clock = (second: number): string => `${String(Math.floor(second / 60)).padStart(2, '0')}:${String(second % 60).padStart(2, '0')}`;

function table(text: string, options: Parameters<typeof readGasTable>[1] = {}): GasTable {
  const read = readGasTable(text, options);
  if (!read.ok) throw new Error(`${read.error.code}: ${read.error.message}`);
  return read.value;
}

describe('a file that is not one is refused with the reason', () => {
  it.each([
    ['nothing', '', 'empty', /empty/],
    ['blanks only', ' \r\n\t\n', 'empty', /empty/],
    ['a PDF', '%PDF-1.7\n1 0 obj\n', 'pdf', /PDF.*Export/],
    ['a workbook', 'PK\u0003\u0004\u0014\u0000', 'workbook', /workbook.*CSV/],
    ['an old workbook', '\u00d0\u00cf\u0011\u00e0\u00a1\u00b1', 'workbook', /CSV/],
    ['a web page', '<!DOCTYPE html>\n<html><table><tr><td>1</td></tr></table>', 'markup', /web page/],
    ['XML', '\ufeff<?xml version="1.0"?>\n<data/>', 'markup', /XML/],
    ['JSON', '{"breaths": [{"vo2": 1.2}, {"vo2": 1.3}]}', 'json', /JSON/],
    ['a JSON list', '[[0, 1.2], [3, 1.3]]\n', 'json', /JSON/],
    ['bytes', 'ab\u0000\u0001\u0002\u0003cd', 'binary', /not a text file/],
    ['prose', 'Dear all,\nthe test went well, and so on.\nYours\n', 'no-numbers', /No rows of numbers/],
    ['headings without rows', 'Time;VO2;VCO2;VE\n', 'no-numbers', /rows of numbers/],
    ['a lab sheet', 'schema: 1\nversion: 2\ntitle: Walk\nstages:\n  - speed: 3\n', 'no-numbers', /No rows of numbers/],
    [
      'marks of a class',
      `student,lab,points\n${rowsOf((row) => `${1000 + ((row * 7919) % 997)},2,${row % 10}`)}`,
      'no-time',
      /no column that could be a time/,
    ],
    [
      'numbers that never go up',
      `VO2;VCO2;VE\n${rowsOf((row) => `${1 + ((row * 37) % 11)};${2 + ((row * 31) % 13)};${30 + ((row * 17) % 7)}`)}`,
      'no-time',
      /time/,
    ],
    [
      'decimal commas between commas',
      `Time,VO2,VCO2,VE\n${rowsOf((row) => `0:${String(row).padStart(2, '0')},1,${10 + row},0,${10 + row},3${row},5`)}`,
      'too-many-cells',
      /decimal commas/,
    ],
  ] as const)('%s', (_, text, code, message) => {
    const read = readGasTable(text);
    expect(read.ok).toBe(false);
    if (read.ok) return;
    expect(read.error.code).toBe(code);
    expect(read.error.message).toMatch(message);
    // A person is told what to do or that nothing was kept, never a stack.
    expect(read.error.message).toMatch(/Nothing was kept/);
  });

  it('more than 50 MB', () => {
    const read = readGasTable('1;2\n'.repeat(LONGEST_TEXT / 4 + 1));
    expect(!read.ok && read.error.code).toBe('too-large');
  });

  it('a table of something else reads, and is refused for want of gas exchange', () => {
    const weather = table(`time,temperature,humidity\n${rowsOf((row) => `${row * 10},${20 + (row % 5)},${40 + (row % 7)}`)}`);
    const guessed = guessMapping(weather);
    expect(guessed.missing.join(' ')).toContain('no gas exchange');
    const applied = applyMapping(weather, guessed.mapping);
    expect(!applied.ok && applied.error.code).toBe('mapping-incomplete');
  });

  it('an ECG trace and a class list of rising numbers are refused by the names of their headings', () => {
    const ecg = table(`time,ecg_mV\n${rowsOf((row) => `${(row * 0.004).toFixed(3)},${Math.sin(row / 9).toFixed(4)}`, 900)}`);
    const marks = table(
      `Student ID,Surname,Lab 1,Total\n${rowsOf((row) => `${20260000 + 7 * row},S${row},${row % 11},${(row * 7) % 50}`)}`,
    );
    for (const [other, names] of [
      [ecg, 'time, ecg_mV'],
      [marks, 'Student ID, Surname, Lab 1, Total'],
    ] as const) {
      const applied = applyMapping(other, guessMapping(other).mapping);
      expect(applied.ok ? '' : applied.error.message).toContain(`No heading of this file names gas exchange (${names})`);
    }
  });

  it('a settings block in brackets is not taken for JSON', () => {
    expect(readGasTable(`[10]\nTime,VO2,VCO2\n${rowsOf((row) => `${clock(row * 3)},${1 + row / 50},${0.9 + row / 45}`)}`).ok).toBe(true);
  });
});

describe('findings can be overruled', () => {
  const grouped = `Time;VO2;VCO2\n${rowsOf((row) => `${clock(row * 5)};1,${String(200 + row * 7)};1,${String(100 + row * 8)}`)}`;

  it('an unclear decimal mark is said to be unclear, and can be set', () => {
    const read = table(grouped);
    const guess = read.guesses.find((found) => found.about === 'decimal mark');
    expect(read.style.decimalMark).toBe(',');
    expect(guess?.confidence).toBe('unsure');
    expect(guess?.reason).toContain('thousands');
    const other = table(grouped, { decimalMark: '.' });
    const series = applyMapping(other, guessMapping(other).mapping);
    // 1,207 read with thousands is 1207 mL/min, so 1.207 L/min either way: the unit follows from the size.
    expect(series.ok && series.value.columns.vo2?.values[1]).toBe(1.207);
    expect(guessMapping(other).mapping.columns[1]?.unit).toBe('mL/min');
    expect(guessMapping(read).mapping.columns[1]?.unit).toBe('L/min');
  });

  it('the line of the headings', () => {
    const text = `Left;Middle;Right\nTime;VO2;VCO2\n${rowsOf((row) => `${clock(row * 5)};${1 + row / 50};${0.9 + row / 45}`)}`;
    expect(table(text).headings).toEqual(['Time', 'VO2', 'VCO2']);
    expect(table(text, { headingLine: 1 }).headings).toEqual(['Left', 'Middle', 'Right']);
  });

  it('the delimiter', () => {
    expect(table(grouped, { delimiter: ';' }).guesses[0]?.reason).toBe('chosen by hand');
  });
});

describe('layouts', () => {
  it('information in columns of its own beside the data, units below the headings', () => {
    const text = [
      'Participant;R-07;;t;VO2;VO2/kg;VCO2;HF',
      ';;;s;mL/min;mL/min/kg;mL/min;1/min',
      'Sex;F;;;;;;',
      ...Array.from(
        { length: 40 },
        (_, row) =>
          `${row === 0 ? 'Age;22;' : ';;'};${row * 3};${300 + row * 40};${Math.round((300 + row * 40) / 72)};${250 + row * 44};${70 + row}`,
      ),
    ].join('\n');
    const read = table(text);
    const { columns } = guessMapping(read).mapping;
    expect(columns.map((column) => column.quantity)).toEqual(['ignore', 'ignore', 'ignore', 'time', 'vo2', 'ignore', 'vco2', 'heart-rate']);
    expect(read.rows.length).toBe(40);
  });

  it('states of the gas on a line of their own, dots over letters, heading words of another language', () => {
    const text = `Zeit\tV̇O₂\tV'CO2\tV\u02d9E\tHerzfrequenz\n\tSTPD\tSTPD\tBTPS\t\nmin\tL/min\tL/min\tL/min\t1/min\n${rowsOf((row) => `${(row * 0.06).toFixed(2)}\t${(0.3 + row * 0.05).toFixed(3)}\t${(0.25 + row * 0.05).toFixed(3)}\t${8 + row}\t${70 + row}`)}`;
    const { columns, timeForm } = guessMapping(table(text)).mapping;
    expect(columns.map(({ quantity, unit, condition }) => [quantity, unit, condition])).toEqual([
      ['time', undefined, undefined],
      ['vo2', 'L/min', 'STPD'],
      ['vco2', 'L/min', 'STPD'],
      ['ve', 'L/min', 'BTPS'],
      ['heart-rate', '/min', undefined],
    ]);
    expect(timeForm).toBe('min');
  });

  it('the time within a phase is not taken for the time, wherever it stands', () => {
    const text = `Phase time;Time;Time of day;Phase;VO2 (L/min)\n${rowsOf((row) => `${clock((row * 7) % 60)};${clock(row * 7)};10:${clock(row * 7)};${row < 9 ? 'Rest' : 'Ramp'};${1 + row / 50}`)}`;
    expect(guessMapping(table(text)).mapping.columns.map((column) => column.quantity)).toEqual([
      'ignore',
      'time',
      'ignore',
      'marker',
      'vo2',
    ]);
  });

  it('ratios are not taken for what stands in them', () => {
    const text = `t (s),VO2 (mL/min),VE/VO2,VO2/HR,VE/VCO2,RER\n${rowsOf((row) => `${row * 5},${1000 + row * 30},25.1,11.2,27.3,0.9`)}`;
    const guessed = guessMapping(table(text));
    expect(guessed.mapping.columns.map((column) => column.quantity)).toEqual(['time', 'vo2', 'ignore', 'ignore', 'ignore', 'rer']);
    expect(guessed.guesses.find((guess) => guess.column === 2)?.reason).toContain('equivalents');
  });

  it('lines of text among the rows and a second table are left out and said', () => {
    const data = rowsOf((row) => `${clock(row * 5)};${1 + row / 50};${0.9 + row / 45}`);
    const read = table(`Time;VO2;VCO2\n${data}\nCool-down begins\n${clock(205)};1,9;1,8\n\nStage;Length;Result\n1;3;4\n2;3;5\n`);
    expect(read.rows.length).toBe(41);
    expect(read.leftOut.map((line) => [line.why, line.text])).toEqual([
      ['text', 'Cool-down begins'],
      ['after a second table', 'Stage Length Result'],
    ]);
    expect(read.warnings.join(' ')).toContain('second table');
  });

  it('pages with headings and units again, upright strokes, and columns of blanks', () => {
    const rows = Array.from({ length: 40 }, (_, row) => [clock(row * 5), (1 + row / 50).toFixed(2), (30 + row).toFixed(1)]);
    const page = ['Time\tVO2\tVE', 'min:s\tL/min\tL/min'];
    const pages = table(
      [page[0], ...rows.slice(0, 20).map((row) => row.join('\t')), 'Page 2', ...page, ...rows.slice(20).map((row) => row.join('\t'))].join(
        '\n',
      ),
    );
    const strokes = table(['Time|VO2|VE', ...rows.map((row) => row.join('|'))].join('\n'));
    const blanks = table(['   Time    O2 uptake     VE', ...rows.map((row) => row.map((cell) => cell.padStart(8)).join(''))].join('\r\n'));
    for (const read of [pages, strokes, blanks]) {
      expect(read.rows.length).toBe(40);
      expect(guessMapping(read).mapping.columns.map((column) => column.quantity)).toEqual(['time', 'vo2', 've']);
      expect(read.guesses[0]?.about).toBe('delimiter');
    }
  });

  it('a table of results above the data, as wide as they are, is preamble', () => {
    const read = table(
      `Result,Peak,At VT\nVO2 (L/min),3.40,2.10\nHR,180,140\nVE,110,55\n\nTime,VO2,VCO2,VE\n${rowsOf((row) => `${clock(row * 5)},${1 + row / 50},${0.9 + row / 45},${30 + row}`)}`,
    );
    expect(read.headings).toEqual(['Time', 'VO2', 'VCO2', 'VE']);
    expect(read.preamble.length).toBe(4);
  });

  it.each([
    ['French', 'Temps (min);Consommation d’oxygène (mL/min);Débit de CO2 (mL/min);Ventilation (L/min);Fréquence cardiaque (bpm)'],
    ['Portuguese', 'Tempo (min);Consumo de O2 (ml/min);Produção de CO2 (ml/min);Ventilação (L/min);FC (bpm)'],
    ['Dutch', 'Tijd (min);Zuurstofopname (ml/min);CO2-afgifte (ml/min);Ademminuutvolume (l/min);Hartslag'],
    ['Swedish', 'Tid (min);Syreupptag (ml/min);Koldioxidproduktion (ml/min);Ventilation (l/min);Hjärtfrekvens'],
    ['German', 'Zeit [min];O2-Aufnahme [ml/min];CO2-Abgabe [ml/min];Atemminutenvolumen [l/min];Herzfrequenz [1/min]'],
    ['Polish', 'Czas (min);VO2 (ml/min);VCO2 (ml/min);Wentylacja (l/min);Tętno'],
  ])('heading words: %s', (_, headings) => {
    const read = table(
      `${headings}\n${rowsOf((row) => `${String(row / 8).replace('.', ',')};${1000 + 40 * row};${900 + 42 * row};${30 + row};${80 + row}`)}`,
    );
    expect(guessMapping(read).mapping.columns.map((column) => column.quantity)).toEqual(['time', 'vo2', 'vco2', 've', 'heart-rate']);
  });

  it('seconds since 1970 are counted from the first row, and it is said', () => {
    const read = table(`Time (s),VO2,VE\n${rowsOf((row) => `${1_773_482_400 + 5 * row},${1 + row / 50},${30 + row}`)}`);
    const series = applyMapping(read, { ...guessMapping(read).mapping, rows: { kind: 'per-breath' } });
    expect(series.ok && [series.value.time[0], series.value.time[1]]).toEqual([0, 5000]);
    expect(series.ok ? series.value.notes.join(' ') : '').toContain('counted from the first row');
  });

  it('a row for each stage of three minutes, without a unit of time, is read in minutes and says so', () => {
    const guessed = guessMapping(table(`Time,VO2,VE\n${rowsOf((row) => `${3 * (row + 1)},${1 + row / 5},${30 + row}`, 6)}`));
    expect(guessed.mapping.timeForm).toBe('min');
    expect(guessed.mapping.rows).toEqual({ kind: 'averaged', seconds: 180, stamped: 'end' });
    expect(guessed.guesses.find((guess) => guess.about === 'time')?.confidence).not.toBe('sure');
  });

  it('a lone quotation mark does not swallow the file', () => {
    const read = table(
      `Time,VO2,VCO2,Note\n${rowsOf((row) => `${clock(row * 5)},${1 + row / 50},${0.9 + row / 45},${row === 3 ? '"5 ft' : ''}`)}`,
    );
    expect(read.rows.length).toBe(40);
    expect(read.warnings.join(' ')).toContain('quotation mark');
  });
});

describe('remembered mappings', () => {
  const head = ['Time', 'VO2 (mL/min)', 'VCO2 (mL/min)', 'VE'];
  const file = (order: readonly number[], time: (second: number) => string = clock): string =>
    `${order.map((column) => head[column]).join(',')}\n${rowsOf((row) => {
      const cells = [time(row * 3 + (row % 4)), 1000 + row * 20, 900 + row * 22, 30 + row];
      return order.map((column) => cells[column]).join(',');
    })}`;

  it('have one key for one set of headings, in any order and any capitals', () => {
    const key = headingKey(table(file([0, 1, 2, 3])));
    expect(headingKey(table(file([3, 2, 0, 1])))).toBe(key);
    expect(headingKey(table(file([0, 1, 2, 3]).replace('Time', 'TIME')))).toBe(key);
    expect(headingKey(table(file([0, 1, 2, 3]).replaceAll('(mL/min)', '(L/min)')))).not.toBe(key);
  });

  it('find their columns by heading, and say that they are remembered', () => {
    const { mapping } = guessMapping(table(file([0, 1, 2, 3])));
    const changed = {
      ...mapping,
      columns: mapping.columns.map((column) => (column.heading === 'VE' ? { ...column, quantity: 'ignore' as const } : column)),
    };
    const fitted = fitMapping(changed, table(file([3, 2, 0, 1])));
    expect(fitted.mapping.columns.map((column) => column.quantity)).toEqual(['ignore', 'vco2', 'time', 'vo2']);
    expect(fitted.guesses.filter((guess) => guess.reason.includes('remembered')).length).toBeGreaterThanOrEqual(4);
    expect(fitted.missing).toEqual([]);
  });

  it('take another form of time where the file needs it, and say so', () => {
    const { mapping } = guessMapping(table(file([0, 1, 2, 3])));
    const fitted = fitMapping(mapping, table(file([0, 1, 2, 3], (second) => `${second}.0`)));
    expect(fitted.mapping.timeForm).toBe('s');
    expect(fitted.guesses.find((guess) => guess.about === 'time')?.reason).toContain('otherwise');
  });
});

describe('bytes', () => {
  const text = 'Zeit;V̇O₂ µ\n0:01;1,2\n';
  const utf16 = (big: boolean): Uint8Array => {
    const bytes = new Uint8Array(2 + 2 * text.length);
    const view = new DataView(bytes.buffer);
    view.setUint16(0, 0xfeff, !big);
    for (let at = 0; at < text.length; at += 1) view.setUint16(2 + 2 * at, text.charCodeAt(at), !big);
    return bytes;
  };

  it('UTF-8 with and without a mark, UTF-16 both ways', () => {
    const utf8 = new TextEncoder().encode(text);
    expect(decodeGasFile(utf8).text).toBe(text);
    expect(decodeGasFile(Uint8Array.from([0xef, 0xbb, 0xbf, ...utf8])).text).toBe(text);
    for (const big of [false, true]) {
      expect(decodeGasFile(utf16(big)).text).toBe(text);
      // Latin letters without a mark: every second byte is zero.
      const latin = 'Time;VO2;VCO2\n0:01;1,2;1,1\n';
      const bare = new Uint8Array(2 * latin.length);
      for (let at = 0; at < latin.length; at += 1) new DataView(bare.buffer).setUint16(2 * at, latin.charCodeAt(at), !big);
      expect(decodeGasFile(bare).text).toBe(latin);
    }
  });

  it('the old Western code page where the bytes are not UTF-8, and says that it guessed', () => {
    const decoded = decodeGasFile(Uint8Array.from([0x54, 0xb5, 0xb0, 0x43]));
    expect(decoded.text).toBe('Tµ°C');
    expect(decoded.encoding).toBe('windows-1252');
    expect(decoded.reason).toContain('not UTF-8');
  });
});
