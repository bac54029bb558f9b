/**
 * A gas exchange file joined to a session that is over, on the real loopback shell: a wrong file refused, a column said
 * otherwise, the two clocks aligned by a mark, a threshold placed by the keyboard and by the pointer, and all of it in the
 * handed-in file. Axe looks at each page in both themes.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { expect, test, type Page } from '@playwright/test';
import { eventOf } from '../../core/record/event.ts';
import { breaths } from '../../core/rehearsal/breaths.ts';
import { rehearsalParticipants } from '../../core/rehearsal/participant.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import { labCommand } from '../../electron/lab/command.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
test.beforeAll(async () => {
  shell = await startShell(recordedRamp);
});
test.afterAll(() => shell?.stop());

/** The recorded ramp of tests/core/fixtures, keyed in and closed on an earlier day. */
async function recordedRamp(folder: string): Promise<void> {
  const out = mkdtempSync(path.join(os.tmpdir(), 'stagecall-ramp-'));
  const fixture = path.join(import.meta.dirname, '../core/fixtures/cycle-ramp.csv');
  const code = await labCommand(['replay', fixture, '--sheet', 'cycle-ramp-maximal', '--out', path.join(out, 'day')], { out: () => undefined, say: () => undefined, folder: out, isTerminal: false });
  expect(code).toBe(0);
  const station = readdirSync(path.join(out, 'day')).find((name) => name.endsWith('.station')) ?? '';
  cpSync(path.join(out, 'day', station), folder, { recursive: true });
  rmSync(out, { recursive: true, force: true });
}

function breathFile(): Buffer {
  const [someone] = rehearsalParticipants;
  if (!someone) throw new Error('there are simulated participants');
  const run = breaths({ ...someone, mass: 60, age: 30, height: 165 }, { seed: 3, rest: 60, unloaded: 240, wattsPerMinute: 20 });
  const comma = (value: number, decimals: number): string => value.toFixed(decimals).replace('.', ',');
  const rows = run.breaths.map((one) => [`${Math.floor(one.time / 60)}:${String(Math.floor(one.time % 60)).padStart(2, '0')}`, comma(1000 * one.vo2, 0), comma(1000 * one.vco2, 0), comma(one.ve, 1), one.heartRate, one.time > 60 && one.time < 63.5 ? 'start' : ''].join(';'));
  return Buffer.from(['\ufeffName;PERSON-IN-THE-HEAD', '', 't;VO2;VCO2;Air;HR;Event', 'min:s;mL/min;mL/min;L/min;1/min;', ...rows].join('\r\n'));
}

