/** The class: which tests count, how often, and what is never shown. */
import { describe as suite, expect, test } from 'vitest';
import { agreementOf } from '../../core/class/agreement.ts';
import { choicesOf, filterClass } from '../../core/class/filter.ts';
import { countsInWords, countsOf, gatherClass } from '../../core/class/gather.ts';
import { categoryBars, curvesOf, groupMeans, presented, quantityOf } from '../../core/class/groups.ts';
import { classTestOf } from '../../core/class/test.ts';
import { eventOf } from '../../core/record/event.ts';
import { foldSession } from '../../core/session/fold.ts';
import { classOfPairs, classTest, worksheet } from './class-maker.ts';
import { wholeSession } from './worksheet-builder.ts';

suite('a test counts once', () => {
  test('thirty tests with two worksheets each are thirty tests', () => {
    const sheets = Array.from({ length: 30 }, (_, i) => classTest(`t-${i}`)).flatMap((one, i) => [worksheet(one, `s-${2 * i}`), worksheet(one, `s-${2 * i + 1}`)]);
    const data = gatherClass(sheets);
    expect(countsOf(data.tests)).toEqual({ tests: 30, people: 30, withoutCode: 0, worksheets: 60 });
    expect(countsInWords(countsOf(data.tests))).toBe('30 tests, 30 people, 60 worksheets');
    expect(data.tests[4]?.worksheets.map((one) => one.student)).toEqual(['s-8', 's-9']);
  });
  test('a person with two tests is one person; tests without a code are named as such; the code’s capitals do not matter', () => {
    const data = gatherClass([worksheet(classTest('a', { participant: 'R-07' }), 's-1'), worksheet(classTest('b', { participant: 'r-07' }), 's-2'), worksheet(classTest('c', { participant: '' }), 's-3'), worksheet(classTest('d', { participant: 'R-07', course: 'EXS 310' }), 's-4')]);
    expect(countsOf(data.tests)).toMatchObject({ tests: 4, people: 2, withoutCode: 1 });
    expect(countsInWords(countsOf(data.tests))).toContain('1 test without a code');
  });
  test('a rehearsal is never a test of the class, even where it was accepted for marks', () => {
    const data = gatherClass([worksheet(classTest('a', { way: 'rehearsal' }), 's-1'), worksheet(classTest('b'), 's-2')]);
    expect(data.tests.map((one) => one.session)).toEqual(['b']);
    expect(data.leftOut).toEqual([{ reason: 'a rehearsal, not a test', worksheets: 1 }]);
  });
  test('the roster’s group fills in where the record names none', () => {
    const data = gatherClass([worksheet(classTest('a', { group: '' }), 's-1', 'Tue'), worksheet(classTest('b', { group: 'Mon' }), 's-2', 'Tue')]);
    expect(data.tests.map((one) => one.group)).toEqual(['Tue', 'Mon']);
  });
});

test('what a record becomes: measured 2310 / 61.4, Pollock’s 4.38 × 10.333 − 3.90, curves, category, and no blood pressure', () => {
  const session = wholeSession({ details: { group: 'B', term: 'Spring' } });
  const one = classTestOf(foldSession(session.stored.map((event) => eventOf(event.body))));
  expect(one.measured).toBeCloseTo(37.62, 2);
  expect(one.predicted.find((predicted) => /pollock/.test(predicted.method))?.value).toBeCloseTo(41.36, 2);
  expect(one).toMatchObject({ group: 'B', term: 'Spring', sex: 'female', age: 22, peakHeartRate: 188, recovery1: 31, recovery2: 54, way: 'live', maximal: true });
  expect(one.exercise.at(-1)).toMatchObject({ y: 188 });
  expect(one.recovery.map((point) => point.y)).toEqual(expect.arrayContaining([188, 157, 134, 121]));
  expect(one.categories.map((found) => found.name)).toContain('Fair');
  const text = JSON.stringify(one);
  expect(text).not.toMatch(/systolic|diastolic|pressure|symptom-|screening|mm\[Hg\]/i);
  // No systolic pressure of the record (132, 146, 150) is in it under any other name.
  const numbers = text.match(/-?\d+(\.\d+)?/g) ?? [];
  for (const pressure of ['132', '146', '150']) expect(numbers).not.toContain(pressure);
});

