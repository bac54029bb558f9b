/**
 * Every shortcut with a real keyboard's events: X key events on an X display of their own, in the window that `npm start` opens
 * (`--app`) and in an ordinary tab of the same browser. Which keys there are comes from the program's own lists: the live sheet's
 * (`liveShortcuts`), each proven by what it does; and whatever the keys panel of the other screens shows, each proven to reach the page.
 */
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { chromium, expect, test, type BrowserContext, type Page } from '@playwright/test';
import { findBrowser } from '../../electron/find-browser.ts';
import { browserArguments } from '../../electron/loopback/browser-window.ts';
import { loopbackClient } from '../../renderer/api/loopback-client.ts';
import { liveShortcuts, type KeyAction } from '../../renderer/live/keys.ts';
import { Pair } from '../shells/pair.ts';
import { startShell, type RealShell } from './real-shell.ts';
import { startDisplay, whyNoDisplay, type XDisplay } from './x-display.ts';

const missing = whyNoDisplay();
test.skip(missing !== undefined, `real key events need an X display: ${missing}`);
test.describe.configure({ mode: 'serial' });

let shell: RealShell;
let display: XDisplay;
let browser: BrowserContext;
let api: ReturnType<typeof loopbackClient>;
let profile: string | undefined;

test.beforeAll(async () => {
  if (missing !== undefined) return;
  profile = mkdtempSync(path.join(os.tmpdir(), 'stagecall-x-keys-'));
  [shell, display] = await Promise.all([startShell(), startDisplay()]);
  const { origin, hash } = new URL(shell.address);
  api = loopbackClient({ address: origin, token: /token=([\w-]+)/.exec(hash)?.[1] ?? '' });
  const executablePath = findBrowser();
  // The arguments of `npm start`; Playwright names the profile itself.
  const args = browserArguments(shell.address, profile, process.getuid?.() === 0).filter((argument) => !argument.startsWith('--user-data-dir'));
  browser = await chromium.launchPersistentContext(profile, { ...(executablePath === undefined ? {} : { executablePath }), headless: false, viewport: null, args, env: display.env as Record<string, string> });
});
test.afterAll(async () => {
  await browser?.close();
  api?.close();
  display?.close();
  await shell?.stop();
  if (profile !== undefined) rmSync(profile, { recursive: true, force: true });
});

interface Proof {
  readonly page: Page;
  readonly pair: Pair;
  /** Presses the shortcut that is proven. */
  readonly press: () => void;
}
/** Looked at often: there are many keys. */
const SOON = { intervals: [20] };
const kinds = async (pair: Pair): Promise<readonly string[]> => (await pair.events()).map(({ kind }) => kind);
const count = async (pair: Pair, wanted: string): Promise<number> => (await kinds(pair)).filter((kind) => kind === wanted).length;
const line = (page: Page) => page.locator('.entry input');
const chip = (page: Page) => page.locator('.entry .chip');
async function appears(kind: string, { pair, press }: Proof): Promise<void> {
  const before = await count(pair, kind);
  press();
  await expect.poll(() => count(pair, kind), SOON).toBe(before + 1);
}
const leave = async ({ page }: Proof): Promise<void> => {
  display.press('Esc');
  await expect(chip(page)).toHaveCount(0);
};

