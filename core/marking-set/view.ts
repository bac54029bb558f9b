/** The set as the desk shows it. Pure: the same facts and the same marked records give the same view, in whatever order they came. */
import type { LabSheet } from '../sheet/schema.ts';
import type { QuestionMark } from '../worksheet/marking-types.ts';
import { conflictsOf } from './conflicts.ts';
import { flat, lookAtFiles, placeOfFile, type Looked } from './file-facts.ts';
import { wallOf, type AdoptedKey, type SetState } from './fold.ts';
import { afterLateRule, latenessOf, lateInWords } from './late.ts';
import type { MarkedRecord } from './marked-record.ts';
import { groundInWords, moderated, PROGRAM, type ModeratedMarking } from './moderate.ts';
import { markSlot, recordSlot } from './registers.ts';
import type { GroundMoved, KeyVersion, MovedMark, SetFileRow, SetQuestionCell, SetStudentRow, SetView } from './view-types.ts';

export interface SetMarks {
  /** The lab sheet with the present key; undefined where the set has none. */
  readonly sheet?: LabSheet;
  /** A record as a key marks it, by the hash of the record and that of the key. */
  readonly markedOf: (record: string, key: string) => MarkedRecord | undefined;
  /** Why a record cannot be marked by the present key, where that is known. */
  readonly troubleOf?: (record: string) => { readonly code: string; readonly text: string } | undefined;
}

interface Entry extends Looked {
  readonly moderated?: ModeratedMarking;
  row: SetFileRow;
}

/** The desk’s table of files, students, findings and sums. Nothing in it is stored. @param marks how each record was marked by the key that holds. */
export function viewOf(state: SetState, marks: SetMarks): SetView {
  const { key } = state;
  const present = (record: string): MarkedRecord | undefined => (key === undefined ? undefined : marks.markedOf(record, key.hash));
  const entries = lookAtFiles(state, present, marks.troubleOf).map((looked) => entryOf(looked, state, key));
  const students = chooseHandIns(entries, state);
  for (const entry of entries) entry.row = { ...entry.row, status: entry.status, findings: entry.findings };
  const counting = entries.filter(({ status }) => status === 'counts');
  const tests = counting.flatMap(({ marked }) => (marked?.about.way === 'rehearsal' || marked === undefined ? [] : [marked.about]));
  return {
    id: state.id,
    title: state.title,
    term: state.term,
    sheet: { id: state.sheetId, title: marks.sheet?.title ?? state.sheetId, version: marks.sheet?.version ?? 0 },
    openedWall: state.openedWall,
    openedBy: state.openedBy,
    ...(state.archived === undefined ? {} : { archived: { wall: state.archived.wall, by: state.archived.by, reason: state.archived.reason } }),
    ...(key === undefined ? {} : { key: versionOf(key) }),
    keys: state.keys.map(versionOf),
    ...(state.due === undefined ? {} : { due: state.due }),
    lateRule: state.lateRule,
    severalRule: state.severalRule,
    hasRoster: state.roster !== undefined,
    markers: state.markers,
    questions: headsOf(marks.sheet),
    files: entries.map(({ row }) => row),
    students,
    conflicts: conflictsOf(state, entries.map(({ row }) => row)),
    moved: movedOf(entries, state, marks),
    groundMoved: entries.flatMap((entry) => groundMovedOf(entry)),
    counts: {
      files: entries.length,
      worksheets: counting.length,
      tests: new Set(tests.map(({ session }) => session)).size,
      people: new Set(tests.flatMap(({ participant }) => (participant === undefined ? [] : [flat(participant)]))).size,
      students: students.length,
      pending: counting.reduce((sum, { row }) => sum + (row.pending ?? 0), 0),
    },
    length: state.facts.length,
  };
}

/** The marking of one file with everything that was stated about it; undefined where it has none. */
export function moderatedMarkingOf(state: SetState, marked: MarkedRecord | undefined): ModeratedMarking | undefined {
  return marked?.marking === undefined ? undefined : moderated(marked.marking, state, state.key);
}

function versionOf({ sheetText: _sheet, keyText: _key, ...version }: AdoptedKey): KeyVersion {
  return version;
}

function headsOf(sheet: LabSheet | undefined): SetView['questions'] {
  if (sheet === undefined) return [];
  const questions = sheet.questions.map((question, index) => ({ id: question.id, number: index + 1, title: question.title, kind: question.kind, outOf: question.marks, ...(question.kind === 'written' ? { rubric: question.rubric } : {}) }));
  const items = (sheet['record-marks'] ?? []).map((item, index) => ({ id: item.id, number: sheet.questions.length + index + 1, title: item.title, kind: 'record' as const, outOf: item.marks, ...(item.rubric === undefined ? {} : { rubric: item.rubric }) }));
  return [...questions, ...items];
}

