/**
 * A whole session's results against arithmetic done by hand from the published equations. Nothing here comes from this program:
 * each expected value is written out with the numbers put in.
 * Tolerances: the rounding of the hand calculation (two decimals carried), and 26.8 against 26.8224 m/min per mph (0.08 %).
 */
import { describe, expect, it } from 'vitest';
import { resultsOf } from '../../core/results/results.ts';
import { at, SessionBuilder } from '../core/session-builder.ts';

const start = at('20:00');

/** Woman, 22 y, 61.4 kg, 168 cm. Stages 1 to 3 finished, stopped at 10:20 in stage 4. */
function session(details: Record<string, string> = {}): SessionBuilder {
  const built = new SessionBuilder().exercising(start, details);
  const stageEnd = (stage: number, vo2: string, rer: string, heart: string): void => {
    const end = start + stage * at('3:00');
    built.reading('heart-rate', heart, end);
    built.clock(end + 1000).add('stage-changed', { stage: stage + 1 });
    built
      .reading('vo2', vo2, end + 20_000)
      .reading('rer', rer, end + 25_000)
      .reading('ve', '40', end + 30_000);
  };
  stageEnd(1, '0.98', '0.83', '109');
  stageEnd(2, '1.47', '0.89', '131');
  stageEnd(3, '2.10', '1.01', '168');
  built
    .clock(start + at('10:20'))
    .add('test-stopped', {})
    .add('stop-reason-given', { reason: 'Volitional exhaustion', symptom: false });
  const stop = start + at('10:20');
  built
    .reading('heart-rate', '188', stop + 2000)
    .reading('rpe', '19', stop + 3000)
    .reading('vo2', '2.31', stop + 20_000)
    .reading('rer', '1.14', stop + 22_000);
  built.reading('heart-rate', '157', stop + 60_000);
  built.clock(stop + at('1:30')).add('posture-changed', { posture: 'sitting' });
  built.reading('heart-rate', '134', stop + 120_000);
  return built;
}

describe('stages', () => {
  const { stages } = resultsOf(session().state);
  it('walking equation at 45.6 m/min, 10 %: 0.1 × 45.6 + 1.8 × 45.6 × 0.10 + 3.5 = 16.27', () => {
    expect(stages[0]?.predicted?.relative).toBeCloseTo(16.27, 1);
    expect(stages[0]?.predicted?.absolute).toBeCloseTo((16.27 * 61.4) / 1000, 2); // 0.999 L/min
    expect(stages[0]?.percent).toBeCloseTo((100 * (0.98 - 0.999)) / 0.999, 0);
  });
  it('at 67.0 m/min, 12 %: 6.70 + 14.47 + 3.5 = 24.67; at 91.1 m/min, 14 %: 9.11 + 22.96 + 3.5 = 35.57', () => {
    expect(stages[1]?.predicted?.relative).toBeCloseTo(24.67, 1);
    expect(Math.abs((stages[2]?.predicted?.relative ?? 0) - 35.57)).toBeLessThan(0.05);
  });
  it('does not compare the unfinished stage, and shows both gaits at 112.6 m/min, 16 %: walking 47.2, running 42.2', () => {
    const fourth = stages[3];
    expect(fourth?.compared).toBe(false);
    expect(fourth?.why).toBe('the stage was not finished');
    const both = [fourth?.predicted?.relative ?? 0, fourth?.other?.relative ?? 0].sort((a, b) => a - b);
    expect(both[0]).toBeCloseTo(42.2, 0);
    expect(both[1]).toBeCloseTo(47.2, 0);
  });
  it('takes the gait that was seen, and then shows no other value', () => {
    const built = new SessionBuilder().exercising(start);
    for (const stage of [2, 3, 4]) built.clock(start + (stage - 1) * at('3:00')).add('stage-changed', { stage });
    built
      .clock(start + at('9:30'))
      .add('gait-seen', { gait: 'walk' })
      .clock(start + at('12:00'))
      .add('stage-changed', { stage: 5 });
    const fourth = resultsOf(built.state).stages[3];
    expect(fourth?.predicted?.gait).toBe('walk');
    expect(fourth?.other).toBeUndefined();
  });
});

