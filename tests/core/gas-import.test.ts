/** Times, states, derived columns, flags: what applying a mapping does to awkward files. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  applyMapping,
  guessMapping,
  readGasTable,
  valueAt,
  type ApplyOptions,
  type BreathSeries,
  type Mapping,
} from '../../core/gas/gas.ts';
import { numberIn } from '../../core/gas/cells.ts';
import { orderRows } from '../../core/gas/order.ts';
import { timeIn } from '../../core/gas/time-form.ts';

const clock = (second: number): string => `${String(Math.floor(second / 60)).padStart(2, '0')}:${String(second % 60).padStart(2, '0')}`;

interface Row {
  readonly time: string;
  readonly vo2?: string;
  readonly vco2?: string;
  readonly hr?: string;
}

/** Breaths 3 and 4 s apart in turn; `change` alters single rows. */
function file(change: Readonly<Record<number, Partial<Row>>> = {}, count = 60, time: (second: number) => string = clock): string {
  const lines = ['Time,VO2 (L/min),VCO2 (L/min),HR'];
  for (let row = 0; row < count; row += 1) {
    const usual: Row = {
      time: time(3 * row + (row % 2)),
      vo2: (1 + row / 100).toFixed(2),
      vco2: (0.9 + row / 90).toFixed(2),
      hr: String(90 + row),
    };
    const { time: at, vo2, vco2, hr } = { ...usual, ...change[row] };
    lines.push([at, vo2, vco2, hr].join(','));
  }
  return lines.join('\n');
}

function imported(text: string, options: ApplyOptions = {}, alter: (mapping: Mapping) => Mapping = (mapping) => mapping): BreathSeries {
  const table = readGasTable(text);
  if (!table.ok) throw new Error(table.error.message);
  const series = applyMapping(table.value, alter(guessMapping(table.value).mapping), options);
  if (!series.ok) throw new Error(`${series.error.code}: ${series.error.message}`);
  return series.value;
}
const refused = (text: string, options: ApplyOptions = {}): string => {
  const table = readGasTable(text);
  if (!table.ok) throw new Error(table.error.message);
  const series = applyMapping(table.value, guessMapping(table.value).mapping, options);
  return series.ok ? 'read' : series.error.code;
};
const droppedFor = (series: BreathSeries): Record<string, number> =>
  Object.fromEntries(series.dropped.map(({ reason, count }) => [reason, count]));

