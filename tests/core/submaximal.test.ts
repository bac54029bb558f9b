/**
 * Submaximal rules on heart rates made up for each case: steady state, repeated minutes, cap, branch and end-point.
 * Bands and the 5-beat rule: CSEP insert of Golding 1989, NSCA Guide. Cap: ACSM's Guidelines, from memory
 * (85 % of the age-predicted maximum); Tanaka 2001, 208 − 0.7 × age.
 */
import { readFileSync } from 'node:fs';
import { array, assert, integer, property } from 'fast-check';
import { describe, expect, it } from 'vitest';
import { alertsOf } from '../../core/session/alerts.ts';
import { callsAt, nextStage } from '../../core/session/calls.ts';
import { endPointOf } from '../../core/session/end-point.ts';
import { planWords } from '../../core/session/plan-words.ts';
import { sheetRows } from '../../core/session/rows.ts';
import { chooseNext, holdStage } from '../../core/session/steady.ts';
import { loadSheet } from '../../core/sheet/load.ts';
import { at, SessionBuilder } from './session-builder.ts';

const text = readFileSync(new URL('../../lab-sheets/cycle-submaximal-branching.yaml', import.meta.url), 'utf8');
const loaded = loadSheet(text, 'cycle-submaximal-branching.yaml');
if (!loaded.ok) throw new Error('the sheet is broken');
const { sheet } = loaded;
const rule = { within: 5, 'repeats-at-most': 2, source: 'CSEP insert of Golding 1989' };
const byMinute = (values: readonly (number | undefined)[]) => (minute: number) => values[minute - 1];
const start = at('20:00');
/** Heart rates of one stage's minutes, each at its full minute. */
function minutes(session: SessionBuilder, begins: number, values: readonly number[]): SessionBuilder {
  for (const [index, value] of values.entries()) session.reading('heart-rate', String(value), begins + (index + 1) * 60_000);
  return session;
}
const cycling = (age = '24') => new SessionBuilder('live', text).exercising(start, { age });

describe('the branch table, edge by edge', () => {
  /** As the CSEP insert prints it; the load of stage 2 in kg·m/min. */
  const published = (mean: number): string => (mean < 80 ? '750' : mean <= 89 ? '600' : mean <= 100 ? '450' : '300');
  it('every pair of heart rates lands in exactly the band of its rounded mean', () =>
    assert(
      property(integer({ min: 40, max: 210 }), integer({ min: -5, max: 5 }), (first, change) => {
        const pair = [first, first + change] as const;
        // Halves are rounded up: 79.5 is looked up as 80.
        const mean = Math.floor((pair[0] + pair[1]) / 2 + 0.5);
        expect(chooseNext(sheet, 1, pair)?.settings?.load).toBe(`${published(mean)} kg·m/min`);
        const band = sheet.stages.branch?.bands.filter((one) => mean >= Number(one.from) && (one.below === undefined || mean < Number(one.below)));
        expect(band).toHaveLength(1);
      }),
    ));
  it.each([
    [79, 79, '79 and 79 in stage 1, mean 79: below 80'],
    [79, 80, '79 and 80 in stage 1, mean 80: 80 to 89'],
    [89, 89, '89 and 89 in stage 1, mean 89: 80 to 89'],
    [90, 89, '90 and 89 in stage 1, mean 90: 90 to 100'],
    [100, 100, '100 and 100 in stage 1, mean 100: 90 to 100'],
    [100, 101, '100 and 101 in stage 1, mean 101: 101 or more'],
  ])('%i and %i: in words', (first, second, says) => expect(chooseNext(sheet, 1, [first, second])?.says).toBe(says));
});

