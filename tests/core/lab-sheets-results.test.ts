/**
 * A recorded session on each of the six newer sheets, against arithmetic done by hand from the published equations (named on the
 * sheet). Nothing here comes from this program: each expected value is written out with its numbers.
 * Tolerance: the last decimal that the hand calculation carries, `toBeCloseTo` with that many decimals.
 */
import { describe, expect, it } from 'vitest';
import { alertsOf } from '../../core/session/alerts.ts';
import { fixture, inBook, replayedOn } from './lab-sheets.ts';

describe('branching stages: man, 24 y, 70 kg, rest 68', () => {
  const { state, results } = replayedOn('cycle-submaximal-branching', fixture('cycle-branching.csv'));

  it('94 and 97 in stage 1, mean 95.5, rounded 96: the band 90 to 100, 450, 600, 750 kg·m/min', () => {
    expect(state.stages.map((stage) => `${stage.actual.load?.typed} ${stage.actual.load?.unit}`)).toEqual(['150 kgf.m/min', '450 kgf.m/min', '600 kgf.m/min', '750 kgf.m/min']);
    expect(state.stages.every((stage) => !stage.differsFromPlan)).toBe(true);
  });
  it('117 then 125: 8 apart, one more minute; then 127, 2 apart: steady at 126', () => {
    expect(state.stages.map((stage) => stage.repeats)).toEqual([0, 1, 0, 0]);
    expect(state.stages.map((stage) => stage.steady?.mean)).toEqual([95.5, 126, 140.5, 158]);
    expect(state.slots.get('exercise/s2/m4/heart-rate')?.current?.value).toBe(127);
  });
  it('ACSM leg cycling, 1.8 × load / 70 + 7: 10.857, 18.571, 22.429, 26.286', () => {
    expect(results.stages.map((row) => row.predicted?.relative.toFixed(3))).toEqual(['10.857', '18.571', '22.429', '26.286']);
  });
  it('range 110 to 0.85 × (208 − 0.7 × 24) = 0.85 × 191.2 = 162.5: stage 1 is below, the others enter, the last pair makes the line', () => {
    expect(results.line?.points.map((point) => point.enters)).toEqual([false, true, true, true]);
    expect([results.line?.first?.stage, results.line?.second?.stage]).toEqual([3, 4]);
    expect(inBook(results, 'line.stages')).toBe('stages-3-4');
  });
  it('b = (26.286 − 22.429) / (158 − 140.5) = 3.857 / 17.5 = 0.22041; 26.286 + 0.22041 × (191.2 − 158) = 33.603', () => {
    expect(results.line?.slope).toBeCloseTo(0.22041, 5);
    expect(results.line?.vo2max).toBeCloseTo(33.603, 3);
    expect(results.line?.perTenBeats).toBeCloseTo(2.2041, 4);
    expect(results.maximal).toMatchObject({ from: 'predicted' });
  });
  it('the graph route gives the same: intercept 22.429 − 0.22041 × 140.5 = −8.539; −8.539 + 0.22041 × 191.2 = 33.603', () => {
    const { slope = NaN, intercept = NaN } = results.line ?? {};
    expect(intercept).toBeCloseTo(-8.539, 2);
    expect(intercept + slope * 191.2).toBeCloseTo(33.603, 3);
  });
  it('prescription at 60 %: 0.6 × (191.2 − 68) + 68 = 141.9; 0.6 × (33.603 − 3.5) + 3.5 = 21.562; (21.562 − 7) × 70 / 10.8 = 94.38 W', () => {
    const { heartRate, exercise } = results.prescription ?? {};
    expect(heartRate).toBeCloseTo(141.92, 2);
    expect(exercise?.vo2).toBeCloseTo(21.562, 3);
    expect(exercise?.load).toMatchObject({ unit: 'W' });
    expect(exercise?.load?.value).toBeCloseTo(94.38, 1);
  });
  it('energy: 5 × 21.562 × 0.070 = 7.547 kcal/min, net 5 × 18.062 × 0.070 = 6.322; × 90 min = 679.2 and 568.9; 21.562 / 3.5 × 90 = 554.4 MET·min', () => {
    const exercise = results.prescription?.exercise;
    expect(exercise?.kcalPerMinute?.gross).toBeCloseTo(7.547, 2);
    expect(exercise?.kcalPerWeek?.gross).toBeCloseTo(679.2, 0);
    expect(exercise?.kcalPerWeek?.net).toBeCloseTo(568.9, 0);
    expect(exercise?.metMinutesPerWeek).toBeCloseTo(554.4, 0);
  });
  it('own line: means 19.536 and 130; Sxx 130.18, Sxy 522.64, 4.0148 /min for 1 mL/kg/min; 130 + 4.0148 × (21.562 − 19.536) = 138.1, 3.8 below the target', () => {
    expect(results.prescription?.exercise?.ownLine).toMatchObject({ uptake: 'by the equation', stages: 4 });
    expect(results.prescription?.exercise?.ownLine?.heartRate).toBeCloseTo(138.1, 1);
    expect(results.prescription?.exercise?.ownLine?.difference).toBeCloseTo(3.8, 1);
  });
  it('medians of cycle tests, men of 20 to 29: 41.9; no category, and the value is said to be predicted', () => {
    expect(inBook(results, 'norm.median')).toBe(41.9);
    expect(inBook(results, 'category')).toContain('does not tell the category');
    const [norm] = results.norms;
    expect(norm?.result.ok && norm.result.warnings.join(' ')).toContain('The value is predicted');
  });

  it('the cap calls the instructor, and a stage above it does not enter: 163 in stage 4 against 162.5', () => {
    const over = replayedOn('cycle-submaximal-branching', fixture('cycle-branching.csv').replace('13:12,exercise,heart-rate,160', '13:12,exercise,heart-rate,163').replace('12:12,exercise,heart-rate,156', '12:12,exercise,heart-rate,163'));
    expect(alertsOf(over.state).map((alert) => alert.id)).toContain('heart-rate-cap');
    expect(over.results.line?.points[3]).toMatchObject({ enters: false, why: 'above 85 % of the predicted maximum' });
    // Stages 2 and 3: 22.429 + (22.429 − 18.571) / (140.5 − 126) × (191.2 − 140.5) = 22.429 + 0.26601 × 50.7 = 35.915.
    expect(over.results.line?.vo2max).toBeCloseTo(35.915, 2);
  });
  it('one steady stage in the range is no line: reason, and void instead of a number', () => {
    const short = fixture('cycle-branching.csv').split('\n').filter((line) => !/^(8|9|10|11|12):\d\d,exercise/.test(line) && !line.startsWith('13:12') && !line.includes('7:10,exercise,stage')).join('\n').replace('13:15,exercise,stop', '7:10,exercise,stop');
    const { results: one } = replayedOn('cycle-submaximal-branching', short);
    expect(one.line?.vo2max).toBeUndefined();
    expect(inBook(one, 'line.vo2max')).toBe('fewer than two consecutive steady stages lie in the range of the line');
    expect(one.prescription?.exercise?.reason).toBe('fewer than two consecutive steady stages lie in the range of the line');
  });
});

