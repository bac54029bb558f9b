/**
 * Makes text files of gas exchange in all the forms that analysers write, together with the numbers that a reader has to find in
 * them. The expected numbers come from what was printed, not from the program under test.
 */
import { uniform } from '../../core/rehearsal/chance.ts';

export interface FileForm {
  readonly delimiter: ',' | ';' | '\t';
  readonly decimal: '.' | ',';
  readonly lineEnd: '\n' | '\r\n';
  readonly bom: boolean;
  readonly preamble: 'none' | 'short' | 'padded' | 'table';
  readonly units: 'row' | 'heading' | 'none';
  readonly time: 'm:ss' | 'h:mm:ss' | 's' | 'min' | 'time-of-day';
  readonly uptake: 'mL/min' | 'L/min';
  readonly rows: 'per-breath' | 'averaged';
  /** A blank line after the headings and now and then among the rows. */
  readonly blankLines: boolean;
  /** Headings (and units) again after some rows, as on a printed page. */
  readonly repeatedHeadings: boolean;
  readonly quoted: boolean;
  /** How a value that is not there is written. */
  readonly missing: '' | '-' | 'NaN';
  readonly trailingDelimiter: boolean;
  /** Turn the order of the columns by so many. */
  readonly turn: number;
  readonly seed: number;
  readonly length: number;
}

export interface MadeFile {
  readonly text: string;
  readonly form: FileForm;
  /** Milliseconds from the file's zero (elapsed) or from the first row (clock). */
  readonly time: readonly number[];
  /** In L/min, /min, L; undefined where the cell says that it is missing. */
  readonly values: Readonly<Record<MadeQuantity, readonly (number | undefined)[]>>;
}

export const madeQuantities = ['vo2', 'vco2', 've', 'heart-rate', 'breathing-rate', 'tidal-volume', 'load'] as const;
export type MadeQuantity = (typeof madeQuantities)[number];

const heading: Readonly<Record<MadeQuantity | 'time', string>> = {
  time: 'Time',
  vo2: 'VO2',
  vco2: 'VCO2',
  ve: 'VE',
  'heart-rate': 'HR',
  'breathing-rate': 'Rf',
  'tidal-volume': 'VT',
  load: 'Power',
};

const timeUnit: Readonly<Record<FileForm['time'], string>> = {
  'm:ss': 'mm:ss',
  'h:mm:ss': 'h:mm:ss',
  s: 's',
  min: 'min',
  'time-of-day': 'hh:mm:ss',
};

/** A graded test of `length` rows: rest, a rise, a peak. Plain arithmetic with a little seeded unevenness; not physiology. */
export function makeGasFile(form: FileForm): MadeFile {
  const { seed, length } = form;
  const chance = (what: string, row: number): number => uniform(seed, what, row);
  const rowsEvery = form.rows === 'averaged' ? 10 : 0;
  const clock = form.time === 'time-of-day' ? 20 * 3600 + Math.floor(chance('clock', 0) * 4 * 3600) : 0;

  const seconds: number[] = [];
  let now = form.rows === 'averaged' ? 0 : 1 + chance('first', 0);
  for (let row = 0; row < length; row += 1) {
    now = form.rows === 'averaged' ? (row + 1) * rowsEvery : now + 1.7 + 2.6 * chance('breath', row);
    seconds.push(now);
  }
  const printedTime = seconds.map((second) => printTime(second + clock, form));
  const time = printedTime.map(
    ({ milliseconds }) => milliseconds - (form.time === 'time-of-day' ? (printedTime[0]?.milliseconds ?? 0) : 0),
  );

  const cells = new Map<MadeQuantity | 'time', string[]>([['time', printedTime.map(({ text }) => text)]]);
  const values = {} as Record<MadeQuantity, (number | undefined)[]>;
  for (const quantity of madeQuantities) {
    const milli = form.uptake === 'mL/min' && (quantity === 'vo2' || quantity === 'vco2');
    const decimals = { vo2: milli ? 0 : 3, vco2: milli ? 0 : 3, ve: 1, 'heart-rate': 0, 'breathing-rate': 1, 'tidal-volume': 2, load: 0 }[
      quantity
    ];
    const column: string[] = [];
    const wanted: (number | undefined)[] = [];
    for (let row = 0; row < length; row += 1) {
      // The first and the last row are whole, so that a file of few rows keeps its shape.
      const gone = chance(`gone/${quantity}`, row) < 0.03 && row > 2 && row < length - 2;
      if (gone) {
        column.push(form.missing);
        wanted.push(undefined);
        continue;
      }
      const printed = (amount(quantity, row / length, chance(quantity, row)) * (milli ? 1000 : 1)).toFixed(decimals);
      column.push(printed.replace('.', form.decimal));
      // What a person would write down: millilitres over a thousand.
      wanted.push(milli ? Number(printed) / 1000 : Number(printed));
    }
    cells.set(quantity, column);
    values[quantity] = wanted;
  }
  return { text: write(form, cells), form, time, values };
}

