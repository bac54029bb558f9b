/** The data dictionary of the readings file: what each column and each quantity is, its unit (UCUM), and its LOINC code where one was verified. */
import { detailQuantities, numericDetails, readingQuantities, settingQuantities, type DetailId, type Quantity } from '../vocabulary.ts';
import { csvOf, type Row } from './csv.ts';
import { readingColumns, type ReadingColumn } from './readings.ts';

export const dictionaryColumns = ['kind', 'name', 'label', 'type', 'unit', 'loinc', 'description'] as const;
export type DictionaryRow = Readonly<Record<(typeof dictionaryColumns)[number], string>>;

const columns: Readonly<Record<ReadingColumn, readonly [label: string, type: 'text' | 'number', unit: string, description: string]>> = {
  session: ['Session', 'text', '', 'Id of the record'],
  participant: ['Participant', 'text', '', 'Code as typed, never a name'],
  sheet: ['Lab sheet', 'text', '', 'Id of the lab sheet that was run'],
  sheet_version: ['Version of the lab sheet', 'number', '1', ''],
  way: ['Way', 'text', '', 'live: as it happened; paper: keyed in afterwards; rehearsal: simulated, not a test'],
  phase: ['Phase', 'text', '', 'prepare, rest, exercise or recovery'],
  stage: ['Stage', 'number', '1', 'From 1; exercise only'],
  mark: ['Place', 'text', '', 'Where on the sheet: m3 (minute 3 of the stage or of recovery), end, stop, rest, setting'],
  quantity: ['Quantity', 'text', '', 'One of the quantities below'],
  value: ['Value', 'number', '', 'In the unit of the column "unit"; empty for words and codes and where nothing was read'],
  unit: ['Unit', 'text', '', 'UCUM code of the value'],
  loinc: ['LOINC code', 'text', '', 'Only where one was verified for this quantity; empty means that none is claimed'],
  typed: ['As typed', 'text', '', 'Exactly what was entered'],
  typed_unit: ['Unit as typed', 'text', '', 'UCUM code of what was entered'],
  status: ['Status', 'text', '', 'standing: counts; second: another author’s reading beside it; amended or struck: replaced or taken back; assumed: a stage taken to be on plan; not-taken: given up, with the reason as note'],
  phase_time_s: ['Time in the phase', 'number', 's', 'The moment that it describes, from the start of its phase'],
  session_time_s: ['Time in the session', 'number', 's', 'The same, from the opening of the session'],
  entered_s: ['Entered', 'number', 's', 'When it was accepted, from the opening of the session'],
  late_s: ['Late', 'number', 's', 'How long after the sheet’s time; empty where in time'],
  author: ['Author', 'text', '', 'Initials of whoever entered it'],
  note: ['Note', 'text', '', 'Note or reason as typed'],
};

/** Every column, quantity, unit and note of the readings table, with LOINC codes only where one was verified. */
export function dictionaryRows(): readonly DictionaryRow[] {
  const column = (name: ReadingColumn): DictionaryRow => {
    const [label, type, unit, description] = columns[name];
    return { kind: 'column', name, label, type, unit, loinc: '', description };
  };
  const quantity = (kind: string, one: Quantity, isNumber: boolean): DictionaryRow => ({ kind, name: one.id, label: one.label, type: isNumber ? 'number' : 'text', unit: isNumber ? one.unit : '', loinc: one.loinc ?? '', description: '' });
  return [
    ...readingColumns.map(column),
    ...Object.values(detailQuantities).map((one) => quantity('detail', one, numericDetails.includes(one.id as DetailId))),
    ...Object.values(settingQuantities).map((one) => quantity('setting', one, true)),
    ...Object.values(readingQuantities).map((one) => quantity('reading', one, true)),
    { kind: 'note', name: 'text-guard', label: 'Apostrophes', type: '', unit: '', loinc: '', description: 'A text cell that a spreadsheet could take for a formula has an apostrophe before it. Numbers have none.' },
    { kind: 'note', name: 'loinc', label: 'LOINC', type: '', unit: '', loinc: '', description: 'This material contains content from LOINC (http://loinc.org). LOINC is copyright © Regenstrief Institute, Inc. and the Logical Observation Identifiers Names and Codes (LOINC) Committee and is available at no cost under the license at http://loinc.org/license. LOINC® is a registered United States trademark of Regenstrief Institute, Inc.' },
  ];
}

/** The dictionary as CSV. */
export function dictionaryCsv(): string {
  return csvOf(dictionaryColumns, dictionaryRows() as readonly Row[]);
}
