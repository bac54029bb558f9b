/**
 * The marking engine on a whole record. Right answers are worked by hand in `worksheet-builder.ts`; what each fault costs is
 * the sheet's marks divided after published schemes: one mark for a unit, one for an arithmetic slip,
 * shown method keeps its mark.
 */
import { describe, expect, it } from 'vitest';
import { markingInput } from '../../core/worksheet/record.ts';
import { markWorksheet, type Marking, type QuestionMark } from '../../core/worksheet/marking.ts';
import { workedSolution } from '../../core/worksheet/worked-solution.ts';
import { bruceText, SessionBuilder, at } from './session-builder.ts';
import { answered, wholeSession, WorksheetBuilder } from './worksheet-builder.ts';

const session = wholeSession();
type Replaced = Parameters<typeof answered>[1];
const mark = (replaced: Replaced = {}, on: SessionBuilder = session): Marking => markWorksheet(markingInput(on.state, answered(on, replaced).state));
const of = (marking: Marking, id: string): QuestionMark => {
  const found = marking.questions.find((question) => question.id === id);
  if (!found) throw new Error(`no question ${id}`);
  return found;
};
const one = (id: string, answer: NonNullable<NonNullable<Replaced>[string]>): QuestionMark => of(mark({ [id]: answer }), id);

describe('a right paper', () => {
  it('has full marks everywhere, and the written answer waits', () => {
    const sheet = answered(session).answer('discussion', 'Heart rate rose with …');
    const marking = markWorksheet(markingInput(session.state, sheet.state));
    expect(marking).toMatchObject({ total: 42, outOf: 50, pending: 8, student: 's-2204', participant: 'R-07', session: session.id });
    expect(of(marking, 'discussion')).toMatchObject({ verdict: 'waiting', marks: 0, pending: 8 });
    expect(of(marking, 'discussion').rubric).toHaveLength(5);
  });
  it('explains every award in one line', () => {
    for (const question of mark({ 'hr-max': ['nonsense'], category: ['Good'] }).questions) {
      expect(question.reason).not.toMatch(/\n|undefined|NaN/);
      expect(question.reason).toMatch(/[.!]$/);
    }
  });
  it('does not ask for working where the answer is right', () => {
    expect(one('hr-max', ['193', '/min'])).toMatchObject({ marks: 3, verdict: 'right' });
  });
  it('takes the unit from the typed text, decimal commas, and a value after an equals sign', () => {
    expect(one('vo2-peak', ['VO2 = 37,6 ml/kg/min'])).toMatchObject({ marks: 5, verdict: 'right' });
    expect(one('vo2-peak', ['about 37.6 mL·kg⁻¹·min⁻¹'])).toMatchObject({ marks: 5 });
  });
});

describe('units', () => {
  it('a right number without its unit loses the unit mark, once', () => {
    expect(one('hr-max', ['193'])).toMatchObject({ marks: 2, unitMarkLost: 1, verdict: 'right' });
    expect(one('hr-max', ['193']).reason).toContain('unit is missing');
  });
  it('a right number with a wrong unit loses it too', () => {
    expect(one('vo2-peak', ['37.6', 'L/min'])).toMatchObject({ marks: 4, unitMarkLost: 1 });
    expect(one('hr-max', ['193', 'mmHg'])).toMatchObject({ marks: 2, unitMarkLost: 1 });
    expect(one('hr-max', ['193', 'blah'])).toMatchObject({ marks: 2, unitMarkLost: 1 });
  });
  it('METs are the same dimension: 37.6 / 3.5 = 10.75', () => {
    expect(one('vo2-peak', ['10.75', 'METs'])).toMatchObject({ marks: 5, verdict: 'right' });
    expect(one('vo2-peak', ['10.75', 'mL/kg/min'])).toMatchObject({ marks: 4, unitMarkLost: 1 });
    expect(one('vo2-peak', ['10.75', 'mL/kg/min']).reason).toContain('it is in METs');
  });
  it('an absolute uptake converts by the body mass: 41.36 × 61.4 / 1000 = 2.54 L/min', () => {
    expect(one('vo2-time', ['2.54', 'L/min'])).toMatchObject({ marks: 5, verdict: 'right' });
  });
  it('but the value that the question starts from is no answer to it', () => {
    expect(one('vo2-peak', ['2.31', 'L/min'])).toMatchObject({ marks: 0, verdict: 'wrong' });
    expect(one('vo2-peak', ['2310', 'mL/min']).reason).toContain('what the record holds');
  });
  it('a table whose unit is printed at its head loses no unit mark, and a wrong unit costs it once for all rows', () => {
    const bare = mark({ 'stage-vo2/stage-1': ['16.3'], 'stage-vo2/stage-2': ['24.7'], 'stage-vo2/stage-3': ['35.6'] });
    expect(of(bare, 'stage-vo2')).toMatchObject({ marks: 8, unitMarkLost: 0 });
    const wrong = mark({ 'stage-vo2/stage-1': ['16.3', 'W'], 'stage-vo2/stage-2': ['24.7', 'W'], 'stage-vo2/stage-3': ['35.6', 'W'] });
    expect(of(wrong, 'stage-vo2')).toMatchObject({ marks: 7, unitMarkLost: 1 });
    expect(of(wrong, 'stage-vo2').reason).toContain('once for the question');
  });
  it('a percentage may be given as a fraction', () => {
    expect(one('percent-of-predicted', ['0.910'])).toMatchObject({ marks: 4 });
  });
});

