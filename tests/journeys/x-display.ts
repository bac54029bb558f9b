/** A display of its own and a keyboard on it: what is pressed goes through X's own test extension, as a real keyboard's events do. */
import { execFileSync, spawn, spawnSync } from 'node:child_process';

export interface XDisplay {
  readonly env: NodeJS.ProcessEnv;
  /** Gives the keys to the newest window of this title. */
  focus(title: string): void;
  /** Keys as the program's help prints them: `Ctrl Enter`, `Alt .`, `Esc`. */
  press(...keys: readonly string[]): void;
  /** Types text, key by key. */
  type(text: string): void;
  close(): void;
}

/** Why there can be no display here; undefined where there can. */
export function whyNoDisplay(): string | undefined {
  const missing = ['Xvfb', 'xdotool'].filter((program) => spawnSync(program, ['-version'], { stdio: 'ignore' }).error !== undefined);
  return missing.length === 0 ? undefined : `${missing.join(' and ')} cannot be found`;
}

const keysyms: Readonly<Record<string, string>> = { Ctrl: 'ctrl', Alt: 'alt', Shift: 'shift', Enter: 'Return', Esc: 'Escape', Space: 'space', '.': 'period', ',': 'comma', '/': 'slash', '?': 'question', '-': 'minus', '↑': 'Up', '↓': 'Down', '←': 'Left', '→': 'Right' };

/** "Ctrl Enter" → "ctrl+Return" */
export function keysymOf(keys: string): string {
  return keys
    .split(' ')
    .map((key, index, all) => keysyms[key] ?? (all.length > 1 && index > 0 && /^[A-Z]$/.test(key) ? key.toLowerCase() : key))
    .join('+');
}

export async function startDisplay(): Promise<XDisplay> {
  // The server chooses a free number and says which.
  const server = spawn('Xvfb', ['-displayfd', '3', '-screen', '0', '1400x800x24', '-nolisten', 'tcp'], { stdio: ['ignore', 'ignore', 'ignore', 'pipe'] });
  const number = await new Promise<string>((resolve, reject) => {
    server.stdio[3]?.once('data', (said: Buffer) => resolve(String(said).trim()));
    server.once('exit', (code) => reject(new Error(`Xvfb ended at once (${code})`)));
  });
  const env = { ...process.env, DISPLAY: `:${number}` };
  const tool = (...args: readonly string[]): string => execFileSync('xdotool', args, { env, encoding: 'utf8' });
  return {
    env,
    focus(title) {
      const newest = tool('search', '--onlyvisible', '--name', title).trim().split('\n').map(Number).toSorted((a, b) => a - b).at(-1);
      tool('windowfocus', '--sync', String(newest));
    },
    press: (...keys) => void tool('key', ...keys.map(keysymOf)),
    type: (text) => void tool('type', '--delay', '1', text),
    close: () => void server.kill(),
  };
}
