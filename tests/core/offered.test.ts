import { describe, expect, it } from 'vitest';
import { strapOfRehearsal } from '../../core/rehearsal/strap.ts';
import { callsAt } from '../../core/session/calls.ts';
import { pointedOffered, strapOffered } from '../../core/session/offered.ts';
import { rpeWording } from '../../core/profile/scale.ts';
import { usableRate, type StrapSample } from '../../core/strap/window.ts';
import { wallView } from '../../renderer/wall/wall-view.ts';
import { RehearsalRun } from './rehearsal-run.ts';
import { at, SessionBuilder } from './session-builder.ts';

/** A live session in which exercise began at session time 10:00; the sheet asks for heart rate at every full minute, from 15 s before to 10 s after. */
function exercising(): SessionBuilder {
  const builder = new SessionBuilder().prepared();
  builder.clock(at('5:00')).add('rest-started', {});
  for (const [quantity, typed] of [['heart-rate', '70'], ['systolic', '118'], ['diastolic', '74'], ['rpe', '6']] as const) builder.reading(quantity, typed, at('6:00'));
  return builder.clock(at('10:00')).add('exercise-started', {});
}
/** A packet a second, each with its own rate. */
const packets = (from: string, to: string, rate: (second: number) => number): StrapSample[] => {
  const samples: StrapSample[] = [];
  for (let moment = at(from); moment <= at(to); moment += 1_000) samples.push({ at: moment, packet: { heartRate: rate(moment / 1_000 - 600), contact: 'good', intervals: [] } });
  return samples;
};

describe('what the strap offers', () => {
  it('is the median from the opening of the call to its due moment, and describes that moment however late it is accepted', () => {
    const { state } = exercising();
    // 100 until 0:44; then 101, 102 … 116 at 1:00; then 180.
    const samples = packets('10:00', '11:30', (second) => (second < 45 ? 100 : second <= 60 ? 56 + second : 180));
    const offered = strapOffered(state, callsAt(state, at('11:20')), samples, at('11:20'));
    // The sixteen packets of 0:45 to 1:00: 101 to 116, whose median is 108.5, rounded up.
    expect(offered?.draft).toEqual({ kind: 'reading-taken', taken: at('11:00'), data: { slot: { phase: 'exercise', stage: 1, mark: 'm1', quantity: 'heart-rate' }, typed: '109', unit: '/min', source: 'strap', note: 'strap: median of 16 packets, 0:45 to 1:00' } });
    const builder = exercising().clock(at('11:20'));
    builder.add('reading-taken', offered!.draft.data, 'TN', offered!.draft.taken);
    expect(builder.state.slots.get('exercise/s1/m1/heart-rate')?.current).toMatchObject({ value: 109, source: 'strap', taken: at('11:00'), entered: at('11:20') });
  });

  it('is nothing while no heart rate is called for, and nothing of a strap that was lost in the window', () => {
    const { state } = exercising();
    const samples = packets('10:00', '10:40', () => 100);
    expect(strapOffered(state, callsAt(state, at('10:30')), samples, at('10:30'))).toBeUndefined();
    expect(strapOffered(state, callsAt(state, at('11:00')), samples, at('11:00'))).toBeUndefined();
  });

  it('asks about an unusual rate as about a typed one', () => {
    const { state } = exercising();
    // Over 208 − 0.7 · 22 + 15 = 207.6.
    const offered = strapOffered(state, callsAt(state, at('11:00')), packets('10:40', '11:00', () => 215), at('11:00'));
    expect(offered?.ask).toContain('unusual');
    expect(offered?.draft.data.confirmed).toBe(true);
  });
});

describe('what is pointed at', () => {
  it('is offered for an RPE that is called for, and for nothing else', () => {
    const builder = exercising();
    expect(pointedOffered(callsAt(builder.state, at('10:30')), 14)).toBeUndefined();
    builder.clock(at('12:00')).add('test-stopped', {});
    const { state } = builder;
    expect(pointedOffered(callsAt(state, at('12:05')), 14)?.draft.data).toMatchObject({ slot: { phase: 'exercise', stage: 1, mark: 'stop', quantity: 'rpe' }, typed: '14' });
  });
});

describe('the strap of a rehearsal', () => {
  it('sends a packet a second near the pulse that is written down, and drops out where the participant’s strap does', () => {
    const { state } = new RehearsalRun('R-03', 11).run(5_000, ({ phase }) => phase === 'recovery');
    const stop = state.stop?.taken ?? 0;
    const sent = strapOfRehearsal(state, stop, stop - (state.starts.exercise ?? 0));
    const of = (stage: number) => sent.filter((sample) => sample.at >= state.stages[stage - 1]!.changed && sample.at < (state.stages[stage]?.changed ?? stop));
    expect(of(1).length).toBeGreaterThanOrEqual(175);
    expect(of(1).every(({ packet }) => usableRate(packet) !== undefined)).toBe(true);
    // Stage 2: contact lost after 20 s, silent from 40 s on.
    expect(of(2).filter(({ packet }) => packet.contact === 'lost')).toHaveLength(20);
    expect(of(2).at(-1)!.at - state.stages[1]!.changed).toBeLessThan(40_000);
    expect(of(3).length).toBeGreaterThanOrEqual(100);
    const written = state.slots.get('exercise/s3/m1/heart-rate')?.current;
    const near = sent.filter((sample) => Math.abs(sample.at - (written?.taken ?? 0)) <= 5_000).map(({ packet }) => packet.heartRate);
    // Noise of a reading is 1.3 spreads of about 2 /min in this participant.
    expect(Math.abs(near.reduce((sum, rate) => sum + rate, 0) / near.length - (written?.value ?? 0))).toBeLessThan(8);
  });

  it('is there only in a rehearsal', () => {
    expect(strapOfRehearsal(exercising().state, at('11:00'), 60_000)).toEqual([]);
  });
});

describe('the second window', () => {
  it('follows the phases with clock, target and what comes next', () => {
    const builder = new SessionBuilder().prepared();
    expect(wallView(builder.state, at('4:00'), '[mi_i]/h')).toMatchObject({ phase: 'Prepare', points: false });
    const { state } = exercising();
    expect(wallView(state, at('10:30'), '[mi_i]/h')).toMatchObject({ phase: 'Exercise', clock: '0:30', head: 'Stage 1 of 10', target: [{ number: '1.7', unit: 'mph' }, { number: '10', unit: '%' }], next: { words: '2.5 mph, 12 %', count: '2:30', soon: false, due: false } });
    expect(wallView(state, at('12:31'), 'km/h').next).toMatchObject({ soon: true, due: false });
    expect(wallView(state, at('13:00'), 'km/h').next).toMatchObject({ due: true });
  });

  it('says nothing of a symptom, of a reading or of the person', () => {
    const builder = exercising();
    builder.reading('heart-rate', '171', at('11:00'));
    builder.clock(at('12:00')).add('symptom-noted', { text: 'chest pain' }).add('test-stopped', {}).add('stop-reason-given', { reason: 'Chest pain', symptom: true });
    const view = wallView(builder.state, at('12:10'), 'km/h');
    expect(view).toMatchObject({ phase: 'Recovery', clock: '0:10', points: true });
    expect(JSON.stringify(view)).not.toMatch(/171|pain|symptom|lying|legs|R-07/i);
  });

  it('has words beside its numbers only where the lab typed them in', () => {
    expect(rpeWording(undefined)).toBeUndefined();
  });
});
