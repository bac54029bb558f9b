/**
 * The live sheet in every phase and in its awkward moments, over a station inside the page (harness/): what must be in sight at
 * which window size, how large it is, what axe says of it, and what the entry line does with what is typed.
 */
import { AxeBuilder } from '@axe-core/playwright';
import { expect, test, type Page } from '@playwright/test';
import { serveHarness } from './harness/serve.ts';

type Scene = Parameters<Window['showScene']>[0];
const everyScene: readonly Scene[] = ['rest-begun', 'rest-ready', 'first-seconds', 'mid', 'set-soon', 'set-due', 'call-late', 'stopped', 'reason-wanted', 'recovery', 'recovery-late', 'symptom', 'closed', 'rehearsal', 'two-authors', 'pressure-fell', 'pressure-fell-again', 'pressure-fell-and-set', 'cycle-plan', 'cycle-held', 'cycle-branched', 'cycle-set', 'cycle-cap'];

let harness: Awaited<ReturnType<typeof serveHarness>>;
test.beforeAll(async () => {
  harness = await serveHarness();
});
test.afterAll(() => harness?.close());

async function open(page: Page, scene: Scene, rate = 0): Promise<void> {
  await page.goto(`${harness.address}?scene=${scene}&rate=${rate}`);
  await expect(page.locator('main.live')).toBeVisible();
  await page.evaluate(() => document.fonts.ready);
}
async function show(page: Page, scene: Scene, rate = 0): Promise<void> {
  await page.evaluate(([name, speed]) => window.showScene(name as Scene, speed as number), [scene, rate] as const);
  await expect(page.locator('main.live')).toBeVisible();
}
const events = (page: Page) => page.evaluate(() => window.station.events);
const line = (page: Page) => page.locator('.entry input');

/** What of a live sheet is not wholly in sight: outside the window, or cut off by a box around it. Empty when all is well. */
async function hidden(page: Page): Promise<readonly string[]> {
  return page.evaluate(() => {
    const wanted: [string, string][] = [
      ['clock', '.clock'],
      ['present call', '.call h1'],
      ['countdown', '.call .count'],
      ['next calls', '.next'],
      ['entry line', '.entry input'],
      ['preview', '#live-preview'],
      ['target', '.target, .set .settings, .first .settings'],
      ['next target', '.then, .set .count'],
      ['stage bar', '.bar[role=progressbar]'],
      ['stop, start or close', '.stop, .start, .foot'],
      ['keys', '.keys .line'],
      ['stop rules', 'section[aria-label="Stop rules"] li'],
      ['source of the stop rules', 'section[aria-label="Stop rules"] .source'],
      ['present row', 'tr.current'],
      ['called cell', 'td.called'],
      ['criteria', 'section[aria-label="Criteria for leaving"] li'],
      ['reasons', 'section[aria-label="Why the test stopped"] li'],
      ['take back', '.back button'],
      ['emergency text', 'section[aria-label="Emergency text"] > *'],
      ['call of the numbers', '.alert > *'],
      ['rules of the test', '.rules > *'],
      ['plan', 'section[aria-label="The stages to come"] tr'],
    ];
    const lost: string[] = [];
    for (const [name, selector] of wanted) {
      for (const element of document.querySelectorAll<HTMLElement>(selector)) {
        const box = element.getBoundingClientRect();
        if (box.width === 0) continue;
        let [left, top, right, bottom] = [0, 0, innerWidth, innerHeight];
        for (let around = element.parentElement; around; around = around.parentElement) {
          const style = getComputedStyle(around);
          if (style.overflowX === 'visible' && style.overflowY === 'visible') continue;
          const edge = around.getBoundingClientRect();
          [left, top, right, bottom] = [Math.max(left, edge.left), Math.max(top, edge.top), Math.min(right, edge.right), Math.min(bottom, edge.bottom)];
        }
        // Half a pixel for rounding of edges.
        if (box.left < left - 0.5 || box.top < top - 0.5 || box.right > right + 0.5 || box.bottom > bottom + 0.5) lost.push(`${name}: ${element.textContent?.trim().slice(0, 40)} (${Math.round(box.left)},${Math.round(box.top)} to ${Math.round(box.right)},${Math.round(box.bottom)} in ${Math.round(left)},${Math.round(top)} to ${Math.round(right)},${Math.round(bottom)})`);
        // Nothing lies on top of it.
        const [x, y] = [box.left + box.width / 2, box.top + box.height / 2];
        const top1 = document.elementFromPoint(x, y);
        if (top1 && !element.contains(top1) && !top1.contains(element)) lost.push(`${name} is covered by ${top1.tagName} ${top1.className}`);
      }
    }
    if (document.documentElement.scrollHeight > innerHeight || document.documentElement.scrollWidth > innerWidth) lost.push('the page itself scrolls');
    for (const section of document.querySelectorAll('main.live > section')) if (section.scrollHeight > section.clientHeight + 1 || section.scrollWidth > section.clientWidth + 1) lost.push(`${section.getAttribute('aria-label')} does not fit its column`);
    return lost;
  });
}

