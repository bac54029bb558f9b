/**
 * From a sheet of paper to a mark, on the real loopback shell: the head and the readings keyed in as fast as they are read, with
 * the times as written; the worksheet, its file, and the marking desk of an instructor.
 */
import { readFileSync } from 'node:fs';
import { expect, test, type Page } from '@playwright/test';
import { foldSession } from '../../core/session/fold.ts';
import { eventOf } from '../../core/record/event.ts';
import type { WorksheetFile } from '../../core/worksheet/file.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
test.beforeAll(async () => {
  shell = await startShell();
});
test.afterAll(() => shell?.stop());

async function tabTo(page: Page, selector: string): Promise<void> {
  for (let step = 0; step < 60; step += 1) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab does not reach ${selector}`);
}

/** Types a cell and goes to the next, as fast as a person who looks at the paper and not at the screen. */
async function cells(page: Page, ...texts: readonly string[]): Promise<void> {
  for (const text of texts) {
    await page.keyboard.type(text);
    await page.keyboard.press('Enter');
  }
}

async function download(page: Page, act: () => Promise<void>): Promise<{ readonly name: string; readonly text: string; readonly path: string }> {
  const coming = page.waitForEvent('download');
  await act();
  const file = await coming;
  const path = (await file.path()) as string;
  return { name: file.suggestedFilename(), path, text: readFileSync(path, 'utf8') };
}

test('a paper sheet becomes a marked worksheet', async ({ page }) => {
  test.setTimeout(180_000);
  await page.goto(shell.address);
  await expect(page.getByRole('heading', { name: /Nothing has been recorded/ })).toBeVisible();

  await test.step('begin', async () => {
    await page.keyboard.press('Shift+Tab');
    await page.keyboard.type('TN');
    await page.keyboard.press('Tab');
    for (let step = 0; step < 3; step += 1) await page.keyboard.press('ArrowDown');
    await expect(page.getByRole('button', { name: /Key in a paper sheet/ })).toBeFocused();
    await page.keyboard.press('Enter');
  });

  await test.step('the head of the sheet, Enter after Enter', async () => {
    await expect(page.locator('#detail-participant-code')).toBeFocused();
    await page.keyboard.type('R-09\n');
    await page.keyboard.type('m');
    await page.keyboard.type('\n24\n5 ft 10 in\n165 lb\n21.5\n742\n45\n\nTN\nMO\n');
    await expect(page.locator('#detail-height')).toHaveValue('5 ft 10 in');
    await expect(page.getByText('= 74.8')).toBeVisible(); // 165 × 0.45359237
    await page.keyboard.press('Control+Enter');
  });

  await test.step('the frame and the readings', async () => {
    await expect(page.locator('#paper-stop')).toBeFocused();
    await page.keyboard.type('7:30\n');
    await expect(page.locator('input[data-column]').first()).toBeFocused();
    await cells(page, '72', '118/76', '6', '0.28', '8.5', '0.81'); // rest: no VCO2 is asked for
    await cells(page, '98', '104', '109', '2:38 132/76', '9', '1.10', '', '24', '0.85');
    await cells(page, '128', '135', '141', '- cuff slipped', '13', '1.60', '', '38', '0.92');
    await cells(page, '150', '155', '18', '1.90', '', '50', '1.05');
    await cells(page, '142/70', '128', '112', '128/72');
    // 7 at rest, 9 and 7 and 6 in the stages, 6 in recovery.
    await expect(page.getByText('35 readings')).toBeVisible();
  });

  await test.step('a value that cannot be is refused where it stands, and the right one amends', async () => {
    const wrong = page.getByLabel('HR, Recovery 2:00');
    await wrong.fill('400');
    await wrong.press('Enter');
    await expect(wrong).toHaveAttribute('aria-invalid', 'true');
    await expect(wrong).toBeFocused();
    await wrong.fill('128/72');
    await wrong.press('Enter');
    await expect(page.getByText('Only Heart rate goes here.')).toBeVisible();
    await wrong.fill('110');
    await wrong.press('Enter');
    await expect(wrong).not.toBeFocused();
  });

  await test.step('why it stopped, and closing', async () => {
    await page.locator('#paper-reason').selectOption('Volitional exhaustion');
    await page.keyboard.press('Control+Enter');
    await expect(page.locator('#student-key')).toBeFocused();
  });

  const exported = await test.step('two answers, then the file', async () => {
    await page.keyboard.type('s-2310\n');
    await expect(page.getByText('of 10 answered')).toBeVisible();
    await tabTo(page, '#question-1-value');
    await page.keyboard.type('191\n/min\n'); // 208 − 0.7 × 24 = 191.2
    await page.keyboard.press('Control+ArrowDown');
    await page.keyboard.press('Control+Enter');
    await expect(page.getByText('questions are still empty')).toBeVisible();
    await tabTo(page, 'p.actions button:nth-child(2)');
    return download(page, () => page.keyboard.press('Enter'));
  });
  expect(exported.name).toMatch(/^worksheet-s-2310-.*\.json$/);

  await test.step('the record says what was written, and when', () => {
    const file = JSON.parse(exported.text) as WorksheetFile;
    const state = foldSession(file.session.events.map((event) => eventOf(event.body)));
    const exercise = state.starts.exercise ?? 0;
    expect(state.way).toBe('paper');
    expect((state.stop?.taken ?? 0) - exercise).toBe(450_000);
    expect(state.stages.map((stage) => [stage.changedAt, stage.assumed])).toEqual([[0, false], [180_000, true], [360_000, true]]);
    const systolic = state.slots.get('exercise/s1/end/systolic')?.current;
    expect(systolic).toMatchObject({ typed: '132', source: 'paper' });
    expect((systolic?.taken ?? 0) - exercise).toBe(158_000); // 2:38
    expect(state.slots.get('exercise/s2/end/systolic')?.notTaken?.reason).toBe('cuff slipped');
    expect(state.slots.get('exercise/s2/end/diastolic')?.notTaken?.reason).toBe('cuff slipped');
    expect(state.slots.get('exercise/s2/end/vo2')?.current?.value).toBe(1.6);
    expect(state.slots.get('recovery/m2/heart-rate')?.current?.value).toBe(110);
    expect(state.slots.get('recovery/m2/heart-rate')?.readings.map(({ typed }) => typed)).toEqual(['112', '110']);
    expect(state.mass).toBeCloseTo(74.8427, 4); // 165 × 0.45359237
  });

  await test.step('the desk marks it, and gives the marks out', async () => {
    await page.goto(`${new URL(shell.address).origin}/#/marking`);
    await expect(page.getByRole('heading', { name: 'No marking set on this machine yet' })).toBeVisible({ timeout: 20_000 });
    await page.getByRole('combobox', { name: 'Lab sheet' }).selectOption('treadmill-maximal-bruce');
    await page.getByRole('button', { name: 'Begin the set' }).focus();
    await page.keyboard.press('Enter');
    await expect(page.getByText('No worksheet is in this set yet')).toBeVisible();
    const picking = page.waitForEvent('filechooser');
    await page.keyboard.press('Control+o');
    await (await picking).setFiles(exported.path);
    await expect(page.getByText('1 new')).toBeVisible({ timeout: 20_000 });
    await expect(page.getByRole('row', { name: /s-2310/ })).toContainText('R-09');
    await page.locator('[data-row]').first().focus();
    await page.keyboard.press('Enter');
    await expect(page.getByRole('region', { name: /Question 1:/ })).toBeFocused();
    await expect(page.getByRole('region', { name: /Question 1:/ })).toContainText('191 /min');
    await page.keyboard.press('ArrowDown');
    await expect(page.getByRole('region', { name: /Question 2:/ })).toBeFocused();
    const marks = await download(page, () => page.keyboard.press('Control+s'));
    expect(marks.name).toMatch(/^marks-.*-long\.csv$/);
    expect(marks.text).toContain('s-2310,');
    expect(marks.text).toMatch(/^s-2310,.*,hr-max,3,3,right,/m);
  });
});
