/** The class's data as a table: one row a test, every method a column, no blood pressure and no student. */
import { csvCell, csvLines } from '../worksheet/marks-csv.ts';
import { choicesOf } from './filter.ts';
import type { ClassEntry } from './gather.ts';

interface Column {
  readonly name: string;
  readonly number: boolean;
  of(test: ClassEntry): string | number | undefined;
}

/** @param options.codes whether the participant codes go out too. */
export function classCsv(tests: readonly ClassEntry[], options: { readonly codes: boolean }): string {
  const { methods, tables } = choicesOf(tests.map((test) => ({ ...test, measured: test.measured ?? 0 })));
  const text = (name: string, of: Column['of']): Column => ({ name, number: false, of });
  const number = (name: string, of: Column['of']): Column => ({ name, number: true, of });
  const columns: readonly Column[] = [
    ...(options.codes ? [text('participant', (test) => test.participant)] : []),
    text('sheet', (test) => test.sheet.id),
    text('term', (test) => test.term),
    text('group', (test) => test.group),
    text('sex', (test) => test.sex),
    number('age_a', (test) => test.age),
    text('stopped_for_a_symptom', (test) => (test.symptomLimited ? 'yes' : 'no')),
    text('effort_criteria_met', (test) => (test.maximal === undefined ? '' : test.maximal ? 'yes' : 'no')),
    number('measured_mL/kg/min', (test) => test.measured),
    ...methods.map((method) => number(`${method.value}_mL/kg/min`, (test) => test.predicted.find((one) => one.method === method.value)?.value)),
    number('exercise_min', (test) => test.exerciseMinutes),
    number('rest_heart_rate_/min', (test) => test.restHeartRate),
    number('peak_heart_rate_/min', (test) => test.peakHeartRate),
    number('peak_rer', (test) => test.peakRer),
    number('heart_rate_recovery_1_/min', (test) => test.recovery1),
    number('heart_rate_recovery_2_/min', (test) => test.recovery2),
    ...tables.map((table) => text(`category_${table.value}`, (test) => test.categories.find((one) => one.table === table.value)?.name)),
    number('worksheets', (test) => test.worksheets.length),
  ];
  const cell = (column: Column, test: ClassEntry): string => {
    const value = column.of(test);
    return value === undefined ? '' : typeof value === 'number' ? String(Math.round(value * 1000) / 1000) : csvCell(value);
  };
  return csvLines([columns.map((column) => csvCell(column.name)), ...tests.map((test) => columns.map((column) => cell(column, test)))]);
}

/** The points of heart rate of every test, for whoever wants to draw the curves again. */
export function curvesCsv(tests: readonly ClassEntry[], which: 'exercise' | 'recovery', options: { readonly codes: boolean }): string {
  const lines = tests.flatMap((test, index) => test[which].map(({ x, y }) => [String(index + 1), ...(options.codes ? [csvCell(test.participant)] : []), String(Math.round(x * 1000) / 1000), String(y)]));
  return csvLines([['test', ...(options.codes ? ['participant'] : []), 'minute', 'heart_rate_/min'], ...lines]);
}
