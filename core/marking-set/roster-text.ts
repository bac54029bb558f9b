/** A roster as instructors have it: one student key a line, or a table whose heading names the student key, group and extension. */
import Papa from 'papaparse';
import { failure, success, type Result } from '../result.ts';
import type { RosterEntry } from './events.ts';

/** Headings by which a column is known, in small letters. */
const names: Readonly<Record<'student' | 'group' | 'extension', readonly string[]>> = {
  student: ['student', 'student key', 'key', 'student id', 'id', 'code'],
  group: ['group', 'section', 'lab group', 'class'],
  extension: ['extension', 'extended until', 'extended to', 'until'],
};
/** Characters and students: many times the largest class, so that a wrong file is refused at once; this program's own choice. */
const LARGEST = 2_000_000;
const MOST = 20_000;

/** Reads a roster. Commas, semicolons and tabs part its columns; blank lines are passed over. */
export function readRoster(text: string): Result<readonly RosterEntry[]> {
  if (text.length > LARGEST) return failure('too-large', 'A roster of more than 2 MB was not read. Nothing was changed.');
  const table = Papa.parse<string[]>(text.replace(/^\ufeff/, ''), { skipEmptyLines: 'greedy', delimitersToGuess: [',', ';', '\t'] }).data.map((row) => row.map((cell) => cell.trim()));
  const [head = []] = table;
  const find = (column: keyof typeof names): number => head.findIndex((cell) => names[column].includes(cell.toLowerCase()));
  const student = find('student');
  const rows = student < 0 ? table : table.slice(1);
  const place = { student: Math.max(0, student), group: student < 0 ? 1 : find('group'), extension: student < 0 ? -1 : find('extension') };
  const entries: RosterEntry[] = [];
  for (const [index, row] of rows.entries()) {
    const line = index + (student < 0 ? 1 : 2);
    const key = row[place.student] ?? '';
    if (key === '') continue;
    if (key.length > 60) return failure('not-a-key', `Line ${line}: a student key has at most 60 characters. Nothing was changed.`);
    const group = (row[place.group] ?? '').slice(0, 60);
    const until = row[place.extension] ?? '';
    if (until !== '' && Number.isNaN(Date.parse(until))) return failure('not-a-date', `Line ${line}: "${until.slice(0, 40)}" is no date. Write it as 2026-03-16 17:00. Nothing was changed.`);
    entries.push({ student: key, ...(group === '' ? {} : { group }), ...(until === '' ? {} : { extension: new Date(until).toISOString() }) });
    if (entries.length > MOST) return failure('too-many', 'A roster has at most 20,000 students. Nothing was changed.');
  }
  return entries.length === 0 ? failure('empty', 'No student key was found. A roster is a list of keys, or a table with a column "student". Nothing was changed.') : success(entries);
}
