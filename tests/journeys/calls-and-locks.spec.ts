/** On the live sheet: what the numbers call for, a submaximal test's rules, the station's profile and news, and the instructor's passphrase. */
import { expect, test } from '@playwright/test';
import { serveHarness } from './harness/serve.ts';

type Scene = Parameters<Window['showScene']>[0];
const WORDS = 'brass kettle, nine';
const profile = `schema: stagecall-station-profile/1
units: { speed: mph }
machines:
  - name: Treadmill 2
    mode: treadmill
    speed: { unit: mph, step: 0.5, from: 0.5, to: 10 }
    grade: { unit: "%", step: 5, from: 0, to: 15 }
limits: { heart-rate: 150, source: house rules }
emergency: |
  Call 2222: "room 1.14".
`;

test('calls, rules, profile, news and passphrase, one after the other', async ({ page }) => {
  const harness = await serveHarness();
  const line = page.locator('.entry input');
  const big = page.locator('.call h1');
  const alert = page.locator('.alert');
  const show = async (scene: Scene): Promise<void> => {
    await page.evaluate((name) => window.showScene(name as Scene), scene);
    await expect(line).toBeFocused();
  };
  const say = async (text: string): Promise<void> => {
    await page.keyboard.type(text);
    await page.keyboard.press('Enter');
    await expect(line).toHaveValue('');
  };
  const last = () => page.evaluate(() => window.station.events.at(-1));
  try {
    await page.goto(`${harness.address}?scene=mid`);
    await expect(line).toBeFocused();
    await expect(alert).toHaveCount(0);

    await test.step('a fallen pressure: again at once, beside the first; then the instructor, until told', async () => {
      await show('pressure-fell');
      await expect(big).toHaveText('Pressure again');
      await expect(alert).toContainText('Systolic 140 after 152 as work rises: take it again now.');
      await say('138/72');
      await expect(big).toHaveText('Call the instructor');
      await expect(alert).toContainText('Systolic 138 again after 152');
      await expect(page.locator('[data-row="s4/m3"]')).toContainText('140/74');
      await page.keyboard.press('Alt+i');
      await expect(alert).toHaveCount(0);
      await expect(big).not.toHaveText('Call the instructor');
      expect(await last()).toMatchObject({ kind: 'note-added', data: { text: 'Instructor told: Systolic 138 again after 152' } });
      // Taken back, it stands again; the word does what the key does.
      await page.keyboard.press('Control+z');
      await expect(alert).toContainText('Systolic 138');
      await say('told');
      await expect(alert).toHaveCount(0);
    });

    await test.step('while the next target is due, it and its countdown stay in sight beside the call', async () => {
      await show('pressure-fell-and-set');
      await expect(page.locator('.set .settings')).toContainText('5.0');
      await expect(page.locator('.set .count')).toHaveText('0:10');
      await expect(alert).toContainText('call the instructor');
      await expect(page.locator('[role=dialog], dialog[open]')).toHaveCount(0);
    });

    await test.step('a submaximal sheet explains itself', async () => {
      await show('cycle-plan');
      await expect(page.getByRole('region', { name: 'Rules of this test' })).toContainText('chooses the way');
      await expect(page.getByRole('region', { name: 'The stages to come' })).toContainText('80 to 89');
      await show('cycle-held');
      await expect(page.locator('.rules')).toContainText('117 then 125: not steady, hold one more minute');
      await expect(big).toHaveText('The load waits');
      await show('cycle-branched');
      await expect(page.locator('[data-row="s2"]')).toContainText('95 and 97 in stage 1, mean 96: 90 to 100');
      await show('cycle-cap');
      await expect(alert).toContainText("Heart rate 164 has reached the sheet's cap of 163");
      await page.keyboard.press('Alt+i');
      await expect(big).toHaveText('End-point of the sheet');
      // Nothing was stopped by it.
      await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
    });

    await test.step('the profile: its limit, its emergency text, the nearest setting said and recorded', async () => {
      await show('set-soon');
      expect(await page.evaluate((text) => window.station.call('profile.save', { text }), profile)).toMatchObject({ ok: true });
      await expect(alert).toContainText("has reached this laboratory's limit of 150");
      // The sheet asks for 4.2 mph and 16 %.
      await expect(page.locator('div.set')).toContainText('the sheet asks for 4.2 mph, 16 %');
      await expect(page.locator('h1.set')).toHaveAccessibleName('Set 4.0 mph, 15 %');
      await page.keyboard.press('F2');
      await expect(page.locator('[data-row="s4"]')).toContainText('4.0 mph, 15 % · planned 4.2 mph, 16 %');
      await page.keyboard.press('F1');
      await expect(page.getByRole('alert', { name: 'Emergency text' })).toContainText('Call 2222: "room 1.14".');
      await page.keyboard.press('F1');
    });

    await test.step('what the station has to say is said beside the entry line', async () => {
      await page.evaluate(() => window.station.say({ level: 'warning', text: 'The disk is nearly full: 12 MB are left.' }));
      await expect(page.locator('#live-preview')).toContainText('The disk is nearly full');
      await page.getByRole('button', { name: /station notice/ }).click();
      await expect(page.getByRole('button', { name: /station notice/ })).toHaveCount(0);
    });

    await test.step('leaving early waits for the passphrase, in its place; readings go on', async () => {
      await show('recovery-late');
      await page.evaluate((passphrase) => {
        window.station.guarded = true;
        return window.station.call('passphrase.set', { passphrase });
      }, WORDS);
      await page.keyboard.press('F2');
      for (const text of ['3', 'JD', 'has a bus']) {
        await page.keyboard.type(text);
        await page.keyboard.press('Enter');
      }
      const field = page.getByLabel(/needs the instructor's passphrase/);
      await expect(field).toBeFocused();
      await page.keyboard.type('a wrong guess');
      await page.keyboard.press('Enter');
      await expect(page.getByText('That is not the instructor’s passphrase')).toBeVisible();
      expect((await page.evaluate(() => window.station.state())).phase).toBe('recovery');
      await page.keyboard.type(WORDS);
      await page.keyboard.press('Enter');
      await expect.poll(() => page.evaluate(() => window.station.state().closing)).toMatchObject({ outcome: 'left', early: { initials: 'JD', reason: 'has a bus' } });
      expect(JSON.stringify(await page.evaluate(() => window.station.events))).not.toContain('kettle');
    });
  } finally {
    await harness.close();
  }
});
