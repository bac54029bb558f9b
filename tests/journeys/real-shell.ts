/** The loopback shell as `npm start` runs it, over a data folder of its own; without a window, since the test brings the browser. */
import { execFileSync, spawn, type ChildProcess } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';

const root = path.resolve(import.meta.dirname, '../..');

export interface RealShell {
  /** What a person would open. */
  readonly address: string;
  readonly folder: string;
  /** Ends the station's process as a crash would, at once and without a word; the shell starts it again. */
  killStation(): void;
  stop(): Promise<void>;
}

/** @param fill puts records of an earlier day into the data folder. */
export async function startShell(fill?: (folder: string) => Promise<void>): Promise<RealShell> {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-journey-'));
  await fill?.(folder);
  const shell = spawn(process.execPath, [path.join(root, 'electron', 'start.ts'), '--data', folder, '--shell', 'browser', '--no-window'], { cwd: root, stdio: ['ignore', 'pipe', 'inherit'] });
  try {
    return { address: await addressOf(shell), folder, killStation: () => killStation(shell), stop: () => stop(shell, folder) };
  } catch (cause) {
    await stop(shell, folder);
    throw cause;
  }
}

function addressOf(shell: ChildProcess): Promise<string> {
  return new Promise((resolve, reject) => {
    let said = '';
    shell.stdout?.on('data', (text: Buffer) => {
      said += String(text);
      const address = /http:\/\/127\.0\.0\.1:\d+\/\S*/.exec(said)?.[0];
      if (address) resolve(address);
    });
    shell.once('exit', (code) => reject(new Error(`the shell ended at once (${code}): ${said}`)));
  });
}

function killStation(shell: ChildProcess): void {
  const children = execFileSync('pgrep', ['-P', String(shell.pid)], { encoding: 'utf8' }).trim().split('\n');
  for (const child of children) process.kill(Number(child), 'SIGKILL');
}

async function stop(shell: ChildProcess, folder: string): Promise<void> {
  if (shell.exitCode === null && shell.signalCode === null) {
    const ended = new Promise((resolve) => shell.once('exit', resolve));
    shell.kill('SIGTERM');
    await ended;
  }
  rmSync(folder, { recursive: true, force: true });
}
