/** Where markers wrote different things in the same place without seeing one another. Nothing is lost: all of it is listed. */
import { wordsOf } from './history.ts';
import { wallOf, type SetState } from './fold.ts';
import type { SetConflict, SetFileRow } from './view-types.ts';

/** The places in which several facts stand, written by markers who had not seen one another’s. */
export function conflictsOf(state: SetState, files: readonly SetFileRow[]): readonly SetConflict[] {
  return state.registers.slots().flatMap((slot): SetConflict[] => {
    const facts = state.registers.conflicting(slot);
    if (facts.length === 0) return [];
    const [kind, first, question] = kindOf(slot);
    const file = kind === 'mark' ? files.find((row) => row.worksheet === first && row.status !== 'duplicate') : kind === 'record' ? files.find((row) => row.session === first) : files.find((row) => row.file === first);
    return [
      {
        slot,
        about: aboutOf(kind ?? '', first ?? '', question, file),
        ...(file === undefined ? {} : { file: file.file }),
        ...((kind === 'mark' || kind === 'record') && question !== undefined ? { question } : {}),
        values: facts.map(({ id, event }) => ({ id, by: event.author, wall: wallOf(event.entered), says: wordsOf(event) })),
      },
    ];
  }).toSorted((a, b) => (a.slot < b.slot ? -1 : 1));
}

/** The parts of a place's name; those of marks were encoded. */
function kindOf(slot: string): readonly (string | undefined)[] {
  const [kind = '', ...rest] = slot.split('/');
  return kind === 'mark' || kind === 'record' ? [kind, ...rest.map(decodeURIComponent)] : [kind, rest.join('/')];
}

function aboutOf(kind: string, first: string, question: string | undefined, file: SetFileRow | undefined): string {
  switch (kind) {
    case 'mark':
      return `Question "${question ?? ''}" of ${file?.student ?? first}`;
    case 'record':
      return `Shared record, "${question ?? ''}", session ${first}`;
    case 'student':
      return `Student key of ${file?.name ?? first}`;
    case 'aside':
      return `Setting aside ${file?.name ?? first}`;
    case 'extension':
      return `Extension for ${first}`;
    case 'marker':
      return `Who ${first} is`;
    case 'rehearsal':
    case 'issued':
      return `Accepting session ${first}`;
    case 'due':
      return 'When the work is due';
    case 'late-rule':
      return 'The rule for late work';
    case 'several-rule':
      return 'Which of several hand-ins counts';
    case 'key':
      return 'The key';
    case 'roster':
      return 'The roster';
    default:
      return 'The name of the set';
  }
}
