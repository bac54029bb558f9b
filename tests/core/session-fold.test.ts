/** The fold: readings in their places, amendments, two authors, late stages, stops, strikes. */
import * as fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { checkChain } from '../../core/record/chain.ts';
import { callsAt, slotStatus } from '../../core/session/calls.ts';
import { foldSession } from '../../core/session/fold.ts';
import { resolveSlot } from '../../core/session/place.ts';
import { sheetRows } from '../../core/session/rows.ts';
import { at, SessionBuilder } from './session-builder.ts';

const start = at('20:00');
const slotOf = (session: SessionBuilder, key: string) => {
  const slot = session.state.slots.get(key);
  if (!slot) throw new Error(`no slot ${key}; there are ${[...session.state.slots.keys()].join(' ')}`);
  return slot;
};

describe('readings in their places', () => {
  it('puts a pulse into the minute that it was counted for, and a cuff reading into its stage', () => {
    const session = new SessionBuilder().exercising(start);
    session.reading('heart-rate', '98', start + at('1:02'));
    session.reading('systolic', '132', start + at('2:31')).reading('diastolic', '76', start + at('2:31'));
    expect(slotOf(session, 'exercise/s1/m1/heart-rate').current?.value).toBe(98);
    expect(slotOf(session, 'exercise/s1/end/systolic').current?.value).toBe(132);
  });

  it('takes gas for the stage that is over, not for the one that runs', () => {
    const session = new SessionBuilder().exercising(start);
    session.clock(start + at('3:02')).add('stage-changed', { stage: 2 });
    session.reading('vo2', '0,98', start + at('3:31'));
    const slot = slotOf(session, 'exercise/s1/end/vo2');
    expect(slot.current?.value).toBeCloseTo(0.98, 12);
    expect(slotStatus(slot, session.now)).toBe('taken');
  });

  it('calls gas late only after 0:45 of the next stage', () => {
    const session = new SessionBuilder().exercising(start);
    session.clock(start + at('3:00')).add('stage-changed', { stage: 2 });
    session.reading('vo2', '1.00', start + at('3:45'));
    expect(slotStatus(slotOf(session, 'exercise/s1/end/vo2'), session.now)).toBe('taken');
    session.reading('rer', '0.83', start + at('3:46'));
    expect(slotStatus(slotOf(session, 'exercise/s1/end/rer'), session.now)).toBe('taken-late');
  });

  it('keeps a reading that nobody asked for, outside the schedule', () => {
    const session = new SessionBuilder().exercising(start);
    session.reading('rpe', '9', start + at('0:30'));
    expect(slotOf(session, 'exercise/s1/@0:30/rpe').scheduled).toBeUndefined();
  });
});

describe('amending and striking', () => {
  it('lets one author amend, keeping the first value visible', () => {
    const session = new SessionBuilder().exercising(start).reading('heart-rate', '172', start + at('1:00')).reading('heart-rate', '127', start + at('1:08'));
    const slot = slotOf(session, 'exercise/s1/m1/heart-rate');
    expect(slot.readings.map((reading) => [reading.typed, reading.amendedBy !== undefined])).toEqual([['172', true], ['127', false]]);
    expect(slot.current?.value).toBe(127);
    expect(slot.differ).toBe(false);
  });

  it('lets two authors both stand, says that they differ, and counts the recorder', () => {
    const session = new SessionBuilder().exercising(start).reading('heart-rate', '131', start + at('1:00'), { author: 'MO' }).reading('heart-rate', '137', start + at('1:05'));
    const slot = slotOf(session, 'exercise/s1/m1/heart-rate');
    expect(slot.differ).toBe(true);
    expect(slot.current?.author).toBe('TN');
  });

  it('gives the floor back to the earlier value when an amendment is struck', () => {
    const session = new SessionBuilder().exercising(start).reading('heart-rate', '127', start + at('1:00')).reading('heart-rate', '172', start + at('1:05'));
    session.add('event-struck', { target: session.events.length - 1, reason: 'misheard' });
    const slot = slotOf(session, 'exercise/s1/m1/heart-rate');
    expect(slot.current?.value).toBe(127);
    expect(slot.readings).toHaveLength(2);
  });

  it('marks a reading as not taken with its reason, until it is taken after all', () => {
    const session = new SessionBuilder().exercising(start).clock(start + at('2:50'));
    const slot = resolveSlot(session.state, 'systolic', start + at('2:50'));
    session.add('reading-not-taken', { slot, reason: 'cuff slipped' });
    expect(slotOf(session, 'exercise/s1/end/systolic').notTaken?.reason).toBe('cuff slipped');
    session.reading('systolic', '134', start + at('2:58'));
    expect(slotOf(session, 'exercise/s1/end/systolic').notTaken).toBeUndefined();
  });
});

