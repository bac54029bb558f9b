/**
 * Reads a handed-in `stagecall-worksheet/1` text and checks it: both chains, that the worksheet names this very session,
 * and that every event has the shape of its kind. Nothing in the file is trusted beyond its two records.
 */
import { checkChain, sha256Hex } from '../record/chain.ts';
import { eventOf, type RecordEvent, type StoredEvent } from '../record/event.ts';
import { failure, success, type Result } from '../result.ts';
import { shapeWords } from '../shape-words.ts';
import { isSessionKind, sessionKinds, sessionVersions } from '../session/events.ts';
import { isWorksheetKind, worksheetKinds } from './events.ts';
import { closingHeads, lastSeriesOf } from './closing.ts';
import { WORKSHEET_FORM, worksheetFileSchema, type WorksheetFile } from './file.ts';
import { DEEPEST_JSON, LARGEST_ATTACHMENT, nestsDeeperThan, utf8Length } from './json-limits.ts';

export type FindingCode =
  | 'altered'
  | 'not-this-session'
  | 'malformed-event'
  | 'unknown-kind'
  | 'rehearsal'
  | 'from-paper'
  | 'session-not-closed'
  | 'not-handed-in'
  | 'series-missing';

/** Something that a marker has to know about a file. A refusal means that no marks are given. */
export interface FileFinding {
  readonly code: FindingCode;
  readonly level: 'fact' | 'warning' | 'refusal';
  readonly text: string;
  /** Where in the record, counting events from 0. */
  readonly place?: { readonly record: 'session' | 'worksheet'; readonly event: number };
}

export interface CheckedWorksheetFile {
  readonly file: WorksheetFile;
  /** The events that could be read, in order: all of them, unless a finding says otherwise. */
  readonly session: readonly RecordEvent[];
  readonly worksheet: readonly RecordEvent[];
  readonly findings: readonly FileFinding[];
  /** No finding is a refusal: the record is as it was written, and can be folded and marked. */
  readonly sound: boolean;
}

/**
 * @returns a failure where the text is no worksheet file at all (`too-large`, `too-deep`, `not-json`, `not-a-worksheet`,
 *   `newer-form`, `wrong-shape`); else the file with its findings, an altered record among them.
 */
export function readWorksheetFile(text: string): Result<CheckedWorksheetFile> {
  if (text.length > LARGEST_ATTACHMENT || utf8Length(text) > LARGEST_ATTACHMENT) {
    return failure('too-large', 'The record is larger than 20 MB, which no test reaches. It was not read.');
  }
  if (nestsDeeperThan(text, DEEPEST_JSON)) return failure('too-deep', 'The record is nested too deeply to be a worksheet. It was not read.');
  let raw: unknown;
  try {
    raw = JSON.parse(text.startsWith('\ufeff') ? text.slice(1) : text);
  } catch {
    return failure('not-json', text.trim() === '' ? 'The record is empty.' : 'The record is damaged or cut short: it cannot be read as JSON. Ask for the file again.');
  }
  const form = typeof raw === 'object' && raw !== null && 'format' in raw ? raw.format : undefined;
  if (typeof form !== 'string' || !form.startsWith('stagecall-worksheet/')) {
    return failure('not-a-worksheet', 'This is not a worksheet of this program: it does not name its format.');
  }
  if (form !== WORKSHEET_FORM) return failure('newer-form', `This worksheet has the format "${form.slice(0, 60)}"; this program reads ${WORKSHEET_FORM}. Open it with a newer Stagecall.`);
  const parsed = worksheetFileSchema.safeParse(raw);
  if (!parsed.success) {
    return failure('wrong-shape', `The worksheet file is damaged: ${shapeWords(parsed.error, 'the file')}. Ask for the file again.`);
  }
  return success(check(parsed.data));
}

function check(file: WorksheetFile): CheckedWorksheetFile {
  const findings: FileFinding[] = [];
  const session = readChain(file.session, 'session', findings);
  const worksheet = readChain(file.worksheet, 'worksheet', findings);
  const opened = session[0];
  const named = worksheet[0];
  if (opened?.kind !== 'session-opened' && !hasRefusal(findings)) findings.push(refusal('malformed-event', 'The session does not begin with its opening event.', 'session', 0));
  if (named?.kind !== 'worksheet-opened' && !hasRefusal(findings)) findings.push(refusal('malformed-event', 'The worksheet does not begin with its opening event.', 'worksheet', 0));
  if (opened !== undefined && named !== undefined && !hasRefusal(findings)) {
    const { session: id, sessionHead } = named.data as { session: string; sessionHead: string };
    if (id !== opened.record || !closingHeads(session, file.session.events).includes(sessionHead)) {
      findings.push({
        code: 'not-this-session',
        level: 'refusal',
        text:
          id === opened.record
            ? 'The worksheet was opened on another ending of this session: events were cut from the session, or added to it, after it was closed. No marks were given.'
            : 'The worksheet belongs to another session than the one attached. No marks were given.',
      });
    }
    checkSeries(file, session, findings);
    const { way } = opened.data as { way: string };
    if (way !== file.way) {
      findings.push({ code: 'altered', level: 'refusal', text: `The file calls itself "${file.way}", but its session was filled as "${way}": the file was changed after it was written. No marks were given.` });
    }
    if (way === 'rehearsal') findings.push({ code: 'rehearsal', level: 'warning', text: 'This is a rehearsal against a simulated participant, not a test.' });
    if (way === 'paper') findings.push({ code: 'from-paper', level: 'fact', text: 'The session was keyed in from a paper sheet.' });
    if (!session.some((event) => event.kind === 'session-closed')) {
      findings.push({ code: 'session-not-closed', level: 'warning', text: 'The session was not closed when this file was written.' });
    }
    if (!worksheet.some((event) => event.kind === 'worksheet-handed-in')) {
      findings.push({ code: 'not-handed-in', level: 'fact', text: 'The student had not handed the worksheet in when this file was written.' });
    }
  }
  return { file, session, worksheet, findings, sound: !hasRefusal(findings) };
}