describe('times', () => {
  it('a wild time is dropped, forwards and back, and no other row', () => {
    const series = imported(file({ 20: { time: '59:59' }, 40: { time: '0:01' } }));
    expect(droppedFor(series)).toEqual({ 'time goes back': 2 });
    expect(series.dropped[0]?.lines).toEqual([22, 42]);
    expect(series.length).toBe(58);
  });

  it('a time that cannot be read is dropped and its line named', () => {
    const series = imported(file({ 7: { time: 'pause' }, 9: { time: '1:75' } }));
    expect(droppedFor(series)).toEqual({ 'time not readable': 2 });
    expect(series.dropped[0]?.lines).toEqual([9, 11]);
  });

  it('the same row twice is dropped; two breaths in one second are kept and said', () => {
    const lines = file().split('\n');
    lines.splice(11, 0, lines[10] ?? '');
    const series = imported(lines.join('\n'));
    expect(droppedFor(series)).toEqual({ 'the same row twice': 1 });
    const shared = imported(file({ 5: { time: clock(12) } }));
    expect(shared.length).toBe(60);
    expect(shared.notes.join(' ')).toContain('1 rows have the same time');
  });

  it('a second recording in the file is left out and said', () => {
    const again = file({}, 20).split('\n').slice(1).join('\n');
    const series = imported(`${file()}\n${again}`);
    expect(droppedFor(series)).toEqual({ 'the time starts again': 20 });
    expect(series.length).toBe(60);
    expect(series.notes.join(' ')).toContain('more than one recording');
  });

  it('a gap is said', () => {
    const series = imported(file({}, 60, (second) => clock(second < 90 ? second : second + 100)));
    expect(series.notes.join(' ')).toMatch(/Nothing was recorded for 10\d s at 1\.5 min/);
  });

  it('minutes:seconds go on past the hour without hours, and with them', () => {
    const wrapped = imported(file({}, 60, (second) => clock((second + 3500) % 3600)));
    const written = imported(file({}, 60, (second) => (second + 3500 < 3600 ? clock(second + 3500) : `1:${clock(second + 3500 - 3600)}`)));
    for (const series of [wrapped, written]) {
      expect(series.length).toBe(60);
      expect(series.time[59]).toBe((3 * 59 + 1 + 3500) * 1000);
    }
  });

  it('clock times with am and pm pass noon and midnight', () => {
    const half =
      (start: number) =>
      (second: number): string => {
        const total = (start + second) % 86_400;
        const hour = Math.floor(total / 3600);
        return `${((hour + 11) % 12) + 1}:${clock(total % 3600)} ${hour < 12 ? 'AM' : 'PM'}`;
      };
    for (const start of [12 * 3600 - 60, 86_400 - 60]) {
      const series = imported(file({}, 60, half(start)));
      expect(series.time[59]).toBe((3 * 59 + 1) * 1000);
      expect(series.startsAt).toBe(start * 1000);
    }
  });

  it('means that are stamped with their start are moved to their end', () => {
    const series = imported(file({}, 30, (second) => clock(Math.floor(second / 3) * 10)));
    expect(series.rows).toEqual({ kind: 'averaged', seconds: 10, stamped: 'start' });
    expect([...series.time.subarray(0, 3)]).toEqual([10_000, 20_000, 30_000]);
    expect(series.notes.join(' ')).toContain('10 s were added');
    const asEnd = imported(
      file({}, 30, (second) => clock(Math.floor(second / 3) * 10)),
      {},
      (mapping) => ({ ...mapping, rows: { kind: 'averaged', seconds: 10, stamped: 'end' } }),
    );
    expect(asEnd.time[0]).toBe(0);
  });

  it.each([
    ['0:05', 'm:ss', 5000],
    ['12:34.5', 'm:ss', 754_500],
    ['12:34,25', 'm:ss', 754_250],
    ['1:02:03', 'm:ss', 3_723_000],
    ['-0:30', 'm:ss', -30_000],
    ['00:00:59.9', 'h:mm:ss', 59_900],
    ['10:15', 'h:mm', 36_900_000],
    ['10:15', 'time-of-day', 36_900_000],
    ['2026-03-04T23:59:58', 'time-of-day', 86_398_000],
    ['4.3.2026 7:05:06', 'time-of-day', 25_506_000],
    ['12:00:01 AM', 'time-of-day', 1000],
    ['24:00:00', 'time-of-day', undefined],
    ['1:60', 'm:ss', undefined],
    ['1:5', 'm:ss', undefined],
    ['1:02:03', 's', undefined],
    ['', 'm:ss', undefined],
    ['-', 'm:ss', undefined],
  ] as const)('%s as %s', (cell, form, expected) => {
    expect(timeIn(cell, form, { decimalMark: '.', grouped: false })).toBe(expected);
  });
});

describe('rows in the order of time', () => {
  it('keep a rising order and account for every row', () => {
    fc.assert(
      fc.property(fc.array(fc.integer({ min: 0, max: 2000 }), { minLength: 1, maxLength: 120 }), (times) => {
        const array = Float64Array.from(times);
        const { keep, dropped } = orderRows(
          array,
          times.map((_, row) => row),
        );
        for (let at = 1; at < keep.length; at += 1) {
          expect(array[keep[at] ?? 0] ?? 0).toBeGreaterThanOrEqual(array[keep[at - 1] ?? 0] ?? 0);
          expect(keep[at]).toBeGreaterThan(keep[at - 1] ?? 0);
        }
        expect([...keep, ...dropped.map(({ row }) => row)].sort((a, b) => a - b)).toEqual(times.map((_, row) => row));
      }),
      { numRuns: 300, seed: 5 },
    );
  });
});