for (const [width, height, theme] of [[1280, 620, 'light'], [1280, 620, 'dark'], [1366, 768, 'light'], [1366, 768, 'dark'], [1920, 1080, 'light']] as const) {
  test(`nothing that is needed has to be scrolled to at ${width} × ${height}, ${theme}`, async ({ page }) => {
    await page.setViewportSize({ width, height });
    await page.emulateMedia({ colorScheme: theme });
    await open(page, 'mid');
    for (const scene of everyScene) {
      await show(page, scene);
      await expect.poll(() => hidden(page), { message: scene, timeout: 4_000 }).toEqual([]);
    }
    // Speeds of two figures before the point are the widest: 7.5 mph is 12.1 km/h.
    await show(page, 'set-soon');
    await page.keyboard.press('Alt+u');
    await expect.poll(() => hidden(page), { message: 'set-soon in km/h' }).toEqual([]);
    await page.keyboard.press('Alt+u');
    await show(page, 'mid');
    await page.keyboard.press('F1');
    await expect(page.getByText('In an emergency')).toBeVisible();
    await expect.poll(() => hidden(page), { message: 'emergency text' }).toEqual([]);
  });
}

test('the check of what is in sight is not blind', async ({ page }) => {
  await page.setViewportSize({ width: 1000, height: 400 });
  await open(page, 'mid');
  expect((await hidden(page)).join()).toContain('stop rules');
  await page.setViewportSize({ width: 1366, height: 768 });
  await page.addStyleTag({ content: '.stop { transform: translateY(6rem); }' });
  expect((await hidden(page)).join()).toContain('stop, start or close');
});

test('clock, present call and next target read from two metres on a 1366 × 768 screen', async ({ page }) => {
  await page.setViewportSize({ width: 1366, height: 768 });
  await open(page, 'mid');
  for (const scene of everyScene) {
    await show(page, scene);
    const heights = await page.evaluate(() => {
      const context = document.createElement('canvas').getContext('2d') as CanvasRenderingContext2D;
      return [...document.querySelectorAll<HTMLElement>('.clock, .call h1, .call .count, .set .settings b, .set > .count')].map((element) => {
        const { fontWeight, fontSize, fontFamily } = getComputedStyle(element);
        context.font = `${fontWeight} ${fontSize} ${fontFamily}`;
        return { what: element.className.split(' ')[0] || element.tagName, capital: context.measureText('H').actualBoundingBoxAscent };
      });
    });
    expect(heights.length).toBeGreaterThan(1);
    for (const { what, capital } of heights) expect(capital, `${scene}: ${what}`).toBeGreaterThanOrEqual(41);
  }
});

