/** Sets on disk: what is there after a restart, two markers' copies put together, marks for the shared record, packed folders, stop. */
import { gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, describe, expect, it } from 'vitest';
import type { SetView } from '../../core/contract/marking-sets.ts';
import type { Result } from '../../core/result.ts';
import { buildWorksheetFile, worksheetFileText } from '../../core/worksheet/file.ts';
import { endPool } from '../../electron/desk/pool.ts';
import { SetDesk } from '../../electron/desk/set-desk.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { bruceText } from '../core/session-builder.ts';
import { answered, wholeSession } from '../core/worksheet-builder.ts';
import { tempFolder } from './temp-folder.ts';
import { zipOf } from './zip-maker.ts';

const session = wholeSession();
const text = (student: string, replaced: Parameters<typeof answered>[1] = {}): string => worksheetFileText(buildWorksheetFile({ session: { events: session.stored }, worksheet: { events: answered(session, replaced, student).handIn().stored }, version: '0.1.0' }));
const folders = [tempFolder(), tempFolder()] as const;
const open: SetDesk[] = [];
function deskIn(folder: string): SetDesk {
  const desk = new SetDesk({ folder, clock: { wallMs: () => Date.now() }, sheets: sheetTexts({ 'bruce.yaml': bruceText }), program: 'test' });
  open.push(desk);
  return desk;
}
afterAll(() => {
  for (const desk of open) desk.close();
  endPool();
  for (const { remove } of folders) remove();
});
async function good<Value>(answer: Promise<Result<Value>>): Promise<Value> {
  const result = await answer;
  if (!result.ok) throw new Error(`${result.error.code}: ${result.error.message}`);
  return result.value;
}
let commands = 0;
const command = (): string => `set-desk-test-${commands++}`;
const base64 = (bytes: string | Uint8Array): string => Buffer.from(bytes).toString('base64');
async function add(desk: SetDesk, set: string, files: readonly { readonly name: string; readonly folder?: string; readonly base64: string }[], author = 'KL'): Promise<SetView> {
  const { job } = await good(desk.handlers['set.add-files']({ set, command: command(), author, files: files.map((file) => ({ folder: '', ...file })) }));
  await desk.finished(job);
  return good(desk.handlers['set.open']({ set }));
}
const create = async (desk: SetDesk, author = 'KL', more = {}): Promise<string> => (await good(desk.handlers['set.create']({ command: command(), author, title: 'Spring', term: '', sheet: 'treadmill-maximal-bruce', ...more }))).set;

