/** What was stated in a set, in words, oldest first. */
import type { SetEvent } from './events.ts';
import { wallOf, type SetState } from './fold.ts';
import { placeOf } from './registers.ts';
import type { SetHistoryLine } from './view-types.ts';
import { hundredths } from '../units/format.ts';

/** Every fact of the set as a line, in its order, with what was taken back and what still stands. */
export function historyOf(state: SetState): readonly SetHistoryLine[] {
  const { registers } = state;
  const stands = new Set(registers.slots().flatMap((slot) => registers.standing(slot).map((fact) => fact.id)));
  return state.facts.map(({ id, event }) => {
    const data = event.data as { reason?: string; comment?: string; file?: string };
    const why = data.reason ?? data.comment;
    const withdrawn = registers.withdrawn(id);
    return {
      id,
      kind: event.kind,
      by: event.author,
      wall: wallOf(event.entered),
      says: wordsOf(event),
      ...(why === undefined ? {} : { reason: why }),
      withdrawn,
      replaced: !withdrawn && placeOf(event) !== undefined && !stands.has(id),
      ...(data.file === undefined ? {} : { file: data.file }),
    };
  });
}

const plain = (value: number): string => `${hundredths(value)} ${value === 1 ? 'mark' : 'marks'}`;

/** One fact in words. */
export function wordsOf(event: SetEvent): string {
  switch (event.kind) {
    case 'set-opened':
      return `Set opened: ${event.data.title}`;
    case 'set-named':
      return `Named: ${event.data.title}${event.data.term === '' ? '' : `, ${event.data.term}`}`;
    case 'key-adopted':
      return `Key v${event.data.version ?? 1} adopted${event.data.key === undefined ? '' : ', with an answer key beside the lab sheet'}`;
    case 'roster-loaded':
      return `Roster of ${event.data.students.length} loaded${event.data.name === undefined ? '' : ` from ${event.data.name}`}`;
    case 'due-set':
      return event.data.due === null ? 'No due date' : `Due ${event.data.due}`;
    case 'late-rule-set':
      return `Late work: ${lateRuleInWords(event.data.rule)}`;
    case 'several-rule-set':
      return `Of several hand-ins the ${event.data.rule} counts`;
    case 'marker-named':
      return `${event.data.initials} is ${event.data.name}`;
    case 'file-added':
      return `Added ${event.data.folder === '' ? '' : `${event.data.folder}/`}${event.data.name}`;
    case 'file-set-aside':
      return 'File set aside';
    case 'student-corrected':
      return `Student key corrected to ${event.data.student}`;
    case 'rehearsal-accepted':
      return `Rehearsal ${event.data.session} accepted`;
    case 'issued-accepted':
      return `Issued record ${event.data.session} accepted`;
    case 'extension-given':
      return `Extension for ${event.data.student} until ${event.data.until}`;
    case 'mark-moderated':
      return `${event.data.question}${event.data.row === undefined ? '' : `, ${event.data.row}`}: ${plain(event.data.marks)}`;
    case 'written-marked':
      return `${event.data.question}: level ${event.data.level + 1} of the rubric, ${plain(event.data.marks)}`;
    case 'record-marked':
      return `Shared record, ${event.data.item}: ${plain(event.data.marks)}`;
    case 'withdrawn':
      return 'Taken back';
    case 'marks-exported':
      return `Marks written out (${event.data.form}${event.data.changesOnly ? ', changes only' : ''})`;
    case 'set-archived':
      return 'Archived: records erased, marks kept';
  }
}

/** The rule for late work as a marker would say it. */
export function lateRuleInWords(rule: Extract<SetEvent, { kind: 'late-rule-set' }>['data']['rule']): string {
  const grace = rule.kind === 'flag-only' || rule.graceMinutes === 0 ? '' : ` after ${rule.graceMinutes} minutes of grace`;
  switch (rule.kind) {
    case 'flag-only':
      return 'flagged, no marks taken off';
    case 'per-day':
      return `${rule.percent} % of the marks ${rule.of} for each day begun${grace}${rule.closesAfterDays === undefined ? '' : `, nothing after ${rule.closesAfterDays} days`}`;
    case 'at-most':
      return `at most ${rule.percent} % of the marks available${grace}`;
    case 'nothing':
      return `no marks${grace}`;
  }
}
