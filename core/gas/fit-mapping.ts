/** A remembered mapping, put on the next file with the same headings. */
import { headingOf, neighbours } from './choose-columns.ts';
import { guessTimeForm } from './guess-time-form.ts';
import { plainHeading } from './headings.ts';
import { guessMapping, missingFrom, type ColumnMapping, type GuessedMapping, type Mapping } from './mapping.ts';
import { gasQuantities, isGasValue } from './quantities.ts';
import type { GasTable, Guess } from './read-table.ts';
import { guessRows } from './rows-kind.ts';
import { timeFormLabels, type TimeForm } from './time-form.ts';

/**
 * A remembered mapping put on another table with the same heading set: columns are found by their headings, in any order.
 * The form of time and the kind of rows are kept where they still read the file, and guessed anew, said so, where not.
 */
export function fitMapping(remembered: Mapping, table: GasTable): GuessedMapping {
  const fresh = guessMapping(table);
  const free = [...remembered.columns];
  const guesses: Guess[] = [];
  const columns = table.headings.map((heading, column): ColumnMapping => {
    const at = free.findIndex((known) => known.heading === heading && known.column === column);
    const index = at >= 0 ? at : free.findIndex((known) => plainHeading(known.heading) === plainHeading(heading));
    const known = index < 0 ? undefined : free.splice(index, 1)[0];
    if (known === undefined) {
      guesses.push(...fresh.guesses.filter((guess) => guess.column === column));
      return fresh.mapping.columns[column] ?? { column, heading, quantity: 'ignore' };
    }
    guesses.push({
      about: 'column',
      column,
      understood: isGasValue(known.quantity) ? gasQuantities[known.quantity].label : known.quantity,
      reason: 'remembered from a file with the same headings',
      confidence: 'likely',
    });
    return { ...known, column, heading };
  });
  const timeColumn = columns.find((column) => column.quantity === 'time')?.column;
  const form = timeColumn === undefined ? undefined : guessTimeForm(neighbours(table, timeColumn), headingOf(table, timeColumn), table.style);
  const same = form === undefined || family(form.form) === family(remembered.timeForm);
  const timeForm = same ? remembered.timeForm : (form?.form ?? remembered.timeForm);
  guesses.push({
    about: 'time',
    understood: `time as ${timeFormLabels[timeForm]}`,
    reason: same
      ? 'remembered from a file with the same headings'
      : `this file writes its times otherwise than the remembered one: ${form?.reason ?? ''}`,
    confidence: same ? 'likely' : 'unsure',
  });
  const rows = guessRows(table, timeColumn, timeForm);
  const rowsKept = rows.rows.kind === remembered.rows.kind;
  guesses.push(rowsKept ? { ...rows.guess, reason: `${rows.guess.reason}; as remembered` } : rows.guess);
  return {
    mapping: {
      columns,
      timeForm,
      rows:
        rowsKept && rows.rows.kind === 'averaged' && remembered.rows.kind === 'averaged'
          ? { ...rows.rows, stamped: remembered.rows.stamped }
          : rows.rows,
    },
    guesses,
    missing: missingFrom(columns),
  };
}

/** Forms that look alike in a cell and that a file alone may not tell apart: a number, two parts or three parts. */
const family = (form: TimeForm): string =>
  form === 'm:ss' || form === 'h:mm' ? 'two' : form === 'h:mm:ss' || form === 'time-of-day' ? 'three' : form === 'm:ss:cc' ? form : 'number';
