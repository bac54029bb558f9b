/**
 * Recorded sessions of our own making, worked out by hand from the published equations. Nothing here was taken from the
 * program's output: each expected value is the arithmetic beside it.
 *
 * Conversions, exact: 1 mph = 26.8224 m/min; 1 km/h = 1000/60 m/min; 1 lb = 0.45359237 kg; 1 in = 2.54 cm.
 * ACSM (Bushman 2020), mL/kg/min: walking 0.1·S + 1.8·S·G + 3.5; running 0.2·S + 0.9·S·G + 3.5.
 */
import { describe, expect, it } from 'vitest';
import { fixture, replayed } from './replayed.ts';

/** Bounds asked of the program: 0.1 mL/kg/min, 0.01 L/min, 0.1 %, 1 /min. The hand arithmetic is carried to more figures than that. */
const NEAR = { relative: 0.005, absolute: 0.0005, percent: 0.01 };
const near = (value: number | undefined, wanted: number, within: number): void => {
  expect(value).toBeDefined();
  expect(Math.abs((value ?? NaN) - wanted), `${value} against ${wanted} by hand`).toBeLessThanOrEqual(within);
};

describe('R-07: woman, 22 years, 60 kg; a reading missed, one amended, stage 3 set late, stage 4 set differently, stop in mid-stage', () => {
  const { results, state, replay } = replayed(fixture('r-07.csv'));
  const [one, two, three, four] = results.stages;

  it('predicts each stage from what was really set', () => {
    // 1: S = 1.7 × 26.8224 = 45.59808; 4.559808 + 1.8 × 45.59808 × 0.10 (8.207654) + 3.5
    near(one?.predicted?.relative, 16.2675, NEAR.relative);
    // 2: S = 2.5 × 26.8224 = 67.056; 6.7056 + 1.8 × 67.056 × 0.12 (14.484096) + 3.5
    near(two?.predicted?.relative, 24.6897, NEAR.relative);
    // 3: S = 3.4 × 26.8224 = 91.19616; 9.119616 + 1.8 × 91.19616 × 0.14 (22.981432) + 3.5
    near(three?.predicted?.relative, 35.601, NEAR.relative);
    // 4: set to 6.5 km/h, 16 %, and run: S = 108.3333; 21.66667 + 0.9 × 108.3333 × 0.16 (15.6) + 3.5
    near(four?.predicted?.relative, 40.7667, NEAR.relative);
    expect([one, two, three, four].map((row) => row?.predicted?.gait)).toEqual(['walk', 'walk', 'walk', 'run']);
  });
  it('compares the completed stages in L/min, mL/kg/min and per cent, and leaves the unfinished one out', () => {
    // 1: 16.2675 × 60 / 1000 = 0.97605 L/min; measured 0.95: −0.02605, and −0.02605 / 0.97605 = −2.669 %
    near(one?.difference, -0.02605, NEAR.absolute);
    near(one?.percent, -2.669, NEAR.percent);
    // 2: typed as 24.3 mL/kg/min = 1.458 L/min; predicted 24.6897 × 0.06 = 1.48138: −0.02338, −1.578 %
    near(two?.vo2, 1.458, 1e-9);
    near(two?.difference, -0.02338, NEAR.absolute);
    near(two?.percent, -1.578, NEAR.percent);
    // 3: predicted 35.601 × 0.06 = 2.13606; measured 2.04: −0.09606, −4.497 %
    near(three?.difference, -0.09606, NEAR.absolute);
    near(three?.percent, -4.497, NEAR.percent);
    expect(four?.compared).toBe(false);
    expect(four?.stage.completed).toBe(false);
  });
  it('takes the peak from the unfinished stage', () => {
    // 2.31 L/min / 60 kg = 38.5 mL/kg/min; / 3.5 = 11 METs
    near(results.peak.vo2?.value, 2.31, 1e-9);
    near(results.peak.vo2Relative, 38.5, 1e-9);
    near(results.peak.mets, 11, 1e-9);
    expect(results.peak.heartRate?.value).toBe(189);
    expect(results.peak.rer?.value).toBe(1.14);
    expect(results.peak.rpe?.value).toBe(19);
  });
  it('sets it against predictions from time, age, sex and size', () => {
    const of = (id: string) => results.uptake.find((one_) => one_.formula === id);
    const value = (id: string) => { const found = of(id); return found?.known ? found : undefined; };
    // T = 10:40 = 10.66667 min. Pollock 1982, women: 4.38 × 10.66667 − 3.90 = 42.82; 100 × 38.5 / 42.82 = 89.911 %
    near(value('vo2max-bruce-pollock-1982-women')?.value, 42.82, NEAR.relative);
    near(value('vo2max-bruce-pollock-1982-women')?.percent, 89.911, NEAR.percent);
    // Bruce 1973, women: 3.36 × 10.66667 + 1.06 = 36.9; 104.336 %
    near(value('vo2max-bruce-1973')?.value, 36.9, NEAR.relative);
    near(value('vo2max-bruce-1973')?.percent, 104.336, NEAR.percent);
    // FRIEND 2017: 60 kg = 132.2774 lb; 79.9 − 0.39 × 22 (8.58) − 13.7 − 0.127 × 132.2774 (16.79923) = 40.82077; 94.315 %
    near(value('vo2max-friend-2017')?.value, 40.8208, NEAR.relative);
    near(value('vo2max-friend-2017')?.percent, 94.315, NEAR.percent);
    // FRIEND 2018: 168 cm = 66.14173 in; 45.2 − 7.7 − 21.8 − 0.15 × 132.2774 (19.84161) + 0.68 × 66.14173 (44.97638) − 0.46 = 40.37477
    near(value('vo2max-friend-2018')?.value, 40.3748, NEAR.relative);
    expect(of('vo2max-bruce-foster-1984-men')).toBeUndefined();
  });
  it('judges effort, recovery and prescription', () => {
    // Tanaka: 208 − 0.7 × 22 = 192.6. Plateau: 2310 − 2040 = 270 mL/min, not below 150. Met: RER 1.14, HR 189 ≥ 193 − 10, RPE 19.
    near(results.hrMax[0]?.known ? results.hrMax[0].value : undefined, 192.6, 1e-9);
    expect(results.effort?.criteria.map(({ criterion, outcome }) => [criterion.kind, outcome])).toEqual([['plateau', 'not met'], ['rer', 'met'], ['heart-rate-within', 'met'], ['rpe', 'met']]);
    expect(results.peakName).toBe('VO₂max');
    // 189 − 168 = 21 and 189 − 150 = 39; the pulse of 0:30 (180) is that of neither minute
    expect(results.recovery.map(({ value, posture }) => [value, posture])).toEqual([[21, 'walking'], [39, 'walking']]);
    // 0.6 × (189 − 72) + 72 = 142.2, from the measured maximum since the set was met
    near(results.prescription?.heartRate, 142.2, 1e-9);
    expect(results.prescription?.maximalFrom).toBe('measured');
  });
  it('reads the category off the 2015 table', () => {
    // Women 20–29: P50 = 37.6, P60 = 40.6 (or P55 = 38.9): 38.5 lies between 40 and 60, "Fair"
    const [first] = results.norms;
    expect(first?.result.ok && first.result.category).toBe('Fair');
  });
  it('keeps what was amended, missed and late', () => {
    const slot = state.slots.get('exercise/s2/m3/heart-rate');
    expect(slot?.readings.map(({ typed, amendedBy }) => [typed, amendedBy !== undefined])).toEqual([['143', true], ['134', false]]);
    expect(slot?.current?.value).toBe(134);
    expect(state.slots.get('exercise/s2/m2/heart-rate')?.notTaken?.reason).toBe('strap slipped');
    expect(three?.stage.lateBy).toBe(20_000);
    expect(state.notes.some((note) => note.text === 'set late')).toBe(true);
  });
  it('keeps the two students apart', () => {
    const typed = (student: string) => replay.worksheets.find((one_) => one_.student === student)?.answers.map(({ draft }) => [draft.data.question, draft.data.row, draft.data.typed]);
    expect(replay.worksheets.map(({ student }) => student)).toEqual(['S-114', 'S-220']);
    expect(typed('S-114')?.slice(0, 2)).toEqual([['hr-max', undefined, '193'], ['stage-vo2', 'stage-1', '16.3']]);
    expect(typed('S-114')?.length).toBe(16);
    expect(typed('S-220')?.[0]).toEqual(['hr-max', undefined, '198']);
    expect(typed('S-220')?.length).toBe(7);
  });
});