/** Every series is what its hash says, and the one that counts is there. */
function checkSeries(file: WorksheetFile, session: readonly RecordEvent[], findings: FileFinding[]): void {
  for (const { hash, text } of file.series ?? []) {
    if (sha256Hex(text) === hash) continue;
    findings.push({ code: 'altered', level: 'refusal', text: 'The gas exchange file in this worksheet was changed after it was joined to the session. No marks were given.' });
    return;
  }
  const named = lastSeriesOf(session);
  if (named !== undefined && !(file.series ?? []).some(({ hash }) => hash === named))
    findings.push({ code: 'series-missing', level: 'warning', text: 'The session names a gas exchange file, and its rows are not in this worksheet. What needs them was left out of the marks.' });
}

const hasRefusal = (findings: readonly FileFinding[]): boolean => findings.some((finding) => finding.level === 'refusal');

function refusal(code: FindingCode, text: string, record: 'session' | 'worksheet', event: number): FileFinding {
  return { code, level: 'refusal', text, place: { record, event } };
}

/** Checks one chain and gives the events that can be read, broken or not. */
function readChain(
  chain: { readonly id: string; readonly head: string; readonly events: readonly StoredEvent[] },
  record: 'session' | 'worksheet',
  findings: FileFinding[],
): readonly RecordEvent[] {
  const deep = chain.events.findIndex((event) => nestsDeeperThan(event.body, DEEPEST_JSON));
  if (deep >= 0) {
    findings.push(refusal('malformed-event', `Event ${deep + 1} of the ${record} is nested too deeply. No marks were given.`, record, deep));
    return [];
  }
  const checked = checkChain(chain.events, chain.id);
  const events = checked.ok ? checked.events : readable(chain.events);
  if (!checked.ok) {
    const what = describe(chain.events[checked.at]);
    findings.push(refusal('altered', `The record was changed after it was written: ${record} ${checked.message}${what}. No marks were given.`, record, checked.at));
  } else if (checked.head !== chain.head) {
    findings.push(refusal('altered', `The record was changed after it was written: the ${record} does not end where the file says that it ends. No marks were given.`, record, chain.events.length - 1));
  }
  checkShapes(events, record, findings);
  return events;
}

function readable(stored: readonly StoredEvent[]): readonly RecordEvent[] {
  return stored.flatMap((item) => {
    try {
      return [eventOf(item.body)];
    } catch {
      return [];
    }
  });
}

/** What the broken event is about, so that a person finds the place on the page. */
function describe(stored: StoredEvent | undefined): string {
  if (stored === undefined) return '';
  try {
    const event = eventOf(stored.body);
    const data = event.data as { slot?: { phase?: string; stage?: number; mark?: string; quantity?: string }; question?: string } | null;
    const slot = data?.slot;
    if (slot?.quantity !== undefined) return ` (${slot.quantity}, ${slot.phase}${slot.stage === undefined ? '' : ` stage ${slot.stage}`}, ${slot.mark})`;
    if (data?.question !== undefined) return ` (answer to "${String(data.question).slice(0, 60)}")`;
    return ` (${event.kind.slice(0, 40)})`;
  } catch {
    return '';
  }
}

function checkShapes(events: readonly RecordEvent[], record: 'session' | 'worksheet', findings: FileFinding[]): void {
  for (const [at, event] of events.entries()) {
    const shape =
      record === 'session'
        ? isSessionKind(event.kind) && event.version <= sessionVersions[event.kind]
          ? sessionKinds[event.kind]
          : undefined
        : isWorksheetKind(event.kind) && event.version === 1
          ? worksheetKinds[event.kind]
          : undefined;
    if (shape === undefined) {
      if (findings.some((finding) => finding.code === 'unknown-kind' && finding.place?.record === record)) continue;
      findings.push({
        code: 'unknown-kind',
        level: 'warning',
        text: `The ${record} holds "${event.kind.slice(0, 40)}" (version ${event.version}), written by a newer program. It was left out of the marking; check with a newer Stagecall.`,
        place: { record, event: at },
      });
      continue;
    }
    const parsed = shape.safeParse(event.data);
    if (!parsed.success) {
      findings.push(refusal('malformed-event', `Event ${at + 1} of the ${record} (${event.kind}) has a wrong shape: ${shapeWords(parsed.error, 'its data')}. No marks were given.`, record, at));
      return;
    }
  }
}