describe('a set on disk', () => {
  it('is the same after a restart, and a program that marks otherwise marks anew', async () => {
    const first = deskIn(folders[0].folder);
    const set = await create(first);
    const before = await add(first, set, [{ name: 'one.json', folder: 'group a', base64: base64(text('s-2204')) }]);
    expect(before.files[0]).toMatchObject({ earned: 42, status: 'counts' });
    first.close();
    const again = deskIn(folders[0].folder);
    expect(await good(again.handlers['set.open']({ set }))).toEqual(before);
    again.close();
    const other = new SetDesk({ folder: folders[0].folder, clock: { wallMs: () => Date.now() }, sheets: sheetTexts({}), program: 'another' });
    open.push(other);
    const { job, files } = await good(other.handlers['set.open']({ set }));
    expect(files[0]?.status).toBe('not-marked-yet');
    await other.finished(job ?? '');
    expect((await good(other.handlers['set.open']({ set }))).files).toEqual(before.files);
  });

  it('marks for the shared record are given once and reach both partners, and can be taken back', async () => {
    const desk = deskIn(folders[0].folder);
    const key = 'schema: stagecall-answer-key/1\nsheet: treadmill-maximal-bruce\nrecord-marks:\n  - { id: stage-table, title: Stage table, marks: 6 }\n';
    const set = await create(desk, 'KL', { key });
    const view = await add(desk, set, [{ name: 'one.json', base64: base64(text('s-2204')) }, { name: 'two.json', base64: base64(text('s-2205')) }]);
    expect(view.files.map(({ earned, outOf, pending }) => [earned, outOf, pending])).toEqual([[42, 56, 6], [42, 56, 6]]);
    const given = await good(desk.handlers['set.append']({ set, command: command(), author: 'MO', drafts: [{ kind: 'record-marked', data: { session: session.id, item: 'stage-table', marks: 5, comment: 'one pressure missing' } }] }));
    expect(given.files.map(({ earned, pending, cells }) => [earned, pending, cells?.at(-1)?.marker])).toEqual([[47, 0, 'MO'], [47, 0, 'MO']]);
    expect(await desk.handlers['set.append']({ set, command: command(), author: 'MO', drafts: [{ kind: 'record-marked', data: { session: session.id, item: 'stage-table', marks: 7 } }] })).toMatchObject({ ok: false, error: { code: 'too-many-marks' } });
    const [line] = (await good(desk.handlers['set.history']({ set }))).filter(({ kind }) => kind === 'record-marked');
    const back = await good(desk.handlers['set.append']({ set, command: command(), author: 'MO', drafts: [{ kind: 'withdrawn', data: { target: line?.id ?? '', reason: 'another session' } }] }));
    expect(back.files.map(({ earned, pending }) => [earned, pending])).toEqual([[42, 6], [42, 6]]);
  });

  it('two markers’ copies are put together: records, marks and what they differ on; a changed copy is refused', async () => {
    const [mine, theirs] = [deskIn(folders[0].folder), deskIn(folders[1].folder)];
    const set = await create(mine);
    await add(mine, set, [{ name: 'one.json', base64: base64(text('s-2204')) }]);
    const handed = Buffer.from((await good(mine.handlers['set.export']({ set }))).base64, 'base64');
    expect(await good(theirs.handlers['set.merge']({ command: command(), author: 'MO', base64: base64(handed) }))).toMatchObject({ set, records: 1, conflicts: 0 });
    const at = await add(theirs, set, [{ name: 'two.json', base64: base64(text('s-2205', { 'hr-max': ['150', '/min'] })) }], 'MO');
    const worksheet = at.files.find(({ student }) => student === 's-2204')?.worksheet ?? '';
    const moderate = (desk: SetDesk, author: string, marks: number): Promise<SetView> => good(desk.handlers['set.append']({ set, command: command(), author, drafts: [{ kind: 'mark-moderated', data: { worksheet, question: 'hr-max', marks, comment: 'looked at' } }] }));
    await moderate(mine, 'KL', 1);
    await moderate(theirs, 'MO', 2);
    const bundle = Buffer.from((await good(theirs.handlers['set.export']({ set }))).base64, 'base64');
    const forged = gzipSync(gunzipSync(bundle).toString('utf8').replace('\\"marks\\":2,', '\\"marks\\":3,'));
    expect(await mine.handlers['set.merge']({ set, command: command(), author: 'KL', base64: base64(forged) })).toMatchObject({ ok: false, error: { code: 'altered' } });
    expect(await good(mine.handlers['set.merge']({ set, command: command(), author: 'KL', base64: base64(bundle) }))).toMatchObject({ facts: 2, records: 1, conflicts: 1 });
    expect(await good(mine.handlers['set.merge']({ set, command: command(), author: 'KL', base64: base64(bundle) }))).toMatchObject({ facts: 0, records: 0 });
    const { job } = await good(mine.handlers['set.open']({ set }));
    if (job !== undefined) await mine.finished(job);
    const view = await good(mine.handlers['set.open']({ set }));
    expect(view.files.map(({ student, earned }) => [student, earned])).toEqual([['s-2204', 41], ['s-2205', 39]]);
    expect(view.conflicts[0]?.values.map(({ by, says }) => [by, says])).toEqual([['MO', 'hr-max: 2 marks'], ['KL', 'hr-max: 1 mark']]);
  });

  it('a packed folder is opened, its files keep their folders; the same file again is known; work stops and keeps what is done', async () => {
    const desk = deskIn(folders[0].folder);
    const set = await create(desk);
    const zip = zipOf([{ name: 'tuesday/one.json', content: text('s-2204') }, { name: 'notes.txt', content: 'x' }]);
    const view = await add(desk, set, [{ name: 'class.zip', base64: base64(zip) }]);
    expect(view.files.map(({ folder, name, status }) => [folder, name, status])).toEqual([['class/tuesday', 'one.json', 'counts'], ['class', 'notes.txt', 'refused']]);
    expect((await add(desk, set, [{ name: 'class.zip', base64: base64(zip) }])).files).toHaveLength(2);
    const many = Array.from({ length: 60 }, (_, at) => ({ name: `${at}.json`, folder: 'many', base64: base64(text('s-2204')) }));
    const { job } = await good(desk.handlers['set.add-files']({ set, command: command(), author: 'KL', files: many }));
    await good(desk.handlers['set.stop']({ job }));
    await desk.finished(job);
    const stopped = await good(desk.handlers['set.progress']({ job }));
    expect(stopped).toMatchObject({ finished: true, stopped: true });
    expect(stopped.added.length).toBeLessThan(60);
    expect((await good(desk.handlers['set.open']({ set }))).files).toHaveLength(2 + stopped.added.length);
  });
});
