/** The heart-rate strap and the second window on the real loopback shell: one browser with emulated Bluetooth, one session, no waiting for time. */
import { AxeBuilder } from '@axe-core/playwright';
import { chromium, expect, test, type Browser, type Page } from '@playwright/test';
import { findBrowser } from '../../electron/find-browser.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { Pair } from '../shells/pair.ts';
import { emulateStrap, type EmulatedStrap } from './emulated-strap.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
let browser: Browser;
let page: Page;
let strap: EmulatedStrap;
let pair: Pair;
let api: ReturnType<typeof loopbackClient>;

test.describe.configure({ mode: 'serial' });
test.beforeAll(async () => {
  shell = await startShell();
  const executablePath = findBrowser();
  browser = await chromium.launch({ ...(executablePath === undefined ? {} : { executablePath }), args: ['--enable-features=WebBluetooth', ...(process.getuid?.() === 0 ? ['--no-sandbox'] : [])] });
  const { origin, hash } = new URL(shell.address);
  api = loopbackClient({ address: origin, token: /token=([\w-]+)/.exec(hash)?.[1] ?? '' });
  pair = await new Pair(api).open();
  const { sheet } = await pair.state();
  await pair.add(
    ...Object.entries({ 'participant-code': 'R-44', sex: 'female', age: '22', height: '168', mass: '61.4', temperature: '21', pressure: '752', humidity: '45', recorder: 'TN', tester: 'MO' }).map(([detail, typed]) => ({ kind: 'detail-given', data: { detail, typed } })),
    { kind: 'screening-done', data: { outcome: 'go', by: 'KL' } },
    { kind: 'consent-noted', data: { given: true } },
    ...sheet.checks.map(({ id, value }) => ({ kind: 'check-done', data: { check: id, done: true, ...(value ? { typed: String((value.min + value.max) / 2), unit: value.unit } : {}) } })),
    { kind: 'rest-started', data: {} },
  );
  page = await (await browser.newContext({ viewport: { width: 1366, height: 768 }, locale: 'en-GB' })).newPage();
  strap = await emulateStrap(browser, page);
  await page.goto(shell.address);
  await page.evaluate((id) => (location.hash = `#/session/${id}`), pair.session);
  await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'rest');
});
test.afterAll(async () => {
  api?.close();
  await browser?.close();
  await shell?.stop();
});

const shown = (): ReturnType<Page['locator']> => page.locator('.offer.strap');

test('a strap is chosen in Rest, decoded, offered, accepted; drops out and is held again', async () => {
  await page.keyboard.press('Alt+h');
  await expect(shown()).toContainText('waiting for a beat');
  expect(strap.connections()).toBe(1);

  // Example packets of the service's layout, computed outside this program, one after the other, each as it is shown.
  for (const [hex, text] of [
    ['00 48', '72'],
    ['16 48 69 03', '72'],
    ['04 4B', 'no skin contact'],
    ['01 2C 01', 'no usable rate'],
    ['16 00', 'no usable rate'],
    ['02 3C', '60'],
  ] as const) {
    await strap.packet(hex);
    await expect(shown()).toContainText(text);
  }
  // 72, 72 and 60 count; the rest is missing.
  await expect(shown()).toHaveAttribute('title', /heart rate 72 \/min, rest: median of 3 packets/);
  await expect(page.locator('#live-preview')).not.toContainText('saves');

  // Nothing is written until the recorder says so, and half a typed value stays where it is.
  await page.keyboard.type('118/');
  expect((await pair.state()).slots.get('rest/rest/heart-rate')?.current).toBeUndefined();
  await page.keyboard.press('Alt+h');
  await expect.poll(async () => (await pair.state()).slots.get('rest/rest/heart-rate')?.current).toMatchObject({ typed: '72', unit: '/min', source: 'strap', author: 'TN', note: expect.stringMatching(/^strap: median of 3 packets/) });
  await expect(page.locator('.entry input')).toHaveValue('118/');
  await page.keyboard.type('76');
  await page.keyboard.press('Enter');
  await page.keyboard.type('r6');
  await page.keyboard.press('Enter');
  await expect.poll(async () => (await pair.state()).slots.get('rest/rest/rpe')?.current?.typed).toBe('6');

  await strap.dropOut();
  await expect(shown()).toContainText('dropped out, reconnecting');
  await page.keyboard.press('Alt+h');
  await expect(page.locator('#live-preview')).toContainText('Type the pulse');
  strap.comeBack();
  await expect(shown()).toContainText('waiting for a beat');
  expect(strap.connections()).toBe(2);

  // It stays with the session into Exercise.
  await page.keyboard.press('F2');
  await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
  await strap.packet('10 8E B1 01 AF 01');
  await expect(shown()).toContainText('142 now');
  await strap.packet('1E A5 7B 00 70 01 73 01');
  await expect(shown()).toContainText('165 now');
});

