/**
 * An instructor with a class of sixty worksheets, by keyboard alone, on the real loopback shell: files in, three moderated, a
 * tolerance changed, marks and feedback out, the class's figures. A chooser of files is the system's own window, so the test
 * answers it; everything else is keys.
 */
import { readFileSync } from 'node:fs';
import { expect as usual, test, type Page } from '@playwright/test';
import { unzipWorksheets } from '../../electron/desk/zip.ts';
import { classFiles } from './class-files.ts';
import { startShell, type RealShell } from './real-shell.ts';

/** A busy machine is slow; what is waited for is waited for longer, and nothing else changes. */
const expect = usual.configure({ timeout: 20_000 });
let shell: RealShell;
test.beforeAll(async () => {
  shell = await startShell();
});
test.afterAll(() => shell?.stop());

/** Tab until what is focused has this name. */
async function tabTo(page: Page, name: string | RegExp, key = 'Tab'): Promise<void> {
  for (let step = 0; step < 80; step += 1) {
    const said = await page.evaluate(() => {
      const element = document.activeElement;
      return (element?.getAttribute('aria-label') ?? (element instanceof HTMLInputElement || element instanceof HTMLSelectElement ? [...(element.labels ?? [])].map((label) => label.textContent).join(' ') : element?.textContent) ?? '').trim();
    });
    if (typeof name === 'string' ? said.startsWith(name) : name.test(said)) return;
    await page.keyboard.press(key);
  }
  throw new Error(`${key} does not reach ${String(name)}`);
}
async function download(page: Page, act: () => Promise<void>): Promise<{ readonly name: string; readonly bytes: Buffer }> {
  const coming = page.waitForEvent('download');
  await act();
  const file = await coming;
  return { name: file.suggestedFilename(), bytes: readFileSync((await file.path()) as string) };
}
const chosenRow = (page: Page) => page.locator('tr[aria-selected="true"]');
const question = (page: Page, number: number) => page.getByRole('region', { name: new RegExp(`^Question ${number}:`) });

