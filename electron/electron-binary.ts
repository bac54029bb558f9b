/** Whether Electron can be had: its npm package comes without its binary, which is fetched at the first start. */
import { spawn } from 'node:child_process';
import { existsSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { failure, success, type Result } from '../core/result.ts';
import { say } from './say.ts';

/** A machine that is offline or behind a gate must not keep a pair waiting: this long for the first small file… */
const REACH_MS = 5_000;
/** …and this long for the program itself (about 120 MB), once the way there is known to be open. */
const FETCH_MS = 180_000;
/** After a fetch that failed, it is not tried again for a day. */
const NOT_AGAIN_MS = 24 * 3_600_000;

/** @returns the program's path, or in a few words why there is none. */
export async function electronBinary(
  root: string,
  env: NodeJS.ProcessEnv,
  fetchOnce: (folder: string) => Promise<boolean> = fetchBinary,
): Promise<Result<string>> {
  const folder = path.join(root, 'node_modules', 'electron');
  if (!existsSync(path.join(folder, 'package.json'))) return failure('no-electron', 'Electron is not installed');
  const there = binaryIn(folder, env);
  if (there !== undefined) return success(there);
  const mark = path.join(root, 'node_modules', '.stagecall-electron');
  if (!triedLately(mark)) {
    if (await fetchOnce(folder)) {
      const fetched = binaryIn(folder, env);
      if (fetched !== undefined) return success(fetched);
    }
    try {
      writeFileSync(mark, `${new Date().toISOString()}\n`);
    } catch {
      // a folder that may not be written: then it is tried at each start
    }
  }
  return failure('no-electron', 'Electron’s program could not be fetched');
}

/** Where the package says that its binary is, if it is really there. */
export function binaryIn(folder: string, env: NodeJS.ProcessEnv): string | undefined {
  const override = env['ELECTRON_OVERRIDE_DIST_PATH'];
  let relative: string | undefined;
  try {
    relative = readFileSync(path.join(folder, 'path.txt'), 'utf8').trim();
  } catch {
    if (override === undefined) return undefined;
  }
  const file =
    override === undefined
      ? path.join(folder, 'dist', relative ?? '')
      : path.join(override, relative || (process.platform === 'win32' ? 'electron.exe' : 'electron'));
  return existsSync(file) && statSync(file).isFile() ? file : undefined;
}

function triedLately(mark: string): boolean {
  try {
    return Math.abs(Date.now() - statSync(mark).mtimeMs) < NOT_AGAIN_MS;
  } catch {
    return false;
  }
}

/** Runs the package's own installer, if the place that it fetches from can be reached. */
async function fetchBinary(folder: string): Promise<boolean> {
  const { version } = JSON.parse(readFileSync(path.join(folder, 'package.json'), 'utf8')) as { version: string };
  if (!(await canReach(version, process.env))) return false;
  say('fetching Electron, once; this may take a minute or two.');
  return new Promise((resolve) => {
    const child = spawn(process.execPath, [path.join(folder, 'install.js')], { stdio: 'ignore', timeout: FETCH_MS, killSignal: 'SIGKILL' });
    child.once('error', () => resolve(false));
    child.once('exit', (code) => resolve(code === 0));
  });
}

async function canReach(version: string, env: NodeJS.ProcessEnv): Promise<boolean> {
  const mirror = env['ELECTRON_MIRROR'] ?? env['npm_config_electron_mirror'] ?? 'https://github.com/electron/electron/releases/download/';
  try {
    const answer = await fetch(`${mirror}v${version}/SHASUMS256.txt`, { method: 'HEAD', signal: AbortSignal.timeout(REACH_MS) });
    return answer.ok;
  } catch {
    return false;
  }
}
