import { describe, expect, it } from 'vitest';
import { debrief } from '../../core/rehearsal/debrief.ts';
import { rehearsalParticipants } from '../../core/rehearsal/participant.ts';
import { RehearsalRun } from './rehearsal-run.ts';
import { at, SessionBuilder } from './session-builder.ts';

/** A live session in which exercise began at session time 10:00. */
function exercising(): SessionBuilder {
  const builder = new SessionBuilder().prepared();
  builder.clock(at('5:00')).add('rest-started', {});
  for (const [quantity, typed] of [['heart-rate', '70'], ['systolic', '118'], ['diastolic', '74'], ['rpe', '6']] as const) builder.reading(quantity, typed, at('6:00'));
  return builder.clock(at('10:00')).add('exercise-started', {});
}

describe('what is told at the end', () => {
  it('says that nothing is due yet before anything is', () => {
    expect(debrief(new SessionBuilder().state)).toMatchObject({ asked: 0, items: [], summary: 'No reading has been due yet.' });
  });

  it('names a late reading with its seconds, a refused cuff with its reason, an empty place, and a late and other stage', () => {
    const builder = exercising();
    builder.reading('heart-rate', '104', at('11:00'));
    builder.reading('heart-rate', '112', at('12:22'), { slot: { phase: 'exercise', stage: 1, mark: 'm2', quantity: 'heart-rate' } });
    for (const quantity of ['systolic', 'diastolic']) builder.add('reading-not-taken', { slot: { phase: 'exercise', stage: 1, mark: 'end', quantity }, reason: 'cuff slipped' });
    builder.clock(at('13:12')).add('stage-changed', { stage: 2, settings: { speed: { typed: '2.6', unit: '[mi_i]/h' } } });
    builder.clock(at('13:40')).add('handrail-held', { held: true });
    builder.reading('heart-rate', '130', at('16:00'), { slot: { phase: 'exercise', stage: 2, mark: 'm3', quantity: 'heart-rate' } });
    const told = debrief(builder.state);
    const texts = told.items.map(({ text }) => text);
    expect(texts).toContain('Heart rate, stage 1, minute 2: taken 22 s after it was due.');
    expect(texts).toContain('Blood pressure, end of stage 1: not taken, "cuff slipped".');
    expect(texts).toContain('Heart rate, stage 1, minute 3: nothing was written down.');
    expect(texts).toContain('RPE, end of stage 1: nothing was written down.');
    expect(texts).toContain('Stage 2: set at 3:12, 12 s after its time.');
    expect(texts).toContain('Stage 2: speed 2.6 mph, planned 2.5 mph. The predicted value follows what was really set.');
    expect(texts.some((text) => text.startsWith('Stage 2: a hand held the rail'))).toBe(true);
    // What is still open is not held against anyone: the pressure of stage 2 may be written until 1:00 after its end.
    expect(texts.some((text) => text.includes('end of stage 2') && text.startsWith('Blood pressure'))).toBe(false);
    expect(told.items.map((item) => item.at)).toEqual(told.items.map((item) => item.at).toSorted((a, b) => a - b));
    expect(told.onTime + told.late + told.notTaken + told.missed).toBe(told.asked);
    expect(told.late).toBe(1);
    expect(told.notTaken).toBe(2);
    expect(told.stages).toEqual({ set: 2, late: 1, otherwise: 1 });
  });

  it('tells of two people who differ', () => {
    const builder = exercising();
    const slot = { phase: 'exercise' as const, stage: 1, mark: 'm1', quantity: 'heart-rate' };
    builder.reading('heart-rate', '104', at('11:00'), { slot, author: 'TN' }).reading('heart-rate', '108', at('11:02'), { slot, author: 'MO' });
    expect(debrief(builder.state).items.map(({ text }) => text)).toContain('Heart rate, stage 1, minute 1: two people wrote different values; both stand.');
  });

  it.each(rehearsalParticipants)('adds up for a rehearsal with $code, and counts every late place of the record', ({ code }) => {
    const { state } = new RehearsalRun(code, 21).run(5_000);
    const told = debrief(state);
    expect(told.onTime + told.late + told.notTaken + told.missed).toBe(told.asked);
    expect(told.missed).toBe(0);
    const late = [...state.slots.values()].filter((slot) => slot.scheduled && !slot.scheduled.optional && slot.current && slot.current.taken > slot.scheduled.late);
    expect(told.late).toBe(late.length);
    expect(told.items.filter(({ kind }) => kind === 'taken-late').flatMap(({ slots }) => slots).toSorted()).toEqual(late.map(({ key }) => key).toSorted());
    for (const { text } of told.items) expect(text).toMatch(/\.$/);
    // Kind: no word that blames.
    for (const text of [told.summary, ...told.items.map((item) => item.text)]) expect(text).not.toMatch(/wrong|fail|fault|forgot|careless|bad/i);
  });
});
