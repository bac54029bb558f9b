/** A packed folder as other programs read it. */
import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { expect, test } from 'vitest';
import { packed } from '../../core/zip-store.ts';
import { unzipWorksheets } from '../../electron/desk/zip.ts';

const bytes = (text: string): Uint8Array => new TextEncoder().encode(text);

test('the desk itself reads it back, folders and names as they were', async () => {
  const read = await unzipWorksheets(packed([{ name: 'group A/s-1.json', bytes: bytes('{}') }, { name: 'Übung/s-2.json', bytes: bytes('[1]') }]));
  if (!read.ok) throw new Error(read.error.message);
  expect(read.value.files.map(({ folder, name, bytes: inside }) => [folder, name, new TextDecoder().decode(inside)])).toEqual([
    ['group A', 's-1.json', '{}'],
    ['Übung', 's-2.json', '[1]'],
  ]);
});

test('python reads it and finds nothing wrong; two files of one name stay two; no name leads out', () => {
  const folder = mkdtempSync(path.join(os.tmpdir(), 'stagecall-zip-'));
  try {
    const file = path.join(folder, 'x.zip');
    writeFileSync(file, packed([{ name: '../../etc/a.pdf', bytes: bytes('one') }, { name: 'etc/a.pdf', bytes: bytes('two') }]));
    expect(readFileSync(file).subarray(0, 2).toString()).toBe('PK');
    const said = execFileSync('python3', ['-c', `import zipfile,sys; z=zipfile.ZipFile(${JSON.stringify(file)}); print(z.testzip(), z.namelist(), z.read('etc/a (2).pdf'))`], { encoding: 'utf8' });
    expect(said.trim()).toBe("None ['etc/a.pdf', 'etc/a (2).pdf'] b'two'");
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
});
