/** The profile on a station: kept whole or not at all, told to every window, behind the passphrase where one is set. */
import { readFileSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, expect, it } from 'vitest';
import { STATION_NEWS } from '../../core/contract/station-news.ts';
import { exampleProfile } from '../../core/profile/example.ts';
import { InstructorLock } from '../../electron/station/passphrase.ts';
import { PROFILE_FILE, ProfileFile } from '../../electron/station/profile.ts';
import { good } from '../shells/pair.ts';
import { tempFolder } from '../shells/temp-folder.ts';
import { MovedClock, testStation } from './test-station.ts';

const made: { remove(): void }[] = [];
afterEach(() => made.splice(0).forEach((one) => one.remove()));
function folder(): string {
  const one = tempFolder();
  made.push(one);
  return one.folder;
}

it('is saved, told to every window, and read again by the next station', async () => {
  const where = folder();
  const { api, station, stop } = testStation({ profile: new ProfileFile(where) });
  const heard: string[] = [];
  station.subscribe((change) => heard.push(change.record));
  expect(await good(api.call('profile.read', {}))).toEqual({ text: '', problems: [] });
  expect(await good(api.call('profile.save', { text: exampleProfile }))).toMatchObject({ profile: { station: 'Physiology lab 2, bench 4' } });
  expect(heard).toEqual([STATION_NEWS]);
  stop();
  const next = testStation({ profile: new ProfileFile(where) });
  expect(await good(next.api.call('profile.read', {}))).toMatchObject({ text: exampleProfile, profile: { limits: { systolic: 230 } } });
  expect(await good(next.api.call('profile.save', { text: ' \n' }))).toEqual({ text: '', problems: [] });
  expect(await good(next.api.call('profile.read', {}))).toEqual({ text: '', problems: [] });
  next.stop();
});

it('a fault is refused line by line and the one before is kept; a file spoilt by hand is not used', async () => {
  const where = folder();
  const { api, stop } = testStation({ profile: new ProfileFile(where) });
  await good(api.call('profile.save', { text: exampleProfile }));
  const refused = await api.call('profile.save', { text: exampleProfile.replace('speed: mph #', 'speed: warp #') });
  expect(refused).toMatchObject({ ok: false, error: { code: 'profile-invalid', details: [expect.stringContaining('Line 5: units → speed')] } });
  expect(readFileSync(path.join(where, PROFILE_FILE), 'utf8')).toBe(exampleProfile);
  writeFileSync(path.join(where, PROFILE_FILE), 'units: 3');
  const spoilt = await good(api.call('profile.read', {}));
  expect(spoilt.profile).toBeUndefined();
  expect(spoilt.problems.length).toBeGreaterThan(0);
  writeFileSync(path.join(where, PROFILE_FILE), 'x'.repeat(400_000));
  expect((await good(api.call('profile.read', {}))).problems.join()).toContain('far too large');
  stop();
});

it('is changed only with the passphrase where one is set', async () => {
  const clock = new MovedClock();
  const { api, stop } = testStation({ clock, lock: new InstructorLock({ clock, cost: { N: 2, r: 8, p: 1 } }) });
  await good(api.call('passphrase.set', { passphrase: 'brass kettle, nine' }));
  expect(await api.call('profile.save', { text: exampleProfile })).toMatchObject({ ok: false, error: { code: 'passphrase-needed' } });
  const { unlock } = await good(api.call('passphrase.check', { passphrase: 'brass kettle, nine' }));
  expect(await api.call('profile.save', { text: exampleProfile, ...(unlock === undefined ? {} : { unlock }) })).toMatchObject({ ok: true });
  stop();
});

it('a notice that comes and goes is told to every window', () => {
  const { station, stop } = testStation();
  const heard: string[] = [];
  station.subscribe((change) => heard.push(change.record));
  station.notices.add('disk', 'warning', 'The disk is nearly full.');
  station.notices.add('disk', 'warning', 'The disk is nearly full.');
  station.notices.remove('disk');
  station.notices.remove('disk');
  expect(heard).toEqual([STATION_NEWS, STATION_NEWS]);
  stop();
});