describe('numbers', () => {
  const point = { decimalMark: '.', grouped: false } as const;
  const comma = { decimalMark: ',', grouped: false } as const;

  it('read as the language itself reads them, to the last bit', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: 1e6, noNaN: true }), fc.integer({ min: 0, max: 6 }), (value, decimals) => {
        const text = value.toFixed(decimals);
        expect(numberIn(text, point)).toBe(Number(text));
        expect(numberIn(text.replace('.', ','), comma)).toBe(Number(text));
        expect(numberIn(` -${text}`, point)).toBe(Number(text) === 0 ? 0 : -Number(text));
      }),
      { numRuns: 500, seed: 11 },
    );
  });

  it.each([
    ['1,5', point, undefined],
    ['1.5', comma, 1.5],
    ['1.234,5', comma, undefined],
    ['1.234,5', { decimalMark: ',', grouped: true }, 1234.5],
    ['1,234.5', { decimalMark: '.', grouped: true }, 1234.5],
    ['12,5', { decimalMark: '.', grouped: true }, undefined],
    ['16.5 %', point, 16.5],
    ['\u22122.5', point, -2.5],
    ['.5', point, 0.5],
    ['5.', point, 5],
    ['1e3', point, 1000],
    ['0x10', point, undefined],
    ['Infinity', point, undefined],
    ['1e999', point, undefined],
    ['NaN', point, undefined],
    ['3:05', point, undefined],
    ['72 bpm', point, undefined],
    ['1234567890123456.5', point, 1234567890123456.5],
    ['1\u00a0234,5', comma, 1234.5],
    ['1 234', comma, 1234],
    ['1’234.5', point, 1234.5],
    ['12 34', point, undefined],
  ] as const)('%s', (cell, style, expected) => {
    expect(numberIn(cell, style)).toBe(expected);
  });
});

describe('values', () => {
  it('what is no number is missing, named by line and heading, and the row stays', () => {
    const series = imported(file({ 4: { vo2: 'error' }, 5: { hr: '' }, 6: { hr: 'n/a' } }));
    expect(series.length).toBe(60);
    expect(valueAt(series, 'vo2', 4)).toBeUndefined();
    expect(series.problems).toEqual([{ line: 6, heading: 'VO2 (L/min)', text: 'error', says: 'not a number; taken as missing' }]);
    expect(valueAt(series, 'heart-rate', 5)).toBeUndefined();
    expect(valueAt(series, 'heart-rate', 6)).toBeUndefined();
  });

  it('there is no NaN anywhere, and nothing counts that is not present', () => {
    const series = imported(file({ 4: { vo2: 'NaN' }, 5: { vco2: '#N/A' }, 6: { vo2: '', vco2: '', hr: '' } }));
    for (const column of Object.values(series.columns)) {
      expect([...column.values].every(Number.isFinite)).toBe(true);
      expect(column.present.reduce((sum, one) => sum + one, 0)).toBe(column.count);
    }
    expect(droppedFor(series)).toEqual({ 'no values': 1 });
  });

  it('a heart rate of 0 is a lost signal', () => {
    const series = imported(file({ 9: { hr: '0' } }));
    expect(valueAt(series, 'heart-rate', 9)).toBeUndefined();
    expect(series.problems[0]?.says).toContain('lost signal');
  });

  it('implausible values are kept and flagged', () => {
    const series = imported(file({ 9: { vo2: '9.5' }, 10: { vo2: '6.0' } }));
    expect(valueAt(series, 'vo2', 9)).toBe(9.5);
    const flags = series.unusual.filter((flag) => flag.quantity === 'vo2');
    expect(flags.map((flag) => [flag.level, flag.rows])).toEqual([
      ['not possible', [9]],
      ['unusual', [10]],
    ]);
  });

  it('RER is worked out where it is missing, and said', () => {
    const series = imported(file());
    expect(series.columns.rer?.derived).toContain('VCO₂ divided by VO₂');
    expect(valueAt(series, 'rer', 0)).toBe(0.9);
  });

  it('a file whose RER is not VCO₂/VO₂ is questioned', () => {
    const text = file()
      .split('\n')
      .map((line, row) => `${line},${row === 0 ? 'RER' : '1.30'}`)
      .join('\n');
    expect(imported(text).notes.join(' ')).toContain('RER of the file is not VCO₂/VO₂');
  });

  it('per kilogram needs the mass, and then is times the mass', () => {
    const text = file()
      .replace('VO2 (L/min)', 'VO2 (mL/kg/min)')
      .replace(/^(\d\d:\d\d),(\d)\.(\d\d)/gm, '$1,$2$3');
    expect(refused(text)).toBe('mass-needed');
    const series = imported(text, { massKg: 70 });
    // 100 mL/kg/min × 70 kg = 7 L/min
    expect(valueAt(series, 'vo2', 0)).toBeCloseTo(7, 12);
  });

  it('a mapping with a quantity twice is refused by name', () => {
    const table = readGasTable(file());
    if (!table.ok) throw new Error('unread');
    const { mapping } = guessMapping(table.value);
    const twice = {
      ...mapping,
      columns: mapping.columns.map((column) => (column.quantity === 'vco2' ? { ...column, quantity: 'vo2' as const } : column)),
    };
    const applied = applyMapping(table.value, twice);
    expect(!applied.ok && applied.error.message).toContain('2 columns are set to oxygen uptake');
  });

  it('marks where a phase changes', () => {
    const text = file()
      .split('\n')
      .map((line, row) => `${line},${row === 0 ? 'Phase' : row < 20 ? 'Rest' : 'Exercise'}`)
      .join('\n');
    expect(imported(text).markers.map(({ row, text: mark }) => [row, mark])).toEqual([
      [0, 'Rest'],
      [19, 'Exercise'],
    ]);
  });
});

