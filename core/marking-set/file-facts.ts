/** What is found about each file when the whole set is looked at: duplicates, several hand-ins, who it belongs to, what is held. */
import { nearest } from '../sheet/nearest.ts';
import type { SetFile, SetState } from './fold.ts';
import type { MarkedRecord } from './marked-record.ts';
import type { SetFileStatus, SetFinding } from './view-types.ts';

export interface Looked {
  readonly file: SetFile;
  readonly marked?: MarkedRecord;
  /** As corrected. */
  readonly student?: string;
  readonly findings: SetFinding[];
  status: SetFileStatus;
}

const fact = (code: string, text: string): SetFinding => ({ code, level: 'fact', text });
const warning = (code: string, text: string): SetFinding => ({ code, level: 'warning', text });
const held = (code: string, text: string): SetFinding => ({ code, level: 'held', text });
const refusal = (code: string, text: string): SetFinding => ({ code, level: 'refusal', text });

export const placeOfFile = (file: Pick<SetFile, 'folder' | 'name'>): string => (file.folder === '' ? file.name : `${file.folder}/${file.name}`);

/**
 * Looks at every file, in the order in which they were added.
 * @param markedOf the record as the present key marks it; undefined where that is still to be done.
 */
export function lookAtFiles(state: SetState, markedOf: (record: string) => MarkedRecord | undefined, troubleOf?: (record: string) => { readonly code: string; readonly text: string } | undefined): readonly Looked[] {
  const looked = state.files.map((file) => {
    const trouble = file.record === undefined ? undefined : troubleOf?.(file.record);
    return lookAt(file, state, file.record === undefined ? undefined : markedOf(file.record), trouble === undefined ? [] : [refusal(trouble.code, trouble.text)]);
  });
  findDuplicates(looked);
  findIssued(looked, state);
  for (const one of looked) findStudent(one, state);
  return looked;
}

function lookAt(file: SetFile, state: SetState, marked: MarkedRecord | undefined, trouble: readonly SetFinding[]): Looked {
  const corrected = state.registers.get(`student/${file.file}`, 'student-corrected');
  const student = corrected?.event.data.student ?? marked?.about.student;
  const findings: SetFinding[] = [...file.findings.filter(({ code }) => code !== 'rehearsal'), ...(marked?.findings ?? []), ...trouble];
  const looked: Looked = { file, ...(marked === undefined ? {} : { marked }), ...(student === undefined ? {} : { student }), findings, status: 'counts' };
  if (corrected !== undefined) {
    const was = marked?.about.student;
    findings.push(fact('student-corrected', `Student key corrected${was === undefined ? '' : ` from "${was}"`} to "${corrected.event.data.student}" by ${corrected.event.author}: ${corrected.event.data.reason}`));
  }
  const aside = state.registers.get(`aside/${file.file}`, 'file-set-aside');
  if (findings.some(({ level }) => level === 'refusal')) looked.status = 'refused';
  else if (file.record !== undefined && marked === undefined) {
    looked.status = 'not-marked-yet';
    findings.push(fact('not-marked-yet', 'Not marked by the present key yet.'));
  } else if (marked?.marking === undefined) {
    looked.status = 'refused';
    findings.push(refusal('no-record', 'There is no record to mark.'));
  }
  if (aside !== undefined) {
    looked.status = 'set-aside';
    findings.push(fact('set-aside', `Set aside by ${aside.event.author}: ${aside.event.data.reason}`));
  }
  if (marked !== undefined && looked.status === 'counts') aboutTheTest(looked, marked, state);
  return looked;
}

function aboutTheTest(looked: Looked, marked: MarkedRecord, state: SetState): void {
  const { about, marking } = marked;
  const voids = marking?.questions.filter(({ verdict }) => verdict === 'void') ?? [];
  const list = voids.map(({ number, title }) => `${number} (${title})`).join(', ');
  if (about.symptomStop) {
    looked.findings.push(warning('symptom-stop', `The test was stopped for a symptom, so no maximum is claimed. ${voids.length === 0 ? 'Every question can still be answered.' : `Void, and out of the total: ${voids.length === 1 ? 'question' : 'questions'} ${list}.`}`));
  } else if (voids.length > 0) looked.findings.push(fact('void-questions', `Void on this record, and out of the total: ${voids.length === 1 ? 'question' : 'questions'} ${list}.`));
  if (about.notHandedIn) looked.findings.push(fact('hand-in-time-unknown', 'The record holds no hand-in; the time of the last answer stands for it.'));
  if (about.way !== 'rehearsal') return;
  const accepted = state.registers.get(`rehearsal/${about.session}`, 'rehearsal-accepted');
  if (accepted !== undefined) looked.findings.push(fact('rehearsal-accepted', `A rehearsal, accepted by ${accepted.event.author}: ${accepted.event.data.reason}`));
  else {
    looked.findings.push(held('rehearsal', 'This is a rehearsal against a simulated participant, handed in in place of a test. It is marked, and counts only when somebody accepts it, with a reason.'));
    looked.status = 'held';
  }
}

