/** The menu item of blank sheets: what it lists, what a click does, and what is said where it fails. */
import { expect, it } from 'vitest';
import type { ExportedFile } from '../../core/contract/contract.ts';
import { failure, success, type Result } from '../../core/result.ts';
import { blankMenu } from '../../electron/shell/blank-menu.ts';

const sheets = [
  { id: 'walk', title: 'Walk & run', version: 1, mode: 'field', text: '', problems: [] },
  { id: 'broken', title: 'Broken', version: 1, mode: 'step', text: '', problems: ['line 1'] },
];
const file: ExportedFile = { name: 'blank-walk.pdf', mime: 'application/pdf', base64: 'JVBERi0=' };

function menuOn(blank: Result<unknown>, saved: Result<unknown> = success({ saved: true })) {
  const asked: unknown[] = [];
  const said: string[] = [];
  const kept: ExportedFile[] = [];
  const menu = blankMenu({
    call: async (name, input) => {
      asked.push([name, input]);
      return name === 'sheets.list' ? success(sheets) : blank;
    },
    save: async (written) => {
      kept.push(written);
      return saved;
    },
    say: (message) => said.push(message),
  });
  return { menu, asked, said, kept };
}
const settled = (): Promise<void> => new Promise((resolve) => void setImmediate(resolve));

it('lists the usable sheets for both papers; a click asks the station and saves the file', async () => {
  const { menu, asked, kept, said } = menuOn(success(file));
  const items = await menu;
  expect(items.map(({ label, submenu }) => [label, submenu.map((one) => one.label)])).toEqual([
    ['Blank sheet for paper, A4', ['Walk && run']],
    ['Blank sheet for paper, Letter', ['Walk && run']],
  ]);
  items[1]?.submenu[0]?.click();
  await settled();
  expect(asked.at(-1)).toEqual(['sheet.blank', { sheet: 'walk', paper: 'Letter' }]);
  expect([kept, said]).toEqual([[file], []]);
});

it('says why where nothing came of it', async () => {
  for (const { menu, said } of [menuOn(failure('not-printed', 'It could not be made.')), menuOn(success(file), failure('not-saved', 'It could not be made.'))]) {
    (await menu)[0]?.submenu[0]?.click();
    await settled();
    expect(said).toEqual(['It could not be made.']);
  }
  expect(await blankMenu({ call: async () => failure('gone', 'no station'), save: async () => success({}), say: () => undefined })).toEqual([]);
});
