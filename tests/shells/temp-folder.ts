/** A folder of its own for a test, gone afterwards. */
import { mkdtempSync, rmSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';

export function tempFolder(): { readonly folder: string; remove(): void } {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-test-'));
  return { folder, remove: () => rmSync(folder, { recursive: true, force: true, maxRetries: 5 }) };
}