describe('stages', () => {
  it('keeps later stages on plan after a late change, and says how late it was', () => {
    const session = new SessionBuilder().exercising(start);
    session.clock(start + at('3:25')).add('stage-changed', { stage: 2 });
    const [, second] = session.state.stages;
    expect(second?.lateBy).toBe(25_000);
    expect(second?.ends).toBe(start + at('6:00'));
    // The change at 6:00 is still the next thing to set.
    expect(callsAt(session.state, start + at('5:40')).find((call) => call.kind === 'set')?.due).toBe(start + at('6:00'));
  });

  it('records a setting that is not the planned one, with its own unit', () => {
    const session = new SessionBuilder().exercising(start);
    session.clock(start + at('3:00')).add('stage-changed', { stage: 2, settings: { speed: { typed: '4,2', unit: 'km/h' } } });
    const [, second] = session.state.stages;
    expect(second?.differsFromPlan).toBe(true);
    expect(second?.actual.speed?.value).toBeCloseTo(4.2, 12);
    expect(second?.actual.grade?.value).toBe(12);
  });

  it('does not finish a stage that is stopped in the middle, and lets readings fall due at the stop', () => {
    const session = new SessionBuilder().exercising(start);
    session.clock(start + at('3:00')).add('stage-changed', { stage: 2 });
    session.clock(start + at('4:20')).add('test-stopped', {});
    expect(session.state.stages.map((stage) => stage.completed)).toEqual([true, false]);
    session.reading('heart-rate', '181', start + at('4:24'));
    expect(slotOf(session, 'exercise/s2/stop/heart-rate').current?.value).toBe(181);
    expect(session.state.slots.has('exercise/s2/m3/heart-rate')).toBe(false);
  });

  it('strikes a false start and keeps Rest', () => {
    const session = new SessionBuilder().exercising(start).reading('heart-rate', '120', start + at('1:00'));
    session.add('exercise-struck', { reason: 'belt was still at zero' });
    expect(session.state.phase).toBe('rest');
    expect([...session.state.slots.keys()].filter((key) => key.startsWith('exercise/'))).toEqual([]);
    expect(slotOf(session, 'rest/rest/heart-rate').current?.value).toBe(74);
    session.clock(start + at('5:00')).add('exercise-started', {});
    expect(session.state.stages[0]?.changed).toBe(start + at('5:00'));
  });

  it('takes a stop back within ten seconds and not later', () => {
    const session = new SessionBuilder().exercising(start).clock(start + at('2:00')).add('test-stopped', {});
    session.clock(start + at('2:10')).add('stop-taken-back', {});
    expect(session.state.phase).toBe('exercise');
    session.clock(start + at('2:20')).add('test-stopped', {});
    expect(session.clock(start + at('2:31')).try('stop-taken-back', {}).ok).toBe(false);
  });
});

describe('what may not be written', () => {
  it('holds the start and names what is missing', () => {
    const session = new SessionBuilder().clock(at('10:00')).add('rest-started', {});
    const decided = session.try('exercise-started', {});
    expect(decided).toMatchObject({ ok: false, error: { code: 'held' } });
    if (!decided.ok) expect(decided.error.message).toContain('Consent noted');
  });

  it('never lets anyone set screening or consent aside', () => {
    const session = new SessionBuilder();
    for (const hold of ['screening', 'consent']) expect(session.try('hold-overridden', { hold, initials: 'KL', reason: 'in a hurry' })).toMatchObject({ ok: false, error: { code: 'never' } });
  });

  it('refuses the impossible with the range, and takes the unusual', () => {
    const session = new SessionBuilder().exercising(start).clock(start + at('1:00'));
    const slot = resolveSlot(session.state, 'heart-rate', session.now);
    const refused = session.try('reading-taken', { slot, typed: '470', unit: '/min' });
    expect(refused).toMatchObject({ ok: false, error: { code: 'implausible' } });
    if (!refused.ok) expect(refused.error.message).toContain('25');
    expect(session.try('reading-taken', { slot, typed: '215', unit: '/min', confirmed: true }).ok).toBe(true);
  });

  it('does not let a session be closed before its criteria are met, without initials and a reason', () => {
    const session = new SessionBuilder().exercising(start).clock(start + at('3:00')).add('test-stopped', {}).clock(start + at('5:00'));
    expect(session.try('session-closed', { outcome: 'left' })).toMatchObject({ ok: false, error: { code: 'not-yet' } });
    expect(session.try('session-closed', { outcome: 'left', early: { initials: 'KL', reason: 'to the first-aid room' } }).ok).toBe(true);
    expect(session.try('note-added', { text: 'after closing' })).toMatchObject({ ok: false, error: { code: 'read-only' } });
  });
});