describe('single load: woman, 35 y, 60 kg, 450 kg·m/min, minutes 5 and 6 at 149 and 151 (reference 3b: 1.938, × 0.87 = 1.686 L/min = 28.11)', () => {
  const { state, results } = replayedOn('cycle-single-load-age-factor', fixture('cycle-single-load.csv'));
  it('sets her own load, and the test ends after it: 150 is not below 130', () => {
    expect(state.stages).toHaveLength(1);
    expect(state.stages[0]?.actual.load).toMatchObject({ typed: '450', unit: 'kgf.m/min' });
    expect(state.next).toBeUndefined();
    expect(state.stages[0]?.completed).toBe(true);
  });
  it('1.2 × (198 − 72) / (150 − 72) = 1.9385; × 0.87 = 1.6865 L/min; / 60 = 28.108', () => {
    expect(inBook(results, 'last.heart-rate')).toBe(150);
    expect(inBook(results, 'predicted.vo2max-astrand-ryhming')).toBeCloseTo(1.6865, 4);
    expect(results.maximal.value).toBeCloseTo(28.108, 2);
  });
  it('George 2000: 85.447 − 0.2676 × 35 − 0.415 × 60 + 0.1317 × 450 / 6.12 − 0.1615 × 150 = 36.64', () => expect(inBook(results, 'predicted.vo2max-george-2000-cycle')).toBeCloseTo(36.64, 2));
  it('ACSM: 1.8 × 450 / 60 + 7 = 20.5', () => expect(inBook(results, 'last.predicted-vo2-rel')).toBeCloseTo(20.5, 9));
  it('0.5 × (28.108 − 3.5) + 3.5 = 15.804; (15.804 − 7) × 60 / 10.8 = 48.9 W, below the 50 of the equation: said', () => {
    const exercise = results.prescription?.exercise;
    expect(exercise?.vo2).toBeCloseTo(15.804, 2);
    expect(exercise?.load?.value).toBeCloseTo(48.9, 1);
    expect(exercise?.warnings.join(' ')).toContain('published for 50 to 200 W; this is less');
  });
  it('122 and 124, mean 123, below the 125 of women: 750 kg·m/min for women follow', () => {
    const low = fixture('cycle-single-load.csv').replace('5:00,exercise,heart-rate,149', '5:00,exercise,heart-rate,122').replace('6:00,exercise,heart-rate,151', '6:00,exercise,heart-rate,124').replace('4:00,exercise,heart-rate,148', '4:00,exercise,heart-rate,121').replace('3:00,exercise,heart-rate,144', '3:00,exercise,heart-rate,120').replace('2:00,exercise,heart-rate,138', '2:00,exercise,heart-rate,118').replace('1:00,exercise,heart-rate,128', '1:00,exercise,heart-rate,112').replace('6:02,exercise,stop', '6:10,exercise,stage,2,,ML,\n12:15,exercise,stop');
    const { state: second } = replayedOn('cycle-single-load-age-factor', low);
    expect(second.stages[1]?.planned.load).toMatchObject({ typed: '750', unit: 'kgf.m/min' });
  });
});

