/** The columns of the table of all values. */
import type { ClassChoices } from '../../core/class/filter.ts';
import { signed } from '../../core/class/figures.ts';
import type { ClassEntry } from '../../core/class/gather.ts';
import { codeOf } from './figure-points.ts';

export interface ValueColumn {
  readonly id: string;
  readonly label: string;
  readonly title?: string;
  /** Characters. */
  readonly width: number;
  readonly figure: boolean;
  text(test: ClassEntry): string;
  /** What it is sorted by; undefined comes last. */
  key(test: ClassEntry): string | number | undefined;
}

export function valueColumns(choices: ClassChoices, method: string | undefined): readonly ValueColumn[] {
  const number = (id: string, label: string, width: number, decimals: number, of: (test: ClassEntry) => number | undefined, title?: string, plus = false): ValueColumn => ({
    id, label, width, figure: true, ...(title === undefined ? {} : { title }),
    text: (test) => {
      const value = of(test);
      return value === undefined ? '–' : plus ? signed(value, decimals) : value.toFixed(decimals);
    },
    key: of,
  });
  const text = (id: string, label: string, width: number, of: (test: ClassEntry) => string, title?: string): ValueColumn => ({ id, label, width, figure: false, ...(title === undefined ? {} : { title }), text: (test) => of(test) || '–', key: (test) => of(test) || undefined });
  const predicted = (test: ClassEntry, id: string | undefined): number | undefined => test.predicted.find((one) => one.method === id)?.value;
  return [
    text('participant', 'Participant', 8, codeOf),
    text('sex', 'Sex', 4, (test) => (test.sex === 'female' ? 'F' : test.sex === 'male' ? 'M' : '')),
    number('age', 'Age', 4, 0, (test) => test.age),
    text('group', 'Group', 7, (test) => test.group),
    text('term', 'Term', 8, (test) => test.term),
    text('sheet', 'Lab sheet', 20, (test) => test.sheet.title),
    number('measured', 'Measured', 8, 1, (test) => test.measured, 'Highest measured oxygen uptake, mL/kg/min'),
    ...choices.methods.map((choice) => number(`by-${choice.value}`, choice.label, 15, 1, (test) => predicted(test, choice.value), `${choice.label}, mL/kg/min`)),
    number('difference', 'Predicted − measured', 9, 1, (test) => (test.measured === undefined || predicted(test, method) === undefined ? undefined : (predicted(test, method) ?? 0) - test.measured), 'By the method chosen for the figures, mL/kg/min', true),
    text('effort', 'Effort', 11, (test) => (test.symptomLimited ? 'symptom stop' : test.maximal === undefined ? '' : test.maximal ? 'criteria met' : 'not met')),
    number('minutes', 'Time, min', 6, 1, (test) => test.exerciseMinutes),
    number('peak', 'Peak HR', 6, 0, (test) => test.peakHeartRate, 'Peak heart rate, /min'),
    number('rer', 'Peak RER', 6, 2, (test) => test.peakRer),
    number('recovery1', 'HRR 1', 5, 0, (test) => test.recovery1, 'Fall of heart rate in the first minute of recovery, /min'),
    number('recovery2', 'HRR 2', 5, 0, (test) => test.recovery2, 'Fall of heart rate in two minutes of recovery, /min'),
    ...choices.tables.map((choice) => text(`category-${choice.value}`, 'Category', 10, (test) => test.categories.find((one) => one.table === choice.value)?.name ?? '', choice.label)),
    text('worksheets', 'Worksheets', 16, (test) => test.worksheets.map((worksheet) => worksheet.student).join(', ')),
  ];
}

/** Sorted by one column; a value that is not there comes last whichever way. */
export function sorted(tests: readonly ClassEntry[], column: ValueColumn, up: boolean): readonly ClassEntry[] {
  const sign = up ? 1 : -1;
  return tests.toSorted((a, b) => {
    const [first, second] = [column.key(a), column.key(b)];
    if (first === undefined || second === undefined) return Number(first === undefined) - Number(second === undefined);
    return sign * (typeof first === 'number' && typeof second === 'number' ? first - second : String(first).localeCompare(String(second), 'en', { numeric: true }));
  });
}