describe('named slips, matched on the student’s own data', () => {
  it('grade as a whole number: 0.1 × 91.1 + 1.8 × 91.1 × 14 + 3.5 = 2308; the method mark stays when the working shows it', () => {
    const marked = mark({ 'stage-vo2/stage-3': ['2308', 'mL/kg/min', '0.1 × 91.1 + 1.8 × 91.1 × 14 + 3.5'] });
    const row = of(marked, 'stage-vo2').rows.find(({ row: id }) => id === 'stage-3');
    expect(row).toMatchObject({ verdict: 'slip', slip: { id: 'grade-as-whole-number' } });
    expect(row?.reason).toContain('whole number');
    expect(row?.reason).toContain('method mark kept');
    // 8 marks over 3 rows: 5.33 for two right rows and a third of the 2 method marks, 0.67, makes 6.
    expect(of(marked, 'stage-vo2').marks).toBe(6);
  });
  it('without working there is no method mark', () => {
    const row = of(mark({ 'stage-vo2/stage-3': ['2308'] }), 'stage-vo2').rows[2];
    expect(row).toMatchObject({ verdict: 'slip', marks: 0 });
    expect(row?.reason).toContain('no working is shown');
  });
  it.each([
    ['mph taken as m/min: 0.1 × 3.4 + 1.8 × 3.4 × 0.14 + 3.5 = 4.70', 'stage-vo2/stage-3', '4.70', 'speed-in-mph'],
    ['the resting term left out: 35.57 − 3.5 = 32.07', 'stage-vo2/stage-3', '32.1', 'rest-left-out'],
    ['km/h taken as m/min: 0.1 × 5.47 + 1.8 × 5.47 × 0.14 + 3.5 = 5.43', 'stage-vo2/stage-3', '5.43', 'speed-in-km-h'],
    ['the running equation for a walk: 0.2 × 91.1 + 0.9 × 91.1 × 0.14 + 3.5 = 33.2', 'stage-vo2/stage-3', '33.2', 'other-gait'],
    ['pounds for kilograms: 2310 / 135.4 = 17.1', 'vo2-peak', '17.1', 'mass-in-pounds'],
    ['resting rate not added back: 0.6 × 114 = 68', 'target-heart-rate', '68.4', 'rest-not-added-back'],
    ['per cent of the maximum: 0.6 × 188 = 113', 'target-heart-rate', '112.8', 'percent-of-maximum'],
    ['predicted over measured: 100 × 41.36 / 37.62 = 109.9', 'percent-of-predicted', '109.9', 'upside-down'],
    ['subtracted the other way round', 'hr-recovery', '-31', 'sign-turned'],
  ])('%s', (_name, place, typed, slip) => {
    const [id = ''] = place.split('/');
    const unit = of(mark(), id).rows[0]?.answer?.unit ?? '';
    const row = of(mark({ [place]: [typed, unit] }), id).rows.find((mine) => mine.verdict === 'slip');
    expect(row?.slip?.id).toBe(slip);
  });
  it('minutes and seconds read as decimals: 10:20 as 10.20 gives 4.38 × 10.20 − 3.90 = 40.78', () => {
    const marked = one('vo2-time', ['40.78', 'mL/kg/min', '4.38 × 10.20 − 3.90']);
    expect(marked).toMatchObject({ verdict: 'near', marks: 2.5 });
    expect(marked.rows[0]?.reason).toContain('Near');
  });
  it('a wrong equation keeps no method mark', () => {
    const marked = one('target-heart-rate', ['113', '/min', '0.6 × 188']);
    expect(marked).toMatchObject({ verdict: 'slip', marks: 0 });
    expect(marked.reason).toContain('another method');
  });
  it('says nothing beyond a match', () => {
    expect(one('target-heart-rate', ['99', '/min'])).toMatchObject({ verdict: 'wrong', marks: 0 });
    expect(one('target-heart-rate', ['99', '/min']).rows[0]?.slip).toBeUndefined();
  });
});

