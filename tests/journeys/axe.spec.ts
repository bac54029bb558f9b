/**
 * Axe looks at every screen, in both themes, on the real loopback shell, and finds nothing. The screens are reached as a
 * person reaches them; what takes minutes at an ergometer is a rehearsal at its fastest.
 */
import { readFileSync } from 'node:fs';
import { AxeBuilder } from '@axe-core/playwright';
import { expect, test, type Page } from '@playwright/test';
import { classFiles } from './class-files.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
test.beforeAll(async () => {
  shell = await startShell();
});
test.afterAll(() => shell?.stop());
// One station, one story: the screens follow each other.
test.describe.configure({ mode: 'serial' });

const themes = ['light', 'dark'] as const;

async function findsNothing(page: Page, screen: string): Promise<void> {
  for (const theme of themes) {
    await page.emulateMedia({ colorScheme: theme, reducedMotion: 'reduce' });
    await expect(page.locator('html')).toHaveAttribute('data-theme', theme === 'dark' ? 'dim' : 'day');
    const { violations } = await new AxeBuilder({ page }).analyze();
    const said = violations.map(({ id, help, nodes }) => `${id}: ${help}\n${nodes.map((node) => `    ${node.target.join(' ')}  ${node.html.slice(0, 160)}\n    ${node.failureSummary?.replaceAll('\n', ' ') ?? ''}`).join('\n')}`);
    expect(said, `${screen}, ${theme}`).toEqual([]);
  }
}

async function begin(page: Page, title: RegExp): Promise<void> {
  await page.goto(shell.address);
  await page.getByLabel('Your initials').fill('TN');
  await page.getByRole('button', { name: title }).click();
}

test('an empty station, and the keys beside it', async ({ page }) => {
  await page.goto(shell.address);
  await expect(page.getByRole('heading', { name: /Nothing has been recorded/ })).toBeVisible();
  await findsNothing(page, 'an empty station');
  await page.keyboard.press('Control+/');
  await expect(page.getByRole('complementary', { name: 'Keys' })).toBeVisible();
  await findsNothing(page, 'the keys');
});

test('this station: its profile with a fault, the passphrase', async ({ page }) => {
  await page.goto(shell.address);
  await page.getByRole('button', { name: 'This station' }).or(page.getByRole('tab', { name: 'This station' })).first().click();
  await page.getByRole('button', { name: 'Begin with the example' }).click();
  const field = page.getByLabel('The profile, as YAML');
  const text = await field.inputValue();
  await field.fill(text.replace('speed: mph #', 'speed: knots #'));
  await page.keyboard.press('Control+Enter');
  await expect(page.getByRole('button', { name: /^Line 5: units → speed/ })).toBeVisible();
  await findsNothing(page, 'this station, with a fault');
  await field.fill(text);
  await page.keyboard.press('Control+Enter');
  await expect(page.getByText('Saved. Every window')).toBeVisible();
  // The story goes on without a profile.
  await field.fill('');
  await page.keyboard.press('Control+Enter');
  await expect(page.getByText('This station has no profile now.')).toBeVisible();
});

test('prepare, with what is missing, asked about, refused and set aside; and the private page', async ({ page }) => {
  await begin(page, /Start a live session/);
  await expect(page.locator('#detail-participant-code')).toBeFocused();
  await findsNothing(page, 'prepare, empty');
  await page.keyboard.type('R-07\n');
  await page.locator('#detail-mass').fill('700');
  await page.locator('#detail-age').fill('17');
  await page.keyboard.press('Enter');
  await expect(page.locator('#detail-age-says')).toContainText('Enter again');
  await expect(page.locator('#detail-mass-says')).toContainText('not possible');
  await page.locator('#check-gas-oxygen').fill('20.1');
  await page.keyboard.press('Enter');
  await expect(page.locator('#check-gas-oxygen-says')).toContainText('out of range');
  await page.getByRole('button', { name: /sets something aside/ }).click();
  await findsNothing(page, 'prepare, with messages');
  await page.getByRole('button', { name: 'Open screening' }).click();
  await page.locator('input[name="activity"]').first().check();
  await page.locator('input[name="health"]').nth(1).check();
  await page.keyboard.press('Control+Enter');
  await expect(page.getByText('An outcome and the initials')).toBeVisible();
  await findsNothing(page, 'screening');
  await page.locator('input[value="no-test-today"]').check();
  await page.getByLabel('Who looked').fill('JD');
  await page.keyboard.press('Control+Enter');
  await expect(page.getByRole('button', { name: 'Close this session' })).toBeVisible();
  await findsNothing(page, 'prepare, no test today');
});

