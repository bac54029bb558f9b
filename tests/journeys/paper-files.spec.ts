/** What the window gives away as files: a lab sheet as a blank page, and a session's values as data; on the real loopback shell, by keyboard. */
import { cpSync, mkdtempSync, readFileSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { expect, test, type Page } from '@playwright/test';
import { labCommand } from '../../electron/lab/command.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
/** A session of an earlier day, recorded in full: the store that a replay leaves. */
async function earlierDay(folder: string): Promise<void> {
  const made = mkdtempSync(path.join(os.tmpdir(), 'stagecall-replayed-'));
  const fixture = path.resolve(import.meta.dirname, '../core/fixtures/step-queens.csv');
  const code = await labCommand(['replay', fixture, '--sheet', 'step-test-queens-college', '--out', made], { out: () => undefined, say: () => undefined, folder: made, isTerminal: false });
  expect(code).toBe(0);
  cpSync(path.join(made, 'step-queens.station'), folder, { recursive: true });
  rmSync(made, { recursive: true, force: true });
}
test.beforeAll(async () => {
  shell = await startShell(earlierDay);
});
test.afterAll(() => shell?.stop());

async function pressed(page: Page, name: string): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const coming = page.waitForEvent('download');
  await page.getByRole('button', { name }).focus();
  await page.keyboard.press('Enter');
  const file = await coming;
  return { name: file.suggestedFilename(), bytes: readFileSync((await file.path()) as string) };
}

test('a blank sheet, and the data of a session', async ({ page }) => {
  await page.goto(shell.address);
  const blank = await pressed(page, 'Blank sheet to fill in by hand: Letter');
  expect(blank.name).toMatch(/^blank-.*\.pdf$/);
  expect(blank.bytes.subarray(0, 5).toString()).toBe('%PDF-');
  await expect(page.getByText(`Saved: ${blank.name}, in the folder for downloads`)).toBeVisible();

  await page.locator('[data-row]').first().focus();
  await page.keyboard.press('Enter');
  await expect(page.getByRole('button', { name: 'Take away as data: Readings, CSV' })).toBeVisible();
  const readings = await pressed(page, 'Take away as data: Readings, CSV');
  expect(readings.name).toMatch(/^readings-.*\.csv$/);
  expect(readings.bytes.toString('utf8')).toMatch(/^session,participant,sheet,[^]*,recovery,,[^]*,pulse-count,/);
  expect((await pressed(page, 'Take away as data: Dictionary, CSV')).bytes.toString('utf8')).toContain('8867-4');
  expect(JSON.parse((await pressed(page, 'Take away as data: Whole record, JSON')).bytes.toString('utf8'))).toMatchObject({ format: 'stagecall-record-data/1' });
  expect((await new AxeBuilder({ page }).analyze()).violations.map(({ id }) => id)).toEqual([]);
});
