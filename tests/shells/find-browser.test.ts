import path from 'node:path';
import { describe, expect, it } from 'vitest';
import { findBrowser } from '../../electron/find-browser.ts';

/** A machine on which only these programs are installed. */
const machine = (platform: NodeJS.Platform, env: NodeJS.ProcessEnv, ...programs: string[]) => ({
  platform,
  env,
  isProgram: (file: string) => programs.includes(file),
});

describe('a browser is found', () => {
  it.each([
    ['on the path', machine('linux', { PATH: '/opt/bin:/usr/bin' }, '/opt/bin/google-chrome'), '/opt/bin/google-chrome'],
    ['in the usual place, without a path', machine('linux', {}, '/snap/bin/chromium'), '/snap/bin/chromium'],
    [
      'where the environment names it, before any other',
      machine('linux', { PATH: '/usr/bin', STAGECALL_BROWSER: '/x/b' }, '/usr/bin/chromium', '/x/b'),
      '/x/b',
    ],
    [
      'elsewhere when what the environment names is no program',
      machine('linux', { PATH: '/usr/bin', CHROME: '/gone' }, '/usr/bin/chromium'),
      '/usr/bin/chromium',
    ],
    [
      'on macOS',
      machine('darwin', { HOME: '/Users/x' }, '/Users/x/Applications/Chromium.app/Contents/MacOS/Chromium'),
      '/Users/x/Applications/Chromium.app/Contents/MacOS/Chromium',
    ],
    [
      'on Windows',
      machine(
        'win32',
        { 'ProgramFiles(x86)': 'C:\\Program Files (x86)' },
        'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
      ),
      'C:\\Program Files (x86)\\Microsoft\\Edge\\Application\\msedge.exe',
    ],
  ])('%s', (_, options, expected) => {
    expect(findBrowser(options)).toBe(expected);
  });
});

it('there is none where none is installed', () => {
  expect(findBrowser(machine('linux', { PATH: '/usr/bin', STAGECALL_BROWSER: '' }))).toBeUndefined();
});

it('a folder of that name is no browser', () => {
  expect(findBrowser({ platform: 'linux', env: { STAGECALL_BROWSER: path.dirname(process.execPath), PATH: '' } })).not.toBe(
    path.dirname(process.execPath),
  );
});