test('sixty worksheets by keyboard', async ({ page }) => {
  const files = classFiles(30);
  await page.goto(shell.address);
  await expect(page.getByRole('heading', { name: /Nothing has been recorded/ })).toBeVisible();

  await test.step('a set is begun', async () => {
    await tabTo(page, 'Marking', 'Shift+Tab');
    await page.keyboard.press('Enter');
    await expect(page.getByRole('heading', { name: 'No marking set on this machine yet' })).toBeVisible();
    await tabTo(page, 'Marker');
    await page.keyboard.type('KL');
    await tabTo(page, 'Lab sheet');
    await page.keyboard.type('Maximal treadmill');
    await tabTo(page, 'Term');
    await page.keyboard.type('Spring\n');
    await expect(page.getByText('No worksheet is in this set yet')).toBeVisible();
  });

  await test.step('sixty files in', async () => {
    const picking = page.waitForEvent('filechooser');
    await page.keyboard.press('Control+o');
    await (await picking).setFiles(files.map(({ name, text }) => ({ name, mimeType: 'application/json', buffer: Buffer.from(text) })));
    await expect(page.getByText('60 new')).toBeVisible({ timeout: 60_000 });
    await expect(page.getByRole('grid', { name: 'Worksheets' }).getByRole('row')).toHaveCount(61);
  });

  await test.step('three marks by hand, one of them taken back', async () => {
    await page.keyboard.press('Control+ArrowDown');
    await expect(chosenRow(page)).toContainText('s-2202');
    await page.keyboard.press('Enter');
    await expect(question(page, 1)).toBeFocused();
    for (const [marks, comment] of [['1', 'no working with units 1 n u w'], ['2,5', 'rounded too early']] as const) {
      await page.keyboard.press('Enter');
      await expect(page.getByLabel('Marks', { exact: true })).toBeFocused();
      await page.keyboard.type(marks);
      await page.keyboard.press('Tab');
      // Letters and digits in a comment are words and nothing else.
      await page.keyboard.type(comment);
      await page.keyboard.press('Enter');
      await expect(question(page, 1)).toContainText(`${marks.replace(',', '.')} by KL: ${comment}`);
      await expect(question(page, 1)).toBeFocused();
      await page.keyboard.press('Escape');
      await expect(chosenRow(page).locator('[data-row]')).toBeFocused();
      await page.keyboard.press('Control+ArrowDown');
      await page.keyboard.press('Enter');
    }
    await expect(chosenRow(page)).toContainText('s-2204');
    await page.keyboard.press('End');
    await expect(question(page, 10)).toBeFocused();
    await page.keyboard.press('2');
    await expect(question(page, 10).locator('.rubric [aria-pressed="true"]')).toHaveCount(1);
    await expect(chosenRow(page)).toContainText('by hand 10');
    await page.keyboard.press('u');
    await expect(question(page, 10)).not.toContainText('by KL');
    await page.keyboard.press('3');
    await expect(question(page, 10)).toContainText('by KL');
  });

  await test.step('letters are keys of the list alone, and can be turned off', async () => {
    await page.keyboard.press('Escape');
    await page.keyboard.press('Control+/');
    await page.getByRole('checkbox', { name: /Single signs and letters/ }).focus();
    await page.keyboard.press('Space');
    await page.keyboard.press('Control+/');
    await page.keyboard.press('Control+ArrowUp');
    await page.keyboard.press('Enter');
    await page.keyboard.press('End');
    await page.keyboard.press('1');
    await page.keyboard.press('w');
    await page.keyboard.press('Home');
    await expect(question(page, 1)).toBeFocused();
    await expect(question(page, 10)).not.toContainText('by KL');
    await page.keyboard.press('Control+/');
    await page.getByRole('checkbox', { name: /Single signs and letters/ }).focus();
    await page.keyboard.press('Space');
    await page.keyboard.press('Control+/');
  });

  await test.step('a wider tolerance marks everyone again, shows who moved and keeps what was given by hand', async () => {
    await page.keyboard.press('Alt+2');
    await tabTo(page, 'All marks within');
    await page.keyboard.press('Control+a');
    await page.keyboard.type('12');
    await tabTo(page, 'Part marks within');
    await page.keyboard.press('Control+a');
    await page.keyboard.type('15');
    await tabTo(page, 'Why it is changed');
    await page.keyboard.type('the wall chart was read by many\n');
    await expect(page.getByRole('heading', { name: /^Key v2/ })).toBeVisible();
    await expect(page.getByRole('button', { name: /moved by the key/ })).toBeVisible({ timeout: 60_000 });
    await page.keyboard.press('Alt+4');
    await expect(page.getByRole('heading', { name: /Moved by key v2/ })).toBeVisible();
    const moved = page.getByRole('article', { name: 'Changes' });
    await expect(moved.getByRole('row', { name: /s-2208/ })).toContainText('1 Predicted maximal heart rate');
    await expect(moved.getByRole('row', { name: /s-2202/ })).toHaveCount(0);
  });

  await test.step('marks and feedback out', async () => {
    const marks = await download(page, () => page.keyboard.press('Control+s'));
    expect(marks.name).toMatch(/^marks-.*\.csv$/);
    const table = marks.bytes.toString('utf8');
    expect(table.trim().split('\r\n').length).toBeGreaterThan(600); // sixty students, ten questions and a heading
    expect(table).toContain('rounded too early');
    await tabTo(page, /moved by the key/, 'Shift+Tab');
    await page.keyboard.press('Enter');
    await page.keyboard.press('Alt+5');
    await tabTo(page, 'The list on the left');
    // A few are enough to see the folder.
    const feedback = await download(page, () => page.keyboard.press('Enter'));
    expect(feedback.name).toBe('feedback.zip');
    const inside = await unzipWorksheets(feedback.bytes);
    expect(inside.ok && inside.value.files.map(({ name }) => name)).toContain('s-2208.json.pdf');
    expect(inside.ok && inside.value.files.every(({ bytes }) => Buffer.from(bytes.subarray(0, 5)).toString() === '%PDF-')).toBe(true);
  });

  await test.step('the class: each test once, and from a point to its worksheet', async () => {
    await tabTo(page, /^Class$/, 'Shift+Tab');
    await page.keyboard.press('Enter');
    await expect(page.getByText('30 tests, 30 people, 60 worksheets')).toBeVisible();
    await tabTo(page, /^Measured against predicted/);
    await page.keyboard.press('ArrowRight');
    await expect(page.getByRole('slider', { name: /^Measured against predicted/ })).toHaveAttribute('aria-valuetext', /^R-\d+, measured/);
    for (const [key, name] of [['2', 'Tests by category'], ['3', 'Heart rate in recovery'], ['4', 'Group A'], ['5', 'Worksheets']] as const) {
      await page.keyboard.press(key);
      await expect(page.getByText(name).first()).toBeVisible();
    }
    await page.keyboard.press('p');
    await expect(page.getByText(/^R-\d/)).toHaveCount(0);
    await page.keyboard.press('p');
    await page.keyboard.press('1');
    await tabTo(page, /^Measured against predicted/);
    await page.keyboard.press('End');
    await page.keyboard.press('Enter');
    await expect(page.getByRole('article')).toContainText('Predicted maximal heart rate');
  });

  await test.step('behind the passphrase, once one is set', async () => {
    await page.getByRole('button', { name: 'This station', exact: true }).click();
    for (const field of ['New one', 'The same again']) await page.getByLabel(field).fill('four plain words here');
    await page.keyboard.press('Enter');
    await expect(page.getByText('The passphrase is set.')).toBeVisible();
    await page.getByRole('button', { name: 'Class', exact: true }).click();
    await expect(page.getByRole('heading', { name: 'The instructor\'s side' })).toBeVisible();
    await expect(page.getByText('30 tests')).toHaveCount(0);
    await page.keyboard.type('four plain words\n');
    await expect(page.getByRole('alert')).toBeVisible();
    await page.keyboard.type('four plain words here\n');
    await expect(page.getByText('30 tests, 30 people, 60 worksheets')).toBeVisible();
    await page.getByRole('button', { name: 'Marking', exact: true }).click();
    await page.getByRole('button', { name: 'Lock', exact: true }).click();
    await expect(page.getByRole('heading', { name: 'The instructor\'s side' })).toBeVisible();
  });

  await test.step('a session that came as its file is answered here', async () => {
    await page.getByRole('button', { name: 'Sessions', exact: true }).click();
    await page.getByLabel('Exported session').setInputFiles({ name: 's-2201.json', mimeType: 'application/json', buffer: Buffer.from(files[0]?.text ?? '') });
    await expect(page.getByRole('heading', { name: 'Whose is it?' })).toBeVisible();
    // Nobody is told whose the other worksheet is.
    await expect(page.getByText('s-2201')).toHaveCount(0);
    await page.keyboard.type('s-2201\n');
    await expect(page.locator('#question-1-value')).toHaveValue('193');
    await expect(page.getByText('The last answer to a question counts')).toBeVisible();
    await expect(page.locator('#question-1')).toContainText('3 of 3');
  });
});
