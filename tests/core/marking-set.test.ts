/** Laws of a marking set: the order in which facts come does not matter, nothing that differs is lost, everything can be taken back. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { decideSetFact, type SetContext } from '../../core/marking-set/decide.ts';
import type { SetDraft } from '../../core/marking-set/events.ts';
import { foldSet, keyHashOf } from '../../core/marking-set/fold.ts';
import { markRecord, type MarkedRecord } from '../../core/marking-set/marked-record.ts';
import { fileIdOf, makeFact, mergeFacts, readFacts, type StoredFact } from '../../core/marking-set/set-chain.ts';
import type { SetView } from '../../core/marking-set/view-types.ts';
import { viewOf } from '../../core/marking-set/view.ts';
import { CHAIN_START } from '../../core/record/chain.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { bruceText } from './session-builder.ts';
import { answered, wholeSession } from './worksheet-builder.ts';

const loaded = loadSheet(bruceText, 'bruce');
if (!loaded.ok) throw new Error('the sheet is refused');
const { sheet } = loaded;
const session = wholeSession();
const text = worksheetFileText(buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: answered(session).answer('discussion', 'It rose.').handIn().stored }, version: '0.1.0' }));
const read = readWorksheetFile(text);
if (!read.ok) throw new Error('the worksheet is refused');
const marked: MarkedRecord = markRecord(read.value, sheet);
const RECORD = 'a'.repeat(64);
const FILE = fileIdOf(RECORD, '', 's-2204.json');
const { worksheet } = marked.about;
const context: SetContext = { outOf: (_id, question) => sheet.questions.find(({ id }) => id === question)?.marks, itemOutOf: () => 5, level: () => 6 };

/** One marker's copy of a set, written as a desk writes it. */
class Copy {
  facts: readonly StoredFact[];
  readonly marker: string;
  readonly #clock: { now: number };
  constructor(marker: string, facts: readonly StoredFact[], clock: { now: number }) {
    this.marker = marker;
    this.facts = facts;
    this.#clock = clock;
  }
  write(kind: string, data: unknown): string {
    this.#clock.now += 1;
    const fact = makeFact(this.facts.at(-1)?.hash ?? CHAIN_START, { record: 'set-under-test', seq: this.facts.length, kind, version: 1, taken: this.#clock.now, entered: this.#clock.now, author: this.marker, command: `command-${this.#clock.now}`, data });
    this.facts = [...this.facts, fact];
    return fact.hash;
  }
  say(draft: SetDraft): string {
    const decided = decideSetFact(foldSet(this.facts), draft, context);
    if (!decided.ok) throw new Error(decided.error.message);
    return this.write(decided.value.kind, decided.value.data);
  }
  take(other: Copy): void {
    this.facts = mergeFacts(this.facts, other.facts);
  }
}
function opened(clock = { now: Date.parse('2026-03-09T09:00:00Z') }): Copy {
  const copy = new Copy('KL', [], clock);
  copy.write('set-opened', { title: 'Set', term: '', sheet: sheet.id });
  copy.say({ kind: 'key-adopted', data: { sheet: bruceText } });
  copy.write('file-added', { file: FILE, name: 's-2204.json', folder: '', bytes: RECORD, size: text.length, record: RECORD, findings: [] });
  return copy;
}
const view = (facts: readonly StoredFact[]): SetView => viewOf(foldSet(facts), { sheet, markedOf: (record) => (record === RECORD ? marked : undefined) });
/** What people see of a set, without the number of facts behind it. */
const seen = (facts: readonly StoredFact[]): unknown => {
  const { length: _length, ...rest } = view(facts);
  return rest;
};
const cell = (facts: readonly StoredFact[], question: string) => view(facts).files[0]?.cells?.find(({ id }) => id === question);
const moderate = (marks: number, question = 'hr-max', row?: string): SetDraft => ({ kind: 'mark-moderated', data: { worksheet, question, marks, comment: `worth ${marks}`, ...(row === undefined ? {} : { row }) } });

const draft: fc.Arbitrary<SetDraft> = fc.oneof(
  fc.tuple(fc.constantFrom('hr-max', 'vo2-peak', 'stage-vo2'), fc.constantFrom(0, 1, 2, 3)).map(([question, marks]) => moderate(marks, question)),
  fc.constantFrom(0, 1, 2).map((marks) => moderate(marks, 'stage-vo2', 'stage-2')),
  fc.constantFrom(2, 6).map((marks): SetDraft => ({ kind: 'written-marked', data: { worksheet, question: 'discussion', level: marks === 6 ? 1 : 3, marks } })),
  fc.constantFrom('2026-03-01T09:00:00Z', '2026-03-05T09:00:00Z').map((due): SetDraft => ({ kind: 'due-set', data: { due } })),
  fc.constantFrom('first', 'last', 'best').map((rule): SetDraft => ({ kind: 'several-rule-set', data: { rule: rule as 'first' } })),
  fc.constantFrom(5, 10).map((percent): SetDraft => ({ kind: 'late-rule-set', data: { rule: { kind: 'per-day', percent } } })),
  fc.constantFrom('S-1', 'S-2').map((student): SetDraft => ({ kind: 'student-corrected', data: { file: FILE, student, reason: 'as on the page' } })),
  fc.constantFrom('S-1', 'S-9').map((student): SetDraft => ({ kind: 'roster-loaded', data: { students: [{ student }, { student: 's-2204' }] } })),
);
/** What several markers do: state something, take something of their own copy back, or put a copy into theirs. */
const step = fc.oneof(
  { weight: 5, arbitrary: fc.record({ by: fc.nat(2), say: draft }) },
  { weight: 1, arbitrary: fc.record({ by: fc.nat(2), withdraw: fc.nat(30) }) },
  { weight: 1, arbitrary: fc.record({ by: fc.nat(2), from: fc.nat(2) }) },
);
function played(steps: readonly (typeof step extends fc.Arbitrary<infer Step> ? Step : never)[]): readonly Copy[] {
  const clock = { now: Date.parse('2026-03-09T09:00:00Z') };
  const first = opened(clock);
  const copies = [first, new Copy('MO', first.facts, clock), new Copy('TN', first.facts, clock)];
  for (const one of steps) {
    const copy = copies[one.by]!;
    if ('say' in one) copy.say(one.say);
    else if ('from' in one) copy.take(copies[one.from]!);
    else {
      const state = foldSet(copy.facts);
      const target = state.facts.filter(({ id, event }) => !['set-opened', 'file-added', 'key-adopted'].includes(event.kind) && !state.registers.withdrawn(id));
      const chosen = target[one.withdraw % Math.max(1, target.length)];
      if (chosen !== undefined) copy.say({ kind: 'withdrawn', data: { target: chosen.id, reason: 'a slip' } });
    }
  }
  return copies;
}

describe('merging', () => {
  it('is order-free: any interleaving of the markers’ facts folds to the same set', () => {
    fc.assert(
      fc.property(fc.array(step, { minLength: 1, maxLength: 14 }), fc.infiniteStream(fc.nat()), (steps, random) => {
        const [a, b, c] = played(steps) as [Copy, Copy, Copy];
        const all = mergeFacts(mergeFacts(a.facts, b.facts), c.facts);
        const expected = seen(all);
        expect(seen(mergeFacts(c.facts, mergeFacts(b.facts, a.facts)))).toEqual(expected);
        expect(seen(mergeFacts(b.facts, mergeFacts(all, b.facts)))).toEqual(expected);
        const keyed = all.map((fact) => [random.next().value as number, fact] as const).sort((x, y) => x[0] - y[0]);
        expect(seen(keyed.map(([, fact]) => fact))).toEqual(expected);
      }),
      { numRuns: 60 },
    );
  });
  it('loses nothing: two markers on one mark are both shown, until somebody who saw both settles it', () => {
    const a = opened();
    const b = new Copy('MO', a.facts, { now: Date.parse('2026-03-10T09:00:00Z') });
    a.say(moderate(1));
    b.say(moderate(2));
    a.take(b);
    expect(cell(a.facts, 'hr-max')).toMatchObject({ marks: 2, marker: 'MO', conflict: true });
    expect(view(a.facts).conflicts).toMatchObject([{ about: 'Question "hr-max" of s-2204', file: FILE, question: 'hr-max', values: [{ by: 'MO', says: 'hr-max: 2 marks' }, { by: 'KL', says: 'hr-max: 1 mark' }] }]);
    a.say(moderate(1.5));
    expect(cell(a.facts, 'hr-max')).toMatchObject({ marks: 1.5, marker: 'KL', conflict: false });
    expect(view(a.facts).conflicts).toEqual([]);
  });
  it('a row and the whole question by two markers conflict; two rows do not; the same mark by both is no conflict', () => {
    const a = opened();
    const b = new Copy('MO', a.facts, { now: Date.parse('2026-03-10T09:00:00Z') });
    a.say(moderate(1, 'stage-vo2', 'stage-1'));
    b.say(moderate(2, 'stage-vo2', 'stage-2'));
    b.say(moderate(2));
    a.say(moderate(2));
    a.take(b);
    expect(view(a.facts).conflicts).toEqual([]);
    const c = new Copy('TN', opened().facts.length === 0 ? [] : a.facts.slice(0, 3), { now: Date.parse('2026-03-11T09:00:00Z') });
    c.say(moderate(5, 'stage-vo2'));
    a.take(c);
    expect(view(a.facts).conflicts).toMatchObject([{ question: 'stage-vo2', values: [{ by: 'TN' }, { by: 'MO' }, { by: 'KL' }] }]);
    expect(cell(a.facts, 'stage-vo2')).toMatchObject({ marks: 5, marker: 'TN', conflict: true });
  });
  it('the same file added by two markers is one file, and a fact that was changed is left out and named', () => {
    const a = opened();
    const b = new Copy('MO', a.facts.slice(0, 2), { now: Date.parse('2026-03-08T09:00:00Z') });
    b.write('file-added', { file: FILE, name: 's-2204.json', folder: '', bytes: RECORD, size: text.length, record: RECORD, findings: [] });
    a.take(b);
    expect(view(a.facts).files).toHaveLength(1);
    const changed = a.facts.map((fact, at) => (at === 1 ? fact : { ...fact, body: at === 2 ? fact.body.replace('s-2204.json', 's-9999.json') : fact.body }));
    expect(readFacts(changed).problems).toEqual(expect.arrayContaining([expect.stringContaining('changed after it was written')]));
  });
});

describe('moderation', () => {
  it('is reversible: whatever was stated and taken back leaves the set as it was', () => {
    fc.assert(
      fc.property(fc.array(draft, { maxLength: 6 }), draft, (before, one) => {
        const copy = opened();
        for (const earlier of before) copy.say(earlier);
        const was = seen(copy.facts);
        const stated = copy.say(one);
        const then = seen(copy.facts);
        const back = copy.say({ kind: 'withdrawn', data: { target: stated, reason: 'a slip' } });
        expect(seen(copy.facts)).toEqual(was);
        copy.say({ kind: 'withdrawn', data: { target: back, reason: 'it was right' } });
        expect(seen(copy.facts)).toEqual(then);
      }),
      { numRuns: 80 },
    );
  });
  it('taking back what replaced a mark brings that mark back; in the middle of a line it changes nothing', () => {
    const copy = opened();
    copy.say(moderate(1));
    const second = copy.say(moderate(2));
    const third = copy.say(moderate(2.5));
    copy.say({ kind: 'withdrawn', data: { target: second, reason: 'not needed' } });
    expect(cell(copy.facts, 'hr-max')).toMatchObject({ marks: 2.5, conflict: false });
    copy.say({ kind: 'withdrawn', data: { target: third, reason: 'not needed' } });
    expect(cell(copy.facts, 'hr-max')).toMatchObject({ marks: 1, marker: 'KL' });
  });
  it('names key version and marker, keeps the unit mark off where only a row was changed, and refuses more than it is worth', () => {
    const copy = opened();
    expect(cell(copy.facts, 'hr-max')).toMatchObject({ marker: 'program', key: `v1 (${keyHashOf(bruceText, undefined).slice(0, 4)})` });
    copy.say(moderate(0, 'stage-vo2', 'stage-2'));
    // Eight marks over three rows, one of them now nothing: 5.33.
    expect(cell(copy.facts, 'stage-vo2')).toMatchObject({ marks: 5.33, marker: 'KL', byHand: true });
    expect(() => copy.say(moderate(3.5))).toThrow('more than the 3 marks');
    expect(() => copy.say({ kind: 'mark-moderated', data: { worksheet, question: 'hr-max', marks: 1, comment: '' } })).toThrow('comment');
  });
});
