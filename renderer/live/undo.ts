/** What "undo the last entry" takes back: the person's own last command that still stands. */
import { STOP_CAN_BE_TAKEN_BACK } from '../../core/session/decide.ts';
import { isSessionKind, type SessionDraft, type SessionEvent } from '../../core/session/events.ts';
import type { RecordEvent } from '../../core/record/event.ts';

export type Undo =
  | { readonly ok: true; readonly says: string; readonly drafts: readonly SessionDraft[]; /** What was typed, for the entry line. */ readonly typed?: string }
  | { readonly ok: false; readonly says: string };

/** Facts that are taken back by another fact of their own, or not at all; a strike never takes them. */
const passedOver: ReadonlySet<string> = new Set(['event-struck', 'stop-taken-back', 'exercise-struck', 'clock-carried', 'session-opened', 'rest-started']);

/**
 * @param events the session's events in order; @param author whose entry; @param now session time.
 */
export function undoLast(events: readonly RecordEvent[], author: string, now: number): Undo {
  const struck = new Set(events.filter(isStrike).map((event) => event.data.target));
  const last = events.findLast((event) => event.author === author && isSessionKind(event.kind) && !passedOver.has(event.kind) && !struck.has(event.seq) && !wasTakenBack(events, event)) as SessionEvent | undefined;
  if (!last) return { ok: false, says: 'There is nothing of yours to take back.' };
  switch (last.kind) {
    case 'test-stopped':
      return now - last.taken <= STOP_CAN_BE_TAKEN_BACK
        ? { ok: true, says: 'stop taken back', drafts: [{ kind: 'stop-taken-back', data: {} }] }
        : { ok: false, says: 'A stop can be taken back for ten seconds only. Recovery goes on.' };
    case 'exercise-started':
      return { ok: false, says: 'That was the start of the test. If it was a false start, type "false start": Rest is kept.' };
    case 'session-closed':
      return { ok: false, says: 'The session is closed.' };
    default:
      break;
  }
  const together = events.filter((event) => event.command === last.command && isSessionKind(event.kind) && !struck.has(event.seq)) as SessionEvent[];
  const typed = typedIn(together);
  return {
    ok: true,
    says: `taken back: ${together.map(inWords).join(', ')}`,
    drafts: together.map((event) => ({ kind: 'event-struck', data: { target: event.seq, reason: 'taken back at once' } })),
    ...(typed === undefined ? {} : { typed }),
  };
}

function isStrike(event: RecordEvent): event is Extract<SessionEvent, { kind: 'event-struck' }> {
  return event.kind === 'event-struck';
}

/** A stop or a start that a later fact has already undone. */
function wasTakenBack(events: readonly RecordEvent[], event: RecordEvent): boolean {
  const undoneBy = event.kind === 'test-stopped' ? 'stop-taken-back' : event.kind === 'exercise-started' ? 'exercise-struck' : undefined;
  return undoneBy !== undefined && events.some((later) => later.seq > event.seq && later.kind === undoneBy);
}

function typedIn(events: readonly SessionEvent[]): string | undefined {
  const [first] = events;
  if (first?.kind === 'note-added' || first?.kind === 'symptom-noted') return undefined;
  const said = events.flatMap((event) => (event.kind === 'reading-taken' ? [event.data.heard ?? event.data.typed] : []));
  return said.length === 0 ? undefined : [...new Set(said)].join(' ');
}

function inWords(event: SessionEvent): string {
  switch (event.kind) {
    case 'reading-taken':
      return `${event.data.slot.quantity.replace('-', ' ')} ${event.data.typed}`;
    case 'reading-not-taken':
      return `"not taken, ${event.data.reason}"`;
    case 'stage-changed':
      return `the change to stage ${event.data.stage}`;
    case 'note-added':
    case 'symptom-noted':
      return `"${event.data.text}"`;
    case 'posture-changed':
      return event.data.posture;
    case 'gait-seen':
      return event.data.gait;
    case 'handrail-held':
      return event.data.held ? 'hand on the rail' : 'hand off the rail';
    case 'stop-reason-given':
      return `the reason, ${event.data.reason}`;
    default:
      return event.kind.replace('-', ' ');
  }
}
