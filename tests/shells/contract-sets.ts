/** Marking sets through any shell: opened once, files taken in and refused in words, facts stated and taken back, marks out. */
import { expect, it } from 'vitest';
import type { StationApi } from '../../core/contract/contract.ts';
import { good } from './pair.ts';

export function contractSets(api: () => StationApi): void {
  const call: StationApi['call'] = (name, input) => api().call(name, input);

  it('keeps a marking set: its files, what was stated, what was taken back, and the marks', async () => {
    const opening = { command: 'contract-set-opened', author: 'KL', title: 'Contract set', term: 'Spring', sheet: 'treadmill-maximal-bruce' };
    const { set } = await good(call('set.create', opening));
    expect(await good(call('set.create', opening))).toEqual({ set });
    expect(await good(call('set.list', {}))).toContainEqual(expect.objectContaining({ id: set, title: 'Contract set', sheet: 'treadmill-maximal-bruce', files: 0, archived: false }));

    const job = await good(call('set.add-files', { set, command: 'contract-set-files', author: 'KL', files: [{ name: 'letter.json', folder: 'group a', base64: btoa('{"dear":"marker"}') }] }));
    let at = job;
    while (!at.finished) {
      // A station in this very process would never get a turn.
      await new Promise((resolve) => void setTimeout(resolve, 20));
      at = await good(call('set.progress', { job: job.job }));
    }
    expect(at).toMatchObject({ done: 1, of: 1, stopped: false });
    const [file = ''] = at.added;
    const view = await good(call('set.open', { set }));
    expect(view.files).toEqual([expect.objectContaining({ file, name: 'letter.json', folder: 'group a', status: 'refused', findings: [expect.objectContaining({ code: 'not-a-worksheet', level: 'refusal' })] })]);
    expect(view.key).toMatchObject({ version: 1, by: 'KL' });
    expect(await good(call('set.read', { set, file }))).toMatchObject({ row: { file }, history: [{ kind: 'file-added' }] });
    expect(await good(call('set.stop', { job: job.job }))).toMatchObject({ finished: true });

    const named = await good(call('set.append', { set, command: 'contract-set-due', author: 'KL', drafts: [{ kind: 'due-set', data: { due: '2026-03-09T17:00:00+00:00' } }, { kind: 'student-corrected', data: { file, student: 'S-12', reason: 'as written on the page' } }] }));
    expect(named).toMatchObject({ due: '2026-03-09T17:00:00+00:00', files: [{ student: 'S-12' }] });
    expect(await call('set.append', { set, command: 'contract-set-wrong', author: 'KL', drafts: [{ kind: 'file-added', data: {} }] })).toMatchObject({ ok: false, error: { code: 'unknown-kind' } });
    const history = await good(call('set.history', { set }));
    const due = history.find(({ kind }) => kind === 'due-set');
    const without = await good(call('set.append', { set, command: 'contract-set-undue', author: 'KL', drafts: [{ kind: 'withdrawn', data: { target: due?.id ?? '', reason: 'wrong week' } }] }));
    expect(without.due).toBeUndefined();

    const out = await good(call('set.export-marks', { set, command: 'contract-set-marks', author: 'KL', form: 'long' }));
    expect(atob(out.base64)).toMatch(/^student,group,sheet,question,marks,out_of,/);
    expect((await good(call('set.key', { set }))).sheet).toContain('id: treadmill-maximal-bruce');
    expect(await good(call('set.class', { set }))).toEqual({ set, title: 'Contract set', worksheets: [], waiting: 0 });
    expect(await call('set.merge', { command: 'contract-set-merge', author: 'KL', base64: btoa('nothing') })).toMatchObject({ ok: false, error: { code: 'not-a-set' } });
    const archived = await good(call('set.archive', { set, command: 'contract-set-archive', author: 'KL', reason: 'the term is over' }));
    expect(archived).toMatchObject({ archived: { by: 'KL', reason: 'the term is over' }, files: [{ name: 'letter.json' }] });
    expect(await call('set.open', { set: 'set-nowhere' })).toMatchObject({ ok: false, error: { code: 'no-such-set' } });
  });
}
