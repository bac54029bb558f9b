/** Worksheets as records: fold, what may be written, the handed-in file and how it is checked. */
import { readFileSync } from 'node:fs';
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { CHAIN_START, chainHash } from '../../core/record/chain.ts';
import { bodyOf, type RecordEvent } from '../../core/record/event.ts';
import { decideWorksheet } from '../../core/worksheet/decide.ts';
import { buildWorksheetFile, worksheetFileJsonSchema, worksheetFileSchema, worksheetFileText, type WorksheetFile } from '../../core/worksheet/file.ts';
import { foldWorksheet, rowName, standingAnswer } from '../../core/worksheet/fold.ts';
import { nestsDeeperThan, utf8Length } from '../../core/worksheet/json-limits.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { SessionBuilder } from './session-builder.ts';
import { answered, wholeSession, WorksheetBuilder } from './worksheet-builder.ts';

const session = wholeSession();
const fileOf = (on = session, sheet = answered(session).handIn()): WorksheetFile => buildWorksheetFile({ session: { events: on.stored }, worksheet: { events: sheet.stored }, version: '0.1.0' });
const read = (file: unknown) => readWorksheetFile(typeof file === 'string' ? file : JSON.stringify(file));
const findings = (file: unknown): readonly string[] => {
  const result = read(file);
  return result.ok ? result.value.findings.map((finding) => finding.code) : [result.error.code];
};
/** The event with its chain made whole again from there on: a rewrite by someone who knows the format. */
const rechained = (events: readonly { body: string }[]): { body: string; hash: string }[] => {
  let head = CHAIN_START;
  return events.map(({ body }) => ({ body, hash: (head = chainHash(head, body)) }));
};

describe('fold', () => {
  it('keeps every attempt; the last one stands', () => {
    const state = new WorksheetBuilder(session).answer('hr-max', '190', '/min').answer('hr-max', '193', '/min', '208 − 0.7 × 22').state;
    const answer = state.answers.get('hr-max');
    expect(answer?.attempts.map((attempt) => attempt.typed)).toEqual(['190', '193']);
    expect(answer?.current).toMatchObject({ typed: '193', unit: '/min', working: '208 − 0.7 × 22' });
  });
  it('knows a row however its stage is written', () => {
    for (const row of ['1', 's1', 'stage-1', 'Stage 1', 'S-1', ' stage_1 ']) expect(rowName(row)).toBe('stage-1');
    expect(rowName('Heart rate')).toBe('heart-rate');
    const state = new WorksheetBuilder(session).answer('stage-vo2/1', '10').answer('stage-vo2/Stage 1', '16.3').state;
    expect(standingAnswer(state, 'stage-vo2', 's1')?.typed).toBe('16.3');
    expect(state.answers.size).toBe(1);
  });
  it('says when it was handed in, and whether something was answered since', () => {
    const sheet = new WorksheetBuilder(session).answer('hr-max', '190').handIn();
    expect(sheet.state.handedIn).toMatchObject({ changedSince: false });
    expect(sheet.answer('hr-max', '193').state.handedIn).toMatchObject({ changedSince: true });
    expect(sheet.handIn().state.handedIn).toMatchObject({ changedSince: false });
  });
  it('reads past a kind that it does not know, and then takes nothing more', () => {
    const sheet = new WorksheetBuilder(session).answer('hr-max', '193');
    const strange: RecordEvent = { record: sheet.id, seq: 2, kind: 'plot-drawn', version: 1, taken: 0, entered: 0, author: 's', command: 'c-strange', data: {} };
    const state = foldWorksheet([...sheet.events, strange]);
    expect(state.answers.get('hr-max')?.current.typed).toBe('193');
    expect(state.readOnly).toContain('plot-drawn');
    expect(decideWorksheet(state, { kind: 'worksheet-handed-in', data: { wall: 'now' } })).toMatchObject({ ok: false, error: { code: 'read-only' } });
  });
  it('is a fold: the same events always give the same state, piece by piece too', () => {
    const sheet = answered(session).handIn();
    for (let length = 1; length <= sheet.events.length; length += 1) expect(foldWorksheet(sheet.events.slice(0, length)).length).toBe(length);
    expect(foldWorksheet(sheet.events)).toEqual(foldWorksheet(structuredClone(sheet.events)));
  });
});

