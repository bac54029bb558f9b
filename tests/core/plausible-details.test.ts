import { describe, expect, test } from 'vitest';
import { readDetail } from '../../core/session/plausible-details.ts';
import { activityRows, healthColumns, publishedAdvice } from '../../core/session/screening.ts';

describe('details as people type them', () => {
  // By definition: 1 lb = 0.45359237 kg, 1 in = 2.54 cm, 1 mmHg = 133.322387415 Pa (so 101 300 Pa are 759.81238).
  test.each([
    ['mass', '135 lb', '[lb_av]', 61.23496995],
    ['height', '5 ft 9 in', '[ft_i]', 175.26],
    ['height', '1,75 m', 'm', 175],
    ['age', '22', 'a', 22],
    ['temperature', '70 °F', '[degF]', 21.11111],
    ['pressure', '1013 hPa', 'hPa', 759.81238],
  ] as const)('%s %s', (detail, typed, unit, value) => {
    const read = readDetail(detail, typed);
    expect(read).toMatchObject({ ok: true, typed, unit, judged: { level: 'usual' } });
    // 1e-4: the digits written above.
    if (read.ok) expect(read.value).toBeCloseTo(value, 4);
  });

  test('what was understood is said where it is not what was typed', () => {
    expect(readDetail('mass', '135 lb')).toMatchObject({ understood: '61.2\u00a0kg' });
    expect(readDetail('mass', '61.4')).not.toHaveProperty('understood');
  });

  // The edges of the data-entry limits (common practice), from both sides.
  test.each([
    ['age', '9', 'refuse'], ['age', '10', 'ask'], ['age', '17', 'ask'], ['age', '18', 'usual'], ['age', '45', 'usual'], ['age', '46', 'ask'], ['age', '100', 'ask'], ['age', '101', 'refuse'],
    ['height', '119', 'refuse'], ['height', '120', 'ask'], ['height', '140', 'usual'], ['height', '210', 'usual'], ['height', '211', 'ask'], ['height', '231', 'refuse'],
    ['mass', '24.9', 'refuse'], ['mass', '25', 'ask'], ['mass', '40', 'usual'], ['mass', '150 kg', 'usual'], ['mass', '150.1 kg', 'ask'], ['mass', '251', 'refuse'],
    ['temperature', '4.9', 'refuse'], ['temperature', '17', 'ask'], ['temperature', '18', 'usual'], ['temperature', '27', 'ask'], ['temperature', '41', 'refuse'],
    ['pressure', '449', 'refuse'], ['pressure', '639', 'ask'], ['pressure', '640', 'usual'], ['pressure', '791', 'ask'], ['pressure', '831', 'refuse'],
    ['humidity', '4', 'refuse'], ['humidity', '5', 'usual'], ['humidity', '71', 'ask'], ['humidity', '101', 'refuse'],
  ] as const)('%s %s: %s', (detail, typed, level) => {
    const read = readDetail(detail, typed);
    expect(read.ok ? read.judged.level : 'refuse').toBe(level);
  });

  test('a bare number that fits another unit asks for that unit', () => {
    expect(readDetail('height', '1.75')).toMatchObject({ ok: false, message: expect.stringContaining('Is it 1.75 m?') });
    expect(readDetail('mass', '140')).toMatchObject({ ok: true, judged: { level: 'ask', message: expect.stringContaining('140 lb') } });
    expect(readDetail('temperature', '70')).toMatchObject({ ok: false, message: expect.stringContaining('Is it 70 °F?') });
  });

  test('words, nothing, and a name in place of a code', () => {
    expect(readDetail('sex', 'F')).toMatchObject({ ok: true, typed: 'F' });
    expect(readDetail('sex', 'x')).toMatchObject({ ok: false });
    expect(readDetail('mass', '  ')).toMatchObject({ ok: true, typed: '' });
    expect(readDetail('mass', 'heavy')).toMatchObject({ ok: false });
    expect(readDetail('participant-code', 'R-07')).toMatchObject({ judged: { level: 'usual' } });
    expect(readDetail('participant-code', 'Robin Ash')).toMatchObject({ judged: { level: 'ask' } });
    expect(readDetail('course', 'x'.repeat(10_000_000))).toMatchObject({ ok: false });
  });
});

test('the screening table has all six cells, and sends signs and symptoms to a doctor first', () => {
  for (const activity of activityRows) for (const health of healthColumns) expect(publishedAdvice(activity.id, health.id)).not.toBe('');
  for (const activity of activityRows) expect(publishedAdvice(activity.id, 'signs-or-symptoms')).toMatch(/clearance/);
  expect(publishedAdvice('active', 'known-disease')).toMatch(/12 months/);
});
