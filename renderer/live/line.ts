/** The entry line with everything that it understands on this screen: answers to what is asked, a few words, and readings. */
import { parseClock } from '../../core/clock-text.ts';
import { placeText, readEntry, type EntryReading } from '../../core/session/entry-line.ts';
import { phaseAt } from '../../core/session/place.ts';
import { slotKey, type SessionDraft, type Slot } from '../../core/session/events.ts';
import { recoveryAt } from '../../core/recovery/tracker.ts';
import type { SessionState } from '../../core/session/state.ts';
import type { UnitCode } from '../../core/units/units.ts';
import { answerTo, type Asking } from './questions.ts';
import type { SpeedUnit } from './settings-text.ts';

export interface LineReading {
  readonly state: EntryReading['state'];
  readonly says: string;
  /** A soft limit: Enter once more keeps it. */
  readonly ask?: string;
  readonly drafts: readonly SessionDraft[];
  readonly command?: 'stop' | 'stage' | 'undo' | 'back' | 'told';
  /** What is asked next. */
  readonly next?: Asking;
}

const NOTHING: LineReading = { state: 'empty', says: '', drafts: [] };

export interface LineOf {
  readonly text: string;
  readonly asking: Asking | undefined;
  readonly aimed: Slot | undefined;
  /** Session time. */
  readonly now: number;
  readonly author: string;
  readonly speedUnit: SpeedUnit;
  readonly uptakeUnit?: UnitCode | undefined;
}

/** "148 @7:02": what was heard then and is typed now. */
const EARLIER = /\s*@\s*(\d{1,3}:[0-5]\d)$/;

export function readLine(state: SessionState, of: LineOf): LineReading {
  const text = of.text.trim();
  if (of.asking) {
    const answer = answerTo(state, of.asking, text, of.now);
    if (answer?.state === 'ready') return answer;
    if (answer?.state === 'on') return { state: 'ready', says: answer.says, drafts: [], next: answer.next };
    if (answer) return { ...answer, drafts: [] };
  }
  if (text === '') return NOTHING;
  const words = text.toLowerCase();
  if (words === 'back' && state.stop) return { state: 'ready', says: 'takes the stop back', drafts: [], command: 'back' };
  if (words === 'told' && state.phase !== 'rest') return { state: 'ready', says: 'notes that the instructor has been told', drafts: [], command: 'told' };
  if (/^false start\b/.test(words) && state.phase === 'exercise') {
    const reason = text.slice('false start'.length).trim();
    if (reason === '') return { state: 'ready', says: 'a false start: Rest is kept; then say why', drafts: [], next: { about: 'false-start' } };
    return { state: 'ready', says: `strikes this start, "${reason}"; Rest is kept`, drafts: [{ kind: 'exercise-struck', data: { reason } }] };
  }
  if (words === 'abandon' && (state.phase === 'rest' || state.phase === 'prepare')) return { state: 'ready', says: 'closes this session without a test', drafts: [], next: { about: 'abandon' } };
  const ticked = /^c\s?(\d{1,2})(?:\s+(no|not|not yet))?$/.exec(words);
  if (ticked && state.phase === 'recovery') return tick(state, Number(ticked[1]), ticked[2] === undefined, of.now);
  const aim = { author: of.author, speedUnit: of.speedUnit, ...(of.uptakeUnit === undefined ? {} : { uptakeUnit: of.uptakeUnit }), ...(of.aimed === undefined ? {} : { slot: of.aimed }) };
  const earlier = EARLIER.exec(text);
  if (!earlier) return guarded(state, readEntry(state, of.text, of.now, aim), of);
  const moment = (state.starts[phaseAt(state, of.now)] ?? 0) + (parseClock(earlier[1] ?? '') ?? 0);
  if (moment > of.now) return { state: 'refused', says: `${earlier[1]} is still to come.`, drafts: [] };
  const said = text.slice(0, earlier.index);
  if (/^(next|stage)$/i.test(said)) return changeAt(state, moment, earlier[1] ?? '');
  const read = readEntry(state, said, moment, aim);
  if (read.command !== undefined) return { state: 'refused', says: `"${said}" is done now, without a time.`, drafts: [] };
  return { ...read, drafts: read.drafts.map((draft) => ({ taken: moment, ...draft })) };
}

/**
 * A bare number said between two calls would quietly amend the last one. Unless its cell was chosen, it is asked about once:
 * the second Enter keeps it.
 */
function guarded(state: SessionState, read: LineReading, of: LineOf): LineReading {
  if (read.state !== 'ready' || of.aimed) return read;
  const amended = read.drafts.flatMap((draft) => {
    if (draft.kind !== 'reading-taken') return [];
    const mine = state.slots.get(slotKey(draft.data.slot))?.readings.findLast((reading) => !reading.struck && reading.amendedBy === undefined && reading.author === of.author);
    return mine === undefined ? [] : [{ typed: mine.heard ?? mine.typed, place: placeText(draft.data.slot) }];
  });
  const [first] = amended;
  if (!first) return read;
  const ask = `${first.typed} stands at ${first.place}. Enter again amends it.`;
  return { ...read, ask: read.ask === undefined ? ask : `${read.ask} ${ask}` };
}

function changeAt(state: SessionState, moment: number, words: string): LineReading {
  const last = state.stages.at(-1);
  if (state.phase !== 'exercise' || !last) return { state: 'refused', says: 'The stage changes only during exercise.', drafts: [] };
  if (moment <= last.changed) return { state: 'refused', says: `Stage ${last.number} was set later than ${words}.`, drafts: [] };
  return { state: 'ready', says: `stage ${last.number + 1} was set at ${words}`, drafts: [{ kind: 'stage-changed', data: { stage: last.number + 1 }, taken: moment }] };
}

/** `c3` ticks the third leaving criterion, or takes the tick away. */
function tick(state: SessionState, number: number, yes: boolean, now: number): LineReading {
  const criterion = recoveryAt(state, now).criteria[number - 1];
  if (!criterion) return { state: 'refused', says: `There are ${state.sheet.recovery.criteria.length} criteria.`, drafts: [] };
  if (!criterion.seen && !isTickable(state, number)) return { state: 'refused', says: `"${criterion.text}" is read from the sheet, not ticked: ${criterion.because}.`, drafts: [] };
  const met = yes && criterion.state !== 'met';
  return { state: 'ready', says: met ? `seen: ${criterion.text.toLowerCase()}` : `not yet: ${criterion.text.toLowerCase()}`, drafts: [{ kind: 'criterion-seen', data: { criterion: criterion.id, met } }] };
}

export function isTickable(state: SessionState, number: number): boolean {
  const kind = state.sheet.recovery.criteria[number - 1]?.kind;
  return kind === 'seen' || kind === 'no-symptoms';
}
