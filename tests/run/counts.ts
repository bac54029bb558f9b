/** Adds up the tests of both runners and says the result. */

export interface Counts {
  readonly passed: number;
  /** Their names. */
  readonly failed: readonly string[];
  readonly skipped: readonly string[];
}

/** The part of Vitest's JSON report that is read here. */
export interface VitestReport {
  readonly testResults: readonly {
    readonly name: string;
    readonly status: string;
    readonly assertionResults: readonly { readonly status: string; readonly fullName: string }[];
  }[];
}

/** The part of Playwright's JSON report that is read here. */
export interface PlaywrightReport {
  readonly suites: readonly PlaywrightSuite[];
  readonly errors: readonly { readonly message?: string }[];
}

interface PlaywrightSuite {
  readonly title: string;
  readonly specs: readonly {
    readonly title: string;
    readonly tests: readonly { readonly status: string; readonly projectName?: string }[];
  }[];
  readonly suites?: readonly PlaywrightSuite[];
}

/** A check or a runner that failed as a whole. */
export const failedRun = (name: string): Counts => ({ passed: 0, failed: [name], skipped: [] });

/** A file that could not be loaded has no tests in the report; it counts as one that failed. */
export function countVitest(report: VitestReport): Counts {
  const tests = report.testResults.flatMap((file) => file.assertionResults);
  const named = (wanted: (status: string) => boolean): string[] =>
    tests.filter(({ status }) => wanted(status)).map(({ fullName }) => fullName);
  const broken = report.testResults
    .filter((file) => file.status === 'failed' && !file.assertionResults.some(({ status }) => status === 'failed'))
    .map(({ name }) => name);
  return {
    passed: named((status) => status === 'passed').length,
    failed: [...named((status) => status === 'failed'), ...broken],
    skipped: named((status) => status !== 'passed' && status !== 'failed'),
  };
}

/** A test that passed only when it was tried again has failed: a flake is a fault to be found. */
export function countPlaywright(report: PlaywrightReport): Counts {
  const tests = report.suites.flatMap((suite) => testsOf(suite, []));
  const named = (...statuses: string[]): string[] => tests.filter(({ status }) => statuses.includes(status)).map(({ name }) => name);
  return {
    passed: named('expected').length,
    failed: [
      ...named('unexpected', 'flaky'),
      ...report.errors.map(({ message }) => message?.split('\n')[0] ?? 'an error outside the tests'),
    ],
    skipped: named('skipped'),
  };
}

function testsOf(suite: PlaywrightSuite, above: readonly string[]): { name: string; status: string }[] {
  const titles = [...above, suite.title];
  return [
    ...suite.specs.flatMap((spec) => spec.tests.map(({ status }) => ({ name: [...titles, spec.title].join(' > '), status }))),
    ...(suite.suites ?? []).flatMap((inner) => testsOf(inner, titles)),
  ];
}

export function total(all: readonly Counts[]): Counts {
  return {
    passed: all.reduce((sum, { passed }) => sum + passed, 0),
    failed: all.flatMap(({ failed }) => failed),
    skipped: all.flatMap(({ skipped }) => skipped),
  };
}

/** What failed and what was skipped, by name, and last the count alone on its line. */
export function closingLines({ passed, failed, skipped }: Counts): string[] {
  return [
    ...skipped.map((name) => `skipped: ${name}`),
    ...failed.map((name) => `FAILED: ${name}`),
    `${passed} passed, ${failed.length} failed${skipped.length > 0 ? `, ${skipped.length} skipped` : ''}`,
  ];
}