describe('step test: man, 22 y, 75 kg, 36 beats in 15 s (reference 3c: 144 /min gives 50.85)', () => {
  const { state, results } = replayedOn('step-test-queens-college', fixture('step-queens.csv'));
  it('24 cycles a minute on 16.25 in; stopped at 3:01: finished', () => {
    expect(state.stages[0]?.actual['step-rate']?.value).toBe(24);
    expect(state.stages[0]?.completed).toBe(true);
  });
  it('36 × 60 / 15 = 144; 111.33 − 0.42 × 144 = 50.85', () => {
    expect(inBook(results, 'recovery.counted-heart-rate')).toBe(144);
    expect(inBook(results, 'predicted.vo2max-queens-college-1972')).toBeCloseTo(50.85, 9);
  });
  it('0.2 × 24 + 1.33 × 1.8 × 0.41275 × 24 + 3.5 = 4.8 + 23.715 + 3.5 = 32.015, and the step is said to be above the equation’s', () => {
    expect(results.stages[0]?.predicted?.relative).toBeCloseTo(32.015, 3);
    expect(results.warnings.join(' ')).toContain('this is higher');
  });
  it('category on the treadmill table of 2015, men of 20 to 29: 50.85 lies between P60 (50.2) and P75 (55.2): Good, and said to be predicted', () => {
    expect(inBook(results, 'category')).toBe('good');
    expect(results.norms.every(({ result }) => result.ok && result.warnings.some((warning) => warning.startsWith('The value is predicted')))).toBe(true);
  });
  it('0.5 × (50.85 − 3.5) + 3.5 = 27.175; (27.175 − 3.5) / (0.2 + 2.394 × 0.2) = 23.675 / 0.6788 = 34.88 cycles, beyond 30: said', () => {
    expect(results.prescription?.exercise?.load?.value).toBeCloseTo(34.88, 2);
    expect(results.prescription?.exercise?.warnings.join(' ')).toContain('12 to 30 cycles');
  });
  it('a woman steps 22 cycles: 39 beats, 156 /min, 65.81 − 0.1847 × 156 = 36.997 (reference 3c)', () => {
    const woman = replayedOn('step-test-queens-college', fixture('step-queens.csv').replace('sex,male', 'sex,female').replace('pulse-count,36', 'pulse-count,39'));
    expect(woman.state.stages[0]?.actual['step-rate']?.value).toBe(22);
    expect(inBook(woman.results, 'predicted.vo2max-queens-college-1972')).toBeCloseTo(36.997, 3);
  });
  it('stopped at 2:40: the count is not the test’s, and what rests on it is void', () => {
    const early = replayedOn('step-test-queens-college', fixture('step-queens.csv').replace('3:01,exercise,stop,End of the three minutes', '2:40,exercise,stop,Asked to stop').replace('2:50,exercise,rpe', '2:40,exercise,rpe'));
    expect(inBook(early.results, 'recovery.counted-heart-rate')).toBe('the exercise before the count was not finished');
    expect(early.results.prescription?.exercise?.reason).toBe('the exercise before the count was not finished');
  });
  it('hands on the clock: stopped at 2:57 it is finished, at 2:54 it is not', () => {
    const at = (time: string) => replayedOn('step-test-queens-college', fixture('step-queens.csv').replace('3:01,exercise,stop', `${time},exercise,stop`).replace('2:50,exercise,rpe', '2:45,exercise,rpe')).state.stages[0]?.completed;
    expect([at('2:57'), at('2:54')]).toEqual([true, false]);
  });
});

