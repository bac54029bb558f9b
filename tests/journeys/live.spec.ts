/**
 * The main job by keyboard alone, on the real loopback shell: prepare, rest, exercise, stop, recovery, worksheet, export; then the
 * exported file as the other side sees it: as text, as an attachment, and marked. A simulated participant stands on the belt, so
 * that the clock may run twenty times as fast; every reading is typed.
 */
import { execFileSync } from 'node:child_process';
import { mkdirSync, readFileSync } from 'node:fs';
import path from 'node:path';
import { expect, test, type Page } from '@playwright/test';
import { startShell, type RealShell } from './real-shell.ts';

const root = path.resolve(import.meta.dirname, '../..');
let shell: RealShell;

test.beforeAll(async () => {
  shell = await startShell();
});
test.afterAll(() => shell?.stop());

/** What is typed for a call, by the slot that it names: quantity, phase and minute or stage. Invented, physiologically plain. */
function heard(called: string): string {
  const [phase = '', ...rest] = called.replace(/^take\//, '').split('/');
  const quantity = rest.at(-1) ?? '';
  const mark = rest.at(-2) ?? '';
  const stage = Number(/^s(\d+)$/.exec(rest[0] ?? '')?.[1] ?? 0);
  const minute = Number(/^m(\d+)$/.exec(mark)?.[1] ?? 0);
  if (phase === 'rest') return { 'heart-rate': '72', systolic: '118/76', rpe: 'r6', vo2: 'vo2 0.27 rer 0.82 ve 8.9' }[quantity] ?? '';
  if (phase === 'recovery') return quantity === 'systolic' ? ['166/72', '150/72', '136/74', '128/74', '122/74'][minute / 2] ?? '120/74' : ['', '151', '133', '120', '112', '106', '101', '97', '94'][minute] ?? '92';
  if (quantity === 'heart-rate') return mark === 'stop' ? '178' : String(([0, 98, 121, 148][stage] ?? 0) + minute * 8);
  if (quantity === 'rpe') return mark === 'stop' ? 'r18' : `r${[0, 9, 12, 15][stage]}`;
  if (quantity === 'systolic') return ['', '132/76', '148/74', '160/74'][stage] ?? '';
  return mark === 'stop' ? 'vo2 2.42 rer 1.14 ve 80.2' : (['', 'vo2 0.98 rer 0.84 ve 24.1', 'vo2 1.47 rer 0.90 ve 37.6', 'vo2 2.05 rer 1.01 ve 58.3'][stage] ?? '');
}

async function call(page: Page): Promise<{ readonly id: string; readonly isOpen: boolean }> {
  return page.locator('.call').evaluate((element) => ({ id: (element as HTMLElement).dataset['call'] ?? '', isOpen: element.classList.contains('open') }));
}

async function say(page: Page, text: string): Promise<void> {
  await page.keyboard.type(text);
  await page.keyboard.press('Enter');
  await expect(page.getByLabel('Entry: type what is heard')).toHaveValue('');
}

/** Readings that the journey has typed: a pressure is two, gas values are three. */
const written = { readings: 0 };

/** Takes whatever is called, as it is called, until `done`. */
async function answerCalls(page: Page, done: () => Promise<boolean>): Promise<void> {
  for (let last = ''; !(await done()); ) {
    const { id, isOpen } = await call(page);
    if (!isOpen || id === '') {
      last = '';
      await page.waitForTimeout(40);
    } else if (id.startsWith('set/')) {
      if (Number(await secondsLeft(page)) <= 0) await page.keyboard.press('F2');
      await page.waitForTimeout(40);
    } else if (id === last) {
      await page.waitForTimeout(20);
    } else {
      last = id;
      const text = heard(id);
      await say(page, text);
      written.readings += text.includes('/') ? 2 : text.startsWith('vo2') ? 3 : 1;
    }
  }
}

/** Seconds to the change that is called; 0 when it is due. */
async function secondsLeft(page: Page): Promise<number> {
  const [count = ''] = await page.locator('.call .count').allInnerTexts();
  const counts = (await page.locator('.call .counts').allInnerTexts())[0] ?? '';
  if (!/set in/.test(counts)) return 0;
  const [minutes = '0', seconds = '0'] = count.split(':');
  return Number(minutes) * 60 + Number(seconds);
}

async function clockSeconds(page: Page): Promise<number> {
  const [minutes = '0', seconds = '0'] = (await page.locator('.clock').innerText()).split(':');
  return Number(minutes) * 60 + Number(seconds);
}

async function field(page: Page, id: string, text: string): Promise<void> {
  await expect(page.locator(`#${id}`)).toBeFocused();
  // The made-up participant's paperwork may have arrived in the field meanwhile: what is typed takes its place.
  await page.keyboard.press('Control+a');
  await page.keyboard.type(text);
  await page.keyboard.press('Tab');
}

/** Moves on by Tab until a control that the CSS selector names has the focus. */
async function tabTo(page: Page, selector: string): Promise<void> {
  for (let step = 0; step < 40; step += 1) {
    if (await page.evaluate((wanted) => document.activeElement?.matches(wanted) ?? false, selector)) return;
    await page.keyboard.press('Tab');
  }
  throw new Error(`Tab does not reach ${selector}`);
}

test('a whole test by keyboard alone, from prepare to a file that is marked', async ({ page }) => {
  test.setTimeout(240_000);
  // A mouse would be a failure of this journey: nothing below clicks.
  await page.goto(shell.address);

  await test.step('begin', async () => {
    await expect(page.getByRole('button', { name: /Practise on a simulated participant/ })).toBeVisible();
    await tabTo(page, 'button[data-row]');
    await page.keyboard.press('ArrowDown');
    await page.keyboard.press('ArrowDown');
    await expect(page.getByRole('button', { name: /Practise/ })).toBeFocused();
    await page.keyboard.press('Enter');
    await expect(page.locator('#detail-participant-code')).toBeFocused();
    // The made-up participant's own code is written a moment later; the one typed below amends it.
    await expect(page.locator('#detail-participant-code')).toHaveValue('R-01');
  });

  await test.step('prepare', async () => {
    await field(page, 'detail-participant-code', 'R-12');
    await page.keyboard.press('Space');
    await tabTo(page, '#detail-age');
    await field(page, 'detail-age', '22');
    await field(page, 'detail-height', '168');
    await field(page, 'detail-mass', '61.4');
    await field(page, 'detail-temperature', '21.5');
    await field(page, 'detail-pressure', '752');
    await field(page, 'detail-humidity', '41');
    await page.keyboard.press('Tab');
    await field(page, 'detail-recorder', 'TN');
    await field(page, 'detail-tester', 'MO');
    await tabTo(page, '#hold-screening');
    await page.keyboard.press('Enter');
    await expect(page.getByRole('heading', { name: 'Screening, in private' })).toBeVisible();
    await tabTo(page, 'input[name="outcome"]');
    await page.keyboard.press('Space');
    await page.keyboard.press('Tab');
    await page.keyboard.type('JD');
    await page.keyboard.press('Control+Enter');
    await tabTo(page, '#hold-consent');
    await page.keyboard.press('Space');
    await page.keyboard.press('Tab');
    for (const check of ['emergency-plan', 'instructor-present', 'pretest', 'treadmill']) {
      await expect(page.locator(`#check-${check}`)).toBeFocused();
      await page.keyboard.press('Space');
      await page.keyboard.press('Tab');
    }
    await field(page, 'check-flow', '3.02');
    await field(page, 'check-gas-oxygen', '20.94');
    await field(page, 'check-gas-carbon-dioxide', '0.04');
    for (const check of ['gas-span', 'cuff']) {
      await expect(page.locator(`#check-${check}`)).toBeFocused();
      await page.keyboard.press('Space');
      await page.keyboard.press('Tab');
    }
    await page.keyboard.press('Control+Enter');
    await expect(page.locator('main.live')).toBeVisible();
  });

  await test.step('rest', async () => {
    await expect(page.locator('.clock')).toBeVisible();
    // What holds the start is said, and F2 does not pass it.
    await page.keyboard.press('F2');
    await expect(page.locator('#live-preview')).toContainText('Not yet');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'rest');
    await say(page, 'stand');
    await answerCalls(page, async () => (await call(page)).id === '');
    await expect(page.getByText('Nothing on this sheet holds the start')).toBeVisible();
    for (let step = 0; step < 4; step += 1) await page.keyboard.press('Alt+.');
    await expect(page.locator('.rate select')).toHaveValue('20');
    await page.keyboard.press('F2');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
  });

  await test.step('exercise', async () => {
    await answerCalls(page, async () => (await clockSeconds(page)) >= 65);
    // A slip, put right: Ctrl Z takes the entry back and its text comes into the line again.
    await say(page, 'note belt squeaks');
    await page.keyboard.press('Control+z');
    await expect(page.locator('#live-preview')).toContainText('taken back');
    await answerCalls(page, async () => (await clockSeconds(page)) >= 400);
    await page.keyboard.press('Alt+r');
    await expect(page.getByText('hand off the rail')).toBeVisible();
    await page.keyboard.press('Alt+r');
    await answerCalls(page, async () => (await clockSeconds(page)) >= 490);
    await expect(page.locator('[data-row="s3"]')).toContainText('hand on the rail');
  });

  await test.step('stop: one action', async () => {
    await page.keyboard.press('Control+Enter');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'recovery');
    await page.keyboard.press('F6');
    await expect(page.getByLabel(/^Why it stopped/)).toBeFocused();
    await page.keyboard.type('1');
    await page.keyboard.press('Enter');
    await expect(page.locator('[data-row="recovery"]')).toContainText('Volitional exhaustion');
  });

  await test.step('recovery', async () => {
    await answerCalls(page, async () => (await clockSeconds(page)) >= 100);
    await say(page, 'sit');
    await answerCalls(page, async () => (await clockSeconds(page)) >= 390);
    for (const tick of ['c1', 'c2', 'c6', 'c7']) await say(page, tick);
    await answerCalls(page, async () => (await page.locator('.foot').innerText()).includes('7 of 7 met'));
    // Whatever was typed is on disk, once. (How much of a twenty times faster test is caught is the machine's matter.)
    await expect(page.getByRole('contentinfo')).toContainText(`${written.readings} readings on disk`);
    await page.keyboard.press('F2');
    await page.keyboard.type('1');
    await page.keyboard.press('Enter');
    await expect(page.locator('#student-key')).toBeVisible();
  });

  let file = '';
  await test.step('worksheet and export', async () => {
    await tabTo(page, '#student-key');
    await page.keyboard.type('s-2204');
    await page.keyboard.press('Enter');
    await expect(page.getByRole('heading', { name: 'Predicted maximal heart rate' })).toBeVisible();
    await tabTo(page, '#question-1-value');
    // 208 − 0.7 × 22 = 192.6: Tanaka 2001, by hand.
    await page.keyboard.type('193');
    await page.keyboard.press('Enter');
    await expect(page.locator('#question-1-unit')).toBeFocused();
    await page.keyboard.type('/min');
    await tabTo(page, '#question-1-working');
    await page.keyboard.type('208 - 0.7 x 22');
    await page.keyboard.press('Control+ArrowDown');
    await expect(page.getByText('All answers on disk')).toBeVisible();
    await page.keyboard.press('Control+Enter');
    await tabTo(page, 'button.primary[data-step]');
    const downloading = page.waitForEvent('download', { timeout: 60_000 });
    await page.keyboard.press('Enter');
    const download = await downloading;
    const folder = path.join(shell.folder, 'handed-in');
    mkdirSync(folder);
    file = path.join(folder, download.suggestedFilename());
    await download.saveAs(file);
  });

  await test.step('the file, from outside', async () => {
    const text = execFileSync('pdftotext', ['-layout', file, '-'], { encoding: 'utf8' });
    expect(text).toContain('R-12');
    expect(text).toContain('s-2204');
    expect(text.toLowerCase()).toContain('rehearsal');
    expect(execFileSync('pdfdetach', ['-list', file], { encoding: 'utf8' })).toMatch(/^1 embedded file/);
    const marks = path.join(shell.folder, 'marks.csv');
    execFileSync(process.execPath, [path.join(root, 'electron', 'lab.ts'), 'mark', file, '--sheet', path.join(root, 'lab-sheets', 'treadmill-maximal-bruce.yaml'), '--out', marks], { cwd: root, encoding: 'utf8' });
    const [head = '', ...rows] = readFileSync(marks, 'utf8').trim().split(/\r?\n/);
    expect(head).toBe('student,participant,session,sheet,question,marks,out_of,reason');
    const first = rows.find((row) => row.includes(',hr-max,'));
    expect(first).toMatch(/^s-2204,R-12,.*,hr-max,3,3,/);
  });
});
