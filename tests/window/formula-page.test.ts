/** The formula reference page: found by words, worked with values in any unit, solved for another variable. */
import { describe, expect, test } from 'vitest';
import { formulas } from '../../core/formulas/registry.ts';
import { FormulaPage } from '../../renderer/formulas/formulas.svelte.ts';

function opened(id: string, values: Readonly<Record<string, string>> = {}): FormulaPage {
  const page = new FormulaPage(id);
  for (const [name, text] of Object.entries(values)) page.type(name, text);
  return page;
}
const answer = (page: FormulaPage) => (page.result && 'answer' in page.result ? page.result.answer.replaceAll('\u00a0', ' ') : page.result?.trouble);

describe('searching', () => {
  test.each([
    ['astrand nomogram', 'vo2max-astrand-ryhming'],
    ['vo2 walking', 'walk-vo2-acsm'],
    ['percentile', 'vo2max-percentile'],
    ['wasserman ramp height', 'ramp-vo2-peak'],
    ['heart-rate recovery', 'hr-recovery'],
  ])('“%s” finds %s', (words, id) => {
    const page = new FormulaPage(undefined);
    page.search = words;
    expect(page.found.map((formula) => formula.id)).toContain(id);
  });
  test('what bears the word in its name comes first; no word finds all, nonsense finds none', () => {
    const page = new FormulaPage(undefined);
    page.search = 'percentile';
    expect(page.current?.id).toBe('vo2max-percentile');
    page.search = '';
    expect(page.found.length).toBe(formulas.length);
    page.search = 'zzz';
    expect(page.current).toBeUndefined();
  });
});

describe('working', () => {
  test('forward, in mixed units, with the answer in another unit', () => {
    const page = opened('walk-vo2-acsm', { speed: '5,4 km/h', grade: '10 %' });
    // 90 m/min: 9 + 16.2 + 3.5
    expect(answer(page)).toBe('28.7 mL/kg/min');
    page.answerIn('[MET]');
    expect(answer(page)).toBe('8.20 METs');
  });
  test('solved for the grade, in per cent as people speak of it, or as the fraction', () => {
    const page = opened('walk-vo2-acsm', { output: '7 METs', speed: '4.5 km/h' });
    page.solve('grade');
    // 75 m/min: (24.5 − 3.5 − 7.5) / 135
    expect(answer(page)).toBe('10.00 %');
    page.answerIn('1');
    expect(answer(page)).toBe('0.1000');
  });
  test('solved for a load in the unit that has constants of its own', () => {
    const page = opened('leg-vo2-acsm', { output: '25', mass: '80' });
    page.solve('load');
    expect(answer(page)).toBe('133.3 W');
    page.answerIn('kgf.m/min');
    // 18 × 80 / 1.8, not 133.3 × 6.12
    expect(answer(page)).toBe('800.0 kg·m/min');
  });
  test('trouble is said without the names of the command line', () => {
    expect(answer(opened('vo2max-queens-college-1972', { heartRate: 'abc' }))).toMatch(/^Recovery heart rate: "abc" is not a number/);
    expect(answer(opened('walk-vo2-acsm', { speed: '90' }))).toBe('Walking, ACSM needs grade.');
  });
});

test('ranges say which are refused and which only warn', () => {
  expect(opened('vo2max-bruce-foster-1984-men').ranges).toEqual([
    'Treadmill time, 3 to 22 min; computed with a warning beyond it',
    'Treadmill time, 1.64 to 23.42 min; refused beyond it',
  ]);
});

test('every formula opens: inputs, units of the answer, ranges and its source', () => {
  for (const { id } of formulas) {
    const page = opened(id);
    expect(page.inputs.length, id).toBeGreaterThan(0);
    expect(page.answerUnits.length, id).toBeGreaterThan(0);
    expect(page.source?.length, id).toBeGreaterThan(5);
    for (const name of page.solvable) {
      page.solve(name);
      expect(page.inputs[0]?.name, `${id} for ${name}`).toBe('output');
    }
  }
});
