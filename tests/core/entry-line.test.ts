/** The entry line: what is heard lands where a recorder expects it, and is shown before Enter. */
import { describe, expect, it } from 'vitest';
import { readEntry } from '../../core/session/entry-line.ts';
import { at, SessionBuilder } from './session-builder.ts';

const start = at('20:00');
const running = (moment: string): { session: SessionBuilder; read: (text: string) => ReturnType<typeof readEntry> } => {
  const session = new SessionBuilder().exercising(start).clock(start + at(moment));
  return { session, read: (text) => readEntry(session.state, text, session.now) };
};
const slots = (entry: ReturnType<typeof readEntry>): unknown[] => entry.drafts.map((draft) => (draft.kind === 'reading-taken' ? [draft.data.slot.quantity, draft.data.typed, draft.data.slot.mark] : draft.kind));

describe('numbers as heard', () => {
  it('a bare number goes to the open call that it fits', () => {
    const { read } = running('2:50');
    expect(slots(read('147'))).toEqual([['heart-rate', '147', 'm3']]);
    expect(slots(read('13'))).toEqual([['rpe', '13', 'end']]);
  });

  it('a pair is a pressure, sounds to zero too', () => {
    const { read } = running('2:30');
    expect(slots(read('116/74'))).toEqual([['systolic', '116', 'end'], ['diastolic', '74', 'end']]);
    expect(read('116/74').says).toBe('systolic 116 mmHg, diastolic 74 mmHg, stage 1, taken 2:30');
    expect(read('180/0').state).toBe('ready');
  });

  it('several readings in one breath', () => {
    const { read } = running('2:55');
    expect(slots(read('147 132/76 r12'))).toEqual([['heart-rate', '147', 'm3'], ['systolic', '132', 'end'], ['diastolic', '76', 'end'], ['rpe', '12', 'end']]);
    expect(slots(read('hr 147 rpe 14'))).toEqual([['heart-rate', '147', 'm3'], ['rpe', '14', 'end']]);
  });

  it('gas by name, comma or point, in the unit that was said', () => {
    const { session, read } = running('3:00');
    session.add('stage-changed', { stage: 2 }).clock(start + at('3:20'));
    expect(slots(read('vo2 2,41'))).toEqual([['vo2', '2,41', 'end']]);
    expect(slots(readEntry(session.state, 'vo2 2.41 rer 1.04', session.now))).toEqual([['vo2', '2.41', 'end'], ['rer', '1.04', 'end']]);
    const relative = readEntry(session.state, 'vo2 34.2 ml/kg/min', session.now);
    expect(relative.drafts[0]).toMatchObject({ data: { unit: 'mL/kg/min', typed: '34.2' } });
  });

  it('an uptake without a unit is read in the one that the station prefers; a unit that is said counts', () => {
    const { session } = running('3:00');
    session.add('stage-changed', { stage: 2 }).clock(start + at('3:20'));
    const units = (line: string) => readEntry(session.state, line, session.now, { uptakeUnit: 'mL/kg/min' }).drafts.map((draft) => (draft.kind === 'reading-taken' ? draft.data.unit : ''));
    expect(units('vo2 38.2')).toEqual(['mL/kg/min']);
    expect(units('vo2 2.41 L/min')).toEqual(['L/min']);
  });
  it('goes to the cell that was clicked', () => {
    const { session } = running('2:50');
    const slot = { phase: 'exercise' as const, stage: 1, mark: 'm1', quantity: 'heart-rate' };
    expect(slots(readEntry(session.state, '101', session.now, { slot }))).toEqual([['heart-rate', '101', 'm1']]);
  });
});

describe('what is not right', () => {
  it('asks about the unusual and refuses the impossible with the range', () => {
    const { read } = running('2:50');
    expect(read('hr 212').ask).toContain('unusual');
    expect(read('hr 470')).toMatchObject({ state: 'refused', drafts: [] });
    expect(read('hr 470').says).toContain('25');
    expect(read('r21').state).toBe('refused');
    expect(read('116/114').state).toBe('refused');
  });

  it('waits while a number is being typed', () => {
    const { read } = running('2:30');
    for (const text of ['168/', '168/7', 'vo2', 'no', 'st']) expect(read(text).state).toBe('incomplete');
    expect(read('').state).toBe('empty');
  });

  it('says what it does not understand', () => {
    const { read } = running('2:30');
    expect(read('xyz 3')).toMatchObject({ state: 'refused' });
  });
});

describe('words', () => {
  it('stop, undo, notes, symptoms, rail and gait', () => {
    const { read } = running('2:30');
    expect(read('stop').command).toBe('stop');
    expect(read('undo').command).toBe('undo');
    expect(read('note cuff moved').drafts).toEqual([{ kind: 'note-added', data: { text: 'cuff moved' } }]);
    expect(read('symptom light-headed').drafts).toEqual([{ kind: 'symptom-noted', data: { text: 'light-headed' } }]);
    expect(read('rail on').drafts).toEqual([{ kind: 'handrail-held', data: { held: true } }]);
    expect(read('run').drafts).toEqual([{ kind: 'gait-seen', data: { gait: 'run' } }]);
  });

  it('not taken because', () => {
    const { read } = running('2:30');
    expect(read('- bp cuff slipped').drafts.map((draft) => draft.kind === 'reading-not-taken' && [draft.data.slot.quantity, draft.data.reason])).toEqual([['systolic', 'cuff slipped'], ['diastolic', 'cuff slipped']]);
    expect(read('no cuff slipped').says).toContain('cuff slipped');
  });

  it('the real setting of the machine, with or without units', () => {
    const { read } = running('2:30');
    expect(read('set 2.8 km/h 10 %').drafts).toEqual([{ kind: 'setting-recorded', data: { stage: 1, settings: { speed: { typed: '2.8', unit: 'km/h' }, grade: { typed: '10', unit: '%' } } } }]);
    expect(read('set 1.8 11').drafts).toEqual([{ kind: 'setting-recorded', data: { stage: 1, settings: { speed: { typed: '1.8', unit: '[mi_i]/h' }, grade: { typed: '11', unit: '%' } } } }]);
  });
});