describe('bags at rest and at 50, 80 and 110 W: man, 72 kg, 748 mmHg', () => {
  const { results } = replayedOn('cycle-bag-efficiency', fixture('cycle-bags.csv'));
  const step = (bag: number, id: string): number => results.bags[bag]?.steps.find((one) => one.id === id)?.value ?? NaN;
  it('rest, case C1 of the reference: factor 0.89116, VE STPD 6.8441, VI 6.9012, VO₂ 0.3069, VCO₂ 0.2498, RER 0.8138', () => {
    expect(step(0, 'factor')).toBeCloseTo(0.89116, 5);
    expect(step(0, 've-stpd')).toBeCloseTo(6.8441, 4);
    expect(step(0, 'vi')).toBeCloseTo(6.9012, 4);
    expect(step(0, 'vo2')).toBeCloseTo(0.3069, 4);
    expect(step(0, 'vco2')).toBeCloseTo(0.2498, 4);
    expect(step(0, 'rer')).toBeCloseTo(0.8138, 4);
  });
  it('energy at rest: 4.686 + 0.361 × (0.81381 − 0.707) / 0.293 = 4.8176; × 0.30694 = 1.4787 kcal/min', () => expect(step(0, 'energy')).toBeCloseTo(1.4787, 4));
  // (748 − 19.827) / 760 × 273.15 / 295.15 = 0.95812 × 0.92546 = 0.88671; VE = V × 0.88671; VI = VE × FEN₂ / 0.7904.
  const hand = [
    // 28.0 L, 16.60 %, 3.80 %: VE 24.828, VI 24.828 × 0.7960 / 0.7904 = 25.004; 25.004 × 0.2093 − 24.828 × 0.1660; 24.828 × 0.0380 − 25.004 × 0.0003
    { ve: 24.828, vi: 25.004, vo2: 1.1119, vco2: 0.936, rer: 0.8418, energy: 5.3948, carbohydrate: 47.85, gross: 13.29, net: 18.31 },
    // 37.5 L, 16.50 %, 4.00 %: VE 33.251, VI 33.251 × 0.7950 / 0.7904 = 33.445
    { ve: 33.251, vi: 33.445, vo2: 1.5135, vco2: 1.32, rer: 0.8721, energy: 7.4004, carbohydrate: 58.18, gross: 15.5, net: 19.37 },
    // 47.0 L, 16.45 %, 4.15 %: VE 41.675, VI 41.675 × 0.7940 / 0.7904 = 41.865
    { ve: 41.675, vi: 41.865, vo2: 1.9068, vco2: 1.717, rer: 0.9005, energy: 9.3896, carbohydrate: 67.67, gross: 16.8, net: 19.94 },
  ];
  it.each(hand.map((row, index) => [index + 1, row] as const))('stage %d, by hand', (stage, row) => {
    expect(step(stage, 'factor')).toBeCloseTo(0.88671, 5);
    expect(step(stage, 've-stpd')).toBeCloseTo(row.ve, 2);
    expect(step(stage, 'vi')).toBeCloseTo(row.vi, 2);
    expect(step(stage, 'vo2')).toBeCloseTo(row.vo2, 3);
    expect(step(stage, 'vco2')).toBeCloseTo(row.vco2, 3);
    expect(step(stage, 'rer')).toBeCloseTo(row.rer, 3);
    expect(step(stage, 'energy')).toBeCloseTo(row.energy, 3);
    expect(step(stage, 'carbohydrate')).toBeCloseTo(row.carbohydrate, 1);
    expect(step(stage, 'fat')).toBeCloseTo(100 - row.carbohydrate, 1);
    // 50, 80 and 110 W × 60 / 4184 = 0.71702, 1.14723 and 1.57744 kcal/min, over the energy, and over it less 1.4787.
    const efficiency = results.efficiencies?.loads[stage - 1];
    expect(efficiency?.gross).toBeCloseTo(row.gross, 1);
    expect(efficiency?.net).toBeCloseTo(row.net, 1);
  });
  it('delta: (1.57744 − 0.71702) / (9.3896 − 5.3948) = 0.86042 / 3.9948 = 21.54 %', () => expect(results.efficiencies?.delta?.value).toBeCloseTo(21.54, 1));
  it('the bag’s uptake stands for the measured one: stage 1, 1111.9 / 72 = 15.44 against 10.8 × 50 / 72 + 7 = 14.5', () => {
    expect(results.stages[0]?.vo2Relative).toBeCloseTo(15.44, 2);
    expect(results.stages[0]?.predicted?.relative).toBeCloseTo(14.5, 9);
    expect(results.peakName).toBe('VO₂peak');
  });
  it('without a bag at rest there is no net efficiency, and the reason is said', () => {
    const { results: none } = replayedOn('cycle-bag-efficiency', fixture('cycle-bags.csv').split('\n').filter((line) => !/rest,(bag|fe)/.test(line)).join('\n'));
    expect(none.efficiencies?.loads[0]?.net).toBeUndefined();
    expect(none.efficiencies?.loads[0]?.why).toBe('energy at rest is not known');
    expect(inBook(none, 'rest.bag.vo2')).toBe('no bag was collected');
  });
  it('an RER above 1 (FECO₂ 5.0 % at 16.45 %) leaves gas exchange standing and says that energy is not worked out', () => {
    const { results: hard } = replayedOn('cycle-bag-efficiency', fixture('cycle-bags.csv').replace('feco2,4.15', 'feco2,5.0'));
    expect(hard.bags[3]?.rer).toBeGreaterThan(1);
    expect(hard.bags[3]?.vo2).toBeDefined();
    expect(hard.bags[3]?.warnings.join(' ')).toMatch(/Energy is not worked out: an RER of 1\.14 lies outside/);
    expect(inBook(hard, 'stage.3.bag.energy')).toMatch(/Energy is not worked out/);
  });
});