describe('steady state and repeated minutes', () => {
  it('whatever the heart rates: at most two more minutes, never one after the cap, and held only while the last two differ by more than 5', () =>
    assert(
      property(array(integer({ min: 60, max: 200 }), { minLength: 3, maxLength: 7 }), integer({ min: 120, max: 190 }), (values, cap) => {
        const { repeats, steady } = holdStage(rule, 3, byMinute(values), cap);
        expect(repeats).toBeLessThanOrEqual(2);
        for (let repeat = 0; repeat < repeats; repeat += 1) {
          const [before, last] = [values[1 + repeat] ?? 0, values[2 + repeat] ?? 0];
          expect(Math.abs(before - last)).toBeGreaterThan(5);
          expect(Math.max(...values.slice(0, 3 + repeat))).toBeLessThan(cap);
        }
        if (steady.pair) expect(steady.state === 'steady').toBe(Math.abs(steady.pair[0] - steady.pair[1]) <= 5);
      }),
    ));
  it('a fall counts as a rise does', () => expect(holdStage(rule, 3, byMinute([130, 128, 121]), undefined)).toMatchObject({ repeats: 1, steady: { says: '128 then 121: not steady, hold one more minute' } }));
  it('the sheet may allow more minutes, or none', () => {
    const drifting = byMinute([100, 107, 114, 121, 128, 135, 142]);
    expect(holdStage({ ...rule, 'repeats-at-most': 0 }, 3, drifting, undefined)).toMatchObject({ repeats: 0, steady: { state: 'not-steady' } });
    expect(holdStage({ ...rule, 'repeats-at-most': 4 }, 3, drifting, undefined).repeats).toBe(4);
  });
  it('a minute that touched the cap ends the repeats, though the next one fell back', () => expect(holdStage(rule, 3, byMinute([150, 166, 158]), 165)).toMatchObject({ repeats: 0, steady: { state: 'not-steady', says: '166 then 158: not steady, but 166 has reached the cap of 165; no more minutes' } }));
  it('a minute that was not taken leaves it open', () => expect(holdStage(rule, 3, byMinute([110, undefined, 120]), undefined)).toMatchObject({ repeats: 0, steady: { state: 'pending' } }));
});