test('a paper sheet: its head, its frame, its readings', async ({ page }) => {
  await begin(page, /Key in a paper sheet/);
  await expect(page.locator('#detail-participant-code')).toBeFocused();
  await findsNothing(page, 'the head of a paper sheet');
  await page.keyboard.press('Control+Enter');
  await expect(page.locator('#paper-stop')).toBeFocused();
  await findsNothing(page, 'the frame of a paper sheet');
  await page.keyboard.type('7:30\n');
  await expect(page.locator('input[data-column]').first()).toBeFocused();
  await page.keyboard.type('72\n118/76\n6\n400\n');
  await findsNothing(page, 'the readings of a paper sheet');
});

test('a rehearsal from rest to its worksheet', async ({ page }) => {
  test.setTimeout(180_000);
  // At its fastest: the window asks for the usual rate, and the fastest is asked for in its place.
  await page.route('**/*', (route) => {
    const body = route.request().postData();
    return body?.includes('"rehearsal"') ? route.continue({ postData: body.replace(/"rate":\d+/, '"rate":120') }) : route.continue();
  });
  await begin(page, /Watch a rehearsal/);
  await expect(page.getByText('Rehearsal', { exact: true }).first()).toBeVisible();
  await expect(page.getByRole('heading', { name: 'Whose is it?' })).toBeVisible({ timeout: 120_000 });
  await findsNothing(page, 'whose worksheet');
  await page.getByRole('button', { name: 'Exercise' }).click();
  await expect(page.getByRole('heading', { name: 'The record' })).toBeVisible();
  await findsNothing(page, 'the record');
  await page.getByRole('button', { name: 'Worksheet' }).click();
  await page.getByLabel('Student key').fill('s-2204');
  await page.keyboard.press('Enter');
  await page.locator('#question-1-value').fill('193');
  await page.locator('#question-1-unit').fill('/min');
  await page.keyboard.press('Enter');
  await expect(page.getByText('saved').first()).toBeVisible();
  await findsNothing(page, 'the worksheet');
  await page.getByRole('tab', { name: 'Figures' }).click();
  await expect(page.getByRole('img', { name: /Heart rate/ }).first()).toBeVisible();
  await findsNothing(page, 'the figures');
  await page.getByRole('tab', { name: 'Results' }).click();
  await findsNothing(page, 'the results, not yet open');
  await page.getByRole('button', { name: 'Show them now' }).click();
  await findsNothing(page, 'the results');
  await page.keyboard.press('Control+Enter');
  await expect(page.getByText('questions are still empty')).toBeVisible();
  const file = page.waitForEvent('download');
  await page.getByRole('button', { name: 'Export as .json' }).click();
  handedIn = readFileSync((await (await file).path()) as string, 'utf8');
  await expect(page.getByText('Exported:')).toBeVisible();
  await findsNothing(page, 'handing in');
});

let handedIn = '';

test('the sessions of a station in use', async ({ page }) => {
  await page.goto(shell.address);
  await expect(page.getByRole('row', { name: /R-01/ }).first()).toBeVisible();
  await findsNothing(page, 'the sessions');
});