describe('mile walk: woman, 30 y, 155.5 lb, 13:34, 145 /min (printed for 13.56 min: 42.3)', () => {
  const { results } = replayedOn('field-walk-one-mile', fixture('field-walk.csv'));
  it('13:34 is 13.5667 min: 132.853 − 0.0769 × 155.5 − 0.3877 × 30 − 3.2649 × 13.5667 − 0.1565 × 145 = 42.278', () => expect(inBook(results, 'predicted.vo2max-kline-1987-mile-walk')).toBeCloseTo(42.278, 2));
  it('88.768 − 0.0957 × 155.5 − 1.4537 × 13.5667 − 0.1194 × 145 = 36.852', () => expect(inBook(results, 'predicted.vo2max-dolgener-1994-mile-walk')).toBeCloseTo(36.852, 2));
  it('1609.344 / 13.5667 = 118.62 m/min', () => expect(inBook(results, 'exercise.speed')).toBeCloseTo(118.62, 2));
  it('women of 30 to 39 on the table of 2015: above P90 (41.4), below P95 (45.8): Excellent', () => expect(inBook(results, 'category')).toBe('excellent'));
  it('0.5 × (42.278 − 3.5) + 3.5 = 22.889; (22.889 − 3.5 − 0.1 × 90) / (1.8 × 90) = 10.389 / 162 = 6.41 %', () => {
    expect(results.prescription?.exercise?.load).toMatchObject({ unit: '%' });
    expect(results.prescription?.exercise?.load?.value).toBeCloseTo(6.41, 2);
    expect(results.prescription?.exercise?.metMinutesPerWeek).toBeCloseTo((22.889 / 3.5) * 150, 0);
  });
  it('stopped before the line, the time counts for nothing; so after a stop for a symptom', () => {
    for (const [reason, says] of [['Asked to stop', 'the distance was not covered'], ['Chest pain or pressure', 'the test was stopped for a symptom']] as const) {
      const { results: short } = replayedOn('field-walk-one-mile', fixture('field-walk.csv').replace('Mile completed', reason));
      expect(inBook(short, 'exercise.time')).toBe(says);
      expect(inBook(short, 'predicted.vo2max-kline-1987-mile-walk')).toBe(says);
    }
  });
  it('a remark beside the reason does not unmake the mile', () => {
    const { results: noted } = replayedOn('field-walk-one-mile', fixture('field-walk.csv').replace('Mile completed,,ML,', 'Mile completed,,ML,windy'));
    expect(inBook(noted, 'exercise.time')).toBe(814);
  });
});

