/**
 * Second step of an import: what each column is. A mapping is plain data that a person sees, changes and that is remembered
 * for the next file with the same headings. Every part of a guessed mapping comes with its reason.
 */
import { unitOf, type UnitCode } from '../units/units.ts';
import { bestColumns, chooseTime, valuesOf } from './choose-columns.ts';
import { guessUnit } from './guess-unit.ts';
import { partsOf, plainHeading, type HeadingParts } from './headings.ts';
import { gasQuantities, isGasValue, type ColumnQuantity, type GasCondition } from './quantities.ts';
import type { Confidence, GasTable, Guess } from './read-table.ts';
import { guessRows, type RowsKind } from './rows-kind.ts';
import { timeFormLabels, type TimeForm } from './time-form.ts';

export interface ColumnMapping {
  /** Index of the column in the table. */
  readonly column: number;
  /** As in the file, so that a remembered mapping finds its column in another order. */
  readonly heading: string;
  readonly quantity: ColumnQuantity;
  /** For quantities with a unit. */
  readonly unit?: UnitCode;
  /** For gas volumes: the state in which the file gives them; absent means the usual one (VO₂, VCO₂ STPD; VE, VT BTPS). */
  readonly condition?: GasCondition;
}

export interface Mapping {
  /** One for every column of the table, in its order. */
  readonly columns: readonly ColumnMapping[];
  readonly timeForm: TimeForm;
  readonly rows: RowsKind;
}

export interface GuessedMapping {
  readonly mapping: Mapping;
  /** At least one for every column, one for the form of time and one for the rows. */
  readonly guesses: readonly Guess[];
  /** What stands in the way of an import, in words; empty when it can go ahead. */
  readonly missing: readonly string[];
}

/**
 * The headings and units of a table as one text: files with the same set have the same key, whatever the order of their
 * columns, their capitals and blanks. A mapping is remembered under it.
 */
export function headingKey(table: Pick<GasTable, 'headings' | 'unitRow'>): string {
  return table.headings
    .map(
      (heading, column) =>
        `${plainHeading(heading)}${/[[({].*?[\])}]/.exec(heading)?.[0].replace(/\s/g, '').toLowerCase() ?? ''}|${(table.unitRow?.[column] ?? '').replace(/\s/g, '').toLowerCase()}`,
    )
    .sort()
    .join('\n');
}

/** Guesses a mapping for a table from its headings, its units and the size of its numbers. Nothing is taken silently. */
export function guessMapping(table: GasTable): GuessedMapping {
  const guesses: Guess[] = [];
  const parts = table.headings.map((heading, column) => partsOf(heading, table.unitRow?.[column] ?? ''));
  const time = chooseTime(table, parts);
  const taken = new Map<ColumnQuantity, number>();
  const best = bestColumns(table, parts);

  const columns = table.headings.map((heading, column): ColumnMapping => {
    const part = parts[column] as HeadingParts;
    const ignore = (reason: string, confidence: Confidence = 'likely'): ColumnMapping => {
      guesses.push({ about: 'column', column, understood: 'not imported', reason, confidence });
      return { column, heading, quantity: 'ignore' };
    };
    if (column === time?.column) {
      guesses.push({ about: 'column', column, understood: 'Time', reason: time.reason, confidence: time.confidence });
      return { column, heading, quantity: 'time' };
    }
    const { quantity } = part;
    if (quantity === undefined) return ignore(heading === '' ? 'it has no heading' : `the heading “${heading}” is not known`, 'unsure');
    if (quantity === 'ignore') return ignore(part.because ?? 'not a quantity that is imported');
    if (quantity === 'time')
      return ignore(
        time === undefined
          ? 'its times cannot be read, or fall back too often'
          : `another column, “${table.headings[time.column] ?? ''}”, was taken for the time`,
      );
    if (quantity === 'marker') {
      guesses.push({
        about: 'column',
        column,
        understood: 'Marker',
        reason: `the heading “${heading}” is a word for a mark or a phase`,
        confidence: 'likely',
      });
      return { column, heading, quantity };
    }
    const chosen = best.get(quantity);
    if (chosen !== undefined && chosen.column !== column)
      return ignore(`${gasQuantities[quantity].short} is already taken from “${table.headings[chosen.column] ?? ''}” (${chosen.because})`);
    taken.set(quantity, column);
    const unit = guessUnit(quantity, part, valuesOf(table, column));
    const { label } = gasQuantities[quantity];
    const short = /^[a-z]$/.test(part.word) && part.word !== 'r';
    guesses.push({
      about: 'column',
      column,
      understood: `${label}${unitOf(unit.unit).label === '' ? '' : `, ${unitOf(unit.unit).label}`}${part.condition === undefined ? '' : ` ${part.condition}`}`,
      reason: `the heading “${heading}”; ${unit.reason}`,
      confidence: short ? 'unsure' : unit.confidence,
    });
    return { column, heading, quantity, unit: unit.unit, ...(part.condition === undefined ? {} : { condition: part.condition }) };
  });

  const missing = missingFrom(columns);
  const form = time?.form ?? { form: 's' as TimeForm, reason: 'no column of times was found', confidence: 'unsure' as const };
  guesses.push({ about: 'time', understood: `time as ${timeFormLabels[form.form]}`, reason: form.reason, confidence: form.confidence });
  const rows = guessRows(table, time?.column, form.form);
  guesses.push(rows.guess);
  return { mapping: { columns, timeForm: form.form, rows: rows.rows }, guesses, missing };
}

/** Of a file in which no heading was known: what its headings are, so that a wrong file is seen at once. */
function strangeHeadings(columns: readonly ColumnMapping[]): string {
  if (columns.some((column) => column.quantity !== 'ignore' && column.quantity !== 'time')) return '';
  const names = columns.map((column) => column.heading.slice(0, 30)).filter((heading) => heading !== '');
  return names.length === 0
    ? ''
    : `No heading of this file names gas exchange (${names.slice(0, 6).join(', ')}${names.length > 6 ? ' …' : ''}). `;
}

/** What a mapping lacks before it can be applied, in words. */
export function missingFrom(columns: readonly ColumnMapping[]): readonly string[] {
  const has = (quantity: ColumnQuantity): boolean => columns.some((column) => column.quantity === quantity);
  const missing: string[] = [];
  if (!has('time')) missing.push('Say which column is the time.');
  if (!has('vo2') && !has('vco2') && !has('ve') && !(has('feo2') && has('feco2')))
    missing.push(
      `${strangeHeadings(columns)}Say which column is the oxygen uptake, the carbon dioxide output or the ventilation; without one of them there is no gas exchange to import.`,
    );
  for (const quantity of new Set(columns.map((column) => column.quantity))) {
    if (quantity === 'ignore' || quantity === 'marker') continue;
    const same = columns.filter((column) => column.quantity === quantity);
    if (same.length > 1)
      missing.push(
        `${same.length} columns are set to ${isGasValue(quantity) ? gasQuantities[quantity].label.toLowerCase() : 'time'} (${same.map((column) => `“${column.heading}”`).join(', ')}); keep one.`,
      );
  }
  return missing;
}