test('the marking desk: its sets, files of every kind, a mark by hand, and what a set is marked by', async ({ page }) => {
  test.setTimeout(120_000);
  await page.goto(shell.address);
  await page.getByRole('button', { name: 'Marking', exact: true }).click();
  await expect(page.getByRole('heading', { name: 'No marking set on this machine yet' })).toBeVisible({ timeout: 20_000 });
  await findsNothing(page, 'no set');
  await page.getByRole('textbox', { name: 'Marker' }).fill('KL');
  await page.getByRole('combobox', { name: 'Lab sheet' }).selectOption('treadmill-maximal-bruce');
  await page.getByRole('button', { name: 'Begin the set' }).click();
  const altered = handedIn.replace(/\\"typed\\":\\"193\\"/, '\\"typed\\":\\"194\\"');
  expect(altered).not.toBe(handedIn);
  const buffer = (text: string): Buffer => Buffer.from(text);
  await page.getByLabel('Worksheets to mark').setInputFiles([
    { name: 'one.json', mimeType: 'application/json', buffer: buffer(handedIn) },
    { name: 'altered.json', mimeType: 'application/json', buffer: buffer(altered) },
    { name: 'torn.pdf', mimeType: 'application/pdf', buffer: buffer('%PDF-1.7\nnot a page') },
    ...classFiles(6).map(({ name, text }) => ({ name, mimeType: 'application/json', buffer: buffer(text) })),
  ]);
  await expect(page.getByText('15 new')).toBeVisible({ timeout: 30_000 });
  await page.getByRole('row', { name: /s-2204.*rehearsal/ }).click();
  await page.getByRole('button', { name: 'Accept this rehearsal' }).click();
  await findsNothing(page, 'the desk, a rehearsal and the form to accept it');
  // Record, figures and results are those of the worksheet, looked at above.
  await page.getByRole('row', { name: /altered/ }).click();
  await findsNothing(page, 'the desk, an altered file');
  await page.getByRole('row', { name: /s-2201/ }).click();
  await page.getByRole('article').getByRole('button', { name: 'Answers and marks' }).click();
  await page.getByRole('region', { name: /^Question 1:/ }).focus();
  await page.keyboard.press('w');
  await page.keyboard.press('Enter');
  await findsNothing(page, 'the desk, a mark by hand beside the worked solution');
  for (const [key, part] of [['2', 'the key'], ['3', 'roster and dates'], ['5', 'out and away'], ['6', 'history']] as const) {
    await page.keyboard.press(`Alt+${key}`);
    await findsNothing(page, part);
  }
  await page.getByRole('button', { name: 'Marking', exact: true }).click();
  await expect(page.getByRole('row', { name: /Maximal treadmill/ })).toBeVisible();
  await findsNothing(page, 'the sets');
});

test('the class', async ({ page }) => {
  test.setTimeout(120_000);
  await page.goto(shell.address);
  await page.getByRole('button', { name: 'Class', exact: true }).click();
  await expect(page.getByText('6 tests, 6 people')).toBeVisible({ timeout: 20_000 });
  // Categories and heart rate are made of the same parts as the first.
  for (const [key, part] of [['1', 'measured and predicted'], ['4', 'groups'], ['5', 'values']] as const) {
    await page.keyboard.press(key);
    await findsNothing(page, `the class, ${part}`);
  }
});

test('the formula reference', async ({ page }) => {
  await page.goto(shell.address);
  await page.getByRole('button', { name: 'Formulas', exact: true }).click();
  await page.getByRole('searchbox').fill('walking');
  await page.keyboard.press('ArrowDown');
  await page.getByLabel('Speed S').fill('3.4 mph');
  await page.getByLabel('Grade G').fill('14 %');
  await expect(page.getByText('mL/kg/min', { exact: false }).last()).toBeVisible();
  await findsNothing(page, 'the formulas');
});

// The last one: it ends the station.
test('a station that does not answer', async ({ page }) => {
  await page.goto(shell.address);
  await expect(page.getByRole('row', { name: /R-01/ }).first()).toBeVisible();
  await shell.stop();
  await expect(page.getByText('The station does not answer.')).toBeVisible({ timeout: 20_000 });
  await findsNothing(page, 'the station is lost');
});