describe('what may be written', () => {
  const state = new WorksheetBuilder(session).state;
  it.each([
    ['an unknown kind', state, { kind: 'marks-given', data: {} }, 'unknown-kind'],
    ['data of another shape', state, { kind: 'answer-given', data: { typed: '3' } }, 'bad-data'],
    ['ten megabytes pasted into a field', state, { kind: 'answer-given', data: { question: 'hr-max', typed: 'x'.repeat(10_000_000) } }, 'bad-data'],
    ['a second opening', state, { kind: 'worksheet-opened', data: { session: 's', sessionHead: 'h', student: 'x', wall: 'w' } }, 'already-open'],
    ['an answer before the opening', undefined, { kind: 'answer-given', data: { question: 'hr-max', typed: '3' } }, 'not-open'],
    ['a question that the sheet does not have', state, { kind: 'answer-given', data: { question: 'shoe-size', typed: '3' } }, 'unknown-question'],
  ])('refuses %s', (_name, on, draft, code) => {
    const decided = decideWorksheet(on, draft, ['hr-max']);
    expect(decided).toMatchObject({ ok: false, error: { code } });
    if (!decided.ok) expect(decided.error.message.length).toBeLessThan(200);
  });
});

describe('the file', () => {
  it('is read back whole, with nothing to say about it', () => {
    const result = read(worksheetFileText(fileOf()));
    if (!result.ok) throw new Error(result.error.message);
    expect(result.value).toMatchObject({ sound: true, findings: [] });
    expect(result.value.session).toHaveLength(session.stored.length);
  });
  it('is the same text for the same records', () => {
    expect(worksheetFileText(fileOf())).toBe(worksheetFileText(fileOf()));
  });
  it('has its shape published, and the published one is up to date', () => {
    const published = JSON.parse(readFileSync(new URL('../../lab-sheets/worksheet-file.schema.json', import.meta.url), 'utf8')) as unknown;
    expect(published, 'run: npm exec -- node lab-sheets/publish-schema.ts').toEqual(JSON.parse(JSON.stringify(worksheetFileJsonSchema())));
    expect(worksheetFileSchema.parse(fileOf())).toEqual(fileOf());
  });
  it('is never built from a broken chain or for another session', () => {
    const broken = session.stored.map((event, at) => (at === 5 ? { ...event, body: event.body.replace('"', ' "') } : event));
    expect(() => buildWorksheetFile({ session: { events: broken }, worksheet: { events: answered(session).stored }, version: '1' })).toThrow(/damaged/);
    const other = wholeSession();
    (other as { id: string }).id = 'another';
    expect(() => buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: new WorksheetBuilder(other).stored }, version: '1' })).toThrow(/another session/);
  });
  it('says what a marker has to know: rehearsal, paper, not handed in', () => {
    const rehearsal = wholeSession({ way: 'rehearsal' });
    expect(findings(fileOf(rehearsal, answered(rehearsal).handIn()))).toEqual(['rehearsal']);
    const paper = wholeSession({ way: 'paper' });
    expect(findings(fileOf(paper, answered(paper)))).toEqual(['from-paper', 'not-handed-in']);
  });
  it('an open session is read with a warning', () => {
    const open = new SessionBuilder().exercising();
    expect(findings(fileOf(open, new WorksheetBuilder(open).handIn()))).toEqual(['session-not-closed']);
  });
});

