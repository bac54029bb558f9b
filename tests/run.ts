/**
 * `npm test`: finds a browser, then type-checks, lints, checks which room imports what, builds, and runs every test.
 * Everything is run even when something before it failed, so that one run tells all; any failure makes the exit code 1.
 * The last line counts the tests. A check or a runner that failed counts as one failed test.
 */
import { mkdirSync, readFileSync, readdirSync, rmSync } from 'node:fs';
import path from 'node:path';
import { buildWhenStale } from '../electron/first-run/build.mjs';
import { runCommand } from '../electron/first-run/command.mjs';
import { obtainBrowser } from './run/browser.ts';
import { runCheck, type Check } from './run/check.ts';
import { closingLines, countPlaywright, countVitest, failedRun, total, type Counts } from './run/counts.ts';

const root = path.dirname(import.meta.dirname);
const reports = path.join(root, 'dist', 'test-reports');
const tool = (file: string): string => path.join(root, 'node_modules', file);
const heading = (text: string): void => console.log(`\n=== ${text}`);

// The pinned Node also for whatever a tool starts as `node`.
process.env['PATH'] = `${path.dirname(process.execPath)}${path.delimiter}${process.env['PATH'] ?? ''}`;

/** Room by room, at the same time where that helps: there are rarely more than two cores. */
const checks: readonly (readonly Check[])[] = [
  [
    { name: 'types', args: [tool('typescript/bin/tsc'), '--noEmit', '-p', root] },
    {
      name: 'types of the screens',
      args: [tool('svelte-check/bin/svelte-check'), '--tsconfig', 'renderer/tsconfig.json', '--output', 'human', '--fail-on-warnings'],
    },
  ],
  [
    { name: 'lint', args: [tool('oxlint/bin/oxlint'), '--deny-warnings'] },
    {
      name: 'rooms',
      args: [
        tool('dependency-cruiser/bin/dependency-cruise.mjs'),
        '--config',
        'tests/rooms.config.mjs',
        'core',
        'electron',
        'renderer',
        'tests',
      ],
    },
  ],
];

const results: Counts[] = [];
rmSync(reports, { recursive: true, force: true });
mkdirSync(reports, { recursive: true });

heading('browser');
const browser = await obtainBrowser(root);
if (browser.ok) {
  console.log(`${browser.path} (${browser.how})`);
  process.env['STAGECALL_BROWSER'] = browser.path;
} else {
  console.error(browser.message);
  results.push(failedRun('browser'));
}

heading('checks');
for (const together of checks) {
  for (const { name, ok } of await Promise.all(together.map((check) => runCheck(root, check)))) {
    if (!ok) results.push(failedRun(name));
  }
}

heading('build');
const built = (await buildWhenStale(root, { path: process.execPath, flags: process.execArgv })) === 0;
console.log(built ? 'dist/ is up to date' : 'the build failed');
if (!built) results.push(failedRun('build'));

heading('tests');
results.push(await runVitest());

heading('journeys');
results.push(browser.ok && built ? await runJourneys() : failedRun('journeys (they need a browser and a build)'));

const sum = total(results);
heading('result');
for (const line of closingLines(sum)) console.log(line);
process.exitCode = sum.failed.length === 0 && sum.passed > 0 ? 0 : 1;

async function runVitest(): Promise<Counts> {
  const report = path.join(reports, 'vitest.json');
  const args = [tool('vitest/vitest.mjs'), 'run', '--root', root, '--reporter=default', '--reporter=json', `--outputFile.json=${report}`];
  const exitCode = await runCommand(process.execPath, args, { cwd: root });
  return fromReport('vitest', report, exitCode, countVitest);
}

async function runJourneys(): Promise<Counts> {
  const folder = path.join(root, 'tests', 'journeys');
  if (!readdirSync(folder, { recursive: true }).some((file) => /\.(journey|spec)\.ts$/.test(String(file)))) {
    console.log('there are no journeys yet');
    return { passed: 0, failed: [], skipped: [] };
  }
  const report = path.join(reports, 'journeys.json');
  const args = [tool('@playwright/test/cli.js'), 'test', '-c', path.join(folder, 'playwright.config.ts'), '--reporter=list,json'];
  const exitCode = await runCommand(process.execPath, args, { cwd: root, env: { ...process.env, PLAYWRIGHT_JSON_OUTPUT_NAME: report } });
  return fromReport('journeys', report, exitCode, countPlaywright);
}

/** A runner that ended badly although its report shows no failure, or that left no report, has failed all the same. */
function fromReport(name: string, file: string, exitCode: number, count: (report: never) => Counts): Counts {
  let counts: Counts;
  try {
    counts = count(JSON.parse(readFileSync(file, 'utf8')) as never);
  } catch {
    return failedRun(`${name} (it left no report)`);
  }
  return exitCode !== 0 && counts.failed.length === 0 ? total([counts, failedRun(`${name} (it ended with ${exitCode})`)]) : counts;
}