describe('on the sheet, as it is recorded', () => {
  it('a held stage moves the change, and the band of the table is chosen by its repeated minutes', () => {
    const session = minutes(cycling(), start, [84, 86, 93]);
    expect(session.state.stages[0]?.steady?.says).toBe('86 then 93: not steady, hold one more minute');
    expect(nextStage(session.state)).toMatchObject({ due: start + at('4:00'), says: 'the next setting needs the last two heart rates of stage 1' });
    session.reading('heart-rate', '96', start + at('4:00'));
    // 93 and 96: mean 94.5, rounded 95.
    expect(session.state.next).toMatchObject({ says: '93 and 96 in stage 1, mean 95: 90 to 100', settings: { load: { typed: '450' }, cadence: { value: 50 } } });
    session.clock(start + at('4:05')).add('stage-changed', { stage: 2 });
    const band = sheetRows(session.state, start + at('4:10')).filter((row) => row.kind === 'band').map((row) => row.text);
    expect(band[0]).toContain('93 then 96: steady, mean 94.5');
    expect(band[1]).toContain('93 and 96 in stage 1, mean 95: 90 to 100');
    minutes(session, start + at('4:05'), [105, 112, 114]).clock(start + at('7:10')).add('stage-changed', { stage: 3 });
    // Told once, at the stage that was chosen.
    expect(sheetRows(session.state, start + at('7:20')).filter((row) => row.kind === 'band').at(-1)?.text).not.toContain('in stage 1');
  });

  it('the cap wins over steady state, repeats and branch: no further stage is called, and the instructor is', () => {
    // 24 years: 208 − 0.7 × 24 = 191.2, of which 85 % is 162.52; 162 is below it, 163 is not.
    const below = minutes(cycling(), start, [150, 155, 162]);
    expect(below.state.stages[0]?.repeats).toBe(1);
    expect(endPointOf(below.state)?.reached).toBe('none');
    const session = minutes(cycling(), start, [150, 155, 163]);
    expect(session.state.stages[0]).toMatchObject({ repeats: 0, steady: { state: 'not-steady' } });
    expect(endPointOf(session.state)).toEqual({ reached: 'cap', says: 'Heart rate 163 has reached the cap of 163 (85 % of the predicted maximal heart rate): end-point.' });
    expect(callsAt(session.state, start + at('3:05')).filter((call) => call.kind === 'set')).toEqual([]);
    expect(alertsOf(session.state)).toMatchObject([{ id: 'heart-rate-cap', ask: 'instructor' }]);
    // Never a decision: the stop is still anyone's, and the test runs until somebody stops it.
    expect(session.state.phase).toBe('exercise');
    // Misheard: amended, the stages go on.
    session.reading('heart-rate', '153', start + at('3:00'));
    expect(endPointOf(session.state)?.reached).toBe('none');
    expect(callsAt(session.state, start + at('3:05')).some((call) => call.kind === 'set')).toBe(true);
  });

  it('the end-point in words, from the first stage to the line’s two', () => {
    const session = minutes(cycling(), start, [88, 95, 97]);
    // 24 years: the range is 110 to 162 (85 % of 191.2 is 162.52).
    expect(endPointOf(session.state)?.says).toBe('No steady stage within 110 to 162 yet; the line needs two in a row.');
    session.clock(start + at('3:00')).add('stage-changed', { stage: 2 });
    minutes(session, start + at('3:00'), [108, 118, 121]);
    expect(endPointOf(session.state)?.says).toBe('Stage 2 is steady at 119.5, within 110 to 162: the line needs the next one too.');
    session.clock(start + at('6:00')).add('stage-changed', { stage: 3 });
    minutes(session, start + at('6:00'), [128, 134, 137]);
    expect(endPointOf(session.state)).toEqual({ reached: 'line', says: 'Stages 2 and 3 are steady at 119.5 and 135.5, within 110 to 162: the line has its two stages.' });
    // Said, and the sheet's next stage is still called.
    expect(nextStage(session.state)?.number).toBe(4);
  });

  it('a cap of heart-rate reserve: 70 % of the way from rest to the maximum', () => {
    const reserve = new SessionBuilder('live', text.replace('fraction: 0.85\n  of: maximum', 'fraction: 0.7\n  of: reserve')).exercising(start, { age: '24' });
    // 0.7 × (191.2 − 74) + 74 = 156.04
    minutes(reserve, start, [140, 150, 156]);
    expect(endPointOf(reserve.state)?.reached).toBe('none');
    reserve.reading('heart-rate', '157', start + at('4:00'));
    expect(endPointOf(reserve.state)?.reached).toBe('cap');
  });
});

describe('the stage plan in words', () => {
  it('says the rules before anything is measured', () => {
    const words = planWords(sheet, 24, 74);
    expect(words.rules).toEqual([
      "Steady: the last two minutes' heart rates differ by 5 or less. If not, one more minute, twice at most.",
      'After stage 1 the mean of its last two heart rates, rounded, chooses the way.',
      'End-point: heart rate 163, 85 % of the predicted maximal heart rate. It wins over everything else.',
      'The line needs two steady stages in a row within 110 to 162.',
    ]);
    expect(words.branch?.ways.map((way) => way.when)).toEqual(['below 80', '80 to 89', '90 to 100', '101 or more']);
  });
  it('names the rule where the age is not known', () => expect(planWords(sheet, undefined, undefined).rules[2]).toBe('End-point: heart rate at 85 % of the predicted maximal heart rate. It wins over everything else.'));
  it('a maximal sheet has none', () => {
    const bruce = loadSheet(readFileSync(new URL('../../lab-sheets/treadmill-maximal-bruce.yaml', import.meta.url), 'utf8'), 'bruce');
    expect(bruce.ok && planWords(bruce.sheet, 22, 74)).toEqual({ rules: [] });
  });
});