for (const theme of ['light', 'dark'] as const) {
  test(`axe finds nothing in any moment, ${theme}`, async ({ page }) => {
    test.setTimeout(180_000);
    await page.emulateMedia({ colorScheme: theme, reducedMotion: 'reduce' });
    await open(page, 'mid');
    // Those that differ in what is on the page; the others differ in numbers.
    for (const scene of ['rest-begun', 'first-seconds', 'mid', 'set-soon', 'call-late', 'stopped', 'reason-wanted', 'recovery-late', 'symptom', 'closed', 'rehearsal', 'two-authors'] as const) {
      await show(page, scene);
      if (scene === 'reason-wanted') await page.keyboard.press('F6');
      if (scene === 'recovery-late') await page.keyboard.press('F2');
      if (scene === 'call-late') await page.keyboard.press('F6');
      if (scene === 'first-seconds') await page.keyboard.press('F1');
      if (scene === 'two-authors') {
        await page.keyboard.type('250');
        await page.keyboard.press('Enter');
      }
      const { violations } = await new AxeBuilder({ page }).analyze();
      expect(violations.map((violation) => `${scene}: ${violation.id}: ${violation.nodes.map((node) => node.target.join(' ')).join('; ')}`)).toEqual([]);
    }
  });
}

test.describe('the entry line', () => {
  test('typing anywhere goes to it, and it says what Enter will record and where', async ({ page }) => {
    await open(page, 'mid');
    await expect(line(page)).toBeFocused();
    await page.evaluate(() => (document.activeElement as HTMLElement).blur());
    await page.keyboard.type('168/76');
    await expect(line(page)).toHaveValue('168/76');
    await expect(page.locator('#live-preview')).toContainText('systolic 168 mmHg, diastolic 76 mmHg, stage 3, taken 8:22');
    await expect(page.locator('td.landing')).toHaveCount(1);
    await page.keyboard.press('Enter');
    await expect(line(page)).toHaveValue('');
    await expect(page.locator('[data-row="s3/m3"]')).toContainText('168/76');
    // The call is answered and the next one stands there.
    await expect(page.locator('.call h1')).toHaveText('RPE');
  });

  test('an unusual value is asked about and kept by a second Enter; an impossible one is refused with its range', async ({ page }) => {
    await open(page, 'call-late');
    const before = (await events(page)).length;
    await page.keyboard.type('231');
    await page.keyboard.press('Enter');
    await expect(page.locator('.entry.asked')).toContainText('unusual');
    expect((await events(page)).length).toBe(before);
    await page.keyboard.press('Enter');
    await expect(page.locator('[data-row="s4/m1"]')).toContainText('231');
    await page.keyboard.type('hr 290');
    await page.keyboard.press('Enter');
    await expect(page.locator('#live-preview .refused')).toContainText('25 /min to 240 /min');
    await expect(line(page)).toHaveValue('hr 290');
    expect((await events(page)).length).toBe(before + 1);
    // Bare, too, while a pulse is called for.
    await show(page, 'call-late');
    await page.keyboard.type('290');
    await page.keyboard.press('Enter');
    await expect(page.locator('#live-preview .refused')).toContainText('290 cannot be heart rate: 25 to 240 /min');
  });

  test('a click or the arrows aim at a cell; what is typed amends it, with both values visible', async ({ page }) => {
    await open(page, 'mid');
    await page.locator('[data-row="s1/m1"] button').first().click();
    await expect(line(page)).toBeFocused();
    await page.keyboard.type('97');
    await page.keyboard.press('Enter');
    await expect(page.locator('[data-row="s1/m1"] s')).toHaveText('98');
    await expect(page.locator('[data-row="s1/m1"] .value')).toHaveText('97');
    await page.keyboard.press('ArrowUp');
    await expect(page.locator('td.aimed')).toHaveCount(1);
    await page.keyboard.press('Escape');
    await expect(page.locator('td.aimed')).toHaveCount(0);
  });

  test('Delete strikes the chosen value with a reason; it stays visible', async ({ page }) => {
    await open(page, 'mid');
    await page.locator('[data-row="s1/m2"] button').first().click();
    await page.keyboard.press('Delete');
    await page.keyboard.type('1');
    await page.keyboard.press('Enter');
    await expect(page.locator('[data-row="s1/m2"] s')).toHaveText('104');
    await expect(page.locator('[data-row="s1/m2"]')).toContainText('struck');
  });

  test('Ctrl Z takes the last entry back and puts its text into the line', async ({ page }) => {
    await open(page, 'mid');
    await page.keyboard.press('Control+z');
    await expect(line(page)).toHaveValue('156');
    await page.keyboard.type('158');
    await expect(line(page)).toHaveValue('158');
  });

  test('F6 says why a reading was not taken; F4 notes a symptom; both without leaving the line', async ({ page }) => {
    await open(page, 'mid');
    await page.keyboard.press('F6');
    await page.keyboard.type('2');
    await page.keyboard.press('Enter');
    await expect(page.locator('[data-row="s3/m3"]')).toContainText('not taken');
    await expect(page.locator('[data-row="s3/m3"]')).toContainText('cuff slipped');
    await page.keyboard.press('F4');
    await page.keyboard.type('calf pain');
    await page.keyboard.press('Enter');
    await expect.poll(async () => (await events(page)).at(-1)).toMatchObject({ kind: 'symptom-noted', data: { text: 'calf pain' } });
  });
});