suite('agreement', () => {
  test('a symptom-limited test and one without either value are left out, and said so', () => {
    const pairs = classOfPairs([40, 44, 50, 47], [42, 44, 46, 45]);
    const { tests } = gatherClass([
      ...pairs,
      worksheet(classTest('symptom', { symptomLimited: true, measured: 30, predicted: [{ method: 'x', title: 'Method X', value: 40 }] }), 's-9'),
      worksheet(classTest('no-gas', { predicted: [{ method: 'x', title: 'Method X', value: 40 }] }), 's-10'),
      worksheet(classTest('other', { measured: 40 }), 's-11'),
    ]);
    const found = agreementOf(tests, 'x');
    expect(found.statistics?.n).toBe(4);
    expect(found.leftOut).toEqual([
      { reason: 'stopped for a symptom', n: 1 },
      { reason: 'no measured uptake', n: 1 },
      { reason: 'no prediction by this method', n: 1 },
    ]);
    // predicted − measured: +2, 0, −4, −2
    expect(found.statistics?.bias.value).toBeCloseTo(-1, 12);
    expect(tests.flatMap((one) => quantityOf(one, 'measured', 'x') ?? [])).not.toContain(30);
  });
  test('two pairs give no statistics, with the reason', () => {
    const found = agreementOf(gatherClass(classOfPairs([40, 44], [42, 44])).tests, 'x');
    expect(found.statistics).toBeUndefined();
    expect(found.reason).toContain('there are 2');
  });
  test('one person’s two tests are said', () => {
    const sheets = classOfPairs([40, 44, 50], [42, 44, 46]).map((one) => ({ ...one, test: { ...one.test, participant: 'R-07' } }));
    expect(agreementOf(gatherClass(sheets).tests, 'x').repeated).toBe(true);
    expect(agreementOf(gatherClass(classOfPairs([40, 44, 50], [42, 44, 46])).tests, 'x').repeated).toBe(false);
  });
});

suite('filters and groups', () => {
  const group = (name: string, count: number, sex: 'female' | 'male') => Array.from({ length: count }, (_, i) => worksheet(classTest(`${name}${sex}${i}`, { group: name, sex, measured: 40 + i, term: i % 2 === 0 ? 'Autumn' : 'Spring' }), `s-${name}-${sex}-${i}`));
  const { tests } = gatherClass([...group('A', 6, 'female'), ...group('a ', 2, 'male'), ...group('B', 4, 'male')]);
  test('“A” and “a ” are one group', () => {
    expect(choicesOf(tests).groups).toEqual([
      { value: 'a', label: 'A', n: 8 },
      { value: 'b', label: 'B', n: 4 },
    ]);
    expect(filterClass(tests, { group: 'A' })).toHaveLength(8);
    expect(filterClass(tests, { group: 'A', sex: 'male' })).toHaveLength(2);
    expect(filterClass(tests, { term: 'autumn' })).toHaveLength(6);
    expect(filterClass(tests, { sheet: 'another' })).toHaveLength(0);
  });
  test('means carry n and an interval; a group under five is held back from a room', () => {
    const rows = groupMeans(tests, undefined);
    expect(rows.map((row) => [row.label, row.tests])).toEqual([['All', 12], ['Female', 6], ['Male', 6], ['Group A', 8], ['Group B', 4]]);
    // 40 … 45: mean 42.5, SD 1.871, t(0.975, 5) 2.571
    expect(rows[1]?.means.measured).toMatchObject({ n: 6, value: 42.5 });
    expect(rows[1]?.means.measured?.interval?.high).toBeCloseTo(42.5 + (2.571 * 1.8708) / Math.sqrt(6), 2);
    const shown = presented(rows);
    expect(shown.rows.map((row) => row.label)).not.toContain('Group B');
    expect(shown.heldBack).toBe(1);
  });
  test('categories keep their order, with those that nobody reached', () => {
    const named = tests.map((one, i) => ({ ...one, categories: [{ table: 't', title: 'T', name: i < 5 ? 'Good' : i < 7 ? 'Excellent or Superior' : 'Poor' }] }));
    const { bars, n } = categoryBars(named, 't');
    expect(n).toBe(12);
    expect(bars.map((bar) => [bar.name, bar.count])).toEqual([['Very poor', 0], ['Poor', 5], ['Fair', 0], ['Good', 5], ['Excellent', 0], ['Superior', 0], ['Excellent or Superior', 2]]);
    expect(bars[1]?.share).toMatchObject({ n: 12, value: 5 / 12 });
  });
  test('mean curves at whole minutes say how many are behind each', () => {
    const curved = tests.slice(0, 2).map((one, i) => ({ ...one, exercise: i === 0 ? [{ x: 0, y: 70 }, { x: 1, y: 100 }, { x: 1.5, y: 999 }] : [{ x: 1.1, y: 110 }] }));
    const { means, curves } = curvesOf(curved, 'exercise');
    expect(curves).toHaveLength(2);
    expect(means.map(({ x, n, value }) => [x, n, value])).toEqual([[0, 1, 70], [1, 2, 105]]);
  });
});