describe('working', () => {
  it('the working is right and the answer is not: the slip alone costs a mark', () => {
    const marked = one('target-heart-rate', ['124', '/min', '0.6 × (188 − 74) + 74 = 142.4']);
    expect(marked).toMatchObject({ verdict: 'arithmetic-slip', marks: 3 });
  });
  it('working that only states the result shows no method', () => {
    expect(one('target-heart-rate', ['124', '/min', '142.4 × 1'])).toMatchObject({ marks: 0 });
    expect(one('target-heart-rate', ['124', '/min', '142.4'])).toMatchObject({ marks: 0 });
  });
  it('right working without an answer earns the method mark', () => {
    expect(one('target-heart-rate', ['', undefined, '0.6 × (188 − 74) + 74'])).toMatchObject({ verdict: 'method-only', marks: 1 });
  });
  it('near the value, half of the marks', () => {
    expect(one('hr-max', ['195', '/min'])).toMatchObject({ verdict: 'near', marks: 1.5 });
    expect(one('hr-max', ['197', '/min'])).toMatchObject({ verdict: 'wrong', marks: 0 });
  });
});

describe('carried forward', () => {
  it('a percentage that is right for a wrong prediction earns full marks: 100 × 37.6 / 50 = 75.2', () => {
    const marking = mark({ 'vo2-time': ['50', 'mL/kg/min'], 'percent-of-predicted': ['75.2', '%'] });
    expect(of(marking, 'vo2-time').marks).toBe(0);
    expect(of(marking, 'percent-of-predicted')).toMatchObject({ verdict: 'carried-forward', marks: 4 });
    expect(of(marking, 'percent-of-predicted').reason).toBe('Carried forward: right for the answer given to question 4; the record gives 91.0\u00a0%.');
  });
  it('the value from the record stays right beside a wrong earlier answer', () => {
    expect(of(mark({ 'vo2-time': ['50', 'mL/kg/min'] }), 'percent-of-predicted')).toMatchObject({ verdict: 'right', marks: 4 });
  });
  it('a value that no person has earns the method only: 100 × 37.6 / 2308 = 1.6', () => {
    const marking = mark({ 'vo2-time': ['2308', 'mL/kg/min'], 'percent-of-predicted': ['1.6', '%'] });
    expect(of(marking, 'percent-of-predicted')).toMatchObject({ verdict: 'method-only', marks: 1 });
    expect(of(marking, 'percent-of-predicted').reason).toContain('no person has');
  });
  it('an earlier answer without its unit is taken as it was meant, and carries no second penalty', () => {
    const marking = mark({ 'vo2-peak': ['37.6'] });
    expect(of(marking, 'vo2-peak').marks).toBe(4);
    expect(of(marking, 'percent-of-predicted').marks).toBe(4);
  });
  it('an earlier answer in L/min is converted by the mass before it is used: 2.0 L/min is 32.6; 100 × 32.6 / 41.4 = 78.7', () => {
    const marking = mark({ 'vo2-peak': ['2.0', 'L/min'], 'percent-of-predicted': ['78.7', '%'] });
    expect(of(marking, 'percent-of-predicted')).toMatchObject({ verdict: 'carried-forward', marks: 4 });
  });
  it('a conclusion that follows from the criteria as answered is carried forward', () => {
    const marking = mark({ 'effort/rer': ['not met'], 'effort/rpe': ['not met'], 'effort/conclusion': ['VO2peak'] });
    expect(of(marking, 'effort').rows.at(-1)).toMatchObject({ verdict: 'carried-forward' });
    expect(of(marking, 'effort').reason).toContain('RER: met');
    // 6 marks over 5 rows; 2 of them wrong: 3.6, to half marks 3.5.
    expect(of(marking, 'effort').marks).toBe(3.5);
  });
});

describe('void', () => {
  it('a reading that was not taken voids its question, and the marks leave the total', () => {
    const built = new SessionBuilder().exercising(at('20:00'));
    built.clock(at('24:00')).add('test-stopped', {}).add('stop-reason-given', { reason: 'Volitional exhaustion', symptom: false });
    const marking = markWorksheet(markingInput(built.state, new WorksheetBuilder(built).state));
    expect(of(marking, 'vo2-peak')).toMatchObject({ verdict: 'void', outOf: 0, reason: 'Void: oxygen uptake was not taken.' });
    expect(of(marking, 'percent-of-predicted').verdict).toBe('void');
    expect(of(marking, 'hr-recovery').verdict).toBe('void');
    expect(marking.outOf).toBeLessThan(50);
    expect(marking.outOf).toBe(marking.questions.reduce((sum, question) => sum + question.outOf, 0));
  });
  it('without the sex there is no band and no prediction from time', () => {
    const built = wholeSession({ details: { sex: 'not given' } });
    const marking = mark({}, built);
    expect(of(marking, 'category')).toMatchObject({ verdict: 'void', outOf: 0 });
    expect(of(marking, 'vo2-time').reason).toContain('sex');
    expect(of(marking, 'hr-max').marks).toBe(3);
  });
  it('no completed stage leaves the table without rows', () => {
    const built = new SessionBuilder().exercising(at('20:00'));
    built.clock(at('22:00')).add('test-stopped', {});
    const marking = markWorksheet(markingInput(built.state, new WorksheetBuilder(built).state));
    expect(of(marking, 'stage-vo2')).toMatchObject({ verdict: 'void', outOf: 0, rows: [] });
  });
});

