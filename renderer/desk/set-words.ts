/** A file of a marking set in the words of the desk's list: who, how many marks, and what to look at first. */
import type { SetFileRow, SetStudentRow, SetView } from '../../core/marking-set/view-types.ts';
import { number, short, type Look, type MarksBar } from './desk-words.ts';

export interface SetLine {
  readonly file: string;
  readonly student: string;
  readonly participant: string;
  readonly marks: string;
  readonly outOf: string;
  readonly bar?: MarksBar;
  readonly look?: Look;
  readonly row: SetFileRow;
}

export type ListName = 'all' | 'check' | 'waiting' | 'refused' | 'absent' | 'moved';

export function setLineOf(row: SetFileRow, view: SetView): SetLine {
  const look = lookOf(row, view);
  const total = row.total ?? row.earned;
  return {
    file: row.file,
    student: row.student ?? row.name,
    participant: row.participant ?? '–',
    marks: total === undefined ? '–' : number(total),
    outOf: row.outOf === undefined ? '' : number(row.outOf),
    ...(row.cells === undefined || row.outOf === undefined ? {} : { bar: barOf(row, row.outOf) }),
    ...(look === undefined ? {} : { look }),
    row,
  };
}

function barOf(row: SetFileRow, outOf: number): MarksBar {
  const share = (marks: number): number => (outOf > 0 ? (100 * marks) / outOf : 0);
  const carried = (row.cells ?? []).reduce((sum, cell) => sum + (cell.verdict === 'carried-forward' ? cell.marks : 0), 0);
  const earned = row.earned ?? 0;
  return { earned: share(Math.max(0, earned - carried)), carried: share(Math.min(carried, earned)), waiting: share(row.pending ?? 0) };
}

const setShort: Readonly<Record<string, string>> = {
  'duplicate-file': 'the same file again',
  'duplicate-worksheet': 'the same worksheet again',
  'several-hand-ins': 'handed in several times',
  'issued-record': 'an issued record',
  'unknown-student': 'student key not on the roster',
  late: 'late',
  'symptom-stop': 'stopped for a symptom',
  'set-aside': 'set aside',
  'not-marked-yet': 'being marked',
};

/** The one thing to look at first. */
function lookOf(row: SetFileRow, view: SetView): Look | undefined {
  const named = (code: string, text: string): string => setShort[code] ?? short[code] ?? text;
  if (row.status === 'set-aside') return { text: 'set aside', urgent: false };
  if (row.status === 'not-marked-yet') return { text: 'being marked', urgent: false };
  for (const level of ['refusal', 'held'] as const) {
    const finding = row.findings.find((one) => one.level === level);
    if (finding) return { text: named(finding.code, finding.text), urgent: row.status !== 'duplicate' };
  }
  if (row.status === 'duplicate') return { text: 'the same worksheet again', urgent: false };
  const places = (wanted: (cell: NonNullable<SetFileRow['cells']>[number]) => boolean): string =>
    (row.cells ?? []).filter(wanted).map((cell) => view.questions.find((question) => question.id === cell.id)?.number ?? '').join(', ');
  const conflict = places((cell) => cell.conflict);
  if (conflict !== '') return { text: `markers differ in ${conflict}`, urgent: true };
  const moved = places((cell) => cell.groundMoved);
  if (moved !== '') return { text: `ground of a mark moved, ${moved}`, urgent: true };
  const warning = row.findings.find((one) => one.level === 'warning' && one.code !== 'signed-unknown');
  if (warning) return { text: named(warning.code, warning.text), urgent: warning.code !== 'several-hand-ins' };
  const parts = ([
    ['slip in', (cell) => !cell.byHand && (cell.verdict === 'slip' || cell.verdict === 'arithmetic-slip')],
    ['waits in', (cell) => cell.pending > 0],
    ['carried forward in', (cell) => !cell.byHand && cell.verdict === 'carried-forward'],
    ['by hand', (cell) => cell.byHand],
    ['empty', (cell) => !cell.byHand && cell.verdict === 'not-answered'],
  ] as const satisfies readonly (readonly [string, (cell: NonNullable<SetFileRow['cells']>[number]) => boolean])[]).flatMap(([text, wanted]) => {
    const found = places(wanted);
    return found === '' ? [] : [`${text} ${found}`];
  });
  return parts.length === 0 ? undefined : { text: parts.join('; '), urgent: false };
}

/** Which lines a list shows. */
export function isIn(list: ListName, line: SetLine, moved: ReadonlySet<string>): boolean {
  switch (list) {
    case 'all':
      return true;
    case 'check':
      return line.look?.urgent === true && line.row.status !== 'refused';
    case 'waiting':
      return (line.row.pending ?? 0) > 0 && line.row.status === 'counts';
    case 'refused':
      return line.row.status === 'refused' || line.row.status === 'held';
    case 'moved':
      return moved.has(line.file);
    case 'absent':
      return false;
  }
}

export function byStudent(a: SetLine, b: SetLine): number {
  return a.student.localeCompare(b.student, 'en', { numeric: true }) || a.row.addedWall.localeCompare(b.row.addedWall) || a.row.name.localeCompare(b.row.name, 'en', { numeric: true });
}

export function absentStudents(view: SetView): readonly SetStudentRow[] {
  return view.students.filter((student) => student.onRoster && student.state === 'not-handed-in');
}

/** "2026-03-09 17:00", by the clock of this machine. */
export function momentText(wall: string): string {
  const moment = new Date(wall);
  if (Number.isNaN(moment.getTime())) return wall;
  const two = (value: number): string => String(value).padStart(2, '0');
  return `${moment.getFullYear()}-${two(moment.getMonth() + 1)}-${two(moment.getDate())} ${two(moment.getHours())}:${two(moment.getMinutes())}`;
}

/** What a field of date and time gives, as a moment with its offset. */
export function momentOf(local: string): string | undefined {
  const moment = new Date(local);
  return local === '' || Number.isNaN(moment.getTime()) ? undefined : moment.toISOString();
}
/** The other way round, for a field of date and time. */
export function localOf(wall: string | undefined): string {
  return wall === undefined ? '' : momentText(wall).replace(' ', 'T');
}
