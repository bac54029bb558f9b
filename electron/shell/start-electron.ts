/** Hands over to Electron: the built main file, in Electron's own program. */
import { spawn } from 'node:child_process';
import path from 'node:path';
import { programRoot } from '../program-root.ts';
import { say } from '../say.ts';

/** @returns Electron's exit code, when its last window has closed. */
export function startElectron(program: string, folder: string): Promise<number> {
  const asRoot = process.platform === 'linux' && process.getuid?.() === 0;
  // Chromium's sandbox cannot run as root; everyone else keeps it.
  const args = [...(asRoot ? ['--no-sandbox'] : []), path.join(programRoot, 'dist', 'main.js'), `--data=${folder}`];
  say('runs in Electron, whose program is installed.');
  return new Promise((resolve) => {
    const child = spawn(program, args, { stdio: 'inherit' });
    child.once('error', (cause) => {
      say(`Electron could not be run (${cause.message}). Start in a browser instead: npm start -- --shell browser`);
      resolve(1);
    });
    child.once('exit', (code) => resolve(code ?? 1));
    for (const signal of ['SIGINT', 'SIGTERM', 'SIGHUP'] as const) process.on(signal, () => child.kill(signal));
  });
}