async function findsNothing(page: Page, screen: string): Promise<void> {
  for (const theme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme: theme, reducedMotion: 'reduce' });
    await expect(page.locator('html')).toHaveAttribute('data-theme', theme === 'dark' ? 'dim' : 'day');
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 140)).join('\n')}`), `${screen}, ${theme}`).toEqual([]);
  }
  await page.emulateMedia({ colorScheme: 'light' });
}

const shots = process.env['STAGECALL_SHOTS'];
const shot = async (page: Page, name: string): Promise<void> => {
  if (shots === undefined) return;
  for (const colorScheme of ['dark', 'light'] as const) {
    await page.emulateMedia({ colorScheme });
    await page.screenshot({ path: path.join(shots, `${name}-${colorScheme}.png`) });
  }
};

test('from the analyser’s file to a threshold in the handed-in worksheet', async ({ page }) => {
  await page.goto(shell.address);
  await page.getByRole('row', { name: /R-36/ }).click();
  await page.getByRole('button', { name: 'Gas file' }).click();
  await expect(page.getByRole('heading', { name: 'Join a gas exchange file' })).toBeVisible();
  await findsNothing(page, 'no file yet');
  await page.locator('input[type="file"]').setInputFiles({ name: 'page.pdf', mimeType: 'application/pdf', buffer: Buffer.from('%PDF-1.7\nno table') });
  await expect(page.getByRole('alert')).toContainText('page.pdf is not taken');

  await page.locator('input[type="file"]').setInputFiles({ name: 'ramp.txt', mimeType: 'text/plain', buffer: breathFile() });
  await expect(page.getByRole('heading', { name: 'Is this how the file reads?' })).toBeVisible();
  // Nothing is guessed in silence: the column that is not known says so, and is said otherwise.
  await expect(page.getByRole('row', { name: /^Air/ })).toContainText('is not known');
  await page.getByLabel('What Air is').selectOption('Ventilation');
  await expect(page.getByRole('row', { name: /^Air/ })).toContainText('set by hand');
  await expect(page.getByLabel('Mark in the file', { exact: true })).toBeVisible();
  await expect(page.getByText(/Peak oxygen uptake as a 30-s mean/)).toBeVisible();
  await findsNothing(page, 'the mapping');
  await shot(page, 'gas-import');
  // The alignment that cannot be is told.
  await page.getByLabel('By time').check();
  await page.getByLabel(/Exercise begins at/).fill('40:00');
  await expect(page.getByText('they do not meet')).toBeVisible();
  await page.getByLabel('By a mark in the file').check();
  await page.getByRole('button', { name: 'Join it to the session' }).click();

  await expect(page.getByRole('heading', { name: 'Gas exchange', exact: true })).toBeVisible();
  await expect(page.getByText(/The program finds/)).toHaveCount(2);
  await findsNothing(page, 'the gas page');
  await page.getByLabel('Averaging').selectOption('rolling means of 15 breaths');
  await expect(page.getByText('the highest of the rolling means of 15 breaths')).toBeVisible();

  // By the keyboard on the first plot, by the pointer on the third.
  const first = page.getByRole('region', { name: 'First ventilatory threshold' });
  const slider = first.getByLabel('Your place, VO₂').first();
  await slider.focus();
  await page.keyboard.press('ArrowRight');
  await page.keyboard.press('ArrowRight');
  await first.getByRole('button', { name: /Place VT1/ }).click();
  await expect(first.getByText(/placed it at/)).toBeVisible();
  await expect(first.getByText(/The program finds/)).toBeVisible();
  const second = page.getByRole('region', { name: 'Second ventilatory threshold' });
  const figure = second.getByRole('img').first();
  await expect(figure.locator('canvas')).toHaveAttribute('width', /[1-9]/);
  await figure.scrollIntoViewIfNeeded();
  await figure.click({ position: { x: 300, y: 100 } });
  await second.getByRole('button', { name: /Place VT2/ }).click();
  await expect(second.getByText(/placed it at/)).toBeVisible();
  await first.scrollIntoViewIfNeeded();
  await shot(page, 'gas-thresholds');
  await page.locator('main').evaluate((main) => main.scrollTo(0, 0));
  await shot(page, 'gas-page');

  // All of it is on the station: the page comes again as it was, and the mapping is remembered for the same headings.
  await page.reload();
  await expect(first.getByText(/placed it at/)).toBeVisible();
  await page.getByRole('button', { name: 'Another file' }).click();
  await page.locator('input[type="file"]').setInputFiles({ name: 'again.txt', mimeType: 'text/plain', buffer: breathFile() });
  await expect(page.getByText('As remembered', { exact: true })).toBeVisible();
  await expect(page.getByLabel('What Air is')).toHaveValue('ve');
  await page.getByRole('button', { name: 'Another file' }).click();
  await page.getByRole('button', { name: 'Back' }).click();

  await page.getByRole('button', { name: 'Worksheet' }).click();
  await page.getByLabel('Student key').fill('s-2204');
  await page.keyboard.press('Enter');
  await expect(page.locator('#question-1-value')).toBeVisible();
  await page.getByRole('tab', { name: 'Results' }).click();
  await page.getByRole('button', { name: 'Show them now' }).click();
  await expect(page.getByRole('heading', { name: 'Gas exchange file' })).toBeVisible();
  await expect(page.getByText('VT1, found by the program')).toBeVisible();
  await shot(page, 'gas-results');
  await page.keyboard.press('Control+Enter');
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Export as .json' }).click();
  const file = JSON.parse(readFileSync((await (await coming).path()) as string, 'utf8')) as WorksheetFile;
  expect(file.series).toHaveLength(1);
  expect(JSON.stringify(file)).not.toContain('PERSON-IN-THE-HEAD');
  const kinds = file.session.events.map(({ body }) => eventOf(body).kind);
  expect(kinds.slice(kinds.indexOf('session-closed') + 1)).toEqual(['series-attached', 'threshold-placed', 'threshold-placed']);
});
