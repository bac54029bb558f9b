/** Runs one check of the sources, quiet unless it fails. */
import { spawn } from 'node:child_process';

export interface Check {
  readonly name: string;
  /** A script of a tool, and its arguments, for the Node that runs now. */
  readonly args: readonly string[];
}

export function runCheck(root: string, { name, args }: Check): Promise<{ name: string; ok: boolean }> {
  const started = performance.now();
  return new Promise((resolve) => {
    const child = spawn(process.execPath, args, { cwd: root, stdio: ['ignore', 'pipe', 'pipe'] });
    let output = '';
    for (const stream of [child.stdout, child.stderr]) stream.setEncoding('utf8').on('data', (text: string) => (output += text));
    child.once('error', (error) => (output += error.message));
    child.once('close', (code) => {
      const seconds = ((performance.now() - started) / 1000).toFixed(1);
      if (code !== 0) console.log(output.trimEnd());
      console.log(`${code === 0 ? 'ok    ' : 'FAILED'} ${name} (${seconds} s)`);
      resolve({ name, ok: code === 0 });
    });
  });
}
