/** May this fact be stated in the set now? Pure: the desk stores what is answered here with `ok`. */
import { failure, success, type Result } from '../result.ts';
import { shapeWords } from '../shape-words.ts';
import { desksOwnKinds, isSetKind, setKinds, type SetEvent, type SetKind } from './events.ts';
import type { SetState } from './fold.ts';
import { placeOf } from './registers.ts';
import { wordsOf } from './history.ts';
import { hundredths } from '../units/format.ts';

export interface UncheckedSetDraft {
  readonly kind: string;
  readonly data?: unknown;
}
export interface DecidedFact {
  readonly kind: SetKind;
  readonly data: unknown;
}

/** What the desk knows and the facts alone do not. */
export interface SetContext {
  /** Marks that a question (or one of its rows) of a worksheet is worth; undefined where there is no such thing. */
  readonly outOf: (worksheet: string, question: string, row?: string) => number | undefined;
  /** Marks of an item of the shared record. */
  readonly itemOutOf: (item: string) => number | undefined;
  /** Marks of a rubric's level. */
  readonly level: (question: string, level: number) => number | undefined;
}

/**
 * Checks a draft against the set as it stands, and adds what the window cannot know: the facts that it replaces, the version of
 * a key.
 */
export function decideSetFact(state: SetState, draft: UncheckedSetDraft, context: SetContext): Result<DecidedFact> {
  if (state.archived !== undefined) return failure('archived', 'This set was archived: its records are erased and its marks are kept as they are. Nothing was changed.');
  if (!isSetKind(draft.kind) || desksOwnKinds.includes(draft.kind)) return failure('unknown-kind', `A marker cannot state "${draft.kind.slice(0, 40)}". Nothing was saved.`);
  const parsed = setKinds[draft.kind].safeParse(draft.data);
  if (!parsed.success) {
    return failure('bad-data', `"${draft.kind}" cannot be stated: ${shapeWords(parsed.error, 'its data')}. Nothing was saved.`);
  }
  const event = { kind: draft.kind, data: parsed.data } as SetEvent;
  const refused = refusal(state, event, context);
  if (refused !== undefined) return refused;
  const place = placeOf(event);
  const over = place === undefined ? [] : state.registers.replacedBy(place.slot, place.part);
  const version = event.kind === 'key-adopted' ? { version: Math.max(0, ...state.keys.map((key) => key.version)) + 1 } : {};
  return success({ kind: draft.kind, data: { ...parsed.data, ...version, ...(over.length === 0 ? {} : { over }) } });
}

function refusal(state: SetState, event: SetEvent, context: SetContext): ReturnType<typeof failure> | undefined {
  switch (event.kind) {
    case 'mark-moderated':
    case 'written-marked': {
      const { worksheet, question, marks } = event.data;
      const row = event.kind === 'mark-moderated' ? event.data.row : undefined;
      const outOf = context.outOf(worksheet, question, row);
      if (outOf === undefined) return failure('no-such-mark', `This set has no question "${question.slice(0, 60)}"${row === undefined ? '' : `, row "${row.slice(0, 60)}",`} on that worksheet. Nothing was saved.`);
      if (marks > outOf + 1e-9) return failure('too-many-marks', `That is more than the ${hundredths(outOf)} marks that it is worth here. Nothing was saved.`);
      if (event.kind === 'written-marked' && context.level(question, event.data.level) === undefined) return failure('no-such-level', 'The rubric has no such level. Nothing was saved.');
      return undefined;
    }
    case 'record-marked': {
      const outOf = context.itemOutOf(event.data.item);
      if (outOf === undefined) return failure('no-such-item', `The key has no marks for the shared record under "${event.data.item.slice(0, 60)}". Nothing was saved.`);
      if (event.data.marks > outOf + 1e-9) return failure('too-many-marks', `That is more than the ${hundredths(outOf)} marks that it is worth. Nothing was saved.`);
      return undefined;
    }
    case 'withdrawn': {
      const target = state.facts.find((fact) => fact.id === event.data.target);
      if (target === undefined) return failure('no-such-fact', 'There is nothing here to take back. Nothing was changed.');
      if (desksOwnKinds.includes(target.event.kind)) return failure('stays', `"${wordsOf(target.event)}" cannot be taken back; set a file aside instead.`);
      if (state.registers.withdrawn(target.id)) return failure('withdrawn-already', 'That was taken back already. Nothing was changed.');
      return undefined;
    }
    case 'file-set-aside':
    case 'student-corrected':
      return state.files.some((file) => file.file === event.data.file) ? undefined : failure('no-such-file', 'This set has no such file. Nothing was changed.');
    case 'roster-loaded': {
      const keys = event.data.students.map(({ student }) => student.toLowerCase());
      const twice = keys.find((key, at) => keys.indexOf(key) !== at);
      return twice === undefined ? undefined : failure('twice', `The student "${twice.slice(0, 60)}" is on the roster twice. Nothing was changed.`);
    }
    default:
      return undefined;
  }
}