function entryOf(looked: Looked, state: SetState, key: AdoptedKey | undefined): Entry {
  const { file, marked, student } = looked;
  const own = student === undefined ? undefined : state.roster?.find((entry) => flat(entry.student) === flat(student));
  const base = {
    file: file.file,
    name: file.name,
    folder: file.folder,
    addedWall: wallOf(file.entered),
    addedBy: file.by,
    status: looked.status,
    findings: looked.findings,
    ...(student === undefined ? {} : { student: own?.student ?? student }),
    ...(own?.group === undefined ? {} : { group: own.group }),
    ...(marked === undefined ? {} : { session: marked.about.session, worksheet: marked.about.worksheet }),
    ...(marked?.about.participant === undefined ? {} : { participant: marked.about.participant }),
    ...(marked?.about.handedInWall === undefined ? {} : { handedInWall: marked.about.handedInWall }),
  };
  if (marked?.marking === undefined || looked.status === 'refused') return { ...looked, row: base };
  const marking = moderated(marked.marking, state, key);
  const due = dueOf(state, student);
  const late = latenessOf(marked.about.handedInWall, due?.until, state.lateRule);
  const total = afterLateRule(marking.total, marking.outOf, late, state.lateRule);
  if (late !== undefined && due !== undefined) looked.findings.push({ code: 'late', level: 'warning', text: lateInWords(late, due.until, state.lateRule, marking.total, total) });
  if (due?.extension !== undefined) looked.findings.push({ code: 'extension', level: 'fact', text: due.extension });
  const row: SetFileRow = {
    ...base,
    earned: marking.total,
    total,
    outOf: marking.outOf,
    pending: marking.pending,
    ...(late === undefined ? {} : { lateDays: late.days }),
    cells: marking.questions.map((question) => cellOf(question, marking, state)),
  };
  return { ...looked, moderated: marking, row };
}

function cellOf(question: ModeratedMarking['questions'][number], marking: ModeratedMarking, state: SetState): SetQuestionCell {
  const { id, marks, outOf, pending, verdict, award } = question;
  const slot = question.kind === 'record' ? recordSlot(marking.session, id) : markSlot(marking.worksheet, id);
  return { id, marks, outOf, pending, verdict, marker: award.marker, key: award.key, byHand: award.marker !== PROGRAM, conflict: state.registers.conflicting(slot).length > 0, groundMoved: award.groundMoved };
}

interface Due {
  readonly until: string;
  /** In words, where the student has another date than the class. */
  readonly extension?: string;
}

/** When this student's work is due: an extension given here, else the roster's, else the set's date. */
function dueOf(state: SetState, student: string | undefined): Due | undefined {
  const own = student === undefined ? undefined : extensionOf(state, student);
  if (own !== undefined) return { until: own.until, extension: `Extension until ${own.until.slice(0, 16).replace('T', ' ')}${own.by === undefined ? ', by the roster' : `, given by ${own.by}`}${own.reason === undefined ? '' : `: ${own.reason}`}` };
  return state.due === undefined ? undefined : { until: state.due };
}

interface Extension {
  readonly until: string;
  readonly reason?: string;
  readonly by?: string;
}

function extensionOf(state: SetState, student: string): Extension | undefined {
  const slot = state.registers.slots().find((name) => name.startsWith('extension/') && flat(name.slice('extension/'.length)) === flat(student) && state.registers.standing(name).length > 0);
  const given = slot === undefined ? undefined : state.registers.get(slot, 'extension-given')?.event;
  if (given !== undefined) return { until: given.data.until, reason: given.data.reason, by: given.author };
  const listed = state.roster?.find((entry) => flat(entry.student) === flat(student))?.extension;
  return listed === undefined ? undefined : { until: listed };
}

/** Of each student's hand-ins one counts, by the set's rule. */
function chooseHandIns(entries: readonly Entry[], state: SetState): readonly SetStudentRow[] {
  const byStudent = new Map<string, Entry[]>();
  for (const entry of entries) {
    if (entry.student === undefined) continue;
    const list = byStudent.get(flat(entry.student));
    if (list === undefined) byStudent.set(flat(entry.student), [entry]);
    else list.push(entry);
  }
  for (const list of byStudent.values()) chooseOne(list.filter(({ status }) => status === 'counts'), state);
  const listed = (state.roster ?? []).map((entry) => studentRow(entry.student, entry.group, byStudent.get(flat(entry.student)) ?? [], true, state));
  const onRoster = new Set((state.roster ?? []).map(({ student }) => flat(student)));
  const others = [...byStudent].filter(([student]) => !onRoster.has(student)).map(([, list]) => studentRow(list[0]?.student ?? '', undefined, list, false, state));
  return [...listed, ...others.toSorted((a, b) => (flat(a.student) < flat(b.student) ? -1 : 1))];
}