describe('states of the gas', () => {
  const withVe = (heading: string): string =>
    file()
      .split('\n')
      .map((line, row) => `${line},${row === 0 ? heading : '50.0'}`)
      .join('\n');

  it('ventilation given as STPD needs the pressure, and becomes BTPS', () => {
    expect(refused(withVe('VE STPD (L/min)'))).toBe('room-needed');
    const series = imported(withVe('VE STPD (L/min)'), { room: { pressure: 760 } });
    // BTPS → STPD is 0.826 at 760 mmHg (USC BME 403 course page); three figures are printed.
    expect(50 / (valueAt(series, 've', 0) ?? 0)).toBeCloseTo(0.826, 3);
  });

  it('as ATPS needs the temperature too', () => {
    expect(refused(withVe('VE ATPS (L/min)'), { room: { pressure: 760 } })).toBe('room-needed');
    const series = imported(withVe('VE ATPS (L/min)'), { room: { pressure: 760, temperature: 21 } });
    // ATPS → BTPS at 21 °C and 760 mmHg: 1.096 in the published table.
    expect((valueAt(series, 've', 0) ?? 0) / 50).toBeCloseTo(1.096, 3);
  });

  it('uptake from expired fractions by the Haldane transformation', () => {
    // Worked example C2 of the reference notes: 62.5 L in 1 min at 22 °C, 752 mmHg, O₂ 16.52 %, CO₂ 4.21 %: VO₂ 2.4913, VCO₂ 2.3292.
    const text = `Time,VE ATPS (L/min),FEO2 (%),FECO2 (%)\n${Array.from({ length: 20 }, (_, row) => `${clock(row * 30)},62.5,16.52,4.21`).join('\n')}`;
    const series = imported(text, { room: { pressure: 752, temperature: 22 } });
    expect(valueAt(series, 'vo2', 0)).toBeCloseTo(2.4913, 4);
    expect(valueAt(series, 'vco2', 0)).toBeCloseTo(2.3292, 4);
    expect(series.columns.vo2?.derived).toContain('Haldane');
    expect(refused(text)).toBe('room-needed');
  });
});
