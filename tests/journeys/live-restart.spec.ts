/**
 * The station's process is killed while a test runs and someone types: the open window reconnects by itself, the clock is on the
 * right second, what was entered is on disk once, and what stands in the line stays there.
 */
import { expect, test, type Page } from '@playwright/test';
import type { CommandName, InputOf, OutputOf } from '../../core/contract/contract.ts';
import type { SessionDraft } from '../../core/session/events.ts';
import { startShell, type RealShell } from './real-shell.ts';

let shell: RealShell;
test.beforeAll(async () => {
  shell = await startShell();
});
test.afterAll(() => shell?.stop());

async function call<Name extends CommandName>(page: Page, name: Name, input: InputOf<Name>): Promise<OutputOf<Name>> {
  const answer = await page.evaluate(
    async ([command, given]) => {
      const response = await fetch(`/call/${command}`, { method: 'POST', headers: { 'content-type': 'application/json', 'x-stagecall-token': sessionStorage.getItem('stagecall-token') ?? '' }, body: JSON.stringify(given) });
      return response.json() as Promise<unknown>;
    },
    [name, input] as const,
  );
  const result = answer as { ok: boolean; value: OutputOf<Name>; error?: { message: string } };
  if (!result.ok) throw new Error(`${name}: ${result.error?.message}`);
  return result.value;
}

const detail = (id: string, typed: string, unit?: string): SessionDraft => ({ kind: 'detail-given', data: { detail: id, typed, ...(unit === undefined ? {} : { unit }) } });
const check = (id: string, typed?: string, unit?: string): SessionDraft => ({ kind: 'check-done', data: { check: id, done: true, ...(typed === undefined ? {} : { typed }), ...(unit === undefined ? {} : { unit }) } });
const resting = (quantity: string, typed: string, unit: string): SessionDraft => ({ kind: 'reading-taken', data: { slot: { phase: 'rest', mark: 'rest', quantity }, typed, unit } });

/** A live session, prepared and rested, with exercise just begun. */
async function exercising(page: Page): Promise<string> {
  const { session } = await call(page, 'session.open', { command: crypto.randomUUID(), author: 'TN', sheet: 'treadmill-maximal-bruce', way: 'live' });
  const steps: readonly (readonly SessionDraft[])[] = [
    [detail('participant-code', 'R-31'), detail('sex', 'male'), detail('age', '24', 'a'), detail('height', '181', 'cm'), detail('mass', '76', 'kg'), detail('temperature', '21', 'Cel'), detail('pressure', '755', 'mm[Hg]'), detail('humidity', '40', '%'), detail('recorder', 'TN'), detail('tester', 'MO')],
    [{ kind: 'screening-done', data: { outcome: 'go', by: 'JD' } }, { kind: 'consent-noted', data: { given: true } }],
    [check('emergency-plan'), check('instructor-present'), check('pretest'), check('treadmill'), check('flow', '3.01', 'L'), check('gas-oxygen', '20.93', '%'), check('gas-carbon-dioxide', '0.04', '%'), check('gas-span'), check('cuff')],
    [{ kind: 'rest-started', data: {} }],
    [resting('heart-rate', '68', '/min'), resting('systolic', '122', 'mm[Hg]'), resting('diastolic', '78', 'mm[Hg]'), resting('rpe', '6', '{score}')],
    [{ kind: 'exercise-started', data: {} }],
  ];
  for (const drafts of steps) await call(page, 'record.append', { record: session, command: crypto.randomUUID(), author: 'TN', drafts: [...drafts] });
  return session;
}

const seconds = (clock: string): number => {
  const [minutes = '0', rest = '0'] = clock.split(':');
  return Number(minutes) * 60 + Number(rest);
};

test('killed again and again during a test, the station comes back under the open window', async ({ page }) => {
  await page.goto(shell.address);
  await expect(page.getByRole('button', { name: /Start a live session/ })).toBeVisible();
  const session = await exercising(page);
  await page.evaluate((id) => (location.hash = `#/session/${id}`), session);
  const clock = page.locator('.clock');
  await expect(clock).toBeVisible();
  const line = page.getByLabel('Entry: type what is heard');

  const [began, shown] = [Date.now(), seconds(await clock.innerText())];
  const rounds = 6;
  for (let round = 1; round <= rounds; round += 1) {
    await page.keyboard.type(`note before ${round}`);
    await page.keyboard.press('Enter');
    await expect(line).toHaveValue('');
    shell.killStation();
    // Typed while nobody answers: one entry is sent, the next is still in the line.
    await page.keyboard.type(`note during ${round}`);
    await page.keyboard.press('Enter');
    await page.keyboard.type('r1');
    await expect(page.getByRole('contentinfo')).not.toContainText('lost', { timeout: 10_000 });
    await expect(page.locator('.waiting')).toHaveCount(0, { timeout: 10_000 });
    await expect(line).toHaveValue('r1');
    await page.keyboard.press('Escape');
    // The same second as if nothing had happened; one second of play for reading it.
    expect(Math.abs(seconds(await clock.innerText()) - shown - (Date.now() - began) / 1000)).toBeLessThan(1.5);
  }

  const { events } = await call(page, 'record.read', { record: session, from: 0 });
  const notes = events.map((event) => JSON.parse(event.body) as { kind: string; data: { text?: string } }).filter((event) => event.kind === 'note-added').map((event) => event.data.text);
  expect(notes).toEqual(Array.from({ length: rounds }, (_, index) => [`before ${index + 1}`, `during ${index + 1}`]).flat());
});
