/**
 * Seven minutes of a maximal test and ten of recovery by keyboard alone, on a clock that the test sets: what each reading costs in
 * keys, that a bare value goes to the open call that it fits, that no dialog ever opens and no mouse is needed.
 */
import { expect, test, type Page } from '@playwright/test';
import { serveHarness } from './harness/serve.ts';

const clock = (text: string): number => {
  const [minutes = 0, seconds = 0] = text.split(':').map(Number);
  return (minutes * 60 + seconds) * 1000;
};

/** When it is heard, as it is heard, and the places of the sheet that it has to answer. */
type Heard = readonly [at: string, said: string, ...slots: string[]];
const gas = (stage: string): string[] => ['vo2', 've', 'rer'].map((quantity) => `exercise/${stage}/${quantity}`);
const cuff = (place: string): string[] => [`${place}/systolic`, `${place}/diastolic`];

const exercise: readonly (Heard | readonly [at: string, key: 'F2' | 'Control+Enter'])[] = [
  ['0:59', '98', 'exercise/s1/m1/heart-rate'],
  ['2:00', '104', 'exercise/s1/m2/heart-rate'],
  ['2:32', '132/76', ...cuff('exercise/s1/end')],
  ['2:44', '9', 'exercise/s1/end/rpe'],
  ['2:59', '109', 'exercise/s1/m3/heart-rate'],
  ['3:01', 'F2'],
  ['3:25', 'vo2 0.98 ve 24.1 rer 0.83', ...gas('s1/end')],
  ['4:01', '121', 'exercise/s2/m1/heart-rate'],
  ['5:00', '127', 'exercise/s2/m2/heart-rate'],
  // Sounds to zero, and two numbers in one breath.
  ['5:31', '146/0', ...cuff('exercise/s2/end')],
  ['5:59', '131 r12', 'exercise/s2/m3/heart-rate', 'exercise/s2/end/rpe'],
  ['6:02', 'F2'],
  ['6:27', 'vo2 1.47 ve 37,6 rer 0.89', ...gas('s2/end')],
  ['6:58', '158', 'exercise/s3/m1/heart-rate'],
  ['7:02', 'Control+Enter'],
];
/** Counted from the stop at 7:02. */
const recovery: readonly Heard[] = [
  ['0:03', '163', 'exercise/s3/stop/heart-rate'],
  ['0:06', '18', 'exercise/s3/stop/rpe'],
  ['0:25', 'vo2 2.31 ve 71 rer 1.12', ...gas('s3/stop')],
  ['0:40', '158/64', ...cuff('recovery/m0')],
  ['1:00', '139', 'recovery/m1/heart-rate'],
  ['2:00', '121', 'recovery/m2/heart-rate'],
  ['2:20', '150/66', ...cuff('recovery/m2')],
  ['3:00', '112', 'recovery/m3/heart-rate'],
  ['4:01', '106', 'recovery/m4/heart-rate'],
  ['4:20', '138/70', ...cuff('recovery/m4')],
  ['5:00', '101', 'recovery/m5/heart-rate'],
  ['6:00', '98', 'recovery/m6/heart-rate'],
  ['6:20', '130/72', ...cuff('recovery/m6')],
  ['7:00', '95', 'recovery/m7/heart-rate'],
  ['8:00', '92', 'recovery/m8/heart-rate'],
  ['8:20', '124/74', ...cuff('recovery/m8')],
  ['9:00', '91', 'recovery/m9/heart-rate'],
  ['10:00', '90', 'recovery/m10/heart-rate'],
  ['10:20', '122/74', ...cuff('recovery/m10')],
];