function amount(quantity: MadeQuantity, share: number, chance: number): number {
  const rise = Math.max(0, share - 0.15) / 0.85;
  const uneven = 0.95 + 0.1 * chance;
  switch (quantity) {
    case 'vo2':
      return (0.35 + 3.1 * rise) * uneven;
    case 'vco2':
      return (0.3 + 3.5 * rise) * uneven;
    case 've':
      return (10 + 110 * rise ** 1.3) * uneven;
    case 'heart-rate':
      return 70 + 115 * rise + 3 * chance;
    case 'breathing-rate':
      return (14 + 30 * rise) * uneven;
    case 'tidal-volume':
      return (0.7 + 2 * rise) * uneven;
    case 'load':
      return Math.round(rise * 12) * 25;
  }
}

/** A moment as the form writes it, and the moment that the written text stands for. */
function printTime(second: number, form: FileForm): { readonly text: string; readonly milliseconds: number } {
  const two = (value: number): string => String(value).padStart(2, '0');
  if (form.time === 's') {
    const text = second.toFixed(2);
    return { text: text.replace('.', form.decimal), milliseconds: Number(text) * 1000 };
  }
  if (form.time === 'min') {
    const text = (second / 60).toFixed(4);
    return { text: text.replace('.', form.decimal), milliseconds: Number(text) * 60_000 };
  }
  const whole = Math.round(second);
  if (form.time === 'm:ss') return { text: `${two(Math.floor(whole / 60))}:${two(whole % 60)}`, milliseconds: whole * 1000 };
  const hour = Math.floor(whole / 3600);
  const rest = `:${two(Math.floor((whole % 3600) / 60))}:${two(whole % 60)}`;
  return { text: form.time === 'h:mm:ss' ? `${hour}${rest}` : `${two(hour % 24)}${rest}`, milliseconds: whole * 1000 };
}

function write(form: FileForm, cells: ReadonlyMap<MadeQuantity | 'time', readonly string[]>): string {
  const names = ['time', ...madeQuantities] as (MadeQuantity | 'time')[];
  const order = names.map((_, index) => names[(index + form.turn) % names.length] as MadeQuantity | 'time');
  const unitOfColumn = (name: MadeQuantity | 'time'): string =>
    ({
      time: timeUnit[form.time],
      vo2: form.uptake,
      vco2: form.uptake,
      ve: 'L/min',
      'heart-rate': 'bpm',
      'breathing-rate': '1/min',
      'tidal-volume': 'L',
      load: 'W',
    })[name];
  const quote = (cell: string): string => (form.quoted || cell.includes(form.delimiter) ? `"${cell}"` : cell);
  const line = (row: readonly string[]): string => row.map(quote).join(form.delimiter) + (form.trailingDelimiter ? form.delimiter : '');

  const headings = line(order.map((name) => (form.units === 'heading' ? `${heading[name]} (${unitOfColumn(name)})` : heading[name])));
  const units = form.units === 'row' ? [line(order.map(unitOfColumn))] : [];
  const lines: string[] = [...preambleOf(form, order.length)];
  lines.push(headings, ...units);
  if (form.blankLines) lines.push('');
  for (let row = 0; row < form.length; row += 1) {
    if (form.repeatedHeadings && row > 0 && row % 40 === 0) lines.push(headings, ...units);
    if (form.blankLines && row > 0 && row % 25 === 0) lines.push(form.delimiter === '\t' ? '' : form.delimiter.repeat(order.length - 1));
    lines.push(line(order.map((name) => cells.get(name)?.[row] ?? '')));
  }
  return (form.bom ? '\ufeff' : '') + lines.join(form.lineEnd) + form.lineEnd;
}

function preambleOf(form: FileForm, width: number): string[] {
  const { delimiter: d, decimal } = form;
  const n = (text: string): string => (d === ',' && decimal === ',' ? `"${text}"` : text).replace('.', decimal);
  if (form.preamble === 'none') return [];
  const pairs = [
    `Test${d}Graded cycle`,
    `Participant${d}R-07`,
    `Mass (kg)${d}${n('72.5')}`,
    `Pressure (mmHg)${d}748${d}Temperature${d}${n('21.4')}`,
    '',
  ];
  if (form.preamble === 'padded') return pairs.map((pair) => pair + d.repeat(width - (pair.split(d).length - 1) - 1));
  // A small table of its own above the data: a gas calibration.
  if (form.preamble === 'table')
    return [
      ...pairs,
      `Calibration${d}Expected${d}Found`,
      `O2${d}${n('15.98')}${d}${n('15.97')}`,
      `CO2${d}${n('4.01')}${d}${n('4.02')}`,
      '',
    ];
  return pairs;
}