describe('M-12: man, 41 years, 178 lb, 70 in; semicolons and decimal commas; VCO2 in place of RER; gait not recorded; two pulses at once', () => {
  const { results, state, replay } = replayed(fixture('m-12.csv'));
  const [one, two, three, four, five] = results.stages;
  // 178 lb × 0.45359237 = 80.739442 kg; 70 in = 177.8 cm
  const mass = 80.739442;

  it('understands pounds, inches, °F and hPa', () => {
    near(state.mass, mass, 1e-6);
    near(state.height, 177.8, 1e-9);
    near(state.details.temperature?.value, (70 - 32) / 1.8, 1e-9);
    // 1013 hPa / 1.33322387 hPa per mmHg
    near(state.details.pressure?.value, 759.8, 0.05);
    expect(state.sex).toBe('male');
  });
  it('predicts each stage, with the other gait beside stage 4', () => {
    // 1: as in R-07, 16.2675; measured 1.33 L/min; predicted 16.2675 × 80.739442 / 1000 = 1.31343; +0.01657, +1.262 %
    near(one?.predicted?.absolute, 1.31343, NEAR.absolute);
    near(one?.difference, 0.01657, NEAR.absolute);
    near(one?.percent, 1.262, NEAR.percent);
    // RER from VCO2: 1.07 / 1.33
    near(one?.rer, 0.804511, 1e-5);
    // 3: set to 5.4 km/h = 90 m/min, 14.5 %: 9 + 1.8 × 90 × 0.145 (23.49) + 3.5 = 35.99; × mass = 2.90581; measured 2.71: −0.19581, −6.739 %
    near(three?.predicted?.relative, 35.99, NEAR.relative);
    near(three?.difference, -0.19581, NEAR.absolute);
    near(three?.percent, -6.739, NEAR.percent);
    // 4: S = 4.2 × 26.8224 = 112.65408. Running (the sheet's choice): 22.530816 + 0.9 × 112.65408 × 0.16 (16.222188) + 3.5 = 42.253
    near(four?.predicted?.relative, 42.253, NEAR.relative);
    expect(four?.predicted?.gait).toBe('run');
    // walking: 11.265408 + 1.8 × 112.65408 × 0.16 (32.444375) + 3.5 = 47.20978
    near(four?.other?.relative, 47.2098, NEAR.relative);
    // 3.18 against 42.253 × mass / 1000 = 3.41149: −0.23149, −6.785 %
    near(four?.difference, -0.23149, NEAR.absolute);
    near(four?.percent, -6.785, NEAR.percent);
    // 5: S = 134.112, above 134: running; 26.8224 + 0.9 × 134.112 × 0.18 (21.726144) + 3.5 = 52.04854
    near(five?.predicted?.relative, 52.0485, NEAR.relative);
    expect(five?.other).toBeUndefined();
    expect(five?.compared).toBe(false);
  });
  it('does not compare a stage whose gas was not taken, and says why', () => {
    expect(two?.compared).toBe(false);
    expect(two?.why).toBe('oxygen uptake was not taken');
    expect(state.slots.get('exercise/s2/end/vo2')?.notTaken?.reason).toBe('sample line kinked');
  });
  it('peak, time and predictions', () => {
    expect(results.exerciseMinutes).toBe(13.5);
    // 3240 / 80.739442 = 40.1291 mL/kg/min = 11.4654 METs
    near(results.peak.vo2Relative, 40.1291, NEAR.relative);
    near(results.peak.mets, 11.4654, NEAR.relative);
    // Foster 1984 at T = 13.5: 14.76 − 1.379 × 13.5 (18.6165) + 0.451 × 182.25 (82.19475) − 0.012 × 2460.375 (29.5245) = 48.81375
    const foster = results.uptake.find((found) => found.formula === 'vo2max-bruce-foster-1984-men');
    near(foster?.known ? foster.value : undefined, 48.8138, NEAR.relative);
    // 100 × 40.1291 / 48.81375 = 82.209 %
    near(foster?.known ? foster.percent : undefined, 82.209, NEAR.percent);
    // FRIEND 2017: 79.9 − 0.39 × 41 (15.99) − 0 − 0.127 × 178 (22.606) = 41.304; 97.155 %
    const friend = results.uptake.find((found) => found.formula === 'vo2max-friend-2017');
    near(friend?.known ? friend.value : undefined, 41.304, NEAR.relative);
    near(friend?.known ? friend.percent : undefined, 97.155, NEAR.percent);
  });
  it('the last resting pulse is the resting one, and the prescription follows from it', () => {
    // 0.6 × (176 − 66) + 66 = 132
    near(results.prescription?.heartRate, 132, 1e-9);
    expect(replay.warnings.some(({ text }) => /2 resting readings of heart rate: the last, 66 at 2:00/.test(text))).toBe(true);
  });
  it('recovery: one minute known, the second missing with its reason', () => {
    // 176 − 155 = 21
    expect(results.recovery[0]?.value).toBe(21);
    expect(results.recovery[1]?.value).toBeUndefined();
    expect(state.slots.get('recovery/m2/heart-rate')?.notTaken?.reason).toBe('strap fell off');
  });
  it('two people’s pulses of one moment both stand; the recorder’s counts', () => {
    const slot = state.slots.get('exercise/s4/m3/heart-rate');
    expect(slot?.readings.map(({ typed, author, amendedBy }) => [typed, author, amendedBy])).toEqual([['171', 'DW', undefined], ['169', 'OF', undefined]]);
    expect(slot?.differ).toBe(true);
    expect(slot?.current?.typed).toBe('171');
  });
  it('keeps every attempt of each student', () => {
    expect(replay.worksheets.find(({ student }) => student === 'S-302')?.answers.map(({ draft }) => draft.data.typed)).toEqual(['187', '179']);
  });
  it('an override keeps initials and reason', () => {
    expect(state.overrides).toMatchObject([{ hold: 'check-gas-span', initials: 'JB', reason: 'certificate of the bottle not at hand' }]);
  });
  it('closes without a remark when the criteria for leaving are shown to be met', () => {
    expect(state.phase).toBe('worksheet');
    expect(replay.warnings.some(({ text }) => /criteria for leaving/.test(text))).toBe(false);
  });
});