function chooseOne(hands: readonly Entry[], state: SetState): void {
  if (hands.length < 2) return;
  const inTime = hands.toSorted((a, b) => moment(a) - moment(b) || a.file.entered - b.file.entered || (a.file.file < b.file.file ? -1 : 1));
  const best = (): Entry | undefined => inTime.reduce<Entry | undefined>((chosen, entry) => (chosen === undefined || (entry.row.total ?? 0) >= (chosen.row.total ?? 0) ? entry : chosen), undefined);
  const chosen = state.severalRule === 'first' ? inTime[0] : state.severalRule === 'last' ? inTime.at(-1) : best();
  for (const entry of hands) {
    const others = inTime.filter((other) => other !== entry).map((other) => placeOfFile(other.file));
    const which = entry === chosen ? 'This one counts' : `${placeOfFile((chosen ?? entry).file)} counts`;
    entry.findings.push({ code: 'several-hand-ins', level: entry === chosen ? 'fact' : 'warning', text: `Handed in ${hands.length} times (also ${others.join(', ')}). ${which}: the ${state.severalRule} does by the rule of this set.` });
    if (entry !== chosen) entry.status = 'other-counts';
  }
}

const moment = (entry: Entry): number => {
  const wall = Date.parse(entry.marked?.about.handedInWall ?? '');
  return Number.isFinite(wall) ? wall : entry.file.entered;
};

function studentRow(student: string, group: string | undefined, list: readonly Entry[], onRoster: boolean, state: SetState): SetStudentRow {
  const counts = list.find(({ status }) => status === 'counts');
  const extension = extensionOf(state, student);
  const standing = counts !== undefined ? ((counts.row.pending ?? 0) > 0 ? 'waiting' : 'marked') : list.some(({ status }) => status === 'held') ? 'held' : list.some(({ status }) => status === 'refused') ? 'refused' : list.length > 0 ? 'waiting' : 'not-handed-in';
  return {
    student,
    ...(group === undefined ? {} : { group }),
    ...(extension === undefined ? {} : { extension: { until: extension.until, ...(extension.reason === undefined ? {} : { reason: extension.reason }) } }),
    ...(counts === undefined ? {} : { file: counts.file.file }),
    files: list.map(({ file }) => file.file),
    state: standing,
    onRoster,
  };
}

/** Before and after the change of the key, for every file that was there before it; marks given by hand stay and are not among them. */
function movedOf(entries: readonly Entry[], state: SetState, marks: SetMarks): readonly MovedMark[] {
  const { key, keyBefore } = state;
  if (key === undefined || keyBefore === undefined) return [];
  const adopted = Date.parse(key.wall);
  return entries.flatMap(({ file, marked, student, status, moderated: now }): MovedMark[] => {
    if (file.record === undefined || file.entered > adopted || status === 'refused' || status === 'duplicate' || marked?.marking === undefined) return [];
    const before = marks.markedOf(file.record, keyBefore.hash)?.marking;
    if (before === undefined) return [];
    const byHand = new Set(now?.questions.filter(({ award }) => award.marker !== PROGRAM).map(({ id }) => id));
    const ids = [...new Set([...before.questions, ...marked.marking.questions].map(({ id }) => id))];
    return ids.flatMap((id): MovedMark[] => {
      const [then, after] = [before.questions, marked.marking?.questions ?? []].map((list) => list.find((question) => question.id === id));
      if (byHand.has(id) || (then?.marks === after?.marks && then?.outOf === after?.outOf && then?.pending === after?.pending)) return [];
      const of = (question: QuestionMark | undefined): { readonly marks: number; readonly outOf: number; readonly reason: string } => question ?? { marks: 0, outOf: 0, reason: 'Not among the questions of this key.' };
      return [{ student: student ?? '', file: file.file, question: id, before: of(then).marks, after: of(after).marks, beforeOutOf: of(then).outOf, afterOutOf: of(after).outOf, beforeReason: of(then).reason, afterReason: of(after).reason }];
    });
  });
}

function groundMovedOf({ file, student, moderated: marking, status }: Entry): readonly GroundMoved[] {
  if (marking === undefined || status === 'duplicate') return [];
  return marking.questions.flatMap((question) =>
    [{ row: undefined, award: question.award }, ...question.rows.map(({ row, award }) => ({ row, award }))].flatMap(({ row, award }): GroundMoved[] => {
      const [first] = award?.byHand ?? [];
      if (award === undefined || !award.groundMoved || first?.ground === undefined) return [];
      return [{ student: student ?? '', file: file.file, question: question.id, ...(row === undefined ? {} : { row }), marks: first.marks, by: first.by, before: first.ground, after: award.ground, says: groundInWords(first.ground, award.ground) }];
    }),
  );
}