/** The same bytes, or the same worksheet in another file: the first one that came stands. */
function findDuplicates(looked: readonly Looked[]): void {
  const byBytes = new Map<string, Looked>();
  const byHeads = new Map<string, Looked>();
  for (const one of looked) {
    if (one.status === 'set-aside') continue;
    const { bytes } = one.file;
    const heads = one.marked === undefined || one.status === 'refused' ? undefined : `${one.marked.about.sessionHead} ${one.marked.about.worksheetHead}`;
    const same = byBytes.get(bytes);
    const twin = heads === undefined ? undefined : byHeads.get(heads);
    if (same !== undefined) {
      one.findings.push(warning('duplicate-file', `The same file as ${placeOfFile(same.file)}, byte for byte. That one stands.`));
      if (one.status !== 'refused') one.status = 'duplicate';
    } else if (twin !== undefined) {
      one.findings.push(warning('duplicate-worksheet', `The same worksheet as ${placeOfFile(twin.file)}, in another file. That one stands.`));
      one.status = 'duplicate';
    } else {
      byBytes.set(bytes, one);
      if (heads !== undefined) byHeads.set(heads, one);
    }
  }
}

/**
 * A pair shares one test. Where more than two students hand a session in, or students of another group than the pair's, the
 * record was issued to some of them: the marker says so once for the session. The two who recorded and tested, where the session
 * names them by their keys, are never held, nor is the group of the roster to which two of the students belong. Where neither
 * tells the pair apart, all of them wait.
 */
function findIssued(looked: readonly Looked[], state: SetState): void {
  const bySession = new Map<string, Looked[]>();
  for (const one of looked) {
    if (one.marked === undefined || one.status === 'refused' || one.status === 'set-aside' || one.student === undefined) continue;
    const list = bySession.get(one.marked.about.session);
    if (list === undefined) bySession.set(one.marked.about.session, [one]);
    else list.push(one);
  }
  const groupOf = new Map((state.roster ?? []).map(({ student, group }) => [flat(student), group] as const));
  for (const [session, files] of bySession) {
    const students = [...new Set(files.map(({ student }) => flat(student ?? '')))];
    const people = new Set((files[0]?.marked?.about.people ?? []).map(flat));
    const pair = students.filter((student) => people.has(student));
    const groups = new Set(students.map((student) => groupOf.get(student)).filter((group) => group !== undefined));
    const named = new Set(pair.map((student) => groupOf.get(student)).filter((group) => group !== undefined));
    const pairGroups = named.size > 0 ? named : ownGroup(students, groupOf);
    const accepted = state.registers.get(`issued/${session}`, 'issued-accepted');
    for (const one of files) {
      const own = flat(one.student ?? '');
      const group = groupOf.get(own);
      const stranger = pairGroups.size > 0 && group !== undefined && !pairGroups.has(group);
      const ofThePair = pair.includes(own) || (pairGroups.size > 0 && group !== undefined && pairGroups.has(group));
      const issued = one.marked?.about.issued === true || (!ofThePair && (students.length > 2 || stranger || (pairGroups.size === 0 && groups.size > 1)));
      if (!issued) continue;
      if (accepted !== undefined) one.findings.push(fact('issued-accepted', `An issued record, accepted by ${accepted.event.author}: ${accepted.event.data.reason}`));
      else {
        const why = one.marked?.about.issued === true ? 'The record was issued to this student' : `${students.length} students hand in this test${groups.size > 1 ? `, of ${groups.size} groups` : ''}, more than the pair that did it`;
        one.findings.push(held('issued-record', `An issued record: ${why.charAt(0).toLowerCase()}${why.slice(1)}. It is marked, and counts only when somebody accepts it, with a reason.`));
        if (one.status === 'counts') one.status = 'held';
      }
    }
  }
}

/** The one group of the roster to which two or more of the students belong: theirs is the test. */
function ownGroup(students: readonly string[], groupOf: ReadonlyMap<string, string | undefined>): ReadonlySet<string> {
  const counts = new Map<string, number>();
  for (const student of students) {
    const group = groupOf.get(student);
    if (group !== undefined) counts.set(group, (counts.get(group) ?? 0) + 1);
  }
  const several = [...counts].filter(([, count]) => count > 1).map(([group]) => group);
  return new Set(several.length === 1 ? several : []);
}

/** Keys differ by capitals and blanks only when somebody mistyped them. */
export const flat = (student: string): string => student.trim().toLowerCase().replace(/\s+/g, ' ');

function findStudent(one: Looked, state: SetState): void {
  if (state.roster === undefined || one.student === undefined || one.marked === undefined) return;
  const own = flat(one.student);
  if (state.roster.some(({ student }) => flat(student) === own)) return;
  const near = nearest(one.student, state.roster.map(({ student }) => student));
  one.findings.push(warning('unknown-student', `The roster has no student "${one.student}"${near === undefined ? '' : `; did they mean "${near}"?`} Correct the key, or add them to the roster.`));
}
