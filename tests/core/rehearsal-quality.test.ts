/** What makes a rehearsal worth teaching with: fitness and age, drift, noise, a nervous start, and an end in which the student hears what was late or missed. */
import { describe, expect, it } from 'vitest';
import { debrief } from '../../core/rehearsal/debrief.ts';
import { heardAt } from '../../core/rehearsal/heard.ts';
import { measure } from '../../core/rehearsal/measure.ts';
import { participantByCode, rehearsalParticipants, type Participant } from '../../core/rehearsal/participant.ts';
import { bodyOf } from '../../core/rehearsal/physiology.ts';
import { readEntry } from '../../core/session/entry-line.ts';
import { RehearsalRun } from './rehearsal-run.ts';

const MINUTE = 60_000;
const person = (code: string): Participant => {
  const found = participantByCode(code);
  if (!found) throw new Error(`no ${code}`);
  return found;
};
/** The same work for as long as it takes, mL/kg/min. */
const steady = (participant: Participant, demand: number) =>
  bodyOf(participant, 1, { segments: [{ at: -Infinity, phase: 'rest', demand: 3.5, rise: 0, posture: 'standing' }, { at: 0, phase: 'exercise', demand, rise: 0, posture: 'walking' }], exercise: 0 });

describe('the simulated participants', () => {
  it('differ in fitness: the fitter goes further, with a lower heart rate at the same work', () => {
    const length = (code: string): number => {
      const { state } = new RehearsalRun(code, 5).run(5_000, ({ phase }) => phase === 'recovery');
      return (state.stop?.taken ?? 0) - (state.starts.exercise ?? 0);
    };
    expect(length('R-02')).toBeGreaterThan(length('R-01'));
    expect(length('R-01')).toBeGreaterThan(length('R-03'));
    const at = (code: string): number => steady(person(code), 25).heartRate(6 * MINUTE);
    expect(at('R-02')).toBeLessThan(at('R-03') - 10);
  });

  it('differ in age: the older has the lower maximum', () => {
    const byAge = rehearsalParticipants.toSorted((a, b) => a.age - b.age);
    expect(byAge.at(-1)?.heartRateMax).toBeLessThan(Math.min(...byAge.slice(0, 3).map(({ heartRateMax }) => heartRateMax)) - 10);
  });

  it('drift at the same hard work and not at easy work', () => {
    for (const participant of rehearsalParticipants) {
      const calm = { ...participant, nervous: 0 };
      const over = (demand: number): number => {
        const body = steady(calm, demand);
        return body.heartRate(20 * MINUTE) - body.heartRate(10 * MINUTE);
      };
      // Ten minutes at three quarters of the maximum: part of the drift stated for ten minutes of hard work, and no more than that.
      expect(over(0.75 * participant.vo2max), participant.code).toBeGreaterThan(0.3);
      expect(over(0.75 * participant.vo2max), participant.code).toBeLessThanOrEqual(participant.drift + 0.1);
      expect(over(4), participant.code).toBeLessThan(over(0.75 * participant.vo2max));
    }
  });

  it('are read with noise, more of it where the participant has more, and none without', () => {
    const spread = (noise: number): number => {
      const participant = { ...person('R-03'), noise, nervous: 0, drift: 0 };
      const body = steady(participant, 12);
      const off = Array.from({ length: 200 }, (_, index) => measure(body, 9, 'heart-rate', 10 * MINUTE + index * 1_000) - body.heartRate(10 * MINUTE + index * 1_000));
      return Math.sqrt(off.reduce((sum, one) => sum + one * one, 0) / off.length);
    };
    // Rounding alone gives up to 0.5 /min.
    expect(spread(0)).toBeLessThanOrEqual(0.5);
    expect(spread(1)).toBeGreaterThan(0.8);
    expect(spread(2)).toBeGreaterThan(spread(1) * 1.4);
  });
});

describe('the end of a student’s rehearsal', () => {
  it('tells what was taken late, what was missed, and counts the rest as in time', () => {
    const run = new RehearsalRun('R-01', 7, { records: false });
    run.run(1_000, () => false, 20_000);
    run.write({ kind: 'detail-given', data: { detail: 'recorder', typed: 'JK' } }, 'JK').write({ kind: 'rest-started', data: {} }, 'JK');
    // A student who types what is heard, but the pressures never, and every heart rate of stage 1 fifteen seconds too late.
    const type = (entry: string): void => {
      const read = readEntry(run.state, entry, run.now);
      if (read.state === 'ready') for (const draft of read.drafts) run.write(draft, 'JK');
    };
    const said = new Set<string>();
    while (run.state.stages.length < 3 && run.now < 20 * MINUTE) {
      run.step(1_000);
      for (const heard of heardAt(run.state, run.now)) {
        if (heard.entry === undefined || said.has(heard.key)) continue;
        if (run.state.phase !== 'rest' && heard.entry.includes('/')) continue;
        const slow = heard.key.startsWith('exercise/s1/') && heard.key.endsWith('heart-rate');
        if (slow && run.now - heard.since < 15_000) continue;
        said.add(heard.key);
        if (heard.entry === 'next') run.write({ kind: 'stage-changed', data: { stage: run.state.stages.length + 1 } }, 'JK');
        else if (heard.entry !== 'stop') type(heard.entry);
      }
      if (run.state.phase === 'rest' && run.now > 2 * MINUTE) run.write({ kind: 'exercise-started', data: {} }, 'JK');
    }
    run.step(2 * MINUTE);
    const told = debrief(run.state);
    const late = told.items.filter(({ kind }) => kind === 'taken-late').map(({ text }) => text);
    expect(late.filter((text) => /^Heart rate, stage 1, minute [123]: taken 1[0-9] s after it was due\.$/.test(text))).toHaveLength(3);
    expect(told.items.filter(({ kind }) => kind === 'missed').map(({ text }) => text)).toContain('Blood pressure, end of stage 1: nothing was written down.');
    expect(told.summary).toMatch(/ late, .*without an entry/);
    expect(told.onTime + told.late + told.notTaken + told.missed).toBe(told.asked);
  });
});