test.describe('stop', () => {
  test('Ctrl Enter stops at once, whatever stands in the line; for ten seconds it can be taken back and the clock goes on', async ({ page }) => {
    await open(page, 'mid', 1);
    await page.keyboard.type('16');
    await page.keyboard.press('Control+Enter');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'recovery');
    expect((await events(page)).at(-1)).toMatchObject({ kind: 'test-stopped' });
    await expect(page.getByRole('button', { name: /Take the stop back/ })).toBeVisible();
    // Where the stop control was, nothing can be pressed by the second half of a double click.
    await expect(page.locator('.foot button')).toHaveCount(0);
    await page.keyboard.press('Escape');
    await page.keyboard.press('Control+z');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
    const seconds = await page.locator('.clock').innerText();
    expect(seconds >= '8:22').toBe(true);
  });

  test('the word stop and the button do the same; the reason waits without a dialog', async ({ page }) => {
    await open(page, 'mid');
    await page.keyboard.type('stop');
    await page.keyboard.press('Enter');
    await expect(page.getByRole('heading', { name: /Why did it stop/ })).toBeVisible();
    await expect(page.getByRole('dialog')).toHaveCount(0);
    await show(page, 'mid');
    await page.getByRole('button', { name: /Stop the test/ }).click();
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'recovery');
    // A pulse goes on as a pulse while the reason is open.
    await page.keyboard.type('181');
    await page.keyboard.press('Enter');
    await expect.poll(async () => (await events(page)).at(-1)).toMatchObject({ kind: 'reading-taken', data: { slot: { quantity: 'heart-rate', mark: 'stop' } } });
  });

  test('a stop for a symptom takes the other road', async ({ page }) => {
    await open(page, 'reason-wanted');
    await expect(page.locator('.plan')).toContainText('no walking on');
    await page.keyboard.press('F6');
    await page.keyboard.type('8');
    await page.keyboard.press('Enter');
    await expect(page.locator('.plan')).toContainText('Lie down, legs raised');
    await expect(page.locator('.plan')).not.toContainText('Walk on');
    await page.keyboard.press('F2');
    await page.keyboard.type('1');
    await page.keyboard.press('Enter');
    await expect(page.locator('#live-preview')).toContainText('instructor');
    expect((await events(page)).some((event) => event.kind === 'session-closed')).toBe(false);
  });

  test('a false start is struck and Rest is kept', async ({ page }) => {
    await open(page, 'first-seconds');
    await page.keyboard.type('false start');
    await page.keyboard.press('Enter');
    await page.keyboard.type('belt was not moving');
    await page.keyboard.press('Enter');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'rest');
    await expect(page.locator('[data-row="rest"]')).toContainText('118/76');
  });
});