describe('alternatives', () => {
  /** Stage 4 of the Bruce stages is 4.2 mph, 112.6 m/min: walking 0.1 × 112.6 + 1.8 × 112.6 × 0.16 + 3.5 = 47.2, running 42.2. */
  const fast = (gait?: 'walk' | 'run'): SessionBuilder => {
    const start = at('20:00');
    const built = new SessionBuilder().exercising(start);
    for (const stage of [2, 3, 4]) built.clock(start + (stage - 1) * at('3:00')).add('stage-changed', { stage });
    if (gait) built.clock(start + at('9:30')).add('gait-seen', { gait });
    return built.clock(start + at('12:00')).add('stage-changed', { stage: 5 }).clock(start + at('12:30')).add('test-stopped', {});
  };
  const fourth = (built: SessionBuilder, typed: string) => {
    const sheet = new WorksheetBuilder(built).answer('stage-vo2/4', typed);
    return of(markWorksheet(markingInput(built.state, sheet.state)), 'stage-vo2').rows.find((row) => row.row === 'stage-4');
  };
  it('between walking and running speeds without a recorded gait, both equations are right', () => {
    expect(fourth(fast(), '47.2')?.verdict).toBe('right');
    expect(fourth(fast(), '42.2')?.verdict).toBe('right');
  });
  it('with a recorded gait, that one alone', () => {
    expect(fourth(fast('run'), '42.2')?.verdict).toBe('right');
    expect(fourth(fast('run'), '47.2')?.verdict).toBe('slip');
    expect(fourth(fast('walk'), '47.2')?.verdict).toBe('right');
  });
  it('an accepted route is right too: 220 − 22 = 198', () => {
    const text = bruceText.replace('      with: { age: participant.age }\n', '      with: { age: participant.age }\n    accept:\n      - { formula: hr-max-fox-1971, with: { age: participant.age } }\n');
    expect(text).not.toBe(bruceText);
    const built = wholeSession({ text });
    expect(of(mark({ 'hr-max': ['198', '/min'] }, built), 'hr-max')).toMatchObject({ verdict: 'right', marks: 3 });
    expect(one('hr-max', ['198', '/min'])).toMatchObject({ marks: 0 });
  });
});

describe('choices and judgements', () => {
  it('takes the words as people write them', () => {
    expect(of(mark({ 'effort/plateau': ['No'], 'effort/rer': ['yes'], 'effort/conclusion': ['VO2max'] }), 'effort').marks).toBe(6);
    expect(of(mark({ category: ['fair'] }), 'category').marks).toBe(3);
  });
  it('names what was not addressed', () => {
    const marked = of(mark({ 'effort/plateau': undefined }), 'effort');
    expect(marked.reason).toContain('Plateau of oxygen uptake not addressed');
    expect(marked.marks).toBe(5);
  });
  it('a wrong category says the right one', () => {
    expect(one('category', ['Superior'])).toMatchObject({ verdict: 'wrong', marks: 0 });
    expect(one('category', ['Superior']).reason).toContain('Fair');
  });
});

describe('the last answer stands', () => {
  it('and the earlier attempts are counted', () => {
    const sheet = answered(session).answer('hr-max', '150', '/min').answer('hr-max', '193', '/min');
    expect(of(markWorksheet(markingInput(session.state, sheet.state)), 'hr-max')).toMatchObject({ marks: 3, rows: [{ answer: { attempts: 3 } }] });
  });
  it('a blank takes an answer back', () => {
    const sheet = answered(session).answer('hr-max', '  ');
    expect(of(markWorksheet(markingInput(session.state, sheet.state)), 'hr-max')).toMatchObject({ verdict: 'not-answered', marks: 0 });
  });
});

describe('worked solution', () => {
  it('puts the record’s own numbers into the formula’s own line', () => {
    const input = markingInput(session.state, answered(session).state);
    const solution = (id: string) => workedSolution(session.state.sheet.questions.find((question) => question.id === id)!, input);
    expect(solution('hr-max').lines[0]).toMatchObject({ working: '208 − 0.7 × 22 = 193\u00a0/min', answer: '193\u00a0/min' });
    expect(solution('stage-vo2').lines).toHaveLength(3);
    expect(solution('stage-vo2').lines[2]?.working).toContain('0.14');
    expect(solution('effort').lines).toHaveLength(5);
    expect(solution('discussion').lines).toEqual([]);
  });
});
