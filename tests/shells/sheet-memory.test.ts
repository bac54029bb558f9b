/** What a station remembers about its lab sheets: never a sheet that has changed, nor what another program found. */
import { readFileSync, utimesSync, writeFileSync } from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { sheetFolder } from '../../electron/station/sheets.ts';
import { tempFolder } from './temp-folder.ts';

const bruce = readFileSync(new URL('../../lab-sheets/treadmill-maximal-bruce.yaml', import.meta.url), 'utf8');
const title = 'Maximal treadmill test on the Bruce stages';

describe('the memory of a folder of lab sheets', () => {
  let folder: string;
  let remove: () => void;
  let memory: { file: string; program: string };
  const sheet = (): string => path.join(folder, 'bruce.yaml');
  beforeEach(() => {
    ({ folder, remove } = tempFolder());
    memory = { file: path.join(folder, 'read.json'), program: 'one' };
    writeFileSync(sheet(), bruce);
    sheetFolder(folder, memory).list();
  });
  /** Marks what was kept, so that a listing shows whether it came from there. */
  const markKept = (): void => writeFileSync(memory.file, readFileSync(memory.file, 'utf8').replaceAll(`"title":"${title}"`, '"title":"as kept"'));
  const titles = (program = 'one'): readonly string[] => sheetFolder(folder, { ...memory, program }).list().map((listing) => listing.title);
  afterEach(() => remove());

  it('spares an unchanged sheet the check', () => {
    markKept();
    expect(titles()).toEqual(['as kept']);
  });
  it('checks a changed sheet again, and refuses it where it broke', () => {
    markKept();
    writeFileSync(sheet(), bruce.replace('mode: treadmill', 'mode: tredmill'));
    const [listing] = sheetFolder(folder, memory).list();
    expect(listing?.problems[0]).toContain('bruce.yaml:');
  });
  it('checks again a sheet of the same size with a later date', () => {
    markKept();
    utimesSync(sheet(), new Date(), new Date(Date.now() + 5000));
    expect(titles()).toEqual([title]);
  });
  it('believes nothing that another program found', () => {
    markKept();
    expect(titles('another')).toEqual([title]);
  });
  it('reads on where the memory is damaged', () => {
    writeFileSync(memory.file, '{"program":"one","sheets":[[');
    expect(titles()).toEqual([title]);
  });
});