describe('C-03: sex not given, no stage rows, stopped for a symptom', () => {
  const { results, state, replay } = replayed(fixture('c-03.csv'));
  it('takes the stages to be on plan, marks them so, and says it', () => {
    expect(state.stages.map(({ number, changedAt, assumed }) => [number, changedAt, assumed])).toEqual([[1, 0, false], [2, 180_000, true], [3, 360_000, true]]);
    expect(replay.warnings.some(({ text }) => /no row for a stage after the first.*stages 2 to 3 are taken.*on plan/.test(text))).toBe(true);
  });
  it('claims no maximum', () => {
    expect(state.stop).toMatchObject({ reason: 'Chest pain or pressure', symptom: true });
    expect(results.symptomLimited).toBe(true);
    expect(results.peakName).toBe('VO₂peak');
    expect(results.uptake.every((one) => !one.known)).toBe(true);
    // 208 − 0.7 × 19 = 194.7 predicted; 0.6 × (194.7 − 80) + 80 = 148.82
    near(results.prescription?.heartRate, 148.82, 1e-9);
    expect(results.prescription?.maximalFrom).toBe('predicted');
  });
  it('has no category, with the reason', () => {
    expect(results.norms.every(({ result }) => !result.ok)).toBe(true);
  });
  it('lying recovery: 160 − 128 and 160 − 112', () => {
    expect(results.recovery.map(({ value, posture }) => [value, posture])).toEqual([[32, 'lying, legs raised'], [48, 'lying, legs raised']]);
  });
  it('one worksheet without a student', () => {
    expect(replay.worksheets).toEqual([{ student: 'unnamed', named: false, answers: [] }]);
  });
});
