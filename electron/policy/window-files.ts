/**
 * Which file of the built window answers an address. Both shells use it.
 * Electron's security checklist, item 18: own scheme instead of `file:`, and no way out of the window's folder.
 */
import { readFile, realpath } from 'node:fs/promises';
import path from 'node:path';
import { windowHeaders } from './headers.ts';

const types: Readonly<Record<string, string>> = {
  '.html': 'text/html; charset=utf-8',
  '.js': 'text/javascript; charset=utf-8',
  '.css': 'text/css; charset=utf-8',
  '.svg': 'image/svg+xml',
  '.png': 'image/png',
  '.woff': 'font/woff',
  '.woff2': 'font/woff2',
  '.json': 'application/json; charset=utf-8',
  '.txt': 'text/plain; charset=utf-8',
};

export interface WindowFile {
  readonly status: 200 | 404;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: Uint8Array<ArrayBuffer>;
}

/**
 * The file for a path of the address, still percent-encoded; `/` is the window itself.
 * @returns undefined for anything that is not a file of a known type inside the folder.
 */
export function windowFileName(pathname: string): string | undefined {
  let plain: string;
  try {
    plain = decodeURIComponent(pathname);
  } catch {
    return undefined;
  }
  if (/[\0\\]/.test(plain)) return undefined;
  const name = plain === '/' || plain === '' ? 'index.html' : plain.replace(/^\/+/, '');
  const relative = path.posix.normalize(name);
  if (relative.startsWith('..') || path.posix.isAbsolute(relative) || relative.split('/').some((part) => part.startsWith('.')))
    return undefined;
  return Object.hasOwn(types, path.posix.extname(relative)) ? relative : undefined;
}

/** Reads what `windowFileName` names. A link that leads out of the folder is not followed. */
export async function windowFile(folder: string, pathname: string): Promise<WindowFile> {
  const name = windowFileName(pathname);
  if (name === undefined) return notThere;
  try {
    const [root, file] = await Promise.all([realpath(folder), realpath(path.join(folder, name))]);
    const inside = path.relative(root, file);
    if (inside.startsWith('..') || path.isAbsolute(inside)) return notThere;
    const body = new Uint8Array(await readFile(file));
    // The bundler puts a hash of the content into every name but index.html's.
    const cache = name.startsWith('assets/') ? 'public, max-age=31536000, immutable' : 'no-cache';
    return { status: 200, headers: { ...windowHeaders, 'content-type': types[path.extname(name)] ?? '', 'cache-control': cache }, body };
  } catch {
    return notThere;
  }
}

const notThere: WindowFile = {
  status: 404,
  headers: { ...windowHeaders, 'content-type': 'text/plain; charset=utf-8', 'cache-control': 'no-store' },
  body: new TextEncoder().encode('There is nothing at this address.'),
};