/** What each action is seen by. A key that is added to the list without one does not compile. */
const proofs: Readonly<Record<KeyAction['do'], (proof: Proof) => Promise<void>>> = {
  async enter(proof) {
    display.type('note heard');
    await expect(line(proof.page)).toHaveValue('note heard');
    await appears('note-added', proof);
    await expect(line(proof.page)).toHaveValue('');
  },
  undo: (proof) => appears('event-struck', proof).then(() => display.press('Esc')),
  async next(proof) {
    // A second press within a second is a nervous finger and is left out.
    await expect(async () => {
      const before = await count(proof.pair, 'stage-changed');
      proof.press();
      await expect.poll(() => count(proof.pair, 'stage-changed'), { ...SOON, timeout: 400 }).toBe(before + 1);
    }).toPass({ intervals: [20] });
  },
  async symptom(proof) {
    proof.press();
    await expect(chip(proof.page)).toHaveText('Symptom');
    await leave(proof);
  },
  async why(proof) {
    proof.press();
    await expect(chip(proof.page)).toHaveCount(1);
    await leave(proof);
  },
  async aim(proof) {
    proof.press();
    await expect(chip(proof.page)).toHaveCount(1);
    await leave(proof);
  },
  async cancel(proof) {
    display.type('14');
    await expect(line(proof.page)).toHaveValue('14');
    proof.press();
    await expect(line(proof.page)).toHaveValue('');
  },
  async strike(proof) {
    await proof.page.locator('td button', { hasText: '98' }).first().click();
    await expect(chip(proof.page)).toHaveCount(1);
    proof.press();
    await expect(line(proof.page)).toHaveAccessibleName(/strike/i);
    display.press('Esc', 'Esc');
    await expect(chip(proof.page)).toHaveCount(0);
  },
  async strap(proof) {
    proof.press();
    await expect(proof.page.locator('#live-preview')).toContainText('A strap is chosen before Exercise');
  },
  async pointed(proof) {
    proof.press();
    await expect(proof.page.locator('#live-preview')).toContainText('Nothing was pointed at');
  },
  async told(proof) {
    proof.press();
    await expect(proof.page.locator('#live-preview')).toContainText('Nothing calls the instructor now');
  },
  rail: (proof) => appears('handrail-held', proof),
  gait: (proof) => appears('gait-seen', proof),
  async posture(proof) {
    proof.press();
    await expect(chip(proof.page)).toHaveCount(1);
    await leave(proof);
  },
  async units(proof) {
    const button = proof.page.getByRole('contentinfo').getByRole('button', { name: /km\/h|mph/ });
    const before = await button.innerText();
    proof.press();
    await expect(button).not.toHaveText(before);
  },
  async faster(proof) {
    proof.press();
    await expect(proof.page.locator('.rate select')).toHaveValue('2');
  },
  async slower(proof) {
    proof.press();
    await expect(proof.page.locator('.rate select')).toHaveValue('1');
  },
  async emergency(proof) {
    const text = proof.page.locator('section[aria-label="Emergency text"]');
    proof.press();
    await expect(text).toBeVisible();
    proof.press();
    await expect(text).toBeHidden();
  },
  async sound(proof) {
    const button = proof.page.getByRole('contentinfo').getByRole('button', { name: /^Sound/ });
    const before = await button.innerText();
    proof.press();
    await expect(button).not.toHaveText(before);
  },
  async wall(proof) {
    const opening = browser.waitForEvent('page');
    proof.press();
    const wall = await opening;
    await expect(wall.getByRole('region', { name: 'RPE, 6 to 20' })).toBeVisible();
    // The keys have stayed where they were.
    await proofs.enter({ ...proof, press: () => display.press('Enter') });
    await wall.close();
  },
  async stop(proof) {
    display.type('116/');
    await appears('test-stopped', proof);
    await expect(proof.page.locator('main.live')).toHaveAttribute('data-phase', 'recovery');
  },
};

/** A rehearsal in its first minute of exercise, with one heart rate on the sheet. */
async function exercising(): Promise<Pair> {
  const pair = await new Pair(api).open('rehearsal', { participant: 'R-01', seed: 3, rate: 1, records: false });
  await pair.exercise();
  await pair.add(pair.reading('98'));
  return pair;
}

async function proveLive(page: Page): Promise<void> {
  const pair = await exercising();
  await page.evaluate((id) => (location.hash = `#/session/${id}`), pair.session);
  await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
  await expect(line(page)).toBeFocused();
  display.focus('Stagecall');
  // Stop is last: it ends the exercise that the others need. Space comes late, since a second change within a second of F2 is left out.
  const order = ({ keys, action }: (typeof liveShortcuts)[number]): number => (action === 'stop' ? 2 : keys === 'Space' ? 1 : 0);
  for (const { keys, action } of liveShortcuts.toSorted((a, b) => order(a) - order(b))) {
    await test.step(keys, async () => {
      for (const one of action === 'aim' ? keys.split(' ') : [keys]) await proofs[action]({ page, pair, press: () => display.press(one) });
    });
  }
  await test.step('the word stop, and Space and F2 with something in the line', async () => {
    display.press('Esc');
    display.type('back');
    display.press('Enter');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
    const before = await count(pair, 'stage-changed');
    display.type('note a');
    display.press('Space');
    display.type('b');
    await expect(line(page)).toHaveValue('note a b');
    expect(await count(pair, 'stage-changed')).toBe(before);
    await proofs.next({ page, pair, press: () => display.press('F2') });
    await expect(line(page)).toHaveValue('note a b');
    display.press('Esc');
    display.type('stop');
    display.press('Enter');
    await expect.poll(() => count(pair, 'test-stopped'), SOON).toBe(2);
  });
}