test('the second window follows the session, shows nothing private, and hands on what is pointed at', async () => {
  const opening = page.context().waitForEvent('page');
  await page.keyboard.press('F9');
  const wall = await opening;
  await expect(wall.locator('.clock')).toContainText(/^0:\d\d$/);
  await expect(wall.getByText('Stage 1 of 10')).toBeVisible();
  const text = await wall.locator('body').innerText();
  for (const secret of ['R-44', 'TN', 'MO', '142', '165', '118', '61.4', '22 y', 'Participant']) expect(text).not.toContain(secret);
  // Nothing on it can take what is typed.
  expect(await wall.evaluate(() => [document.activeElement?.tagName, document.querySelectorAll('input, textarea, [tabindex="0"], button:not([tabindex="-1"])').length])).toEqual(['BODY', 0]);

  for (const [width, height] of [[1280, 720], [1920, 1080], [1024, 768]] as const) {
    await wall.setViewportSize({ width, height });
    for (const theme of ['day', 'dim']) {
      await wall.evaluate((name) => (document.documentElement.dataset['theme'] = name), theme);
      if (process.env['STAGECALL_SHOTS']) await wall.screenshot({ path: `${process.env['STAGECALL_SHOTS']}/wall-${width}-${theme}.png` });
      expect(await wall.evaluate(() => document.documentElement.scrollHeight <= innerHeight && document.documentElement.scrollWidth <= innerWidth && [...document.querySelectorAll('main *')].every((part) => part.getBoundingClientRect().bottom <= innerHeight + 1 && part.getBoundingClientRect().right <= innerWidth + 1))).toBe(true);
    }
  }

  for (const theme of ['day', 'dim']) {
    await wall.evaluate((name) => (document.documentElement.dataset['theme'] = name), theme);
    await page.evaluate((name) => (document.documentElement.dataset['theme'] = name), theme);
    for (const [width, height] of [[1280, 620], [1366, 768]] as const) {
      await page.setViewportSize({ width, height });
      if (process.env['STAGECALL_SHOTS']) await page.screenshot({ path: `${process.env['STAGECALL_SHOTS']}/strap-${width}-${theme}.png` });
      const box = await shown().boundingBox();
      const entry = await page.locator('.entry').boundingBox();
      expect((box?.x ?? 0) + (box?.width ?? 0)).toBeLessThanOrEqual((entry?.x ?? 0) + (entry?.width ?? 0));
    }
    for (const one of theme === 'day' ? [wall] : [wall, page]) expect((await new AxeBuilder({ page: one }).withTags(['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa']).analyze()).violations.map(({ id, nodes }) => [id, nodes.map(({ target }) => target)])).toEqual([]);
  }

  await wall.getByRole('button', { name: '14' }).click();
  await expect(wall.getByRole('status').first()).toHaveText('passed on');
  await expect(page.locator('.offer', { hasText: 'pointed at' })).toContainText('14');
  // No RPE is called for in the first seconds: it is offered in words and not written.
  await page.keyboard.press('Alt+b');
  await expect(page.locator('#live-preview')).toContainText('Pointed at 14, but no RPE is called for');

  await page.keyboard.press('Control+Enter');
  await expect(wall.getByText('Recovery', { exact: true })).toBeVisible();
  // At the stop RPE falls due at once.
  await expect(wall.getByText('point now')).toBeVisible();
  await page.keyboard.press('Alt+b');
  await expect.poll(async () => [...(await pair.state()).slots.values()].find(({ slot }) => slot.mark === 'stop' && slot.quantity === 'rpe')?.current).toMatchObject({ typed: '14', author: 'TN' });
  await expect(wall.getByText('point when asked')).toBeVisible();

  // Alone it closes itself, so that the program sees its last window go and opens the recorder's again.
  const closed = wall.waitForEvent('close');
  await page.close();
  await closed;
});
