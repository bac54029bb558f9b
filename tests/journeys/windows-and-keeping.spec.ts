/**
 * Two windows on one session, far too much pasted into a field, a session erased under a window that shows it, and the way
 * back to a copy: on the real loopback shell, with what a pair would have done before done through the contract.
 */
import { readFileSync, rmSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { AxeBuilder } from '@axe-core/playwright';
import { expect, test, type Page } from '@playwright/test';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { good, Pair } from '../shells/pair.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
let client: ReturnType<typeof loopbackClient>;
test.beforeAll(async () => {
  shell = await startShell();
  const { origin, hash } = new URL(shell.address);
  client = loopbackClient({ address: origin, token: /token=([\w-]+)/.exec(hash)?.[1] ?? '' });
});
test.afterAll(async () => {
  client?.close();
  await shell?.stop();
});

const TEN_MEGABYTES = '7'.repeat(10 * 1024 * 1024);

async function show(page: Page, initials: string, hash: string): Promise<void> {
  await page.goto(shell.address);
  await page.getByLabel('Your initials').fill(initials);
  await page.evaluate((to) => (location.hash = to), hash);
}

async function findsNothing(page: Page, name = 'keeping'): Promise<void> {
  for (const colorScheme of ['light', 'dark'] as const) {
    await page.emulateMedia({ colorScheme, reducedMotion: 'reduce' });
    const { violations } = await new AxeBuilder({ page }).analyze();
    expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((node) => node.html.slice(0, 120)).join(' ')}`), colorScheme).toEqual([]);
    await page.screenshot({ path: `dist/journeys/${name}-${colorScheme}.png` });
  }
}

test('two windows on one session, ten megabytes pasted, and a session erased and a copy gone back to', async ({ page: left, browser }) => {
  test.setTimeout(120_000);
  const pair = await new Pair(client, 'TN').open();
  await pair.prepare({ 'participant-code': 'R-07', recorder: 'TN' });
  // In Rest there is one place for a heart rate, whoever reads it out.
  await pair.add({ kind: 'rest-started', data: {} });
  const right = await (await browser.newContext()).newPage();
  const line = (page: Page) => page.getByLabel('Entry: type what is heard');

  await test.step('two authors: neither window takes the other’s focus or text, both values stand, and both sheets say that they differ', async () => {
    await show(left, 'TN', `#/session/${pair.session}`);
    await expect(line(left)).toBeFocused();
    await left.keyboard.type('hr 7');
    await show(right, 'MO', `#/session/${pair.session}`);
    await expect(line(right)).toBeFocused();
    await right.keyboard.type('hr 68\n');
    await expect(line(right)).toHaveValue('');
    // What came from the other window is on this sheet, and nothing here was disturbed.
    await expect(left.getByRole('table').first()).toContainText('68');
    await expect(line(left)).toBeFocused();
    await expect(line(left)).toHaveValue('hr 7');
    await left.keyboard.type('1\n');
    await expect(line(left)).toHaveValue('');
    for (const page of [left, right]) await expect(page.getByRole('table').first()).toContainText(/differ/);
    await expect(line(right)).toBeFocused();
    expect((await pair.events()).filter(({ kind }) => kind === 'reading-taken').map(({ author, data }) => [author, (data as { typed: string }).typed])).toEqual([
      ['MO', '68'],
      ['TN', '71'],
    ]);
  });

  await test.step('ten megabytes in the entry line are refused in words, and the next reading is taken', async () => {
    const before = (await pair.events()).length;
    await left.keyboard.insertText(TEN_MEGABYTES);
    await left.keyboard.press('Enter');
    await expect(left.locator('#live-preview')).not.toBeEmpty();
    await expect(left.locator('#live-preview')).toContainText(/not|no |cannot|range|long/i);
    expect((await pair.events()).length).toBe(before);
    await left.keyboard.press('Escape');
    await left.keyboard.press('ControlOrMeta+a');
    await left.keyboard.press('Delete');
    await left.keyboard.type('rpe 6\n');
    await expect.poll(async () => (await pair.events()).length).toBe(before + 1);
  });

  const untaken = [...(await pair.state()).slots.values()].filter(({ slot, current }) => slot.phase === 'rest' && current === undefined);
  await pair.add(...untaken.map(({ slot }) => ({ kind: 'reading-not-taken', data: { slot, reason: 'not asked here' } })));
  await pair.add({ kind: 'exercise-started', data: {} });
  await pair.finish();
  await test.step('and in an answer', async () => {
    const { worksheet } = await good(client.call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-114' }));
    await left.evaluate((to) => (location.hash = to), `#/session/${pair.session}/worksheet/${worksheet}`);
    const answer = left.locator('main input[type="text"], main input:not([type]), main textarea').first();
    await expect(answer).toBeVisible();
    await answer.focus();
    await left.keyboard.insertText(TEN_MEGABYTES);
    await left.keyboard.press('Tab');
    await expect(left.locator('main')).toContainText(/too (long|large)|at most \d+|not saved|not a number/i);
    expect((await good(client.call('record.read', { record: worksheet }))).length).toBe(1);
  });

  // A copy is made at each closing; what is entered now is what it lacks.
  await (await new Pair(client, 'AB').open()).prepare({ 'participant-code': 'R-08' });

  await test.step('erased by an instructor, with the code typed once more; the window that shows it says so', async () => {
    await left.evaluate(() => (location.hash = '#/'));
    await left.getByRole('button', { name: /Erase a session/ }).click();
    await left.getByRole('button', { name: 'Erase… the session of R-07' }).click();
    await left.getByLabel("Instructor's initials").fill('KL');
    await left.getByLabel('Reason, kept').fill('consent withdrawn');
    await expect(left.getByRole('button', { name: 'Erase for good' })).toBeDisabled();
    await left.getByLabel('Type R-07 to erase it').fill('r-07');
    await findsNothing(left);
    await left.getByRole('button', { name: 'Erase for good' }).click();
    await expect(left.getByText(/^Erased: the session of R-07, 1 worksheet/)).toBeVisible();
    await expect(left.getByRole('table')).toContainText('consent withdrawn');
    await expect(right.getByText(/was erased on .* by KL \(consent withdrawn\)/)).toBeVisible();
    expect(await client.call('record.read', { record: pair.session })).toMatchObject({ ok: false, error: { code: 'erased' } });
  });

  await test.step('back to the copy from before the second session: both windows load anew, and the record from before is kept', async () => {
    await left.getByRole('button', { name: 'Go back to it' }).first().click();
    await expect(left.getByText(/It lacks 1 session, \d+ entries of the present record/)).toBeVisible();
    await left.getByLabel('Type go back').fill('go back');
    await left.keyboard.press('Enter');
    await expect(left.getByText(/This station went back to the copy of/)).toBeVisible({ timeout: 15_000 });
    expect(await good(client.call('sessions.list', {}))).toEqual([]);
    await right.evaluate(() => (location.hash = '#/'));
    await expect(right.getByText(/This station went back to the copy of/)).toBeVisible();
    // What was set aside is in the list, with all that it holds.
    await left.getByRole('button', { name: /go back to a copy/ }).click();
    await expect(left.getByText(/1 session, 0|1 session, no worksheets/)).toBeVisible();
  });
  await right.context().close();

  await test.step('a record that is damaged under the running station: the window says so, and goes back to a copy from there', async () => {
    const file = path.join(shell.folder, 'stagecall.sqlite');
    const bytes = readFileSync(file);
    writeFileSync(file, bytes.fill('x', 0, 4096));
    rmSync(`${file}-wal`, { force: true });
    shell.killStation();
    await expect.poll(async () => (await client.call('station.about', {})).ok).toBe(false);
    await left.reload();
    await expect(left.getByRole('heading', { name: 'The station cannot work yet' })).toBeVisible();
    await expect(left.getByText(/is damaged .* It was left as it is/)).toBeVisible();
    await findsNothing(left, 'damaged');
    await left.getByRole('button', { name: 'Go back to it' }).first().click();
    await left.getByLabel('Type go back').fill('go back');
    await left.keyboard.press('Enter');
    await expect(left.getByText(/This station went back to the copy of/)).toBeVisible({ timeout: 15_000 });
  });
});
