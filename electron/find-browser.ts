/** Finds a browser of the Chromium family that is installed on this machine: for the loopback shell and for the browser journeys. */
import { accessSync, constants, statSync } from 'node:fs';
import path from 'node:path';

export interface FindBrowserOptions {
  readonly platform?: NodeJS.Platform;
  readonly env?: NodeJS.ProcessEnv;
  readonly isProgram?: (file: string) => boolean;
}

/**
 * @returns the path of the browser's program, or undefined when none is found. STAGECALL_BROWSER, then CHROME, names one
 * that goes before all others; a name there that is no program is passed over.
 */
export function findBrowser({ platform = process.platform, env = process.env, isProgram = isProgramHere }: FindBrowserOptions = {}):
  string | undefined {
  return browserCandidates(platform, env).find(isProgram);
}

/** Where browsers of the Chromium family are put, in the order in which they are tried. */
export function browserCandidates(platform: NodeJS.Platform, env: NodeJS.ProcessEnv): string[] {
  const named = [env['STAGECALL_BROWSER'], env['CHROME'], env['CHROME_PATH']].filter(
    (file) => file !== undefined && file !== '',
  ) as string[];
  return [...named, ...usualPlaces(platform, env)];
}

function usualPlaces(platform: NodeJS.Platform, env: NodeJS.ProcessEnv): string[] {
  if (platform === 'win32') {
    const programs = [
      'Google\\Chrome\\Application\\chrome.exe',
      'Microsoft\\Edge\\Application\\msedge.exe',
      'Chromium\\Application\\chrome.exe',
    ];
    const folders = [env['ProgramFiles'], env['ProgramFiles(x86)'], env['LOCALAPPDATA']].filter((folder) => folder !== undefined);
    return programs.flatMap((program) => folders.map((folder) => path.win32.join(folder, program)));
  }
  if (platform === 'darwin') {
    const programs = ['Google Chrome', 'Chromium', 'Microsoft Edge'].map((name) => `${name}.app/Contents/MacOS/${name}`);
    const folders = ['/Applications', ...(env['HOME'] ? [`${env['HOME']}/Applications`] : [])];
    return programs.flatMap((program) => folders.map((folder) => `${folder}/${program}`));
  }
  const names = ['chromium', 'chromium-browser', 'google-chrome', 'google-chrome-stable', 'microsoft-edge', 'microsoft-edge-stable'];
  const folders = [...(env['PATH'] ?? '').split(':').filter((folder) => folder.startsWith('/')), '/usr/bin', '/usr/local/bin', '/snap/bin'];
  return names.flatMap((name) => [...new Set(folders)].map((folder) => `${folder}/${name}`));
}

function isProgramHere(file: string): boolean {
  try {
    accessSync(file, constants.X_OK);
    return statSync(file).isFile();
  } catch {
    return false;
  }
}