test('F2 and Space mark the change; Space in a note is a space', async ({ page }) => {
  await open(page, 'set-soon');
  await page.keyboard.press('Space');
  await expect(page.locator('[data-row="s4"]')).toContainText('changed 8:48');
  await expect(page.locator('#live-preview')).toContainText('Set differently? Type for example set 4.2 mph 16 %');
  await page.keyboard.type('set 4.0 15');
  await page.keyboard.press('Enter');
  await expect(page.locator('[data-row="s4"]')).toContainText('4.0 mph, 15 % · planned 4.2 mph, 16 %');
  await page.keyboard.type('note breathes hard');
  await expect(line(page)).toHaveValue('note breathes hard');
});

test('Space neither begins nor closes a test', async ({ page }) => {
  await open(page, 'rest-ready');
  const before = (await events(page)).length;
  await page.keyboard.press('Space');
  await show(page, 'recovery-late');
  await page.keyboard.press('Space');
  await expect(page.locator('.chip')).toHaveCount(0);
  await show(page, 'rest-ready');
  expect((await events(page)).length).toBe(before);
  await page.keyboard.press('F2');
  await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
});

test('a lost station is said at once, what is entered is kept and sent again with its own moment', async ({ page }) => {
  await open(page, 'mid', 1);
  await page.evaluate(() => window.station.setLost(true));
  await expect(page.locator('.waiting.lost')).toContainText('The station does not answer');
  await page.keyboard.type('168/76');
  await page.keyboard.press('Enter');
  await expect(page.locator('.waiting.lost')).toContainText('systolic 168');
  await page.keyboard.type('r1');
  const typedAt = await page.evaluate(() => window.station.clock().now);
  await page.waitForTimeout(1_500);
  await page.evaluate(() => window.station.setLost(false));
  await expect(page.locator('[data-row="s3/m3"]')).toContainText('168/76');
  await expect(line(page)).toHaveValue('r1');
  await expect(page.locator('.waiting')).toHaveCount(0);
  const readings = (await events(page)).filter((event) => event.kind === 'reading-taken').slice(-2);
  expect(readings).toHaveLength(2);
  for (const reading of readings) {
    // Taken when it was entered, entered when the station could be reached again.
    expect(reading.taken).toBeLessThanOrEqual(typedAt);
    expect(reading.entered - reading.taken).toBeGreaterThan(1_000);
  }
});

test('a reading is acknowledged within one frame of the reply', async ({ page }) => {
  await open(page, 'mid');
  await page.keyboard.type('168/76');
  const frames = await page.evaluate(
    () =>
      new Promise<number>((resolve) => {
        const { station } = window;
        const call = station.call.bind(station);
        station.call = (async (...given: Parameters<typeof call>) => {
          const answer = await call(...given);
          if (given[0] === 'record.append') {
            let count = 0;
            const look = (): void => {
              count += 1;
              if (document.querySelector('[data-row="s3/m3"]')?.textContent?.includes('168/76')) resolve(count);
              else requestAnimationFrame(look);
            };
            requestAnimationFrame(look);
          }
          return answer;
        }) as typeof station.call;
        document.querySelector<HTMLElement>('.entry input')?.dispatchEvent(new KeyboardEvent('keydown', { key: 'Enter', bubbles: true, cancelable: true }));
      }),
  );
  expect(frames).toBe(1);
});

test('two people at one station: both values stand, and the sheet says that they differ', async ({ page }) => {
  await open(page, 'two-authors');
  await expect(page.locator('[data-row="s3/m2"]')).toContainText('differ');
  await expect(page.locator('[data-row="s3/m2"]')).toContainText('156 TN, 151 MO');
});

test('a closed session is read, not written', async ({ page }) => {
  await open(page, 'closed');
  await expect(line(page)).toHaveCount(0);
  await page.keyboard.type('147');
  await page.keyboard.press('F2');
  expect(await page.evaluate(() => window.sheetClosed)).toBe(true);
});
