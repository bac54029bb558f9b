/** The part of the contract suite on gas exchange files, run against every shell. */
import { expect, it } from 'vitest';
import type { StationApi } from '../../core/contract/contract.ts';
import { applyMapping, guessMapping, keepSeries, readGasTable, readSeries } from '../../core/gas/gas.ts';
import { sha256Hex } from '../../core/record/chain.ts';
import { readWorksheetFile } from '../../core/worksheet/read-file.ts';
import { breaths } from '../../core/rehearsal/breaths.ts';
import { rehearsalParticipants } from '../../core/rehearsal/participant.ts';
import { good, Pair } from './pair.ts';

/** Simulated breaths as a text with headings of our own. */
export function simulatedFile(length = 300): string {
  const [participant] = rehearsalParticipants;
  if (!participant) throw new Error('there are simulated participants');
  const test = breaths(participant, { seed: 7 });
  const rows = test.breaths.slice(0, length).map((breath) => [breath.time.toFixed(2), breath.vo2.toFixed(3), breath.vco2.toFixed(3), breath.ve.toFixed(1), breath.heartRate].join(','));
  return ['Time (s),VO2 (L/min),VCO2 (L/min),VE (L/min),HR (1/min)', ...rows].join('\n');
}

export function contractSeries(api: () => StationApi): void {
  it('keeps a gas exchange file by its hash, joins it to a session during the test and after its closing, and hands it in', async () => {
    const pair = await (await new Pair(api()).open()).exercise({ ergometer: 'T-gas' });
    const table = await good(readGasTable(simulatedFile()));
    const { mapping: guessed } = guessMapping(table);
    const series = await good(applyMapping(table, guessed));
    const { text, mapping } = await good(keepSeries(table, guessed));
    const joined = (hash: string, rows = series.length) => ({ kind: 'series-attached', data: { name: 'breaths.csv', hash, rows, perBreath: true, offset: 0, aligned: 'typed', mapping } });

    expect(await api().call('series.put', { text: 'no series' })).toMatchObject({ ok: false, error: { code: 'series-damaged' } });
    expect(await pair.try(joined(sha256Hex(text)))).toMatchObject({ ok: false, error: { code: 'no-such-series' } });
    const { hash } = await good(api().call('series.put', { text }));
    expect(hash).toBe(sha256Hex(text));
    expect((await good(api().call('series.put', { text }))).hash).toBe(hash);
    expect(await pair.try(joined(hash, series.length - 1))).toMatchObject({ ok: false, error: { code: 'series-differs' } });
    expect(await pair.try(joined('0'.repeat(64)))).toMatchObject({ ok: false, error: { code: 'no-such-series' } });
    await pair.add(joined(hash));
    const back = await good(api().call('series.get', { hash }));
    expect(readSeries(back.text, mapping)).toEqual({ ok: true, value: series });
    expect(await api().call('series.get', { hash: '1'.repeat(64) })).toMatchObject({ ok: false, error: { code: 'no-such-series' } });

    await pair.finish();
    const { worksheet } = await good(api().call('worksheet.open', { command: pair.command(), session: pair.session, student: 'k-7' }));
    // After the closing a worksheet that was opened before stays good.
    await pair.add(joined(hash));
    expect((await pair.state()).series).toHaveLength(2);
    expect(await pair.try({ kind: 'note-added', data: { text: 'late' } })).toMatchObject({ ok: false, error: { code: 'read-only' } });
    const exported = await good(api().call('worksheet.export', { worksheet, as: 'json' }));
    const read = await good(readWorksheetFile(new TextDecoder().decode(Uint8Array.from(atob(exported.base64), (one) => one.charCodeAt(0)))));
    expect(read.findings.filter(({ level }) => level !== 'fact')).toEqual([]);
    expect(read.file.series).toEqual([{ hash, text }]);
  });

  it('remembers a mapping for a set of headings', async () => {
    const key = sha256Hex('a set of headings');
    expect(await good(api().call('mapping.get', { key }))).toEqual({ mapping: null });
    const { mapping } = guessMapping(await good(readGasTable(simulatedFile(40))));
    await good(api().call('mapping.remember', { key, mapping }));
    expect(await good(api().call('mapping.get', { key }))).toEqual({ mapping });
    expect(await api().call('mapping.remember', { key, mapping: { columns: 'x' } })).toMatchObject({ ok: false, error: { code: 'mapping-damaged' } });
  });
}
