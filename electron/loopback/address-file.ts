/** What the loopback shell remembers between starts: its port and the secret by which its own windows are known. */
import { randomBytes } from 'node:crypto';
import { chmodSync, readFileSync, renameSync, writeFileSync } from 'node:fs';
import path from 'node:path';

export interface Address {
  readonly port?: number;
  readonly token: string;
}

const FILE = 'loopback.json';

/** The remembered address, or one with a new secret. A folder that cannot be read gives a secret for this run only. */
export function rememberedAddress(folder: string): Address {
  try {
    const file = path.join(folder, FILE);
    const { port, token } = JSON.parse(readFileSync(file, 'utf8')) as { port?: unknown; token?: unknown };
    if (typeof token === 'string' && /^[A-Za-z0-9_-]{43}$/.test(token)) {
      return { token, ...(Number.isInteger(port) && (port as number) > 0 && (port as number) < 65_536 ? { port: port as number } : {}) };
    }
  } catch {
    // the first start, or a folder that cannot be used: said elsewhere
  }
  return { token: randomBytes(32).toString('base64url') };
}

/** Readable by this account alone, since whoever has the secret may write records. */
export function rememberAddress(folder: string, address: Required<Address>): void {
  const file = path.join(folder, FILE);
  writeFileSync(`${file}.new`, `${JSON.stringify(address)}\n`, { mode: 0o600 });
  if (process.platform !== 'win32') chmodSync(`${file}.new`, 0o600);
  renameSync(`${file}.new`, file);
}

/** The address of the window itself. The fragment never leaves the browser. */
export function windowAddress({ port, token }: Required<Address>): string {
  return `http://127.0.0.1:${port}/#token=${token}`;
}