describe('an altered record is found', () => {
  it('one byte changed anywhere in a body or a hash of either chain', () => {
    const file = fileOf();
    fc.assert(
      fc.property(fc.constantFrom('session', 'worksheet'), fc.nat(), fc.nat(), fc.constantFrom('body', 'hash'), (part, event, at, field) => {
        const changed = structuredClone(file);
        const target = changed[part].events[event % changed[part].events.length]!;
        const text = target[field];
        const place = at % text.length;
        const other = text[place] === '0' ? '1' : '0';
        target[field] = text.slice(0, place) + other + text.slice(place + 1);
        const result = read(changed);
        expect(result.ok && result.value.sound).toBe(false);
      }),
      { numRuns: 300 },
    );
  });
  it('names the place in words', () => {
    const file = fileOf();
    const at = file.session.events.findIndex((event) => event.body.includes('"quantity":"vo2"'));
    file.session.events[at]!.body = file.session.events[at]!.body.replace('"typed":"0.98"', '"typed":"1.98"');
    const result = read(file);
    if (!result.ok) throw new Error(result.error.message);
    expect(result.value.findings[0]).toMatchObject({ code: 'altered', level: 'refusal', place: { record: 'session', event: at } });
    expect(result.value.findings[0]?.text).toContain('vo2, exercise stage 1');
  });
  it('events cut off the end, taken out, doubled or put in another order', () => {
    const cases: readonly ((events: { body: string; hash: string }[]) => unknown)[] = [(events) => events.pop(), (events) => events.splice(4, 1), (events) => events.splice(4, 0, events[4]!), (events) => events.reverse()];
    for (const change of cases) {
      const file = fileOf();
      change(file.session.events);
      expect(findings(file)).toContain('altered');
    }
  });
  it('a session rewritten with its chain made whole no longer fits the worksheet that names it', () => {
    const file = fileOf();
    const events = rechained(file.session.events.map(({ body }) => ({ body: body.replace('"typed":"0.98"', '"typed":"1.98"') })));
    expect(findings({ ...file, session: { ...file.session, events, head: events.at(-1)?.hash } })).toEqual(['not-this-session']);
  });
  it('another student’s worksheet put into the file', () => {
    const other = wholeSession({ details: { age: '31' } });
    const file = fileOf();
    expect(findings({ ...file, worksheet: fileOf(other, answered(other)).worksheet })).toContain('not-this-session');
  });
  it('a rehearsal that calls itself live', () => {
    const rehearsal = wholeSession({ way: 'rehearsal' });
    expect(findings({ ...fileOf(rehearsal, answered(rehearsal).handIn()), way: 'live' })).toEqual(['altered', 'rehearsal']);
  });
});

describe('what is no worksheet is refused in words', () => {
  const deep = '['.repeat(200_000) + ']'.repeat(200_000);
  it.each([
    ['nothing', '', 'not-json'],
    ['a text', 'hello', 'not-json'],
    ['a cut file', worksheetFileText(fileOf()).slice(0, 3000), 'not-json'],
    ['other JSON', '{"marks": 50}', 'not-a-worksheet'],
    ['null', 'null', 'not-a-worksheet'],
    ['a newer form', '{"format":"stagecall-worksheet/9"}', 'newer-form'],
    ['the form alone', '{"format":"stagecall-worksheet/1"}', 'wrong-shape'],
    ['two hundred thousand brackets', deep, 'too-deep'],
    ['more than 20 MB', `"${'a'.repeat(21 * 1024 * 1024)}"`, 'too-large'],
    ['more than 20 MB in bytes, fewer letters', `"${'€'.repeat(8 * 1024 * 1024)}"`, 'too-large'],
  ])('%s', (_name, text, code) => {
    const result = readWorksheetFile(text);
    expect(result).toMatchObject({ ok: false, error: { code } });
    if (!result.ok) expect(result.error.message.length).toBeLessThan(300);
  });
  it('deep nesting inside one event', () => {
    const file = fileOf();
    file.worksheet.events[1]!.body = `{"record":"x","seq":1,"kind":"answer-given","version":1,"taken":0,"entered":0,"author":"a","command":"c","data":${'['.repeat(5000)}${']'.repeat(5000)}}`;
    expect(findings(file)).toContain('malformed-event');
  });
  it('an event of a known kind with another shape, its chain whole', () => {
    const sheet = answered(session);
    const bad: RecordEvent = { record: sheet.id, seq: sheet.events.length, kind: 'answer-given', version: 1, taken: 0, entered: 0, author: 's', command: 'c-bad', data: { question: 7 } };
    const events = rechained([...sheet.stored, { body: bodyOf(bad) }]);
    expect(findings({ ...fileOf(), worksheet: { id: sheet.id, head: events.at(-1)?.hash, events } })).toContain('malformed-event');
  });
  it('any text at all ends in an answer, never in an exception', () => {
    fc.assert(
      fc.property(fc.oneof(fc.string(), fc.json(), fc.json().map((json) => `{"format":"stagecall-worksheet/1","session":${json}}`)), (text) => {
        expect(readWorksheetFile(text).ok).toBe(false);
      }),
      { numRuns: 300 },
    );
  });
});

describe('limits of foreign JSON', () => {
  it('counts bytes as UTF-8 does', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'grapheme' }), (text) => {
        expect(utf8Length(text)).toBe(new TextEncoder().encode(text).length);
      }),
    );
  });
  it('does not count brackets inside strings', () => {
    expect(nestsDeeperThan('["[[[[\\"[[["]', 2)).toBe(false);
    expect(nestsDeeperThan('[[[]]]', 2)).toBe(true);
  });
});
