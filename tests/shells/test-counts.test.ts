/** The closing line of `npm test` must add up: a test that failed, or never ran, may not be lost on the way. */
import { expect, it } from 'vitest';
import { closingLines, countPlaywright, countVitest, failedRun, total } from '../run/counts.ts';

const vitest = {
  testResults: [
    {
      name: '/t/a.test.ts',
      status: 'failed',
      assertionResults: [
        { status: 'passed', fullName: 'a works' },
        { status: 'failed', fullName: 'a fails' },
        { status: 'skipped', fullName: 'a is skipped' },
        { status: 'todo', fullName: 'a is to do' },
      ],
    },
    { name: '/t/broken.test.ts', status: 'failed', assertionResults: [] },
    { name: '/t/b.test.ts', status: 'passed', assertionResults: [{ status: 'passed', fullName: 'b works' }] },
  ],
};

const spec = (title: string, status: string) => ({ title, tests: [{ status, projectName: '' }] });
const playwright = {
  errors: [{ message: 'the port is taken\nat line 3' }],
  suites: [
    {
      title: 'session.journey.ts',
      specs: [spec('runs', 'expected'), spec('breaks', 'unexpected')],
      suites: [{ title: 'by keyboard', specs: [spec('passes when tried again', 'flaky'), spec('needs Electron', 'skipped')] }],
    },
  ],
};

it("counts Vitest's tests, and a file that did not load as one that failed", () => {
  expect(countVitest(vitest)).toEqual({ passed: 2, failed: ['a fails', '/t/broken.test.ts'], skipped: ['a is skipped', 'a is to do'] });
});

it("counts Playwright's tests at any depth, a flake as failed, and errors outside the tests", () => {
  expect(countPlaywright(playwright)).toEqual({
    passed: 1,
    failed: ['session.journey.ts > breaks', 'session.journey.ts > by keyboard > passes when tried again', 'the port is taken'],
    skipped: ['session.journey.ts > by keyboard > needs Electron'],
  });
});

it('adds them up, names what failed and was skipped, and ends with the count alone', () => {
  const sum = total([countVitest(vitest), countPlaywright(playwright), failedRun('lint')]);
  const lines = closingLines(sum);
  expect(lines.at(-1)).toBe('3 passed, 6 failed, 3 skipped');
  expect(lines).toContain('FAILED: lint');
  expect(lines).toContain('skipped: session.journey.ts > by keyboard > needs Electron');
  expect(lines).toHaveLength(6 + 3 + 1);
});

it('leaves the skipped ones out of the line when there are none', () => {
  expect(closingLines({ passed: 4, failed: [], skipped: [] })).toEqual(['4 passed, 0 failed']);
});