describe('rows', () => {
  it('shows a band a stage and a row a minute, gas and pressure in the last row of the stage', () => {
    const session = new SessionBuilder().exercising(start).reading('heart-rate', '98', start + at('1:00')).reading('systolic', '132', start + at('2:31')).reading('diastolic', '76', start + at('2:31'));
    session.clock(start + at('3:02')).add('stage-changed', { stage: 2 }).reading('vo2', '0.98', start + at('3:20'));
    const rows = sheetRows(session.state, session.now);
    expect(rows.map((row) => `${row.kind} ${row.label}`)).toEqual(['row Rest', 'band Stage 1', 'row 1:00', 'row 2:00', 'row 3:00', 'band Stage 2', 'row 4:00', 'row 5:00', 'row 6:00']);
    const third = rows[4];
    expect(third?.cells.find((cell) => cell.column === 'pressure')).toMatchObject({ text: '132/76', takenAt: '2:31' });
    expect(third?.cells.find((cell) => cell.column === 'vo2')?.text).toBe('0.98');
  });
});

describe('laws', () => {
  const pulses = fc.array(fc.record({ minute: fc.integer({ min: 1, max: 9 }), value: fc.integer({ min: 60, max: 200 }), author: fc.constantFrom('TN', 'MO') }), { maxLength: 40 });

  it('one author never has two standing values for one slot, and nothing entered is lost', () => {
    fc.assert(
      fc.property(pulses, (entries) => {
        const session = new SessionBuilder().exercising(start);
        for (const stage of [2, 3]) session.clock(start + (stage - 1) * at('3:00')).add('stage-changed', { stage });
        session.clock(start + at('9:00'));
        for (const entry of entries) session.reading('heart-rate', String(entry.value), start + entry.minute * 60_000, { author: entry.author, slot: { phase: 'exercise', stage: Math.ceil(entry.minute / 3), mark: `m${((entry.minute - 1) % 3) + 1}`, quantity: 'heart-rate' } });
        let seen = 0;
        for (const slot of session.state.slots.values()) {
          if (slot.slot.phase !== 'exercise') continue;
          seen += slot.readings.length;
          const standing = slot.readings.filter((reading) => !reading.struck && reading.amendedBy === undefined);
          expect(new Set(standing.map((reading) => reading.author)).size).toBe(standing.length);
        }
        expect(seen).toBe(entries.length);
      }),
      { numRuns: 40 },
    );
  });

  it('folding is the same whole or in parts, and the chain holds', () => {
    const session = new SessionBuilder().exercising(start).reading('heart-rate', '98', start + at('1:00'));
    session.clock(start + at('3:00')).add('stage-changed', { stage: 2 }).clock(start + at('4:00')).add('test-stopped', {});
    const whole = foldSession(session.events);
    expect({ ...whole, slots: [...whole.slots] }).toEqual({ ...session.state, slots: [...session.state.slots] });
    expect(checkChain(session.stored)).toMatchObject({ ok: true });
  });

  it('any changed byte of any event breaks the chain', () => {
    const { stored } = new SessionBuilder().exercising(start);
    fc.assert(
      fc.property(fc.nat(stored.length - 1), fc.nat(), (which, where) => {
        const body = stored[which]?.body ?? '';
        const place = where % body.length;
        const changed = stored.map((event, index) => (index === which ? { ...event, body: body.slice(0, place) + (body[place] === 'x' ? 'y' : 'x') + body.slice(place + 1) } : event));
        expect(checkChain(changed).ok).toBe(false);
      }),
      { numRuns: 60 },
    );
  });
});