test('a seven-minute maximal test and ten minutes of recovery, by keyboard', async ({ page }) => {
  const harness = await serveHarness();
  try {
    await page.goto(`${harness.address}?scene=rest-ready`);
    await expect(page.locator('.entry input')).toBeFocused();
    const pressed = { keys: 0, readings: 0, most: 0 };
    const moment = (at: number) => page.evaluate((now) => window.station.setClock(now, 0), at);
    const press = async (key: string): Promise<void> => {
      pressed.keys += 1;
      await page.keyboard.press(key);
    };
    const say = async (origin: number, [at, said, ...slots]: Heard): Promise<void> => {
      await moment(origin + clock(at));
      const before = pressed.keys;
      for (const character of said) await press(character === ' ' ? 'Space' : character);
      await press('Enter');
      await expect.poll(() => standing(page, slots), { message: `${at} "${said}"` }).toEqual(slots.map((slot) => `${slot}: taken`));
      await expect(page.locator('.entry input')).toHaveValue('');
      const cost = pressed.keys - before - said.length;
      expect(cost, `"${said}" took ${cost} keys beyond what was heard`).toBeLessThanOrEqual(2);
      pressed.most = Math.max(pressed.most, cost);
      pressed.readings += 1;
      await expect(page.locator('[role=dialog], dialog[open]')).toHaveCount(0);
      await expect(page.locator('.entry input')).toBeFocused();
    };

    await press('F2');
    await expect(page.locator('main.live')).toHaveAttribute('data-phase', 'exercise');
    const start = await page.evaluate(() => window.station.state().starts.exercise ?? 0);
    for (const step of exercise) {
      if (step[1] !== 'F2' && step[1] !== 'Control+Enter') {
        await say(start, step as Heard);
        continue;
      }
      await moment(start + clock(step[0]));
      // One key, and the double click's guard lies in real time.
      await page.evaluate(() => new Promise((frame) => requestAnimationFrame(frame)));
      await press(step[1]);
      const [stages, phase] = [step[0] === '3:01' ? 2 : 3, step[1] === 'F2' ? 'exercise' : 'recovery'];
      await expect.poll(() => page.evaluate(() => [window.station.state().stages.length, window.station.state().phase])).toEqual([stages, phase]);
    }
    const stopped = start + clock('7:02');
    // The reason is asked afterwards and waits: readings first, then F6 and its number.
    for (const heard of recovery.slice(0, 3)) await say(stopped, heard);
    await press('F6');
    await press('1');
    await press('Enter');
    await expect.poll(() => page.evaluate(() => window.station.state().stop?.reason)).toBeTruthy();
    for (const heard of recovery.slice(3)) await say(stopped, heard);

    // Nothing that the sheet asked for was left out or late.
    const left = await page.evaluate(() => {
      const state = window.station.state();
      const end = window.station.clock().now;
      return [...state.slots.values()].flatMap(({ key, scheduled, current, notTaken }) => {
        if (!scheduled || scheduled.optional || notTaken || scheduled.due > end) return [];
        return current === undefined ? [`${key} is empty`] : current.taken > scheduled.late ? [`${key} is late`] : [];
      });
    });
    expect(left).toEqual([]);

    // Leaving: the ticks by their keys, then one word for the closing.
    for (const tick of ['c1', 'c2', 'c6', 'c7']) {
      for (const character of tick) await press(character);
      await press('Enter');
      await expect(page.locator('.entry input')).toHaveValue('');
    }
    await expect(page.locator('.go.ready')).toContainText('7 of 7 met');
    await press('F2');
    await press('1');
    await press('Enter');
    await expect.poll(() => page.evaluate(() => window.station.state().closing?.outcome)).toBe('left');
    // A bare value and Enter: no reading of this test needed a second key.
    expect(pressed).toMatchObject({ readings: 31, most: 1 });
  } finally {
    await harness.close();
  }
});

function standing(page: Page, slots: readonly string[]): Promise<string[]> {
  return page.evaluate((keys) => {
    const state = window.station.state();
    return keys.map((key) => {
      const slot = state.slots.get(key);
      return `${key}: ${slot?.current === undefined ? 'empty' : slot.scheduled && slot.current.taken > slot.scheduled.late ? 'late' : 'taken'}`;
    });
  }, slots as string[]);
}