/** The keys that the panel of the open screen shows, as it shows them. */
async function keysOfPanel(page: Page): Promise<readonly string[]> {
  display.press('Ctrl /');
  const panel = page.getByRole('complementary', { name: 'Keys' });
  await expect(panel).toBeVisible();
  const shown = await panel.locator('dt kbd').allInnerTexts();
  display.press('Esc');
  await expect(panel).toBeHidden();
  // "↑ ↓" are two keys, "Ctrl ↓" is one.
  return shown.flatMap((keys) => (/^[←↑→↓ ]+$/.test(keys) ? keys.split(' ') : [keys]));
}

/** Presses them all; each reaches the page as a trusted event and leaves the page where it is. */
async function proveReached(page: Page, hash: string): Promise<void> {
  await page.evaluate((to) => (location.hash = to), hash);
  await expect(page.locator('main, .screen').first()).toBeVisible();
  const keys = await keysOfPanel(page);
  expect(keys.length).toBeGreaterThan(2);
  for (const forbidden of ['Ctrl W', 'Ctrl N', 'Ctrl T']) expect(keys).not.toContain(forbidden);
  await page.evaluate(() => {
    const reached: string[] = [];
    const names: Record<string, string> = { Escape: 'Esc', ' ': 'Space', ArrowUp: '↑', ArrowDown: '↓', ArrowLeft: '←', ArrowRight: '→' };
    const hear = (event: KeyboardEvent): void => {
      if (!event.isTrusted || ['Control', 'Alt', 'Shift'].includes(event.key)) return;
      const name = names[event.key] ?? (event.key.length === 1 && /[a-z]/.test(event.key) ? event.key.toUpperCase() : event.key);
      reached.push([event.ctrlKey && 'Ctrl', event.altKey && 'Alt', event.shiftKey && name.length > 1 && 'Shift', name].filter(Boolean).join(' '));
      // What each does is the other journeys' matter; here nothing is to be opened or left.
      event.preventDefault();
      event.stopImmediatePropagation();
    };
    addEventListener('keydown', hear, true);
    Object.assign(globalThis, { reached, hushed: () => removeEventListener('keydown', hear, true) });
  });
  display.press(...keys);
  await expect.poll(() => page.evaluate(() => (globalThis as unknown as { reached: string[] }).reached), { ...SOON, message: hash }).toEqual(keys);
  await page.evaluate(() => (globalThis as unknown as { hushed: () => void }).hushed());
}

async function otherScreens(): Promise<readonly string[]> {
  const open = await new Pair(api).open();
  const paper = await new Pair(api).open('paper');
  await paper.add({ kind: 'rest-started', data: {} });
  const closed = await (await (await new Pair(api).open()).exercise()).finish();
  const opened = await api.call('worksheet.open', { command: closed.command(), session: closed.session, student: 'k-114' });
  if (!opened.ok) throw new Error(opened.error.message);
  return ['#/', `#/session/${open.session}/prepare`, `#/session/${open.session}/screening`, `#/session/${paper.session}/sheet`, `#/session/${closed.session}/worksheet/${opened.value.worksheet}`, '#/marking', '#/formulas'];
}

test('in the window of npm start', async () => {
  const page = browser.pages().find((one) => one.url().startsWith('http://127.0.0.1')) ?? (await browser.waitForEvent('page'));
  await expect(page.getByRole('button', { name: /Start a live session/ })).toBeVisible();
  await proveLive(page);
});

test('in an ordinary tab', async () => {
  const page = await browser.newPage();
  await page.goto(shell.address);
  await expect(page.getByRole('button', { name: /Start a live session/ })).toBeVisible();
  await proveLive(page);
  for (const hash of await otherScreens()) await test.step(hash, () => proveReached(page, hash));
});
