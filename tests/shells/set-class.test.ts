/** A set's class and feedback at the station: each test once, no blood pressure, a student's own point in a PDF without anyone's code. */
import { afterAll, beforeAll, expect, it } from 'vitest';
import { countsOf, gatherClass } from '../../core/class/gather.ts';
import type { Result } from '../../core/result.ts';
import { endPool } from '../../electron/desk/pool.ts';
import { SetDesk } from '../../electron/desk/set-desk.ts';
import { sheetTexts } from '../../electron/station/sheets.ts';
import { pdfText } from '../core/pdf-text.ts';
import { bruceText } from '../core/session-builder.ts';
import { classFiles } from '../journeys/class-files.ts';
import { tempFolder } from './temp-folder.ts';

const { folder, remove } = tempFolder();
const desk = new SetDesk({ folder, clock: { wallMs: () => Date.parse('2026-03-20T10:00:00Z') }, sheets: sheetTexts({ 'bruce.yaml': bruceText }), program: 'test' });
async function good<Value>(answer: Promise<Result<Value>>): Promise<Value> {
  const result = await answer;
  if (!result.ok) throw new Error(`${result.error.code}: ${result.error.message}`);
  return result.value;
}
let set = '';
beforeAll(async () => {
  ({ set } = await good(desk.handlers['set.create']({ command: 'set-class-create', author: 'KL', title: 'Spring', term: '', sheet: 'treadmill-maximal-bruce' })));
  const files = classFiles(6).map(({ name, text }) => ({ name, folder: 'group A', base64: Buffer.from(text).toString('base64') }));
  const { job } = await good(desk.handlers['set.add-files']({ set, command: 'set-class-files', author: 'KL', files }));
  await desk.finished(job);
});
afterAll(() => {
  desk.close();
  endPool();
  remove();
});

it('gives each test once, and nothing of blood pressure', async () => {
  const { worksheets, waiting } = await good(desk.handlers['set.class']({ set }));
  expect(waiting).toBe(0);
  expect(countsOf(gatherClass(worksheets).tests)).toEqual({ tests: 6, people: 6, withoutCode: 0, worksheets: 12 });
  expect(JSON.stringify(worksheets)).not.toMatch(/systolic|diastolic|mm\[Hg\]/);
});

it('writes feedback under the file’s own name, the marker’s comment in it, and the student’s own point among the class without a code', async () => {
  const view = await good(desk.handlers['set.open']({ set }));
  const row = view.files.find(({ student }) => student === 's-2203');
  const worksheet = row?.worksheet ?? '';
  await good(desk.handlers['set.append']({ set, command: 'set-class-moderate', author: 'KL', drafts: [{ kind: 'mark-moderated', data: { worksheet, question: 'hr-max', marks: 1, comment: 'round at the end' } }] }));
  const made = await good(desk.handlers['set.feedback']({ set, file: row?.file ?? '', paper: 'A4', own: true }));
  expect(made).toMatchObject({ name: 'group A/s-2203.json.pdf', mime: 'application/pdf' });
  const text = await pdfText(Buffer.from(made.base64, 'base64'));
  for (const said of ['s-2203', 'round at the end', 'The class: measured against predicted', 'n 6', 'The large mark is your test', 'R-02']) expect(text).toContain(said);
  for (const other of ['R-01', 'R-03', 'R-04', 'R-05', 'R-06', 's-2204']) expect(text).not.toContain(other);
  const plain = await good(desk.handlers['set.feedback']({ set, file: row?.file ?? '', paper: 'Letter', own: false }));
  expect(await pdfText(Buffer.from(plain.base64, 'base64'))).not.toContain('The class:');
  expect(await desk.handlers['set.feedback']({ set, file: `f-${'0'.repeat(20)}`, paper: 'A4', own: false })).toMatchObject({ ok: false, error: { code: 'no-feedback' } });
});
