/** The part of the contract suite on erasing a session and on copies, run against every shell. */
import { expect, it } from 'vitest';
import type { StationApi } from '../../core/contract/contract.ts';
import { good, Pair, SHEET } from './pair.ts';
import { until } from './until.ts';

export function contractErasing(api: () => StationApi): void {
  it('erases a session with its worksheets, leaves a tombstone, tells the windows, and no repeated command brings it back', async () => {
    const told: string[] = [];
    const leave = api().subscribe({
      changed: ({ record, length }) => {
        if (length === 0) told.push(record);
      },
      connected: () => {},
    });
    const opening = { command: new Pair(api()).command(), author: 'TN', sheet: SHEET, way: 'live' as const };
    const pair = new Pair(api());
    pair.session = (await good(api().call('session.open', opening))).session;
    const note = { record: pair.session, command: pair.command(), author: 'TN', drafts: [{ kind: 'note-added', data: { text: 'to be erased' } }] };
    await good(api().call('record.append', note));
    await (await pair.exercise({ ergometer: 'T-erased' })).add({ kind: 'test-stopped', data: {} });
    const erase = { session: pair.session, by: 'KL', reason: 'consent withdrawn' };
    expect(await api().call('session.erase', erase)).toMatchObject({ ok: false, error: { code: 'session-running' } });
    await pair.add({ kind: 'stop-reason-given', data: { reason: 'Volitional exhaustion', symptom: false } }, { kind: 'session-closed', data: { outcome: 'left', early: { initials: 'KL', reason: 'a test' } } });
    const { worksheet } = await good(api().call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-114' }));
    expect(await api().call('session.erase', { ...erase, session: worksheet })).toMatchObject({ ok: false, error: { code: 'not-a-session' } });
    expect(await api().call('session.erase', { ...erase, reason: '' })).toMatchObject({ ok: false, error: { code: 'bad-input' } });

    expect(await good(api().call('session.erase', erase))).toMatchObject({ ...erase, worksheets: 1 });
    const [tombstone] = await good(api().call('sessions.erased', {}));
    expect(tombstone).toEqual({ ...erase, worksheets: 1, erased: expect.stringMatching(/^\d{4}-\d\d-\d\dT/) as string });
    expect((await good(api().call('sessions.list', {}))).some(({ id }) => id === pair.session)).toBe(false);
    await until('the windows were told', () => told.includes(pair.session) && told.includes(worksheet));
    leave();

    expect(await api().call('record.read', { record: pair.session })).toMatchObject({ ok: false, error: { code: 'erased' } });
    expect(await api().call('record.append', note)).toMatchObject({ ok: false, error: { code: 'erased' } });
    expect(await api().call('session.open', opening)).toMatchObject({ ok: false, error: { code: 'erased' } });
    expect(await api().call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-114' })).toMatchObject({ ok: false, error: { code: 'erased' } });
    expect((await api().call('record.read', { record: worksheet })).ok).toBe(false);
    // Asked again it is answered again, and there is still one tombstone.
    await good(api().call('session.erase', { ...erase, reason: 'asked twice' }));
    expect((await good(api().call('sessions.erased', {}))).filter(({ session }) => session === pair.session)).toEqual([tombstone]);
  });

  it('lists copies, and goes back to none that is not there', async () => {
    const listed = await good(api().call('backups.list', {}));
    expect(listed.present).toBe(true);
    const answer = await api().call('backup.restore', { command: new Pair(api()).command(), name: 'backups/../../etc/passwd' });
    expect(answer.ok ? '' : answer.error.code).toMatch(/^(not-here|no-such-copy|test-running)$/);
  });
}