describe('peak, effort and treadmill time', () => {
  const results = resultsOf(session().state);
  it('2.31 L/min over 61.4 kg is 37.62 mL/kg/min, 10.75 METs; the unfinished stage counts', () => {
    expect(results.peak.vo2Relative).toBeCloseTo(37.62, 2);
    expect(results.peak.mets).toBeCloseTo(37.62 / 3.5, 2);
    expect(results.peak.heartRate?.value).toBe(188);
  });
  it('Pollock 1982, women on Bruce: 4.38 × 10.333 − 3.90 = 41.36; 37.62 is 91.0 % of it', () => {
    const pollock = results.uptake.find((one) => one.formula === 'vo2max-bruce-pollock-1982-women');
    if (!pollock?.known) throw new Error('not worked out');
    expect(pollock.value).toBeCloseTo(41.36, 2);
    expect(pollock.percent).toBeCloseTo(90.96, 1);
  });
  it('Myers 2017 (FRIEND): 79.9 − 0.39 × 22 − 13.7 − 0.127 × 135.36 lb = 40.43', () => {
    const friend = results.uptake.find((one) => one.formula === 'vo2max-friend-2017');
    if (!friend?.known) throw new Error('not worked out');
    expect(friend.value).toBeCloseTo(40.43, 2);
  });
  it('RER 1.14, RPE 19 and 188 against 208 − 0.7 × 22 = 192.6 meet the set, so it is called a maximum', () => {
    expect(results.hrMax[0]).toMatchObject({ known: true, formula: 'hr-max-tanaka-2001' });
    if (results.hrMax[0]?.known) expect(results.hrMax[0].value).toBeCloseTo(192.6, 9);
    expect(Object.fromEntries((results.effort?.criteria ?? []).map((one) => [one.criterion.kind, one.outcome]))).toMatchObject({
      rer: 'met',
      rpe: 'met',
      'heart-rate-within': 'met',
      plateau: 'not met',
    });
    expect(results.peakName).toBe('VO₂max');
  });
});

describe('recovery and prescription', () => {
  const results = resultsOf(session().state);
  it('188 − 157 = 31 at one minute walking, 188 − 134 = 54 at two sitting', () => {
    expect(results.recovery).toMatchObject([
      { minute: 1, value: 31, posture: 'walking', postureAssumed: true },
      { minute: 2, value: 54, posture: 'sitting', postureAssumed: false },
    ]);
  });
  it('Karvonen at 60 %: 0.6 × (188 − 74) + 74 = 142.4, from the measured maximum', () => {
    expect(results.prescription?.maximalFrom).toBe('measured');
    expect(results.prescription?.heartRate).toBeCloseTo(142.4, 9);
  });
});

describe('what cannot be worked out says why', () => {
  it('no sex: no treadmill-time equation, no band', () => {
    const results = resultsOf(session({ sex: '' }).state);
    expect(results.uptake.filter((one) => one.known)).toEqual([]);
    expect(results.book.get('category')).toMatchObject({ known: false });
  });
  it('under 20 years: no row is invented', () => {
    const results = resultsOf(session({ age: '19' }).state);
    expect(results.norms.every((norm) => !norm.result.ok)).toBe(true);
  });
  it('a stop for a symptom: no prediction from time, nothing called a maximum', () => {
    const built = session().add('stop-reason-given', { reason: 'Dizzy, confused or unsteady', symptom: true });
    const results = resultsOf(built.state);
    expect(results.peakName).toBe('VO₂peak');
    expect(results.uptake.find((one) => one.formula === 'vo2max-bruce-pollock-1982-women')).toMatchObject({ known: false });
    expect(results.book.get('exercise.time')).toMatchObject({ known: false });
  });
});