describe('ramp: woman, 30 y, 165 cm, 60 kg, 20 W a minute after 4 minutes unloaded', () => {
  const { state, results } = replayedOn('cycle-ramp-maximal', fixture('cycle-ramp.csv'));
  it('pressure every second minute of the whole exercise, not of the minute’s stage', () => {
    expect([...state.slots.values()].filter((slot) => slot.slot.quantity === 'systolic' && slot.slot.phase === 'exercise').map((slot) => [slot.slot.stage, slot.scheduled !== undefined, slot.current?.value])).toEqual([[2, true, 120], [4, true, 122], [6, true, 130], [8, true, 140], [10, true, 152], [12, true, 166]]);
  });
  const called = (...changes: readonly (readonly [string, string])[]): readonly string[] => {
    const csv = changes.reduce((text, [from, to]) => {
      expect(text).toContain(from);
      return text.replace(from, to);
    }, fixture('cycle-ramp.csv'));
    return alertsOf(replayedOn('cycle-ramp-maximal', csv).state).map((alert) => alert.text);
  };
  it('nothing is called in this test', () => expect(alertsOf(state)).toEqual([]));
  it('without a load the work does not rise yet: a pulse that falls or a pressure below rest (112 of 116) calls nobody', () =>
    expect(called(['4:00,exercise,heart-rate,92', '4:00,exercise,heart-rate,85'], ['3:45,exercise,systolic,122', '3:45,exercise,systolic,112'])).toEqual([]));
  it('with a load both are called; the heart rate is held against the one two minutes before', () => {
    expect(called(['5:45,exercise,systolic,130', '5:45,exercise,systolic,110'], ['7:45,exercise,systolic,140', '7:45,exercise,systolic,112'])).toEqual(['Systolic 112 again after 122: call the instructor.']);
    // 141 at 9:00, then 152 two minutes later becomes 141: not above it. One minute that stands still is not called.
    expect(called(['11:00,exercise,heart-rate,162', '11:00,exercise,heart-rate,141'])).toEqual(['Heart rate 141 at 11:00, 141 2 stages before: not rising with work; call the instructor.']);
    expect(called(['10:00,exercise,heart-rate,152', '10:00,exercise,heart-rate,142'])).toEqual([]);
  });
  it('peak 2300 / 60 = 38.33; RER 2.65 / 2.30 = 1.152, at least 1.13; 186 of 208 − 0.7 × 30 = 187, 99.5 %, at least 93: VO₂max', () => {
    expect(results.peak.vo2Relative).toBeCloseTo(38.33, 2);
    expect(results.peak.rer?.value).toBeCloseTo(1.152, 3);
    expect(results.effort?.criteria.map((criterion) => criterion.outcome)).toEqual(['met', 'met']);
    expect(results.peakName).toBe('VO₂max');
  });
  it('reference: 0.046 × 165 − 0.021 × 30 − 0.62 − 4.31 = 2.03 L/min, 33.83 mL/kg/min; measured is 113.3 % of it', () => {
    const [jones] = results.uptake;
    expect(jones).toMatchObject({ known: true, unit: 'mL/kg/min' });
    expect(jones?.known && jones.value).toBeCloseTo(33.83, 2);
    expect(jones?.known && jones.percent).toBeCloseTo(113.3, 1);
  });
  it('Storer: 9.39 × 180 + 7.7 × 60 − 5.88 × 30 + 136.7 = 2112.5 mL/min', () => expect(inBook(results, 'predicted.vo2max-storer-1990')).toBeCloseTo(2112.5, 1));
  it('uptake on load, 20 to 180 W: mean 100 W, Sxx 24 000, Sxy 240 600: 10.025 mL/min/W', () => expect(inBook(results, 'slope.vo2-load')).toBeCloseTo(10.025, 3));
  it('ventilation on carbon dioxide: ΣVCO₂ 12.81, ΣVE 352, ΣVCO₂² 21.9717, ΣVCO₂·VE 603.08; (603.08 − 12.81 × 352 / 9) / (21.9717 − 12.81² / 9) = 102.067 / 3.73880 = 27.30', () => expect(inBook(results, 'slope.ve-vco2')).toBeCloseTo(27.3, 2));
  it('no breath file: the thresholds are unknown, with the reason', () => expect(inBook(results, 'threshold.vt1')).toBe('no gas exchange file is joined to this session'));
  it('prescription from the measured maximum: 0.6 × (186 − 74) + 74 = 141.2; 0.6 × (38.333 − 3.5) + 3.5 = 24.4; (24.4 − 7) × 60 / 10.8 = 96.7 W', () => {
    expect(results.prescription).toMatchObject({ maximalFrom: 'measured' });
    expect(results.prescription?.heartRate).toBeCloseTo(141.2, 9);
    expect(results.prescription?.exercise).toMatchObject({ uptakeFrom: 'measured' });
    expect(results.prescription?.exercise?.load?.value).toBeCloseTo(96.7, 1);
    // Thirteen finished minutes, unloaded ones among them.
    expect(results.prescription?.exercise?.ownLine).toMatchObject({ uptake: 'measured', stages: 13 });
  });
  it('a stop for a symptom: no maximum, no uptake prescribed', () => {
    const { results: ill } = replayedOn('cycle-ramp-maximal', fixture('cycle-ramp.csv').replace('Volitional exhaustion', 'Chest pain or pressure'));
    expect(ill.peakName).toBe('VO₂peak');
    expect(ill.prescription?.exercise?.reason).toBe('the test was stopped for a symptom');
  });
});

describe('a recorded session that does not number its stages', () => {
  it('each new load is the next stage, at the moment at which it was written', () => {
    const csv = fixture('cycle-branching.csv')
      .replace('3:05,exercise,stage,2,,ML,', '3:05,exercise,load,450,kg·m/min,ML,')
      .replace('7:10,exercise,stage,3,,ML,', '7:10,exercise,load,600,kg·m/min,ML,')
      .replace('10:12,exercise,stage,4,,ML,', '10:12,exercise,load,750,kg·m/min,ML,');
    const { state, results, replay } = replayedOn('cycle-submaximal-branching', csv);
    expect(state.stages.map((stage) => [stage.changedAt / 1000, stage.assumed])).toEqual([[0, false], [185, false], [430, false], [612, false]]);
    expect(results.line?.vo2max).toBeCloseTo(33.603, 3);
    expect(replay.warnings.map((warning) => warning.text).join(' ')).toContain('each new setting is taken as the next stage, up to stage 4');
  });
});
