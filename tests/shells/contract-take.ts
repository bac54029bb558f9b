/** A session that comes as its exported file, through any shell. `class-files` makes one that no station here has written. */
import { expect, it } from 'vitest';
import type { StationApi } from '../../core/contract/contract.ts';
import { foldSession } from '../../core/session/fold.ts';
import { eventOf } from '../../core/record/event.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { classFiles } from '../journeys/class-files.ts';
import { good, Pair } from './pair.ts';

const packed = (text: string): string => btoa(String.fromCharCode(...new TextEncoder().encode(text)));

export function contractTake(api: () => StationApi): void {
  it('takes in a session from another machine, to be answered here; an altered one is refused', async () => {
    const [file, partner] = classFiles(1);
    if (!file || !partner) throw new Error('no file was made');
    const taken = await good(api().call('session.take', { base64: packed(file.text) }));
    expect(taken).toMatchObject({ session: 'session-class-01', student: 's-2201', known: false });
    const read = await good(api().call('record.read', { record: taken.session }));
    const state = foldSession(read.events.map((event) => eventOf(event.body)));
    expect(state).toMatchObject({ phase: 'worksheet', way: 'live' });
    // Again, and the partner's file of the same session: the session stays one.
    expect(await good(api().call('session.take', { base64: packed(file.text) }))).toMatchObject({ known: true });
    expect(await good(api().call('session.take', { base64: packed(partner.text) }))).toMatchObject({ session: taken.session, student: 's-2202', known: true });

    // The student goes on in the worksheet that came; another one gets a worksheet of their own, on an issued record.
    const own = await good(api().call('worksheet.open', { command: 'take-own-worksheet', session: taken.session, student: 's-2201' }));
    expect(own.worksheet).toBe(taken.worksheet);
    await good(api().call('record.append', { record: own.worksheet, command: 'take-answered-here', author: 's-2201', drafts: [{ kind: 'answer-given', data: { question: 'hr-max', typed: '194', unit: '/min' } }] }));
    const issued = await good(api().call('worksheet.open', { command: 'take-issued-worksheet', session: taken.session, student: 's-2299', issued: true }));
    for (const worksheet of [own.worksheet, issued.worksheet]) {
      const exported = await good(api().call('worksheet.export', { worksheet, as: 'json' }));
      const checked = await good(readWorksheetFile(new TextDecoder().decode(Uint8Array.from(atob(exported.base64), (one) => one.charCodeAt(0)))));
      expect(checked.findings.filter(({ level }) => level === 'refusal')).toEqual([]);
      expect(checked.worksheet[0]?.data).toMatchObject(worksheet === own.worksheet ? { student: 's-2201' } : { student: 's-2299', issued: true });
    }

    const altered = partner.text.replace(/\\"typed\\":\\"R-01\\"/, '\\"typed\\":\\"R-02\\"');
    expect(altered).not.toBe(partner.text);
    expect(await api().call('session.take', { base64: packed(altered) })).toMatchObject({ ok: false, error: { code: 'altered' } });
    expect(await api().call('session.take', { base64: packed('{"format":"letter"}') })).toMatchObject({ ok: false, error: { code: 'not-a-worksheet' } });
  });

  it('hands a session of its own back to nobody twice', async () => {
    const pair = await (await new Pair(api()).open()).exercise({ ergometer: 'T-take' });
    await pair.finish();
    const { worksheet } = await good(api().call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-9' }));
    const exported = await good(api().call('worksheet.export', { worksheet, as: 'json' }));
    expect(await good(api().call('session.take', { base64: exported.base64 }))).toEqual({ session: pair.session, worksheet, student: 'k-9', known: true });
  });
}
